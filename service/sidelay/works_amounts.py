"""What goes into each operation of a works order and what it hands on, at one quantity."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .costing import Costs, Route
from .curve import Array
from .line_table import doing_step
from .machines import Step, Unit
from .route_times import is_backed_up
from .spoilage import begun
from .step_counts import pieces_of, step_counts


@dataclass(frozen=True, slots=True)
class Spoiled:
    """Sheets (cut-offs, repeats) that a press spoils, before the first good one and after it."""

    make_ready: int
    running: int


@dataclass(frozen=True, slots=True)
class Amounts:
    """What an operation takes and gives.

    unit: what is counted, also of `out`: what comes out sound
    per, lots: units done at once (a lift, a pack), and how many of these, begun ones counted
    handed_on, handed_unit: what comes out as the next operation counts it: the pieces of sheets
    spoiled: of a press
    """

    unit: Unit
    into: int
    out: int
    per: int
    lots: int
    handed_on: int
    handed_unit: Unit
    spoiled: Spoiled | None = None


def route_amounts(route: Route, number: int, costs: Costs, column: int) -> dict[str, Amounts]:
    """Return the amounts of what is done for a route, all sections alike together.

    By operation of the press (make_ready, run, backing_up), and by step as `doing_step` names it.
    number: of the route in the table that `costs` are of
    """
    found = _on_press(route, number, costs, column)
    times = route.times
    for place, each in enumerate(step_counts(route, number, costs, column)):
        found[doing_step("steps", place)] = Amounts(
            each.step.unit,
            each.into * times,
            each.out * times,
            each.step.per,
            lots_of(each.step, each.into) * times,
            each.handed_on * times,
            each.handed_unit,
        )
    pieces = int(costs.into["piece"][number, column])
    for place, step in enumerate(route.gathering):
        found[doing_step("gathering", place)] = _whole(step, pieces, pieces)
    return found


def copies_amounts(steps: Sequence[Step], copies: Array) -> list[Amounts]:
    """Return the amounts of each step on copies.

    copies: into each, the last step first, those delivered before it [step + 1]
    """
    count = len(steps)
    return [
        _whole(step, int(copies[count - place]), int(copies[count - place - 1]))
        for place, step in enumerate(steps)
    ]


def lots_of(step: Step, into: int) -> int:
    """Return the lifts or packs that so many units make, a begun one counted whole."""
    return int(begun(into / step.per))


def _whole(step: Step, into: int, out: int) -> Amounts:
    return Amounts(step.unit, into, out, step.per, lots_of(step, into), out, step.unit)


def _on_press(route: Route, number: int, costs: Costs, column: int) -> dict[str, Amounts]:
    """Sheets through the press. Those that make-ready spoils are apart from those of the run."""
    times = route.times
    good, waste = (int(each[number, column]) for each in (costs.good, costs.running_waste))
    spoiled = int(route.run.make_ready_cycles) * times
    run = (good + waste) * times

    def sheets(into: int, out: int, handed: tuple[int, Unit], lost: Spoiled) -> Amounts:
        return Amounts("sheet", into, out, 1, into, *handed, lost)

    on_sheets = any(step.unit == "sheet" for step in route.steps)
    delivered: tuple[int, Unit] = (good * times, "sheet")
    if not on_sheets:
        delivered = (pieces_of(route, good) * times, "piece")
    ready = sheets(run + spoiled, run, (run, "sheet"), Spoiled(spoiled, 0))
    # Waste is that of all passes: of sheets that are backed up later, it is told with the first.
    backed_up = sheets(good * times, good * times, delivered, Spoiled(0, 0))
    on_hand: tuple[int, Unit] = (good * times, "sheet") if is_backed_up(route) else delivered
    first = sheets(run, good * times, on_hand, Spoiled(0, waste * times))
    return {"make_ready": ready, "run": first, "backing_up": backed_up}
