"""Types of answers: dates.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Any, Literal, NotRequired, TypedDict

from .part import RouteStep


class Clock(TypedDict):
    """The moment that an answer is reckoned at."""

    as_of: str
    given: bool
    time_zone: str


class Due(TypedDict):
    """How an offer stands to the due date."""

    asked_at: str
    holds: bool
    slack_h: float | None


class ReadyBecause(TypedDict):
    """Why each figure is what it is, a sentence each; some are missing where nothing is ready."""

    ready_at: str
    work_h: NotRequired[str]
    drying_h: NotRequired[str]
    waiting_h: NotRequired[str]
    lead_days: NotRequired[str]


class Readiness(TypedDict):
    """What it takes until the offer is ready, along the operations that decide when it is."""

    hours: float
    work_h: float
    drying_h: float
    waiting_h: float
    lead_days: float
    because: ReadyBecause


class OvertimeHours(TypedDict):
    """Overtime at one machine."""

    machine: str | None
    hours: float


class Overtime(TypedDict):
    """Overtime that it takes to hold the due date."""

    hours: list[OvertimeHours]
    cost: NotRequired[str]
    currency: NotRequired[str]


class ScheduledOperation(TypedDict):
    """One operation on the clock."""

    id: str
    operation: str
    part: str | None
    machine: str | None
    clock: Literal["shift", "elapsed", "working_days"]
    duration: float
    unit: str
    start_at: str
    end_at: str
    slack_h: float
    critical: bool
    after: list[str]
    overtime_h: float
    because: NotRequired[str]


class Dated(TypedDict):
    """An offer in short."""

    process: str
    press: str
    net: str
    currency: str
    ready_at: str | None


class Lot(TypedDict):
    """One of two lots, an order of its own."""

    process: str
    press: str
    net: str
    currency: str
    ready_at: str | None
    quantity: int
    holds: bool


class WouldHold(TypedDict):
    """What would make the due date hold, and what the customer would pay then."""

    process: str
    press: str
    net: str
    currency: str
    ready_at: str | None
    kind: str
    more: str
    changes: dict[str, Any]
    lots: list[Lot]
    because: str


class Otherwise(TypedDict):
    """What else there is at a quantity where the cheapest of all is too late."""

    too_late: Dated | None
    earliest: Dated | None
    would_hold: list[WouldHold]


_DueBand = TypedDict("_DueBand", {"from": int})


class DueBand(_DueBand):
    """Whole quantities, both ends included, at which one press is the cheapest that holds."""

    to: int
    process: str | None
    press: str | None
    route: list[RouteStep]
