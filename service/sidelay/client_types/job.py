"""Types of answers: job.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Literal, NotRequired, TypedDict

from .inks import Ink, PrintedInk
from .trace import Input
from .wishes import Binding, Operation, StockWish


class Binder(TypedDict):
    """A machine, or a trade binder, that takes the book."""

    machine: str
    name: str
    bought_out: bool
    lead_days: float


class Book(TypedDict):
    """The book that the parts make, and who can bind it."""

    method: Literal[
        "saddle_stitch",
        "side_stitch",
        "perfect_bind",
        "thread_sewn",
        "case",
        "wire",
        "coil",
        "pad",
    ]
    edge: Literal["left", "top"]
    binders: list[Binder]
    pages: int
    leaves: int
    block_mm: float
    spine_mm: float
    grind_off_mm: float
    cover_flat_mm: list[float] | None
    creep_mm: float
    innermost_page_mm: float
    copy_kg: float


class FinishingSafety(TypedDict):
    """What can hurt someone in an operation that the offers of this answer use."""

    operation: str
    cautions: list[str]


class RateItem(TypedDict):
    """One item of an hourly rate."""

    item: str
    per_year: str
    because: str
    formula: str
    inputs: list[Input]


class RateBuild(TypedDict):
    """What an hourly rate is made of."""

    items: list[RateItem]
    chargeable_hours: float
    total_per_year: str


class CostCentre(TypedDict):
    """A place where hours are spent."""

    id: str
    name: str
    rate_per_hour: str
    crew: float | None
    build: RateBuild | None
    source: str


class Delivery(TypedDict):
    """How many copies may be delivered against the order; the count delivered is billed."""

    least: int
    most: int


class Size(TypedDict):
    """A size by its sides: 5 to 10,000 mm each, whatever the unit."""

    width: float
    height: float
    unit: NotRequired[Literal["mm", "in"]]


class Side(TypedDict):
    """One side of a piece."""

    inks: list[Literal["cyan", "magenta", "yellow", "black"] | PrintedInk]
    coverage: NotRequired[float]
    heaviest_pct: NotRequired[float]


class Overprint(TypedDict):
    """What differs from piece to piece: names, numbers, addresses."""

    front: NotRequired[Side]
    back: NotRequired[Side]
    quality: NotRequired[Literal["draft", "office", "commercial", "fine"]]


class Part(TypedDict):
    """One component of the job, on its own stock."""

    name: NotRequired[str]
    kind: NotRequired[
        Literal[
            "leaf", "section", "cover", "insert", "envelope", "label", "carton", "web", "piece"
        ]
    ]
    size: str | Size
    flat_size: NotRequired[str | Size]
    pages: NotRequired[int]
    folds: NotRequired[int]
    bleed_mm: NotRequired[float]
    gutter_mm: NotRequired[float]
    stock: StockWish
    grain: NotRequired[Literal["any", "long", "short"]]
    front: Side
    back: NotRequired[Side]
    ruling_lpi: NotRequired[float]
    variable_share: NotRequired[float]
    overprint: NotRequired[Overprint | None]
    impression: NotRequired[Literal["flat", "deep"]]
    min_type_pt: NotRequired[float]
    min_reverse_type_pt: NotRequired[float]
    min_line_pt: NotRequired[float]
    tone_steps: NotRequired[int]
    register_mm: NotRequired[float]
    pieces_per_reel: NotRequired[int]
    kept_carriers: NotRequired[list[str]]
    per_copy: NotRequired[int]
    operations: NotRequired[list[Operation]]


class Previous(TypedDict):
    """What a press printed last, and still holds."""

    press: str
    inks: list[Literal["cyan", "magenta", "yellow", "black"] | Ink]
    stock: NotRequired[str]


class Job(TypedDict):
    """What is wanted, how many, and how good."""

    title: NotRequired[str]
    quantities: list[int]
    parts: list[Part]
    binding: NotRequired[Binding | None]
    operations: NotRequired[list[Operation]]
    overs_share: NotRequired[float]
    rush: NotRequired[bool]
    due_at: NotRequired[str]
    dispatch: NotRequired[Literal["collect", "deliver"]]
    approval_days: NotRequired[float]
    drying_aid: NotRequired[bool]
    quality: NotRequired[Literal["draft", "office", "commercial", "fine"]]
    proof: NotRequired[Literal["none", "soft", "contract", "press"]]
    uses: NotRequired[list[Literal["food_contact", "outdoor", "delicate"]]]
    previous: NotRequired[list[Previous]]
