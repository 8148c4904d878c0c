"""At how many times a figure of the plant another process would be the cheapest.

Of each figure in turn, all others left as they are, the nearest value below and above what it is
now is sought, between a tenth and ten times: first at steps of a tenth, then ever closer between
the last step that changes nothing and the first that does, to four decimals. Coverage is a matter
of the job, which is planned anew; it is tried at a few steps only. A process that were the cheapest
only between two neighbouring steps would be passed over.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from .curve import Array
from .figure_on import PressFigure, figure_on
from .job_table import JobCosts, JobTable, columns
from .money import Cents
from .pricing import prices
from .ranking import cheapest
from .ways import Way
from .what_if import AS_IT_IS, FACTORS, WhatIf

Whole = NDArray[np.int64]
# Factors are counted in so many parts of 1, and sought from LEAST to MOST of them.
UNIT = 10_000
LEAST, MOST = UNIT // 10, UNIT * 10
STEPS_A_SIDE = 24
# Tried between two bounds at one look.
TRIED = 9
COVERAGE = "coverage"
# Coverage is planned anew at every step, so it is sought at few, from what it is outwards.
LESS_COVERAGE = (0.9, 0.8, 0.5, 0.2)
MORE_COVERAGE = (1.1, 1.2, 1.5, 2.5)
# The job planned with so many times the coverage, None where no press can make it.
Replanned = Callable[[float], JobTable | None]


@dataclass(frozen=True, slots=True)
class Flip:
    """Where another process takes over.

    times: the factor on the figure
    unchanged_to: the last factor tried before it that changes nothing: the flip lies between
    process, press: the cheapest there; "" where no press can make the job any more
    figures: what the figure is on the press that is the cheapest now, and on that press
    """

    times: float
    unchanged_to: float
    process: str
    press: str
    figures: tuple[PressFigure, ...]


@dataclass(frozen=True, slots=True)
class Hinge:
    """One figure, and the nearest flip below and above; None where there is none."""

    factor: str
    below: Flip | None
    above: Flip | None


@dataclass(frozen=True, slots=True)
class Answer:
    """Who is the cheapest for a part at one quantity, and what would change that.

    part: its number in the job
    """

    quantity: int
    part: int
    process: str
    press: str
    hinges: tuple[Hinge, ...]


def flips(
    table: JobTable, quantities: Sequence[int], replanned: Replanned, most_coverage: float
) -> tuple[Answer, ...]:
    """Return what would change the answer, for each quantity and part.

    most_coverage: at how many times the coverage every ink floods its side; 0 where none is told
    """
    led = [Led(table, part) for part in range(len(table.per_copy))]
    return tuple(
        _answer(each, quantity, replanned, most_coverage)
        for quantity in quantities
        for each in led
    )


class Led:
    """A job with the part in question first, asked who is the cheapest for it.

    by_value: whether values decide, not prices; as bands do, the price where the customer may buy
        up to a smaller margin
    """

    def __init__(self, table: JobTable, part: int) -> None:
        self.part = part
        self.by_value = bool(part) or not table.policy.thresholds
        self.table = table.deciding_on(part) if self.by_value else table
        self.ways = self.table.first.ways

    def winners(self, quantity: int, given: WhatIf = AS_IT_IS, count: int = 1) -> list[Way]:
        """Return the cheapest way under each of so many changes."""
        asked = np.full(count, quantity, dtype=np.int64)
        found = replace(self.table, given=given).at(asked)
        price = np.zeros(found.value.shape, dtype=np.int64)
        if not self.by_value:
            price = self._prices(found.value, asked, given)
        return [self.ways[way] for way in cheapest(price, found.deciding)]

    def _prices(self, value: Array, asked: Whole, given: WhatIf) -> Cents:
        """Price each way under each change, the thresholds of the margins costed under it too."""
        steps, count = columns(self.table.policy.thresholds), len(asked)
        at_steps = replace(self.table, given=given.repeated(count, len(steps))).at(
            np.tile(steps, count)
        )
        by_change = at_steps.value.reshape(len(value), count, len(steps))
        one = value[:, :, None], asked[:, None]
        price: Cents = prices(*one, self.table.policy, by_change).reshape(value.shape)
        return price

    def flip(self, search: _Search, found: JobCosts, now: Way) -> Flip | None:
        """Return what a search has found, with the figure on both presses.

        found: what the job costs as it is
        """
        if search.far is None or search.way is None:
            return None
        figures = (
            figure_on(self.table, found, self.ways.index(way), search.factor)
            for way in (now, search.way)
        )
        return Flip(
            search.far / UNIT,
            search.near / UNIT,
            search.way.process,
            search.way.press,
            tuple(figure for figure in figures if figure),
        )


@dataclass
class _Search:
    """The nearest flip of one factor on one side of 1, closed in on; bounds in parts of UNIT.

    near: the last that changes nothing; far: the first known that does, and who wins there
    """

    factor: str
    end: int
    near: int = UNIT
    far: int | None = None
    way: Way | None = None

    def tried(self) -> Whole:
        """Return where to look next, from 1 outwards; nowhere when it is done."""
        if self.far is None and self.near == UNIT:
            spread = np.geomspace(UNIT, self.end, STEPS_A_SIDE + 1)[1:].round()
        elif self.far is not None and abs(self.far - self.near) > 1:
            spread = np.linspace(self.near, self.far, TRIED + 2)[1:-1].round()
        else:
            return columns(())
        inside = spread.astype(np.int64)
        fresh = inside[(inside != self.near) & (inside != self.far)]
        outwards: Whole = fresh[np.sort(np.unique(fresh, return_index=True)[1])]
        return outwards

    def told(self, tried: Whole, winners: Sequence[Way], process: str) -> None:
        """Take in who wins at each place tried."""
        for times, way in zip(tried.tolist(), winners, strict=True):
            if way.process != process:
                self.far, self.way = times, way
                return
            self.near = times


def _answer(led: Led, quantity: int, replanned: Replanned, most_coverage: float) -> Answer:
    now = led.winners(quantity)[0]
    searches = [_Search(factor, end) for factor in FACTORS for end in (LEAST, MOST)]
    while looks := [(each, tried) for each in searches if (tried := each.tried()).size]:
        given, count = _one_at_a_time([(each.factor, tried) for each, tried in looks])
        winners = iter(led.winners(quantity, given, count))
        for each, tried in looks:
            each.told(tried, list(islice(winners, len(tried))), now.process)
    found = led.table.at(columns([quantity]))
    flipped = [led.flip(each, found, now) for each in searches]
    hinges = [
        Hinge(each.factor, below, above)
        for each, below, above in zip(searches[::2], flipped[::2], flipped[1::2], strict=True)
    ]
    if most_coverage:
        hinges.append(_of_coverage(led.part, quantity, now, replanned, most_coverage))
    return Answer(quantity, led.part, now.process, now.press, tuple(hinges))


def _one_at_a_time(looks: Sequence[tuple[str, Whole]]) -> tuple[WhatIf, int]:
    """Return one change in each column, and how many: of each factor where it is looked at."""
    count = sum(len(tried) for _, tried in looks)
    factors, at = {name: np.ones(count) for name in FACTORS}, 0
    for factor, tried in looks:
        factors[factor][at : at + len(tried)] = tried / UNIT
        at += len(tried)
    return WhatIf(**factors), count


def _of_coverage(
    part: int, quantity: int, now: Way, replanned: Replanned, most: float
) -> Hinge:
    """Return the flips of coverage, at the first of some steps that changes the answer."""

    def flip(steps: Sequence[float]) -> Flip | None:
        unchanged_to = 1.0
        for times in steps:
            other = replanned(times)
            way = Led(other, part).winners(quantity)[0] if other else None
            if way is None:
                return Flip(times, unchanged_to, "", "", ())
            if way.process != now.process:
                return Flip(times, unchanged_to, way.process, way.press, ())
            unchanged_to = times
        return None

    above = [times for times in MORE_COVERAGE if times < most]
    return Hinge(COVERAGE, flip(LESS_COVERAGE), flip([*above, most] if most > 1 else []))
