"""Puts the operations of an offer on the clock: when it is ready, and what decides that.

Every operation begins as early as it can: when all that it waits for has ended, its machine is
free and its clock runs; over the end of a shift it goes on in the next one. Parts of one job come
to machines that they share in one order, the best of those worth trying. Which orders those are
does not hang on the quantity, so that a larger quantity is never ready earlier.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from itertools import combinations
from typing import NamedTuple

from .clocks import DAY_S, BeyondHorizon, Clock
from .job import Job
from .job_table import JobCosts, JobTable
from .machine_clocks import clocks_of
from .named_lines import COPIES
from .network import Task, place
from .op_list import COPY_PHASE, DESK, ONTO_SHELLS, RUN_PHASE, Ids, Op
from .plant import Plant
from .plant_time import Queue
from .production import Habits, Making, Production
from .queues import kingman_wait_h
from .route_times import HOUR_S, RouteTimes
from .sequences import orders_worth_trying
from .timing import Timing
from .working_time import clock_text

NO_OVERTIME: frozenset[str] = frozenset()
PRESS_PHASES = (RUN_PHASE, RUN_PHASE + ONTO_SHELLS)
QUEUE, CARRIER = "queue", ("dispatch", "delivery")


class Combo(NamedTuple):
    """How a job is made: with which makeup, and by which routes each part."""

    makeup: int
    routes: tuple[tuple[int, ...], ...]


class InOrder(NamedTuple):
    """Operations in the order in which they are placed; ends: ids that end the job."""

    ops: tuple[Op, ...]
    ends: Ids


class Scheduler:
    """What is the same for all offers of a job: clocks, queues, habits."""

    def __init__(self, job: Job, plant: Plant, timing: Timing) -> None:
        self.plant, self.timing, self.rush = plant, timing, job.rush
        year = datetime.fromtimestamp(timing.as_of, UTC).year
        self.clocks = clocks_of(plant, year)
        self.habits = Habits.of(plant, job.proof, timing.approval_days, aid=job.drying_aid)
        self.limit = timing.as_of + plant.time.horizon_days * DAY_S
        self._free: dict[str, int] = {}
        self._clock: dict[tuple[str, str, bool], Clock] = {}

    def queue_at(self, machine: str) -> Queue:
        """What stands before a machine: as the request says, else as the plant file does.

        Rush work goes before what is planned, but takes no press from under a job.
        """
        own = self.plant.time.of(machine)
        queue = self.timing.queues.get(machine, own.queue)
        return Queue(busy_until=queue.busy_until) if self.rush else queue

    def wait_s(self, machine: str) -> int:
        """How long work waits at a machine once it is there, by its utilisation."""
        utilisation = self.queue_at(machine).utilisation
        if not utilisation:
            return 0
        own = self.plant.time.of(machine)
        return round(kingman_wait_h(utilisation, own.mean_job_h, own.variation) * HOUR_S)

    def free(self, machine: str) -> int:
        """From when on a machine is free. Raises BeyondHorizon."""
        if machine not in self._free:
            queue, at = self.queue_at(machine), self.timing.as_of
            if queue.busy_until is not None:
                at = max(at, queue.busy_until)
            elif queue.hours_ahead:
                clock = self.clocks.of(machine, overtime=False)
                at = clock.after(at, round(queue.hours_ahead * HOUR_S))
            self._free[machine] = at
        return self._free[machine]

    def clock(self, op: Op, overtime: frozenset[str]) -> Clock:
        """Return the clock of an operation. overtime: the machines that work overtime."""
        if op.operation in CARRIER:
            dispatch = self.clocks.dispatch
            return dispatch.cut_off if op.operation == "dispatch" else dispatch.delivery
        key = op.clock, op.machine, op.machine in overtime
        if key not in self._clock:
            if op.clock == "shift":
                self._clock[key] = self.clocks.of(op.machine, overtime=key[2])
            elif op.clock == "elapsed":
                self._clock[key] = self.clocks.elapsed
            else:
                self._clock[key] = self.clocks.working_days
        return self._clock[key]

    def handed_over(self, end: int, op: Op) -> int:
        """When the customer can have what an operation ends with.

        Where it is no work, and nobody is there when it ends, that is when the plant opens.
        """
        by_itself = op.clock != "shift" and op.operation not in CARRIER
        return self.clocks.of("", overtime=False).begin(end) if by_itself else end

    def at(self, table: JobTable, costs: JobCosts) -> OnClock:
        """Return what puts offers on the clock that are costed at some quantities."""
        return OnClock(self, table, costs)


class OnClock:
    """Offers of one job, costed at some quantities, on the clock."""

    def __init__(self, scheduler: Scheduler, table: JobTable, costs: JobCosts) -> None:
        self.of, self._table = scheduler, table
        self._production = Production(table, costs, scheduler.habits)
        self._sequences: dict[Combo, tuple[InOrder, ...]] = {}
        self._at_best: dict[tuple[int, int, int], InOrder] = {}

    def times(self, makeup: int, number: int, route: int) -> RouteTimes:
        """Return the times of one route of a part."""
        return self._production.times(makeup, number, route)

    def alone_at_best(
        self,
        makeup: int,
        number: int,
        way: int,
        column: int,
        overtime: frozenset[str] = NO_OVERTIME,
    ) -> int | None:
        """Return an instant before which nothing is ready that has a part made by a way.

        The part is taken to be alone, and of all its layouts the least of each time.
        """
        key = makeup, number, way
        if key not in self._at_best:
            making = self._production.part_at_best(makeup, number, way)
            self._at_best[key] = self._in_order(makeup, [making], (0,), at_best=True)
        return self._ready(self._at_best[key], column, overtime)

    def ready_at(
        self, combo: Combo, column: int, overtime: frozenset[str] = NO_OVERTIME
    ) -> int | None:
        """Return when a job made so is ready [s since 1970]; None where beyond the horizon."""
        found = [self._ready(each, column, overtime) for each in self.sequences(combo)]
        return min((each for each in found if each is not None), default=None)

    def best_sequence(
        self, combo: Combo, column: int, overtime: frozenset[str] = NO_OVERTIME
    ) -> InOrder:
        """Return the order of operations by which it is ready first."""

        def ready(sequence: InOrder) -> int:
            found = self._ready(sequence, column, overtime)
            return self.of.limit + 1 if found is None else found

        every = self.sequences(combo)
        return every[0] if len(every) == 1 else min(every, key=ready)

    def tasks(
        self, sequence: InOrder, column: int, overtime: frozenset[str] = NO_OVERTIME
    ) -> list[Task]:
        """Return the operations at one quantity as the network takes them."""
        clock = self.of.clock
        return [
            Task(
                op.id,
                clock(op, overtime),
                op.amounts[column],
                op.after,
                # To wait at a machine takes its time, not the machine.
                "" if op.operation == QUEUE else op.machine,
            )
            for op in sequence.ops
        ]

    def free(self, sequence: InOrder) -> dict[str, int]:
        """From when on each machine of some operations is free. Raises BeyondHorizon."""
        return {op.machine: self.of.free(op.machine) for op in sequence.ops if op.machine}

    def machines(self, combo: Combo) -> frozenset[str]:
        """All machines that a job made so takes, and "" for the plant where it works by hand."""
        ops = self.sequences(combo)[0].ops
        return frozenset(op.machine for op in ops if op.clock == "shift")

    def _ready(self, sequence: InOrder, column: int, overtime: frozenset[str]) -> int | None:
        try:
            free, tasks = self.free(sequence), self.tasks(sequence, column, overtime)
            placed = place(tasks, self.of.timing.as_of, free)
            ready = max(
                (
                    self.of.handed_over(at.end, op)
                    for op, at in zip(sequence.ops, placed, strict=True)
                    if op.id in sequence.ends
                ),
                default=self.of.timing.as_of,
            )
        except BeyondHorizon:
            return None
        return ready if ready <= self.of.limit else None

    def sequences(self, combo: Combo) -> tuple[InOrder, ...]:
        """Return the orders worth trying in which its operations can be placed."""
        if combo not in self._sequences:
            self._sequences[combo] = tuple(self._ordered(combo))
        return self._sequences[combo]

    def _ordered(self, combo: Combo) -> list[InOrder]:
        parts = [
            self._production.part(combo.makeup, number, routes)
            for number, routes in enumerate(combo.routes)
        ]
        orders = self._orders(combo, parts)
        return [self._in_order(combo.makeup, parts, order) for order in orders]

    def _in_order(
        self,
        makeup: int,
        parts: Sequence[Making],
        order: Sequence[int],
        *,
        at_best: bool = False,
    ) -> InOrder:
        """The operations of parts, in an order of them, then those on copies."""
        copies = self._production.copies(makeup, tuple(end for part in parts for end in part.ends))
        last, ends = list(copies.ops), copies.ends
        if self.of.timing.delivered:
            sent = self._sent(ends)
            last, ends = [*last, *sent], (sent[-1].id,)
        ops = _by_phase([parts[n].ops for n in order])
        return InOrder(self._with_queues([*ops, *last], at_best=at_best), ends)

    def _orders(self, combo: Combo, parts: Sequence[Making]) -> list[tuple[int, ...]]:
        """Orders of the parts: of those that share no machine but the desk one does."""
        used = [{op.machine for op in part.ops} - {"", DESK} for part in parts]
        if not any(one & other for one, other in combinations(used, 2)):
            return [tuple(range(len(parts)))]
        typical = [
            self._production.typical_hours(combo.makeup, number, routes)
            for number, routes in enumerate(combo.routes)
        ]
        return orders_worth_trying([on for on, _ in typical], [after for _, after in typical])

    def _with_queues(self, ops: Sequence[Op], *, at_best: bool = False) -> tuple[Op, ...]:
        """Have the first operation of each part, and of copies, wait at each machine.

        What is to be expected there is waited for side by side. at_best: whether only where every
        layout waits: at the desk, at the press, and for what is done to copies; other machines may
        be met earlier, or not at all, by another one.
        """
        met: set[tuple[str | None, str]] = set()
        found: list[Op] = []
        for op in ops:
            key = op.part, op.machine
            sure = not at_best or op.part is None or op.machine == DESK or op.phase in PRESS_PHASES
            wait_s = self.of.wait_s(op.machine) if op.machine and sure and key not in met else 0
            met.add(key)
            if wait_s:
                found.append(self._queue(op, wait_s))
                op = op._replace(after=(*op.after, found[-1].id))
            found.append(op)
        return tuple(found)

    def _queue(self, op: Op, wait_s: int) -> Op:
        own = self.of.plant.time.of(op.machine)
        share = self.of.queue_at(op.machine).utilisation or 0.0
        because = (
            f"Kingman's formula: {own.variation:g} x {share:g} / (1 - {share:g}) x "
            f"{own.mean_job_h:g} h, the mean job at {op.machine}"
        )
        id_ = f"{op.part or COPIES}/{QUEUE}_{op.machine}"
        amounts = [wait_s] * len(op.amounts)
        return Op(
            id_, QUEUE, op.part, op.machine, "shift", amounts, op.after, op.phase, because
        )

    def _sent(self, ends: Ids) -> list[Op]:
        """Dispatch at the next cut-off, and the days of the carrier."""
        custom, columns = self.of.plant.time.dispatch, self._production.columns
        leaves = f"{COPIES}/dispatch"
        told = f"the carrier leaves at {clock_text(custom.cut_off_min)}"
        days, at = custom.delivery_days, clock_text(custom.delivered_by_min)
        return [
            Op(leaves, "dispatch", None, "", "elapsed", [1] * columns, ends, COPY_PHASE, told),
            Op(
                f"{COPIES}/delivery",
                "delivery",
                None,
                "",
                "working_days",
                [days * DAY_S or 1] * columns,
                (leaves,),
                COPY_PHASE,
                f"{days} delivery day(s) on, by {at}",
            ),
        ]


def _by_phase(parts: Sequence[Sequence[Op]]) -> list[Op]:
    """Return the operations of parts by phase, in each the parts in the order given."""
    return sorted((op for ops in parts for op in ops), key=lambda op: op.phase)
