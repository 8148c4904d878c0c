"""What one part of a job can be made by, and how soon each of these ways could be ready at best."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import prod
from typing import NamedTuple

from .job_table import JobCosts, JobTable
from .route_times import SINGLE, RouteTimes, StepTimes
from .scheduler import OnClock
from .ways import Made

# Combinations of layouts of one split that are all looked at; of more, the cheapest ones.
MOST_SPLITS = 256


class Option(NamedTuple):
    """One way to make one part. value: marked up, not rounded [minor units]."""

    value: float
    made: Made


class PartOptions:
    """The ways to make each part of a job, costed at some quantities."""

    def __init__(
        self, table: JobTable, costs: JobCosts, on_clock: OnClock, overtime: frozenset[str]
    ) -> None:
        self._table, self._costs = table, costs
        self._on_clock, self._overtime = on_clock, overtime
        self._of_way: dict[tuple[int, int, int, int], list[Option]] = {}
        self._at_best: dict[tuple[int, int, int, int], int] = {}
        self._shapes: dict[tuple[int, int, int], tuple[object, list[Sequence[int]]]] = {}

    def ways(self, makeup: int, part: int) -> list[int]:
        """Return the numbers of the ways of a part that the binder takes."""
        ways = self._table.makeups[makeup].parts[part].ways
        return [number for number, way in enumerate(ways) if not way.barred]

    def at_best(self, makeup: int, part: int, way: int, column: int) -> int:
        """Return an instant before which a job is not ready that has the part made so.

        Beyond the horizon, where it is never ready.
        """
        key = makeup, part, way, column
        if key not in self._at_best:
            ready = self._on_clock.alone_at_best(*key, self._overtime)
            self._at_best[key] = self._on_clock.of.limit + 1 if ready is None else ready
        return self._at_best[key]

    def of_way(self, makeup: int, part: int, way: int, column: int) -> list[Option]:
        """Return the layouts of a way at one quantity that may be worth it.

        One is left out where another of the same stretch is no dearer and no slower in anything.
        """
        key = makeup, part, way, column
        if key not in self._of_way:
            table = self._table.makeups[makeup].parts[part]
            value = self._costs.makeups[makeup].parts[part].route_value[:, column]
            stretches = [
                self._worth_it(makeup, part, stretch, column)
                for stretch in table.ways[way].stretches
            ]
            while prod(map(len, stretches)) > MOST_SPLITS:
                max(stretches, key=len).pop()
            self._of_way[key] = [
                Option(float(sum(value[route] for route in routes)), Made(way, routes))
                for routes in product(*stretches)
            ]
        return self._of_way[key]

    def _worth_it(
        self, makeup: int, part: int, stretch: Sequence[int], column: int
    ) -> list[int]:
        """The routes of a stretch that no cheaper one is as fast as, least value first."""
        value = self._costs.makeups[makeup].parts[part].route_value[:, column]
        kept: list[tuple[int, object, list[int]]] = []
        for route in sorted(stretch, key=lambda route: (value[route], route)):
            shape, amounts = self._shape(makeup, part, route)
            own = [each[column] for each in amounts]
            if not any(
                shape == other and all(a <= b for a, b in zip(faster, own, strict=True))
                for _, other, faster in kept
            ):
                kept.append((route, shape, own))
        return [route for route, _, _ in kept]

    def _shape(self, makeup: int, part: int, route: int) -> tuple[object, list[Sequence[int]]]:
        """What is done for a route, and for how long; comparable where the first is equal."""
        key = makeup, part, route
        if key not in self._shapes:
            times = self._on_clock.times(*key)
            steps = (*times.parents, *times.steps, *times.gathering)
            what = times.drying_h, any(times.backing_up), tuple(map(_kind, steps))
            self._shapes[key] = what, _amounts(times, steps)
        return self._shapes[key]


def _kind(each: StepTimes) -> tuple[object, ...]:
    return each.step.name, each.where, each.step.kind, each.tool is None


def _amounts(times: RouteTimes, steps: Sequence[StepTimes]) -> list[Sequence[int]]:
    tools = [each.tool for each in steps if each.tool is not None]
    return [*(getattr(times, name) for name in SINGLE), *(each.amounts for each in steps), *tools]
