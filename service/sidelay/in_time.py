"""The cheapest way to make a job that is ready when it is wanted, and the earliest of all.

Every way counts that the plan has: of each part every press, split and layout, on every binder.
They are tried in the order of value until one is ready in time. What could not even be in time with
the least of all its times is not tried. The more copies, the later: what is too late at some
quantity is too late at every larger one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from typing import NamedTuple

from .curve import Array
from .job_table import JobCosts, JobTable
from .part_options import Option, PartOptions
from .pricing import values
from .scheduler import NO_OVERTIME, Combo, OnClock, Scheduler
from .ways import Made

# Combinations of parts put on the clock at one quantity before the search is given up.
MOST_TRIED = 3_000


class Found(NamedTuple):
    """One way to make the job at one quantity.

    value: of the job, marked up; ready_at: None where beyond the horizon
    """

    value: float
    makeup: int
    parts: tuple[Made, ...]
    column: int
    ready_at: int | None = None

    @property
    def combo(self) -> Combo:
        """As the scheduler takes it."""
        return Combo(self.makeup, tuple(made.routes for made in self.parts))


@dataclass
class HoldMemo:
    """Up to which quantity each combination is known to hold, and from which on not to.

    Of one table, one due date and one set of machines that work overtime. late_ways: the same of
    whole ways, by makeup, part and way: from which quantity on none of their layouts holds
    """

    holds: dict[Combo, int] = field(default_factory=dict)
    fails: dict[Combo, int] = field(default_factory=dict)
    late_ways: dict[tuple[int, int, int], int] = field(default_factory=dict)


class _Asked(NamedTuple):
    """What is looked for at one quantity."""

    column: int
    quantity: int
    due_at: int
    memo: HoldMemo


class InTime:
    """Looks for ways to make a job in time, costed at some quantities."""

    def __init__(
        self,
        scheduler: Scheduler,
        table: JobTable,
        costs: JobCosts,
        quantities: Sequence[int],
        overtime: frozenset[str] = NO_OVERTIME,
    ) -> None:
        """quantities: of the first columns of the costs; overtime: machines that work it."""
        self._table, self._costs, self._quantities = table, costs, quantities
        self.on_clock: OnClock = scheduler.at(table, costs)
        self._options = PartOptions(table, costs, self.on_clock, overtime)
        self._overtime = overtime
        self._ready: dict[tuple[Combo, int], int | None] = {}
        self._copies = [
            values(each.assembly.bill.by_kind, table.policy, rush=table.rush)[0]
            for each in costs.makeups
        ]

    def cheapest(
        self,
        column: int,
        due_at: int,
        ways: Collection[int] | None = None,
        memo: HoldMemo | None = None,
    ) -> Found | None:
        """Return the way of least value that is ready by then; None where there is none.

        ways: of the first part, None for all; memo: of this due date, kept from look to look
        """
        asked = _Asked(column, self._quantities[column], due_at, memo or HoldMemo())
        found = [
            self._cheapest_of(makeup, asked, ways) for makeup in range(len(self._costs.makeups))
        ]
        return min((each for each in found if each), key=lambda each: each.value, default=None)

    def earliest(self, column: int) -> Found | None:
        """Return the way that is ready first, of several the one of least value.

        Of several parts each is made the way by which it alone is ready first, and then each in
        turn the way by which all are.
        """
        found = [
            self._earliest_of(makeup, column) for makeup in range(len(self._costs.makeups))
        ]
        return min((each for each in found if each), key=_by_ready, default=None)

    def value_at(self, found: Found, columns: slice) -> Array:
        """Return the value of a job made so at other columns of the costs [column]."""
        parts = self._costs.makeups[found.makeup].parts
        own = [
            part.route_value[list(made.routes), columns].sum(axis=0)
            for made, part in zip(found.parts, parts, strict=True)
        ]
        others: Array = self._copies[found.makeup][columns]
        for value in own[1:]:
            others = others + value
        whole: Array = own[0] + others
        return whole

    def ready_at(self, combo: Combo, column: int) -> int | None:
        """Return when a job made so is ready at one quantity."""
        key = combo, column
        if key not in self._ready:
            self._ready[key] = self.on_clock.ready_at(combo, column, self._overtime)
        return self._ready[key]

    @property
    def _parts(self) -> range:
        return range(len(self._table.per_copy))

    def _cheapest_of(
        self, makeup: int, asked: _Asked, ways: Collection[int] | None
    ) -> Found | None:
        """The cheapest in time with one makeup."""
        at_once = self._least(makeup, asked.column, ways)
        if at_once is None:
            return None
        if self._holds(at_once.combo, asked):
            return self._dated(at_once)
        every = []
        for part in self._parts:
            allowed = None if part else ways
            every.append(self._in_time_alone(makeup, part, asked, allowed))
            if not every[-1]:
                return None
        return self._search(makeup, every, asked)

    def _least(self, makeup: int, column: int, ways: Collection[int] | None) -> Found | None:
        """The way of least value, whenever it is ready."""
        found, tables = self._costs.makeups[makeup], self._table.makeups[makeup].parts
        value = found.value[:, column]
        numbers = range(len(value)) if ways is None else sorted(ways)
        first = min(numbers, key=lambda way: (value[way], way), default=None)
        if first is None or value[first] == float("inf"):
            return None
        others = [int(part.value[:, column].argmin()) for part in found.parts[1:]]
        parts = tuple(
            Made(way, table.chosen(way, costs, column))
            for way, table, costs in zip((first, *others), tables, found.parts, strict=True)
        )
        return Found(float(value[first]), makeup, parts, column)

    def _in_time_alone(
        self, makeup: int, part: int, asked: _Asked, ways: Collection[int] | None
    ) -> list[Option]:
        """The ways to make a part that may be in time, least value first."""
        late, found = asked.memo.late_ways, list[Option]()
        for way in self._options.ways(makeup, part):
            if ways is not None and way not in ways:
                continue
            key = makeup, part, way
            if key in late and asked.quantity >= late[key]:
                continue
            if self._options.at_best(*key, asked.column) > asked.due_at:
                late[key] = asked.quantity
                continue
            found += self._options.of_way(*key, asked.column)
        return sorted(found)

    def _search(
        self, makeup: int, every: list[list[Option]], asked: _Asked
    ) -> Found | None:
        """Try combinations in the order of value; a part that is late alone is never in time."""
        tried = set[Combo]()
        while all(every):
            late: tuple[int, Option] | None = None
            for parts in _rising(every):
                found = self._found(makeup, parts, asked.column)
                if found.combo in tried:
                    continue
                tried.add(found.combo)
                if self._holds(found.combo, asked):
                    return self._dated(found)
                if len(tried) > MOST_TRIED:
                    return None
                late = self._late_alone(makeup, parts, asked)
                if late is not None:
                    break
            if late is None:
                return None
            every[late[0]].remove(late[1])
        return None

    def _late_alone(
        self, makeup: int, parts: Sequence[Option], asked: _Asked
    ) -> tuple[int, Option] | None:
        """The first of some parts that is too late even where it is the only one."""
        for number, option in enumerate(parts):
            combo = _alone(makeup, number, len(parts), option)
            if len(parts) == 1 or not self._holds(combo, asked):
                return number, option
        return None

    def _holds(self, combo: Combo, asked: _Asked) -> bool:
        memo, quantity = asked.memo, asked.quantity
        if quantity <= memo.holds.get(combo, 0):
            return True
        if combo in memo.fails and quantity >= memo.fails[combo]:
            return False
        ready = self.ready_at(combo, asked.column)
        holds = ready is not None and ready <= asked.due_at
        if holds:
            memo.holds[combo] = quantity
        else:
            memo.fails[combo] = quantity
        return holds

    def _earliest_of(self, makeup: int, column: int) -> Found | None:
        """The earliest with one makeup; None where the binder takes nothing."""
        if not all(self._options.ways(makeup, part) for part in self._parts):
            return None
        parts: list[Option] = []
        for part in self._parts:
            by_best = self._by_best(makeup, part, column)
            alone = [None] * len(self._parts)
            parts.append(self._first_ready(makeup, part, alone, by_best, column))
        if len(parts) > 1:
            for part in self._parts:
                by_best = self._by_best(makeup, part, column)
                parts[part] = self._first_ready(makeup, part, list(parts), by_best, column)
        return self._dated(self._found(makeup, parts, column))

    def _by_best(self, makeup: int, part: int, column: int) -> list[tuple[int, int]]:
        """The ways of a part, each after the instant before which it is not ready, rising."""
        ways = self._options.ways(makeup, part)
        return sorted((self._options.at_best(makeup, part, way, column), way) for way in ways)

    def _first_ready(
        self,
        makeup: int,
        part: int,
        others: Sequence[Option | None],
        by_best: Sequence[tuple[int, int]],
        column: int,
    ) -> Option:
        """The way to make a part by which it and the other parts given are ready first."""
        best: tuple[bool, int, Option] | None = None
        for at_best, way in by_best:
            if best is not None and not best[0] and at_best > best[1]:
                break  # nor is any after it
            for option in self._options.of_way(makeup, part, way, column):
                made = [option if n == part else other for n, other in enumerate(others)]
                routes = tuple(each.made.routes if each else () for each in made)
                ready = self.ready_at(Combo(makeup, routes), column)
                key = ready is None, ready or 0, option
                if best is None or key < best:
                    best = key
        assert best is not None  # noqa: S101  every way has a layout
        return best[2]

    def _found(self, makeup: int, parts: Sequence[Option], column: int) -> Found:
        """The job made of some parts; values are added as the tables add them, bit for bit."""
        others = float(self._copies[makeup][column])
        for option in parts[1:]:
            others = others + option.value
        made = tuple(option.made for option in parts)
        return Found(parts[0].value + others, makeup, made, column)

    def _dated(self, found: Found) -> Found:
        return found._replace(ready_at=self.ready_at(found.combo, found.column))


def _alone(makeup: int, number: int, parts: int, option: Option) -> Combo:
    """One part alone, with what is done to copies: no job is ready before that."""
    routes = [option.made.routes if n == number else () for n in range(parts)]
    return Combo(makeup, tuple(routes))


def _by_ready(found: Found) -> tuple[bool, int, float]:
    return found.ready_at is None, found.ready_at or 0, found.value


def _rising(every: Sequence[Sequence[Option]]) -> Iterator[list[Option]]:
    """Yield one option of each list, their sums rising, without going through all at once."""
    start = (0,) * len(every)
    waiting = [(sum(options[0].value for options in every), start)]
    seen = {start}
    while waiting:
        value, at = heappop(waiting)
        yield [options[n] for options, n in zip(every, at, strict=True)]
        for part, n in enumerate(at):
            if n + 1 < len(every[part]):
                after = (*at[:part], n + 1, *at[part + 1 :])
                if after not in seen:
                    seen.add(after)
                    step = every[part][n + 1].value - every[part][n].value
                    heappush(waiting, (value + step, after))
