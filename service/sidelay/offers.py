"""A job's offers: costed at the quantities asked, priced, the cheapest of them told from the rest.

    costs of every way to make each part, at every quantity -> values, marked up
        -> the least of each part -> the price of the sum
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .curve import Array
from .figures import Amount
from .job_table import JobTable, MakeupCosts, columns
from .least_prices import least_prices
from .money import PIECE_DIGITS, Cents, to_minor
from .pricing import KINDS, prices, values
from .ranking import cheapest, cheapest_of
from .same_price import largest_at_no_more
from .ways import Made, cost_by_kind

RUN_ON = 1000
# Copies between which a longer run of the same make costs its long-run unit cost. Carriers wear out
# and curves are flat long before; the second is the largest quantity that a comparison looks at.
FAR = (500_000_000, 1_000_000_000)


class Offer(NamedTuple):
    """A job on one press for its first part, at one quantity; money in minor units.

    parts: how each part is made, in the order of the job; makeup: with which binder
    cost, fixed_cost: all of it, and the part that is there before the first copy
    price: net of tax; run_on_price: for a further 1,000 on the same press
    same_price_to: the largest quantity that the plant does for no more money, on whichever press;
        None where one more costs more, and where the offer is not the best
    beaten: the next cheapest routes of the first part on the same press, and how much dearer
    column: where the quantity stands in the costs
    far_costs: what FAR copies would cost, made as these are
    overtime_cost: premium for overtime, in cost and price, none of it fixed
    as_made: whether its price is that of these routes at every quantity, larger ones that it may be
        bought up to included; else it is that of whatever is the cheapest on its press there
    """

    quantity: int
    makeup: int
    parts: tuple[Made, ...]
    cost: int
    fixed_cost: int
    price: int
    run_on_price: int
    same_price_to: int | None
    beaten: tuple[Made, int] | None
    column: int
    far_costs: tuple[int, int]
    overtime_cost: int = 0
    as_made: bool = False


@dataclass(frozen=True, slots=True)
class Columns:
    """Where what stands in the costs of a PricedJob.

    asked, steps: how many quantities are asked, and how many thresholds the price policy has
    """

    asked: int
    steps: int

    @property
    def nought(self) -> int:
        """The column of no copies: what is there before the first."""
        return 3 * self.asked

    @property
    def thresholds(self) -> slice:
        """The columns of the thresholds."""
        return slice(self.nought + 1, self.nought + 1 + self.steps)

    @property
    def far(self) -> tuple[int, int]:
        """The columns of the two quantities FAR."""
        first = self.nought + 1 + self.steps
        return first, first + 1


class PricedJob:
    """A job costed and priced at the quantities asked, a further 1,000 and one more, and nought; at
    the thresholds of the policy and at FAR.

    costs: at all of them, and at the further quantities given; step_prices: the least price at each
        of those
    price, price_further: for each way of the first part [way, quantity]
    decides, decides_further: the same where those are level (JobCosts.deciding)
    """

    def __init__(
        self,
        table: JobTable,
        quantities: Sequence[int],
        lean: JobTable | None = None,
        further: Sequence[int] = (),
    ) -> None:
        """Cost a job.

        lean: the same without what is never the cheapest, where that is at hand
        further: quantities of which nothing but the least price is wanted
        """
        self.table, self.quantities, self._lean = table, tuple(quantities), lean or table
        asked, policy = columns(quantities), table.policy
        steps = columns(policy.thresholds)
        nought, far = columns([0]), columns(FAR)
        beside = columns(further)
        looked_at = np.concatenate([asked, asked + RUN_ON, asked + 1, nought, steps, far, beside])
        self.costs = table.at(looked_at)
        self._n = n = len(asked)
        value, self._columns = self.costs.value, Columns(n, len(steps))
        self._at_steps = value[:, self._columns.thresholds]
        self.price = self._prices(value[:, :n], asked)
        self.price_further = self._prices(value[:, n : 2 * n], asked + RUN_ON)
        deciding = self.costs.deciding
        self.decides, self.decides_further = deciding[:, :n], deciding[:, n : 2 * n]
        of_further = value[:, len(looked_at) - len(beside) :]
        self.step_prices = self._prices(of_further, beside).min(axis=0)
        self._price_of_one_more = self._prices(value[:, 2 * n : 3 * n], asked + 1).min(axis=0)

    def _prices(self, value: Array, quantities: NDArray[np.int64]) -> Cents:
        return prices(value, quantities, self.table.policy, self._at_steps)

    def best_offers(self) -> tuple[Offer, ...]:
        """Return the best offer at each quantity."""
        by_press, ways = self.table.first.by_press(), self.table.first.ways
        best = cheapest(self.price, self.decides).tolist()
        further = {press: self._further(by_press[press]) for press in {ways[w].press for w in best}}
        return self._told(
            [
                self._offer(by_press[press], way, further[press][column], column)
                for column, way in enumerate(best)
                for press in (ways[way].press,)
            ]
        )

    def ranked_offers(self) -> tuple[tuple[Offer, ...], ...]:
        """Return the best offer of each press at each quantity, the cheapest first."""
        by_press = [self.offers_of(ways) for ways in self.table.first.by_press().values()]
        return self.ranked(list(zip(*by_press, strict=True)), self.decides)

    def ranked(
        self, offers: Sequence[Sequence[Offer]], decides: Array
    ) -> tuple[tuple[Offer, ...], ...]:
        """Return offers at each quantity, the cheapest first, which tells how many more cost alike.

        decides: what decides where prices are level [way, quantity]
        """
        ranked = [
            sorted(
                found,
                key=lambda o: (o.price, float(decides[o.parts[0].way, o.column]), o.parts[0].way),
            )
            for found in offers
        ]
        told = self._told([found[0] for found in ranked])
        return tuple((best, *others) for best, (_, *others) in zip(told, ranked, strict=True))

    def asked_for(self, offer: Offer) -> Offer:
        """Return an offer as it is made, at the price asked for that and for 1,000 more made so."""
        policy, found = self.table.policy, self.costs.makeups[offer.makeup]
        steps = self._columns.thresholds
        columns_of = (offer.column, self._n + offer.column, *range(steps.start, steps.stop))
        cost = cost_by_column(found, offer.parts)[:, columns_of]
        cost[KINDS.index("time")] += offer.overtime_cost
        value = values(cost, policy, rush=self.table.rush)
        asked = columns((offer.quantity, offer.quantity + RUN_ON))
        price, further = prices(value[:2], asked, policy, value[2:]).tolist()
        return offer._replace(price=price, run_on_price=further - price, as_made=True)

    def made_so(
        self, makeup: int, parts: Sequence[Made], column: int, overtime: float = 0.0
    ) -> Offer:
        """Return the offer of a job that is made so at one quantity, the cheapest or not.

        overtime: premium for it [currency]
        """
        found, parts = self.costs.makeups[makeup], tuple(parts)
        premium = int(to_minor(np.array([[overtime]]), self.table.first.table.digits)[0, 0])
        offer = Offer(
            quantity=self.quantities[column],
            makeup=makeup,
            parts=parts,
            cost=int(_by_kind(found, parts, column).sum()) + premium,
            fixed_cost=int(_by_kind(found, parts, self._columns.nought).sum()),
            price=0,
            run_on_price=0,
            same_price_to=None,
            beaten=None,
            column=column,
            far_costs=self._far_costs(found, parts),
            overtime_cost=premium,
        )
        return self.asked_for(offer)

    def _told(self, best: Sequence[Offer]) -> tuple[Offer, ...]:
        """Tell of the best offers how many more cost no more."""
        level = [o for o in best if self._price_of_one_more[o.column] <= o.price]
        if not level:
            return tuple(best)
        largest = largest_at_no_more(
            partial(least_prices, self._lean), [o.quantity for o in level], [o.price for o in level]
        )
        told = dict(zip((o.column for o in level), largest, strict=True))
        return tuple(o._replace(same_price_to=told.get(o.column)) for o in best)

    def _further(self, ways: Sequence[int]) -> list[int]:
        """Return the cheapest of some ways for a further 1,000 [quantity]."""
        found = cheapest_of(ways, self.price_further, self.decides_further)
        return [int(way) for way in found]

    def offers_of(self, ways: Sequence[int]) -> list[Offer]:
        """Return the offer of one press at each quantity, the cheapest of its ways.

        The run-on is the cheapest that the press can do, in whichever way.
        """
        chosen = cheapest_of(ways, self.price, self.decides)
        further = self._further(ways)
        return [
            self._offer(ways, int(chosen[column]), further[column], column)
            for column in range(self._n)
        ]

    def _offer(self, ways: Sequence[int], way: int, further: int, column: int) -> Offer:
        makeup = self.costs.makeup(way, column)
        found, tables = self.costs.makeups[makeup], self.table.makeups[makeup].parts
        ways_taken = [way, *(int(part.value[:, column].argmin()) for part in found.parts[1:])]
        parts = tuple(
            Made(number, table.chosen(number, costs, column))
            for number, table, costs in zip(ways_taken, tables, found.parts, strict=True)
        )
        price = int(self.price[way, column])
        return Offer(
            quantity=self.quantities[column],
            makeup=makeup,
            parts=parts,
            cost=int(_by_kind(found, parts, column).sum()),
            fixed_cost=int(_by_kind(found, parts, self._columns.nought).sum()),
            price=price,
            run_on_price=int(self.price_further[further, column]) - price,
            same_price_to=None,
            beaten=self._beaten(makeup, ways, parts[0], price, column),
            column=column,
            far_costs=self._far_costs(found, parts),
        )

    def _far_costs(self, found: MakeupCosts, parts: Sequence[Made]) -> tuple[int, int]:
        less, more = (int(_by_kind(found, parts, far).sum()) for far in self._columns.far)
        return less, more

    def _beaten(
        self, makeup: int, ways: Sequence[int], made: Made, price: int, column: int
    ) -> tuple[Made, int] | None:
        """Return the next cheapest routes of the first part on its press, and how much dearer."""
        table = self.table.makeups[makeup].parts[0]
        found = self.costs.makeups[makeup].parts[0]
        value = found.route_value[:, column]
        others = [
            (float(found.value[way, column]), Made(way, table.chosen(way, found, column)))
            for way in ways
            if way != made.way and not table.ways[way].barred
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
        whole = least + float(self.costs.makeups[makeup].others[column])
        return second_made, self._price_of(whole, made.way, column) - price

    def _price_of(self, of_job: float, way: int, column: int) -> int:
        """Return the price of another value of the job at one quantity."""
        value = np.array([[of_job]])
        asked = columns(self.quantities[column : column + 1])
        found = prices(value, asked, self.table.policy, self._at_steps[way : way + 1])
        return max(int(found[0, 0]), int(self.price[way, column]))


@dataclass(frozen=True, slots=True)
class Shape:
    """The two lines that the cost of one copy nears over quantity, on scales of logarithms.

    At few copies the cost of one nears fixed / quantity, at many the long-run unit cost.

    fixed: cost before the first copy
    long_run_unit_cost: what one copy more costs, made as these are, however many
    balanced_at: copies at which both are as large; None where a copy more costs nothing
    """

    fixed: Amount
    long_run_unit_cost: Amount
    balanced_at: int | None


def shape_of(offer: Offer, digits: int) -> Shape:
    """Return the shape of an offer's cost over quantity. digits: of the currency.

    The long-run unit cost is what an offer costs at the quantities FAR, the difference over theirs;
    stock is then at its lowest price.
    """
    scale, span = 10**PIECE_DIGITS, FAR[1] - FAR[0]
    risen = max(offer.far_costs[1] - offer.far_costs[0], 0)
    unit = (2 * risen * scale + span) // (2 * span)
    balanced = (2 * offer.fixed_cost * scale + unit) // (2 * unit) if unit else None
    return Shape(Amount(offer.fixed_cost, digits), Amount(unit, digits + PIECE_DIGITS), balanced)


def cost_by_column(found: MakeupCosts, parts: Sequence[Made]) -> Cents:
    """Return what a job costs that is made so, at each column of its costs [kind, column]."""
    summed: Cents = found.assembly.bill.by_kind[0].copy()
    for made, costs in zip(parts, found.parts, strict=True):
        summed += costs.costs.by_kind[list(made.routes)].sum(axis=0)
    return summed


def _by_kind(found: MakeupCosts, parts: Sequence[Made], column: int) -> Cents:
    """Return what an offer costs by kind at a quantity, made as it is made."""
    summed: Cents = found.assembly.bill.by_kind[0, :, column].copy()
    for made, costs in zip(parts, found.parts, strict=True):
        summed += cost_by_kind(made.routes, costs, column)
    return summed
