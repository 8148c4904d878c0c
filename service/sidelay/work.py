"""What the core hands to a press model, and what it answers: Work in; Finding, Run, Charge out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, Protocol, runtime_checkable

from .curve import Curve
from .feeds import SheetFeed, WorkStyle
from .imposition.pattern import Pattern
from .job import Ink, Part, Side
from .stock import ParentSheet

Per = Literal["job", "form", "carrier", "cycle", "impression", "piece", "hour", "kilogram"]
Kind = Literal["material", "time", "outwork"]
Severity = Literal["limit", "caution"]


@runtime_checkable
class Press(Protocol):
    """What the core reads of a press; the rest of a press is between its plug-in and the plant.

    id, name: as in the plant file
    cost_centre: id of the cost centre whose hourly rate the press runs at
    feed: how it takes its substrate
    sources: where single figures of this press come from, by the name of the field
    """

    @property
    def id(self) -> str: ...  # noqa: D102
    @property
    def name(self) -> str: ...  # noqa: D102
    @property
    def cost_centre(self) -> str: ...  # noqa: D102
    @property
    def feed(self) -> SheetFeed: ...  # noqa: D102
    @property
    def sources(self) -> Mapping[str, str]: ...  # noqa: D102


@dataclass(frozen=True, slots=True)
class Form:
    """What one set of image carriers prints in one go: one carrier for each ink.

    prints: which sides of the piece lie on it; "both" for work-and-turn and work-and-tumble,
        where the same carriers print both sides of the sheet one after the other
    """

    prints: Literal["front", "back", "both"]
    inks: tuple[Ink, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """How a part lies on the press sheet, and how that sheet is cut from what the merchant sells.

    width_mm, length_mm: press sheet, across the machine and in the direction of travel
    parent, parts_across, parts_along: the parent sheet, and how many press sheets lie along its
        short and its long side
    style: how the second side is printed
    up: pieces on one press sheet
    pattern: where they lie; for work-and-turn and work-and-tumble, on one half of the sheet
    """

    width_mm: float
    length_mm: float
    parent: ParentSheet
    parts_across: int
    parts_along: int
    style: WorkStyle
    up: int
    pattern: Pattern
    because: str = ""

    @property
    def out(self) -> int:
        """Press sheets cut from one parent sheet."""
        return self.parts_across * self.parts_along

    def cuts(self, *, gutter_between: bool) -> int:
        """Guillotine cuts that free the pieces of one lift of press sheets."""
        between_halves = 0 if self.pattern.up == self.up else 1
        return self.pattern.cuts(gutter_between=gutter_between) + between_halves * (
            2 if gutter_between else 1
        )

    @property
    def area_m2(self) -> float:
        """Area of the press sheet [m2]."""
        return self.width_mm * self.length_mm / 1e6


@dataclass(frozen=True, slots=True)
class Work:
    """A part laid out for a press: what the model is asked to time and to cost."""

    part: Part
    layout: Layout
    forms: tuple[Form, ...]

    @property
    def sides(self) -> tuple[Side, ...]:
        """Sides of the sheet that print, front first."""
        return self.part.sides

    @property
    def carriers(self) -> int:
        """Image carriers for all forms: one for each ink of each form."""
        return sum(len(form.inks) for form in self.forms)

    def inked_area_m2(self, ink: Ink) -> float:
        """Area of one press sheet that this ink covers, both sides together [m2]."""
        sides = (self.part.front, self.part.back)
        covered = sum(side.coverage for side in sides if ink in side.inks)
        return covered * self.part.printed_area_m2 * self.layout.up


@dataclass(frozen=True, slots=True)
class Finding:
    """Why a press cannot do a part ("limit"), or can but with something to know ("caution").

    code: stable snake_case name of the rule
    message: one sentence a printer would say
    asked, limit, unit: what the job wants against what the press can, in that unit
    remedy: a change that would clear it
    """

    severity: Severity
    code: str
    message: str
    asked: float | str | None = None
    limit: float | str | None = None
    unit: str = ""
    remedy: str = ""


@dataclass(frozen=True, slots=True)
class Run:
    """How the press runs one work.

    A cycle is one sheet (cut-off, repeat, piece) through the press once for each pass.

    passes: how often each sheet goes through, all sides together
    make_ready_min, make_ready_cycles: minutes and spoiled cycles before the first good one, for
        the whole set of forms
    cycles_per_hour: net speed of one pass; a number, or a Curve over run length
    running_waste: spoiled share of the good cycles, all passes together; number or Curve
    wash_up_min: minutes of cleaning after the run
    drying_h: hours before the next operation can touch the sheets
    because: for each figure that is not obvious, its name and its reason in one sentence
    """

    passes: int
    make_ready_min: float
    make_ready_cycles: int
    cycles_per_hour: float | Curve
    running_waste: float | Curve
    wash_up_min: float = 0.0
    drying_h: float = 0.0
    because: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Charge:
    """One thing to pay for beside the stock and the hours of the press, which the core charges.

    money = unit_cost x amount x count, where `per` says what is counted:

    - job: once
    - form, carrier: once for the set, and again each time `life` cycles have worn it out;
      `amount` is how many forms or carriers the set has
    - cycle: cycles run, waste included; impression: cycles x passes; `amount` for each of them
    - piece: finished pieces ordered
    - hour: press hours, make-ready and wash-up included
    - kilogram: cycles run, waste included; `amount` is kilograms a cycle

    unit_cost: money, in the plant's currency, for one unit of `amount`
    kind: which mark-up of the price policy it takes
    """

    stage: str
    label: str
    unit_cost: float
    per: Per
    amount: float = 1.0
    kind: Kind = "material"
    life: float | None = None
    because: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Process:
    """What a process is, whatever the press: facts for the table of processes.

    id: snake_case; name: as the trade says it; standard_token: the name that the open job
        description standard uses for it
    usual_run_length: pieces or sheets, from .. to, as the trade would say it
    cautions: what can hurt someone, deferring to local codes and licensed practice
    """

    id: str
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
    usual_run_length: tuple[int, int]
    standard_token: str
    cautions: tuple[str, ...]
    source: str = "common practice, no source"
