"""Types of answers: answers.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Literal, NotRequired, TypedDict

from .dates import Clock, Due, Otherwise, Overtime, Readiness, ScheduledOperation
from .job import Book, CostCentre, Delivery, FinishingSafety, Job
from .part import CopyStep, OfferPart, RouteStep
from .quotes import QuoteToken
from .trace import Figure, Shape
from .works import Purchase, WorksOperation


class PlantHead(TypedDict):
    """Which plant priced it, and which state of its file."""

    id: str
    name: str
    revision: str
    currency: str


class Versions(TypedDict):
    """What an answer depends on beside the job, the plant and the clock."""

    service: str
    plugins: dict[str, str]


class Finding(TypedDict):
    """Why a press cannot make a part, or what to know when it can."""

    severity: Literal["limit", "caution"]
    code: str
    message: str
    asked: float | str | None
    limit: float | str | None
    unit: str
    remedy: str


class Excluded(TypedDict):
    """A press that cannot make the job, and every reason why."""

    process: str
    press: str
    part: str
    findings: list[Finding]


class Unavailable(TypedDict):
    """A press whose plug-in failed; the others compete without it."""

    process: str
    press: str
    reference: str


class Caution(TypedDict):
    """Something to know about making a part on a press that can."""

    severity: Literal["limit", "caution"]
    code: str
    message: str
    asked: float | str | None
    limit: float | str | None
    unit: str
    remedy: str
    process: str
    press: str
    part: str


class Safety(TypedDict):
    """What can hurt someone in a process that can make the job."""

    process: str
    cautions: list[str]


class Warning(TypedDict):
    """A member of an XJDF document that has no effect, or was read as it does not say outright."""

    pointer: str
    code: str
    detail: str


class Price(TypedDict):
    """What the customer pays, net of tax."""

    net: str
    per_piece: str
    per_1000: str
    run_on_per_1000: str
    same_price_to: int | None
    cash: str | None
    currency: str


class Cost(TypedDict):
    """What it costs the plant: the sum of all lines."""

    total: str
    fixed: str
    variable: str
    currency: str


class Offer(TypedDict):
    """The best offer at one quantity: the cheapest; with a due date, the cheapest that holds."""

    process: str
    press: str
    route: list[RouteStep]
    price: Price
    cost: NotRequired[Cost]
    curve: NotRequired[Shape]
    ready_at: str | None
    due: Due | None
    readiness: Readiness
    overtime: Overtime | None
    quote: NotRequired[QuoteToken]
    schedule: NotRequired[list[ScheduledOperation]]
    price_trace: NotRequired[list[Figure]]
    quantity: int
    delivery: Delivery
    otherwise: Otherwise
    parts: list[OfferPart]
    operations: list[CopyStep]
    works_order: NotRequired[list[WorksOperation]]
    purchases: NotRequired[list[Purchase]]


class EstimateAnswer(TypedDict):
    """The answer of /estimate."""

    title: str
    job_fingerprint: str
    plant: PlantHead
    versions: NotRequired[Versions]
    clock: Clock
    binding: Book | None
    findings: list[Finding]
    excluded: list[Excluded]
    unavailable: list[Unavailable]
    cautions: list[Caution]
    safety: list[Safety]
    safety_finishing: list[FinishingSafety]
    rates: NotRequired[list[CostCentre]]
    warnings: NotRequired[list[Warning]]
    estimates: list[Offer]


class ValidAnswer(TypedDict):
    """The answer of /validate when there is no fault."""

    valid: bool
    job_fingerprint: str
    job: NotRequired[Job]
    warnings: NotRequired[list[Warning]]
