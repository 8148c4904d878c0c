"""An offer's schedule: every operation with its times, its slack, and the path that decides."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from .clocks import DAY_S, BeyondHorizon
from .network import Placed, Task, deciding, place, slacks
from .op_list import Op
from .route_times import HOUR_S
from .schedule import Readiness, Schedule, ScheduledOperation
from .scheduler import NO_OVERTIME, QUEUE, Combo, InOrder, OnClock

HOUR_DIGITS, DAY_DIGITS = 3, 4


class _Laid(NamedTuple):
    """Operations on the clock: in the order placed, and the numbers of those that decide."""

    ops: Sequence[Op]
    tasks: Sequence[Task]
    placed: Sequence[Placed]
    path: Sequence[int]
    ready_at: int


def scheduled(
    on_clock: OnClock, combo: Combo, column: int, overtime: frozenset[str] = NO_OVERTIME
) -> Schedule:
    """Return the schedule of a job made so at one quantity. overtime: machines that work it."""
    sequence = on_clock.best_sequence(combo, column, overtime)
    laid = _laid(on_clock, sequence, column, overtime)
    if isinstance(laid, Schedule):
        return laid
    # Nobody waits until a press is washed up.
    aside = [op.id for op in laid.ops if op.operation == "wash_up"]
    slack_s = slacks(laid.tasks, laid.placed, laid.ready_at, aside)
    extra = [
        _overtime_h(on_clock, op, at, overtime)
        for op, at in zip(laid.ops, laid.placed, strict=True)
    ]
    on_path = set(laid.path)
    operations = [
        ScheduledOperation(
            op.id,
            op.operation,
            op.part,
            op.machine,
            op.clock,
            _duration(op, task.amount),
            at.start,
            at.end,
            round(slack / HOUR_S, HOUR_DIGITS),
            number in on_path,
            op.after,
            op.because,
            overtime_h,
        )
        for number, (op, task, at, slack, overtime_h) in enumerate(
            zip(laid.ops, laid.tasks, laid.placed, slack_s, extra, strict=True)
        )
        if task.amount
    ]
    operations.sort(key=lambda each: (each.start_at, each.end_at))
    plant = on_clock.of.plant
    money = sum(
        plant.rate(op.centre) * hours * plant.time.overtime_premium
        for op, hours in zip(laid.ops, extra, strict=True)
        if hours
    )
    return Schedule(_readiness(on_clock, laid, extra), tuple(operations), money)


def _laid(
    on_clock: OnClock, sequence: InOrder, column: int, overtime: frozenset[str]
) -> _Laid | Schedule:
    """Return the operations on the clock, or a schedule that says why there is none."""
    of, ops = on_clock.of, sequence.ops
    tasks = on_clock.tasks(sequence, column, overtime)
    try:
        placed = place(tasks, of.timing.as_of, on_clock.free(sequence))
        ends = [n for n, op in enumerate(ops) if op.id in sequence.ends]
        ready = {n: of.handed_over(placed[n].end, ops[n]) for n in ends}
    except BeyondHorizon:
        return _never(on_clock, _last_that_ends(on_clock, sequence, tasks))
    last = max(ready, key=lambda n: (ready[n], placed[n].end)) if ready else None
    ready_at = of.timing.as_of if last is None else ready[last]
    if ready_at > of.limit:
        return _never(on_clock, ops[last].id if last is not None else "")
    path = deciding(tasks, placed, last) if last is not None else []
    return _Laid(ops, tasks, placed, path, ready_at)


def _last_that_ends(on_clock: OnClock, sequence: InOrder, tasks: Sequence[Task]) -> str:
    """Return the id of the first operation that does not end; "" where a machine is never free."""
    try:
        free = on_clock.free(sequence)
    except BeyondHorizon:
        return ""
    for number, task in enumerate(tasks):
        try:
            place(tasks[: number + 1], on_clock.of.timing.as_of, free)
        except BeyondHorizon:
            return task.id
    return ""


def _never(on_clock: OnClock, operation: str) -> Schedule:
    days = on_clock.of.plant.time.horizon_days
    what = f"{operation} does not end" if operation else "a machine is not free"
    because = f"{what} within {days} days, which is as far as this plant's calendar is looked at"
    hours = float(days * DAY_S // HOUR_S)
    readiness = Readiness(None, hours, 0.0, 0.0, 0.0, 0.0, {}, {"ready_at": because})
    return Schedule(readiness, ())


def _duration(op: Op, amount: int) -> float:
    if op.clock == "working_days":
        return round(amount / DAY_S, DAY_DIGITS)
    return round(amount / HOUR_S, HOUR_DIGITS)


def _overtime_h(
    on_clock: OnClock, op: Op, at: Placed, overtime: frozenset[str]
) -> float:
    """Hours of an operation that its machine works beyond its usual shifts."""
    if op.clock != "shift" or op.operation == QUEUE or op.machine not in overtime:
        return 0.0
    return on_clock.of.clocks.overtime_of(op.machine).between(at.start, at.end) / HOUR_S


def _readiness(on_clock: OnClock, laid: _Laid, extra: Sequence[float]) -> Readiness:
    as_of = on_clock.of.timing.as_of
    path = [(laid.ops[n], laid.tasks[n].amount, laid.placed[n]) for n in laid.path]
    work = [(op, amount) for op, amount, _ in path if op.clock == "shift" and op.operation != QUEUE]
    lead = [each for each in path if each[0].clock == "working_days"]
    drying_s = sum(amount for op, amount, _ in path if op.operation == "drying")
    work_s = sum(amount for _, amount in work)
    lead_s = sum(at.end - at.start for _, _, at in lead)
    total_s = laid.ready_at - as_of
    by_machine: dict[str, float] = {}
    for op, hours in zip(laid.ops, extra, strict=True):
        if hours:
            by_machine[op.machine] = by_machine.get(op.machine, 0.0) + hours
    lead_days = sum(amount for _, amount, _ in lead) / DAY_S
    return Readiness(
        ready_at=laid.ready_at,
        hours=round(total_s / HOUR_S, HOUR_DIGITS),
        work_h=round(work_s / HOUR_S, HOUR_DIGITS),
        drying_h=round(drying_s / HOUR_S, HOUR_DIGITS),
        waiting_h=round((total_s - work_s - drying_s - lead_s) / HOUR_S, HOUR_DIGITS),
        lead_days=round(lead_days, DAY_DIGITS),
        overtime_h={machine: round(h, HOUR_DIGITS) for machine, h in sorted(by_machine.items())},
        because=_because(path, lead_s),
    )


def _because(path: Sequence[tuple[Op, int, Placed]], lead_s: int) -> dict[str, str]:
    """One sentence on each figure, by the operations of the path that decides."""
    names = [op.id.replace("_", " ") for op, _, _ in path]
    work = [
        f"{op.id.replace('_', ' ')} {amount / HOUR_S:.2f} h"
        for op, amount, _ in path
        if op.clock == "shift" and op.operation != QUEUE
    ]
    waits = [
        f"{op.id.replace('_', ' ')} {amount / DAY_S:g} d"
        for op, amount, _ in path
        if op.clock == "working_days"
    ]
    queues = [
        f"{amount / HOUR_S:.2f} h in the queue at {op.machine}"
        for op, amount, _ in path
        if op.operation == QUEUE
    ]
    dries = any(op.operation == "drying" for op, _, _ in path)
    return {
        "ready_at": "what decides: " + ", ".join(names) if names else "nothing has to be done",
        "work_h": ", ".join(work) or "no work decides",
        "drying_h": "dries day and night" if dries else "no drying decides",
        "waiting_h": ", ".join([*queues, "machines busy or shut the rest"]),
        "lead_days": (", ".join(waits) + f", {lead_s / HOUR_S:.1f} h on the clock") if waits
        else "nothing is waited for from outside",
    }
