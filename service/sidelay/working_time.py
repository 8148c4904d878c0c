"""Shifts and stoppages on a wall clock, compiled to periods of work on the one time line.

Instants are whole seconds since 1970, UTC. A shift belongs to the day on which it begins.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime

MINUTES_PER_DAY = 24 * 60
Periods = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Shift:
    """Hours that are worked on some days of the week, by the wall clock of the plant.

    days: 0 for Monday to 6 for Sunday, of the day on which it begins
    from_min, to_min: minutes after midnight; where to_min is not after from_min the shift ends on
        the next day, and 1440 is the midnight that ends the day
    """

    days: frozenset[int]
    from_min: int
    to_min: int


@dataclass(frozen=True, slots=True)
class Stoppage:
    """A planned time without work, maintenance say [s since 1970, UTC], and why."""

    start: int
    end: int
    reason: str


def periods(
    shifts: Sequence[Shift],
    zone: str,
    closed: Collection[date],
    stoppages: Sequence[Stoppage],
    first: date,
    last: date,
) -> Periods:
    """Return when work is done: rising, disjoint, of the shifts that begin on first to last."""
    raise NotImplementedError


def wall_instants(zone: str, wall: datetime) -> tuple[int, ...]:
    """Return the instants at which clocks of a zone show a time: none in a gap, two where twice."""
    raise NotImplementedError
