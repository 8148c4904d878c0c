"""Paper for an edition and what is spoiled on the way: counts of sheets, whole numbers out.

The trade's model has two parts: sheets thrown away at each make-ready whatever the run, and a
share of the good sheets while running. Both are taken on the good sheets, never compounded inside
one operation; a chain of operations works backwards, one call each, from the delivered count.
Case ids (SP04) refer to tests/reference/cases/paper.json, where each has its source.
"""

import math
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from .paper import require_positive, whole_down

# A fraction of a sheet this small is the noise of binary fractions, not a sheet.
NOISE = 1e-6
Count = TypeVar("Count", float, NDArray[np.float64])


def begun(count: Count) -> Count:
    """Whole units, begun ones counted; numbers or arrays."""
    whole: Count = np.ceil(count - NOISE)
    return whole


def units_in(out: Count, running_share: Count, set_up: Count) -> Count:
    """Units to put into an operation so that `out` whole units come off it sound.

    running_share: of what comes out; set_up: units, whatever the run. Numbers or arrays.
    Source: American Printer, "Determining your paper waste", Jan 1996 (case SP09).
    """
    return out + begun(out * running_share) + set_up


def _require_share(**shares: float) -> None:
    for name, share in shares.items():
        if not 0 <= share < math.inf:
            raise ValueError(f"{name} must be a share of 0 or more, not {share!r}")


def sheets_for_copies(copies: int, up: int) -> int:
    """Sheets that give `copies` pieces at `up` pieces a sheet, nothing spoiled.

    Raises ValueError when either is not positive. Source: division, rounded up (case IM13).
    """
    require_positive(copies=copies, up=up)
    return -(-copies // up)


def sheets_per_copy(pages: int, pages_per_sheet: int) -> float:
    """Sheets in one copy; pages_per_sheet counts both sides of the sheet.

    A half means that two copies share a sheet. Source: E. A. Dawe, Paper and Its Uses (1914),
    p. 148 (case SP01).
    """
    require_positive(pages=pages, pages_per_sheet=pages_per_sheet)
    return pages / pages_per_sheet


def edition_sheets(copies: int, pages: int, pages_per_sheet: int) -> int:
    """Sheets for an edition of a book, nothing spoiled, part sheets shared between copies.

    pages_per_sheet: both sides. Source: Chinese print-calculation note (case IM17: 187.5 sheets
    of cover are 188).
    """
    require_positive(copies=copies, pages=pages, pages_per_sheet=pages_per_sheet)
    return -(-copies * pages // pages_per_sheet)


def gross_sheets(
    good_sheets: int, *, set_up_sheets: float = 0.0, running_share: float = 0.0
) -> int:
    """Sheets to feed one operation so that `good_sheets` come out of it, whole sheets.

    set_up_sheets: thrown away at make-ready, whatever the run
    running_share: thrown away while running, as a share of the good sheets (0.037 is 3.7 %)
    Never falls as good_sheets rises, so long as running_share is the same. Raises ValueError for
    a negative figure. Source: American Printer, "Determining your paper waste", Jan 1996 (case
    SP09); a share on the good sheets also in cases SP04, SP05, SP06.
    """
    _require_share(good_sheets=good_sheets, running_share=running_share)
    _require_share(set_up_sheets=set_up_sheets)
    return int(begun(units_in(float(good_sheets), running_share, set_up_sheets)))


def spoiled_sheets(good_sheets: int, share: float, *, at_least: int = 0) -> int:
    """Sheets allowed for spoilage: a share of the good sheets, or a least number if that is more.

    Source: MIT letterpress shop note, 10 % or 50 sheets, whichever is more (case SP12); Japanese
    price-book form, each share on the net sheets (case SP06).
    """
    _require_share(good_sheets=good_sheets, share=share, at_least=at_least)
    return max(int(begun(good_sheets * share)), at_least)


def overs_share(sheets_given: float, net_sheets: float) -> float:
    """Share by which the paper given out exceeds the net sheets (0.032 is 3.2 %).

    Source: T. MacKellar, The American Printer (1866), giving out paper (cases SP02_250, SP03).
    """
    require_positive(sheets_given=sheets_given, net_sheets=net_sheets)
    return sheets_given / net_sheets - 1


def most_copies_accepted(copies: int, over_share: float) -> int:
    """Most copies a buyer takes and pays for when overs up to `over_share` are agreed.

    Custom differs by country and trade, from 0 to 10 %; ask for the buyer's own terms.
    Source: State of Missouri print solicitation, 5 % (case SP13).
    """
    require_positive(copies=copies)
    _require_share(over_share=over_share)
    return whole_down(copies * (1 + over_share))


def delivery_limits(ordered: int, tolerance: float, no_fewer: bool = False) -> tuple[int, int]:
    """Least and most copies that may be delivered against an order; the count delivered is billed.

    tolerance: overs and unders either way, as a share of the order
    no_fewer: the buyer takes no unders, and in return twice the overs
    Raises ValueError for no order or a share that is not 0..1. Source: a text of trade customs
    (case PR-05). Custom differs by country and trade; ask for the buyer's own terms.
    """
    require_positive(ordered=ordered)
    _require_share(tolerance=tolerance)
    if tolerance > 1:
        raise ValueError(f"tolerance must be a share of at most 1, not {tolerance!r}")
    if no_fewer:
        return ordered, whole_down(ordered * (1 + 2 * tolerance))
    return int(begun(ordered * (1 - tolerance))), whole_down(ordered * (1 + tolerance))
