"""What is wanted: a printed piece, how many, and how good. Lengths in mm, frozen and hashable."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from .paper import sheet_mass_kg
from .stock import Stock

InkKind = Literal["process", "spot", "metallic", "fluorescent", "white"]
Quality = Literal["draft", "office", "commercial", "fine"]
Proof = Literal["none", "soft", "contract", "press"]
GrainWish = Literal["any", "long", "short"]

PROCESS_INKS = ("cyan", "magenta", "yellow", "black")
QUALITIES: tuple[str, ...] = get_args(Quality)


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
    coverage: share of the area that each ink covers on average, 0..1
    """

    inks: tuple[Ink, ...] = ()
    coverage: float = 0.0


@dataclass(frozen=True, slots=True)
class Part:
    """One component of the job, on its own stock.

    kind: "leaf", a flat or folded sheet
    width_mm, height_mm: finished size, folded
    flat_width_mm, flat_height_mm: trimmed size before folding
    pages: two for each panel of the flat piece
    folds: number of folds
    bleed_mm: how far the image runs over each trimmed edge
    gutter_mm: space between neighbours on the sheet, beyond their bleed
    grain: side of the flat piece that the grain must follow
    ruling_lpi: halftone lines an inch
    variable_share: share of the pieces' area that differs from piece to piece, 0..1
    """

    name: str
    kind: str
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

    @property
    def sides(self) -> tuple[Side, ...]:
        """The sides that carry ink, front first."""
        return tuple(side for side in (self.front, self.back) if side.inks)

    @property
    def inks(self) -> tuple[Ink, ...]:
        """Every ink of the part once, in the order of first use."""
        return tuple(dict.fromkeys(ink for side in self.sides for ink in side.inks))

    @property
    def mass_kg(self) -> float:
        """Paper of one finished piece [kg]."""
        return sheet_mass_kg(self.flat_width_mm, self.flat_height_mm, self.stock.grammage_gsm)

    @property
    def printed_area_m2(self) -> float:
        """Area that one side of one piece prints, bleed included [m2]."""
        width, height = (
            self.flat_width_mm + 2 * self.bleed_mm,
            self.flat_height_mm + 2 * self.bleed_mm,
        )
        return width * height / 1e6


@dataclass(frozen=True, slots=True)
class Job:
    """A job: its parts, the quantities to price, and what holds for all parts.

    quantities: finished pieces, each 1..100,000,000
    uses: what the piece is for where that limits how it may be made ("food_contact", ...)
    """

    title: str
    quantities: tuple[int, ...]
    parts: tuple[Part, ...]
    quality: Quality = "commercial"
    proof: Proof = "none"
    uses: tuple[str, ...] = ()
