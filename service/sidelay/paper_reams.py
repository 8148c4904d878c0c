"""Reams and M weights: paper counted and weighed by the ream, as merchants list it.

A ream is 500 sheets unless said otherwise; 480, 504 and 516 are older reams. The M weight is the
weight of 1,000 sheets: a list writes 25x38-120M for 60 lb text. Case ids (PW20) refer to
tests/reference/cases/paper.json, where each has its source.
"""

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

from .paper import REAM_SHEETS, Basis, basic_area_in2, require_positive

ReamRounding = Literal["exact", "by_area"]

# Sheets in a quire for each ream in use. Source: E. A. Dawe, Paper and Its Uses (1914); a
# 516-sheet printers' ("perfect") ream is 21.5 quires of 24.
QUIRE_SHEETS: Mapping[int, int] = MappingProxyType({480: 24, 500: 25, 504: 24, 516: 24})


def _to_nearest(figure: float, step: float) -> float:
    return round(math.floor(figure / step + 0.5 + 1e-9) * step, 6)


def ream_weight_lb(
    width_in: float,
    height_in: float,
    basis_weight_lb: float,
    basis: Basis,
    *,
    rounding: ReamRounding = "exact",
) -> float:
    """Weight [lb] of 500 sheets of a size: basis weight x sheet area / basic area.

    rounding "by_area" is the trade's ream rule: to the whole pound from 864 in2, to the half pound
    from 336 in2, to 0.01 lb below. Another published list breaks at 374 in2 instead.
    Source: Sylvamo; Case Paper; a trade formula sheet (cases PW20, PW45).
    """
    require_positive(width_in=width_in, height_in=height_in, basis_weight_lb=basis_weight_lb)
    area_in2 = width_in * height_in
    exact_lb = basis_weight_lb * area_in2 / basic_area_in2(basis)
    if rounding == "exact":
        return exact_lb
    return _to_nearest(exact_lb, 1.0 if area_in2 >= 864 else 0.5 if area_in2 >= 336 else 0.01)


def m_weight_lb(
    width_in: float,
    height_in: float,
    basis_weight_lb: float,
    basis: Basis,
    *,
    rounding: ReamRounding = "exact",
) -> float:
    """M weight: pounds per 1,000 sheets of a size, twice the ream, rounded as the ream is.

    Source: Sylvamo; paper converters' reference page (cases PW20, PW22, PW45).
    """
    return 2 * ream_weight_lb(width_in, height_in, basis_weight_lb, basis, rounding=rounding)


def board_m_weight_lb(width_in: float, height_in: float, lb_per_1000_ft2: float) -> float:
    """M weight [lb per 1,000 sheets] of board sold by pounds per 1,000 square feet.

    Source: paper converters' reference page (case PW23).
    """
    require_positive(width_in=width_in, height_in=height_in, lb_per_1000_ft2=lb_per_1000_ft2)
    return width_in * height_in / 144 * lb_per_1000_ft2


def equivalent_ream_weight(
    weight: float,
    known_area: float,
    area: float,
    *,
    known_sheets: int = REAM_SHEETS,
    sheets: int = REAM_SHEETS,
) -> float:
    """Ream weight of the same paper in another sheet size or ream count.

    Both areas in one unit; the answer is in the unit of `weight`. Backwards it finds the basis
    weight of a stock known by its ream. Source: E. A. Dawe, Paper and Its Uses (1914) (cases
    PW15, PW41, PW43, PW44).
    """
    require_positive(weight=weight, known_area=known_area, area=area)
    require_positive(known_sheets=known_sheets, sheets=sheets)
    return weight * (area / known_area) * (sheets / known_sheets)


def sheets_counted(reams: int, quires: int, sheets: int, *, ream_sheets: int = REAM_SHEETS) -> int:
    """Sheets in so many reams, quires and odd sheets.

    ream_sheets: 480, 500, 504 or 516, which sets the quire (QUIRE_SHEETS); ValueError otherwise.
    Source: E. A. Dawe, Paper and Its Uses (1914) (case PW42).
    """
    if ream_sheets not in QUIRE_SHEETS:
        raise ValueError(f"a ream is one of {sorted(QUIRE_SHEETS)} sheets, not {ream_sheets}")
    return reams * ream_sheets + quires * QUIRE_SHEETS[ream_sheets] + sheets


def reams(sheets: float, *, ream_sheets: int = REAM_SHEETS) -> float:
    """Reams in a count of sheets, as a decimal.

    Source: E. A. Dawe, Paper and Its Uses (1914) (cases PW42, SP01).
    """
    require_positive(ream_sheets=ream_sheets)
    return sheets / ream_sheets


def cost_by_ream(sheets: float, price_per_ream: float, *, ream_sheets: int = REAM_SHEETS) -> float:
    """Cost of a count of sheets priced by the ream, part reams in proportion.

    Source: E. A. Dawe, Paper and Its Uses (1914) (case PW42; its printed GBP 41 6s 7d is a slip
    for 41 11s 6.75d).
    """
    return reams(sheets, ream_sheets=ream_sheets) * price_per_ream
