"""How soon an offer can be ready if work on it starts at once: no calendar, no queue.

A part passes the prepress desk and its proof, waits for what is bought for its run, goes on the
press, dries and is finished; copies are put together once the last part is there. Parts go side by
side where their presses differ. Where they share one, each waits, in the order of the job, until
the part before it is off that press and the press is washed up. Desk and finishing machines are
taken to be free for each part; carriers made in the house take no time beyond their lead days, and
a run dries once, after its last pass.

Days bought are working days, work takes the hours that the plant works on one of them, and sheets
dry at night too: 24 hours of drying are one day. Source of the last: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from .costing import Costs, Route
from .curve import Array
from .job_table import JobCosts, JobTable
from .line_table import Line
from .lines import die_label
from .machines import Step

# Stages in which something is bought that must be there before the run, and in which minutes of
# finishing are spent. What is sent out has its die made where it goes to.
BOUGHT_BEFORE = ("carrier", "die", "stock")
AT_THE_DESK = ("prepress", "proof")
AFTER_THE_PRESS = ("finishing", "binding", "packing")
DRYING_HOURS_PER_DAY = 24.0
DAY_DIGITS, HOUR_DIGITS = 4, 3


@dataclass(frozen=True, slots=True)
class Readiness:
    """When the last copy is ready, counted from the start of the work.

    lead_days: working days in which what is bought or sent out is waited for
    work_h: hours of work, one after the other; drying_h: hours of drying
    working_days: all of that, to four decimals, and no finer where offers are ranked by it
    because: for each of these figures one sentence
    All of what decides: of parts made side by side, the last one ready.
    """

    lead_days: float
    work_h: float
    drying_h: float
    working_days: float
    because: Mapping[str, str]


class _Path(NamedTuple):
    """What has to pass one after the other. waited: whether for another part on the same press."""

    bought_days: float = 0.0
    desk_h: float = 0.0
    press_h: float = 0.0
    drying_h: float = 0.0
    finishing_h: float = 0.0
    sent_days: float = 0.0
    waited: bool = False

    @property
    def lead_days(self) -> float:
        return self.bought_days + self.sent_days

    @property
    def work_h(self) -> float:
        return self.desk_h + self.press_h + self.finishing_h

    def days(self, hours_per_day: float) -> float:
        """Working days of it."""
        drying_days = self.drying_h / DRYING_HOURS_PER_DAY
        return self.lead_days + self.work_h / hours_per_day + drying_days


class _Times(NamedTuple):
    """How long one route takes; arrays by quantity. feeds: whether it prints shells for another."""

    press: str
    feeds: bool
    bought_days: Array
    desk_h: Array
    press_h: Array
    wash_up_h: float
    drying_h: float
    finishing_h: Array
    sent_days: float


class Schedule:
    """Tells how soon offers of a job can be ready; keeps the times of the routes it has met.

    hours_per_day: what the plant works on a working day [h]
    """

    def __init__(self, table: JobTable, costs: JobCosts, hours_per_day: float) -> None:
        self._table, self._costs, self._hours_per_day = table, costs, hours_per_day
        self._met: dict[tuple[int, int, int], _Times] = {}

    def of(self, makeup: int, routes: Sequence[Sequence[int]], column: int) -> Readiness:
        """Return how soon a job is ready whose parts are made by these routes at one quantity."""
        free: dict[str, _Path] = {}  # when each press can take another part
        parts = [
            self._part([self._times(makeup, part, route) for route in numbers], column, free)
            for part, numbers in enumerate(routes)
        ]
        last = max(range(len(parts)), key=lambda part: parts[part].days(self._hours_per_day))
        path = self._with_copies(makeup, parts[last], column)
        name = self._route(makeup, last, routes[last][0]).of.name if len(parts) > 1 else ""
        return _told(path, self._hours_per_day, name)

    def _route(self, makeup: int, part: int, route: int) -> Route:
        return self._table.makeups[makeup].parts[part].routes[route]

    def _times(self, makeup: int, part: int, number: int) -> _Times:
        key = makeup, part, number
        if key not in self._met:
            table = self._table.makeups[makeup].parts[part].table
            costs = self._costs.makeups[makeup].parts[part].costs
            rows = list(enumerate(table.lines_of(number), table.first_line(number)))
            self._met[key] = _times(table.routes[number], number, rows, costs)
        return self._met[key]

    def _part(self, times: Sequence[_Times], column: int, free: dict[str, _Path]) -> _Path:
        """Return how long a part takes, and note from when on its presses are free again."""
        path = _Path(
            bought_days=max(float(each.bought_days[column]) for each in times),
            desk_h=sum(float(each.desk_h[column]) for each in times),
        )
        for runs in _in_turn(times):
            press = runs[0].press
            if press in free:
                path = self._later(path, free[press]._replace(waited=True))
            run_h = sum(float(each.press_h[column]) for each in runs)
            path = path._replace(press_h=path.press_h + run_h)
            wash_up_h = sum(each.wash_up_h for each in runs)
            free[press] = path._replace(press_h=path.press_h + wash_up_h)
            drying_h = max(each.drying_h for each in runs)
            path = path._replace(drying_h=path.drying_h + drying_h)
        return path._replace(
            finishing_h=path.finishing_h + sum(float(each.finishing_h[column]) for each in times),
            sent_days=path.sent_days + max(each.sent_days for each in times),
        )

    def _with_copies(self, makeup: int, path: _Path, column: int) -> _Path:
        """Add what is done to copies; a tool of it is ordered at the start."""
        assembly = self._table.makeups[makeup].assembly
        counts = self._costs.makeups[makeup].assembly.bill.counts
        rows = list(enumerate(assembly.lines))
        tool_days = float(_bought_days(rows, counts, assembly.steps)[column])
        path = self._later(path, _Path(bought_days=tool_days))
        hours = float(_hours(rows, counts, AFTER_THE_PRESS)[column])
        return path._replace(
            finishing_h=path.finishing_h + hours,
            sent_days=path.sent_days + _sent_days(assembly.steps),
        )

    def _later(self, one: _Path, other: _Path) -> _Path:
        return max(one, other, key=lambda path: path.days(self._hours_per_day))


def _times(
    route: Route, number: int, rows: Sequence[tuple[int, Line]], costs: Costs
) -> _Times:
    """Return the times of a route. rows: its lines, each with its row among the costs."""
    wash_up_h = route.run.wash_up_min / 60 if route.leading else 0.0
    steps = (*route.steps, *route.gathering)
    return _Times(
        press=route.press.id,
        feeds=route.feeds is not None,
        bought_days=_bought_days(rows, costs.counts, steps),
        desk_h=_hours(rows, costs.counts, AT_THE_DESK),
        press_h=costs.press_hours[number] * route.times - wash_up_h,
        wash_up_h=wash_up_h,
        drying_h=float(route.run.drying_h),
        finishing_h=_hours(rows, costs.counts, AFTER_THE_PRESS),
        sent_days=_sent_days(steps),
    )


def _in_turn(times: Sequence[_Times]) -> Iterable[list[_Times]]:
    """Yield the runs of a part press by press: shells first, then what goes onto them."""
    for feeding in (True, False):
        runs = [each for each in times if each.feeds == feeding]
        if runs:
            yield runs


def _bought_days(
    rows: Sequence[tuple[int, Line]], counts: Array, steps: Iterable[Step]
) -> Array:
    """Return the longest wait for what is bought before the run [quantity]."""
    sent = {die_label(step) for step in steps if step.kind == "outwork"}
    waits = [
        np.where(counts[row] > 0, line.lead_days, 0.0)
        for row, line in rows
        if line.stage in BOUGHT_BEFORE and not (line.stage == "die" and line.label in sent)
    ]
    longest: Array = np.max([np.zeros(counts.shape[1]), *waits], axis=0)
    return longest


def _hours(rows: Sequence[tuple[int, Line]], counts: Array, stages: Sequence[str]) -> Array:
    """Return the hours of some stages [quantity]."""
    hours = np.zeros(counts.shape[1])
    for row, line in rows:
        if line.kind == "time" and line.stage in stages:
            hours = hours + line.amount * counts[row]
    return hours


def _sent_days(steps: Iterable[Step]) -> float:
    """Working days of steps that are sent out, one after the other."""
    return float(sum(step.lead_days for step in steps if step.kind == "outwork"))


def _told(path: _Path, hours_per_day: float, last_part: str) -> Readiness:
    """Return a path as readiness, with a sentence on each figure."""
    work_h, drying_h = round(path.work_h, HOUR_DIGITS), round(path.drying_h, HOUR_DIGITS)
    lead_days = round(path.lead_days, DAY_DIGITS)
    waits = [
        f"{days:g} working day{'' if days == 1 else 's'} until {what}"
        for days, what in (
            (path.bought_days, "what is bought for the run is there"),
            (path.sent_days, "what is sent out is back"),
        )
        if days
    ]
    before = ", with the parts that go first on it" if path.waited else ""
    last = f"; the {last_part} is the last part ready" if last_part else ""
    return Readiness(
        lead_days=lead_days,
        work_h=work_h,
        drying_h=drying_h,
        working_days=round(path.days(hours_per_day), DAY_DIGITS),
        because={
            "lead_days": ", ".join(waits) or "nothing is waited for",
            "work_h": f"{path.desk_h:.2f} h of prepress and proofs, {path.press_h:.2f} h on the "
            f"press before its wash-up{before}, {path.finishing_h:.2f} h of finishing and binding",
            "drying_h": "before the next step can touch it" if drying_h else "dry off the press",
            "working_days": f"lead days, work at {hours_per_day:g} h a working day, drying at 24 h "
            f"a day since it goes on at night; work starts at once, without a queue{last}",
        },
    )
