"""Types of answers: compare.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import NotRequired, TypedDict

from .answers import (
    Caution,
    Cost,
    Excluded,
    Finding,
    PlantHead,
    Price,
    Safety,
    Unavailable,
    Versions,
    Warning,
)
from .dates import Clock, Dated, Due, DueBand, Otherwise, Overtime, Readiness, ScheduledOperation
from .hanging import WhatItHangsOn
from .job import Book, CostCentre, FinishingSafety
from .part import CopyStep, OfferPart, RouteStep, Sheets
from .process import Characteristic
from .quotes import QuoteToken
from .ranking import RankedBy, Ratios
from .remedies import Remedy
from .trace import Figure, Shape


class Choice(TypedDict):
    """The best offer of one press at one quantity: the cheapest, or by cost that of least cost."""

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
    rank: int
    ratio_to_best: float | None
    score: float | None
    ratios: Ratios
    sheets: Sheets
    hours: float
    parts: NotRequired[list[OfferPart]]
    operations: NotRequired[list[CopyStep]]


class Quantity(TypedDict):
    """All presses at one quantity."""

    quantity: int
    choices: list[Choice]
    trade_off: list[Dated]
    otherwise: Otherwise


_Band = TypedDict("_Band", {"from": int})


class Band(_Band):
    """Whole quantities, both ends included, at which the same presses are the cheapest."""

    to: int
    process: str
    press: str
    route: list[RouteStep]


class Crossover(TypedDict):
    """Where one process takes over a part from another."""

    part: str
    from_process: str
    to_process: str
    first_at: int
    settled_at: int | None


class Point(TypedDict):
    """A press at one quantity."""

    quantity: int
    cost: NotRequired[str]
    price: str
    per_piece: str


class Curve(TypedDict):
    """Cost and price of one press over quantity."""

    process: str
    press: str
    points: list[Point]


class ComparisonAnswer(TypedDict):
    """The answer of /compare."""

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
    ranked_by: RankedBy
    quantities: list[Quantity]
    bands: list[Band]
    due_bands: list[DueBand] | None
    crossovers: list[Crossover]
    characteristics: list[Characteristic]
    remedies: NotRequired[list[Remedy]]
    cost_bands: NotRequired[list[Band]]
    cost_crossovers: NotRequired[list[Crossover]]
    hangs_on: NotRequired[WhatItHangsOn]
    curves: NotRequired[list[Curve]]
