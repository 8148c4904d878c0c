"""Types of answers: process.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Literal, TypedDict


class PressHere(TypedDict):
    """A press of the plant, and the largest that it takes."""

    press: str
    name: str
    feed: Literal["sheet", "web", "reel", "piece"]
    largest_mm: list[float]
    pages_up: int | None


class Rated(TypedDict):
    """Speeds on the makers' plates, in one unit."""

    unit: Literal["{cycle}/h", "m/min", "m2/h"]
    slowest: float
    fastest: float


class Abilities(TypedDict):
    """What the presses of a process can do, each pair from the press with least to that with most.
    """

    inks_in_one_pass: list[int] | None
    two_sided: bool | None
    special_inks: list[str] | None
    grades: list[str] | None
    caliper_um: list[float] | None
    grammage_gsm: list[float] | None
    finest_ruling_lpi: list[float] | None
    tone_steps: list[int] | None
    quality: list[Literal["draft", "office", "commercial", "fine"]] | None
    register_mm: list[float] | None
    rated: list[Rated]


class Here(TypedDict):
    """What this plant has of a process."""

    presses: list[PressHere]
    largest_press: str
    largest_mm: list[float]
    pages_up: int | None
    abilities: Abilities | None


class ForThisJob(TypedDict):
    """What the job makes of a process, at the asked quantity in the middle of the list."""

    quantity: int
    press: str
    carriers: int
    carrier_lead_days: float
    make_ready_min: float
    wash_up_min: float
    passes: int
    work_style: Literal["one_side", "sheetwise", "work_and_turn", "work_and_tumble", "perfecting"]
    up: int
    colours: list[int]
    ruling_lpi: float | None
    tone_steps: int | None
    drying_h: float
    dry_after_h: float
    rated_per_hour: float | None
    net_per_hour: float
    sheets_per_hour: float
    run_length_cycles: int
    within_usual_run_length: bool


_Stretch = TypedDict("_Stretch", {"from": int})


class Stretch(_Stretch):
    """Whole quantities, both ends included."""

    to: int


class Characteristic(TypedDict):
    """A process: what it is, what the plant has of it, what the job makes of it, where it wins."""

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
    process: str
    here: Here
    for_this_job: ForThisJob | None
    wins: list[Stretch]
