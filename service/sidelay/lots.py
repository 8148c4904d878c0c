"""A quantity made in two lots, each an order of its own, when all of it cannot be ready in time.

Two presses side by side can make what neither can alone: a split run. Or as many as can be ready in
time are made first, and the rest after them. The second lot waits for the machines that the first
one takes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from .dated import Dated, Lot, WouldHold
from .dating import DatedOffer, Dating
from .in_time import HoldMemo, InTime
from .job import Job
from .job_table import JobTable
from .offers import PricedJob
from .plant import Plant
from .plant_time import Queue
from .scheduler import Scheduler
from .timing import Timing

# Quantities tried between two bounds at one look.
TRIED = 7
# Presses that may print the first lot of a split run: those that make most of it in time.
MOST_FIRST = 4


def in_two_lots(
    table: JobTable, job: Job, plant: Plant, timing: Timing, quantity: int
) -> tuple[WouldHold, ...]:
    """Return how a quantity could be made in two lots; the due date does not hold for all of it."""
    lots = _Lots(table, job, plant, timing, quantity)
    found = (lots.split_run(), lots.smaller_first())
    return tuple(each for each in found if each is not None)


class _Lots:
    def __init__(
        self, table: JobTable, job: Job, plant: Plant, timing: Timing, quantity: int
    ) -> None:
        self._table, self._job, self._plant, self._timing = table, job, plant, timing
        self._quantity = quantity
        self._ways = list(table.first.by_press().values())
        assert timing.due_at is not None  # noqa: S101  without one nothing is late
        scheduler = Scheduler(job, plant, timing)
        self._most = largest_in_time(table, scheduler, timing.due_at, self._ways, quantity - 1)

    def split_run(self) -> WouldHold | None:
        """The cheapest of two presses side by side, both in time."""
        by_most = sorted(range(len(self._ways)), key=lambda n: -self._most[n])
        found = [
            each
            for first in by_most[:MOST_FIRST]
            for quantity in self._first_lots(first)
            for each in (self._split(first, quantity),)
            if each is not None
        ]
        return min(found, key=lambda each: each.dated.price, default=None)

    def _first_lots(self, first: int) -> list[int]:
        """How many one press might print of a split run: as many as it can, or as few as need be.

        As many as it can keeps what both lots share, a guillotine say, busy until the due date. As
        few as leave all that another press can make is done with it sooner.
        """
        most = self._most[first]
        least = {self._quantity - self._most[n] for n in range(len(self._ways)) if n != first}
        return sorted({each for each in (*least, most) if 0 < each <= most})

    def _split(self, first: int, quantity: int) -> WouldHold | None:
        rest = self._quantity - quantity
        others = [n for n in range(len(self._ways)) if n != first and self._most[n] >= rest]
        if not others:
            return None
        one = self._lot(quantity, self._timing, self._ways[first])
        if one is None:
            return None
        ways = [way for n in others for way in self._ways[n]]
        two = self._lot(rest, self._after(one[1]), ways)
        if two is None:
            return None
        because = "two presses side by side, two orders, both in time"
        return _in_lots("split_run", because, one, two)

    def smaller_first(self) -> WouldHold | None:
        """As many as can be ready in time first, the rest after them."""
        most = max(self._most)
        if not most:
            return None
        one = self._lot(most, self._timing, self._ways[self._most.index(most)])
        if one is None:
            return None
        two = self._lot(self._quantity - most, self._after(one[1]), None)
        if two is None:
            return None
        because = f"{most:,} can be ready in time, the rest after them, two orders"
        return _in_lots("smaller_first", because, one, two)

    def _lot(
        self, quantity: int, timing: Timing, ways: Sequence[int] | None
    ) -> tuple[Dating, DatedOffer] | None:
        """One lot on the clock: the cheapest of some ways that holds; of all, the cheapest."""
        priced = PricedJob(self._table, (quantity,))
        dating = Dating(self._job, self._plant, timing, priced)
        if ways is None:
            return dating, dating.best(priced.best_offers()[0])
        found = dating.in_time(0, ways)
        return None if found is None else (dating, found)

    def _after(self, dated: DatedOffer) -> Timing:
        """The clock of the second lot, for which the machines of the first are busy."""
        busy: dict[str, int] = {}
        for op in dated.schedule.operations:
            if op.machine:
                busy[op.machine] = max(busy.get(op.machine, 0), op.end_at)
        queues = {machine: Queue(busy_until=until) for machine, until in busy.items()}
        return replace(self._timing, queues={**self._timing.queues, **queues})


def _in_lots(
    kind: str, because: str, one: tuple[Dating, DatedOffer], two: tuple[Dating, DatedOffer]
) -> WouldHold:
    shorts = [dating.short(dated) for dating, dated in (one, two)]
    lots = tuple(
        Lot(dated.offer.quantity, short, dated.holds)
        for (_, dated), short in zip((one, two), shorts, strict=True)
    )
    ready = [short.ready_at for short in shorts]
    last = None if None in ready else max(each for each in ready if each is not None)
    both = Dated(shorts[0].process, shorts[0].press, sum(s.price for s in shorts), last)
    return WouldHold(kind, both, because, lots=lots)  # type: ignore[arg-type]


def largest_in_time(
    table: JobTable,
    scheduler: Scheduler,
    due_at: int,
    ways: Sequence[Sequence[int]],
    most: int,
) -> list[int]:
    """Return for each of some groups of ways the largest quantity up to `most` that holds, or 0."""
    memo, low, high = HoldMemo(), [0] * len(ways), [most + 1] * len(ways)
    while any(above - below > 1 for below, above in zip(low, high, strict=True)):
        tried = [_between(below, above) for below, above in zip(low, high, strict=True)]
        quantities = sorted({quantity for each in tried for quantity in each})
        asked = np.array(quantities, dtype=np.int64)
        search = InTime(scheduler, table, table.at(asked), quantities)
        for number, each in enumerate(tried):
            for quantity in each:
                column = quantities.index(quantity)
                if search.cheapest(column, due_at, ways[number], memo) is None:
                    high[number] = quantity
                    break
                low[number] = quantity
    return low


def _between(low: int, high: int) -> list[int]:
    """Quantities that part what lies between two bounds evenly, neither bound among them."""
    inside = {low + (high - low) * step // (TRIED + 1) for step in range(1, TRIED + 1)}
    return sorted(inside - {low, high})
