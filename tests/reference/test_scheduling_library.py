"""Networks and sequences against a program that is not ours.

A general solver of scheduling problems (CP-SAT of OR-Tools) is told the same tasks, and finds the
earliest end by search: it has neither a pass forward and back nor Johnson's rule.
"""

import random
from collections.abc import Iterable, Sequence
from itertools import combinations, pairwise

import pytest
from ortools.sat.python import cp_model

from plain_clocks import Always, Open
from sidelay.network import Task, place, slacks
from sidelay.sequences import flow_makespan, johnson_order, orders_worth_trying

ALWAYS, LATEST = Always(), 200
# Eight units of work and four of rest, again and again.
SHIFT = Open(unit for unit in range(3 * LATEST) if unit % 12 < 8)
Times = Sequence[Sequence[int]]


def least(model: cp_model.CpModel, figure: cp_model.LinearExprT) -> int:
    """Return the proved least of a figure."""
    model.minimize(figure)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def flow_shop(times: Times, one_order: bool) -> int:
    """Return the least makespan of jobs, whose order may be another on each machine or not."""
    model = cp_model.CpModel()
    horizon = sum(map(sum, times))
    starts = [[model.new_int_var(0, horizon, "") for _ in job] for job in times]
    makespan = model.new_int_var(0, horizon, "")
    for job, own in zip(times, starts, strict=True):
        for time, (this, following) in zip(job, pairwise([*own, makespan]), strict=True):
            model.add(this + time <= following)
    for one, other in combinations(range(len(times)), 2):
        goes_first = model.new_bool_var("")
        for machine, (this, that) in enumerate(zip(starts[one], starts[other], strict=True)):
            first = goes_first if one_order else model.new_bool_var("")
            model.add(this + times[one][machine] <= that).only_enforce_if(first)
            model.add(that + times[other][machine] <= this).only_enforce_if(~first)
    return least(model, makespan)


def drawn_times(seed: int, jobs: int, machines: int) -> Times:
    rng = random.Random(seed)
    return [[rng.randint(0, 20) for _ in range(machines)] for _ in range(jobs)]


def shortest(orders: Iterable[Sequence[int]], times: Times) -> float:
    return min(flow_makespan(order, times) for order in orders)


@pytest.mark.parametrize("jobs", [2, 3, 4, 5, 6])
def test_no_order_on_two_machines_ends_before_johnsons(jobs: int) -> None:
    for seed in range(6):
        times = drawn_times(seed, jobs, 2)
        first, second = zip(*times, strict=True)
        best = flow_shop(times, one_order=False)
        assert flow_makespan(johnson_order(first, second), times) == best
        assert shortest(orders_worth_trying(first, second), times) == best


@pytest.mark.parametrize("machines", [3, 4])
def test_the_orders_worth_trying_hold_the_best_of_up_to_four_jobs(machines: int) -> None:
    for jobs in (2, 3, 4):
        for seed in range(4):
            times = drawn_times(100 + seed, jobs, machines)
            orders = orders_worth_trying([job[0] for job in times], [job[-1] for job in times])
            assert shortest(orders, times) == flow_shop(times, one_order=True)


def drawn_tasks(seed: int, clocks: Sequence[Always | Open]) -> tuple[list[Task], int, dict]:
    """Seven tasks on three machines or none, the instant they may start, and busy machines."""
    rng = random.Random(seed)
    tasks = [
        Task(
            id=str(number),
            clock=rng.choice(clocks),
            amount=rng.randint(0, 9),
            after=tuple(str(n) for n in range(number) if rng.random() < 0.3),
            machine=rng.choice(("", "press", "folder", "guillotine")),
            until=rng.choice((None, None, rng.randint(0, 30))),
        )
        for number in range(7)
    ]
    return tasks, rng.randint(0, 10), {"press": rng.randint(0, 20)}


def network(
    tasks: Sequence[Task], start: int, free: dict[str, int], held: tuple[int, int] | None = None
) -> tuple[int, int]:
    """Return the least latest end and the least sum of ends.

    held: the number of a task, and an instant before which it does not start. A clock is told as a
    table: to which end each start leads.
    """
    model = cp_model.CpModel()
    ends = [model.new_int_var(0, 3 * LATEST, "") for _ in tasks]
    makespan = model.new_int_var(0, 3 * LATEST, "")
    end_of = dict(zip((task.id for task in tasks), ends, strict=True))
    last_on: dict[str, cp_model.IntVar] = {}
    for number, (task, end) in enumerate(zip(tasks, ends, strict=True)):
        begin = model.new_int_var(max(start, task.until or 0), LATEST, "")
        table = [task.clock.after(at, task.amount) for at in range(LATEST + 1)]
        model.add_element(begin, table, end)
        for other in task.after:
            model.add(begin >= end_of[other])
        if task.machine:
            model.add(begin >= last_on.get(task.machine, free.get(task.machine, 0)))
            last_on[task.machine] = end
        if held is not None and held[0] == number:
            model.add(begin >= held[1])
    model.add_max_equality(makespan, ends)
    return least(model, makespan), least(model, sum(ends))


@pytest.mark.parametrize("clocks", [(ALWAYS,), (ALWAYS, SHIFT)], ids=["always", "shifts"])
def test_no_schedule_ends_before_the_tasks_placed(clocks: Sequence[Always | Open]) -> None:
    for seed in range(40):
        tasks, start, free = drawn_tasks(seed, clocks)
        ends = [each.end for each in place(tasks, start, free)]
        # The sum tells that each task, not only the last, ends as early as it can.
        assert network(tasks, start, free) == (max(ends), sum(ends))


@pytest.mark.parametrize("clocks", [(ALWAYS,), (ALWAYS, SHIFT)], ids=["always", "shifts"])
def test_slack_is_what_a_task_can_be_late_and_no_more(clocks: Sequence[Always | Open]) -> None:
    spared = 0
    for seed in range(12):
        tasks, start, free = drawn_tasks(seed, clocks)
        placed = place(tasks, start, free)
        ready_at = max(each.end for each in placed)
        for number, spare in enumerate(slacks(tasks, placed, ready_at)):
            clock, begin = tasks[number].clock, placed[number].start
            by_its_slack = clock.after(begin, spare)
            assert network(tasks, start, free, (number, by_its_slack))[0] == ready_at
            by_one_more = clock.after(begin, spare + 1)
            assert network(tasks, start, free, (number, by_one_more))[0] > ready_at
            spared += spare > 0
    assert spared > 10


def test_the_library_is_really_asked() -> None:
    # Case FS-04, found optimal by trying all orders, and the two orders of two jobs by hand.
    assert flow_shop([(10, 5), (7, 4), (5, 7), (3, 8), (2, 6), (4, 3)], one_order=False) == 35
    assert flow_shop([(3, 1, 6), (2, 4, 1)], one_order=True) == 11
    run, fold = Task("run", SHIFT, 6), Task("fold", SHIFT, 3, ("run",))
    assert network([run, fold], 0, {}) == (13, 6 + 13)
    assert network([run, fold], 0, {}, (0, 1)) == (14, 7 + 14)
