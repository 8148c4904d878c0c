"""The finishing machines of a plant, and a step of finishing with its time, waste and money."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from .job import Part
from .work import Kind

Unit = Literal["parent", "sheet", "piece", "copy"]
MM_PER_M = 1000.0
SAME_MM = 1.0  # sides that differ by less are the same side, trimmed


@dataclass(frozen=True, slots=True)
class Guillotine:
    """The cutter. A lift is as many sheets as go under the knife at once.

    lift_mm: height of a lift
    first_two_cuts_min, further_cut_min: minutes a lift
    set_up_waste_sheets, running_waste: spoiled press sheets, fixed and as a share
    max_width_mm, max_caliper_um: widest sheet and thickest stock that goes under the knife
    """

    cost_centre: str
    set_up_min: float
    lift_mm: float
    first_two_cuts_min: float
    further_cut_min: float
    set_up_waste_sheets: int
    running_waste: float
    source: str
    max_width_mm: float = 1150.0
    max_caliper_um: float = 1500.0

    def takes(self, width_mm: float, length_mm: float, caliper_um: float) -> bool:
        """Whether a sheet of this size and thickness goes under the knife."""
        fits = max(width_mm, length_mm) <= self.max_width_mm
        return fits and caliper_um <= self.max_caliper_um

    def minutes_per_lift(self, cuts: int) -> float:
        """Minutes for one lift; handbook form: two cuts at one figure, each further cut at another.

        bvdm training tables 2008 (Mediencommunity course LE03): 5.0 and 0.4, so 8 cuts take 7.4.
        """
        return self.first_two_cuts_min + max(cuts - 2, 0) * self.further_cut_min

    def sheets_per_lift(self, caliper_um: float) -> int:
        """Sheets of this caliper in one lift, at least one."""
        return max(1, int(self.lift_mm * 1000 / caliper_um))


@dataclass(frozen=True, slots=True)
class Folder:
    """The buckle or knife folder.

    parallel_m_per_min, right_angle_m_per_min: planning speed of the sheets
    gap_share: space between sheets, as a share of their length
    max_length_mm, max_width_mm: largest flat sheet; max_grammage_gsm: heaviest; max_folds
    score_above_gsm: heavier stock should be scored before it is folded
    max_fold_um: thickness of all layers that the last fold bends
    """

    cost_centre: str
    set_up_min: float
    set_up_min_per_fold: float
    parallel_m_per_min: float
    right_angle_m_per_min: float
    gap_share: float
    set_up_waste_pieces_per_fold: int
    running_waste: float
    max_length_mm: float
    max_width_mm: float
    max_grammage_gsm: float
    max_folds: int
    score_above_gsm: float
    source: str
    max_fold_um: float = 1050.0

    def pieces_per_hour(self, part: Part) -> float:
        """Speed over the length of the piece and the gap behind it.

        Source: Bindagraphics trade bindery column (tests/reference, case FN02).
        """
        speed = self.right_angle_m_per_min if crosses(part) else self.parallel_m_per_min
        length_m = max(part.flat_width_mm, part.flat_height_mm) / MM_PER_M
        return speed / (length_m * (1 + self.gap_share)) * 60


@dataclass(frozen=True, slots=True)
class Slitter:
    """The slitter rewinder that makes finished reels; it can die-cut what the press did not.

    m_per_min, die_m_per_min: web speed, and the same while dies cut labels
    set_up_min, die_set_up_min: minutes once; the die's come on top
    min_per_reel: to take a finished reel off and start the next core
    core_price, die_price: money for a core, and for the die of a job
    set_up_waste_m: web spoiled at set-up; running_waste: share of the repeats
    """

    cost_centre: str
    set_up_min: float
    die_set_up_min: float
    m_per_min: float
    die_m_per_min: float
    min_per_reel: float
    core_price: float
    die_price: float
    set_up_waste_m: float
    running_waste: float
    source: str


@dataclass(frozen=True, slots=True)
class TableCutter:
    """A knife or router on a table: rolls, boards and whatever the guillotine cannot take.

    m_per_min: of cut; min_per_sheet: to lay a sheet and lift its pieces
    """

    cost_centre: str
    set_up_min: float
    m_per_min: float
    min_per_sheet: float
    source: str


@dataclass(frozen=True, slots=True)
class Deboss:
    """Blind debossing bought out: how a flat print gets a deep impression afterwards.

    grades, min_caliper_um: stocks that hold a deep impression

    die_price_per_cm2, least_die_price: money for the die; die_share: share of the piece it covers
    price_set_up, price_per_1000: money for the work
    """

    die_price_per_cm2: float
    least_die_price: float
    die_share: float
    price_set_up: float
    price_per_1000: float
    running_waste: float
    grades: tuple[str, ...]
    min_caliper_um: float
    source: str


@dataclass(frozen=True, slots=True)
class Bindery:
    """The finishing machines of a plant, and what it buys out; None for what it has not."""

    guillotine: Guillotine
    folder: Folder
    slitter: Slitter | None = None
    deboss: Deboss | None = None
    table_cutter: TableCutter | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One finishing operation on the way from press sheet to finished piece.

    unit: what goes in
    set_up_min: once; minutes: for each `per` units that go in, begun ones counted whole
    set_up_waste, running_waste: units spoiled, fixed and as a share of those that come out
    tool_price: money for a tool that is kept for the next run: a die
    set_up_price, price: money once, and for each `per` units: cores, work bought out
    kind: what that money is for the price policy
    machine: id of the machine, or of what is bought out; "" where the plant has but one
    crew: people at it, whom the rate of the cost centre pays
    least_min: least minutes charged for running it
    least_price: least money bought out, its set-up in it and its tool apart
    lead_days: working days until bought-out work is back, or until its tool is there
    material: what the money for each `per` units buys, where it is no work bought out
    """

    name: str
    unit: Unit
    cost_centre: str
    set_up_min: float
    minutes: float
    per: int
    set_up_waste: int
    running_waste: float
    because: str
    source: str
    tool_price: float = 0.0
    set_up_price: float = 0.0
    price: float = 0.0
    kind: Kind = "material"
    machine: str = ""
    crew: float = 1.0
    least_min: float = 0.0
    least_price: float = 0.0
    lead_days: float = 0.0
    material: str = "material"


def crosses(part: Part) -> bool:
    """Whether the folds cross: no side of the finished piece is a side of the flat one.

    Of a section it is known: its pages lie in several columns and several rows.
    """
    if part.kind == "section":
        columns, rows = part.flat_width_mm / part.width_mm, part.flat_height_mm / part.height_mm
        return round(columns) > 1 and round(rows) > 1
    flat = part.flat_width_mm, part.flat_height_mm
    finished = part.width_mm, part.height_mm
    shared = any(abs(one - other) <= SAME_MM for one in flat for other in finished)
    return part.folds > 1 and not shared
