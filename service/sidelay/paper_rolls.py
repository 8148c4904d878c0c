"""Reels of paper and film: length, mass, area, sheets and use on a running web.

Case ids (PW16) refer to tests/reference/cases/paper.json, where each has its source. A figure that
cannot be negative or nought raises ValueError naming the argument.
"""

import math
from collections.abc import Mapping
from types import MappingProxyType

from .paper import Basis, basic_area_in2, require_positive, whole_down

# Pounds per cubic inch x pi/4, by grade, for roll_weight_by_factor_lb. Source: Graphic
# Communications (2010), p. 394; trade formula sheet at tradelinks.net.in.
ROLL_FACTORS: Mapping[str, float] = MappingProxyType(
    {
        "antique": 0.018,
        "vellum_offset": 0.018,
        "bond": 0.021,
        "smooth_offset": 0.022,
        "ledger": 0.023,
        "coated_two_sides": 0.032,
    }
)


def roll_length_m(roll_mass_kg: float, width_mm: float, grammage_gsm: float) -> float:
    """Length [m] of paper in a roll of known net mass, core taken off.

    Source: definition of grammage; the handbook's kg x 100,000 / (cm x g/m2) is the same.
    """
    require_positive(roll_mass_kg=roll_mass_kg, width_mm=width_mm, grammage_gsm=grammage_gsm)
    return roll_mass_kg * 1e6 / (width_mm * grammage_gsm)


def roll_length_ft(
    roll_weight_lb: float,
    width_in: float,
    basis_weight_lb: float,
    basis: Basis,
    *,
    constant: float = 500 / 12,
) -> float:
    """Length [ft] of paper in a roll: constant x lb x basic area / (width x basis weight).

    constant: 500 sheets / 12 inches; handbooks round it to 41.67 or 41.7, 0.008 or 0.08 % high.
    Source: Graphic Communications (2010), p. 394 (case PW16).
    """
    require_positive(roll_weight_lb=roll_weight_lb, width_in=width_in, constant=constant)
    require_positive(basis_weight_lb=basis_weight_lb)
    return constant * roll_weight_lb * basic_area_in2(basis) / (width_in * basis_weight_lb)


def roll_length_from_diameter_m(outer_mm: float, core_mm: float, caliper_um: float) -> float:
    """Length [m] of paper on a roll from its diameters: side area of the paper / caliper.

    Wound air is left out, so a soft roll holds a little less.
    Raises ValueError when the core is not smaller than the roll.
    Source: sayid.net, pi x (R2 - r2) / thickness.
    """
    require_positive(outer_mm=outer_mm, core_mm=core_mm, caliper_um=caliper_um)
    if core_mm >= outer_mm:
        raise ValueError(f"a core of {core_mm} mm does not go into a roll of {outer_mm} mm")
    return math.pi / 4 * (outer_mm**2 - core_mm**2) / caliper_um


def roll_mass_from_caliper_kg(
    outer_mm: float, core_mm: float, width_mm: float, grammage_gsm: float, caliper_um: float
) -> float:
    """Net mass [kg] of a roll from its diameters, width, grammage and caliper.

    Source: casemaynard.com, weight of paper: in inches and mils 0.001117 x (D2 - d2) x width x
    g/m2 / caliper gives pounds, the constant rounded (cases PW28, PW29).
    """
    require_positive(width_mm=width_mm, grammage_gsm=grammage_gsm)
    length_m = roll_length_from_diameter_m(outer_mm, core_mm, caliper_um)
    return length_m * width_mm * grammage_gsm / 1e6


def roll_weight_by_factor_lb(
    outer_in: float, width_in: float, factor: float, *, core_in: float = 0.0
) -> float:
    """Weight [lb] of a roll by the trade's factor for its grade (ROLL_FACTORS).

    core_in: diameter of the core; the textbook form leaves it out for a 3 in core, which makes a
    40 in roll 0.6 % heavier than the full form. Raises ValueError when it is not smaller than the
    roll. Source: Graphic Communications (2010), p. 394, without core (cases PW17, PW18); trade
    formula sheet at tradelinks.net.in, with core (case PW19).
    """
    require_positive(outer_in=outer_in, width_in=width_in, factor=factor)
    if not 0 <= core_in < outer_in:
        raise ValueError(f"a core of {core_in} in does not go into a roll of {outer_in} in")
    return (outer_in**2 - core_in**2) * width_in * factor


def roll_area_msi(roll_weight_lb: float, basis_weight_lb: float, basis: Basis) -> float:
    """Thousand square inches (MSI) in a roll; a 144th of it is thousand square feet (MSF).

    Source: Case Paper, lb / (2 x basis weight / basic area).
    """
    require_positive(roll_weight_lb=roll_weight_lb, basis_weight_lb=basis_weight_lb)
    return roll_weight_lb * basic_area_in2(basis) / (2 * basis_weight_lb)


def sheets_from_length(length_m: float, cut_off_mm: float, *, across: int = 1) -> int:
    """Whole sheets cut from a length of web, `across` ribbons side by side.

    Source: division of the length by the cut-off.
    """
    require_positive(length_m=length_m, cut_off_mm=cut_off_mm, across=across)
    return whole_down(length_m * 1000 / cut_off_mm) * across


def web_mass_kg_per_hour(width_mm: float, speed_m_per_min: float, grammage_gsm: float) -> float:
    """Mass of paper [kg/h] that a web uses at a running speed, or a paper machine makes.

    Source: Modern Paper-Making (1929), p. 371 (case PW39).
    """
    require_positive(width_mm=width_mm, speed_m_per_min=speed_m_per_min, grammage_gsm=grammage_gsm)
    return width_mm * speed_m_per_min * 60 * grammage_gsm / 1e6
