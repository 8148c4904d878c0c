"""Pages to sections, and sections to forms, carriers and make-readies: the counting rules.

Counting only: how sections are printed and bound is not priced yet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..feeds import WorkStyle

PAGES_PER_FOLDED_SHEET = 4


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
