"""Clocks on which operations take their time: shifts, elapsed time, working days.

Instants and amounts are whole seconds, amounts 0 or more; on the clock of working days an amount
of 86,400 is one working day. All three are monotone: later starts and larger amounts never end
earlier.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from itertools import accumulate
from typing import Protocol

from .working_time import Periods

DAY_S = 86_400


class BeyondHorizon(Exception):  # noqa: N818  (an answer, not a fault)
    """Work that does not end within the time that is looked at."""


class Clock(Protocol):
    """What an operation's duration is counted on."""

    def after(self, start: int, amount: int) -> int:
        """Return the instant at which so much has passed since start. Raises BeyondHorizon."""

    def begin(self, start: int) -> int:
        """Return the first instant from start on at which it runs. Raises BeyondHorizon."""

    def before(self, end: int, amount: int) -> int:
        """Return the latest start from which so much has passed by end. Raises BeyondHorizon."""

    def between(self, start: int, end: int) -> int:
        """Return how much passes between two instants; 0 where end is not after start."""


class Elapsed:
    """Time that passes day and night, as ink dries. Never later than `horizon`."""

    __slots__ = ("_horizon",)

    def __init__(self, horizon: int) -> None:
        self._horizon = horizon

    def after(self, start: int, amount: int) -> int:
        """Return the instant at which so much has passed since start. Raises BeyondHorizon."""
        return self.begin(start + amount)

    def begin(self, start: int) -> int:
        """Return start itself. Raises BeyondHorizon."""
        if start > self._horizon:
            raise BeyondHorizon
        return start

    def before(self, end: int, amount: int) -> int:
        """Return the start from which so much has passed by end, however long ago that is."""
        return end - amount

    def between(self, start: int, end: int) -> int:
        """Return the seconds between two instants; 0 where end is not after start."""
        return max(0, end - start)


class Worked:
    """Time within some periods of work, which rise and do not overlap.

    after(t, 0) is t itself; an amount that ends with a period ends at that period's end, and what
    is left goes on at the start of the next. before(t, n) is the latest start.
    """

    __slots__ = ("_line",)

    def __init__(self, periods: Periods) -> None:
        self._line = _Line(periods)

    def after(self, start: int, amount: int) -> int:
        """Return the instant at which so much is worked since start. Raises BeyondHorizon."""
        if not amount:
            return start
        return self._line.earliest(self._line.done(start) + amount)

    def begin(self, start: int) -> int:
        """Return the first instant from start on at which there is work. Raises BeyondHorizon."""
        return max(start, self._line.latest(self._line.done(start)))

    def before(self, end: int, amount: int) -> int:
        """Return the latest start from which so much is worked by end. Raises BeyondHorizon."""
        if not amount:
            return end
        return self._line.latest(self._line.done(end) - amount)

    def between(self, start: int, end: int) -> int:
        """Return the seconds worked between two instants; 0 where end is not after start."""
        return max(0, self._line.done(end) - self._line.done(start))


class WorkingDays:
    """Working days of a plant, shares of a day by the work that is done on it.

    One working day after Tuesday 9:00 is Wednesday at the moment at which the same share of
    Wednesday's work is done; after closing time counts from the end of that day's work. A number
    of days that ends with a day ends at the end of its work, not at the start of the next. Shares
    are exact; `after` rounds up and `before` down to whole seconds.
    """

    __slots__ = ("_begun", "_line", "_work")

    def __init__(self, days: tuple[Periods, ...]) -> None:
        """days: the periods of each working day, in order.

        What of a day's periods lies before the end of the day before counts to the day before; a
        day without work is none.
        """
        apart = list(_apart(days))
        self._line = _Line(tuple(period for day in apart for period in day))
        self._work = [sum(end - start for start, end in day) for day in apart]
        self._begun = list(accumulate(self._work, initial=0))[: len(apart)]

    def after(self, start: int, amount: int) -> int:
        """Return the instant so many days [1/86,400] after start. Raises BeyondHorizon."""
        if not amount:
            return start
        day, share, whole = self._days_done(start)
        passed = share * DAY_S + amount * whole
        # The day on which it ends is the one that it ends with, so the share is above 0.
        ahead = -(-passed // (whole * DAY_S)) - 1
        if day + ahead >= len(self._work):
            raise BeyondHorizon
        last = day + ahead
        work = (passed - ahead * whole * DAY_S) * self._work[last]
        return self._line.earliest(self._begun[last] - -work // (whole * DAY_S))

    def begin(self, start: int) -> int:
        """Return start itself: orders are placed and proofs looked at at any hour."""
        return start

    def before(self, end: int, amount: int) -> int:
        """Return the latest start that lies so many days before end. Raises BeyondHorizon."""
        if not amount:
            return end
        day, share, whole = self._days_done(end)
        left = share * DAY_S - amount * whole
        back = left // (whole * DAY_S)
        if day + back < 0:
            raise BeyondHorizon
        first = day + back
        work = (left - back * whole * DAY_S) * self._work[first]
        return self._line.latest(self._begun[first] + work // (whole * DAY_S))

    def between(self, start: int, end: int) -> int:
        """Return the days [1/86,400], rounded down, between two instants; 0 where it is not after.

        It is the most after which `after(start, ...)` is not later than end.
        """
        if end <= start or not self._work:
            return 0
        first, share, whole = self._days_done(start)
        last, last_share, last_whole = self._days_done(end)
        shares = last_share * whole - share * last_whole
        return (last - first) * DAY_S + shares * DAY_S // (whole * last_whole)

    def _days_done(self, instant: int) -> tuple[int, int, int]:
        """Whole days done by an instant, and the work done on the day after them and all of it.

        After the last day it is that day and all of its work. Raises BeyondHorizon without days.
        """
        if not self._work:
            raise BeyondHorizon
        done = self._line.done(instant)
        day = bisect_right(self._begun, done) - 1
        return day, done - self._begun[day], self._work[day]


class _Line:
    """Instants and the work done by them, over periods that rise, with no empty one."""

    __slots__ = ("_done", "_ends", "_starts", "_total")

    def __init__(self, periods: Periods) -> None:
        self._starts = [start for start, _ in periods]
        self._ends = [end for _, end in periods]
        done = list(accumulate((end - start for start, end in periods), initial=0))
        self._total = done.pop()
        self._done = done

    def done(self, instant: int) -> int:
        """Return the seconds of work done by an instant."""
        period = bisect_right(self._starts, instant) - 1
        if period < 0:
            return 0
        return self._done[period] + min(instant, self._ends[period]) - self._starts[period]

    def earliest(self, done: int) -> int:
        """Return the first instant by which so much is done, above 0. Raises BeyondHorizon."""
        if done > self._total:
            raise BeyondHorizon
        period = bisect_left(self._done, done) - 1
        return self._starts[period] + done - self._done[period]

    def latest(self, done: int) -> int:
        """Return the last instant by which no more is done: work follows. Raises BeyondHorizon."""
        if not 0 <= done < self._total:
            raise BeyondHorizon
        period = bisect_right(self._done, done) - 1
        return self._starts[period] + done - self._done[period]


def _apart(days: Iterable[Periods]) -> Iterable[Periods]:
    """The days with work, each from the end of the one before."""
    over = None
    for day in days:
        left = day if over is None else _from(day, over)
        if left:
            over = left[-1][1]
            yield left


def _from(day: Periods, instant: int) -> Periods:
    return tuple((max(start, instant), end) for start, end in day if end > instant)
