"""Offers on the clock: when each is ready, and the best of those that hold the due date."""

from __future__ import annotations

from collections.abc import Collection
from functools import cached_property
from typing import NamedTuple

from .dated import IN_TIME, Dated, Otherwise
from .in_time import Found, InTime
from .job import Job
from .machine_ids import machine_ids
from .offers import Offer, PricedJob
from .plant import Plant
from .schedule import Schedule
from .scheduler import NO_OVERTIME, Combo, Scheduler
from .timetable import scheduled
from .timing import Due, Timing, due_of


class DatedOffer(NamedTuple):
    """An offer with its schedule.

    due: how it stands to the due date, None without one
    otherwise: what else there is, where the cheapest of all is too late
    """

    offer: Offer
    schedule: Schedule
    due: Due | None
    otherwise: Otherwise = IN_TIME

    @property
    def holds(self) -> bool:
        """Whether it is ready when it is wanted; so is all that nobody waits for."""
        return self.due is None or self.due.holds

    @property
    def ready_at(self) -> int | None:
        """When it is ready [s since 1970, UTC]; None beyond the horizon."""
        return self.schedule.readiness.ready_at


class Dating:
    """Puts the offers of one priced job on the clock."""

    def __init__(self, job: Job, plant: Plant, timing: Timing, priced: PricedJob) -> None:
        self._plant, self._timing, self._priced = plant, timing, priced
        self._scheduler = Scheduler(job, plant, timing)

    @cached_property
    def search(self) -> InTime:
        """The search for what is in time, in usual shifts."""
        return self._search(NO_OVERTIME)

    @cached_property
    def _search_beyond(self) -> InTime:
        """The same with overtime wherever it can be worked."""
        return self._search(self._everywhere)

    @property
    def _everywhere(self) -> frozenset[str]:
        return frozenset((*machine_ids(self._plant), ""))

    def dated(self, offer: Offer, overtime: frozenset[str] = NO_OVERTIME) -> DatedOffer:
        """Return an offer with its schedule. overtime: machines that work it."""
        combo = Combo(offer.makeup, tuple(made.routes for made in offer.parts))
        schedule = scheduled(self.search.on_clock, combo, offer.column, overtime)
        return DatedOffer(offer, schedule, due_of(self._timing, schedule.readiness.ready_at))

    def best(self, cheapest: Offer) -> DatedOffer:
        """Return the cheapest offer that holds; if none does, the cheapest.

        cheapest: of all at its quantity, whenever it is ready
        """
        first = self.dated(cheapest)
        if first.holds:
            return first
        found = self.in_time(cheapest.column)
        if found is not None:
            return found._replace(otherwise=Otherwise(too_late=self.short(first)))
        earliest = self.earliest(cheapest.column)
        return first._replace(otherwise=Otherwise(earliest=self.short(earliest)))

    def holding(self, cheapest: Offer) -> DatedOffer | None:
        """Return the cheapest offer that holds; None where none does."""
        first = self.dated(cheapest)
        return first if first.holds else self.in_time(cheapest.column)

    def of_press(self, cheapest: Offer) -> DatedOffer:
        """Return the cheapest offer of a press that holds; if none does, the one given."""
        first = self.dated(cheapest)
        if first.holds:
            return first
        table = self._priced.table.first
        ways = table.by_press()[table.ways[cheapest.parts[0].way].press]
        return self.in_time(cheapest.column, ways) or first

    def in_time(self, column: int, ways: Collection[int] | None = None) -> DatedOffer | None:
        """Return the cheapest that holds, in overtime where that is allowed and it takes it.

        With overtime the cheapest of each press competes, its premium counted in.
        """
        due_at = self._timing.due_at
        assert due_at is not None  # noqa: S101  without a due date everything is in time
        found = self.search.cheapest(column, due_at, ways)
        offers = [] if found is None else [self.dated(self._offer(found))]
        if self._timing.overtime:
            offers += self._beyond_shifts(column, due_at, ways)
        return min(offers, key=lambda each: each.offer.price, default=None)

    def earliest(self, column: int) -> DatedOffer:
        """Return what is ready first, in overtime where that is allowed."""
        beyond = self._everywhere if self._timing.overtime else NO_OVERTIME
        search = self._search_beyond if beyond else self.search
        found = search.earliest(column)
        assert found is not None  # noqa: S101  there is an offer, so there is a way
        return self._in_overtime(found, beyond)

    def short(self, dated: DatedOffer) -> Dated:
        """Return an offer in short."""
        way = self._priced.table.first.ways[dated.offer.parts[0].way]
        return Dated(way.process, way.press, dated.offer.price, dated.ready_at)

    def _beyond_shifts(
        self, column: int, due_at: int, ways: Collection[int] | None
    ) -> list[DatedOffer]:
        """The cheapest of each press that holds with overtime, on as few machines as it takes."""
        offers = []
        for of_press in self._priced.table.first.by_press().values():
            asked = [way for way in of_press if ways is None or way in ways]
            found = self._search_beyond.cheapest(column, due_at, asked) if asked else None
            if found is not None:
                offers.append(self._in_overtime(found, self._needed(found, column, due_at)))
        return offers

    def _needed(self, found: Found, column: int, due_at: int) -> frozenset[str]:
        """The machines whose overtime it takes; each is left out where it holds without."""
        on_clock = self.search.on_clock
        needed = on_clock.machines(found.combo)
        for machine in sorted(needed):
            fewer = needed - {machine}
            ready = on_clock.ready_at(found.combo, column, fewer)
            if ready is not None and ready <= due_at:
                needed = fewer
        return needed

    def _in_overtime(self, found: Found, overtime: frozenset[str]) -> DatedOffer:
        """An offer with its schedule, the premium for its overtime in its price."""
        plain = self.dated(self._offer(found), overtime)
        money = plain.schedule.overtime_money
        return plain._replace(offer=self._offer(found, money)) if money else plain

    def _offer(self, found: Found, overtime_money: float = 0.0) -> Offer:
        return self._priced.made_so(found.makeup, found.parts, found.column, overtime_money)

    def _search(self, overtime: frozenset[str]) -> InTime:
        priced = self._priced
        return InTime(self._scheduler, priced.table, priced.costs, priced.quantities, overtime)
