"""How long everything takes that one route has done, at all quantities at once.

Amounts are whole seconds of the operation's clock by column of the costs, begun ones whole; on the
clock of working days 86,400 of them are one day.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Any

import numpy as np

from .clocks import DAY_S
from .costing import Costs, CostTable, Route, step_meter
from .curve import Array, Curve
from .lines import die_label
from .machines import Step
from .plant_time import DryingShares
from .spoilage import begun

Amounts = Sequence[int]

HOUR_S = 3600
# Binary fractions of an hour that are whole seconds in the decimal ones.
TINY_S = 1e-6
# Longer than any calendar is looked at: what takes longer never ends.
MOST_S = 1e12
# For how many pieces the times of parts on shared machines are compared.
TYPICAL_PIECES = 1000
BACKED_UP = ("sheetwise", "work_and_turn", "work_and_tumble")
CUTTING = ("cut", "cut_on_table", "die_cut", "slit", "die_cut_and_slit")
# Finishing steps of which a plant has one machine, named after what it is.
ONE_MACHINE = {
    "cut_parents": "guillotine",
    "cut": "guillotine",
    "fold": "folder",
    "slit": "slitter",
    "die_cut_and_slit": "slitter",
    "wind_reels": "slitter",
    "cut_on_table": "table_cutter",
}


@dataclass(frozen=True, slots=True)
class StepTimes:
    """One step of finishing. amounts: its work, or the working days of what is sent out.

    tool: working days until its tool is there, None where it has none or keeps it
    """

    step: Step
    amounts: Amounts
    tool: Amounts | None = None

    @property
    def where(self) -> tuple[str, str]:
        """Machine and cost centre."""
        step = self.step
        return step.machine or ONE_MACHINE.get(step.name, step.name), step.cost_centre


@dataclass(frozen=True, slots=True)
class RouteTimes:
    """All that is done for one route.

    checked, laid: at the prepress desk, artwork and data, imposition; proof: making one
    carriers, dies, stock: working days until what is bought for the press is there
    parents: cutting press sheets
    make_ready, run, backing_up, wash_up: on the press, the second side apart where sheets have to
        dry before it is printed
    drying_h: until the next step can touch the sheets, as the press model says
    steps: after the press; gathering: of the copies that its sections are gathered into
    """

    route: Route
    checked: Amounts
    laid: Amounts
    proof: Amounts
    carriers: Amounts
    dies: Amounts
    stock: Amounts
    parents: tuple[StepTimes, ...]
    make_ready: Amounts
    run: Amounts
    backing_up: Amounts
    wash_up: Amounts
    drying_h: float
    steps: tuple[StepTimes, ...]
    gathering: tuple[StepTimes, ...]


# The members of RouteTimes that are amounts.
SINGLE = (
    "checked", "laid", "proof", "carriers", "dies", "stock", "make_ready", "run", "backing_up",
    "wash_up",
)


def times_of(table: CostTable, number: int, costs: Costs) -> RouteTimes:
    """Return the times of a route of a table, costed."""
    route = table.routes[number]
    lines = _Lines(table, number, costs)
    columns, times = costs.counts.shape[1], route.times
    printing = costs.run_hours[number] * times
    first = first_side(route) if is_backed_up(route) else 1.0
    wash_up_min = route.run.wash_up_min if route.leading else 0.0
    copies = costs.into["piece"][number]
    return RouteTimes(
        route,
        checked=seconds(lines.hours("prepress"), columns),
        laid=seconds(lines.hours("prepress", imposing=True), columns),
        proof=seconds(lines.hours("proof"), columns),
        carriers=seconds(lines.days("carrier"), columns, DAY_S),
        dies=seconds(lines.days("die"), columns, DAY_S),
        stock=seconds(lines.days("stock"), columns, DAY_S),
        parents=tuple(
            step_times(step, costs.parents[number], times)
            for step in route.steps
            if step.unit == "parent"
        ),
        make_ready=seconds(route.make_ready_min * times / 60, columns),
        run=seconds(printing * first, columns),
        backing_up=seconds(printing * (1 - first), columns),
        wash_up=seconds(wash_up_min / 60, columns),
        drying_h=route.run.drying_h,
        steps=tuple(
            step_times(step, into, times, kept=route.keeps_carriers)
            for step, into in _after_press(route, number, costs)
        ),
        gathering=tuple(step_times(step, copies) for step in route.gathering),
    )


def fastest(several: Sequence[RouteTimes]) -> RouteTimes:
    """Return times that no route of a stretch beats: of each operation the least of all.

    Routes of a stretch make the same sections on the same press. Steps that one of them lacks take
    no time.
    """
    if len(several) == 1:
        return several[0]
    least: dict[str, Any] = {
        name: _least([getattr(each, name) for each in several]) for name in SINGLE
    }
    return replace(
        several[0],
        **least,
        parents=_least_steps([each.parents for each in several]),
        drying_h=min(each.drying_h for each in several),
        steps=_least_steps([each.steps for each in several]),
        gathering=_least_steps([each.gathering for each in several]),
    )


def _least_steps(several: Sequence[tuple[StepTimes, ...]]) -> tuple[StepTimes, ...]:
    """Steps that all have, each at its least; a tool only where none is without."""
    found = []
    for each in several[0]:
        same = [
            next((other for other in steps if other.step.name == each.step.name), None)
            for steps in several
        ]
        alike = [other for other in same if other is not None]
        if len(alike) == len(several):
            tools = [other.tool for other in alike if other.tool is not None]
            tool = _least(tools) if len(tools) == len(several) else None
            found.append(StepTimes(each.step, _least([o.amounts for o in alike]), tool))
    return tuple(found)


def _least(several: Sequence[Amounts]) -> Amounts:
    return [min(column) for column in zip(*several, strict=True)]


class _Lines:
    """The cost lines of one route, with what they count at each quantity."""

    def __init__(self, table: CostTable, number: int, costs: Costs) -> None:
        self._rows = list(enumerate(table.lines_of(number), table.first_line(number)))
        self._counts = costs.counts
        route = table.routes[number]
        self._tools = {die_label(step) for step in (*route.steps, *route.gathering)}

    def hours(self, stage: str, *, imposing: bool = False) -> Array | float:
        """Hours of the lines of a stage: of imposition, or of all else."""
        hours: Array | float = 0.0
        for row, line in self._rows:
            of_stage = line.kind == "time" and line.stage == stage
            if of_stage and (line.label == "imposition") == imposing:
                hours = hours + line.amount * self._counts[row]
        return hours

    def days(self, stage: str) -> Array | float:
        """The longest wait for what a stage buys for the press [working days]."""
        longest: Array | float = 0.0
        for row, line in self._rows:
            if line.stage == stage and line.lead_days and line.label not in self._tools:
                waits = np.where(self._counts[row] > 0, line.lead_days, 0.0)
                longest = np.maximum(longest, waits)
        return longest


def _after_press(route: Route, number: int, costs: Costs) -> Sequence[tuple[Step, Array]]:
    """Each step after the press, with what goes into it."""
    places: dict[str, int] = {}
    found = []
    for step in route.steps:
        if step.unit != "parent":
            place = places.setdefault(step.unit, 0)
            places[step.unit] += 1
            found.append((step, costs.into[step_meter(step.unit, place)][number]))
    return found


def step_times(step: Step, into: Array, times: int = 1, *, kept: bool = False) -> StepTimes:
    """Return the times of a step.

    into: units that go into it; times: how often, set up once; kept: whether its tool is there
    """
    columns = len(into)
    if step.kind == "outwork":
        return StepTimes(step, seconds(step.lead_days, columns, DAY_S))
    tool = None if kept or not step.tool_price else seconds(step.lead_days, columns, DAY_S)
    return StepTimes(step, seconds(step_hours(step, into, times), columns), tool)


def step_hours(step: Step, into: Array, times: int = 1) -> Array:
    """Hours of a step: its set-up once, and each of `times` what goes into it.

    The same as its cost lines count (lines.step_lines); least minutes are for all together.
    """
    lots = begun(into / step.per) * times
    least_min = step.least_min if step.minutes else 0.0
    hours: Array = step.set_up_min / 60 + np.maximum(lots * step.minutes, least_min) / 60
    return hours


def seconds(amounts: Array | float, columns: int, unit_s: int = HOUR_S) -> Amounts:
    """Return hours, or days, as whole seconds by column, begun ones whole."""
    if isinstance(amounts, float | int):
        return [max(ceil(min(amounts * unit_s, MOST_S) - TINY_S), 0)] * columns
    found: list[int] = np.ceil(np.minimum(amounts * unit_s, MOST_S) - TINY_S).astype(int).tolist()
    return found


def drying_share(shares: DryingShares, step: str) -> float:
    """What share of a run's drying a finishing step waits for; "" for what is no such step."""
    if step in CUTTING:
        return shares.cutting
    by_name = {"fold": shares.folding, "laminate": shares.laminating}
    return by_name.get(step, shares.other)


