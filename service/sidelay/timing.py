"""What a request says about time: the clock it is asked at, the due date, the queues."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from .plant_time import Queue


@dataclass(frozen=True, slots=True)
class Timing:
    """When a job is asked for, by when it is wanted, and what stands in its way.

    as_of: the clock of the request [s since 1970, UTC]; work starts then at the earliest
    due_at: when the customer wants it; None where that is not told
    approval_days: working days that the customer takes for a proof; None as the plant has it
    delivered: whether it is sent to the customer, who else collects it
    overtime: whether overtime may be worked, and its premium paid
    queues: what stands before single machines, instead of what the plant file says
    """

    as_of: int
    due_at: int | None = None
    approval_days: float | None = None
    delivered: bool = False
    overtime: bool = False
    queues: Mapping[str, Queue] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Due:
    """Whether an offer is ready when it is wanted.

    asked_at: when [s since 1970, UTC]; holds: whether it is ready by then
    slack_h: hours from ready to due, less than nothing where it is late; None where it does not
        become ready within the horizon
    """

    asked_at: int
    holds: bool
    slack_h: float | None


def due_of(timing: Timing, ready_at: int | None) -> Due | None:
    """Return how an offer stands to the due date; None where there is none."""
    if timing.due_at is None:
        return None
    if ready_at is None:
        return Due(timing.due_at, False, None)
    slack_s = timing.due_at - ready_at
    return Due(timing.due_at, slack_s >= 0, slack_s / 3600)
