"""How far a price in a list lies from the one in a plant file, whatever units they are told in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..paper import KG_PER_PRICE_UNIT, price_per_sheet
from ..paper_sizes import named_size
from ..stock_schema import SQUARE_METRE

PIECE = "piece"


@dataclass(frozen=True, slots=True)
class PriceMove:
    """A price of the list that differs from the plant's.

    what: the sheet, reel or blank; old, new: as they are written, each for its unit
    ratio: what one sheet, square metre or piece costs by the new against the old; infinite where
        the old is nothing
    """

    stock: str
    what: str
    old: float
    old_unit: str
    new: float
    new_unit: str
    ratio: float

    @property
    def times(self) -> float:
        """How many times dearer or cheaper, 1 or more."""
        return max(self.ratio, 1 / self.ratio) if self.ratio else float("inf")

    def __str__(self) -> str:
        """Say it in one line: "1180 to 1240 a tonne, +5.1 %"."""
        old_unit, new_unit = (unit.replace("_", " ") for unit in (self.old_unit, self.new_unit))
        before = f"{self.old:g}" if old_unit == new_unit else f"{self.old:g} a {old_unit}"
        share = f"{(self.ratio - 1) * 100:+.1f} %" if self.old else "from nothing"
        return f"{before} to {self.new:g} a {new_unit}, {share}"


def price_move(
    stock: Mapping[str, Any],
    kind: str,
    supply: Mapping[str, Any],
    had: Mapping[str, Any],
    told: Mapping[str, Any],
) -> PriceMove | None:
    """Return how a price moves, None where it does not.

    had, told: price and price_unit of the plant and of the list
    Raises ValueError for a unit that such a thing is not priced by.
    """
    unit = told.get("price_unit", had["price_unit"])
    old = _of_one(kind, supply, stock, had["price"], had["price_unit"])
    new = _of_one(kind, supply, stock, told["price"], unit)
    if new == old:
        return None
    ratio = new / old if old else float("inf")
    units = (PIECE, PIECE) if kind == "blanks" else (had["price_unit"], unit)
    what = supply_name(kind, supply)
    return PriceMove(
        str(stock["id"]), what, had["price"], units[0], told["price"], units[1], ratio
    )


def _of_one(
    kind: str, supply: Mapping[str, Any], stock: Mapping[str, Any], price: float, unit: str
) -> float:
    """Return the price of one sheet, of a square metre of a reel, or of one piece."""
    if kind == "blanks" or (kind == "reels" and unit == SQUARE_METRE):
        return float(price)
    grammage = stock["grammage_gsm"]
    if kind == "sheets":
        sides = named_size(supply["size"]) if "size" in supply else None
        width, height = sides or (supply["width_mm"], supply["height_mm"])
        return price_per_sheet(price, unit, width, height, grammage)
    if unit not in KG_PER_PRICE_UNIT:
        known = ", ".join((*KG_PER_PRICE_UNIT, SQUARE_METRE))
        raise ValueError(f"reels are priced by {known}, not {unit}")
    return float(price * grammage / 1000 / KG_PER_PRICE_UNIT[unit])


def supply_name(kind: str, supply: Mapping[str, Any]) -> str:
    """Return what a sheet, reel or blank is told by."""
    if kind == "blanks":
        return str(supply["label"])
    if "size" in supply:
        return f"{supply['size']} {supply['grain']}"
    if kind == "sheets":
        return f"{supply['width_mm']:g} x {supply['height_mm']:g} mm {supply['grain']}"
    return f"reel {supply['width_mm']:g} mm"
