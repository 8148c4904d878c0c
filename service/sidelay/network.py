"""Tasks that wait for each other and for machines: when each is done, and which of them decide.

The critical path method: a pass forward for the earliest times, one backward for what each task
can spare (J. E. Kelley and M. R. Walker, 1959). Every task counts its time on a clock of its own,
and tasks of one machine follow each other in the order in which they are given.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import NamedTuple

from .clocks import Clock


class Task(NamedTuple):
    """Something that takes time. A tuple, because thousands are made for one answer.

    clock, amount: what its duration is counted on, and how much of it (whole seconds, 0 or more)
    after: ids of the tasks that must have ended; each stands earlier in the list
    machine: the machine that it takes for itself alone; "" for none
    until: instant before which it does not start; None where there is none
    """

    id: str
    clock: Clock
    amount: int
    after: tuple[str, ...] = ()
    machine: str = ""
    until: int | None = None


class Placed(NamedTuple):
    """When a task is done [s since 1970, UTC], and the id of the task that decided its start.

    cause: a task that it follows, or the one before it on its machine, whichever ends last; None
        where it waited longer for something that is no task: the start of all, its own `until`, a
        machine that was busy at first. Hours in which its clock stands still are no cause.
    """

    start: int
    end: int
    cause: str | None


def place(tasks: Sequence[Task], start: int, free: Mapping[str, int]) -> list[Placed]:
    """Return when each task is done, in the order given, each as early as it can be.

    start: nothing begins before; free: from when on a machine is free, for those busy at first
    A task starts when its clock first runs; one that takes no time, as soon as it may. Raises
    ValueError for a task that follows an unknown or a later one, or two of the same id;
    clocks.BeyondHorizon.
    """
    placed: list[Placed] = []
    ends: dict[str, int] = {}
    free_at = dict(free)
    last_on: dict[str, str] = {}
    for id_, clock, amount, after, machine, until in tasks:
        floor = start if until is None or until < start else until
        cause: str | None = None
        latest = 0
        try:
            for other in after:
                end = ends[other]
                if cause is None or end > latest:
                    latest, cause = end, other
        except KeyError as unknown:
            raise ValueError(f"{id_!r} follows {unknown}, which does not stand before it") from None
        if machine in last_on:
            if cause is None or free_at[machine] > latest:
                latest, cause = free_at[machine], last_on[machine]
        elif machine in free_at and free_at[machine] > floor:
            floor = free_at[machine]
        if cause is None or latest < floor:
            latest, cause = floor, None
        end = clock.after(latest, amount)
        placed.append(Placed(clock.begin(latest) if amount else latest, end, cause))
        ends[id_] = end
        if machine:
            free_at[machine], last_on[machine] = end, id_
    if len(ends) < len(placed):
        raise ValueError("two tasks have the same id")
    return placed


def slacks(
    tasks: Sequence[Task], placed: Sequence[Placed], ready_at: int, aside: Collection[str] = ()
) -> list[int]:
    """Return by how much each task can be later without anything being later than ready_at.

    In whole seconds of the task's own clock, less than nothing where it is too late already; the
    order on each machine is kept. placed: as `place` gives them; ready_at: their latest end, or any
    instant. aside: ids of tasks that need not be done by then, washing a press up say; with nothing
    after one it holds nobody up, and is counted until ready_at or, if that is later, its own end.
    Raises clocks.BeyondHorizon where ready_at leaves too little time before it.
    """
    found = [0] * len(tasks)
    needed_by: dict[str, int] = {}  # the latest start of what follows a task
    machine_by: dict[str, int] = {}  # the latest start of the next task on a machine
    for number in range(len(tasks) - 1, -1, -1):
        id_, clock, amount, after, machine, _ = tasks[number]
        start, end, _ = placed[number]
        bounds = [by[key] for by, key in ((needed_by, id_), (machine_by, machine)) if key in by]
        if id_ not in aside:
            bounds.append(ready_at)
        latest_end = min(bounds, default=max(ready_at, end))
        latest = clock.before(latest_end, amount) if amount else latest_end
        spare = clock.between(start, latest)
        found[number] = spare if latest >= start else -clock.between(latest, start)
        if not bounds:
            continue
        for other in after:
            needed_by[other] = min(latest, needed_by.get(other, latest))
        if machine:
            machine_by[machine] = latest
    return found


def deciding(tasks: Sequence[Task], placed: Sequence[Placed], last: int | None = None) -> list[int]:
    """Return the numbers of the tasks that decide when one ends, in order, that one last.

    From task number `last` (None for the one that ends latest, the first of several) back along
    the causes. Without tasks, none. A task on this path can have slack where the clock of the next
    one stands still when it ends: ink that is dry at night.
    """
    if not tasks:
        return []
    if last is None:
        last = max(range(len(placed)), key=lambda number: placed[number].end)
    numbers = {task.id: number for number, task in enumerate(tasks)}
    path = [last]
    while (cause := placed[path[-1]].cause) is not None:
        path.append(numbers[cause])
    return path[::-1]
