"""The ways to make one part, and which of their routes is cheapest at each quantity.

A way is a press (with a shell printed before it, where there is one) making the whole part. It is a
sum of stretches: the sections of one size, or the part itself. Each stretch can lie on the press in
several routes, and the cheapest of them is taken at each quantity. So the least cost of a part is a
minimum over its ways of a sum over their stretches of a minimum over their routes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .costing import Costs, CostTable, Route
from .curve import Array
from .money import Cents
from .pricing import PricePolicy, values
from .what_if import AS_IT_IS, WhatIf

Index = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Way:
    """One press making a part.

    stretches: numbers of the routes of each stretch, the leading stretch first
    because: how the pages are split, "" where there is nothing to split
    shell: process and press that print shells before, None where there are none
    barred: whether the binder of the table does not take what comes off the press so
    """

    process: str
    press: str
    stretches: tuple[tuple[int, ...], ...]
    because: str = ""
    shell: tuple[str, str] | None = None
    barred: bool = False

    @property
    def presses(self) -> tuple[tuple[str, str], ...]:
        """Process and press of each press that the part runs through, in order."""
        return (*([self.shell] if self.shell else []), (self.process, self.press))


class Made(NamedTuple):
    """How one part is made in an offer: the number of its way, and the route of each stretch."""

    way: int
    routes: tuple[int, ...]


@dataclass(frozen=True)
class PartCosts:
    """What a part costs at all quantities.

    costs: of every route; route_value: marked up [route, quantity]
    value: least of each way, marked up and not rounded [way, quantity, minor units]
    """

    costs: Costs
    route_value: Array
    value: Array


class PartTable:
    """The ways of one part compiled. Immutable once built."""

    def __init__(self, table: CostTable, ways: Sequence[Way]) -> None:
        self.table, self.ways = table, tuple(ways)
        stretches = [stretch for way in self.ways for stretch in way.stretches]
        self._routes = np.array([n for stretch in stretches for n in stretch], dtype=np.intp)
        self._stretch_starts = _starts([len(stretch) for stretch in stretches])
        self._way_starts = _starts([len(way.stretches) for way in self.ways])
        self._split = len(stretches) > len(self.ways)
        self._barred = np.array([n for n, way in enumerate(self.ways) if way.barred], dtype=np.intp)

    @property
    def routes(self) -> tuple[Route, ...]:
        """Every route of the table."""
        return self.table.routes

    def at(
        self,
        pieces: NDArray[np.int64],
        policy: PricePolicy,
        *,
        rush: bool,
        given: WhatIf = AS_IT_IS,
    ) -> PartCosts:
        """Cost every way for so many pieces, a vector of whole numbers."""
        costs = self.table.at(pieces, given)
        route_value = values(costs.by_kind, policy, rush=rush)
        return PartCosts(costs, route_value, self.of_ways(route_value))

    def of_ways(self, route_value: Array) -> Array:
        """Return the least value of each way [way, quantity] from those of its routes.

        That of a barred way is infinite.
        """
        least = self.of_stretches(route_value)
        found: Array = np.add.reduceat(least, self._way_starts, axis=0) if self._split else least
        found[self._barred] = np.inf
        return found

    def of_stretches(self, route_value: Array) -> Array:
        """Return the least value of each stretch [stretch, quantity], way by way."""
        return np.minimum.reduceat(route_value[self._routes], self._stretch_starts, axis=0)

    def chosen(self, way: int, found: PartCosts, column: int) -> tuple[int, ...]:
        """Return the cheapest route of each stretch of a way at one quantity."""
        value = found.route_value[:, column]
        return tuple(
            min(stretch, key=lambda route: (value[route], route))
            for stretch in self.ways[way].stretches
        )

    def by_press(self) -> dict[str, list[int]]:
        """Return the numbers of the ways of each press, presses in the order of the ways."""
        found: dict[str, list[int]] = {}
        for number, way in enumerate(self.ways):
            found.setdefault(way.press, []).append(number)
        return found

    def subset(self, keep: Sequence[int], *route_values: Array) -> PartTable:
        """Return the table of some ways alone, without routes that cannot be the cheapest.

        route_values: values of the routes at rising quantities, one array for each change of the
        plant's figures; between two neighbours a route cannot win its stretch where it is dearer
        at the first than another at the second.
        """
        hopeful = self._hopeful(route_values)
        return self._kept(
            {
                way: [[n for n in stretch if hopeful[n]] for stretch in self.ways[way].stretches]
                for way in keep
            }
        )

    def only(self, keep: Sequence[int]) -> PartTable:
        """Return the table of some ways alone, with all their routes."""
        return self._kept({way: self.ways[way].stretches for way in keep})

    def _kept(self, stretches: Mapping[int, Sequence[Sequence[int]]]) -> PartTable:
        """Return the table of some ways by number, with some routes of each of their stretches."""
        needed = {route for of_way in stretches.values() for routes in of_way for route in routes}
        fed = {self.table.routes[route].feeds for route in needed}
        rows = sorted({*needed, *(route for route in fed if route is not None)})
        at = {route: place for place, route in enumerate(rows)}
        ways = [
            replace(
                self.ways[way],
                stretches=tuple(tuple(at[route] for route in routes) for routes in of_way),
            )
            for way, of_way in stretches.items()
        ]
        return PartTable(self.table.subset(rows), ways)

    def _hopeful(self, route_values: Sequence[Array]) -> NDArray[np.bool_]:
        """Say of each route whether it may be the cheapest of its stretch somewhere [route]."""
        hopeful = np.zeros(len(self.routes), dtype=np.bool_)
        stretches = [list(stretch) for way in self.ways for stretch in way.stretches]
        for route_value in route_values:
            for stretch, ceiling in zip(stretches, self.of_stretches(route_value), strict=True):
                rows = route_value[stretch]
                below = (rows[:, :-1] <= ceiling[1:]).any(axis=1) | (rows == ceiling).any(axis=1)
                hopeful[stretch] |= below
        return hopeful

    def arithmetic(self, way: int) -> tuple[object, ...]:
        """Return all that decides what a way costs: equal where they always cost the same."""
        return tuple(
            tuple(self.table.arithmetic(route) for route in stretch)
            for stretch in self.ways[way].stretches
        )


def cost_by_kind(routes: Sequence[int], found: PartCosts, column: int) -> Cents:
    """Return what some routes cost together at one quantity, by kind [kind]."""
    summed: Cents = found.costs.by_kind[list(routes), :, column].sum(axis=0)
    return summed


def _starts(sizes: Sequence[int]) -> Index:
    return np.concatenate([[0], np.cumsum(sizes)[:-1]]).astype(np.intp)
