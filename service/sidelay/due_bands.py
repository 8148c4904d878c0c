"""Which press is the cheapest that holds a due date, at every whole quantity.

The argument of bands.py carries over. What is too late at some quantity is too late at every larger
one, so neither the price nor the value of the cheapest of a press that holds falls as quantity
rises; where nothing of it holds, they are more than anything. One more in the contest stands for
nobody: it is dearer than all that holds, and cheaper than what does not.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence

import numpy as np

from .bands import Quantities, Stretch, TooClose, cheapest_stretches
from .curve import Array
from .dated import DueBand
from .in_time import Found, HoldMemo, InTime
from .job import Job
from .job_table import JobTable, columns
from .money import Cents
from .plant import Plant
from .pricing import prices
from .scheduler import Scheduler
from .timing import Timing

NOBODY_ASKS, NOT_IN_TIME = 2**61, 2**62
# Searches before giving up; one takes well under a millisecond, a usual comparison some hundreds.
MOST_SEARCHES = 20_000
Presses = tuple[tuple[str, str], ...]  # process and press of each press that a part runs through


def find_due_bands(
    table: JobTable, job: Job, plant: Plant, timing: Timing, *, up_to: int, start: int = 1
) -> tuple[DueBand, ...] | None:
    """Return which press is the cheapest that holds, from `start` to `up_to`.

    None without a due date, and with overtime: its premium may fall as quantity rises, which ends
    the argument. Raises bands.TooClose.
    """
    if timing.due_at is None or timing.overtime:
        return None
    contest = _DueContest(table, Scheduler(job, plant, timing), timing.due_at)
    return tuple(
        band
        for stretch in cheapest_stretches(contest, up_to, start)
        for band in contest.bands(stretch)
    )


class _DueContest:
    """The presses that the first part runs through, and nobody, as bands.py has them compete.

    Presses that always cost the same are one, or nothing could be decided from afar; which of them
    holds is asked when that one has won.
    """

    def __init__(self, table: JobTable, scheduler: Scheduler, due_at: int) -> None:
        self._table, self._scheduler, self._due_at = table, scheduler, due_at
        self._memo, self._searches = HoldMemo(), 0
        by_names: dict[Presses, list[int]] = {}
        for number, way in enumerate(table.first.ways):
            by_names.setdefault(way.presses, []).append(number)
        alike: dict[Hashable, list[Presses]] = {}
        for names, ways in by_names.items():
            alike.setdefault(_arithmetic(table, ways), []).append(names)
        self._groups = list(alike.values())
        self._ways = by_names
        self.presses: Sequence[int] = range(len(self._groups) + 1)

    def look(self, quantities: Quantities) -> tuple[Cents, Array]:
        """Return price and value of each group [group, quantity]; nobody comes last."""
        return self.look_at(quantities, self.presses)

    def subset(self, keep: Sequence[int]) -> _Some:
        """Return the contest of some of them."""
        return _Some(self, keep)

    def arithmetic(self, way: int) -> Hashable:
        """Return what decides about one of them: no two are known to be equal."""
        return way

    def look_at(self, quantities: Quantities, keep: Sequence[int]) -> tuple[Cents, Array]:
        """Return price and value of some groups [group, quantity]."""
        n = len(quantities)
        price = np.full((len(keep), n), NOT_IN_TIME, dtype=np.int64)
        value = np.full((len(keep), n), float(NOT_IN_TIME))
        search, thresholds = self._search(quantities)
        for row, group in enumerate(keep):
            if group == len(self._groups):
                price[row], value[row] = NOBODY_ASKS, float(NOBODY_ASKS)
                continue
            ways = [way for names in self._groups[group] for way in self._ways[names]]
            for column in range(n):
                found = self._cheapest(search, column, ways)
                if found is not None:
                    asked = prices(
                        np.array([[found.value]]),
                        quantities[column : column + 1],
                        self._table.policy,
                        search.value_at(found, thresholds)[None],
                    )
                    price[row, column], value[row, column] = int(asked[0, 0]), found.value
        return price, value

    def bands(self, stretch: Stretch) -> Iterator[DueBand]:
        """Yield the bands of a stretch: more than one where presses that cost the same take turns.

        Such a turn is found where it is the only one in its half of the stretch.
        """
        if stretch.press == len(self._groups):
            yield DueBand(stretch.first, stretch.last, None, None, ())
            return
        group = self._groups[stretch.press]
        first = stretch.first
        for last in self._turns(group, stretch.first, stretch.last):
            names = self._who(group, first)
            yield DueBand(first, last, *names[-1], (names,))
            first = last + 1

    def _turns(self, group: Sequence[Presses], low: int, high: int) -> Iterator[int]:
        """Yield the last quantity of each press of a group, in order, `high` the last of them."""
        if len(group) > 1:
            middle = (low + high) // 2
            for start, end in ((low, middle), (middle, high)):
                who = self._who(group, start)
                if self._who(group, end) != who:
                    while end - start > 1:
                        half = (start + end) // 2
                        start, end = (half, end) if self._who(group, half) == who else (start, half)
                    yield start
        yield high

    def _who(self, group: Sequence[Presses], quantity: int) -> Presses:
        """The first press of a group that makes a quantity in time for the least value."""
        if len(group) == 1:
            return group[0]
        search, _ = self._search(np.array([quantity], dtype=np.int64))
        found = [self._cheapest(search, 0, self._ways[names]) for names in group]
        values = [each.value if each else float(NOT_IN_TIME) for each in found]
        return group[values.index(min(values))]

    def _search(self, quantities: Quantities) -> tuple[InTime, slice]:
        """The search at some quantities, and where in its costs the thresholds stand."""
        asked = np.concatenate([quantities, columns(self._table.policy.thresholds)])
        costs = self._table.at(asked)
        search = InTime(self._scheduler, self._table, costs, quantities.tolist())
        return search, slice(len(quantities), None)

    def _cheapest(self, search: InTime, column: int, ways: Sequence[int]) -> Found | None:
        self._searches += 1
        if self._searches > MOST_SEARCHES:
            raise TooClose("two presses are too close to tell apart this far; ask for fewer")
        return search.cheapest(column, self._due_at, ways, self._memo)


class _Some:
    """Some of a contest."""

    def __init__(self, contest: _DueContest, keep: Sequence[int]) -> None:
        self._contest, self._keep = contest, list(keep)
        self.presses: Sequence[int] = [contest.presses[number] for number in keep]

    def look(self, quantities: Quantities) -> tuple[Cents, Array]:
        return self._contest.look_at(quantities, self._keep)

    def subset(self, keep: Sequence[int]) -> _Some:
        return _Some(self._contest, [self._keep[number] for number in keep])

    def arithmetic(self, way: int) -> Hashable:
        return self._contest.arithmetic(self._keep[way])


def _arithmetic(table: JobTable, ways: Sequence[int]) -> Hashable:
    """What decides what some ways of the first part cost, on every binder."""
    return tuple(
        makeup.parts[0].arithmetic(way) for makeup in table.makeups for way in ways
    )
