"""Pages to sections: how they are split, how one lies on a sheet, what forms and carriers it takes.

A section is one printed sheet folded to so many pages. Pages that are bound as single leaves lie
beside each other and are cut apart; a plateless press prints all sheets of a copy in turn.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ..bookwork import PAGES_PER_FOLDED_SHEET
from ..feeds import WorkStyle
from ..job import GrainWish, Part

PAGES_PER_LEAF = 2
# Pages of one section, as sheets are folded; webs fold more kinds.
SHEET_SECTIONS = (32, 24, 16, 12, 8, 4)
WEB_SECTIONS = (64, 48, 32, 24, 16, 12, 8, 4)


def page_grid(pages: int, width: float, height: float) -> tuple[int, int]:
    """Return columns and rows of the pages on one side of a section, as near a square as they come.

    pages: a multiple of four; columns are even, since pages lie in pairs that share a spine.
    """
    panels = pages // 2
    columns = min(
        (count for count in range(2, panels + 1, 2) if panels % count == 0),
        key=lambda count: abs(count * width - panels // count * height),
    )
    return columns, panels // columns


def section_size(
    pages: int, width: float, height: float, bleed: float
) -> tuple[float, float, int]:
    """Return width and height [mm] of a section unfolded, its outer bleed left out, and its folds.

    Pairs of columns share an untrimmed spine; rows are trimmed at head and foot.
    """
    columns, rows = page_grid(pages, width, height)
    return (
        round(columns * width + (columns - 2) * bleed, 4),
        round(rows * height + (rows - 1) * 2 * bleed, 4),
        (columns * rows - 1).bit_length(),
    )


def section(part: Part, pages: int) -> Part:
    """Return so many pages of a part as one folded sheet, what is milled off its spine added.

    Its width runs from the spine to the face, its height along the spine.
    """
    across, along = _page(part)
    width, height, folds = section_size(pages, across, along, part.bleed_mm)
    return replace(
        part,
        width_mm=across,
        height_mm=along,
        pages=pages,
        flat_width_mm=width,
        flat_height_mm=height,
        folds=folds,
        grain=_grain(part, width, height),
    )


def cuts_to_sheets(part: Part) -> int:
    """Cuts that part a flat section into sheets of four pages: two where bleeds meet."""
    columns, rows = page_grid(part.pages, part.width_mm, part.height_mm)
    return 2 * (columns // 2 - 1 + rows - 1)


def leaf(part: Part) -> Part:
    """Return one leaf of a part, cut on all sides."""
    width, height = _page(part)
    return replace(
        part,
        width_mm=width,
        height_mm=height,
        pages=PAGES_PER_LEAF,
        flat_width_mm=width,
        flat_height_mm=height,
        folds=0,
        grain=_grain(part, width, height),
    )


def side_by_side(piece: Part, count: int, pages: int) -> Part:
    """Return so many equal pieces of a part as one of the same area: what one copy prints."""
    width = count * (piece.flat_width_mm + 2 * piece.bleed_mm) - 2 * piece.bleed_mm
    return replace(piece, pages=pages, flat_width_mm=width, folds=0)


def _page(part: Part) -> tuple[float, float]:
    """A page from the spine to the face, and along the spine [mm]."""
    size = part.width_mm, part.height_mm
    across, along = size if part.bound_at == "left" else size[::-1]
    return across + part.spine_trim_mm, along


def _grain(part: Part, width: float, height: float) -> GrainWish:
    """The wish for the grain of a page, told for the sheet that its pages stand upright on."""
    across, along = _page(part)
    if part.grain == "any" or across == along or width == height:
        return "any"
    along_height = (part.grain == "long") == (along > across)
    return "long" if along_height == (height > width) else "short"


def splits(pages: int, sizes: Sequence[int]) -> list[dict[int, int]]:
    """Return the ways to split pages into sections, one for each largest size that leaves none.

    sizes: pages of the sections that a press can make. Each split takes of the larger first; sizes
    that it has none of are left out. Sections that halve down to one fold (16, 8, 4) fill a sheet
    that those of 12 and 24 pages may not, so each split is found with and without the latter.
    """
    found: list[dict[int, int]] = []
    halving = [size for size in sizes if not size & (size - 1)]
    for held in (sizes, halving):
        for largest in sorted(held, reverse=True):
            if largest > pages:
                continue
            try:
                counts = split_pages(pages, [size for size in held if size <= largest])
            except ValueError:
                continue
            split = {size: count for size, count in counts.items() if count}
            if split not in found:
                found.append(split)
    return found


@dataclass(frozen=True, slots=True)
class FormCount:
    """What a number of sections takes on a press, all sections together."""

    sections: int
    forms: int
    carriers: int
    passes: int


def bound_pages(content_pages: int) -> int:
    """Pages a folded-and-stitched piece has for its content: the next multiple of four.

    Source: saddle stitch trade rule (tests/reference, case IM25).
    """
    return -(-content_pages // PAGES_PER_FOLDED_SHEET) * PAGES_PER_FOLDED_SHEET


def split_pages(pages: int, section_pages: Sequence[int] = (16, 8, 4)) -> dict[int, int]:
    """Return how many sections of each size a piece takes, the largest first and most.

    Raises ValueError when pages are left over that no size holds.
    Source: 300 pages are 18 x 16 + 8 + 4 (tests/reference, case IM18).
    """
    left, counts = pages, {}
    for size in sorted(section_pages, reverse=True):
        counts[size], left = divmod(left, size)
    if left:
        raise ValueError(f"{left} of {pages} pages are left over; add pages to fill a section")
    return counts


def count_forms(
    pages: int, pages_per_section: int, colours_each_side: int, style: WorkStyle = "sheetwise"
) -> FormCount:
    """Count forms, carriers and passes for a piece in equal sections, the last one filled up.

    Sheetwise and perfecting take two forms a section, work-and-turn and work-and-tumble one that
    prints both sides; every style but perfecting takes two passes, one make-ready a form.
    Source: K. Morris, carriers = sections x 2 x colours (tests/reference, cases IM21, IM22).
    """
    sections = -(-pages // pages_per_section)
    forms_each = 1 if style in ("work_and_turn", "work_and_tumble", "one_side") else 2
    passes_each = 1 if style in ("perfecting", "one_side") else 2
    forms = sections * forms_each
    return FormCount(sections, forms, forms * colours_each_side, sections * passes_each)


def web_page(web_width: float, cut_off: float, pages_across: int = 2) -> tuple[float, float]:
    """Return width and height of a page on a web, in the unit given: the web shared x the cut-off.

    Source: half web x cut-off for a broadsheet page (tests/reference, case IM26).
    """
    return web_width / pages_across, cut_off
