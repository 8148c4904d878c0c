"""The [time] table of a plant file: units, ranges, defaults, sources; loads into a PlantTime."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo, available_timezones

from marshmallow import ValidationError, fields, post_load, validate, validates_schema

from .describe import PRACTICE, figure, whole
from .fields import Number
from .plant_time import QUEUE_WAYS, Dispatch, DryingAid, DryingShares, PlantTime
from .schema_parts import NAME, Strict, identifier, told_source
from .time_built import Errors, plant_time
from .time_fields import WEEKDAY_NAMES, ClockTime, Day, Moment, Weekdays
from .working_time import MINUTES_PER_DAY, Shift, clock_text

MOST_CLOSED_DAYS = 366
# Names that some systems have for the zone that they are set to.
OF_THE_MACHINE = {"localtime", "posixrules"}


def check_zone(zone: str) -> None:
    """Raise ValidationError for what is no time zone of the IANA database, with those near it."""
    try:
        if zone in OF_THE_MACHINE:
            raise LookupError
        ZoneInfo(zone)
    except (LookupError, ValueError, OSError):  # OSError: the name of a folder of zones
        names = sorted(available_timezones() - OF_THE_MACHINE)
        by_fold = {name.casefold(): name for name in names}
        close = get_close_matches(zone.casefold(), by_fold, n=3, cutoff=0.5)
        near = f"; near it {', '.join(by_fold[name] for name in close)}" if close else ""
        raise ValidationError(
            f"no time zone {zone!r}; expected one of the IANA database, as in Europe/Dublin{near}"
        ) from None


class ShiftSchema(Strict):
    """[[time.shifts]], [[time.overtime]]: hours on days of the week; loads into a Shift."""

    days = Weekdays(required=True, metadata={"description": "days on which it begins: mon to sun"})
    from_min = ClockTime(
        required=True, data_key="from", metadata={"description": "begin", "x-unit": "min"}
    )
    to_min = ClockTime(
        ends_day=True,
        required=True,
        data_key="to",
        metadata={
            "description": "end; where it is before the begin, on the next day",
            "x-unit": "min",
        },
    )

    @validates_schema
    def _lasts(self, data: dict[str, Any], **_: Any) -> None:
        if data["from_min"] == data["to_min"]:
            raise ValidationError(
                "expected another time than from; write 00:00 to 24:00 for a whole day", "to"
            )

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> Shift:
        return Shift(**data)


def _worked(shifts: list[Shift]) -> None:
    if not shifts:
        raise ValidationError("expected at least one shift: without any, nothing is ever made")


def _apart(shifts: list[Shift]) -> None:
    both = overlap_of(shifts)
    if both:
        raise ValidationError(f"expected hours that do not overlap; {both} do")


def _shifts(about: str, *checks: Any) -> fields.List[Any]:
    return fields.List(
        fields.Nested(ShiftSchema),
        validate=[*checks, validate.Length(max=50), _apart],
        metadata={"description": about},
    )


def overlap_of(shifts: Iterable[Shift]) -> str:
    """Return the first two shifts of a week that overlap, in words; "" where none do."""
    week = 7 * MINUTES_PER_DAY
    stretches = ((day, each) for each in shifts for day in each.days)
    begun = sorted(
        ((day * MINUTES_PER_DAY + each.from_min, day, each) for day, each in stretches),
        key=lambda start_day_shift: start_day_shift[0],
    )
    if not begun:
        return ""
    start, day, first = begun[0]
    for one, other in pairwise([*begun, (start + week, day, first)]):
        if other[0] < one[0] + one[2].end_min - one[2].from_min:
            return f"{_told(*one[1:])} and {_told(*other[1:])}"
    return ""


def _told(day: int, shift: Shift) -> str:
    return f"{clock_text(shift.from_min)} to {clock_text(shift.to_min)} on {WEEKDAY_NAMES[day]}"


class ClosedSchema(Strict):
    """[[time.closed_days]]: a date, or all days from one to another, both included."""

    date = Day(metadata={"description": "the day"})
    first = Day(data_key="from", metadata={"description": "the first day, of several"})
    last = Day(data_key="to", metadata={"description": "the last day, of several"})
    reason = fields.String(
        required=True, validate=NAME, metadata={"description": "why nobody works then"}
    )

    @validates_schema
    def _one_way(self, data: dict[str, Any], **_: Any) -> None:
        if ("first" in data) + ("last" in data) != (0 if "date" in data else 2):
            raise ValidationError("expected either date, or from and to", "date")
        if "date" in data:
            return
        days = (data["last"] - data["first"]).days
        if days < 0:
            raise ValidationError("expected no earlier day than from", "to")
        if days >= MOST_CLOSED_DAYS:
            raise ValidationError(f"expected at most {MOST_CLOSED_DAYS} days", "to")


class MaintenanceSchema(Strict):
    """[[time.machines.maintenance]]: by the wall clock of the plant, or with offsets from UTC."""

    start = Moment(required=True, data_key="from", metadata={"description": "begin"})
    end = Moment(required=True, data_key="to", metadata={"description": "end"})
    reason = fields.String(
        required=True, validate=NAME, metadata={"description": "what is done then"}
    )


def _not_always_busy(share: float) -> None:
    if not 0 <= share < 1:
        raise ValidationError("expected 0 or more, and less than 1: at 1 the queue never ends")


class MachineSchema(Strict):
    """[[time.machines]]: what is different at one machine."""

    id = identifier()
    shifts = _shifts("its own shifts; those of the plant if left out", _worked)
    overtime = _shifts("its own overtime; that of the plant if left out, [] for none")
    maintenance = fields.List(
        fields.Nested(MaintenanceSchema),
        load_default=list,
        validate=validate.Length(max=200),
        metadata={"description": "planned stoppages, in overtime too"},
    )
    busy_until = Moment(
        offset=True,
        metadata={"description": "from when on it is free; rush work waits for it too"},
    )
    hours_ahead = figure(
        "h", 0, 10_000, "work that stands before it, in hours of its shifts", optional=True
    )
    utilisation = Number(
        validate=_not_always_busy,
        metadata={
            "description": "share of its time that it is busy; jobs then meet the queue that is "
            "to be expected",
            "x-unit": "1",
        },
    )
    mean_job_h = figure(
        "h",
        0.01,
        1000,
        "how long it is busy with a job on average, for the queue of a utilisation",
        default=1.5,
        source=PRACTICE,
    )
    variation = figure(
        "1",
        0,
        20,
        "variability of arrivals and of jobs together, (ca2 + cs2) / 2, for the queue of a "
        "utilisation",
        default=1.0,
        source=PRACTICE,
    )
    source = told_source()

    @validates_schema
    def _one_queue(self, data: dict[str, Any], **_: Any) -> None:
        told = [name for name in QUEUE_WAYS if name in data]
        if len(told) > 1:
            raise ValidationError(f"expected one of {', '.join(QUEUE_WAYS)}, or none", told[1])


class ApprovalSchema(Strict):
    """[time.approval_days]: working days that a customer takes to approve a proof."""

    soft = figure("d", 0, 60, "for a soft proof", default=0.5, source=PRACTICE)
    contract = figure("d", 0, 60, "for a contract proof", default=1.0, source=PRACTICE)
    press = figure("d", 0, 60, "for a press proof, looked at on the press", default=0.0)


class DryingSchema(Strict):
    """[time.drying]: what share of a run's drying the next step waits for."""

    backing_up = figure("1", 0, 10, "printing the second side", default=0.5, source=PRACTICE)
    cutting = figure("1", 0, 10, "cutting, trimming included", default=1.0, source=PRACTICE)
    folding = figure("1", 0, 10, "folding", default=1.0, source=PRACTICE)
    laminating = figure("1", 0, 10, "film on top of the ink", default=1.5, source=PRACTICE)
    other = figure("1", 0, 10, "all other finishing", default=1.0, source=PRACTICE)

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> DryingShares:
        return DryingShares(**data)


