"""When everything of an offer is done: its operations on the clock, and the path that decides."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

ClockName = Literal["shift", "elapsed", "working_days"]


@dataclass(frozen=True, slots=True)
class ScheduledOperation:
    """One operation of an offer, with its times.

    id: unique within the schedule, the same for the same job: "text/run", "copies/perfect_bind"
    operation: what is done: artwork_check, imposition, proof, approval, carriers, dies, stock,
        queue, make_ready, run, drying, backing_up, wash_up, dispatch, delivery, or the name of a
        finishing step
    part: name of the part; None for what is done to copies
    machine: id of the machine that it takes; "" where it takes none
    clock: what its duration is counted on: shifts of the machine (or of the plant), elapsed time,
        working days
    duration: hours, or working days
    start_at, end_at: [s since 1970, UTC]; slack_h: by how much it can be later without the job
        being later, in hours of its own clock (of working days, in the plant's working hours)
    critical: whether it is on the path that decides when the job is ready
    after: ids of what it waits for; overtime_h: hours of it that are worked in overtime
    """

    id: str
    operation: str
    part: str | None
    machine: str
    clock: ClockName
    duration: float
    start_at: int
    end_at: int
    slack_h: float
    critical: bool
    after: tuple[str, ...]
    because: str
    overtime_h: float = 0.0


@dataclass(frozen=True, slots=True)
class Readiness:
    """When the last copy is with the customer, or ready to be collected, and what that takes.

    ready_at: [s since 1970, UTC]; None where that is beyond the horizon
    hours: from the clock of the request until then; of the horizon where it is beyond it
    work_h, drying_h, waiting_h, lead_days: on the path that decides: hours of work, of drying,
        hours in which it waits for machines and shifts, working days in which it waits for others
    overtime_h: hours of all its operations that are worked in overtime, by machine
    because: for each of these figures one sentence
    """

    ready_at: int | None
    hours: float
    work_h: float
    drying_h: float
    waiting_h: float
    lead_days: float
    overtime_h: Mapping[str, float]
    because: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Schedule:
    """A readiness, and every operation that leads to it in the order of their start.

    overtime_money: premium for the hours worked in overtime [currency], not rounded
    """

    readiness: Readiness
    operations: tuple[ScheduledOperation, ...]
    overtime_money: float = 0.0
