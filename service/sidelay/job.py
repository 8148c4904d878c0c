"""What is wanted: a printed piece, how many, and how good. Lengths in mm, frozen and hashable."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal, get_args

from .paper import sheet_mass_kg
from .stock import Stock

InkKind = Literal["process", "spot", "metallic", "fluorescent", "white", "varnish"]
Kind = Literal[
    "leaf", "section", "cover", "insert", "envelope", "label", "carton", "web", "piece"
]
BindingMethod = Literal[
    "saddle_stitch", "side_stitch", "perfect_bind", "thread_sewn", "case", "wire", "coil", "pad"
]
BindingEdge = Literal["left", "top"]
Impression = Literal["flat", "deep"]
Quality = Literal["draft", "office", "commercial", "fine"]
Proof = Literal["none", "soft", "contract", "press"]
GrainWish = Literal["any", "long", "short"]

# Methods that bind single leaves; the others bind folded sheets, four pages each at least.
LEAF_METHODS: frozenset[BindingMethod] = frozenset(("side_stitch", "wire", "coil", "pad"))

PROCESS_INKS = ("cyan", "magenta", "yellow", "black")
QUALITIES: tuple[str, ...] = get_args(Quality)
# Kinds of ink beside process inks.
SPECIAL_INKS: tuple[InkKind, ...] = tuple(kind for kind in get_args(InkKind) if kind != "process")


@dataclass(frozen=True, slots=True)
class Ink:
    """One ink. `may_simulate`: a press without it may build it from process inks."""

    name: str
    kind: InkKind = "process"
    may_simulate: bool = False


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a piece.

    inks: no inks means that the side stays blank
    coverage: share of the area that an ink covers on average, 0..1, where it has none of its own
    heaviest_pct: total area coverage of its heaviest spot [%]; None where it is not known
    own_coverage: inks by name that cover another share of the area
    """

    inks: tuple[Ink, ...] = ()
    coverage: float = 0.0
    heaviest_pct: float | None = None
    own_coverage: tuple[tuple[str, float], ...] = ()

    def covered(self, ink: Ink) -> float:
        """Share of the area that one of its inks covers; a varnish floods it unless told less."""
        for name, coverage in self.own_coverage:
            if name == ink.name:
                return coverage
        return 1.0 if ink.kind == "varnish" else self.coverage

    def times_coverage(self, times: float) -> Side:
        """Return the side with so many times the coverage of each ink told, at most all of it."""
        own = tuple((name, min(1.0, share * times)) for name, share in self.own_coverage)
        return replace(self, coverage=min(1.0, self.coverage * times), own_coverage=own)

    @property
    def average_coverage_pct(self) -> float:
        """Coverages of all inks together [%], varnish left out: it adds no colour."""
        return 100.0 * sum(self.covered(ink) for ink in self.inks if ink.kind != "varnish")

    @property
    def total_coverage_pct(self) -> float:
        """Total area coverage [%] of the heaviest spot, or the average where it is not known."""
        if self.heaviest_pct is not None:
            return self.heaviest_pct
        return self.average_coverage_pct


@dataclass(frozen=True, slots=True)
class Operation:
    """Something to be done beside printing, cutting, folding and binding, to a part or to copies.

    name: as the plant names it ("laminate", "drill", ...)
    machine: id of the machine that is to do it; "" for the first of the plant that can
    sides: 1 or 2; finish: what of ("gloss", "matt", ...); "" for any
    count: how many on each piece: lines, holes, numbers, corners
    per: pieces in one pack; None for as many as the machine usually packs
    area_share: share of the piece that it covers (spot varnish, foil), 0..1
    """

    name: str
    machine: str = ""
    sides: int = 1
    finish: str = ""
    count: int = 1
    per: int | None = None
    area_share: float = 1.0


@dataclass(frozen=True, slots=True)
class Binding:
    """How the parts of a copy are held together.

    edge: the edge of the page that is bound
    machine: id of the binder that does it
    """

    method: BindingMethod
    edge: BindingEdge = "left"
    machine: str = ""


