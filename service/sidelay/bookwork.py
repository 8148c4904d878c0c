"""Book arithmetic: leaves and sheets, block and spine, creep of nested sheets, sizes of covers.

Plain numbers in, plain numbers out; arguments carry their unit in their name. A page is measured
across (from the spine to the face) and along (the spine), so that books bound at the top need no
rules of their own. A figure that cannot be nought or negative raises ValueError naming the
argument. Case ids (SW01) refer to tests/reference/cases/paper.json, where each has its source.
"""

from __future__ import annotations

from dataclasses import dataclass

from . import paper
from .paper import require_positive

PAGES_PER_LEAF = 2
PAGES_PER_FOLDED_SHEET = 4


def leaves_of(pages: int) -> int:
    """Leaves that hold so many pages, two to a leaf, the last one with a blank back if need be."""
    require_positive(pages=pages)
    return -(-pages // PAGES_PER_LEAF)


def folded_sheets_of(pages: int, pages_per_sheet: int = PAGES_PER_FOLDED_SHEET) -> int:
    """Sheets, folded once unless told otherwise, that hold so many pages; the last is filled up.

    Source: four pages to a sheet folded once, the saddle stitch trade rule (case IM25).
    """
    require_positive(pages=pages, pages_per_sheet=pages_per_sheet)
    return -(-pages // pages_per_sheet)


def block_mm(pages: int, caliper_um: float) -> float:
    """Thickness of the text leaves [mm], uncompressed and without a cover.

    From grammage and bulk, ask paper.caliper_um for the caliper first.
    Source: Patterson Printing; kawidruck.de, block thickness (cases SW01, SW05).
    """
    return paper.spine_mm(pages, caliper_um)


def spine_mm(
    block_mm: float,
    *,
    cover_caliper_um: float = 0.0,
    cover_leaves: int = 2,
    allowance_mm: float = 0.0,
) -> float:
    """Thickness of a book over its spine [mm]: the block, its cover, and what is allowed on top.

    cover_caliper_um: 0 for a block without a cover
    allowance_mm: for scoring, glue or swelling by thread; Printprinz adds 1 mm for the score
    Source: Mediencommunity LE05 3.1; Printprinz (cases SW03, SW04).
    """
    require_positive(block_mm=block_mm)
    return block_mm + cover_leaves * cover_caliper_um / 1000 + allowance_mm


def spine_32nds_in(spine_mm: float) -> float:
    """A spine in inches to the nearest 1/32, as cover drawings give it.

    Source: Patterson Printing (case SW01).
    """
    return paper.nearest_32nd_in(spine_mm)


def creep_mm(
    caliper_um: float, sheets: int, *, around_um: float = 0.0, factor: float = 1.0
) -> float:
    """How far the innermost of nested sheets is pushed out past the outermost [mm].

    caliper_um, sheets: of the stock that lies innermost
    around_um: thickness of what is folded around them: a cover, sheets of another stock
    factor: 1 for sheets pressed flat to each other, up to 1.4 for springy ones; from memory
    Source: caliper x (folded sheets - 1) x 1 to 1.4, from memory. Puget Bindery's guide allows 3, 5
    and 7 mm or more in all for thin, medium and thick books.
    """
    require_positive(caliper_um=caliper_um, sheets=sheets, factor=factor)
    return (caliper_um * (sheets - 1) + around_um) / 1000 * factor


def innermost_page_mm(page_across_mm: float, creep_mm: float) -> float:
    """Width that the innermost page keeps [mm] when the face of nested sheets is trimmed straight.

    Nothing, where it is pushed out by its whole width or more.
    """
    return max(page_across_mm - creep_mm, 0.0)


def copy_mass_kg(
    pages: int,
    width_mm: float,
    height_mm: float,
    grammage_gsm: float,
    *,
    cover_gsm: float | None = None,
    cover_pages: int = PAGES_PER_FOLDED_SHEET,
) -> float:
    """Mass of one copy [kg] at trimmed size; ink, glue and the cover's spine left out.

    Source: Printprinz, weight of a printed piece (case PW36).
    """
    mass = paper.product_mass_kg(pages, width_mm, height_mm, grammage_gsm)
    if cover_gsm is not None:
        mass += paper.product_mass_kg(cover_pages, width_mm, height_mm, cover_gsm)
    return mass


# Covers: sizes across the spine, then along it ----------------------------------------------------


def stitched_cover_mm(page_across_mm: float, page_along_mm: float) -> tuple[float, float]:
    """Flat size of the cover of a saddle-stitched book [mm]: one fold, no spine.

    Source: common practice, no source.
    """
    require_positive(page_across_mm=page_across_mm, page_along_mm=page_along_mm)
    return 2 * page_across_mm, page_along_mm


def soft_cover_mm(
    page_across_mm: float, page_along_mm: float, spine_mm: float, *, flap_mm: float = 0.0
) -> tuple[float, float]:
    """Flat size of a soft cover with a spine [mm]; flap_mm: width of each of two flaps.

    Source: common practice, no source.
    """
    require_positive(page_across_mm=page_across_mm, page_along_mm=page_along_mm, spine_mm=spine_mm)
    return 2 * (page_across_mm + flap_mm) + spine_mm, page_along_mm


@dataclass(frozen=True, slots=True)
class CaseSizes:
    """What a case is cut from [mm], across the spine and along it.

    board_*: each of two boards; strip_across: of the stiffener in the spine, as high as the boards
    material_*: of the printed sheet or cloth around them, turn-in included
    """

    board_across: float
    board_along: float
    strip_across: float
    material_across: float
    material_along: float


def case_sizes(
    page_across_mm: float,
    page_along_mm: float,
    block_mm: float,
    *,
    square_mm: float,
    joint_mm: float,
    turn_in_mm: float,
    board_mm: float,
) -> CaseSizes:
    """Sizes of a case with a square back.

    square_mm: how far the boards stand out over the pages at head, foot and face
    joint_mm: from the edge of the spine to the board, where the case hinges
    turn_in_mm: material turned over each edge; board_mm: thickness of a board
    Raises ValueError when the joint leaves nothing of the board.
    Source: common practice, no source (3 mm squares, 15 mm turn-in).
    """
    require_positive(
        page_across_mm=page_across_mm,
        page_along_mm=page_along_mm,
        block_mm=block_mm,
        board_across_mm=page_across_mm + square_mm - joint_mm,
    )
    strip = block_mm + 2 * board_mm
    along = page_along_mm + 2 * square_mm
    return CaseSizes(
        page_across_mm + square_mm - joint_mm,
        along,
        strip,
        2 * (page_across_mm + square_mm + turn_in_mm) + strip,
        along + 2 * turn_in_mm,
    )
