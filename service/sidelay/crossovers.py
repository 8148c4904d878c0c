"""Which presses win a job at every whole quantity, and where processes take over from each other.

Every part is a contest of its own: what decides one does not depend on the others.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

import numpy as np

from .bands import Quantities, Stretch, cheapest_stretches, first_quantities
from .curve import Array
from .job_table import JobTable, columns
from .money import Cents
from .pricing import prices


@dataclass(frozen=True, slots=True)
class Band:
    """Whole quantities, both ends included, at which the same presses are the cheapest.

    process, press: those that finish the first part; route: of each part in order, process and
        press of each press that it runs through
    """

    first: int
    last: int
    process: str
    press: str
    route: tuple[tuple[tuple[str, str], ...], ...]


@dataclass(frozen=True, slots=True)
class Crossover:
    """Where one process takes over a part of the job from another.

    part: its number in the job; of a part that runs through two presses, the last one's process
    first_at: the first quantity at which the second is cheaper, right after the first was
    settled_at: from here on the first never wins against it again up to the asked maximum; None
        when it does win again at the end. Steps (plates, lifts, parents) can make the two swap
        back and forth in between: the bands tell.
    """

    part: int
    from_process: str
    to_process: str
    first_at: int
    settled_at: int | None


def find_bands(table: JobTable, up_to: int, start: int = 1) -> tuple[Band, ...]:
    """Return which presses are the cheapest from `start` to `up_to`. Raises bands.TooClose.

    The first part's press is the one with the least price. That of another part is the one of the
    least value, all else at its least: the price depends on the sum. So it is of the first part,
    unless the customer may buy up to a smaller margin: then the price has to be looked at.
    """
    contests = _contests(table, up_to, start)
    by_part = [(cheapest_stretches(contest, up_to, start), contest.names) for contest in contests]
    firsts = sorted({stretch.first for stretches, _ in by_part for stretch in stretches})
    found = []
    for first, after in pairwise([*firsts, up_to + 1]):
        route = tuple(_presses_at(first, stretches, presses) for stretches, presses in by_part)
        found.append(Band(first, after - 1, *route[0][-1], route))
    return tuple(found)


def _contests(table: JobTable, up_to: int, start: int) -> list[_Contest]:
    """Return the contest of each part of a job."""
    by_value, more = not table.policy.thresholds, range(1, len(table.per_copy))
    if not more:
        return [_Contest(table, by_value=by_value)]
    # What cannot win is left out before the many looks; but of the first part it is the price that
    # decides, which the contest itself narrows by.
    steps = columns(table.policy.thresholds)
    looked_at = np.unique(np.concatenate([first_quantities(up_to, start), steps]))
    slim = table.narrowed(table.at(looked_at))
    first = slim.with_first([makeup.parts[0] for makeup in table.makeups])
    return [
        _Contest(first.deciding_on(0) if by_value else first, by_value=by_value),
        *(_Contest(slim.deciding_on(part), by_value=True) for part in more),
    ]


Presses = tuple[tuple[str, str], ...]  # process and press of each press that a part runs through


def _presses_at(quantity: int, stretches: list[Stretch], presses: list[Presses]) -> Presses:
    at = bisect_right(stretches, quantity, key=lambda stretch: stretch.first) - 1
    return presses[stretches[at].press]


class _Contest:
    """The ways of a job's first part as bands.py has them compete.

    by_value: whether values alone are compared, not prices
    names: the presses that a part runs through, by the number of the way through them
    """

    def __init__(
        self, table: JobTable, *, by_value: bool = False, presses: Sequence[int] | None = None
    ) -> None:
        self._table, self._by_value = table, by_value
        self._seen: list[Array] = []
        ways = table.first.ways
        self.names = list(dict.fromkeys(way.presses for way in ways))
        number = {names: n for n, names in enumerate(self.names)}
        self.presses = [number[way.presses] for way in ways] if presses is None else presses

    def look(self, quantities: Quantities) -> tuple[Cents, Array]:
        """Return price and deciding value of every way [way, quantity]."""
        policy, n = self._table.policy, len(quantities)
        asked = np.concatenate([quantities, columns(policy.thresholds)])
        found, rising = self._table.at(asked), np.argsort(asked, kind="stable")
        self._seen = [makeup.parts[0].route_value[:, rising] for makeup in found.makeups]
        deciding = found.deciding[:, :n]
        if self._by_value:
            return np.zeros(deciding.shape, dtype=np.int64), deciding
        return prices(found.value[:, :n], quantities, policy, found.value[:, n:]), deciding

    def subset(self, keep: Sequence[int]) -> _Contest:
        """Return the contest of some ways, without routes that the last look has ruled out."""
        parts = [
            makeup.parts[0].subset(keep, seen)
            for makeup, seen in zip(self._table.makeups, self._seen, strict=True)
        ]
        presses = [self.presses[way] for way in keep]
        return _Contest(self._table.with_first(parts), by_value=self._by_value, presses=presses)

    def arithmetic(self, way: int) -> tuple[object, ...]:
        return tuple(makeup.parts[0].arithmetic(way) for makeup in self._table.makeups)


def find_crossovers(bands: Sequence[Band]) -> tuple[Crossover, ...]:
    """Return where processes take over from each other, part by part, in the order of quantity."""
    swaps: dict[tuple[int, frozenset[str]], list[tuple[str, str, int]]] = {}
    for part in range(len(bands[0].route) if bands else 0):
        for before, after in pairwise(bands):
            old, new = process_of(before, part), process_of(after, part)
            if old != new:
                swaps.setdefault((part, frozenset((old, new))), []).append((old, new, after.first))
    return tuple(_crossover(part, pair) for (part, _), pair in swaps.items())


def winning_processes(
    table: JobTable, up_to: int, start: int = 1, *, by_value: bool
) -> list[tuple[int, str]]:
    """Return from which quantity which process is the cheapest for the first part.

    by_value: whether values decide, not prices. Raises bands.TooClose.
    """
    # Presses of one process do not compete: ways stand by process, so that one is like one press.
    ways = table.first.ways
    processes = list(dict.fromkeys(way.process for way in ways))
    numbers = [processes.index(way.process) for way in ways]
    contest = _Contest(table, by_value=by_value, presses=numbers)
    return [
        (stretch.first, processes[stretch.press])
        for stretch in cheapest_stretches(contest, up_to, start)
    ]


def only_processes(table: JobTable, processes: Sequence[str]) -> JobTable:
    """Return a job with the ways of some processes alone for its first part."""
    keep = [number for number, way in enumerate(table.first.ways) if way.process in processes]
    return table.with_first([makeup.parts[0].only(keep) for makeup in table.makeups])


def stretches_of(bands: Iterable[Band]) -> list[tuple[int, int, str]]:
    """Return first and last quantity and process of the first part, stretch by stretch.

    Neighbours on different presses of one process, or with other presses of other parts, are one.
    """
    found = []
    for process, same in groupby(bands, key=lambda band: band.process):
        stretch = list(same)
        found.append((stretch[0].first, stretch[-1].last, process))
    return found


def process_of(band: Band, part: int) -> str:
    """Return the process that finishes a part, by the number of the part."""
    return band.route[part][-1][0]


def _crossover(part: int, swaps: list[tuple[str, str, int]]) -> Crossover:
    from_process, to_process, first_at = swaps[0]
    _, last_to, last_at = swaps[-1]
    settled_at = last_at if last_to == to_process else None
    return Crossover(part, from_process, to_process, first_at, settled_at)
