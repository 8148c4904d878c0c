"""Paper arithmetic: grammage, basis weight, caliper, mass and the price of a sheet.

Every function is one published rule on plain numbers. Arguments carry their unit in their name;
sizes are width then height, and their order never changes a result. A figure that cannot be
negative or nought raises ValueError naming the argument. Case ids (PW03) refer to
tests/reference/cases/paper.json, where each has its source.

A North American basis weight is the weight in pounds of 500 sheets of the grade's own basic size,
so 60 lb text and 60 lb cover are different papers. Grammage is the same for all.
"""

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal, get_args

from .paper_sizes import MM_PER_INCH as MM_PER_INCH
from .paper_sizes import SIZES_MM as SIZES_MM
from .paper_sizes import UnknownSize as UnknownSize
from .paper_sizes import named_size as named_size

KG_PER_LB = 0.45359237  # international pound, exact
M2_PER_IN2 = (MM_PER_INCH / 1000) ** 2
REAM_SHEETS = 500
# g/m2 x in2 per lb on a 500-sheet ream: 1406.14. The trade prints 1406.5, which is 0.026 % high.
GSM_IN2_PER_LB = KG_PER_LB * 1000 / (REAM_SHEETS * M2_PER_IN2)

Basis = str | tuple[float, float]
PriceUnit = Literal["tonne", "kilogram", "hundredweight", "sheet", "thousand_sheets"]
PRICE_UNITS: tuple[str, ...] = get_args(PriceUnit)

# Basic sizes by grade. Source: PrintWiki "Grammage"; Xerox paper guide p. A-2; Sylvamo.
# One list gives vellum bristol as 22.5 x 30.5: check the grade when a bristol is quoted.
BASIS_SIZES_IN: Mapping[str, tuple[float, float]] = MappingProxyType(
    dict.fromkeys(("bond", "ledger", "writing"), (17.0, 22.0))
    | {"cover": (20.0, 26.0), "bristol": (22.5, 28.5), "index": (25.5, 30.5)}
    | dict.fromkeys(("tag", "newsprint", "kraft", "coated_board"), (24.0, 36.0))
    | dict.fromkeys(("text", "book", "offset", "coated_book"), (25.0, 38.0))
)

# Bulk ("volume") where a stock's own caliper is not known. Source: kawidruck.de guide to block
# thickness (case SW08); bulky book paper runs from 1.2 to 1.75, from memory.
BULK_CM3_PER_G: Mapping[str, float] = MappingProxyType(
    {"gloss_coated": 0.9, "matt_coated": 1.0, "uncoated": 1.1, "board": 1.1, "bulky_book": 1.5}
)

# The hundredweight is the North American short one, 100 lb, not the British 112 lb.
KG_PER_PRICE_UNIT: Mapping[str, float] = MappingProxyType(
    {"tonne": 1000.0, "kilogram": 1.0, "hundredweight": 100 * KG_PER_LB}
)


class UnknownBasis(ValueError):  # noqa: N818  (a finding about the job, not a fault of the program)
    """The grade named for a basis weight has no basic size here; the message lists the grades."""


def require_positive(**figures: float) -> None:
    """Raise ValueError naming the first figure that is not a finite number greater than 0."""
    for name, figure in figures.items():
        if not (figure > 0 and math.isfinite(figure)):
            raise ValueError(f"{name} must be a finite number greater than 0, not {figure!r}")


def whole_down(count: float) -> int:
    """Whole units in `count`; a billionth short of a whole number is float noise and counts."""
    return math.floor(count + 1e-9 * max(1.0, abs(count)))


# Grammage and basis weight ------------------------------------------------------------------------


def basic_area_in2(basis: Basis) -> float:
    """Area [in2] of the basic size: a grade name of BASIS_SIZES_IN, or the size itself in inches.

    Raises UnknownBasis for a grade not listed, ValueError for a size that is not positive.
    """
    if isinstance(basis, str):
        try:
            width_in, height_in = BASIS_SIZES_IN[basis.strip().lower().replace(" ", "_")]
        except KeyError:
            known = ", ".join(BASIS_SIZES_IN)
            raise UnknownBasis(f"no basic size is known for {basis!r}; known: {known}") from None
    else:
        width_in, height_in = basis
    require_positive(basic_width_in=width_in, basic_height_in=height_in)
    return width_in * height_in


def grammage_from_basis_weight(
    basis_weight_lb: float, basis: Basis, *, ream_sheets: int = REAM_SHEETS
) -> float:
    """Grammage [g/m2] of a paper whose ream of the basic size weighs `basis_weight_lb`.

    ream_sheets: 500, customary; 480 occurs (TAPPI T 410 om-19, scope).
    Source: definition of basis weight with the exact pound and inch. Printed tables use 1406.5
    for 1406.14 and come out 0.026 % higher (cases PW03, PW08).
    """
    require_positive(basis_weight_lb=basis_weight_lb, ream_sheets=ream_sheets)
    return basis_weight_lb * GSM_IN2_PER_LB / basic_area_in2(basis) * (REAM_SHEETS / ream_sheets)


