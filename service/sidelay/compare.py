"""The second use case: which process to use from which quantity to which, and why not others.

    job x plant -> plan -> every press for the first part at the asked quantities, ranked
                        -> the cheapest press of each part at every whole quantity -> bands
                        -> crossovers

Read `estimate.py` first: plan, costs and prices are the same.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from .bands import Quantities, Stretch, cheapest_stretches
from .curve import Array
from .estimate import Offer, PricedJob
from .job import Job
from .job_table import JobCosts, JobTable, columns
from .money import Cents
from .plan import Plan, Planner
from .plant import Plant
from .pricing import prices
from .ways import PartTable
from .work import Process

CURVE_POINTS = 60


@dataclass(frozen=True, slots=True)
class Band:
    """Whole quantities, both ends included, at which the same presses are the cheapest.

    process, press: those of the first part; route: process and press of each part, in order
    """

    first: int
    last: int
    process: str
    press: str
    route: tuple[tuple[str, str], ...]


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
    costs: JobCosts | None
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
    if plan.job_table is None:
        nothing = tuple(Characteristic(process, None, ()) for process in offered)
        return Comparison(job, plant, plan, None, (), (), (), nothing, ())
    priced = PricedJob(plan.job_table, job.quantities)
    choices = priced.ranked_offers()
    bands = find_bands(plan.job_table, up_to)
    return Comparison(
        job=job,
        plant=plant,
        plan=plan,
        costs=priced.costs,
        choices=choices,
        bands=bands,
        crossovers=find_crossovers(bands),
        characteristics=_characteristics(plan.job_table.parts[0], offered, choices, bands),
        curves=_curves(plan.job_table, up_to) if with_curves else (),
    )


def find_bands(table: JobTable, up_to: int) -> tuple[Band, ...]:
    """Return which presses are the cheapest from 1 to `up_to`. Raises bands.TooClose.

    The first part's press is the one with the least price. That of another part is the one of the
    least value: the price depends on the sum, and each part can be had at its least on its own.
    """
    others = [
        _stretches_of(_Contest(table.only(part), by_value=True), up_to)
        for part in range(1, len(table.parts))
    ]
    by_part = [_stretches_of(_Contest(table), up_to), *others]
    firsts = sorted({stretch.first for stretches, _ in by_part for stretch in stretches})
    found = []
    for first, after in pairwise([*firsts, up_to + 1]):
        route = tuple(_press_at(first, stretches, presses) for stretches, presses in by_part)
        found.append(Band(first, after - 1, *route[0], route))
    return tuple(found)


Press = tuple[str, str]  # process, press


def _stretches_of(contest: _Contest, up_to: int) -> tuple[list[Stretch], list[Press]]:
    return cheapest_stretches(contest, up_to), contest.names


def _press_at(quantity: int, stretches: list[Stretch], presses: list[Press]) -> Press:
    at = bisect_right(stretches, quantity, key=lambda stretch: stretch.first) - 1
    return presses[stretches[at].press]


class _Contest:
    """The ways of a job's first part as bands.py has them compete.

    by_value: whether values alone are compared, not prices
    names: process and press of each press, by its number
    """

    def __init__(
        self, table: JobTable, *, by_value: bool = False, presses: Sequence[int] | None = None
    ) -> None:
        self._table, self._by_value = table, by_value
        self._seen: Array | None = None
        ways = table.parts[0].ways
        by_press = table.parts[0].by_press()
        self.names = [(ways[numbers[0]].process, press) for press, numbers in by_press.items()]
        number = {press: n for n, press in enumerate(by_press)}
        self.presses = [number[way.press] for way in ways] if presses is None else presses

    def look(self, quantities: Quantities) -> tuple[Cents, Array]:
        policy, n = self._table.policy, len(quantities)
        found = self._table.at(np.concatenate([quantities, columns(policy.thresholds)]))
        # A larger order may be what is asked for: its routes must not be left out.
        beyond = [n + k for k, more in enumerate(policy.thresholds) if more > quantities[-1]]
        self._seen = found.parts[0].route_value[:, [*range(n), *beyond]]
        value = found.value[:, :n]
        if self._by_value:
            return np.zeros(value.shape, dtype=np.int64), value
        return prices(value, quantities, policy, found.value[:, n:]), value

    def subset(self, keep: Sequence[int]) -> _Contest:
        assert self._seen is not None  # noqa: S101  looked at before
        part = self._table.parts[0].subset(keep, self._seen)
        presses = [self.presses[way] for way in keep]
        return _Contest(self._table.with_first(part), by_value=self._by_value, presses=presses)

    def arithmetic(self, way: int) -> tuple[object, ...]:
        return self._table.parts[0].arithmetic(way)


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
    table: PartTable,
    processes: Sequence[Process],
    choices: Sequence[Sequence[Offer]],
    bands: Sequence[Band],
) -> tuple[Characteristic, ...]:
    middle = choices[len(choices) // 2]
    return tuple(
        Characteristic(
            process,
            next((o for o in middle if table.ways[o.parts[0].way].process == process.id), None),
            tuple(band for band in bands if band.process == process.id),
        )
        for process in processes
    )


def _curves(table: JobTable, up_to: int) -> tuple[PressCurve, ...]:
    spread = np.unique(np.geomspace(1, up_to, CURVE_POINTS).round().astype(np.int64))
    quantities = tuple(spread.tolist())
    priced = PricedJob(table, quantities)
    found = []
    for press, ways in table.parts[0].by_press().items():
        offers = priced.offers_of(ways)
        found.append(
            PressCurve(
                table.parts[0].ways[ways[0]].process,
                press,
                quantities,
                tuple(offer.cost for offer in offers),
                tuple(offer.price for offer in offers),
            )
        )
    return tuple(found)
