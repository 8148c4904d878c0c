"""In which order to send jobs through machines that all of them pass one after the other."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations

TRIED_WHOLE = 4  # jobs; 24 orders are soon tried, 120 are not


def johnson_order(first: Sequence[float], second: Sequence[float]) -> list[int]:
    """Return the order of jobs through two machines that ends earliest, as their numbers.

    first, second: time of each job on the first and on the second machine, in one unit
    Johnson's rule: jobs no longer on the first machine than on the second, by rising time on the
    first; then the others by falling time on the second (S. M. Johnson, Naval Research Logistics
    Quarterly 1, 1954). Equal jobs stay as they are given. Raises ValueError for times that are
    negative or of different numbers of jobs.
    """
    _check(first, second)
    numbers = range(len(first))
    ahead = [number for number in numbers if first[number] <= second[number]]
    behind = [number for number in numbers if first[number] > second[number]]
    ahead.sort(key=lambda number: first[number])
    behind.sort(key=lambda number: -second[number])
    return ahead + behind


def flow_makespan(order: Sequence[int], times: Sequence[Sequence[float]]) -> float:
    """Return when the last job leaves the last machine, in the unit of the times.

    order: numbers of the jobs as they are sent through; each machine takes them in this order
    times: of each job, its time on each machine, in the order in which it passes them
    A job starts on a machine when it has left the one before and the machine the job before. 0.0
    without jobs. Raises ValueError for jobs of different numbers of machines.
    """
    left: list[float] = []  # when the last job so far leaves each machine
    for job in order:
        if not left:
            left = [0.0] * len(times[job])
        at = 0.0
        for machine, (free, time) in enumerate(zip(left, times[job], strict=True)):
            at = max(at, free) + time
            left[machine] = at
    return left[-1] if left else 0.0


def orders_worth_trying(first: Sequence[float], second: Sequence[float]) -> list[tuple[int, ...]]:
    """Return orders of jobs through two stages that are worth working out, the given one first.

    first, second: as for johnson_order. Every order of up to 4 jobs; of more, the given one, its
    reverse, and Johnson's, each once. Raises ValueError as johnson_order does.
    """
    _check(first, second)
    given = tuple(range(len(first)))
    if len(given) <= TRIED_WHOLE:
        return list(permutations(given))
    return list(dict.fromkeys((given, given[::-1], tuple(johnson_order(first, second)))))


def _check(first: Sequence[float], second: Sequence[float]) -> None:
    if len(first) != len(second):
        raise ValueError("each job needs a time on the first machine and one on the second")
    if any(not time >= 0 for time in (*first, *second)):
        raise ValueError("times must not be negative")
