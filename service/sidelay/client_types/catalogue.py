"""Types of answers: catalogue.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Any, Literal, NotRequired, TypedDict

from .answers import PlantHead
from .job import CostCentre


class Error(TypedDict):
    """One fault of a request."""

    pointer: str
    parameter: NotRequired[str]
    code: str
    detail: str


_Problem = TypedDict("_Problem", {"violated-policies": NotRequired[list[str]]})


class Problem(_Problem):
    """What went wrong (RFC 9457)."""

    type: str
    title: str
    status: int
    detail: str
    errors: NotRequired[list[Error]]
    request_id: str


class Process(TypedDict):
    """A process that a plug-in models."""

    name: str
    image_carrier: str
    contact: str
    ink: str
    drying: str
    tone_depth: str
    make_ready: str
    wash_up: str
    proof: str
    skill: str
    turnaround: str
    variable_data: bool
    usual_run_length: list[int]
    cautions: list[str]
    quality: list[float]
    quality_basis: str
    crew: list[float]
    substrates: str
    largest_format: str
    speed: str
    colours: str
    impresses: bool
    sources: dict[str, str]
    source: str
    id: str
    standard_token: str


class ProcessesAnswer(TypedDict):
    """All processes."""

    processes: list[Process]


class ProcessDetailAnswer(TypedDict):
    """A process, and what its presses are described by."""

    name: str
    image_carrier: str
    contact: str
    ink: str
    drying: str
    tone_depth: str
    make_ready: str
    wash_up: str
    proof: str
    skill: str
    turnaround: str
    variable_data: bool
    usual_run_length: list[int]
    cautions: list[str]
    quality: list[float]
    quality_basis: str
    crew: list[float]
    substrates: str
    largest_format: str
    speed: str
    colours: str
    impresses: bool
    sources: dict[str, str]
    source: str
    id: str
    standard_token: str
    press_schema: dict[str, Any]


class PlantsAnswer(TypedDict):
    """All plants."""

    plants: list[PlantHead]


class Feed(TypedDict):
    """What a press takes: its kind, and the members that this kind of feed has."""

    kind: Literal["sheet", "web", "reel", "piece"]
    makes: list[
        Literal[
            "leaf", "section", "cover", "insert", "envelope", "label", "carton", "web", "piece"
        ]
    ]
    min_width_mm: NotRequired[float | None]
    max_width_mm: NotRequired[float | None]
    min_length_mm: NotRequired[float | None]
    max_length_mm: NotRequired[float | None]
    gripper_mm: NotRequired[float | None]
    tail_mm: NotRequired[float | None]
    side_mm: NotRequired[float | None]
    colour_bar_mm: NotRequired[float | None]
    image_width_mm: NotRequired[float | None]
    image_length_mm: NotRequired[float | None]
    work_styles: NotRequired[
        list[Literal["one_side", "sheetwise", "work_and_turn", "work_and_tumble", "perfecting"]]
    ]
    min_cutoff_mm: NotRequired[float | None]
    max_cutoff_mm: NotRequired[float | None]
    gap_mm: NotRequired[float | None]
    webs: NotRequired[float | None]
    most_collected: NotRequired[float | None]
    repeats_mm: NotRequired[list[float]]
    min_repeat_mm: NotRequired[float | None]
    max_repeat_mm: NotRequired[float | None]
    reel_waste: NotRequired[float | None]
    min_reel_m: NotRequired[float | None]
    max_reel_m: NotRequired[float | None]
    both_sides: NotRequired[bool]
    folds: NotRequired[bool]
    dies_in_line: NotRequired[bool]
    cuts_off: NotRequired[bool]


class PlantPress(TypedDict):
    """A press of a plant."""

    id: str
    name: str
    process: str
    cost_centre: NotRequired[str]
    feed: Feed
    figures: NotRequired[dict[str, Any]]
    sources: NotRequired[dict[str, str]]


class PlantOperation(TypedDict):
    """A finishing machine, or work that is bought out."""

    id: str
    name: str
    operation: str
    unit: Literal["sheet", "flat", "piece", "copy"]
    finishes: list[str]
    bought_out: bool
    figures: NotRequired[dict[str, Any]]
    source: NotRequired[str]


class PlantBinder(TypedDict):
    """A binder, or a trade binder."""

    id: str
    name: str
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
    bought_out: bool
    figures: NotRequired[dict[str, Any]]
    source: NotRequired[str]


class StockSheet(TypedDict):
    """A sheet that a stock is sold in."""

    width_mm: float
    height_mm: float
    grain: Literal["long", "short"]
    pack: float | None
    breaks_packs: bool


class StockReel(TypedDict):
    """A reel that a stock is sold in."""

    width_mm: float
    length_m: float
    pack: float | None
    breaks_packs: bool


class StockBlank(TypedDict):
    """A piece that is bought whole."""

    label: str
    width_mm: float
    height_mm: float
    pack: float | None
    breaks_packs: bool


class PlantStock(TypedDict):
    """A stock of a plant."""

    id: str
    name: str
    grade: str
    finish: str
    grammage_gsm: float
    caliper_um: float
    tone: Literal["light", "dark"]
    treated: bool
    lead_days: float
    sheets: list[StockSheet]
    reels: list[StockReel]
    blanks: list[StockBlank]


class PlantShift(TypedDict):
    """Hours that are worked, by the clocks of the plant."""

    days: list[Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]]
    starts: str
    ends: str


class PlantClosedDay(TypedDict):
    """A day on which nobody works, beside the public holidays."""

    date: str
    reason: str


class PlantApproval(TypedDict):
    """Working days that a customer takes to approve a proof, by kind of proof."""

    soft: float
    contract: float
    press: float


class PlantDispatch(TypedDict):
    """How copies get to a customer who does not collect them."""

    cut_off: str
    days: list[Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]]
    delivery_days: int
    delivered_by: str
    source: str


class PlantMaintenance(TypedDict):
    """A planned stoppage of a machine."""

    start_at: str
    end_at: str
    reason: str


class PlantQueue(TypedDict):
    """What a job meets at a machine, unless its request says otherwise; all null for nothing."""

    busy_until: str | None
    hours_ahead: float | None
    utilisation: float | None


class PlantMachineTime(TypedDict):
    """What is different at one machine."""

    id: str
    shifts: list[PlantShift] | None
    overtime: list[PlantShift] | None
    maintenance: list[PlantMaintenance]
    queue: PlantQueue
    mean_job_h: float
    variation: float
    source: str


class PlantTime(TypedDict):
    """When a plant works; times of day are by its clocks."""

    zone: str
    country: str | None
    subdivision: str | None
    shifts: list[PlantShift]
    overtime: list[PlantShift]
    closed_days: list[PlantClosedDay]
    horizon_days: int
    approval_days: PlantApproval
    drying_share: float | None
    dispatch: PlantDispatch
    machine_ids: list[str]
    machines: list[PlantMachineTime]
    source: str


class PlantAnswer(TypedDict):
    """A plant: what it prints with and on, and what an hour costs."""

    id: str
    name: str
    revision: str
    currency: str
    revisions: list[str]
    cost_centres: NotRequired[list[CostCentre]]
    presses: list[PlantPress]
    operations: list[PlantOperation]
    binders: list[PlantBinder]
    stocks: list[PlantStock]
    time: PlantTime


class ProblemTypeAnswer(TypedDict):
    """A type of problem, explained."""

    type: str
    title: str
    status: int
    about: str
