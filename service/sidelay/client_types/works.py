"""Types of answers: works.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Literal, TypedDict


class WorksSection(TypedDict):
    """The sections that an operation works on."""

    pages: int
    times: int


class HandedOn(TypedDict):
    """What comes out sound, as the next operation counts it."""

    amount: int
    unit: Literal["parent", "sheet", "piece", "copy"]


class Spoiled(TypedDict):
    """What a press spoils."""

    make_ready: int
    running: int


class WorksCarriers(TypedDict):
    """Image carriers that go on the press."""

    count: int
    carriers_id: str
    kept: bool


class WorksOperation(TypedDict):
    """One operation that someone does; queues, drying and deliveries are in the schedule alone."""

    id: str
    operation: str
    part: str | None
    section: WorksSection | None
    machine: str | None
    name: str
    cost_centre: str | None
    bought_out: bool
    crew: float | None
    set_up_h: float
    run_h: float
    unit: Literal["parent", "sheet", "piece", "copy"] | None
    into: int | None
    out: int | None
    per: int | None
    lots: int | None
    handed_on: HandedOn | None
    spoiled: Spoiled | None
    passes: int | None
    carriers: WorksCarriers | None
    lead_days: float
    after: list[str]
    lines: list[str]
    because: str


class ReelBought(TypedDict):
    """A reel, and how much of it the job takes."""

    width_mm: float
    length_m: float
    run_m: float
    reels: int


class Packs(TypedDict):
    """How it is sold, and how much of it is paid for."""

    pack: float | None
    packs: int | None
    least_order: float | None
    paid_for: float


class Purchase(TypedDict):
    """One thing that is bought, or drawn from stock."""

    id: str
    kind: Literal["stock", "carrier", "tool", "ink", "consumable", "click", "outwork", "other"]
    part: str | None
    for_operation: str | None
    item: str
    name: str
    size_mm: list[float] | None
    grain: Literal["long", "short"] | None
    reel: ReelBought | None
    amount: float
    unit: str
    packs: Packs | None
    unit_price: float
    cost: str
    lead_days: float
    lines: list[str]
    because: str
