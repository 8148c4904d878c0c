"""When a plant works and what it waits for: zone, shifts, holidays, machines, proofs, dispatch."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType

from .public_holidays import Holidays
from .working_time import Shift, Stoppage

WEEKDAYS = frozenset(range(5))


@dataclass(frozen=True, slots=True)
class Queue:
    """What a job meets at a machine: one of these three, or nothing.

    busy_until: instant from which on it is free [s since 1970, UTC]; rush work waits for it too
    hours_ahead: work that stands before it already [h of the machine's own shifts]
    utilisation: share of its time that it is busy, 0 <= share < 1; then jobs meet a queue of the
        length to be expected (queues.kingman_wait_h)
    """

    busy_until: int | None = None
    hours_ahead: float | None = None
    utilisation: float | None = None


NO_QUEUE = Queue()
# The members of which a queue that is told has one.
QUEUE_WAYS = ("busy_until", "hours_ahead", "utilisation")


@dataclass(frozen=True, slots=True)
class MachineTime:
    """What is different at one machine.

    shifts, overtime: its own instead of the plant's; None for those of the plant
    maintenance: planned stoppages, overtime included
    queue: what stands before it when a request tells nothing else
    mean_job_h: how long it is busy with a job on average [h]; variation: variability of arrivals
        and of jobs together, (ca2 + cs2) / 2; both for the wait that a utilisation gives
    """

    shifts: tuple[Shift, ...] | None = None
    overtime: tuple[Shift, ...] | None = None
    maintenance: tuple[Stoppage, ...] = ()
    queue: Queue = NO_QUEUE
    mean_job_h: float = 1.5
    variation: float = 1.0
    source: str = "common practice, no source"


LIKE_THE_PLANT = MachineTime()


@dataclass(frozen=True, slots=True)
class DryingShares:
    """What share of a run's drying the next step waits for; laminating waits longest."""

    backing_up: float = 0.5
    cutting: float = 1.0
    folding: float = 1.0
    laminating: float = 1.5
    other: float = 1.0


@dataclass(frozen=True, slots=True)
class DryingAid:
    """Driers and set-off powder, lamps, more air: what shortens drying, for money.

    drying_share: share of the drying that is left; price_per_1000_cycles: material [currency]
    """

    drying_share: float
    price_per_1000_cycles: float
    source: str = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Dispatch:
    """How finished copies get to a customer who does not collect them.

    cut_off_min: what is packed by then goes the same day [minutes after midnight]
    days: weekdays on which the carrier comes and delivers, 0 for Monday; no public holidays
    delivery_days: delivery days from dispatch to delivery, 0 for the same day
    delivered_by_min: time of delivery [minutes after midnight]
    """

    cut_off_min: int = 15 * 60
    days: frozenset[int] = WEEKDAYS
    delivery_days: int = 1
    delivered_by_min: int = 12 * 60
    source: str = "common practice, no source"


@dataclass(frozen=True, slots=True)
class PlantTime:
    """When a plant works, and how long what is not work takes there.

    zone: IANA time zone; shifts: the usual ones; overtime: what can be worked beyond them
    overtime_premium: what an hour of overtime costs more, as a share of the rate
    holidays: public ones, on which nobody works; None for none
    closed_days: further ones, each with its reason
    horizon_days: no schedule looks further than so many days after the clock of the request
    machines: by id (machine_ids), for those that differ
    approval_days: working days that a customer takes to approve a proof, by kind of proof
    """

    zone: str = "UTC"
    shifts: tuple[Shift, ...] = (Shift(WEEKDAYS, 8 * 60, 16 * 60),)
    overtime: tuple[Shift, ...] = ()
    overtime_premium: float = 0.5
    holidays: Holidays | None = None
    closed_days: Mapping[date, str] = field(default_factory=lambda: MappingProxyType({}))
    horizon_days: int = 400
    machines: Mapping[str, MachineTime] = field(default_factory=lambda: MappingProxyType({}))
    approval_days: Mapping[str, float] = field(
        default_factory=lambda: MappingProxyType({"soft": 0.5, "contract": 1.0, "press": 0.0})
    )
    drying: DryingShares = DryingShares()
    drying_aid: DryingAid | None = None
    dispatch: Dispatch = Dispatch()
    source: str = "common practice, no source"

    def of(self, machine: str) -> MachineTime:
        """Return what is different at a machine; "" is the plant itself."""
        return self.machines.get(machine, LIKE_THE_PLANT)
