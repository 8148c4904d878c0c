"""From valid request data and a plant to a Timing; knows neither Flask nor marshmallow."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Any

from ..machine_ids import machine_ids
from ..plant import Plant
from ..plant_time import Queue
from ..timing import Timing
from ..working_time import wall_instants
from .faults import Faults, Path
from .job_reader import near_names
from .moments import clock_change, moment_text

NO_ZONE = "UTC"


def read_timing(
    data: Mapping[str, Any], plant: Plant | None, clock: Callable[[], float], faults: Faults
) -> Timing:
    """Return what a request says about time; without meaning where a fault is added.

    data: as the schema loads it; members with a fault may be missing
    plant: None when the one asked for is not known; what depends on it is then not checked
    clock: returns what time it is [s since 1970, UTC], for a request that does not tell it
    """
    zone = plant.time.zone if plant else None
    job = data.get("job") or {}
    as_of = _instant(data.get("as_of"), zone, faults, ("as_of",))
    due_at = _instant(job.get("due_at"), zone, faults, ("job", "due_at"))
    queues = _queues(data.get("queue") or (), plant, faults)
    timing = Timing(
        as_of=int(clock()) if as_of is None else as_of,
        due_at=due_at,
        approval_days=job.get("approval_days"),
        delivered=job.get("dispatch") == "deliver",
        overtime=data.get("overtime", False),
        queues=MappingProxyType(queues),
    )
    _check_due(timing, zone or NO_ZONE, faults)
    return timing


def _check_due(timing: Timing, zone: str, faults: Faults) -> None:
    """A due date lies after the clock of the request."""
    if not faults.clear_of(("as_of",)) or timing.due_at is None or timing.due_at > timing.as_of:
        return
    due, now = moment_text(timing.due_at, zone), moment_text(timing.as_of, zone)
    detail = f"Expected a moment after {now}, the clock of the request; {due} is not."
    faults.add(("job", "due_at"), "due_past", detail)


def _instant(
    moment: int | datetime | None, zone: str | None, faults: Faults, path: Path
) -> int | None:
    """Return the instant, None where none is told or its offset is missing, which is a fault."""
    if not isinstance(moment, datetime):
        return moment
    faults.add(path, "no_offset", f"Expected an offset: {_what_it_may_be(moment, zone)}")
    return None


def _what_it_may_be(wall: datetime, zone: str | None) -> str:
    if zone is None:
        return f"Z, or hours and minutes, as in {wall.isoformat()}+01:00."
    instants = [moment_text(instant, zone) for instant in wall_instants(zone, wall)]
    if len(instants) == 1:
        return f"in {zone} this is {instants[0]}."
    if instants:
        twice = " and ".join(instants)
        return f"{wall.isoformat()} occurs twice in {zone}, as {twice}; say which."
    before, after = clock_change(zone, wall)
    # A day may be left out as a whole, where a country changes sides of the date line.
    shown = "%H:%M" if after - before < timedelta(days=1) else "%Y-%m-%dT%H:%M"
    change = f"clocks go from {before.strftime(shown)} to {after.strftime(shown)}"
    return f"{wall.isoformat()} does not occur in {zone}: {change}. Say what is meant."


def _queues(
    given: Sequence[Mapping[str, Any] | None], plant: Plant | None, faults: Faults
) -> dict[str, Queue]:
    """Return the queues by machine, those without a fault."""
    known = machine_ids(plant) if plant else None
    queues: dict[str, Queue] = {}
    named: set[str] = set()
    zone = plant.time.zone if plant else None
    for index, each in enumerate(given):
        path: Path = ("queue", index)
        told = each or {}
        busy_until = _instant(told.get("busy_until"), zone, faults, (*path, "busy_until"))
        machine = told.get("machine")
        if machine is None:
            continue
        if known is not None and machine not in known:
            detail = f"No machine has this id; {near_names(machine, known)}."
            faults.add((*path, "machine"), "unknown_machine", detail)
        elif machine in named:
            detail = "This machine stands before: it has one queue."
            faults.add((*path, "machine"), "same_machine_twice", detail)
        named.add(machine)
        queues[machine] = Queue(busy_until, told.get("hours_ahead"), told.get("utilisation"))
    return queues
