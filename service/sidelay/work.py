"""What the core hands to a press model, and what it answers: Work in; Finding, Run, Charge out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Literal, Protocol, runtime_checkable

from .curve import Curve
from .feeds import Feed, WorkStyle
from .halftone import Tones
from .imposition.pattern import Pattern
from .job import Ink, InkKind, Part, Previous, Quality, Side
from .stock import ParentSheet, Reel, Supply

Per = Literal["job", "form", "carrier", "cycle", "impression", "piece", "hour", "kilogram"]
Kind = Literal["material", "time", "outwork"]
Severity = Literal["limit", "caution"]
Delivery = Literal["sheet", "copy", "reel", "piece"]
RatedUnit = Literal["{cycle}/h", "m/min", "m2/h"]
Changed = Mapping[str, Any]

NO_CHANGE: Changed = MappingProxyType({})
# Another stock of the plant would do; which one, the core finds out.
ANOTHER_STOCK: Changed = MappingProxyType({"stock": "another"})


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
    def feed(self) -> Feed: ...  # noqa: D102
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


def sheet_cuts(pattern: Pattern, halves: int, *, gutter_between: bool) -> int:
    """Guillotine cuts that free the pieces of one lift; sheets hold the pattern once or twice."""
    between_halves = (2 if gutter_between else 1) if halves > 1 else 0
    return pattern.cuts(gutter_between=gutter_between) + between_halves


@dataclass(frozen=True, slots=True)
class Layout:
    """How a part lies on what one cycle prints: a sheet, a cut-off, a repeat of a web, a piece.

    width_mm, length_mm: of the sheet, cut-off or repeat, across the machine and in the direction of
        travel; of a web its width is the reel's
    supply: what the stock is bought in
    parts_across, parts_along: press sheets along the short and the long side of a parent sheet
    style: how the second side is printed
    up: pieces on one cycle
    pattern: where the pieces lie; for work-and-turn and work-and-tumble, on one half of the sheet;
        None for pages on a web and for single pieces
    cycles_per_piece: cycles gathered into one piece (cut-offs collected to one copy); with it, `up`
        pieces come off every so many cycles
    webs: webs that run together, each of width_mm
    across, around: rows and columns on a web: pieces or pages along width_mm and along length_mm
    delivery: what leaves the press
    """

    width_mm: float
    length_mm: float
    supply: Supply
    style: WorkStyle
    up: int
    pattern: Pattern | None = None
    parts_across: int = 1
    parts_along: int = 1
    cycles_per_piece: int = 1
    webs: int = 1
    across: int = 1
    around: int = 1
    delivery: Delivery = "sheet"
    because: str = ""

    @property
    def out(self) -> int:
        """Press sheets cut from one parent sheet."""
        return self.parts_across * self.parts_along

    def cuts(self, *, gutter_between: bool) -> int:
        """Guillotine cuts that free the pieces of one lift of press sheets."""
        if self.pattern is None:
            return 0
        return sheet_cuts(self.pattern, self.up // self.pattern.up, gutter_between=gutter_between)

    @property
    def image(self) -> str:
        """What its image carriers are made for: style, and where the pieces lie; not the stock."""
        width, length = f"{round(self.width_mm, 3):g}", f"{round(self.length_mm, 3):g}"
        if isinstance(self.supply, Reel):
            gathered = f"{self.webs}x{self.cycles_per_piece}"
            return f"{self.style}:{self.across}x{self.around}:{length}:{gathered}"
        return f"{self.style}:{self.up}up:{width}x{length}"

    @property
    def length_m(self) -> float:
        """Length of one cycle in the direction of travel [m]."""
        return self.length_mm / 1000

    @property
    def pieces_per_cycle(self) -> float:
        """Pieces that one cycle yields; below 1 where several are gathered into a piece."""
        return self.up / self.cycles_per_piece

    @property
    def area_m2(self) -> float:
        """Area of stock that one cycle takes, all webs together [m2]."""
        return self.width_mm * self.length_mm * self.webs / 1e6

    @property
    def sheet(self) -> ParentSheet | None:
        """The parent sheet, None where the stock comes in reels or pieces."""
        return self.supply if isinstance(self.supply, ParentSheet) else None


@dataclass(frozen=True, slots=True)
class Work:
    """A part laid out for a press: what the model is asked to time and to cost.

    forms: what each set of carriers prints; on a web one for each side of each web
    previous: what the press printed last, None where that is not known
    """

    part: Part
    layout: Layout
    forms: tuple[Form, ...]
    previous: Previous | None = None

    @property
    def sides(self) -> tuple[Side, ...]:
        """Sides of the sheet that print, front first."""
        return self.part.sides

    @property
    def carriers(self) -> int:
        """Image carriers for all forms: one for each ink of each form."""
        return sum(len(form.inks) for form in self.forms)

    def inked_area_m2(self, ink: Ink) -> float:
        """Area of one cycle that this ink covers, both sides and all webs together [m2]."""
        sides = (self.part.front, self.part.back)
        covered = sum(side.covered(ink) for side in sides if ink in side.inks)
        return covered * self.part.printed_area_m2 * self.layout.pieces_per_cycle


@dataclass(frozen=True, slots=True)
class Finding:
    """Why a press cannot do a part ("limit"), or can but with something to know ("caution").

    code: stable snake_case name of the rule
    message: one sentence a printer would say
    asked, limit, unit: what the job wants against what the press can, in that unit
    remedy: a change that would clear it
    change: the same change for a limit, for the core to make and to price: what a member of the
        part or the job would have to be, by its name (changes.MEMBERS), where the customer could
        take that for the same piece; nothing where only another press would help
    """

    severity: Severity
    code: str
    message: str
    asked: float | str | None = None
    limit: float | str | None = None
    unit: str = ""
    remedy: str = ""
    change: Changed = field(default_factory=lambda: NO_CHANGE, hash=False)


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
    once_min: of make_ready_min, the minutes that further sections of the same size do not take
        again: setting the folder, hanging other reels
    rated_per_hour: cycles an hour of one pass if nothing slowed the press at this work; net speed
        is never above it; None where that is not told
    """

    passes: int
    make_ready_min: float
    make_ready_cycles: int
    cycles_per_hour: float | Curve
    running_waste: float | Curve
    wash_up_min: float = 0.0
    drying_h: float = 0.0
    because: Mapping[str, str] = field(default_factory=dict)
    once_min: float = 0.0
    rated_per_hour: float | None = None

    def make_ready_of(self, sections: int) -> float:
        """Minutes of make-ready for so many sections alike, one after the other."""
        return self.make_ready_min * sections - self.once_min * (sections - 1)


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
    lead_days: working days from order until it is there (plates bought out, cylinders engraved)

    A charge of the stage "carrier" is what makes the image carriers, one of the stage "die" what
    makes the dies. Where the job says that they are kept from the last run, the core leaves the
    first set out; what mounts them stays.

    stage: "carrier", "die", "make_ready", "run", "ink", "click", "wash_up", or one of your own,
        which comes with the run; only what is charged per carrier at "carrier" counts as carriers
    life: of forms and carriers only
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
    lead_days: float = 0.0


