"""Which changes of a plant file move a price: each is made alone on the old file, and priced.

Changes do not simply add up: two that act on one line multiply, and one may matter only beside
another. What they come to together beyond the sum of each is told as their joint effect.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..plant import Plant
from ..plant_file import plant_of
from ..processes import Processes
from ..toml_file import PlantFileError
from .changes import Change, changed

MOST_TRIALS = 50


@dataclass(frozen=True, slots=True)
class Trial:
    """Changes that are made together, and alone.

    numbers: where they stand among all changes
    plant: the old plant with them; None where that is no plant, or was not tried
    faults: why it is none
    """

    numbers: tuple[int, ...]
    plant: Plant | None = None
    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TrialPlan:
    """What to try.

    together: whether changes of one table were put together, because there are too many
    left_out: how many more of such there are than may be tried
    """

    trials: tuple[tuple[int, ...], ...]
    together: bool
    left_out: int


def planned_trials(
    found: Sequence[Change], mentioned: Collection[str], most: int = MOST_TRIALS
) -> TrialPlan:
    """Return what to try of some changes; names and sources are no figures and are left out.

    mentioned: words of the answers that moved; tables that are named there come first where not
        all can be tried
    """
    figures = [number for number, change in enumerate(found) if not change.is_words]
    trials: list[tuple[int, ...]] = [(number,) for number in figures]
    together = False
    if len(trials) > most:
        by_record: dict[str, list[int]] = {}
        for number in figures:
            by_record.setdefault(found[number].record, []).append(number)
        trials, together = [tuple(numbers) for numbers in by_record.values()], True
    if len(trials) > most:
        trials.sort(key=lambda numbers: _rank(found[numbers[0]], mentioned))
    return TrialPlan(tuple(trials[:most]), together, max(0, len(trials) - most))


def _rank(change: Change, mentioned: Collection[str]) -> int:
    """Say how soon to try a change: one that an answer names, one of no list, any other."""
    names = change.items
    if any(name in mentioned for name in names):
        return 0
    return 1 if not names or change.path[0] == "cost_centres" else 2


def tried(
    trials: Sequence[tuple[int, ...]],
    found: Sequence[Change],
    old: Mapping[str, Any],
    processes: Processes,
) -> Iterator[Trial]:
    """Yield each trial with its plant. old: what the old file holds"""
    for numbers in trials:
        data = changed(old, [found[number] for number in numbers])
        try:
            plant = plant_of(data, "", "the old file with this change alone", processes)
        except PlantFileError as fault:
            yield Trial(numbers, faults=tuple(map(str, fault.faults)))
        else:
            yield Trial(numbers, plant)
