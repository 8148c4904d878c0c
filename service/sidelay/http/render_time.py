"""When a plant works, and what it waits for, as plain data. Premiums and prices are not shown."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from ..machine_ids import machine_ids
from ..plant import Plant
from ..plant_time import Dispatch, MachineTime, Queue
from ..time_fields import WEEKDAY_NAMES
from ..working_time import Shift, clock_text
from .moments import moment_text


def write_time(plant: Plant) -> dict[str, Any]:
    """Return the time of a plant; times of day by its clocks, moments with their UTC offset."""
    time = plant.time
    of_year = time.holidays
    return {
        "zone": time.zone,
        "country": of_year.country if of_year else None,
        "subdivision": (of_year.subdivision or None) if of_year else None,
        "shifts": _shifts(time.shifts),
        "overtime": _shifts(time.overtime),
        "closed_days": [
            {"date": day.isoformat(), "reason": reason}
            for day, reason in sorted(time.closed_days.items())
        ],
        "horizon_days": time.horizon_days,
        "approval_days": dict(time.approval_days),
        "drying_share": time.drying_aid.drying_share if time.drying_aid else None,
        "dispatch": _dispatch(time.dispatch),
        "machine_ids": list(machine_ids(plant)),
        "machines": [_machine(name, each, time.zone) for name, each in time.machines.items()],
        "source": time.source,
    }


def _shifts(shifts: Iterable[Shift]) -> list[dict[str, Any]]:
    return [
        {
            "days": _days(shift.days),
            "starts": clock_text(shift.from_min),
            "ends": clock_text(shift.to_min),
        }
        for shift in shifts
    ]


def _days(days: Iterable[int]) -> list[str]:
    return [WEEKDAY_NAMES[day] for day in sorted(days)]


def _dispatch(dispatch: Dispatch) -> dict[str, Any]:
    return {
        "cut_off": clock_text(dispatch.cut_off_min),
        "days": _days(dispatch.days),
        "delivery_days": dispatch.delivery_days,
        "delivered_by": clock_text(dispatch.delivered_by_min),
        "source": dispatch.source,
    }


def _machine(name: str, of: MachineTime, zone: str) -> dict[str, Any]:
    return {
        "id": name,
        "shifts": None if of.shifts is None else _shifts(of.shifts),
        "overtime": None if of.overtime is None else _shifts(of.overtime),
        "maintenance": [
            {
                "start_at": moment_text(each.start, zone),
                "end_at": moment_text(each.end, zone),
                "reason": each.reason,
            }
            for each in of.maintenance
        ],
        "queue": _queue(of.queue, zone),
        "mean_job_h": of.mean_job_h,
        "variation": of.variation,
        "source": of.source,
    }


def _queue(queue: Queue, zone: str) -> dict[str, Any]:
    until = queue.busy_until
    return {
        "busy_until": None if until is None else moment_text(until, zone),
        "hours_ahead": queue.hours_ahead,
        "utilisation": queue.utilisation,
    }