def basis_weight_from_grammage(
    grammage_gsm: float, basis: Basis, *, ream_sheets: int = REAM_SHEETS
) -> float:
    """Basis weight [lb per ream] of a grammage; the inverse of grammage_from_basis_weight.

    The answer is exact, not the merchant's nominal figure: 118 g/m2 is 79.7, sold as 80 lb text.
    Source: as grammage_from_basis_weight; case PW02.
    """
    require_positive(grammage_gsm=grammage_gsm, ream_sheets=ream_sheets)
    return grammage_gsm * basic_area_in2(basis) / GSM_IN2_PER_LB * (ream_sheets / REAM_SHEETS)


def grammage_by_factor(basis_weight_lb: float, gsm_per_lb: float) -> float:
    """Grammage [g/m2] by a factor printed in a mill's own table (2.7042 for cover, say).

    Use it to agree with that mill's figures; grammage_from_basis_weight is the exact way.
    Source: Xerox paper guide p. A-2 (case PW10).
    """
    require_positive(basis_weight_lb=basis_weight_lb, gsm_per_lb=gsm_per_lb)
    return basis_weight_lb * gsm_per_lb


def basis_weight_by_factor(grammage_gsm: float, lb_per_gsm: float) -> float:
    """Basis weight [lb] by a factor printed in a mill's own table (0.675 for book, say).

    Source: PrintWiki "Grammage" (case PW12).
    """
    require_positive(grammage_gsm=grammage_gsm, lb_per_gsm=lb_per_gsm)
    return grammage_gsm * lb_per_gsm


def board_grammage_gsm(lb_per_1000_ft2: float) -> float:
    """Grammage [g/m2] of board sold by pounds per 1,000 square feet: 4.8824 x the figure.

    Source: exact units. PrintWiki prints the factor as 4.831, which is a slip.
    """
    require_positive(lb_per_1000_ft2=lb_per_1000_ft2)
    return lb_per_1000_ft2 * KG_PER_LB / (144 * M2_PER_IN2)


def grammage_from_sheets(mass_kg: float, sheets: float, width_mm: float, height_mm: float) -> float:
    """Grammage [g/m2] of `sheets` sheets that weigh `mass_kg`: kilograms per 1,000, for instance.

    Source: definition of grammage; the Japanese "renryo" states stock this way (case PW31).
    """
    require_positive(mass_kg=mass_kg, sheets=sheets, width_mm=width_mm, height_mm=height_mm)
    return mass_kg * 1e9 / (sheets * width_mm * height_mm)


# Caliper and thickness ----------------------------------------------------------------------------


def caliper_um(grammage_gsm: float, bulk_cm3_per_g: float) -> float:
    """Thickness of one sheet [um] from grammage and bulk, which the trade calls volume.

    Mills allow 5 % either way (stodioo), 5 to 7 % (McNeal Graphics).
    Source: bvdm / R. Zimmer, Technische Mathematik, 12.5: mm = g/m2 x volume / 1000 (case PW33).
    """
    require_positive(grammage_gsm=grammage_gsm, bulk_cm3_per_g=bulk_cm3_per_g)
    return grammage_gsm * bulk_cm3_per_g


def bulk_cm3_per_g(grammage_gsm: float, caliper_um: float) -> float:
    """Bulk [cm3/g] of a sheet whose caliper was measured; the inverse of caliper_um.

    Source: as caliper_um.
    """
    require_positive(grammage_gsm=grammage_gsm, caliper_um=caliper_um)
    return caliper_um / grammage_gsm


def pages_per_inch(caliper_um: float) -> float:
    """Pages in an inch of book block, two to a leaf: PPI = 2 / caliper in inches.

    Source: Patterson Printing's table (.0039 in gives 515 there, 512.8 by the formula).
    """
    require_positive(caliper_um=caliper_um)
    return 2 * MM_PER_INCH * 1000 / caliper_um


def stack_thickness_mm(sheets: float, caliper_um: float) -> float:
    """Height [mm] of a pile of sheets or leaves, uncompressed.

    Source: kawidruck.de, block thickness (cases SW05, SW08).
    """
    require_positive(sheets=sheets, caliper_um=caliper_um)
    return sheets * caliper_um / 1000


def sheets_in_stack(stack_mm: float, caliper_um: float) -> int:
    """Whole sheets in a pile of the given height [mm].

    Source: bvdm / R. Zimmer, Technische Mathematik, 12.5 (case PW33, truncated there too).
    """
    require_positive(stack_mm=stack_mm, caliper_um=caliper_um)
    return whole_down(stack_mm * 1000 / caliper_um)


