"""Paper and board as a plant buys it: a stock, the sheets it is sold in, what a sheet costs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Grain = Literal["long", "short"]


@dataclass(frozen=True, slots=True)
class ParentSheet:
    """A sheet as the merchant sells it.

    width_mm, height_mm: short and long side
    grain: which side the machine direction of the paper runs along
    price: money for one sheet, in the plant's currency
    source: where the price comes from
    """

    width_mm: float
    height_mm: float
    grain: Grain
    price: float
    source: str

    @property
    def name(self) -> str:
        """The size as the trade writes it, the side along the grain last."""
        short, long = f"{self.width_mm:g}", f"{self.height_mm:g}"
        return f"{short} x {long} mm" if self.grain == "long" else f"{long} x {short} mm"


@dataclass(frozen=True, slots=True)
class Stock:
    """One paper or board, whatever sheets it comes in.

    grade: what it is ("coated", "uncoated", "board", ...); an open list that the plant keeps
    finish: its surface ("gloss", "silk", "matt", "offset", ...)
    grammage_gsm, caliper_um: mass per area [g/m2] and thickness [um]
    sheets: parent sheets, at least one
    """

    id: str
    name: str
    grade: str
    finish: str
    grammage_gsm: float
    caliper_um: float
    sheets: tuple[ParentSheet, ...]

    @property
    def coated(self) -> bool:
        """Whether ink stays on a coating instead of sinking into the fibres."""
        return self.grade.startswith("coated")
