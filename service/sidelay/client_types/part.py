"""Types of answers: part.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Literal, NotRequired, TypedDict

from .trace import Figure


class RouteStep(TypedDict):
    """Which press makes a part."""

    part: str
    process: str
    press: str


class PartStock(TypedDict):
    """The stock that the plant would use."""

    id: str
    name: str
    grammage_gsm: float
    caliper_um: float


class BeatenLayout(TypedDict):
    """The next cheapest layout of the same press."""

    work_style: Literal["one_side", "sheetwise", "work_and_turn", "work_and_tumble", "perfecting"]
    up: int
    because: str
    dearer_by: NotRequired[str]


class Layout(TypedDict):
    """How the pieces lie on the press sheet, the cut-off or the repeat of a web."""

    feed: Literal["sheet", "web", "reel", "piece"]
    supply: str
    delivery: Literal["sheet", "copy", "reel", "piece"]
    press_sheet_mm: list[float]
    parent_sheet_mm: list[float] | None
    press_sheets_per_parent: int | None
    across: int
    around: int
    webs: int
    cycles_per_piece: int
    work_style: Literal["one_side", "sheetwise", "work_and_turn", "work_and_tumble", "perfecting"]
    up: int
    forms: int
    carriers: int
    carriers_id: str
    because: str
    beat: BeatenLayout | None


class Sheets(TypedDict):
    """Cycles of the press (sheets, cut-offs, repeats, pieces), good and spoiled."""

    net: int
    finishing_waste: int
    good: int
    make_ready: int
    running_waste: int
    total: int
    parents: int | None
    web_m: float | None


class Run(TypedDict):
    """How the press runs it."""

    passes: int
    make_ready_min: float
    once_min: float
    cycles_per_hour: float
    wash_up_min: float
    drying_h: float
    carrier_lead_days: float
    because: dict[str, str]


class Section(TypedDict):
    """Sections of one size, each printed from forms of its own; or one press of several."""

    process: str
    press: str
    pages: int
    times: int
    layout: Layout
    sheets: Sheets
    hours: float
    run: Run


class Step(TypedDict):
    """One operation after the press, in the order of production."""

    operation: str
    machine: str
    bought_out: bool
    unit: Literal["parent", "sheet", "piece", "copy"]
    into: int
    out: int
    per: int
    lots: int
    set_up_min: float
    run_min: float
    crew: float
    lead_days: float
    because: NotRequired[str]


class Line(TypedDict):
    """One line of the cost. With detail "trace", cost = unit_cost x amount x count, half up."""

    id: str
    stage: str
    label: str
    cost: str
    because: str
    source: str
    lead_days: NotRequired[float]
    unit_cost: NotRequired[float]
    amount: NotRequired[float]
    per: NotRequired[str]
    count: NotRequired[float]
    behaviour: NotRequired[Literal["fixed", "variable", "both"]]
    at_no_copies: NotRequired[str]


class OfferPart(TypedDict):
    """One part of an offer: what it is made on, and from what."""

    part: str
    process: str
    press: str
    per_copy: int
    split: str
    stock: PartStock
    layout: Layout
    sheets: Sheets
    mass_kg: float
    hours: float
    run: Run
    sections: list[Section]
    operations: list[Step]
    lines: NotRequired[list[Line]]
    trace: NotRequired[list[Figure]]


class CopyStep(TypedDict):
    """One operation on finished copies."""

    operation: str
    machine: str
    bought_out: bool
    unit: Literal["parent", "sheet", "piece", "copy"]
    into: int
    out: int
    per: int
    lots: int
    set_up_min: float
    run_min: float
    crew: float
    lead_days: float
    because: NotRequired[str]
    lines: NotRequired[list[Line]]
    trace: NotRequired[list[Figure]]
