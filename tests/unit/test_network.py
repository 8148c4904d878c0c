"""Placing tasks, what each can spare, and which decide: by hand, and by trying every delay."""

from collections.abc import Sequence
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plain_clocks import Always, Open
from sidelay.clocks import BeyondHorizon
from sidelay.network import Placed, Task, deciding, place, slacks

ALWAYS = Always()
# Work from 8 to 12 and 13 to 17 on ten days; an hour is one unit.
SHIFT = Open(24 * day + hour for day in range(10) for hour in range(8, 17) if hour != 12)


def times(placed: Sequence[Placed]) -> list[tuple[int, int, str | None]]:
    return [tuple(each) for each in placed]


def test_a_task_waits_for_the_last_of_what_it_follows() -> None:
    tasks = [
        Task("text/run", ALWAYS, 5),
        Task("cover/run", ALWAYS, 7),
        Task("bind", ALWAYS, 2, ("text/run", "cover/run")),
    ]
    placed = place(tasks, 100, {})
    assert times(placed) == [
        (100, 105, None),
        (100, 107, None),
        (107, 109, "cover/run"),
    ]
    assert slacks(tasks, placed, 109) == [2, 0, 0]
    assert deciding(tasks, placed) == [1, 2]


def test_tasks_of_one_machine_follow_each_other_as_they_are_given() -> None:
    tasks = [
        Task("a/proof", ALWAYS, 9),
        Task("a/run", ALWAYS, 3, ("a/proof",), "press"),
        Task("b/run", ALWAYS, 4, (), "press"),
    ]
    placed = place(tasks, 0, {})
    assert times(placed) == [(0, 9, None), (9, 12, "a/proof"), (12, 16, "a/run")]
    assert slacks(tasks, placed, 16) == [0, 0, 0]
    assert deciding(tasks, placed) == [0, 1, 2]


def test_what_is_no_task_is_no_cause() -> None:
    tasks = [
        Task("check", ALWAYS, 2),
        Task("run", ALWAYS, 3, ("check",), "press"),
        Task("delivery", ALWAYS, 1, ("run",), until=30),
    ]
    placed = place(tasks, 0, {"press": 10})
    assert times(placed) == [(0, 2, None), (10, 13, None), (30, 31, None)]
    assert slacks(tasks, placed, 31) == [25, 17, 0]
    assert deciding(tasks, placed) == [2]
    assert deciding(tasks, placed, last=1) == [1]


def test_where_task_and_release_end_together_the_task_is_the_cause() -> None:
    tasks = [Task("check", ALWAYS, 5), Task("run", ALWAYS, 3, ("check",), "press", until=5)]
    assert place(tasks, 0, {"press": 5})[1] == Placed(5, 8, "check")
    both = [Task("x", ALWAYS, 5, (), "press"), Task("y", ALWAYS, 5), Task("z", ALWAYS, 1, ("y",))]
    assert place([*both[:2], both[2]._replace(machine="press")], 0, {})[2].cause == "y"


def test_hours_without_work_are_no_cause_but_give_slack() -> None:
    # Printed until 17:00, dry at 23:00, cut from 8:00: the ink has nine hours to spare.
    tasks = [
        Task("run", SHIFT, 3, (), "press"),
        Task("drying", ALWAYS, 6, ("run",)),
        Task("cutting", SHIFT, 2, ("drying",), "guillotine"),
    ]
    placed = place(tasks, 14, {"guillotine": 16})
    assert times(placed) == [(14, 17, None), (17, 23, "run"), (32, 34, "drying")]
    assert slacks(tasks, placed, 34) == [0, 9, 0]
    assert deciding(tasks, placed) == [0, 1, 2]
    # Wanted by 17:00 tomorrow: six hours at the guillotine, one of them its break's, are seven on
    # the wall; sixteen for the ink; one for the press, which is not at work between 17:00 and 8:00.
    assert slacks(tasks, placed, 41) == [1, 16, 6]


def test_a_task_without_duration_is_done_at_night_too() -> None:
    tasks = [Task("queue", SHIFT, 0), Task("run", SHIFT, 1, ("queue",))]
    assert times(place(tasks, 20, {})) == [(20, 20, None), (32, 33, "queue")]


def test_washing_up_afterwards_holds_nobody_up() -> None:
    tasks = [
        Task("run", ALWAYS, 4, (), "press"),
        Task("wash_up", ALWAYS, 3, ("run",), "press"),
        Task("folding", ALWAYS, 2, ("run",)),
    ]
    placed = place(tasks, 0, {})
    assert slacks(tasks, placed, 6, aside={"wash_up"}) == [0, 0, 0]
    assert slacks(tasks, placed, 6) == [-1, -1, 0]
    assert slacks(tasks, placed, 20, aside={"wash_up"}) == [14, 13, 14]
    # With more of the job to come on the press it is in the way after all.
    more = [*tasks, Task("cover/run", ALWAYS, 5, (), "press")]
    assert slacks(more, place(more, 0, {}), 12, aside={"wash_up"}) == [0, 0, 6, 0]


def test_slack_is_less_than_nothing_where_it_is_too_late() -> None:
    tasks = [Task("run", SHIFT, 6), Task("folding", SHIFT, 2, ("run",))]
    placed = place(tasks, 14, {})
    assert placed[1].end == 24 + 14
    assert slacks(tasks, placed, 24 + 11) == [-2, -2]


def test_beyond_the_horizon() -> None:
    with pytest.raises(BeyondHorizon):
        place([Task("run", SHIFT, 1000)], 0, {})
    with pytest.raises(BeyondHorizon):
        slacks([Task("run", SHIFT, 5)], place([Task("run", SHIFT, 5)], 8, {}), 12)