@dataclass(frozen=True)
class Part:
    """One component of the job, on its own stock.

    kind: "leaf", a flat or folded sheet; "section", pages bound together, or folded together
        where the job has no binding; "cover", the sheet around what is bound; "insert", a leaf laid
        loose into each copy; "envelope", printed ready made; "label", delivered on reels;
        "carton", a blank cut by a die; "web", printed web delivered on reels, one panel a piece;
        "piece", one object printed whole
    width_mm, height_mm: finished size, folded; of a section, one page; of a piece, the print
    flat_width_mm, flat_height_mm: trimmed size before folding; of a section, as a sheet holds it
    pages: two for each panel of the flat piece
    folds: number of folds
    bleed_mm: how far the image runs over each trimmed edge
    gutter_mm: space between neighbours on the sheet, beyond their bleed
    grain: side of the flat piece that the grain must follow
    ruling_lpi: halftone lines an inch; 0 where nothing is halftone
    variable_share: share of the pieces' area that differs from piece to piece, 0..1
    impression: "deep" where the print is to be felt in the stock
    min_type_pt, min_reverse_type_pt, min_line_pt: the finest detail in it; None where not known
    tone_steps: tone steps that it needs; register_mm: tightest fit of colour to colour
    pieces_per_reel: labels or panels on one finished reel
    kept_carriers: image carriers kept from the last run, by press and layout (Route.carriers_id)
    per_copy: how many of it one copy of the job has
    operations: what is done to it beside cutting and folding, in the order asked
    bound_in, bound_at: how it is bound, where it is bound, and at which edge of the page
    spine_trim_mm: milled off the spine of each page for that
    overprint: what differs from piece to piece, front and back, on top of what is the same on all;
        None where it is not told apart
    overprint_quality: how good that has to be where it goes onto shells; None as good as the job
    ready_made: whether it is printed on pieces of its own size, one at a time, their edges left
        free: envelopes, shells to be overprinted
    """

    name: str
    kind: Kind
    width_mm: float
    height_mm: float
    flat_width_mm: float
    flat_height_mm: float
    pages: int
    folds: int
    bleed_mm: float
    stock: Stock
    grain: GrainWish
    front: Side
    back: Side
    ruling_lpi: float
    variable_share: float
    gutter_mm: float = 0.0
    impression: Impression = "flat"
    min_type_pt: float | None = None
    min_reverse_type_pt: float | None = None
    min_line_pt: float | None = None
    tone_steps: int | None = None
    register_mm: float | None = None
    pieces_per_reel: int | None = None
    kept_carriers: tuple[str, ...] = ()
    per_copy: int = 1
    operations: tuple[Operation, ...] = ()
    bound_in: BindingMethod | None = None
    bound_at: BindingEdge = "left"
    spine_trim_mm: float = 0.0
    overprint: tuple[Side, Side] | None = None
    overprint_quality: Quality | None = None
    ready_made: bool = False

    @cached_property
    def sides(self) -> tuple[Side, ...]:
        """The sides that carry ink, front first."""
        return tuple(side for side in (self.front, self.back) if side.inks)

    @cached_property
    def inks(self) -> tuple[Ink, ...]:
        """Every ink of the part once, in the order of first use."""
        return tuple(dict.fromkeys(ink for side in self.sides for ink in side.inks))

    @cached_property
    def mass_kg(self) -> float:
        """Paper of one finished piece [kg]."""
        if self.kind == "section":
            leaf_kg = sheet_mass_kg(self.width_mm, self.height_mm, self.stock.grammage_gsm)
            return leaf_kg * self.pages / 2
        return sheet_mass_kg(self.flat_width_mm, self.flat_height_mm, self.stock.grammage_gsm)

    @cached_property
    def printed_area_m2(self) -> float:
        """Area that one side of one piece prints, bleed included [m2]."""
        width, height = (
            self.flat_width_mm + 2 * self.bleed_mm,
            self.flat_height_mm + 2 * self.bleed_mm,
        )
        return width * height / 1e6


def times_coverage(part: Part, times: float) -> Part:
    """Return a part with so many times the coverage of each of its inks, at most all of a side."""
    over = part.overprint
    return replace(
        part,
        front=part.front.times_coverage(times),
        back=part.back.times_coverage(times),
        overprint=over and (over[0].times_coverage(times), over[1].times_coverage(times)),
    )


def least_coverage(part: Part) -> float | None:
    """Return the least share that one of its inks is told to cover, None where none is told."""
    sides = [*part.sides, *(part.overprint or ())]
    told = [side.coverage for side in sides if side.inks]
    told += [share for side in sides for _, share in side.own_coverage]
    return min((share for share in told if share > 0), default=None)


@dataclass(frozen=True, slots=True)
class Previous:
    """What a press printed last, and still holds: its inks, and the id of the stock."""

    press: str
    inks: tuple[Ink, ...]
    stock: str


@dataclass(frozen=True, slots=True)
class Job:
    """A job: its parts, the quantities to price, and what holds for all parts.

    quantities: finished pieces, each 1..100,000,000
    uses: what the piece is for where that limits how it may be made ("food_contact", ...)
    previous: what single presses printed last; of the others nothing is known
    binding: how the parts are held together, None where they are not
    operations: what is done to the finished copies, packing included, in the order asked
    overs_share: copies to make and deliver beyond the quantity, as a share of it
    rush: whether the premium for rush work is asked
    drying_aid: whether drying is sped up as the plant can, for money
    """

    title: str
    quantities: tuple[int, ...]
    parts: tuple[Part, ...]
    quality: Quality = "commercial"
    proof: Proof = "none"
    uses: tuple[str, ...] = ()
    previous: tuple[Previous, ...] = ()
    binding: Binding | None = None
    operations: tuple[Operation, ...] = ()
    overs_share: float = 0.0
    rush: bool = False
    drying_aid: bool = False

    def previous_on(self, press: str) -> Previous | None:
        """What a press printed last, None where that is not known."""
        return next((each for each in self.previous if each.press == press), None)
