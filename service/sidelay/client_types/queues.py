"""Types of answers: queues.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import NotRequired, TypedDict


class QueueAhead(TypedDict):
    """What stands before one machine, told in one of three ways."""

    machine: str
    busy_until: NotRequired[str]
    hours_ahead: NotRequired[float]
    utilisation: NotRequired[float]