def test_nothing_follows_an_unknown_or_a_later_task() -> None:
    run, fold = Task("run", ALWAYS, 1), Task("fold", ALWAYS, 1, ("run",))
    for tasks in ([fold], [fold, run], [run._replace(after=("run",))]):
        with pytest.raises(ValueError, match="follows 'run', which does not stand before it"):
            place(tasks, 0, {})
    with pytest.raises(ValueError, match="same id"):
        place([run, run], 0, {})


def test_without_tasks_nothing_is_placed() -> None:
    assert place([], 0, {}) == []
    assert slacks([], [], 0) == []
    assert deciding([], []) == []


def test_the_machines_that_are_free_are_left_as_they_were() -> None:
    free = {"press": 10}
    place([Task("run", ALWAYS, 3, (), "press")], 0, free)
    assert free == {"press": 10}


@st.composite
def networks(draw: st.DrawFn) -> list[Task]:
    """Up to eight tasks on running or opening clocks, with releases, machines and predecessors."""
    tasks: list[Task] = []
    for number in range(draw(st.integers(1, 8))):
        before = draw(st.sets(st.integers(0, number - 1), max_size=3)) if number else set()
        task = Task(
            id=f"t{number}",
            clock=draw(st.sampled_from((ALWAYS, SHIFT))),
            amount=draw(st.integers(0, 9)),
            after=tuple(f"t{other}" for other in sorted(before)),
            machine=draw(st.sampled_from(("", "", "press", "folder"))),
            until=draw(st.none() | st.integers(0, 60)),
        )
        tasks.append(task)
    return tasks


starts = st.integers(0, 30)
busy = st.dictionaries(st.sampled_from(("press", "folder")), st.integers(0, 50))


@given(networks(), starts, busy)
def test_each_is_placed_when_everything_it_waits_for_is_over(
    tasks: list[Task], start: int, free: dict[str, int]
) -> None:
    placed = place(tasks, start, free)
    at = {task.id: each for task, each in zip(tasks, placed, strict=True)}
    for number, (task, each) in enumerate(zip(tasks, placed, strict=True)):
        waits = {other: at[other].end for other in task.after}
        same = [t.id for t in tasks[:number] if task.machine and t.machine == task.machine]
        waits |= {other: at[other].end for other in same[-1:]}
        others = [start, task.until or 0]
        others += [free.get(task.machine, 0)] if task.machine and not same else []
        earliest = max([*others, *waits.values()])
        assert each.start == (task.clock.begin(earliest) if task.amount else earliest)
        assert each.end == task.clock.after(earliest, task.amount)
        if each.cause is None:
            assert max(others) > max(waits.values(), default=-1)
        else:
            assert waits[each.cause] == earliest


@settings(max_examples=400)
@given(networks(), starts, busy, st.integers(0, 12), st.sets(st.sampled_from(["t0", "t3", "t5"])))
def test_a_task_later_by_its_slack_makes_nothing_late_and_by_one_more_it_does(
    tasks: list[Task], start: int, free: dict[str, int], to_spare: int, aside: set[str]
) -> None:
    def counted(of: list[Task]) -> int:
        placed = zip(of, place(of, start, free), strict=True)
        return max((each.end for task, each in placed if task.id not in aside), default=start)

    placed = place(tasks, start, free)
    ready_at = counted(tasks) + to_spare
    for number, spare in enumerate(slacks(tasks, placed, ready_at, aside)):
        assert spare >= 0
        in_time, too_late = _later(tasks, placed, number, spare)
        assert counted(in_time) <= ready_at
        if tasks[number].id not in aside:
            assert counted(too_late) > ready_at
        else:
            own_end = place(too_late, start, free)[number].end
            assert counted(too_late) > ready_at or own_end > max(ready_at, placed[number].end)


def _later(
    tasks: list[Task], placed: list[Placed], number: int, spare: int
) -> tuple[list[Task], list[Task]]:
    """The tasks with one not before so much of its clock has passed, and not before one more."""
    task, begin = tasks[number], placed[number].start
    spent = begin if spare == 0 else task.clock.after(begin, spare)
    return (
        [*tasks[:number], task._replace(until=spent), *tasks[number + 1 :]],
        [
            *tasks[:number],
            task._replace(until=task.clock.after(begin, spare + 1)),
            *tasks[number + 1 :],
        ],
    )


@given(networks(), starts, busy)
def test_the_path_that_decides_leads_from_cause_to_cause(
    tasks: list[Task], start: int, free: dict[str, int]
) -> None:
    placed = place(tasks, start, free)
    path = deciding(tasks, placed)
    assert placed[path[-1]].end == max(each.end for each in placed)
    assert placed[path[0]].cause is None
    assert [placed[number].cause for number in path[1:]] == [tasks[n].id for n in path[:-1]]
    for before, after in pairwise(path):
        gap = (placed[before].end, placed[after].start)
        assert tasks[after].clock.between(*gap) == 0


@given(networks(), starts, busy, st.integers(1, 20))
def test_starting_later_or_a_machine_busy_longer_never_ends_anything_earlier(
    tasks: list[Task], start: int, free: dict[str, int], more: int
) -> None:
    ends = [each.end for each in place(tasks, start, free)]
    for later in (
        place(tasks, start + more, free),
        place(tasks, start, {**free, "press": free.get("press", 0) + more}),
        place([tasks[0]._replace(amount=tasks[0].amount + more), *tasks[1:]], start, free),
    ):
        assert all(after.end >= before for after, before in zip(later, ends, strict=True))
