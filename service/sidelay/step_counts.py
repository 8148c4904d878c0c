"""What goes into each step after the press, what comes out sound, and what is handed on.

Counts are those of one route at one quantity, of one section where several are made alike; what is
spoiled chains backwards (costing.CostTable), and here it is read forwards.
"""

from __future__ import annotations

from typing import NamedTuple

from .costing import Costs, Route, step_meter
from .machines import Step, Unit
from .spoilage import begun


class StepCount(NamedTuple):
    """A step and its units: into it, and out of it sound, both counted in its own unit.

    handed_on, handed_unit: what comes out as the next step counts it: pieces of a sheet cut up
    """

    step: Step
    into: int
    out: int
    handed_on: int
    handed_unit: Unit


def step_counts(route: Route, number: int, costs: Costs, column: int) -> list[StepCount]:
    """Return the steps of a route, in the order of production. number: of the route"""
    found, places = [], dict.fromkeys(("parent", "sheet", "piece"), 0)
    for step in route.steps:
        unit, place = step.unit, places[step.unit]
        places[unit] += 1
        if unit == "parent":
            into = int(costs.parents[number, column])
            found.append(StepCount(step, into, into, into * route.work.layout.out, "sheet"))
            continue
        into = int(costs.into[step_meter(unit, place)][number, column])
        last = places[unit] == _steps_on(route, unit)
        if not last:
            out = int(costs.into[step_meter(unit, place + 1)][number, column])
        elif unit == "piece":
            out = int(costs.into["piece"][number, column])
        else:
            out = sheets_of(route, pieces_after_sheets(route, number, costs, column))
        cut_up = last and unit == "sheet"
        handed = (pieces_of(route, out), "piece") if cut_up else (out, unit)
        found.append(StepCount(step, into, out, *handed))  # type: ignore[arg-type]
    return found


def pieces_after_sheets(route: Route, number: int, costs: Costs, column: int) -> int:
    """Return the pieces that the sheets of a route have to yield."""
    meter = step_meter("piece", 0) if _steps_on(route, "piece") else "piece"
    return int(costs.into[meter][number, column])


def sheets_of(route: Route, pieces: int) -> int:
    """Return the sheets (cut-offs, repeats) that hold so many pieces, a begun one whole."""
    layout = route.work.layout
    return int(begun(float(pieces) * layout.cycles_per_piece / layout.up))


def pieces_of(route: Route, sheets: int) -> int:
    """Return the whole pieces that so many sheets (cut-offs, repeats) hold."""
    layout = route.work.layout
    return sheets * layout.up // layout.cycles_per_piece


def is_cut_up(route: Route) -> bool:
    """Whether a step after the press works on its sheets; else the press delivers the pieces."""
    return _steps_on(route, "sheet") > 0


def run_min_of(step: Step, lots: int) -> float:
    """Return the minutes that a step runs for so many lots, at least the least charged."""
    return max(step.minutes * lots, step.least_min)


def _steps_on(route: Route, unit: Unit) -> int:
    return sum(step.unit == unit for step in route.steps)
