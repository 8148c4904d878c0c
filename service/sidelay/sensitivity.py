"""What the crossovers and the answer hang on: the same comparison with one figure changed.

Two questions, of each figure in turn, all others left as they are. By how much does a crossover
move when the figure is a tenth or a fifth less or more? And at how many times the figure would
another process be the cheapest at a quantity asked for?

Prices, rates, times, speeds and waste are changed in the compiled tables (`what_if.py`), so every
answer is as exact as the bands are. Coverage is a matter of the job: it is planned anew, and a
press that cannot print so much ink drops out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import cycle, pairwise
from math import log

import numpy as np

from .bands import first_quantities
from .crossovers import Band, Crossover, find_crossovers, only_processes, winning_processes
from .flips import COVERAGE, Answer, Led, Replanned, flips
from .job import Job, least_coverage
from .job_table import JobTable, columns
from .what_if import AS_IT_IS, FACTORS, WhatIf, changed

CHANGES = (-0.2, -0.1, 0.1, 0.2)
# The change that elasticity is taken over, either way.
ELASTIC = 0.1


@dataclass(frozen=True, slots=True)
class Shift:
    """A crossover when a figure has changed.

    change: of the figure, as a share of it
    first_at, settled_at: as of a Crossover, the two processes alone compared; None where the second
        does not take over from the first between the bounds
    wins_there: of all processes, the cheapest then where the crossover was; "" for none
    """

    change: float
    first_at: int | None
    settled_at: int | None
    wins_there: str


@dataclass(frozen=True, slots=True)
class Leaning:
    """How far a crossover leans on one figure.

    elasticity: relative change of the crossover for a relative change of the figure, between a
        tenth less and a tenth more of it: ln(Q+ / Q-) / ln(1.1 / 0.9), the arc elasticity of the
        economics textbooks on logarithms; from where it stands now where it is beyond the bounds on
        one side, None where it is on both
    """

    factor: str
    elasticity: float | None
    shifts: tuple[Shift, ...]


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """What one crossover hangs on, figure by figure."""

    crossover: Crossover
    leanings: tuple[Leaning, ...]


@dataclass(frozen=True, slots=True)
class Hanging:
    """What a comparison hangs on: each crossover, and the answer at each quantity asked."""

    sensitivities: tuple[Sensitivity, ...]
    answers: tuple[Answer, ...]


def what_it_hangs_on(
    job: Job,
    table: JobTable,
    bands: Sequence[Band],
    replanned: Replanned,
    *,
    up_to: int,
    start: int = 1,
) -> Hanging:
    """Return what the crossovers of the bands and the answers to a job hang on.

    Raises bands.TooClose.
    """
    told = [share for part in job.parts if (share := least_coverage(part))]
    crossovers = find_crossovers(bands)
    return Hanging(
        sensitivities(table, crossovers, replanned, up_to=up_to, start=start),
        flips(table, job.quantities, replanned, 1 / min(told) if told else 0.0),
    )


def sensitivities(
    table: JobTable,
    crossovers: Sequence[Crossover],
    replanned: Replanned,
    *,
    up_to: int,
    start: int = 1,
) -> tuple[Sensitivity, ...]:
    """Return what each crossover hangs on. Raises bands.TooClose."""
    return tuple(_sensitivity(table, each, replanned, up_to, start) for each in crossovers)


def _sensitivity(
    table: JobTable, crossover: Crossover, replanned: Replanned, up_to: int, start: int
) -> Sensitivity:
    givens = [changed(factor, 1.0 + change) for factor in FACTORS for change in CHANGES]
    duel = _Duel(table, crossover, up_to, start, (AS_IT_IS, *givens))
    shifts = [duel.shift(change, given) for change, given in zip(cycle(CHANGES), givens)]
    for change in CHANGES:
        other = replanned(1.0 + change)
        again = _Duel(other, crossover, up_to, start) if other else None
        shifts.append(again.shift(change) if again else Shift(change, None, None, ""))
    now, each = duel.shift(0.0), len(CHANGES)
    return Sensitivity(
        crossover,
        tuple(
            _leaning(factor, now, shifts[at * each : (at + 1) * each])
            for at, factor in enumerate((*FACTORS, COVERAGE))
        ),
    )


class _Duel:
    """The two processes of a crossover against each other, all else at its least.

    givens: the changes that it will be asked under; what wins under none of them is left out
    """

    def __init__(
        self,
        table: JobTable,
        crossover: Crossover,
        up_to: int,
        start: int,
        givens: Sequence[WhatIf] = (AS_IT_IS,),
    ) -> None:
        self._crossover, self._up_to, self._start = crossover, up_to, start
        self._led = Led(table, crossover.part)
        asked = crossover.from_process, crossover.to_process
        self._pair: JobTable | None = None  # where neither can make the part any more
        if not any(way.process in asked for way in self._led.ways):
            return
        pair = only_processes(self._led.table, asked)
        looked_at = np.concatenate(
            [first_quantities(up_to, start), columns(table.policy.thresholds)]
        )
        found = [replace(pair, given=given).at(np.unique(looked_at)) for given in givens]
        self._pair = pair.narrowed(*found)

    def shift(self, change: float, given: WhatIf = AS_IT_IS) -> Shift:
        """Return where the second takes over, and who wins where the crossover was."""
        asked = self._crossover
        winner = self._led.winners(asked.first_at, given)[0].process
        if self._pair is None:
            return Shift(change, None, None, winner)
        stretches = winning_processes(
            replace(self._pair, given=given),
            self._up_to,
            self._start,
            by_value=self._led.by_value,
        )
        swaps = [
            after for before, after in pairwise(stretches) if after[1] == asked.to_process
        ]
        if not swaps:
            return Shift(change, None, None, winner)
        last_at, last_to = stretches[-1]
        settled_at = last_at if last_to == asked.to_process else None
        return Shift(change, swaps[0][0], settled_at, winner)


def _leaning(factor: str, now: Shift, shifts: Sequence[Shift]) -> Leaning:
    near = [shift for shift in shifts if abs(shift.change) == ELASTIC]
    return Leaning(factor, _elasticity(near[0], now, near[1]), tuple(shifts))


def _elasticity(low: Shift, now: Shift, high: Shift) -> float | None:
    """Arc elasticity between a tenth less and a tenth more, or from one of them to what is now."""
    met = [shift for shift in (low, now, high) if shift.first_at is not None]
    if len(met) < 2:
        return None
    before, after = met[0], met[-1]
    moved = log(_where(after, met) / _where(before, met))
    return moved / log((1 + after.change) / (1 + before.change))


def _where(shift: Shift, met: Sequence[Shift]) -> int:
    """Return where a crossover is: where it has settled, if it has under every change."""
    settled = shift.settled_at if all(each.settled_at for each in met) else None
    found = settled or shift.first_at
    assert found is not None  # noqa: S101  only those that meet are asked
    return found
