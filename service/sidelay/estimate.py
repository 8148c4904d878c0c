"""The first use case: for each quantity of a job, the best offer and what it is made of.

    job x plant -> plan -> costs of every way to make each part, at every quantity
                        -> values, marked up -> the least of each part -> the price of the sum

Read this first, then `compare.py`.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from .job import Job
from .job_table import JobCosts, JobTable, cheapest_ways, columns
from .money import Cents
from .plan import Plan, Planner
from .plant import Plant
from .pricing import own_prices, prices
from .ranking import cheapest_of
from .ways import cost_by_kind

RUN_ON = 1000
# Beyond this no larger quantity at the same price is looked for.
MOST_SOUGHT = 100_000_000


class Made(NamedTuple):
    """How one part is made in an offer: the number of its way, and the route of each stretch."""

    way: int
    routes: tuple[int, ...]


class Offer(NamedTuple):
    """A job on one press for its first part, at one quantity; money in minor units.

    parts: how each part is made, in the order of the job
    cost, fixed_cost: all of it, and the part that is there before the first copy
    price: net of tax; run_on_price: for a further 1,000 on the same press
    same_price_to: the largest quantity that costs no more, where the price policy makes it so; None
        where it does not
    beaten: the next cheapest routes of the first part on the same press, and how much dearer
    column: where the quantity stands in the costs
    """

    quantity: int
    parts: tuple[Made, ...]
    cost: int
    fixed_cost: int
    price: int
    run_on_price: int
    same_price_to: int | None
    beaten: tuple[Made, int] | None
    column: int


@dataclass(frozen=True)
class Estimate:
    """The best offer for each quantity, in the order asked; none when no press can make the job."""

    job: Job
    plant: Plant
    plan: Plan
    costs: JobCosts | None
    offers: tuple[Offer, ...]


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
    if plan.job_table is None:
        return Estimate(job, plant, plan, None, ())
    priced = PricedJob(plan.job_table, job.quantities)
    return Estimate(job, plant, plan, priced.costs, tuple(o[0] for o in priced.ranked_offers()))


class PricedJob:
    """A job costed and priced at the quantities asked, at a further 1,000 of each, and at nought.

    costs: at all of them; price, price_further: for each way of the first part [way, quantity]
    """

    def __init__(self, table: JobTable, quantities: Sequence[int]) -> None:
        self.table, self.quantities = table, tuple(quantities)
        asked, policy = columns(quantities), table.policy
        steps = columns(policy.thresholds)
        self.costs = table.at(np.concatenate([asked, asked + RUN_ON, [0], steps]))
        self._n, value = len(asked), self.costs.value
        n, at_steps = self._n, value[:, 2 * self._n + 1 :]
        self.value, self._further = value[:, :n], value[:, n : 2 * n]
        self.price = prices(self.value, asked, policy, at_steps)
        self.price_further = prices(self._further, asked + RUN_ON, policy, at_steps)
        self._at_steps = at_steps
        self._best = cheapest_ways(self.costs)
        self._alone: dict[int, JobTable] = {}

    def ranked_offers(self) -> tuple[tuple[Offer, ...], ...]:
        """Return the best offer of each press at each quantity, the cheapest first."""
        by_press = [self.offers_of(ways) for ways in self.table.parts[0].by_press().values()]
        return tuple(
            tuple(sorted(offers, key=lambda o: (o.price, self._value(o), o.parts[0].way)))
            for offers in zip(*by_press, strict=True)
        )

    def _value(self, offer: Offer) -> float:
        return float(self.value[offer.parts[0].way, offer.column])

    def offers_of(self, ways: Sequence[int]) -> list[Offer]:
        """Return the offer of one press at each quantity, the cheapest of its ways.

        The run-on is the cheapest that the press can do, in whichever way.
        """
        chosen = cheapest_of(ways, self.price, self.value)
        further = cheapest_of(ways, self.price_further, self._further)
        return [
            self._offer(ways, int(chosen[column]), int(further[column]), column)
            for column in range(self._n)
        ]

    def _offer(self, ways: Sequence[int], way: int, further: int, column: int) -> Offer:
        firsts = [way, *(int(best[column]) for best in self._best[1:])]
        parts = tuple(
            Made(number, table.chosen(number, costs, column))
            for number, table, costs in zip(
                firsts, self.table.parts, self.costs.parts, strict=True
            )
        )
        price = int(self.price[way, column])
        return Offer(
            quantity=self.quantities[column],
            parts=parts,
            cost=int(self._by_kind(parts, column).sum()),
            fixed_cost=int(self._by_kind(parts, 2 * self._n).sum()),
            price=price,
            run_on_price=int(self.price_further[further, column]) - price,
            same_price_to=self._same_price_to(way, price, column),
            beaten=self._beaten(ways, parts[0], price, column),
            column=column,
        )

    def _by_kind(self, parts: Sequence[Made], column: int) -> Cents:
        """Return what an offer costs by kind at a quantity, made as it is made."""
        summed: Cents = self.costs.assembly.bill.by_kind[0, :, column].copy()
        for made, found in zip(parts, self.costs.parts, strict=True):
            summed += cost_by_kind(made.routes, found, column)
        return summed

    def _beaten(
        self, ways: Sequence[int], made: Made, price: int, column: int
    ) -> tuple[Made, int] | None:
        """Return the next cheapest routes of the first part on its press, and how much dearer."""
        table, found = self.table.parts[0], self.costs.parts[0]
        value = found.route_value[:, column]
        others = [
            (float(found.value[way, column]), Made(way, table.chosen(way, found, column)))
            for way in ways
            if way != made.way
        ]
        own = float(found.value[made.way, column])
        for place, stretch in enumerate(table.ways[made.way].stretches):
            rest = [route for route in stretch if route != made.routes[place]]
            if rest:
                second = min(rest, key=lambda route: (value[route], route))
                routes = (*made.routes[:place], second, *made.routes[place + 1 :])
                dearer = own + float(value[second] - value[made.routes[place]])
                others.append((dearer, Made(made.way, routes)))
        if not others:
            return None
        least, second_made = min(others, key=lambda other: other[0])
        return second_made, self._price_of(least, made.way, column) - price

    def _same_price_to(self, way: int, price: int, column: int) -> int | None:
        """Return the largest quantity that costs no more, where the price policy makes it so.

        That is under the minimum charge, and where a lower margin makes more cheaper. It is found
        by trying ever closer quantities, since no price falls as quantity rises.
        """
        policy, quantity = self.table.policy, self.quantities[column]
        least = np.array([[self.value[way, column]]])
        plain = int(own_prices(least, columns([quantity]), policy)[0, 0])
        minimum = int(own_prices(0 * least, columns([quantity]), policy)[0, 0])
        if price != minimum and price >= plain:
            return None
        low, step = quantity, max(1, quantity // 2)
        while self._price_at(way, low + step) <= price and low < MOST_SOUGHT:
            low, step = low + step, step * 2
        high = low + step
        while high - low > 1:
            middle = (low + high) // 2
            if self._price_at(way, middle) <= price:
                low = middle
            else:
                high = middle
        return low

    def _price_at(self, way: int, quantity: int) -> int:
        asked = columns([quantity])
        value = self._one_way(way).at(asked).value
        found = prices(value, asked, self.table.policy, self._at_steps[way : way + 1])
        return int(found[0, 0])

    def _one_way(self, way: int) -> JobTable:
        """Return the job with one way of its first part; kept, since it is asked again."""
        if way not in self._alone:
            self._alone[way] = self.table.with_first(self.table.parts[0].only(way))
        return self._alone[way]

    def _price_of(self, first_value: float, way: int, column: int) -> int:
        """Return the price at one quantity with another value of the first part."""
        value = np.array([[first_value + float(self.costs.others[column])]])
        asked = columns(self.quantities[column : column + 1])
        found = prices(value, asked, self.table.policy, self._at_steps[way : way + 1])
        return max(int(found[0, 0]), int(self.price[way, column]))