class DryingAidSchema(Strict):
    """[time.drying_aid]: what shortens drying, for money: powder, driers, lamps, more air."""

    drying_share = figure("1", 0, 1, "share of the drying that is left")
    price_per_1000_cycles = figure("{currency}", 0, 10_000, "material for 1,000 cycles of a press")
    source = told_source()

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> DryingAid:
        return DryingAid(**data)


class DispatchSchema(Strict):
    """[time.dispatch]: how copies get to a customer who does not collect them."""

    cut_off_min = ClockTime(
        data_key="cut_off",
        load_default=15 * 60,
        metadata={
            "description": "what is packed by then goes the same day",
            "x-unit": "min",
            "x-source": PRACTICE,
        },
    )
    days = Weekdays(
        required=True,
        metadata={"description": "days on which the carrier comes and delivers, no holidays"},
    )
    delivery_days = whole(
        "d", 0, 60, "delivery days from dispatch to delivery", default=1, source=PRACTICE
    )
    delivered_by_min = ClockTime(
        ends_day=True,
        data_key="delivered_by",
        load_default=12 * 60,
        metadata={"description": "time of delivery", "x-unit": "min", "x-source": PRACTICE},
    )
    source = told_source()

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> Dispatch:
        return Dispatch(**data)


class TimeSchema(Strict):
    """[time]: when the plant works, and how long what is not work takes there."""

    zone = fields.String(
        required=True, validate=check_zone, metadata={"description": "IANA time zone"}
    )
    country = fields.String(
        metadata={
            "description": "ISO 3166-1 alpha-2: whose public holidays are kept; none if left out"
        }
    )
    subdivision = fields.String(
        metadata={"description": "ISO 3166-2, without the country: whose holidays are kept besides"}
    )
    closed_days = fields.List(
        fields.Nested(ClosedSchema),
        load_default=list,
        validate=validate.Length(max=200),
        metadata={"description": "further days without work; of two reasons the first is told"},
    )
    horizon_days = whole(
        "d", 1, 1100, "no schedule looks further ahead", default=400, source=PRACTICE
    )
    overtime_premium = figure(
        "1",
        0,
        5,
        "what an hour of overtime costs more, as a share of the rate",
        default=0.5,
        source=PRACTICE,
    )
    shifts = _shifts("the usual ones; mon to fri 08:00 to 16:00 if left out", _worked)
    overtime = _shifts("what can be worked beyond the shifts; none if left out")
    approval_days = fields.Nested(ApprovalSchema, load_default=lambda: ApprovalSchema().load({}))
    drying = fields.Nested(DryingSchema, load_default=DryingShares())
    drying_aid = fields.Nested(DryingAidSchema, load_default=None)
    dispatch = fields.Nested(DispatchSchema, load_default=Dispatch())
    machines = fields.List(
        fields.Nested(MachineSchema), load_default=list, validate=validate.Length(max=500)
    )
    source = told_source()

    @validates_schema
    def _told_once(self, data: dict[str, Any], **_: Any) -> None:
        if "subdivision" in data and "country" not in data:
            raise ValidationError("expected beside a country", "subdivision")
        ids = [machine["id"] for machine in data["machines"]]
        twice = sorted({name for name in ids if ids.count(name) > 1})
        if twice:
            told = [f"{name!r} stands there twice; ids must differ" for name in twice]
            raise ValidationError({"machines": {"id": told}})

    @validates_schema
    def _overtime_beyond_shifts(self, data: dict[str, Any], **_: Any) -> None:
        usual, beyond = data.get("shifts", PlantTime().shifts), data.get("overtime", ())
        both = overlap_of([*usual, *beyond])
        if both:
            told = f"expected overtime outside the shifts; {both} overlap"
            raise ValidationError(told, "overtime")
        found: dict[int, Errors] = {}
        for number, machine in enumerate(data["machines"]):
            own = machine.get("overtime")
            both = overlap_of([*machine.get("shifts", usual), *(beyond if own is None else own)])
            if both:
                whose = "overtime" if own is not None else "overtime of its own or []"
                told = f"expected {whose} outside its shifts; {both} overlap"
                found[number] = {"overtime": [told]}
        if found:
            raise ValidationError({"machines": found})

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> PlantTime:
        return plant_time(data)