@dataclass(frozen=True, slots=True)
class Abilities:
    """What one press can do, whatever the job. None: it has nothing to say, or it does not apply.

    inks_in_one_pass: most inks that one side takes in one pass, on a light stock
    two_sided: whether both sides print in one pass
    special_inks: kinds of ink that it prints beside process inks (Ink.kind)
    grades: stock grades that it prints on; empty for all
    caliper_um, grammage_gsm: of stock, from .. to
    finest_ruling_lpi: finest halftone ruling that it holds
    tones: the tone steps that it shows at a ruling; None where nothing limits them
    finest_quality: finest class of work that it is used for
    register_mm: closest fit of colour to colour
    rated_speed: on the maker's plate, in rated_unit: cycles of one pass an hour, metres of web a
        minute, or square metres an hour at the fewest crossings of a carriage
    """

    inks_in_one_pass: int | None = None
    two_sided: bool | None = None
    special_inks: tuple[InkKind, ...] | None = None
    grades: tuple[str, ...] | None = None
    caliper_um: tuple[float, float] | None = None
    grammage_gsm: tuple[float, float] | None = None
    finest_ruling_lpi: float | None = None
    tones: Tones | None = None
    finest_quality: Quality | None = None
    register_mm: float | None = None
    rated_speed: float | None = None
    rated_unit: RatedUnit = "{cycle}/h"

    def tone_steps(self, ruling_lpi: float = 0.0) -> int | None:
        """Tone steps at a ruling, by default the finest that it holds; None where not known."""
        ruling = ruling_lpi or self.finest_ruling_lpi
        if self.tones is None or (ruling is None and self.tones.levels is None):
            return None
        return self.tones.steps(ruling or 0.0)


@dataclass(frozen=True, slots=True)
class Process:
    """What a process is, whatever the press: facts for the table of processes.

    id: snake_case; name: as the trade says it; standard_token: the name that the open job
        description standard uses for it
    usual_run_length: pieces or sheets, from .. to, as the trade would say it
    cautions: what can hurt someone, deferring to local codes and licensed practice
    quality: where its work stands beside sheetfed litho (1.0), from .. to; quality_basis: what that
        range rests on. It is a range of the trade's opinion, not a measurement of one press.
    crew: people at one press, from .. to
    substrates, largest_format, speed, colours: what presses of the process take and do, in words
    impresses: whether it presses the image into the stock where that is wanted
    sources: where single facts come from, by the name of the field; source: where the others do
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
    quality: tuple[float, float]
    quality_basis: str
    crew: tuple[float, float]
    substrates: str
    largest_format: str
    speed: str
    colours: str
    impresses: bool = False
    sources: Mapping[str, str] = field(default_factory=dict)
    source: str = "common practice, no source"
