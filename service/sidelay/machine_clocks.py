"""The clocks of a plant's machines, compiled once for each year that is asked about."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from datetime import UTC, date, datetime, timedelta
from functools import cached_property, lru_cache

from .clocks import DAY_S, BeyondHorizon, Clock, Elapsed, Worked, WorkingDays
from .plant import Plant
from .plant_time import MachineTime, PlantTime
from .working_time import Shift, instant_on, periods

# Days before the first of January that are compiled too: what is under way then began before.
BEFORE = 14
# And days beyond the horizon: what is looked for there may end a little later.
BEYOND = 60


class MachineClocks:
    """The clocks of one plant around one year: of machines, with and without overtime."""

    def __init__(self, time: PlantTime, year: int) -> None:
        self._time = time
        self._first = date(year, 1, 1) - timedelta(days=BEFORE)
        self._last = date(year, 12, 31) + timedelta(days=time.horizon_days + BEYOND)
        self._worked: dict[tuple[object, ...], Worked] = {}

    @cached_property
    def _closed(self) -> frozenset[date]:
        """Closed days and public holidays."""
        closed = set(self._time.closed_days) | self._public
        return frozenset(closed)

    @cached_property
    def _public(self) -> frozenset[date]:
        if self._time.holidays is None:
            return frozenset()
        years = range(self._first.year, self._last.year + 1)
        return frozenset(day for year in years for day in self._time.holidays.of_year(year))

    def of(self, machine: str, *, overtime: bool) -> Worked:
        """Return the clock of a machine's shifts, with what is worked beyond them where asked.

        machine: its id; "" for the plant
        """
        own = self._time.of(machine)
        usual = self._time.shifts if own.shifts is None else own.shifts
        return self._compiled((*usual, *(self._beyond(own) if overtime else ())), own)

    def overtime_of(self, machine: str) -> Worked:
        """Return the clock that runs in a machine's overtime alone."""
        own = self._time.of(machine)
        return self._compiled(self._beyond(own), own)

    @cached_property
    def elapsed(self) -> Clock:
        """The clock that never stops."""
        end = datetime.combine(self._last, datetime.min.time(), UTC)
        return Elapsed(int(end.timestamp()))

    @cached_property
    def working_days(self) -> Clock:
        """The plant's working days: what others take is counted in them."""
        days = []
        for number in range((self._last - self._first).days):
            day = self._first + timedelta(days=number)
            worked = periods(self._time.shifts, self._time.zone, self._closed, (), day, day)
            if worked:
                days.append(worked)
        return WorkingDays(tuple(days))

    @cached_property
    def dispatch(self) -> Dispatching:
        """When finished copies leave and arrive."""
        custom = self._time.dispatch
        days = [
            day
            for number in range((self._last - self._first).days)
            for day in (self._first + timedelta(days=number),)
            if day.weekday() in custom.days and day not in self._public
        ]
        return Dispatching(
            [instant_on(self._time.zone, day, custom.cut_off_min) for day in days],
            [instant_on(self._time.zone, day, custom.delivered_by_min) for day in days],
        )

    def _beyond(self, own: MachineTime) -> tuple[Shift, ...]:
        return self._time.overtime if own.overtime is None else own.overtime

    def _compiled(self, shifts: tuple[Shift, ...], own: MachineTime) -> Worked:
        key = shifts, own.maintenance
        if key not in self._worked:
            found = periods(
                shifts, self._time.zone, self._closed, own.maintenance, self._first, self._last
            )
            self._worked[key] = Worked(found)
        return self._worked[key]


class Dispatching:
    """Two clocks of one carrier: until the next cut-off, and from there to the delivery.

    cut_offs, deliveries: instants on the carrier's days, one of each a day, rising
    """

    def __init__(self, cut_offs: list[int], deliveries: list[int]) -> None:
        self.cut_off: Clock = _Next(cut_offs, cut_offs)
        self.delivery: Clock = _Next(cut_offs, deliveries)


class _Next:
    """From the next of some instants to another, so many days on (amount in days of 86,400 s).

    An amount of less than a day counts for none.
    """

    def __init__(self, starts: list[int], ends: list[int]) -> None:
        self._starts, self._ends = starts, ends

    def begin(self, start: int) -> int:
        """Return the start: it is waited for at any hour."""
        return start

    def after(self, start: int, amount: int) -> int:
        """Return the end of the wait. Raises BeyondHorizon."""
        place = bisect_left(self._starts, start) + amount // DAY_S
        while place < len(self._ends) and self._ends[place] < start:
            place += 1  # delivered at a time of day before that of the cut-off
        if place >= len(self._ends):
            raise BeyondHorizon
        return self._ends[place]

    def before(self, end: int, amount: int) -> int:
        """Return the latest start whose wait is over by then. Raises BeyondHorizon."""
        place = bisect_right(self._ends, end) - 1 - amount // DAY_S
        if place < 0:
            raise BeyondHorizon
        start = self._starts[place]
        return start if self.after(start, amount) <= end else self._starts[max(place - 1, 0)]

    def between(self, start: int, end: int) -> int:
        """Return the seconds between two instants; 0 where end is not after start."""
        return max(end - start, 0)


@lru_cache(maxsize=16)
def clocks_of(plant: Plant, year: int) -> MachineClocks:
    """Return the clocks of a plant around a year; of plants asked about last they are kept."""
    return MachineClocks(plant.time, year)
