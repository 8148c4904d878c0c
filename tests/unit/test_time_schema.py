"""What a plant file says about time: read as it is meant, every fault told where it stands."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from marshmallow import missing

from plant_faults import plainly
from shop import demo, demo_text, plant, processes
from sidelay.binders import Binder
from sidelay.fields import ExactInteger, Number
from sidelay.machine_ids import machine_ids
from sidelay.operations import FinishingMachine
from sidelay.plant import Plant, Prepress
from sidelay.plant_file import read_plant
from sidelay.plant_time import Dispatch, DryingAid, DryingShares, MachineTime, PlantTime, Queue
from sidelay.public_holidays import Holidays, NoSuchCountry
from sidelay.schema_parts import Strict
from sidelay.time_schema import TimeSchema, overlap_of
from sidelay.toml_file import PlantFileError
from sidelay.working_time import Shift, Stoppage, clock_text

HEAD = '[time]\nzone = "Europe/Dublin"\n'
WEEK = '["mon", "tue", "wed", "thu", "fri"]'
PRESS = '[[time.machines]]\nid = "toner_mono_a3"\n'
SUMMER = 3600  # Dublin is an hour ahead of UTC then


def read(tmp_path, time: str) -> Plant:
    """The demo plant with toner presses, and with another [time]."""
    before, _, after = demo_text("toner").partition("[time]\n")
    _, presses, after = after.partition("[[presses]]\n")
    path = tmp_path / "shop.toml"
    path.write_text(before + time + "\n" + presses + after)
    return read_plant(path, processes())


def faults(tmp_path, time: str) -> list[str]:
    with pytest.raises(PlantFileError) as caught:
        read(tmp_path, time)
    return [fault.removeprefix("shop.toml: ") for fault in plainly(caught.value)]


def shift(*days: int, start: int = 8 * 60, end: int = 16 * 60) -> Shift:
    return Shift(frozenset(days), start, end)


def instant(*told: int) -> int:
    return int(datetime(*told, tzinfo=UTC).timestamp())


# What is read -----------------------------------------------------------------------------------


def test_a_plant_file_without_time_works_by_day_in_utc(tmp_path):
    assert read(tmp_path, "").time == PlantTime()


def test_a_zone_is_enough_and_leaves_all_else_to_the_defaults(tmp_path):
    found = read(tmp_path, '[time]\nzone = "UTC"\n').time
    assert found == replace(PlantTime(), source="plant file")


def test_tables_that_say_nothing_have_the_defaults(tmp_path):
    tables = "[time.drying]\n[time.approval_days]\n[time.dispatch]\n"
    tables += 'days = ["mon", "tue", "wed", "thu", "fri"]\n'
    tables += '[[time.machines]]\nid = "guillotine"\n'
    found = read(tmp_path, '[time]\nzone = "UTC"\n' + tables).time
    assert found.drying == DryingShares()
    assert found.approval_days == PlantTime().approval_days
    assert replace(found.dispatch, source=Dispatch().source) == Dispatch()
    assert found.machines == {"guillotine": MachineTime(source="plant file")}


def test_every_default_has_a_source_and_every_figure_a_unit():
    found = list(figures(TimeSchema))
    assert len(found) > 15
    for name, field in found:
        assert "x-unit" in field.metadata, name
        told = field.required or field.load_default in (missing, 0)
        assert told or "x-source" in field.metadata, name


def figures(schema: type[Strict]):
    """Every number of a table and of the tables in it, by name."""
    for name, field in schema().fields.items():
        inner = getattr(field, "inner", field)
        if hasattr(inner, "nested"):
            yield from figures(inner.nested)
        elif isinstance(field, Number | ExactInteger):
            yield name, field


def test_shifts_are_read_from_local_times_and_from_strings(tmp_path):
    told = HEAD + (
        "shifts = [\n"
        f"    {{ days = {WEEK}, from = 07:00:00, to = 12:00:00 }},\n"
        f'    {{ days = {WEEK}, from = "12:30", to = "15:30" }},\n'
        '    { days = ["sun"], from = "00:00", to = "24:00" },\n'
        "]\n"
        'overtime = [{ days = ["fri"], from = "22:00", to = 06:00:00 }]\n'
    )
    found = read(tmp_path, told).time
    assert found.shifts == (
        shift(0, 1, 2, 3, 4, start=420, end=720),
        shift(0, 1, 2, 3, 4, start=750, end=930),
        shift(6, start=0, end=1440),
    )
    assert found.overtime == (shift(4, start=22 * 60, end=6 * 60),)


def test_closed_days_are_read_one_by_one_and_from_one_to_another(tmp_path):
    told = HEAD + (
        "closed_days = [\n"
        '    { from = 2026-12-30, to = 2027-01-01, reason = "New Year" },\n'
        '    { date = "2026-12-24", reason = "stocktaking" },\n'
        '    { date = 2026-12-31, reason = "second reason" },\n'
        "]\n"
    )
    assert list(read(tmp_path, told).time.closed_days.items()) == [
        (date(2026, 12, 24), "stocktaking"),
        (date(2026, 12, 30), "New Year"),
        (date(2026, 12, 31), "New Year"),
        (date(2027, 1, 1), "New Year"),
    ]


def test_a_machine_has_its_own_hours_and_its_maintenance_by_wall_clock_or_offset(tmp_path):
    told = PRESS + (
        f'shifts = [{{ days = {WEEK}, from = "06:00", to = "22:00" }}]\n'
        "overtime = []\n"
        "maintenance = [\n"
        '    { from = 2027-07-05T08:00:00, to = "2027-07-05T12:00", reason = "service" },\n'
        '    { from = 2027-10-31T01:30:00+01:00, to = "2027-10-31T01:30Z", reason = "clocks" },\n'
        "]\n"
        'hours_ahead = 3\nmean_job_h = 0.4\nvariation = 0.8\nsource = "log of the press"\n'
    )
    assert read(tmp_path, HEAD + told).time.machines == {
        "toner_mono_a3": MachineTime(
            shifts=(shift(0, 1, 2, 3, 4, start=360, end=1320),),
            overtime=(),
            maintenance=(
                Stoppage(
                    instant(2027, 7, 5, 8) - SUMMER, instant(2027, 7, 5, 12) - SUMMER, "service"
                ),
                Stoppage(instant(2027, 10, 31, 0, 30), instant(2027, 10, 31, 1, 30), "clocks"),
            ),
            queue=Queue(hours_ahead=3),
            mean_job_h=0.4,
            variation=0.8,
            source="log of the press",
        )
    }


@pytest.mark.parametrize(
    ("told", "queue"),
    [
        ("", Queue()),
        ("hours_ahead = 0", Queue(hours_ahead=0)),
        ("utilisation = 0", Queue(utilisation=0)),
        ("utilisation = 0.999", Queue(utilisation=0.999)),
        (
            "busy_until = 2026-12-07T08:00:00+02:00",
            Queue(busy_until=int(datetime(2026, 12, 7, 6, tzinfo=UTC).timestamp())),
        ),
        (
            'busy_until = "2026-12-07T08:00:00Z"',
            Queue(busy_until=int(datetime(2026, 12, 7, 8, tzinfo=UTC).timestamp())),
        ),
    ],
)
def test_a_machine_has_one_queue_or_none(tmp_path, told, queue):
    assert read(tmp_path, HEAD + PRESS + told).time.machines["toner_mono_a3"].queue == queue


def test_what_is_no_work_is_read(tmp_path):
    told = HEAD + (
        'country = "GB"\nsubdivision = "SCT"\n'
        "[time.approval_days]\nsoft = 0.25\ncontract = 2\npress = 0.1\n"
        "[time.drying]\nbacking_up = 0.4\nlaminating = 2\n"
        "[time.drying_aid]\ndrying_share = 0.5\nprice_per_1000_cycles = 1.8\n"
        '[time.dispatch]\ncut_off = 15:30:00\ndays = ["tue", "thu"]\ndelivery_days = 2\n'
        'delivered_by = "24:00"\nsource = "carrier"\n'
    )
    found = read(tmp_path, told).time
    assert found.holidays == Holidays("GB", "SCT")
    assert found.approval_days == {"soft": 0.25, "contract": 2, "press": 0.1}
    assert found.drying == DryingShares(backing_up=0.4, laminating=2)
    assert found.drying_aid == DryingAid(0.5, 1.8, "plant file")
    assert found.dispatch == Dispatch(930, frozenset({1, 3}), 2, 1440, "carrier")


# Faults -----------------------------------------------------------------------------------------

NO_DAY = 'expected at least one day of the week, as in ["mon", "tue"]'
NO_CLOCK = "expected a time of day in whole minutes, 00:00 to "
NO_DATE = "expected a date, as in 2026-12-24, from 2000 to 2199"
NO_MOMENT = (
    "expected a date and a time in whole seconds, as in 2026-12-07T08:00:00, from 2000 to 2199"
)
NEVER = "expected at least one shift: without any, nothing is ever made"


@pytest.mark.parametrize(
    ("told", "fault"),
    [
        ("[time]\n", "[time] zone: Missing data for required field."),
        (HEAD + "hours = 8", "[time] hours: Unknown field."),
        (
            '[time]\nzone = "Europe/Dubln"',
            "[time] zone: no time zone 'Europe/Dubln'; expected one of the IANA database, as in "
            "Europe/Dublin; near it Europe/Dublin, Europe/Berlin, Europe/Ljubljana",
        ),
        (
            '[time]\nzone = "../../etc/passwd"',
            "[time] zone: no time zone '../../etc/passwd'; expected one of the IANA database, as "
            "in Europe/Dublin",
        ),
        (HEAD + 'subdivision = "SCT"', "[time] subdivision: expected beside a country"),
        (HEAD + "shifts = []", f"[time] shifts: {NEVER}"),
        (
            HEAD + 'shifts = [{ days = [], from = "08:00", to = "16:00" }]',
            f"[time.shifts[0]] days: {NO_DAY}",
        ),
        (
            HEAD + 'shifts = [{ days = ["monday"], from = "08:00", to = "16:00" }]',
            "[time.shifts[0]] days: 'monday' is no day of the week; there is mon, tue, wed, thu, "
            "fri, sat, sun",
        ),
        (
            HEAD + 'shifts = [{ days = ["mon", "mon"], from = "08:00", to = "16:00" }]',
            "[time.shifts[0]] days: expected each day once",
        ),
        (
            HEAD + 'shifts = [{ days = ["mon"], from = "8:00", to = "16:00" }]',
            f"[time.shifts[0]] from: {NO_CLOCK}23:59",
        ),
        (
            HEAD + 'shifts = [{ days = ["mon"], from = "24:00", to = "16:00" }]',
            f"[time.shifts[0]] from: {NO_CLOCK}23:59",
        ),
        (
            HEAD + 'shifts = [{ days = ["mon"], from = "08:00", to = 16:00:30 }]',
            f"[time.shifts[0]] to: {NO_CLOCK}24:00",
        ),
        (
            HEAD + 'shifts = [{ days = ["mon"], from = 00:00:00, to = "00:00" }]',
            "[time.shifts[0]] to: expected another time than from; write 00:00 to 24:00 for a "
            "whole day",
        ),
        (
            HEAD
            + 'shifts = [{ days = ["mon", "tue"], from = "08:00", to = "12:00" },'
            + ' { days = ["tue"], from = "11:59", to = "16:00" }]',
            "[time] shifts: expected hours that do not overlap; 08:00 to 12:00 on tue and 11:59 "
            "to 16:00 on tue do",
        ),
        (
            HEAD
            + 'shifts = [{ days = ["mon"], from = "05:00", to = "12:00" },'
            + ' { days = ["sun"], from = "22:00", to = "06:00" }]',
            "[time] shifts: expected hours that do not overlap; 22:00 to 06:00 on sun and 05:00 "
            "to 12:00 on mon do",
        ),
        (
            HEAD + 'overtime = [{ days = ["wed"], from = "15:00", to = "18:00" }]',
            "[time] overtime: expected overtime outside the shifts; 08:00 to 16:00 on wed and "
            "15:00 to 18:00 on wed overlap",
        ),
        (
            HEAD
            + 'overtime = [{ days = ["wed"], from = "16:00", to = "18:00" }]\n'
            + PRESS
            + 'shifts = [{ days = ["wed"], from = "06:00", to = "17:00" }]',
            "[time.machines[0]] overtime: expected overtime of its own or [] outside its shifts; "
            "06:00 to 17:00 on wed and 16:00 to 18:00 on wed overlap",
        ),
        (
            HEAD + PRESS + 'overtime = [{ days = ["wed"], from = "06:00", to = "08:01" }]',
            "[time.machines[0]] overtime: expected overtime outside its shifts; 06:00 to 08:01 on "
            "wed and 08:00 to 16:00 on wed overlap",
        ),
        (HEAD + PRESS + "shifts = []", f"[time.machines[0]] shifts: {NEVER}"),
        (
            HEAD + PRESS + PRESS,
            "[time.machines] id: 'toner_mono_a3' stands there twice; ids must differ",
        ),
        (
            HEAD + PRESS + "hours_ahead = 1\nutilisation = 0.5",
            "[time.machines[0]] utilisation: expected one of busy_until, hours_ahead, "
            "utilisation, or none",
        ),
        *(
            (
                HEAD + PRESS + f"utilisation = {share}",
                "[time.machines[0]] utilisation: expected 0 or more, and less than 1: at 1 the "
                "queue never ends",
            )
            for share in (1, 1.2, -0.1)
        ),
        (
            HEAD + PRESS + "busy_until = 2026-12-07T08:00:00",
            "[time.machines[0]] busy_until: expected a date and a time with its offset from UTC, "
            "as in 2026-12-07T08:00:00+00:00",
        ),
        (
            HEAD + "closed_days = [{ date = 2026-12-24T00:00:00, reason = 'eve' }]",
            f"[time.closed_days[0]] date: {NO_DATE}",
        ),
        (
            HEAD + "closed_days = [{ date = '24.12.2026', reason = 'eve' }]",
            f"[time.closed_days[0]] date: {NO_DATE}",
        ),
        (
            HEAD + "closed_days = [{ from = 2026-12-24, reason = 'eve' }]",
            "[time.closed_days[0]] date: expected either date, or from and to",
        ),
        (
            HEAD + "closed_days = [{ reason = 'eve' }]",
            "[time.closed_days[0]] date: expected either date, or from and to",
        ),
        (
            HEAD + "closed_days = [{ from = 2026-12-24, to = 2026-12-23, reason = 'eve' }]",
            "[time.closed_days[0]] to: expected no earlier day than from",
        ),
        (
            HEAD + "closed_days = [{ from = 2026-01-01, to = 2027-01-02, reason = 'rest' }]",
            "[time.closed_days[0]] to: expected at most 366 days",
        ),
        (
            HEAD + "closed_days = [{ date = 2026-12-24 }]",
            "[time.closed_days[0]] reason: Missing data for required field.",
        ),
        (HEAD + "[time.dispatch]\ndays = []", f"[time.dispatch] days: {NO_DAY}"),
        (
            HEAD + "[time.dispatch]\ncut_off = 15:30:00",
            "[time.dispatch] days: Missing data for required field.",
        ),
        (
            HEAD + "[time.drying_aid]\ndrying_share = 0.5",
            "[time.drying_aid] price_per_1000_cycles: Missing data for required field.",
        ),
    ],
)
def test_a_fault_is_told_where_it_stands(tmp_path, told, fault):
    assert faults(tmp_path, told) == [fault]


@pytest.mark.parametrize(
    ("key", "start", "end", "fault"),
    [
        ("to", "2027-07-05T08:00:00", "2027-07-05T08:00:00", "expected later than from"),
        ("to", "2027-07-05T08:00:00+01:00", "2027-07-05T07:30:00", "expected later than from"),
        (
            "from",
            "2027-03-28T01:30:00",
            "2027-03-28T08:00:00",
            "clocks of Europe/Dublin skip 2027-03-28 01:30; expected a time that they show, or one "
            "with its offset from UTC",
        ),
        (
            "to",
            "2027-10-30T08:00:00",
            "2027-10-31T01:00:00",
            "clocks of Europe/Dublin show 2027-10-31 01:00 twice; expected it with its offset from "
            "UTC",
        ),
        ("from", "2027-07-05T08:00:00.5", "2027-07-05T09:00:00", NO_MOMENT),
        ("to", "2027-07-05T08:00:00", "2027-07-06", NO_MOMENT),
        ("to", "2027-07-05T08:00:00", "2500-07-06T08:00:00", NO_MOMENT),
    ],
)
def test_maintenance_that_is_no_time_is_told(tmp_path, key, start, end, fault):
    told = f"maintenance = [{{ from = {start}, to = {end}, reason = 'service' }}]"
    assert faults(tmp_path, HEAD + PRESS + told) == [
        f"[time.machines[0].maintenance[0]] {key}: {fault}"
    ]


@pytest.mark.parametrize(
    ("country", "subdivision"), [("", ""), ("XX", ""), ("ie", ""), ("GB", "TEX")]
)
def test_a_country_or_subdivision_that_is_not_known_is_told_with_those_that_are(
    tmp_path, country, subdivision
):
    with pytest.raises(NoSuchCountry) as caught:
        Holidays(country, subdivision)
    told, key = f'country = "{country}"\n', "country"
    if subdivision:
        told, key = told + f'subdivision = "{subdivision}"\n', "subdivision"
    assert faults(tmp_path, HEAD + told) == [f"[time] {key}: {caught.value}"]
    assert (subdivision or country) in str(caught.value)


def test_an_unknown_machine_is_told_with_those_there_are(tmp_path):
    told = HEAD + PRESS + '[[time.machines]]\nid = "trade_case"\n'
    there = ", ".join(machine_ids(read(tmp_path, HEAD)))
    assert there.startswith("prepress, toner_colour_a3, toner_mono_a3, guillotine, folder, ")
    assert faults(tmp_path, told) == [
        f"[time.machines[1]] id: no machine 'trade_case'; there is {there}"
    ]


def test_several_faults_of_time_are_told_at_once(tmp_path):
    told = faults(tmp_path, HEAD + "horizon_days = 0\n" + PRESS + "mean_job_h = 0\n")
    assert [line.split(":")[0] for line in told] == [
        "[time] horizon_days",
        "[time.machines[0]] mean_job_h",
    ]


# Hours that overlap ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "shifts",
    [
        (),
        (shift(0, 1, 2, 3, 4, 5, 6, start=0, end=1440),),
        (shift(6, start=22 * 60, end=6 * 60), shift(0, start=6 * 60, end=22 * 60)),
        (shift(*range(7), start=6 * 60, end=22 * 60), shift(*range(7), start=22 * 60, end=360)),
        (shift(*range(7), start=60, end=59),),
    ],
)
def test_shifts_that_touch_do_not_overlap(shifts):
    assert overlap_of(shifts) == ""


def minutes(shifts: tuple[Shift, ...]) -> list[int]:
    """Every minute of a week that is worked, as often as it is."""
    found = []
    for each in shifts:
        for day in each.days:
            length = (each.to_min - each.from_min) % 1440 or 1440
            start = day * 1440 + each.from_min
            found += [minute % (7 * 1440) for minute in range(start, start + length)]
    return found


a_shift = st.builds(
    Shift,
    st.frozensets(st.integers(0, 6), min_size=1, max_size=2),
    st.integers(0, 23).map(lambda hour: hour * 60),
    st.integers(0, 24).map(lambda hour: hour * 60),
).filter(lambda each: each.from_min != each.to_min)


@given(st.lists(a_shift, max_size=3).map(tuple))
def test_shifts_overlap_where_a_minute_of_the_week_is_worked_twice(shifts):
    worked = minutes(shifts)
    assert bool(overlap_of(shifts)) == (len(set(worked)) < len(worked))


# Machines that jobs queue at ---------------------------------------------------------------------


def machine(name: str, **told) -> FinishingMachine:
    return FinishingMachine(name, name, "drill", "copy", **told)


def binder(name: str, **told) -> Binder:
    return Binder(name, name, "pad", **told)


def test_a_plant_with_nothing_but_its_bindery_has_a_guillotine_and_a_folder():
    assert machine_ids(plant()) == ("guillotine", "folder")


def test_what_is_bought_out_has_no_queue():
    shop = plant(
        operations=(machine("drill", cost_centre="cutting"), machine("foil", bought_out=True)),
        binders=(binder("pads", cost_centre="cutting"), binder("trade")),
        prepress=Prepress("cutting", 5, 2, 20, 1, "test"),
    )
    assert machine_ids(shop) == ("prepress", "guillotine", "folder", "drill", "pads")


def test_two_machines_of_different_kinds_must_not_share_an_id(tmp_path):
    content = demo_text("toner").replace('id = "paper_drill"', 'id = "folder"', 1)
    content = content.replace('id = "wire_closer"', 'id = "toner_mono_a3"', 1)
    content = content.replace('id = "trade_sewing"', 'id = "prepress"', 1)  # bought out: no machine
    path = tmp_path / "shop.toml"
    path.write_text(content)
    with pytest.raises(PlantFileError) as caught:
        read_plant(path, processes())
    assert plainly(caught.value) == [
        "shop.toml: [operations] id: 'folder' is an id in [finishing.folder] already; ids must "
        "differ",
        "shop.toml: [binders] id: 'toner_mono_a3' is an id in [presses] already; ids must differ",
    ]


# The demo plant ----------------------------------------------------------------------------------


def test_every_machine_of_the_demo_plant_can_be_told_apart():
    ids = machine_ids(demo())
    assert len(set(ids)) == len(ids) > 40
    assert set(demo().time.machines) <= set(ids)


@given(st.integers(0, 1440))
def test_a_time_of_day_is_read_as_it_is_written(minute):
    told = f'zone = "UTC"\n[dispatch]\ndays = ["mon"]\ndelivered_by = "{clock_text(minute)}"\n'
    assert TimeSchema().load(tomllib.loads(told)).dispatch.delivered_by_min == minute


def test_a_range_of_closed_days_has_each_of_its_days(tmp_path):
    told = HEAD + "closed_days = [{ from = 2027-12-24, to = 2028-12-23, reason = 'rest' }]"
    days = list(read(tmp_path, told).time.closed_days)
    assert days == [date(2027, 12, 24) + timedelta(days=n) for n in range(366)]
