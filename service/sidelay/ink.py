"""Ink: mass from area, coverage and film weight, and the trade's mileage figures.

A film weight here is grams of ink as supplied on a square metre of solid (coverage 1). Coverage
adds over the colours of one side, so four colours may come to 1.9. Case ids (IK01) refer to
tests/reference/cases/paper.json, where each has its source. A figure that cannot be negative or
nought raises ValueError naming the argument.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal, NamedTuple

from .paper import KG_PER_LB, M2_PER_IN2, require_positive

GSM_IN2_PER_LB_OF_INK = KG_PER_LB * 1000 / M2_PER_IN2  # 703,070: film weight x mileage

# Sheetfed litho solids: an ink technician's rule of 30 lb (coated) and 45 lb (uncoated) for
# 100,000 letter sheets, PrintPlanet forum (case IK07); that is 2.26 and 3.38 g/m2.
OFFSET_LB_PER_100_000_LETTERS: Mapping[str, float] = MappingProxyType(
    {"coated": 30.0, "uncoated": 45.0}
)

# Heatset and sheetfed halftone work on coated stock, g/m2 at coverage 1. Source: Mediencommunity
# course LE06, exercise on ink use (case IK01).
CATALOGUE_FILM_GSM = 1.4

# Coldset newspaper, m2 of printed page (not of solid) to a gram. Source: S. K. Guhan, 2016-17,
# one newspaper's averages; one page measured 5.85 for black (case IK09).
NEWSPAPER_M2_PER_G: Mapping[str, float] = MappingProxyType(
    {"cyan": 18.02, "magenta": 15.61, "yellow": 13.12, "black": 7.15}
)

# Share of an anilox cell's volume that reaches the stock, and the unit of that volume: a billion
# cubic microns to the square inch is 1.55 cm3/m2 (exact units; the source prints 1.54).
# Source: Boaglio, flexo ink transfer (4 cm3/m2 of cell lays 1 g/m2).
FLEXO_TRANSFER_SHARE = 0.25
CM3_PER_M2_PER_BCM = 1e-3 / M2_PER_IN2

Weave = Literal["plain", "twill"]


class FlexoMileage(NamedTuple):
    """Mileage [in2 of solid per lb] of an anilox volume from `least_bcm` up to the next row's."""

    least_bcm: float
    porous_in2_per_lb: float
    film_in2_per_lb: float


# Water and UV inks at 9 lb to the gallon. Source: Interactive Inks, "Estimating ink coverage".
FLEXO_MILEAGE: tuple[FlexoMileage, ...] = (
    FlexoMileage(2, 325_000, 370_000),
    FlexoMileage(3, 232_000, 270_000),
    FlexoMileage(4, 155_000, 180_000),
    FlexoMileage(5, 132_000, 155_000),
    FlexoMileage(6, 115_000, 135_000),
)


def printed_area(width: float, height: float, count: float = 1) -> float:
    """Area of `count` pages, sheets or pieces, in the square of the unit of width and height.

    Count a bleed in the size: a 9 x 12 in page that bleeds is 9 1/8 x 12 1/4.
    Source: American Printer, "Ink estimating, part deux", Nov 1996 (case IK05).
    """
    require_positive(width=width, height=height, count=count)
    return width * height * count


def covered_area(area: float, coverage: float) -> float:
    """Area of solid that would take as much ink, in the unit of `area`.

    coverage: 0 or more; it passes 1 where colours are added together.
    Raises ValueError for a negative figure.
    Source: American Printer, "Ink estimating, part deux", Nov 1996 (case IK05).
    """
    if not (area >= 0 and coverage >= 0):
        raise ValueError(f"area and coverage must be 0 or more, not {area!r} and {coverage!r}")
    return area * coverage


def ink_mass_kg(area_m2: float, coverage: float, film_gsm: float) -> float:
    """Mass of ink [kg] on an area printed at a coverage; what stays in the press is left out.

    area_m2: printed area of all copies
    Source: Mediencommunity course LE06, exercise on ink use (case IK01).
    """
    require_positive(film_gsm=film_gsm)
    return covered_area(area_m2, coverage) * film_gsm / 1000


def ink_mass_by_mileage_lb(
    covered_in2: float, mileage_in2_per_lb: float, *, pan_lb: float = 0.0, set_up_lb: float = 0.0
) -> float:
    """Mass of ink [lb] for an area of solid, with what the pan holds and the set-up uses.

    Source: Interactive Inks, "Estimating ink coverage", pan 3 lb and set-up 0.5 lb (case IK06).
    """
    require_positive(mileage_in2_per_lb=mileage_in2_per_lb)
    if min(covered_in2, pan_lb, set_up_lb) < 0:
        raise ValueError("covered_in2, pan_lb and set_up_lb must be 0 or more")
    return covered_in2 / mileage_in2_per_lb + pan_lb + set_up_lb


