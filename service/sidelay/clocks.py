"""Clocks on which operations take their time: shifts, elapsed time, working days.

Instants and amounts are whole seconds; on the clock of working days an amount of 86,400 is one
working day. All three are monotone: later starts and larger amounts never end earlier.
"""

from __future__ import annotations

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

    def __init__(self, horizon: int) -> None: ...


class Worked:
    """Time within some periods of work.

    after(t, 0) is t itself; an amount that ends with a period ends at that period's end, and what
    is left goes on at the start of the next. before(t, n) is the latest start.
    """

    def __init__(self, periods: Periods) -> None: ...


class WorkingDays:
    """Working days of a plant, shares of a day by the work that is done on it.

    One working day after Tuesday 9:00 is Wednesday at the moment at which the same share of
    Wednesday's work is done; after closing time counts from the end of that day's work.
    """

    def __init__(self, days: tuple[Periods, ...]) -> None:
        """days: the periods of each working day, in order."""
