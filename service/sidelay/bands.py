"""Which press is cheapest at every whole quantity, without looking at every one.

Neither the price nor the value of a way falls as quantity rises, so neither does a press's best,
the least of its ways. If press i is cheapest at a, and at b it is still no dearer than every other
press j was at a, then for any q between them

    i(q) <= i(b) <= j(a) <= j(q)

and the whole interval is i's. Where that does not hold, the interval is split. "Dearer" compares
price, then value (marked up, before minimum charge and rounding), then the fixed order of presses,
each of which keeps the argument true.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from .curve import Array
from .money import Cents
from .ranking import Index, cheapest

# Quantities of the first pass, spread evenly over the logarithm; only speed depends on it.
FIRST_PASS = 48
# Intervals split at once: bounds the memory, whatever the job.
BATCH = 4_096
# Quantities looked at in one go where few intervals are open: a look at one costs much the same.
AT_ONCE = 48
# Quantities looked at before giving up. Presses that differ by less than a ten-thousandth all the
# way can need as many; a usual comparison needs some hundreds.
MOST_LOOKS = 400_000
Quantities = NDArray[np.int64]


class Contest(Protocol):
    """Ways that compete for a job, those of a press beside each other.

    presses: number of the press of each way, rising
    """

    @property
    def presses(self) -> Sequence[int]:
        """Number of the press of each way, rising."""

    def look(self, quantities: Quantities) -> tuple[Cents, Array]:
        """Return price and value of every way [way, quantity]."""

    def subset(self, keep: Sequence[int]) -> Contest:
        """Return the contest of some ways, after a look at the quantities of the first pass."""

    def arithmetic(self, way: int) -> Hashable:
        """Return all that decides what a way costs: equal where they always cost the same."""


class TooClose(ValueError):  # noqa: N818  (an answer about a job, not a fault)
    """Two presses cost so nearly the same that the bands cannot be told in reasonable time."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A run of whole quantities, first and last included, on which one press is cheapest.

    press: its number in the contest
    """

    first: int
    last: int
    press: int


@dataclass(frozen=True)
class _Points:
    """The best price and value of each press [press, quantity]."""

    quantities: Quantities
    price: Cents
    value: Array

    @property
    def winners(self) -> Index:
        """The cheapest press at each quantity."""
        return cheapest(self.price, self.value)

    def at(self, columns: Index | slice) -> _Points:
        """Return some of the points."""
        return _Points(self.quantities[columns], self.price[:, columns], self.value[:, columns])

    def joined(self, *others: _Points) -> _Points:
        """Return these points and others, one after the other."""
        every = (self, *others)
        return _Points(
            np.concatenate([points.quantities for points in every]),
            np.concatenate([points.price for points in every], axis=1),
            np.concatenate([points.value for points in every], axis=1),
        )


@dataclass(frozen=True)
class _Presses:
    """Ways grouped by press, evaluated together.

    starts: number of the first way of each press in the contest
    """

    contest: Contest
    starts: Index

    def look(self, quantities: Quantities) -> _Points:
        """Return the best of each press at some quantities: least price, then least value."""
        return self.best(quantities, *self.contest.look(quantities))

    def best(self, quantities: Quantities, price: Cents, value: Array) -> _Points:
        """Return the best of each press out of price and value of every way."""
        best_price = np.minimum.reduceat(price, self.starts, axis=0)
        sizes = np.diff(np.append(self.starts, len(price)))
        level = price == np.repeat(best_price, sizes, axis=0)
        best_value = np.minimum.reduceat(np.where(level, value, np.inf), self.starts, axis=0)
        return _Points(quantities, best_price, best_value)


def cheapest_stretches(contest: Contest, most: int, least: int = 1) -> list[Stretch]:
    """Return the stretches from `least` to `most`, in order, without a gap, neighbours differing.

    Equal to choosing the cheapest press at every whole quantity on its own. Raises TooClose.
    """
    numbers = np.asarray(contest.presses, dtype=np.intp)
    first = first_quantities(most, least)
    price, value = contest.look(first)
    hopeful = _hopeful(price, value)
    narrow = contest.subset(hopeful.tolist())
    single = ~np.isin(numbers[hopeful], _twins(narrow, numbers[hopeful]))
    if not single.all():
        hopeful = hopeful[single]
        narrow = contest.subset(hopeful.tolist())
    alive, starts = np.unique(numbers[hopeful], return_index=True)
    presses = _Presses(narrow, starts)
    points = presses.best(first, price[hopeful], value[hopeful])
    found = [(points.quantities, points.winners)]
    found += [(split.quantities, split.winners) for split in _splits(presses, points)]
    return _stretches(found, alive, most)


def _splits(presses: _Presses, points: _Points) -> Iterator[_Points]:
    """Yield points inside every interval that its ends do not decide, until none is left."""
    waiting = _undecided(points.at(slice(None, -1)), points.at(slice(1, None)))
    looks = 0
    while waiting:
        low, high = waiting.pop()
        if len(low.quantities) > BATCH:
            waiting.append((low.at(slice(BATCH, None)), high.at(slice(BATCH, None))))
            low, high = low.at(slice(BATCH)), high.at(slice(BATCH))
        inside = presses.look(_inside(low.quantities, high.quantities))
        looks += len(inside.quantities)
        if looks > MOST_LOOKS:
            raise TooClose("two presses are too close to tell apart this far; ask for fewer")
        yield inside
        waiting += _undecided(low.joined(inside), inside.joined(high))


def _inside(low: Quantities, high: Quantities) -> Quantities:
    """Return quantities that part every interval evenly: the first of each, the second of each, ...

    The middle alone where many intervals are open. Of a short one some may be its own low end.
    """
    pieces = max(2, AT_ONCE // len(low) + 1)
    steps = np.arange(1, pieces, dtype=np.int64)[:, None]
    inside: Quantities = (low + (high - low) * steps // pieces).ravel()
    return inside


def first_quantities(most: int, least: int = 1) -> Quantities:
    """Return the quantities of the first pass, rising, from the least to the most."""
    spread = np.geomspace(least, most, FIRST_PASS).astype(np.int64)
    return np.unique(np.concatenate([spread.clip(least, most), [least, most]]))


def _hopeful(price: Cents, value: Array) -> Index:
    """Ways that might be cheapest somewhere, by the prices at the ends of each interval.

    price, value: [way, quantity] at rising quantities
    """
    winners, columns = cheapest(price, value), np.arange(price.shape[1])
    ceiling = price[winners, columns]
    can_win = np.asarray((price[:, :-1] <= ceiling[1:]).any(axis=1))
    can_win[winners] = True
    return np.flatnonzero(can_win)


def _twins(contest: Contest, numbers: Index) -> list[int]:
    """Numbers of presses that cost the same as an earlier one in every way: they never win.

    numbers: of the press of each way. Left in, twins would be level at every quantity and nothing
    could be decided from afar.
    """
    seen: set[tuple[Hashable, ...]] = set()
    twins = []
    for press in np.unique(numbers).tolist():
        own = tuple(contest.arithmetic(int(way)) for way in np.flatnonzero(numbers == press))
        if own in seen:
            twins.append(press)
        seen.add(own)
    return twins


def _undecided(low: _Points, high: _Points) -> list[tuple[_Points, _Points]]:
    """Return those intervals, by their ends, that no single press is known to own."""
    winners, columns = low.winners, np.arange(len(low.quantities))
    price, value = high.price[winners, columns], high.value[winners, columns]
    # A press before the winner in the fixed order must be dearer; one behind it may be level.
    ahead = np.arange(len(low.price))[:, None] < winners
    level = (low.price == price) & np.where(ahead, low.value > value, low.value >= value)
    owned = np.asarray((low.price > price) | level)
    owned[winners, columns] = True
    far_apart = high.quantities - low.quantities > 1
    left: Index = np.flatnonzero(far_apart & ~owned.all(axis=0))
    return [(low.at(left), high.at(left))] if left.size else []


def _stretches(found: list[tuple[Quantities, Index]], alive: Index, most: int) -> list[Stretch]:
    """Join the winners at all quantities looked at; between two of them the first one wins."""
    quantities = np.concatenate([looked_at for looked_at, _ in found])
    winners = np.concatenate([winners for _, winners in found])
    order = np.argsort(quantities, kind="stable")
    quantities, winners = quantities[order], winners[order]
    starts = np.flatnonzero(np.concatenate([[True], winners[1:] != winners[:-1]]))
    firsts = quantities[starts]
    lasts = np.concatenate([firsts[1:] - 1, [most]])
    presses = alive[winners[starts]]
    return [
        Stretch(first, last, press)
        for first, last, press in zip(
            firsts.tolist(), lasts.tolist(), presses.tolist(), strict=True
        )
    ]
