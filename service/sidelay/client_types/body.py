"""Types of answers: body.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Literal, NotRequired, TypedDict

from .job import Job
from .queues import QueueAhead


class Weights(TypedDict):
    """How much each criterion counts; together 1. Each counts by its ratio to the best."""

    price: NotRequired[float]
    cost: NotRequired[float]
    readiness: NotRequired[float]


_Request = TypedDict("_Request", {"from": NotRequired[int]})


class Request(_Request):
    """A job, and how to price it."""

    job: Job
    plant: NotRequired[str]
    plant_revision: NotRequired[str]
    processes: NotRequired[list[str]]
    presses: NotRequired[list[str]]
    detail: NotRequired[Literal["price", "lines", "trace"]]
    up_to: NotRequired[int]
    explain: NotRequired[list[Literal["cost_bands", "sensitivity", "remedies"]]]
    rank_by: NotRequired[Literal["price", "cost", "readiness"] | Weights]
    curves: NotRequired[bool]
    as_of: NotRequired[str]
    queue: NotRequired[list[QueueAhead]]
    overtime: NotRequired[bool]
    quotes: NotRequired[bool]
