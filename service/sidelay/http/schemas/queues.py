"""What a request tells of the queues at machines."""

from __future__ import annotations

from typing import Any

from marshmallow import validates_schema

from ...plant_time import QUEUE_WAYS
from .fields import Between, Figure, Moment, Strict, identifier, told


class QueueAheadSchema(Strict):
    """What stands before one machine, told in one of three ways."""

    machine = identifier(
        required=True, metadata={"description": "id of a machine: one of the plant's machine_ids"}
    )
    busy_until = Moment(
        metadata={
            "description": "when it is free, with its offset; a moment that is past means now. "
            "Rush work waits for it too"
        }
    )
    hours_ahead = Figure(
        validate=Between(0, 10_000),
        metadata={"description": "work before it, in hours of its own shifts", "x-unit": "h"},
    )
    utilisation = Figure(
        validate=Between(0, 0.99),
        metadata={
            "description": "share of its time that it is busy; the queue is then the one to be "
            "expected",
            "x-unit": "1",
        },
    )

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def one_way(self, _: Any, original: Any, **__: Any) -> None:
        """Refuse a queue that is told in no way, or in several."""
        if not isinstance(original, dict):
            return
        given = [name for name in QUEUE_WAYS if original.get(name) is not None]
        if not given:
            raise told("required", f"Expected one of {', '.join(QUEUE_WAYS)}.")
        if len(given) > 1:
            raise told("conflicting_members", f"Give one of {', '.join(given)}.")