def is_backed_up(route: Route) -> bool:
    """Whether the second side is printed once the first is dry enough."""
    return bool(route.run.drying_h) and first_side(route) < 1


def first_side(route: Route) -> float:
    """What share of the passes prints the first side of sheets that are backed up; 1 elsewhere.

    Passes are shared out by the inks of the sides: how a press model counts them is its own.
    """
    passes, work = route.run.passes, route.work
    if work.layout.style not in BACKED_UP or passes < 2 or len(work.sides) < 2:
        return 1.0
    front, back = (len(side.inks) for side in work.sides[:2])
    first = min(max(round(passes * front / (front + back)), 1), passes - 1)
    return first / passes


def typical_hours(route: Route) -> tuple[float, float]:
    """Hours of a route on the press and after it, for TYPICAL_PIECES without waste.

    By these, orders of parts on shared machines are found, whatever the quantity.
    """
    layout, run = route.work.layout, route.run
    cycles = np.array([TYPICAL_PIECES * layout.cycles_per_piece / layout.up])
    speed = run.cycles_per_hour
    per_hour = speed(cycles) if isinstance(speed, Curve) else np.array([speed])
    printing = float((cycles * run.passes / per_hour)[0]) + route.make_ready_min / 60
    pieces = {"piece": np.array([float(TYPICAL_PIECES)]), "sheet": cycles}
    after = [
        float(step_hours(step, pieces[step.unit], route.times)[0])
        for step in route.steps
        if step.unit in pieces and step.kind != "outwork"
    ]
    return printing * route.times, sum(after)
