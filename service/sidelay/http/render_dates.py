"""When offers are ready and what a due date makes of them, as plain data."""

from __future__ import annotations

from typing import Any

from ..dated import Dated, DueBand, Otherwise, WouldHold
from ..money import decimal_text
from ..offers import Offer
from ..plant import Plant
from ..schedule import Readiness, Schedule, ScheduledOperation
from ..timing import Due
from .moments import moment_text

HOUR_DIGITS = 3
# A second late is late: three digits would round it to nothing.
SLACK_DIGITS = 4
UNITS = {"shift": "h", "elapsed": "h", "working_days": "d"}


def write_clock(as_of: int, plant: Plant, *, given: bool) -> dict[str, Any]:
    """Return the instant that an answer is reckoned at, and whether the request gave it."""
    zone = plant.time.zone
    return {"as_of": moment_text(as_of, zone), "given": given, "time_zone": zone}


class DateWriter:
    """Writes the dates of offers of one plant."""

    def __init__(self, plant: Plant) -> None:
        self._zone, self._currency, self._digits = plant.time.zone, plant.currency, plant.digits

    def offer(
        self, offer: Offer, schedule: Schedule, due: Due | None, *, operations: bool
    ) -> dict[str, Any]:
        """Return when an offer is ready. operations: whether each of them is told."""
        readiness = schedule.readiness
        written: dict[str, Any] = {
            "ready_at": self._at(readiness.ready_at),
            "due": self._due(due),
            "readiness": _readiness(readiness),
            "overtime": self._overtime(offer, readiness),
        }
        if operations:
            written["schedule"] = [self._operation(each) for each in schedule.operations]
        return written

    def otherwise(self, otherwise: Otherwise, best: Offer | None) -> dict[str, Any]:
        """Return what else there is. best: the best offer at that quantity."""
        return {
            "too_late": otherwise.too_late and self.dated(otherwise.too_late),
            "earliest": otherwise.earliest and self.dated(otherwise.earliest),
            "would_hold": [
                self._would_hold(each, best.price if best else 0) for each in otherwise.would_hold
            ],
        }

    def dated(self, dated: Dated) -> dict[str, Any]:
        """Return an offer in short."""
        return {
            "process": dated.process,
            "press": dated.press,
            "net": self._money(dated.price),
            "currency": self._currency,
            "ready_at": self._at(dated.ready_at),
        }

    def due_band(self, band: DueBand, part: str) -> dict[str, Any]:
        """Return a band of what holds the due date. part: name of the first one."""
        route = [
            {"part": part, "process": process, "press": press}
            for presses in band.route
            for process, press in presses
        ]
        return {
            "from": band.first,
            "to": band.last,
            "process": band.process,
            "press": band.press,
            "route": route,
        }

    def _due(self, due: Due | None) -> dict[str, Any] | None:
        if due is None:
            return None
        slack_h = None if due.slack_h is None else round(due.slack_h, SLACK_DIGITS)
        return {"asked_at": self._at(due.asked_at), "holds": due.holds, "slack_h": slack_h}

    def _overtime(self, offer: Offer, readiness: Readiness) -> dict[str, Any] | None:
        if not readiness.overtime_h:
            return None
        return {
            "hours": [
                {"machine": machine or None, "hours": hours}
                for machine, hours in readiness.overtime_h.items()
            ],
            "cost": self._money(offer.overtime_cost),
            "currency": self._currency,
        }

    def _operation(self, op: ScheduledOperation) -> dict[str, Any]:
        return {
            "id": op.id,
            "operation": op.operation,
            "part": op.part,
            "machine": op.machine or None,
            "clock": op.clock,
            "duration": op.duration,
            "unit": UNITS[op.clock],
            "start_at": self._at(op.start_at),
            "end_at": self._at(op.end_at),
            "slack_h": op.slack_h,
            "critical": op.critical,
            "after": list(op.after),
            "overtime_h": round(op.overtime_h, HOUR_DIGITS),
            "because": op.because,
        }

    def _would_hold(self, would: WouldHold, best: int) -> dict[str, Any]:
        return {
            "kind": would.kind,
            **self.dated(would.dated),
            "more": decimal_text(would.dated.price - best, self._digits),
            "changes": dict(would.changes),
            "lots": [
                {"quantity": lot.quantity, **self.dated(lot.dated), "holds": lot.holds}
                for lot in would.lots
            ],
            "because": would.because,
        }

    def _at(self, at: int | None) -> str | None:
        return None if at is None else moment_text(at, self._zone)

    def _money(self, minor: int) -> str:
        return decimal_text(minor, self._digits)


def _readiness(readiness: Readiness) -> dict[str, Any]:
    return {
        "hours": readiness.hours,
        "work_h": readiness.work_h,
        "drying_h": readiness.drying_h,
        "waiting_h": readiness.waiting_h,
        "lead_days": readiness.lead_days,
        "because": dict(readiness.because),
    }
