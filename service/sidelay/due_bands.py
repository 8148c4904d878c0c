"""Which press is the cheapest that holds a due date, at every whole quantity.

The argument of bands.py carries over. What is too late at some quantity is too late at every larger
one, so neither the price nor the value of the cheapest of a press that holds falls as quantity
rises; where nothing of it holds, they are more than anything. One more in the contest stands for
nobody: it is dearer than all that holds, and cheaper than what does not.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence

import numpy as np

from .bands import Quantities, Stretch, cheapest_stretches
from .curve import Array
from .dated import DueBand
from .in_time import HoldMemo, InTime
from .job import Job
from .job_table import JobTable, columns
from .money import Cents
from .plant import Plant
from .pricing import prices
from .scheduler import Scheduler
from .timing import Timing

NOBODY_ASKS, NOT_IN_TIME = 2**61, 2**62


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
        _band(each, contest) for each in cheapest_stretches(contest, up_to, start)
    )


def _band(stretch: Stretch, contest: _DueContest) -> DueBand:
    if stretch.press == len(contest.names):
        return DueBand(stretch.first, stretch.last, None, None, ())
    names = contest.names[stretch.press]
    return DueBand(stretch.first, stretch.last, *names[-1], (names,))


class _DueContest:
    """The presses that the first part runs through, and nobody, as bands.py has them compete."""

    def __init__(self, table: JobTable, scheduler: Scheduler, due_at: int) -> None:
        self._table, self._scheduler, self._due_at = table, scheduler, due_at
        self._memo = HoldMemo()
        ways = table.first.ways
        self.names = list(dict.fromkeys(way.presses for way in ways))
        self._ways = [
            [number for number, way in enumerate(ways) if way.presses == names]
            for names in self.names
        ]
        self.presses: Sequence[int] = range(len(self.names) + 1)

    def look(self, quantities: Quantities) -> tuple[Cents, Array]:
        """Return price and value of each [press, quantity]; nobody comes last."""
        return self._look(quantities, self.presses)

    def subset(self, keep: Sequence[int]) -> _Some:
        """Return the contest of some of them."""
        return _Some(self, keep)

    def arithmetic(self, way: int) -> Hashable:
        """Return what decides about one of them: no two are known to be equal."""
        return way

    def _look(self, quantities: Quantities, keep: Sequence[int]) -> tuple[Cents, Array]:
        policy, n = self._table.policy, len(quantities)
        costs = self._table.at(np.concatenate([quantities, columns(policy.thresholds)]))
        search = InTime(self._scheduler, self._table, costs, quantities.tolist())
        price = np.full((len(keep), n), NOT_IN_TIME, dtype=np.int64)
        value = np.full((len(keep), n), float(NOT_IN_TIME))
        for row, press in enumerate(keep):
            if press == len(self.names):
                price[row], value[row] = NOBODY_ASKS, float(NOBODY_ASKS)
                continue
            for column in range(n):
                found = search.cheapest(column, self._due_at, self._ways[press], self._memo)
                if found is None:
                    continue
                asked = prices(
                    np.array([[found.value]]),
                    quantities[column : column + 1],
                    policy,
                    search.value_at(found, slice(n, None))[None],
                )
                price[row, column], value[row, column] = int(asked[0, 0]), found.value
        return price, value


class _Some:
    """Some of a contest."""

    def __init__(self, contest: _DueContest, keep: Sequence[int]) -> None:
        self._contest, self._keep = contest, list(keep)
        self.presses: Sequence[int] = [contest.presses[number] for number in keep]

    def look(self, quantities: Quantities) -> tuple[Cents, Array]:
        return self._contest._look(quantities, self._keep)

    def subset(self, keep: Sequence[int]) -> _Some:
        return _Some(self._contest, [self._keep[number] for number in keep])

    def arithmetic(self, way: int) -> Hashable:
        return self._contest.arithmetic(self._keep[way])
