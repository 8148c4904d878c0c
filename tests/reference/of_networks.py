"""Adapters for networks of activities and flow shops: `place` and `slacks` on a clock never still.

A network is given as arcs between events, [from, to, time], or as activities with those that come
before each. Times may be fractions: they become whole units of a time small enough for all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from graphlib import TopologicalSorter
from math import lcm
from typing import Any

from plain_clocks import Always
from reference.given import Inputs
from reference.register import Figures, answers
from sidelay.network import Task, deciding, place, slacks
from sidelay.sequences import flow_makespan, johnson_order

Durations = Mapping[str, Fraction]
Before = Mapping[str, Sequence[str]]


@answers("critical path", "PERT network of 14 activities")
def network(inputs: Inputs) -> Figures:
    """Every activity in the order given, its times, and the path as events or as activities."""
    arcs = {f"{start}-{end}": (start, end) for start, end, _ in inputs.get("arcs", ())}
    if arcs:
        if len(arcs) < len(inputs["arcs"]):
            raise ValueError("two activities join the same events: one needs a dummy beside it")
        durations = {f"{start}-{end}": _time(time) for start, end, time in inputs["arcs"]}
        before: Before = {
            name: [other for other, (_, into) in arcs.items() if into == start]
            for name, (start, _) in arcs.items()
        }
    else:
        durations = {name: _time(given) for name, given in inputs["acts"].items()}
        before = {name: list(inputs["pred"].get(name, ())) for name in durations}
    rows, duration, path = _solved(durations, before)
    events = [str(arcs[path[0]][0]), *(str(arcs[name][1]) for name in path)] if arcs else []
    return {
        "duration": duration,
        "critical": "-".join(path),
        "critical_path": "-".join(events or path),
        "table_name_ES_EF_LS_LF_slack": rows,
        "table_name_ES_LS_slack": [[name, es, ls, slack] for name, es, _, ls, _, slack in rows],
    }


def _time(given: Any) -> Fraction:
    """A duration as it is given; of three (optimistic, likely, pessimistic), the expected one."""
    if isinstance(given, list):
        optimistic, likely, pessimistic = (Fraction(str(each)) for each in given)
        return (optimistic + 4 * likely + pessimistic) / 6
    return Fraction(str(given))


def _solved(durations: Durations, before: Before) -> tuple[list[list[Any]], float, list[str]]:
    units = lcm(*(duration.denominator for duration in durations.values()))
    order = list(TopologicalSorter(before).static_order())
    clock = Always()
    tasks = [Task(name, clock, int(durations[name] * units), tuple(before[name])) for name in order]
    placed = place(tasks, 0, {})
    ready_at = max(each.end for each in placed)
    spare = slacks(tasks, placed, ready_at)
    told = {
        task.id: [time / units for time in (at.start, at.end, at.start + more, at.end + more, more)]
        for task, at, more in zip(tasks, placed, spare, strict=True)
    }
    path = [tasks[number].id for number in deciding(tasks, placed)]
    return [[name, *told[name]] for name in durations], ready_at / units, path


@answers("two-machine flow shop")
def two_machines(inputs: Inputs) -> Figures:
    """Johnson's order; a machine idles from the start of all to the end of all but for its jobs."""
    names, times = list(inputs["times"]), list(inputs["times"].values())
    first, second = zip(*times, strict=True)
    order = johnson_order(first, second)
    makespan = flow_makespan(order, times)
    return {
        "one_optimal_order": "-".join(names[number] for number in order),
        "makespan": makespan,
        "idle_machine1": makespan - sum(first),
        "idle_machine2": makespan - sum(second),
    }


@answers("flow shop, fixed order")
def fixed_order(inputs: Inputs) -> Figures:
    names, times = list(inputs["times"]), list(inputs["times"].values())
    order = inputs["order"].split("-") if isinstance(inputs["order"], str) else inputs["order"]
    return {"makespan": flow_makespan([names.index(name) for name in order], times)}