def ink_mass_by_rate_kg(sheets: float, g_per_1000: float) -> float:
    """Mass of ink [kg] for a run by a lump rate [g per 1,000 sheets].

    The rate holds for the sheet size and coverage it was given for: 175 g (black, 20 %) and 290 g
    (colour, 40 %) on 52 x 74 cm. Source: bvdm training table 4.5.4.1, quoted in Mediencommunity
    course LE06 3.2, which leaves open whether 290 g is one colour or three together (case IK04).
    """
    require_positive(g_per_1000=g_per_1000)
    return sheets * g_per_1000 / 1e6


def mileage_in2_per_lb(sheet_in2: float, impressions: float, ink_lb: float) -> float:
    """Mileage [in2 of solid per lb] found from a run of solids and the ink it used.

    Source: PrintPlanet forum, rule of thumb (case IK07).
    """
    require_positive(sheet_in2=sheet_in2, impressions=impressions, ink_lb=ink_lb)
    return sheet_in2 * impressions / ink_lb


def film_gsm_from_mileage(mileage_in2_per_lb: float) -> float:
    """Film weight [g/m2] of solid from mileage [in2 per lb]: 703,070 / mileage.

    Source: exact units.
    """
    require_positive(mileage_in2_per_lb=mileage_in2_per_lb)
    return GSM_IN2_PER_LB_OF_INK / mileage_in2_per_lb


def mileage_from_film_gsm(film_gsm: float) -> float:
    """Mileage [in2 per lb] of solid from film weight [g/m2]; inverse of film_gsm_from_mileage.

    Source: exact units.
    """
    require_positive(film_gsm=film_gsm)
    return GSM_IN2_PER_LB_OF_INK / film_gsm


def offset_film_gsm(stock: str) -> float:
    """Film weight [g/m2] of a sheetfed litho solid on "coated" or "uncoated" stock.

    Raises ValueError for another stock. Source: OFFSET_LB_PER_100_000_LETTERS (case IK07).
    """
    if stock not in OFFSET_LB_PER_100_000_LETTERS:
        known = ", ".join(OFFSET_LB_PER_100_000_LETTERS)
        raise ValueError(f"no offset film weight is known for {stock!r}; known: {known}")
    mileage = mileage_in2_per_lb(8.5 * 11, 100_000, OFFSET_LB_PER_100_000_LETTERS[stock])
    return film_gsm_from_mileage(mileage)


def wet_film_gsm(dry_gsm: float, solids: float) -> float:
    """Liquid ink laid down [g/m2] to leave a dry film: dry / solids.

    solids: share of the ink's mass that stays, above 0 and up to 1; ValueError otherwise.
    Source: flexible-packaging note on ink per printed layer, 25 % solids (case IK10).
    """
    require_positive(dry_gsm=dry_gsm)
    if not 0 < solids <= 1:
        raise ValueError(f"solids must be above 0 and up to 1, not {solids!r}")
    return dry_gsm / solids


def flexo_film_cm3_per_m2(anilox_bcm: float, transfer_share: float = FLEXO_TRANSFER_SHARE) -> float:
    """Liquid ink laid down [cm3/m2] by an anilox roll of a cell volume [BCM per in2].

    Source: Boaglio, flexo ink transfer: about a quarter of the cell.
    """
    require_positive(anilox_bcm=anilox_bcm, transfer_share=transfer_share)
    return anilox_bcm * CM3_PER_M2_PER_BCM * transfer_share


def screen_deposit_um(
    mesh_per_cm: float,
    *,
    thread_um: float | None = None,
    fabric_um: float | None = None,
    weave: Weave = "plain",
) -> float:
    """Wet film [um, which is cm3/m2] that a screen lays down.

    thread_um: thread diameter, needed for a plain weave below 43 threads/cm
    fabric_um: thickness of the woven fabric, needed for every other mesh
    Raises ValueError when the one needed is not given, or when the threads leave no opening.
    Source: "How much ink do you need?", Screen Printing, Apr 2000, Figure 1 (case IK12).
    """
    require_positive(mesh_per_cm=mesh_per_cm)
    if weave == "plain" and mesh_per_cm < 43:
        if thread_um is None:
            raise ValueError("a mesh below 43 threads/cm needs thread_um")
        open_share = 1 - mesh_per_cm * thread_um / 1e4
        require_positive(thread_um=thread_um, open_share=open_share)
        return 1.82 * thread_um * open_share**2
    if fabric_um is None:
        raise ValueError("a mesh of 43 threads/cm or more, or a twill, needs fabric_um")
    require_positive(fabric_um=fabric_um)
    return fabric_um * (0.31 if weave == "twill" else 0.35 if mesh_per_cm >= 140 else 0.285)
