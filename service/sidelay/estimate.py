"""The first use case: for each quantity of a job, the best offer and what it is made of.

    job x plant -> plan -> costs of every way to make each part, at every quantity
                        -> values, marked up -> the least of each part -> the price of the sum
                        -> its operations on the clock -> when it is ready, whether that holds

The best is the cheapest; with a due date, the cheapest that holds. Read this first, then
`compare.py`; offers.py has the money in it, dating.py the clock.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from .dating import DatedOffer, Dating
from .hurry import with_remedies
from .job import Job
from .job_table import JobCosts
from .offers import Offer, PricedJob
from .plan import Plan, Planner
from .plant import Plant
from .timing import Timing


@dataclass(frozen=True)
class Estimate:
    """The best offer for each quantity, in the order asked; none when no press can make the job.

    dated: of each of them when it is ready, and what else there is
    step_prices: the least price at each of the further quantities [minor units], whatever is due
    """

    job: Job
    plant: Plant
    plan: Plan
    costs: JobCosts | None
    offers: tuple[Offer, ...]
    dated: tuple[DatedOffer, ...] = ()
    step_prices: tuple[int, ...] = ()


def estimate(
    job: Job,
    plant: Plant,
    planner: Planner,
    timing: Timing,
    *,
    only_processes: Collection[str] = (),
    only_presses: Collection[str] = (),
    further: Sequence[int] = (),
) -> Estimate:
    """Return the best offer for each quantity of a job on a plant, presses filtered where asked.

    further: quantities of which nothing but the least price is wanted
    """
    filters = {"only_processes": only_processes, "only_presses": only_presses}
    plan = planner.plan(job, plant, **filters)
    if plan.job_table is None:
        return Estimate(job, plant, plan, None, ())
    priced = PricedJob(plan.job_table, job.quantities, plan.lean, further)
    dating = Dating(job, plant, timing, priced)
    dated = tuple(map(dating.best, priced.best_offers()))
    dated = with_remedies(dated, job, plant, planner, timing, **filters)
    offers, steps = tuple(each.offer for each in dated), tuple(priced.step_prices.tolist())
    return Estimate(job, plant, plan, priced.costs, offers, dated, steps)
