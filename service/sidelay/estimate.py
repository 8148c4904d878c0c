"""The first use case: for each quantity of a job, the best offer and what it is made of.

    job x plant -> plan -> costs of every route at every quantity -> prices -> the cheapest

Read this first, then `compare.py`.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from .costing import Costs, CostTable
from .job import Job
from .money import Cents
from .plan import Plan, Planner
from .plant import Plant
from .pricing import PricePolicy, prices_of_costs
from .ranking import Index, cheapest, cheapest_of

RUN_ON = 1000


class Offer(NamedTuple):
    """One route at one quantity; money in minor units.

    route: its number in the plan's table
    cost, fixed_cost: all of it, and the part that is there before the first copy
    price: net of tax; run_on_price: for a further 1,000 on the same press
    beaten: the next cheapest route of the same press, and how much dearer it would be
    column: where the quantity stands in the costs
    """

    quantity: int
    route: int
    cost: int
    fixed_cost: int
    price: int
    run_on_price: int
    beaten: tuple[int, int] | None
    column: int


@dataclass(frozen=True)
class Estimate:
    """The best offer for each quantity, in the order asked; none when no press can make the job."""

    job: Job
    plant: Plant
    plan: Plan
    costs: Costs | None
    offers: tuple[Offer, ...]


@dataclass(frozen=True)
class PricedRoutes:
    """Every route costed and priced at the quantities, at nought, and at a further 1,000 each.

    price, cost, price_further, cost_further [route, quantity]; fixed [route]
    """

    costs: Costs
    price: Cents
    cost: Cents
    fixed: Cents
    price_further: Cents
    cost_further: Cents

    def offers(
        self, quantities: Sequence[int], chosen: Index, of_press: Sequence[int]
    ) -> list[Offer]:
        """Return the offer of one press at each quantity.

        chosen: the route taken at each; of_press: the routes of the press. The run-on is the
        cheapest that the press can do, on whichever of its routes.
        """
        columns = np.arange(len(quantities))
        price = self.price[chosen, columns]
        further = cheapest_of(of_press, self.price_further, self.cost_further)
        run_on = self.price_further[further, columns] - price
        beaten = self._beaten(chosen, of_press) if len(of_press) > 1 else [None] * len(columns)
        return [
            Offer(*figures)
            for figures in zip(
                quantities,
                chosen.tolist(),
                self.cost[chosen, columns].tolist(),
                self.fixed[chosen].tolist(),
                price.tolist(),
                run_on.tolist(),
                beaten,
                columns.tolist(),
                strict=True,
            )
        ]

    def _beaten(self, chosen: Index, of_press: Sequence[int]) -> Sequence[tuple[int, int] | None]:
        """Return the second-cheapest route of a press at each quantity, and how much dearer."""
        rows, columns = np.asarray(of_press), np.arange(len(chosen))
        others = self.price[rows].copy()
        others[np.searchsorted(rows, chosen), columns] = np.iinfo(np.int64).max
        second = rows[cheapest(others, self.cost[rows])]
        dearer = self.price[second, columns] - self.price[chosen, columns]
        return list(zip(second.tolist(), dearer.tolist(), strict=True))


def estimate(
    job: Job,
    plant: Plant,
    planner: Planner,
    *,
    only_processes: Collection[str] = (),
    only_presses: Collection[str] = (),
) -> Estimate:
    """Return the best offer for each quantity of a job on a plant, presses filtered where asked."""
    plan = planner.plan(job, plant, only_processes=only_processes, only_presses=only_presses)
    if plan.table is None:
        return Estimate(job, plant, plan, None, ())
    priced = price_routes(plan.table, job.quantities, plant.price_policy)
    ranked = ranked_offers(plan.table, priced, job.quantities)
    return Estimate(job, plant, plan, priced.costs, tuple(offers[0] for offers in ranked))


def ranked_offers(
    table: CostTable, priced: PricedRoutes, quantities: Sequence[int]
) -> tuple[tuple[Offer, ...], ...]:
    """Return the best offer of each press at each quantity, the cheapest first."""
    by_press = [
        priced.offers(quantities, cheapest_of(routes, priced.price, priced.cost), routes)
        for routes in routes_by_press(table).values()
    ]
    return tuple(
        tuple(sorted(offers, key=lambda offer: (offer.price, offer.cost, offer.route)))
        for offers in zip(*by_press, strict=True)
    )


def price_routes(table: CostTable, quantities: Sequence[int], policy: PricePolicy) -> PricedRoutes:
    """Cost and price every route at the quantities, at nought, and at a further 1,000 of each."""
    asked = np.array(quantities, dtype=np.int64)
    costs = table.at(np.concatenate([asked, asked + RUN_ON, [0]]))
    price = prices_of_costs(costs.by_kind, policy)
    n = len(asked)
    return PricedRoutes(
        costs=costs,
        price=price[:, :n],
        cost=costs.total[:, :n],
        fixed=costs.total[:, -1],
        price_further=price[:, n : 2 * n],
        cost_further=costs.total[:, n : 2 * n],
    )


def routes_by_press(table: CostTable) -> dict[str, list[int]]:
    """Return the numbers of the routes of each press, presses in the fixed order."""
    found: dict[str, list[int]] = {}
    for number, route in enumerate(table.routes):
        found.setdefault(route.press.id, []).append(number)
    return found
