"""A PlantTime from the [time] table of a plant file; what no calendar or clock knows is told."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from types import MappingProxyType
from typing import Any

from marshmallow import ValidationError

from .plant_time import QUEUE_WAYS, MachineTime, PlantTime, Queue
from .public_holidays import Holidays, NoSuchCountry
from .working_time import Stoppage, wall_instants

Errors = dict[Any, Any]


def plant_time(table: Mapping[str, Any]) -> PlantTime:
    """Return the PlantTime of a table whose members are sound by themselves.

    Raises ValidationError, by key, for a country or subdivision that is not known, and for
    maintenance at wall times that clocks of the zone skip or show twice, or that ends too early.
    """
    given = dict(table)
    found: Errors = {}
    holidays = _holidays(given.pop("country", None), given.pop("subdivision", ""), found)
    stoppages = [_stoppages(table["zone"], machine["maintenance"]) for machine in table["machines"]]
    faulty = {n: {"maintenance": faults} for n, (_, faults) in enumerate(stoppages) if faults}
    if faulty:
        found["machines"] = faulty
    if found:
        raise ValidationError(found)
    given |= {name: tuple(given[name]) for name in ("shifts", "overtime") if name in given}
    given["approval_days"] = MappingProxyType(dict(table["approval_days"]))
    given["closed_days"] = MappingProxyType(_closed(table["closed_days"]))
    given["machines"] = MappingProxyType(
        {
            machine["id"]: _machine(machine, stopped)
            for machine, (stopped, _) in zip(table["machines"], stoppages, strict=True)
        }
    )
    return PlantTime(holidays=holidays, **given)


def _holidays(country: str | None, subdivision: str, found: Errors) -> Holidays | None:
    """Return the public holidays of a place; tell the key that is not known in `found`."""
    if country is None:
        return None
    key = "country"
    try:
        of_country = Holidays(country)
        key = "subdivision"
        return Holidays(country, subdivision) if subdivision else of_country
    except NoSuchCountry as fault:
        found[key] = [str(fault)]
        return None


def _closed(tables: Sequence[Mapping[str, Any]]) -> dict[date, str]:
    days: dict[date, str] = {}
    for table in tables:
        for day in _days_of(table):
            days.setdefault(day, table["reason"])
    return dict(sorted(days.items()))


def _days_of(table: Mapping[str, Any]) -> Iterator[date]:
    first, last = table.get("first", table.get("date")), table.get("last", table.get("date"))
    for day in range((last - first).days + 1):
        yield first + timedelta(days=day)


def _stoppages(
    zone: str, tables: Sequence[Mapping[str, Any]]
) -> tuple[tuple[Stoppage, ...], Errors]:
    """Return the stoppages of a machine, and the faults of those that are none, by number."""
    stopped, faults = [], {}
    for number, table in enumerate(tables):
        told: Errors = {}
        ends = [
            _instant(zone, table[name], key, told)
            for name, key in (("start", "from"), ("end", "to"))
        ]
        if not told and ends[1] <= ends[0]:
            told["to"] = ["expected later than from"]
        if told:
            faults[number] = told
        else:
            stopped.append(Stoppage(ends[0], ends[1], table["reason"]))
    return tuple(stopped), faults


def _instant(zone: str, moment: datetime, key: str, told: Errors) -> int:
    """Return the instant of a moment; tell in `told` where clocks skip it or show it twice."""
    if moment.tzinfo is not None:
        return round(moment.timestamp())
    instants = wall_instants(zone, moment)
    if len(instants) == 1:
        return instants[0]
    wall = moment.isoformat(" ", "minutes")
    told[key] = [
        f"clocks of {zone} show {wall} twice; expected it with its offset from UTC"
        if instants
        else f"clocks of {zone} skip {wall}; expected a time that they show, or one with its "
        "offset from UTC"
    ]
    return 0


def _machine(table: Mapping[str, Any], stopped: tuple[Stoppage, ...]) -> MachineTime:
    given = {name: tuple(table[name]) for name in ("shifts", "overtime") if name in table}
    queue: dict[str, Any] = {name: table[name] for name in QUEUE_WAYS if name in table}
    if "busy_until" in queue:
        queue["busy_until"] = round(queue["busy_until"].timestamp())
    return MachineTime(
        **given,
        maintenance=stopped,
        queue=Queue(**queue),
        mean_job_h=table["mean_job_h"],
        variation=table["variation"],
        source=table["source"],
    )
