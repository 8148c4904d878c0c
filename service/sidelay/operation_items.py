"""What goes into a finishing machine: a printed sheet, a flat or folded piece, a finished copy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .job import Part
from .paper import sheet_mass_kg
from .work import Layout


@dataclass(frozen=True, slots=True)
class Item:
    """What goes into a machine: a sheet, a piece or a copy.

    width_mm, length_mm: across the machine and in the direction of travel
    caliper_um, mass_kg: thickness of all its leaves together, and mass, of one
    grammage_gsm, grade, finish: of its stock; of a copy, of its heaviest part
    pieces: pieces on it, 1 for a piece
    piece_area_m2, piece_perimeter_mm: of one flat piece, one side
    leaves: leaves on top of one another, 1 where it is flat
    """

    width_mm: float
    length_mm: float
    caliper_um: float
    grammage_gsm: float
    mass_kg: float
    grade: str
    finish: str
    pieces: int
    piece_area_m2: float
    piece_perimeter_mm: float
    leaves: int = 1

    @property
    def area_m2(self) -> float:
        """Area of one side of it [m2]."""
        return self.width_mm * self.length_mm / 1e6


def sheet_item(part: Part, layout: Layout) -> Item:
    """Return one printed sheet of a part, as it leaves the press."""
    stock = part.stock
    mass_kg = sheet_mass_kg(layout.width_mm, layout.length_mm, stock.grammage_gsm)
    return Item(
        layout.width_mm,
        layout.length_mm,
        stock.caliper_um,
        stock.grammage_gsm,
        mass_kg,
        stock.grade,
        stock.finish,
        layout.up,
        *_outline(part),
    )


def flat_item(part: Part) -> Item:
    """Return one flat piece of a part, its long side in the direction of travel."""
    size = part.flat_width_mm, part.flat_height_mm
    mass_kg = sheet_mass_kg(*size, part.stock.grammage_gsm)
    return _piece(part, size, mass_kg, 1)


def folded_item(part: Part) -> Item:
    """Return one finished piece of a part, folded where it has folds; as it is where it has none.

    Two pages are one leaf of its thickness.
    """
    return _piece(part, (part.width_mm, part.height_mm), part.mass_kg, max(1, part.pages // 2))


def copy_item(parts: Sequence[Part]) -> Item:
    """Return one finished copy of a job: its parts on top of one another, the largest outside.

    Raises ValueError where there is no part.
    """
    if not parts:
        raise ValueError("a copy needs a part at least")
    pieces = [folded_item(part) for part in parts]
    copies = [part.per_copy for part in parts]
    outer = max(pieces, key=lambda item: item.area_m2)
    heaviest = max(pieces, key=lambda item: item.grammage_gsm)
    both = list(zip(pieces, copies, strict=True))
    return Item(
        max(item.width_mm for item in pieces),
        max(item.length_mm for item in pieces),
        sum(item.caliper_um * count for item, count in both),
        heaviest.grammage_gsm,
        sum(item.mass_kg * count for item, count in both),
        heaviest.grade,
        heaviest.finish,
        1,
        outer.area_m2,
        2 * (outer.width_mm + outer.length_mm),
        sum(item.leaves * count for item, count in both),
    )


def _piece(part: Part, size: tuple[float, float], mass_kg: float, leaves: int) -> Item:
    stock, (width_mm, length_mm) = part.stock, sorted(size)
    return Item(
        width_mm,
        length_mm,
        stock.caliper_um * leaves,
        stock.grammage_gsm,
        mass_kg,
        stock.grade,
        stock.finish,
        1,
        *_outline(part),
        leaves,
    )


def _outline(part: Part) -> tuple[float, float]:
    """Area [m2] and perimeter [mm] of one flat piece."""
    width_mm, height_mm = part.flat_width_mm, part.flat_height_mm
    return width_mm * height_mm / 1e6, 2 * (width_mm + height_mm)
