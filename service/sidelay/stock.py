"""What a plant prints on: a stock, the sheets, reels or pieces it is bought in, what they cost."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from .buying import Terms

Grain = Literal["long", "short"]


@dataclass(frozen=True, slots=True)
class ParentSheet:
    """A sheet as the merchant sells it.

    width_mm, height_mm: short and long side
    grain: which side the machine direction of the paper runs along
    price: money for one sheet, in the plant's currency; where there are price breaks, below them
    source: where the price comes from
    terms: how it is sold, in sheets; None for any number at the price
    """

    width_mm: float
    height_mm: float
    grain: Grain
    price: float
    source: str
    terms: Terms | None = None

    @property
    def name(self) -> str:
        """The size as the trade writes it, the side along the grain last."""
        short, long = f"{self.width_mm:g}", f"{self.height_mm:g}"
        return f"{short} x {long} mm" if self.grain == "long" else f"{long} x {short} mm"


@dataclass(frozen=True, slots=True)
class Reel:
    """A reel as the merchant sells it.

    width_mm, length_m: of the web on a full reel
    price_per_m2: money for a square metre, in the plant's currency; below any price breaks
    source: where the price comes from
    terms: how it is sold, in square metres; None for any number at the price
    """

    width_mm: float
    length_m: float
    price_per_m2: float
    source: str
    terms: Terms | None = None

    @property
    def name(self) -> str:
        """Width and length of the web."""
        return f"reel {self.width_mm:g} mm x {self.length_m:,.0f} m"


@dataclass(frozen=True, slots=True)
class Blank:
    """A piece bought whole, one printed piece each: a garment, a bottle, a carton.

    width_mm, height_mm: the area of it that can print
    price: money for one, below any price breaks
    terms: how it is sold, in pieces; None for any number at the price
    """

    label: str
    width_mm: float
    height_mm: float
    price: float
    source: str
    terms: Terms | None = None

    @property
    def name(self) -> str:
        """What it is called."""
        return self.label


Supply = ParentSheet | Reel | Blank


def terms_of(supply: Supply) -> Terms:
    """How a supply is sold, its price always among it: sheets, square metres or pieces.

    Raises ValueError where its terms start at another price than its own.
    """
    price = supply.price_per_m2 if isinstance(supply, Reel) else supply.price
    terms = supply.terms or Terms()
    if not terms.tiers:
        return replace(terms, tiers=((0.0, price),))
    if terms.tiers[0][1] != price:
        raise ValueError(f"{supply.name} costs {price:g}, its terms start at {terms.tiers[0][1]:g}")
    return terms


def sold_in(supply: Supply) -> str:
    """What a supply is counted in when it is bought."""
    return "m2" if isinstance(supply, Reel) else "pieces" if isinstance(supply, Blank) else "sheets"


@dataclass(frozen=True, slots=True)
class Stock:
    """One substrate, whatever it is bought in: sheets, reels, pieces; at least one of them.

    grade: what it is ("coated", "uncoated", "film", ...); an open list that the plant keeps
    finish: its surface ("gloss", "silk", "matt", "offset", ...)
    grammage_gsm, caliper_um: mass per area [g/m2] and thickness [um]
    tone: "dark" where light ink needs a white under it
    treated: whether the surface takes aqueous ink (inkjet papers) or any ink at all (corona-treated
        film)
    lead_days: working days from order until it is in the house; 0 for what is kept on the shelf
    """

    id: str
    name: str
    grade: str
    finish: str
    grammage_gsm: float
    caliper_um: float
    sheets: tuple[ParentSheet, ...] = ()
    reels: tuple[Reel, ...] = ()
    blanks: tuple[Blank, ...] = ()
    tone: Literal["light", "dark"] = "light"
    treated: bool = False
    lead_days: float = 0.0

    @property
    def coated(self) -> bool:
        """Whether ink stays on a coating instead of sinking into the fibres.

        Board that is coated on the side to be printed is told by its finish: folding boxboard.
        """
        return self.grade.startswith("coated") or self.finish.startswith("coated")

    @property
    def price(self) -> float:
        """Money for what it is bought in first, to tell the cheaper of two alike."""
        priced = [
            *(sheet.price for sheet in self.sheets),
            *(reel.price_per_m2 for reel in self.reels),
            *(blank.price for blank in self.blanks),
        ]
        return priced[0]
