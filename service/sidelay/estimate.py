"""The first use case: for each quantity of a job, the best offer and what it is made of.

    job x plant -> plan -> costs of every route at every quantity -> prices -> the cheapest

Read this first, then `compare.py`.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from .costing import Costs, CostTable
from .job import Job
from .money import Cents
from .plan import Plan, Planner
from .plant import Plant
from .pricing import PricePolicy, prices
from .ranking import cheapest, cheapest_of

RUN_ON = 1000


@dataclass(frozen=True)
class Offer:
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

    price, cost, run_on_price [route, quantity]; fixed [route]
    """

    costs: Costs
    price: Cents
    cost: Cents
    fixed: Cents
    price_further: Cents
    cost_further: Cents

    def offer(self, quantity: int, column: int, route: int, of_press: Sequence[int]) -> Offer:
        """Return the offer of a route; its run-on is the cheapest that the same press can do."""
        further = (
            self.price_further[:, column : column + 1],
            self.cost_further[:, column : column + 1],
        )
        next_route = int(cheapest_of(of_press, *further)[0])
        price = int(self.price[route, column])
        return Offer(
            quantity=quantity,
            route=route,
            cost=int(self.cost[route, column]),
            fixed_cost=int(self.fixed[route]),
            price=price,
            run_on_price=int(self.price_further[next_route, column]) - price,
            beaten=self._beaten(column, route, of_press),
            column=column,
        )

    def _beaten(self, column: int, route: int, of_press: Sequence[int]) -> tuple[int, int] | None:
        others = [other for other in of_press if other != route]
        if not others:
            return None
        here = self.price[:, column : column + 1], self.cost[:, column : column + 1]
        second = int(cheapest_of(others, *here)[0])
        return second, int(self.price[second, column] - self.price[route, column])


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
    presses = routes_by_press(plan.table)
    offers = [
        priced.offer(quantity, column, route, presses[press_of(plan.table, route)])
        for column, (quantity, route) in enumerate(
            zip(job.quantities, cheapest(priced.price, priced.cost).tolist(), strict=True)
        )
    ]
    return Estimate(job, plant, plan, priced.costs, tuple(offers))


def price_routes(table: CostTable, quantities: Sequence[int], policy: PricePolicy) -> PricedRoutes:
    """Cost and price every route at the quantities, at nought, and at a further 1,000 of each."""
    asked = np.array(quantities, dtype=np.int64)
    costs = table.at(np.concatenate([asked, asked + RUN_ON, [0]]))
    price = prices(costs.by_kind, policy)
    n = len(asked)
    return PricedRoutes(
        costs=costs,
        price=price[:, :n],
        cost=costs.total[:, :n],
        fixed=costs.total[:, -1],
        price_further=price[:, n : 2 * n],
        cost_further=costs.total[:, n : 2 * n],
    )


def press_of(table: CostTable, route: int) -> str:
    """Return the id of the press that a route runs on."""
    return table.routes[route].press.id


def routes_by_press(table: CostTable) -> dict[str, list[int]]:
    """Return the numbers of the routes of each press, presses in the fixed order."""
    found: dict[str, list[int]] = {}
    for number, route in enumerate(table.routes):
        found.setdefault(route.press.id, []).append(number)
    return found
