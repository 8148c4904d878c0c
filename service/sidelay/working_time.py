"""Shifts and stoppages on a wall clock, compiled to periods of work on the one time line.

Instants are whole seconds since 1970, UTC. A shift belongs to the day on which it begins.

Where clocks are put forward over a wall time, it stands for the instant at which they are; where
they show it twice, for the first time they do. That holds for starts and ends alike, so that
shifts which follow one another on the wall clock do so on the time line: a night of 22:00 to 6:00
lasts 7 hours in spring and 9 in autumn.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

MINUTES_PER_DAY = 24 * 60
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
SECOND = timedelta(seconds=1)
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

    @property
    def end_min(self) -> int:
        """When it ends, in minutes after the midnight that begins its day: beyond 1440 at night."""
        return self.to_min + (MINUTES_PER_DAY if self.to_min <= self.from_min else 0)


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
    """Return when work is done: rising, disjoint, of the shifts that begin on first to last.

    zone: IANA time zone; closed: days on which no shift begins. One that began on the day before
    runs to its end. Shifts that overlap or touch are one period, and stoppages are cut out.
    Raises zoneinfo.ZoneInfoNotFoundError for a zone that is not known.
    """
    wall_clock = ZoneInfo(zone)
    shut = frozenset(closed)
    worked: list[tuple[int, int]] = []
    for ahead in range((last - first).days + 1):
        day = first + timedelta(days=ahead)
        if day not in shut:
            worked += _shifts_of(day, shifts, wall_clock)
    stopped = _joined((stoppage.start, stoppage.end) for stoppage in stoppages)
    return tuple(_without(_joined(worked), stopped))


def wall_instants(zone: str, wall: datetime) -> tuple[int, ...]:
    """Return the instants at which clocks of a zone show a time: none in a gap, two where twice.

    wall: without a zone of its own, in whole seconds
    Raises zoneinfo.ZoneInfoNotFoundError for a zone that is not known.
    """
    wall_clock = ZoneInfo(zone)
    either = {_read(wall, wall_clock, fold) for fold in (0, 1)}
    return tuple(sorted(instant for instant in either if _shown(instant, wall_clock) == wall))


def clock_text(minutes: int) -> str:
    """Return minutes after midnight as hours and minutes: 07:30, and 24:00 for 1440."""
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def instant_on(zone: str, day: date, minutes: int) -> int:
    """Return the instant of so many minutes after midnight by the wall clock of a day."""
    return _instant(datetime.combine(day, time()) + timedelta(minutes=minutes), ZoneInfo(zone))


def gap_end(zone: str, wall: datetime) -> int:
    """Return when clocks jump over a wall time that they never show."""
    wall_clock = ZoneInfo(zone)
    # By the offset after the jump the time lies before it, by the one before it after it.
    return _end_of_gap(_read(wall, wall_clock, 1), _read(wall, wall_clock, 0), wall_clock)


def _shifts_of(
    day: date, shifts: Iterable[Shift], wall_clock: ZoneInfo
) -> Iterable[tuple[int, int]]:
    midnight = datetime.combine(day, time())
    for shift in shifts:
        if day.weekday() in shift.days:
            yield (
                _instant(midnight + timedelta(minutes=shift.from_min), wall_clock),
                _instant(midnight + timedelta(minutes=shift.end_min), wall_clock),
            )


def _instant(wall: datetime, wall_clock: ZoneInfo) -> int:
    """The instant that a wall time stands for, by the rule at the top of this module."""
    before, after = _read(wall, wall_clock, 0), _read(wall, wall_clock, 1)
    return before if before <= after else _end_of_gap(after, before, wall_clock)


def _end_of_gap(low: int, high: int, wall_clock: ZoneInfo) -> int:
    """The first instant after low on which the offset of high holds."""
    offset = _offset_of(high, wall_clock)
    while high - low > 1:
        middle = (low + high) // 2
        if _offset_of(middle, wall_clock) == offset:
            high = middle
        else:
            low = middle
    return high


def _read(wall: datetime, wall_clock: ZoneInfo, fold: int) -> int:
    """A wall time by the offset before (fold 0) or after (fold 1) clocks change, as PEP 495 has it.

    In a gap fold 0 gives the later instant, since the offset before is the smaller one.
    """
    return (wall.replace(tzinfo=wall_clock, fold=fold) - EPOCH) // SECOND


def _shown(instant: int, wall_clock: ZoneInfo) -> datetime:
    return datetime.fromtimestamp(instant, wall_clock).replace(tzinfo=None)


def _offset_of(instant: int, wall_clock: ZoneInfo) -> timedelta | None:
    return datetime.fromtimestamp(instant, wall_clock).utcoffset()


def _joined(spans: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Spans of time in their order, those that overlap or touch as one, empty ones left out."""
    joined: list[tuple[int, int]] = []
    for start, end in sorted(spans):
        if start >= end:
            continue
        if joined and start <= joined[-1][1]:
            joined[-1] = joined[-1][0], max(end, joined[-1][1])
        else:
            joined.append((start, end))
    return joined


def _without(
    worked: Iterable[tuple[int, int]], stopped: Sequence[tuple[int, int]]
) -> Iterable[tuple[int, int]]:
    """What is left of joined spans outside others, which are joined too."""
    passed = 0
    for start, end in worked:
        while passed < len(stopped) and stopped[passed][1] <= start:
            passed += 1
        for cut_start, cut_end in stopped[passed:]:
            if cut_start >= end:
                break
            if start < cut_start:
                yield start, cut_start
            start = max(start, cut_end)
        if start < end:
            yield start, end
