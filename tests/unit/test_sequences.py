"""Orders of jobs through machines that all of them pass."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plain_clocks import Always
from sidelay.network import Task, place
from sidelay.sequences import flow_makespan, johnson_order, orders_worth_trying

whole = st.integers(0, 20)
jobs = st.lists(st.tuples(whole, whole), min_size=1, max_size=6)


def split(times: list[tuple[int, int]]) -> tuple[list[int], list[int]]:
    return [first for first, _ in times], [second for _, second in times]


def test_jobs_short_at_first_go_first_and_those_short_at_last_go_last() -> None:
    assert johnson_order([4, 10, 3, 14, 6, 7], [8, 5, 11, 14, 1, 12]) == [2, 0, 5, 3, 1, 4]


def test_equal_jobs_stay_as_they_are_given() -> None:
    assert johnson_order([2, 2, 5, 5], [3, 3, 1, 1]) == [0, 1, 2, 3]
    assert johnson_order([3, 3], [3, 3]) == [0, 1]


def test_a_job_waits_for_its_machine_and_a_machine_for_its_job() -> None:
    # Machine 1: 0-3, 3-5; 2: 3-4, 5-9; 3: 4-10, 10-11.
    assert flow_makespan([0, 1], [(3, 1, 6), (2, 4, 1)]) == 11
    # The other way round: 0-2, 2-5; 2-6, 6-7; 6-7, 7-13.
    assert flow_makespan([1, 0], [(3, 1, 6), (2, 4, 1)]) == 13


def test_only_the_jobs_of_the_order_count() -> None:
    assert flow_makespan([1], [(3, 1, 6), (2, 4, 1)]) == 7
    assert flow_makespan([], [(3, 1, 6)]) == 0.0


def test_times_that_do_not_belong_together_are_refused() -> None:
    with pytest.raises(ValueError, match="each job"):
        johnson_order([1, 2], [1])
    with pytest.raises(ValueError, match="negative"):
        orders_worth_trying([1, -2], [1, 3])
    with pytest.raises(ValueError, match="negative"):
        johnson_order([1, float("nan")], [1, 3])
    with pytest.raises(ValueError, match="argument"):
        flow_makespan([0, 1], [(1, 2), (1, 2, 3)])


@given(jobs)
def test_no_other_order_through_two_machines_ends_earlier(times: list[tuple[int, int]]) -> None:
    order = johnson_order(*split(times))
    assert sorted(order) == list(range(len(times)))
    least = min(flow_makespan(other, times) for other in permutations(range(len(times))))
    assert flow_makespan(order, times) == least


@given(st.permutations(range(5)), st.lists(st.tuples(whole, whole, whole), min_size=5, max_size=5))
def test_the_makespan_is_that_of_the_jobs_placed_as_tasks(
    order: list[int], times: list[tuple[int, int, int]]
) -> None:
    clock = Always()
    tasks = [
        Task(
            f"{job}-{machine}",
            clock,
            time,
            (f"{job}-{machine - 1}",) if machine else (),
            f"machine {machine}",
        )
        for job in order
        for machine, time in enumerate(times[job])
    ]
    assert flow_makespan(order, times) == max(each.end for each in place(tasks, 0, {}))


@given(jobs)
def test_the_given_order_is_tried_first_and_none_twice(times: list[tuple[int, int]]) -> None:
    orders = orders_worth_trying(*split(times))
    assert orders[0] == tuple(range(len(times)))
    assert len(set(orders)) == len(orders)
    assert all(sorted(order) == list(range(len(times))) for order in orders)
    assert tuple(johnson_order(*split(times))) in orders


def test_of_four_jobs_every_order_is_tried_and_of_five_three() -> None:
    assert len(orders_worth_trying([1, 2, 3, 4], [1, 1, 1, 1])) == 24
    assert orders_worth_trying([5, 1, 4, 2, 3], [6, 6, 6, 6, 6]) == [
        (0, 1, 2, 3, 4),
        (4, 3, 2, 1, 0),
        (1, 3, 4, 2, 0),
    ]
    # Johnson's order is the given one: it is tried once.
    assert orders_worth_trying([1, 2, 3, 4, 5], [6, 6, 6, 6, 6]) == [
        (0, 1, 2, 3, 4),
        (4, 3, 2, 1, 0),
    ]
    assert orders_worth_trying([], []) == [()]
