"""The second use case: which process to use from which quantity to which, and why not others.

    job x plant -> plan -> every press for the first part at the asked quantities, ranked
                        -> the cheapest press of each part at every whole quantity -> bands
                        -> crossovers

Read `estimate.py` first: plan, costs and prices are the same.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np

from .crossovers import Band, Crossover, find_bands, find_crossovers
from .estimate import Offer, PricedJob
from .job import Job
from .job_table import JobCosts, JobTable
from .plan import Plan, Planner, chosen_of, lean_table
from .plant import Plant
from .pricing import AT_COST
from .remedies import Remedy, remedies
from .ways import PartTable
from .work import Process

CURVE_POINTS = 60
# What a comparison tells beyond who wins where, when asked to.
EXPLAINED = ("cost_bands", "sensitivity", "remedies")


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
    bands: between the asked bounds, without a gap; empty when no press can make the job
    cost_bands: the same by what the job costs the plant, whatever it asks; None where not asked for
    remedies: of each press excluded from a part; None where not asked for
    """

    job: Job
    plant: Plant
    plan: Plan
    costs: JobCosts | None
    choices: tuple[tuple[Offer, ...], ...]
    bands: tuple[Band, ...]
    crossovers: tuple[Crossover, ...]
    cost_bands: tuple[Band, ...] | None
    characteristics: tuple[Characteristic, ...]
    curves: tuple[PressCurve, ...]
    remedies: tuple[Remedy, ...] | None = None


def compare(
    job: Job,
    plant: Plant,
    planner: Planner,
    *,
    up_to: int,
    start: int = 1,
    with_curves: bool = False,
    explain: Collection[str] = (),
    only_processes: Collection[str] = (),
    only_presses: Collection[str] = (),
) -> Comparison:
    """Compare every press of a plant for a job; bands run from `start` to `up_to`.

    explain: which of EXPLAINED to add

    Raises bands.TooClose when two presses cannot be told apart that far.
    """
    plan = planner.plan(job, plant, only_processes=only_processes, only_presses=only_presses)
    cured = None
    if "remedies" in explain:
        chosen = chosen_of(plant, only_processes, only_presses)
        cured = remedies(job, plant, plan, planner.processes, chosen)
    about = planner.processes.about
    offered = [about[p] for p in sorted({installed.process for installed in plant.presses})]
    if plan.job_table is None:
        nothing = tuple(Characteristic(process, None, ()) for process in offered)
        return Comparison(job, plant, plan, None, (), (), (), None, nothing, (), cured)
    lean = plan.lean or lean_table(plan.job_table)
    priced = PricedJob(plan.job_table, job.quantities, lean)
    choices = priced.ranked_offers()
    bands = find_bands(lean, up_to, start)
    return Comparison(
        job=job,
        plant=plant,
        plan=plan,
        costs=priced.costs,
        choices=choices,
        bands=bands,
        crossovers=find_crossovers(bands),
        cost_bands=_cost_bands(plan.job_table, up_to, start) if "cost_bands" in explain else None,
        characteristics=_characteristics(plan.job_table.first, offered, choices, bands),
        curves=_curves(plan.job_table, start, up_to) if with_curves else (),
        remedies=cured,
    )


def _cost_bands(table: JobTable, up_to: int, start: int) -> tuple[Band, ...]:
    """Return which presses cost the plant least."""
    return find_bands(lean_table(replace(table, policy=AT_COST, rush=False)), up_to, start)


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


def _curves(table: JobTable, start: int, up_to: int) -> tuple[PressCurve, ...]:
    spread = np.unique(np.geomspace(start, up_to, CURVE_POINTS).round().astype(np.int64))
    quantities = tuple(spread.tolist())
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
