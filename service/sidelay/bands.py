"""Which route is cheapest at every whole quantity, without looking at every one.

Neither a route's price nor its cost falls as quantity rises. So if route i is cheapest at a, and at
b it is still no dearer than every other route j was at a, then for any q between them

    i(q) <= i(b) <= j(a) <= j(q)

and the whole interval is i's. Where that does not hold, the interval is split. "Dearer" compares
price, then cost, then the fixed order of routes, each of which keeps the argument true.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .costing import CostTable
from .money import Cents
from .pricing import PricePolicy, prices
from .ranking import Index, cheapest

# Quantities of the first pass, spread evenly over the logarithm; only speed depends on it.
FIRST_PASS = 48
Quantities = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Stretch:
    """A run of whole quantities, first and last included, on which one route is cheapest."""

    first: int
    last: int
    route: int


@dataclass(frozen=True)
class _Points:
    """Prices and costs [route, quantity] at rising quantities."""

    quantities: Quantities
    price: Cents
    cost: Cents

    @property
    def winners(self) -> Index:
        """The cheapest route at each quantity."""
        return cheapest(self.price, self.cost)

    def of(self, routes: Index) -> _Points:
        """Return the points of some routes alone."""
        return _Points(self.quantities, self.price[routes], self.cost[routes])

    def between(self, intervals: Index) -> tuple[_Points, _Points]:
        """Return the points at the two ends of some intervals."""
        low = _Points(self.quantities[intervals], self.price[:, intervals], self.cost[:, intervals])
        ends = intervals + 1
        return low, _Points(self.quantities[ends], self.price[:, ends], self.cost[:, ends])


def cheapest_stretches(table: CostTable, policy: PricePolicy, most: int) -> list[Stretch]:
    """Return the stretches from 1 to `most`, in order, without a gap, neighbours differing.

    Equal to choosing the cheapest route at every whole quantity on its own.
    """
    points = _evaluate(table, policy, _first_quantities(most))
    alive = _hopeful(points)
    table, points = table.subset(alive.tolist()), points.of(alive)
    open_intervals = _undecided(points, np.arange(len(points.quantities) - 1))
    decided = [points]
    while open_intervals.size:
        low, high = points.between(open_intervals)
        middle = (low.quantities + high.quantities) // 2
        split = _evaluate(table, policy, middle)
        decided.append(split)
        points = _halves(low, split, high)
        pairs = np.arange(0, len(points.quantities), 3)
        open_intervals = _undecided(points, np.concatenate([pairs, pairs + 1]))
    return _stretches(decided, alive, most)


def _first_quantities(most: int) -> Quantities:
    spread = np.geomspace(1, most, FIRST_PASS) if most > 1 else np.ones(1)
    return np.unique(np.concatenate([spread.astype(np.int64), [1, most]]))


def _evaluate(table: CostTable, policy: PricePolicy, quantities: Quantities) -> _Points:
    costs = table.at(quantities)
    return _Points(quantities, prices(costs.by_kind, policy), costs.total)


def _hopeful(points: _Points) -> Index:
    """Routes that might be cheapest somewhere, by the prices at the ends of each interval."""
    winners, columns = points.winners, np.arange(len(points.quantities))
    ceiling = points.price[winners, columns]
    if len(columns) == 1:
        return np.unique(winners)
    can_win = np.asarray((points.price[:, :-1] <= ceiling[1:]).any(axis=1))
    can_win[winners] = True
    return np.flatnonzero(can_win)


def _undecided(points: _Points, intervals: Index) -> Index:
    """Those intervals (by the number of their left end) that no single route is known to own."""
    low, high = points.between(intervals)
    winners, columns = low.winners, np.arange(len(intervals))
    price, cost = high.price[winners, columns], high.cost[winners, columns]
    # A route before the winner in the fixed order must be dearer; one behind it may be level.
    ahead = np.arange(len(points.price))[:, None] < winners
    level = (low.price == price) & np.where(ahead, low.cost > cost, low.cost >= cost)
    owned: NDArray[np.bool_] = np.asarray((low.price > price) | level)
    owned[winners, columns] = True
    far_apart = high.quantities - low.quantities > 1
    left: Index = intervals[far_apart & ~owned.all(axis=0)]
    return left


def _halves(low: _Points, middle: _Points, high: _Points) -> _Points:
    """Lay out low, middle, high of each split interval one after the other: 0 1 2, 3 4 5, ..."""

    def woven(name: str) -> NDArray[np.int64]:
        thirds = [getattr(points, name) for points in (low, middle, high)]
        return np.stack(thirds, axis=-1).reshape(*thirds[0].shape[:-1], -1)

    return _Points(woven("quantities"), woven("price"), woven("cost"))


def _stretches(decided: list[_Points], alive: Index, most: int) -> list[Stretch]:
    """Join the winners at all evaluated quantities; between two of them the first one wins."""
    quantities = np.concatenate([points.quantities for points in decided])
    winners = np.concatenate([points.winners for points in decided])
    order = np.argsort(quantities, kind="stable")
    quantities, winners = quantities[order], winners[order]
    starts = np.flatnonzero(np.concatenate([[True], winners[1:] != winners[:-1]]))
    firsts = quantities[starts]
    lasts = np.concatenate([firsts[1:] - 1, [most]])
    routes = alive[winners[starts]]
    return [
        Stretch(first, last, route)
        for first, last, route in zip(firsts.tolist(), lasts.tolist(), routes.tolist(), strict=True)
    ]
