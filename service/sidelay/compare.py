"""The second use case: which process to use from which quantity to which, and why not others.

    job x plant -> plan -> every press for the first part at the asked quantities, ranked
                        -> the cheapest press of each part at every whole quantity -> bands
                        -> crossovers
                        -> the table of processes (characteristics.py)
                        -> where asked: what it hangs on (sensitivity.py), what would admit
                           the presses left out (remedies.py)

Read `estimate.py` first: plan, costs and prices are the same.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from .characteristics import Characteristic, characteristics
from .choices import Standing, ranked_choices
from .crossovers import Band, Crossover, find_bands, find_crossovers
from .dated import Dated, DueBand, Otherwise
from .dating import Dating
from .due_bands import find_due_bands
from .flips import Replanned
from .hurry import otherwise_of
from .job import Job, times_coverage
from .job_table import JobCosts, JobTable
from .offers import Offer, PricedJob
from .plan import Plan, Planner, chosen_of, lean_table
from .plant import Plant
from .ranking import BY_PRICE, RankBy
from .remedies import Remedy, remedies
from .sensitivity import Hanging, what_it_hangs_on
from .timing import Timing

CURVE_POINTS = 60
# What a comparison tells beyond who wins where, when asked to.
EXPLAINED = ("cost_bands", "sensitivity", "remedies")


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

    choices: for each quantity asked, in its order, one offer a press, the best first
    standings: when each of them is ready, and where it stands by what they are ranked by
    otherwise: for each quantity what else there is, where the cheapest is too late
    trade_offs: for each quantity what is worth its price for being ready earlier
    due_bands: as bands, but by what holds the due date; None without one
    bands: between the asked bounds, without a gap; empty when no press can make the job
    hanging: what the crossovers and the answers hang on; None where not asked for
    cost_bands: the same by what the job costs the plant, whatever it asks; None where not asked for
    remedies: of each press excluded from a part; None where not asked for
    """

    job: Job
    plant: Plant
    plan: Plan
    costs: JobCosts | None = None
    choices: tuple[tuple[Offer, ...], ...] = ()
    standings: tuple[tuple[Standing, ...], ...] = ()
    otherwise: tuple[Otherwise, ...] = ()
    trade_offs: tuple[tuple[Dated, ...], ...] = ()
    bands: tuple[Band, ...] = ()
    due_bands: tuple[DueBand, ...] | None = None
    crossovers: tuple[Crossover, ...] = ()
    characteristics: tuple[Characteristic, ...] = ()
    curves: tuple[PressCurve, ...] = ()
    cost_bands: tuple[Band, ...] | None = None
    hanging: Hanging | None = None
    remedies: tuple[Remedy, ...] | None = None


def compare(
    job: Job,
    plant: Plant,
    planner: Planner,
    timing: Timing,
    *,
    up_to: int,
    start: int = 1,
    with_curves: bool = False,
    explain: Collection[str] = (),
    rank_by: RankBy = BY_PRICE,
    only_processes: Collection[str] = (),
    only_presses: Collection[str] = (),
) -> Comparison:
    """Compare every press of a plant for a job; bands run from `start` to `up_to`.

    explain: which of EXPLAINED to add; rank_by: what puts the choices in order; bands are by price

    Raises bands.TooClose when two presses cannot be told apart that far.
    """
    filters = {"only_processes": only_processes, "only_presses": only_presses}
    plan, known = planner.plan(job, plant, **filters), planner.processes
    facts = job, plant, known.about, planner.abilities(plant)
    cured = None
    if "remedies" in explain:
        cured = remedies(job, plant, plan, known, chosen_of(plant, **filters))
    table = plan.job_table
    if table is None:
        rows = characteristics(*facts)
        return Comparison(job, plant, plan, characteristics=rows, remedies=cured)
    lean = plan.lean or _lean(table)
    priced = PricedJob(table, job.quantities, lean)
    dating = Dating(job, plant, timing, priced)
    ranked = ranked_choices(priced, dating, rank_by)
    choices = tuple(each.offers for each in ranked)
    bands = find_bands(lean, up_to, start)
    hanging = None
    if "sensitivity" in explain:
        again = _replanner(job, plant, planner, **filters)
        hanging = what_it_hangs_on(job, table, bands, again, up_to=up_to, start=start)
    middle = choices[len(choices) // 2]
    return Comparison(
        job, plant, plan, priced.costs, choices,
        standings=tuple(each.standings for each in ranked),
        otherwise=otherwise_of(priced, dating, job, plant, planner, timing, **filters),
        trade_offs=tuple(each.trade_off for each in ranked),
        bands=bands,
        due_bands=find_due_bands(table, job, plant, timing, up_to=up_to, start=start),
        crossovers=find_crossovers(bands),
        characteristics=characteristics(*facts, table, priced.costs, middle, bands),
        curves=press_curves(table, start, up_to) if with_curves else (),
        cost_bands=_cost_bands(table, up_to, start) if "cost_bands" in explain else None,
        hanging=hanging,
        remedies=cured,
    )


def _replanner(
    job: Job, plant: Plant, planner: Planner, **filters: Collection[str]
) -> Replanned:
    """Return what plans the job anew with so many times its coverage, each once."""

    @cache
    def replanned(times: float) -> JobTable | None:
        other = replace(job, parts=tuple(times_coverage(part, times) for part in job.parts))
        return planner.plan_aside(other, plant, **filters).job_table

    return replanned


def _cost_bands(table: JobTable, up_to: int, start: int) -> tuple[Band, ...]:
    """Return which presses cost the plant least."""
    return find_bands(_lean(table.at_cost()), up_to, start)


def _lean(table: JobTable) -> JobTable:
    """Return a job without what never wins; a single part's contest leaves that out by itself."""
    return table if len(table.per_copy) == 1 else lean_table(table)


def press_curves(
    table: JobTable, start: int, up_to: int, also: Sequence[int] = ()
) -> tuple[PressCurve, ...]:
    """Return the curve of each press between two quantities, some others counted in."""
    spread = np.geomspace(start, up_to, CURVE_POINTS).round().astype(np.int64)
    quantities = tuple(np.union1d(spread, np.array(also, dtype=np.int64)).tolist())
    priced = PricedJob(table, quantities)
    found = []
    for press, ways in table.first.by_press().items():
        offers = priced.offers_of(ways)
        found.append(
            PressCurve(
                table.first.ways[ways[0]].process,
                press,
                quantities,
                tuple(offer.cost for offer in offers),
                tuple(offer.price for offer in offers),
            )
        )
    return tuple(found)
