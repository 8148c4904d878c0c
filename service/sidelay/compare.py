"""The second use case: which process to use from which quantity to which, and why not others.

    job x plant -> plan -> every press at the asked quantities, ranked
                        -> the cheapest route at every whole quantity -> bands -> crossovers

Read `estimate.py` first: plan, costs and prices are the same.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from .bands import cheapest_stretches
from .costing import Costs, CostTable
from .estimate import Offer, price_routes, ranked_offers, routes_by_press
from .job import Job
from .plan import Plan, Planner
from .plant import Plant
from .ranking import cheapest_of
from .work import Process

CURVE_POINTS = 60


@dataclass(frozen=True, slots=True)
class Band:
    """Whole quantities, both ends included, at which a press is the cheapest."""

    first: int
    last: int
    process: str
    press: str


@dataclass(frozen=True, slots=True)
class Crossover:
    """Where one process takes over from another.

    first_at: the first quantity at which the second is cheaper, right after the first was
    settled_at: from here on the first never wins against it again up to the asked maximum; None
        when it does win again at the end. Steps (plates, lifts, parents) can make the two swap
        back and forth in between: the bands tell.
    """

    from_process: str
    to_process: str
    first_at: int
    settled_at: int | None


@dataclass(frozen=True)
class Characteristic:
    """One process: what it is, and the press and route it would make this job with.

    offer: its best at the asked quantity nearest the middle; None when no press can make the job
    """

    process: Process
    offer: Offer | None
    bands: tuple[Band, ...]


@dataclass(frozen=True)
class PressCurve:
    """Cost and price of one press at rising quantities [minor units]."""

    process: str
    press: str
    quantities: tuple[int, ...]
    cost: tuple[int, ...]
    price: tuple[int, ...]


@dataclass(frozen=True)
class Comparison:
    """All presses compared.

    choices: for each quantity asked, in its order, one offer a press, the cheapest first
    bands: from 1 to the asked maximum, without a gap; empty when no press can make the job
    """

    job: Job
    plant: Plant
    plan: Plan
    costs: Costs | None
    choices: tuple[tuple[Offer, ...], ...]
    bands: tuple[Band, ...]
    crossovers: tuple[Crossover, ...]
    characteristics: tuple[Characteristic, ...]
    curves: tuple[PressCurve, ...]


def compare(
    job: Job,
    plant: Plant,
    planner: Planner,
    *,
    up_to: int,
    with_curves: bool = False,
    only_processes: Collection[str] = (),
    only_presses: Collection[str] = (),
) -> Comparison:
    """Compare every press of a plant for a job; bands run from 1 to `up_to`.

    Raises bands.TooClose when two presses cannot be told apart that far.
    """
    plan = planner.plan(job, plant, only_processes=only_processes, only_presses=only_presses)
    about = planner.processes.about
    offered = [about[p] for p in sorted({installed.process for installed in plant.presses})]
    if plan.table is None:
        nothing = tuple(Characteristic(process, None, ()) for process in offered)
        return Comparison(job, plant, plan, None, (), (), (), nothing, ())
    priced = price_routes(plan.table, job.quantities, plant.price_policy)
    choices = ranked_offers(plan.table, priced, job.quantities)
    bands = find_bands(plan.table, plant, up_to)
    return Comparison(
        job=job,
        plant=plant,
        plan=plan,
        costs=priced.costs,
        choices=choices,
        bands=bands,
        crossovers=find_crossovers(bands),
        characteristics=_characteristics(plan.table, offered, choices, bands),
        curves=_curves(plan.table, plant, up_to) if with_curves else (),
    )


def find_bands(table: CostTable, plant: Plant, up_to: int) -> tuple[Band, ...]:
    """Return which press is the cheapest from 1 to `up_to`. Raises bands.TooClose."""
    presses = list(routes_by_press(table).values())
    press_of_route = [number for number, routes in enumerate(presses) for _ in routes]
    found = cheapest_stretches(table, press_of_route, plant.price_policy, up_to)
    first_routes = [table.routes[routes[0]] for routes in presses]
    return tuple(
        Band(each.first, each.last, route.process, route.press.id)
        for each in found
        for route in (first_routes[each.press],)
    )


def find_crossovers(bands: Sequence[Band]) -> tuple[Crossover, ...]:
    """Return where processes take over from each other, in the order of the first take-over."""
    swaps: dict[frozenset[str], list[tuple[str, str, int]]] = {}
    for before, after in pairwise(bands):
        if before.process != after.process:
            pair = frozenset((before.process, after.process))
            swaps.setdefault(pair, []).append((before.process, after.process, after.first))
    return tuple(_crossover(pair) for pair in swaps.values())


def _crossover(swaps: list[tuple[str, str, int]]) -> Crossover:
    from_process, to_process, first_at = swaps[0]
    _, last_to, last_at = swaps[-1]
    return Crossover(from_process, to_process, first_at, last_at if last_to == to_process else None)


def _characteristics(
    table: CostTable,
    processes: Sequence[Process],
    choices: Sequence[Sequence[Offer]],
    bands: Sequence[Band],
) -> tuple[Characteristic, ...]:
    middle = choices[len(choices) // 2]
    return tuple(
        Characteristic(
            process,
            next((o for o in middle if table.routes[o.route].process == process.id), None),
            tuple(band for band in bands if band.process == process.id),
        )
        for process in processes
    )


def _curves(table: CostTable, plant: Plant, up_to: int) -> tuple[PressCurve, ...]:
    spread = np.unique(np.geomspace(1, up_to, CURVE_POINTS).round().astype(np.int64))
    quantities = tuple(spread.tolist())
    priced = price_routes(table, quantities, plant.price_policy)
    columns = np.arange(len(quantities))
    found = []
    for press, routes in routes_by_press(table).items():
        best = cheapest_of(routes, priced.price, priced.cost)
        found.append(
            PressCurve(
                table.routes[routes[0]].process,
                press,
                quantities,
                tuple(priced.cost[best, columns].tolist()),
                tuple(priced.price[best, columns].tolist()),
            )
        )
    return tuple(found)