def spine_mm(
    pages: int,
    caliper_um: float,
    *,
    cover_caliper_um: float = 0.0,
    cover_leaves: int = 2,
    score_allowance_mm: float = 0.0,
) -> float:
    """Thickness [mm] of a book over its spine: text leaves, cover leaves, allowance for scoring.

    cover_caliper_um: 0 gives the block alone. Patterson Printing rounds to the nearest 1/32 in.
    Source: Patterson Printing; Mediencommunity LE05 3.1; Printprinz (cases SW01 to SW05).
    """
    block_mm = stack_thickness_mm(pages / 2, caliper_um)
    return block_mm + cover_leaves * cover_caliper_um / 1000 + score_allowance_mm


def nearest_32nd_in(length_mm: float) -> float:
    """A length in inches to the nearest 1/32, as cover drawings give a spine.

    Source: Patterson Printing (case SW01).
    """
    require_positive(length_mm=length_mm)
    return math.floor(length_mm / MM_PER_INCH * 32 + 0.5) / 32


# Mass, metric -------------------------------------------------------------------------------------


def sheet_mass_kg(width_mm: float, height_mm: float, grammage_gsm: float) -> float:
    """Mass of one sheet [kg].

    Source: definition of grammage.
    """
    require_positive(width_mm=width_mm, height_mm=height_mm, grammage_gsm=grammage_gsm)
    return width_mm * height_mm * grammage_gsm / 1e9


def mass_per_1000_kg(width_mm: float, height_mm: float, grammage_gsm: float) -> float:
    """Mass of 1,000 sheets [kg]: g/m2 x width x height in metres.

    Source: definition of grammage; the same figure is the Japanese "renryo" (case PW31).
    """
    return 1000 * sheet_mass_kg(width_mm, height_mm, grammage_gsm)


def ream_mass_kg(
    width_mm: float, height_mm: float, grammage_gsm: float, *, ream_sheets: int = REAM_SHEETS
) -> float:
    """Mass of a ream [kg]. The handbook's in x in x g/m2 / 3100 is this to four figures.

    Source: definition of grammage; a published paper calculation sheet for the 3100.
    """
    require_positive(ream_sheets=ream_sheets)
    return ream_sheets * sheet_mass_kg(width_mm, height_mm, grammage_gsm)


def sheets_from_mass(mass_kg: float, width_mm: float, height_mm: float, grammage_gsm: float) -> int:
    """Whole sheets of a size in a mass of paper, on a pallet or sheeted from a reel.

    Source: bvdm / R. Zimmer, Technische Mathematik, 12.5 (case PW34); case PW27 for a reel.
    """
    require_positive(mass_kg=mass_kg)
    return whole_down(mass_kg / sheet_mass_kg(width_mm, height_mm, grammage_gsm))


def area_m2_from_mass(mass_kg: float, grammage_gsm: float) -> float:
    """Area [m2] of one side of a mass of paper or film.

    Source: definition of grammage; used for ink on film in case IK10.
    """
    require_positive(mass_kg=mass_kg, grammage_gsm=grammage_gsm)
    return mass_kg * 1000 / grammage_gsm


def product_mass_kg(pages: int, width_mm: float, height_mm: float, grammage_gsm: float) -> float:
    """Mass [kg] of one copy from its pages at trimmed size, two pages to a leaf; ink left out.

    Add the cover with a second call. Source: Printprinz, weight of a printed piece (case PW36).
    """
    require_positive(pages=pages)
    return pages / 2 * sheet_mass_kg(width_mm, height_mm, grammage_gsm)


def order_weight(weight_per_1000: float, sheets: float) -> float:
    """Weight of an order in the unit of `weight_per_1000` (M weight in lb, or kg per 1,000).

    Source: Graphic Communications (2010), p. 394 (case PW13).
    """
    require_positive(weight_per_1000=weight_per_1000, sheets=sheets)
    return weight_per_1000 * sheets / 1000


# Price --------------------------------------------------------------------------------------------


def price_per_sheet(
    price: float, unit: str, width_mm: float, height_mm: float, grammage_gsm: float
) -> float:
    """Price of one sheet, in the currency of `price`, from the unit the merchant prices in.

    unit: one of PRICE_UNITS. The hundredweight is the short one, 100 lb.
    Raises ValueError for another unit or a negative price.
    Source: definition of the units.
    """
    if price < 0 or not math.isfinite(price):
        raise ValueError(f"price must be a finite number, 0 or more, not {price!r}")
    if unit in KG_PER_PRICE_UNIT:
        mass_kg = sheet_mass_kg(width_mm, height_mm, grammage_gsm)
        return price * mass_kg / KG_PER_PRICE_UNIT[unit]
    if unit == "sheet":
        return price
    if unit == "thousand_sheets":
        return price / 1000
    raise ValueError(f"no price unit is named {unit!r}; known: {', '.join(PRICE_UNITS)}")


def cost_by_weight(weight_per_1000: float, sheets: float, price: float) -> float:
    """Cost of an order priced by weight, without needing sheet size or grammage.

    price: per unit of the weight that `weight_per_1000` is in.
    Source: 3forests paper page (case PW32).
    """
    return order_weight(weight_per_1000, sheets) * price
