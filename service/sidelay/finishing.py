"""Cutting and folding: the machines, and the steps of a part with their time and their waste.

A step is one operation on one unit (a parent sheet, a press sheet, a piece). Waste chains
backwards: what goes in is what must come out, plus a running share of it, plus a fixed set-up.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from .job import Part
from .work import Finding, Layout

Unit = Literal["parent", "sheet", "piece"]
MM_PER_M = 1000.0
SAME_MM = 1.0  # sides that differ by less are the same side, trimmed


@dataclass(frozen=True, slots=True)
class Guillotine:
    """The cutter. A lift is as many sheets as go under the knife at once.

    lift_mm: height of a lift
    first_two_cuts_min, further_cut_min: minutes a lift
    set_up_waste_sheets, running_waste: spoiled press sheets, fixed and as a share
    """

    cost_centre: str
    set_up_min: float
    lift_mm: float
    first_two_cuts_min: float
    further_cut_min: float
    set_up_waste_sheets: int
    running_waste: float
    source: str

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

    def pieces_per_hour(self, part: Part) -> float:
        """Speed over the length of the piece and the gap behind it.

        Source: Bindagraphics trade bindery column (tests/reference, case FN02).
        """
        speed = self.right_angle_m_per_min if crosses(part) else self.parallel_m_per_min
        length_m = max(part.flat_width_mm, part.flat_height_mm) / MM_PER_M
        return speed / (length_m * (1 + self.gap_share)) * 60


@dataclass(frozen=True, slots=True)
class Bindery:
    """The finishing machines of a plant."""

    guillotine: Guillotine
    folder: Folder


@dataclass(frozen=True, slots=True)
class Step:
    """One finishing operation on the way from press sheet to finished piece.

    unit: what goes in
    set_up_min: once; minutes: for each `per` units that go in, begun ones counted whole
    set_up_waste, running_waste: units spoiled, fixed and as a share of those that come out
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


def crosses(part: Part) -> bool:
    """Whether the folds cross: no side of the finished piece is a side of the flat one."""
    flat = part.flat_width_mm, part.flat_height_mm
    finished = part.width_mm, part.height_mm
    shared = any(abs(one - other) <= SAME_MM for one in flat for other in finished)
    return part.folds > 1 and not shared


def findings(part: Part, bindery: Bindery) -> list[Finding]:
    """Return what stands against finishing a part in this bindery, whatever the press."""
    if part.folds == 0:
        return []
    folder, found = bindery.folder, []
    flat = sorted((part.flat_width_mm, part.flat_height_mm))
    limits = sorted((folder.max_width_mm, folder.max_length_mm))
    if flat[0] > limits[0] or flat[1] > limits[1]:
        found.append(
            Finding(
                "limit",
                "fold_size",
                "the flat piece is larger than the folder takes",
                f"{flat[0]:g} x {flat[1]:g}",
                f"{limits[0]:g} x {limits[1]:g}",
                "mm",
                f"fold a flat size up to {limits[0]:g} x {limits[1]:g} mm",
            )
        )
    found += _fold_limits(part, folder)
    return found


def _fold_limits(part: Part, folder: Folder) -> list[Finding]:
    found = []
    grammage = part.stock.grammage_gsm
    if part.folds > folder.max_folds:
        found.append(
            Finding(
                "limit",
                "fold_count",
                "the folder has not that many stations",
                part.folds,
                folder.max_folds,
                "folds",
                f"use at most {folder.max_folds} folds",
            )
        )
    if grammage > folder.max_grammage_gsm:
        found.append(
            Finding(
                "limit",
                "fold_grammage",
                "the stock is too heavy for the folder",
                grammage,
                folder.max_grammage_gsm,
                "g/m2",
                f"choose a stock up to {folder.max_grammage_gsm:g} g/m2",
            )
        )
    elif grammage > folder.score_above_gsm:
        found.append(
            Finding(
                "caution",
                "score_first",
                "stock this heavy may crack at the fold",
                grammage,
                folder.score_above_gsm,
                "g/m2",
                "have it scored first (not in this price) or choose a lighter stock",
            )
        )
    return found


def steps(part: Part, layout: Layout, bindery: Bindery) -> tuple[Step, ...]:
    """Return the steps of a part on a layout, in the order of production."""
    found = []
    if layout.out > 1:
        found.append(_cut_parents(part, layout, bindery.guillotine))
    if _needs_cutting(part, layout):
        found.append(_cut_pieces(part, layout, bindery.guillotine))
    if part.folds:
        found.append(_fold(part, bindery.folder))
    return tuple(found)


def _needs_cutting(part: Part, layout: Layout) -> bool:
    sheet, piece = (
        sorted((layout.width_mm, layout.length_mm)),
        sorted((part.flat_width_mm, part.flat_height_mm)),
    )
    return layout.up > 1 or sheet != piece


def _cut_parents(part: Part, layout: Layout, cutter: Guillotine) -> Step:
    cuts = layout.parts_across + layout.parts_along - 2
    lift = cutter.sheets_per_lift(part.stock.caliper_um)
    because = f"{layout.out} press sheets out of each parent in {cuts} cuts, {lift} parents a lift"
    return Step(
        "cut_parents",
        "parent",
        cutter.cost_centre,
        cutter.set_up_min,
        cutter.minutes_per_lift(cuts),
        lift,
        0,
        0.0,
        because,
        cutter.source,
    )


def _cut_pieces(part: Part, layout: Layout, cutter: Guillotine) -> Step:
    cuts = layout.cuts(gutter_between=part.bleed_mm > 0 or part.gutter_mm > 0)
    lift = cutter.sheets_per_lift(part.stock.caliper_um)
    because = f"{layout.up} up in {cuts} cuts, {lift} sheets a lift"
    return Step(
        "cut",
        "sheet",
        cutter.cost_centre,
        cutter.set_up_min,
        cutter.minutes_per_lift(cuts),
        lift,
        cutter.set_up_waste_sheets,
        cutter.running_waste,
        because,
        cutter.source,
    )


def _fold(part: Part, folder: Folder) -> Step:
    rate = folder.pieces_per_hour(part)
    kind = "crossing" if crosses(part) else "parallel"
    because = f"{part.folds} {kind} fold(s) at {rate:,.0f} pieces an hour"
    return Step(
        "fold",
        "piece",
        folder.cost_centre,
        folder.set_up_min + part.folds * folder.set_up_min_per_fold,
        60 / rate,
        1,
        part.folds * folder.set_up_waste_pieces_per_fold,
        folder.running_waste,
        because,
        folder.source,
    )
