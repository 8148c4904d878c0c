"""Pages and leaves on a web: across, around, webs, straight and collect."""

from dataclasses import replace

import pytest

from shop import CMYK, leaf, stock, with_inks
from sidelay.feeds import WebFeed
from sidelay.http.folding import FoldMismatch, flat_section
from sidelay.imposition.webs import pages_span, web_layouts
from sidelay.imposition.works import works
from sidelay.stock import Reel

# A 16-page heatset press: fixed cylinders, one web.
HEATSET = WebFeed(500, 965, 620, 620, 5, 4, 1, 1, True, True, 0.016)
# A newspaper press: four webs, collect; the page's own margins are its unprinted strips.
NEWS = WebFeed(400, 813, 578, 578, 0, 0, 4, 2, True, True, 0.016)
# A plateless web: any cut-off, page after page.
FREE = WebFeed(200, 520, 100, 1400, 5, 0, 1, 64, True, True, 0.01)


def reels(*widths):
    return stock(sheets=(), reels=tuple(Reel(width, 8000, 0.05, "test") for width in widths))


def section(pages, width=210, height=297, *, bleed=3.0, on=None, sides=2):
    flat = flat_section((width, height), {"kind": "section"}, pages, bleed)
    part = leaf(
        width,
        height,
        kind="section",
        flat_width_mm=flat.width_mm,
        flat_height_mm=flat.height_mm,
        pages=pages,
        folds=flat.folds,
        bleed_mm=bleed,
        stock=on or reels(880, 965),
    )
    return with_inks(part, CMYK, CMYK if sides == 2 else ())


def test_sixteen_a4_pages_lie_four_by_two_on_the_narrowest_reel_that_holds_them():
    best = web_layouts(section(16), HEATSET)[0]
    assert (best.across, best.around, best.webs) == (4, 2, 1)
    # 4 x 210 and two pairs of trim, 4 x 3, and 2 x 5 at the edges: 862 of 880 mm.
    assert (best.width_mm, best.length_mm) == (880, 620)
    assert (best.up, best.cycles_per_piece, best.delivery) == (1, 1, "copy")
    assert best.area_m2 == pytest.approx(0.88 * 0.62)


def test_eight_pages_come_two_copies_to_a_cut_off():
    best = web_layouts(section(8), HEATSET)[0]
    assert (best.up, best.cycles_per_piece) == (2, 1)
    assert best.pieces_per_cycle == 2


def test_a_press_that_runs_straight_only_cannot_make_a_section_of_two_cut_offs():
    assert web_layouts(section(32), HEATSET) == ()
    assert web_layouts(section(32), replace(HEATSET, most_collected=2))[0].cycles_per_piece == 2


@pytest.mark.parametrize(
    ("pages", "webs", "cycles"), [(8, 1, 1), (16, 2, 1), (24, 3, 1), (32, 4, 1), (48, 3, 2)]
)
def test_tabloid_pages_lie_sideways_eight_to_a_web(pages, webs, cycles):
    # Half a cut-off of 578 mm wide and half a web of 760 mm high: 289 x 380 mm.
    part = section(pages, 289, 380, bleed=0.0, on=reels(760, 813))
    first = web_layouts(part, NEWS)[0]
    assert (first.width_mm, first.across, first.around) == (760, 2, 2)
    assert (first.webs, first.cycles_per_piece, first.up) == (webs, cycles, 1)


def test_collecting_halves_the_webs_and_takes_two_cut_offs():
    part = section(16, 289, 380, bleed=0.0, on=reels(760))
    ways = {(each.webs, each.cycles_per_piece) for each in web_layouts(part, NEWS)}
    assert {(2, 1), (1, 2)} <= ways


def test_every_web_and_side_has_a_form():
    part = section(24, 289, 380, bleed=0.0, on=reels(760))
    (first, *_) = works(part, NEWS)
    assert [form.prints for form in first.forms] == ["front", "back"] * 3
    assert first.carriers == 3 * 2 * 4


def test_what_one_cut_off_inks_is_its_share_of_a_copy():
    part = section(48, 289, 380, bleed=0.0, on=reels(760))
    (first, *_) = works(part, NEWS)
    one_side_m2 = 24 * 0.289 * 0.380
    covered = 2 * 0.2 * one_side_m2 / first.layout.cycles_per_piece
    assert first.inked_area_m2(CMYK[0]) == pytest.approx(covered)


def test_a_plateless_web_prints_page_after_page():
    part = section(24, 148, 210, on=reels(520))
    best = web_layouts(part, FREE)[0]
    assert best.cycles_per_piece * 2 * best.across * best.around == 24
    assert best.length_mm == pytest.approx(best.around * 216)


def test_pages_share_a_spine_across_and_are_trimmed_at_head_and_foot():
    assert pages_span(4, 210, 3, spine=True) == 4 * 210 + 2 * 3 + 2 * 3
    assert pages_span(2, 297, 3, spine=False) == 2 * (297 + 6)
    assert pages_span(1, 210, 3, spine=True) == 216


def test_leaves_fill_the_web_and_the_fixed_cut_off():
    part = with_inks(leaf(148, 210, stock=reels(880)), CMYK, CMYK)
    best = web_layouts(part, HEATSET)[0]
    # 870 mm hold 5 x 154 or 4 x 216; 616 mm hold 2 x 216 or 4 x 154: 4 x 4 beats 5 x 2.
    assert (best.across, best.around, best.up) == (4, 4, 16)
    assert best.delivery == "sheet"
    assert len(best.pattern.placements()) == 16


def test_the_grain_of_a_leaf_runs_along_the_web():
    part = with_inks(leaf(148, 210, stock=reels(880), grain="long"), CMYK, CMYK)
    assert {(each.across, each.around) for each in web_layouts(part, HEATSET)} == {(5, 2)}


def test_both_sides_need_a_press_that_prints_both():
    one_side = replace(HEATSET, both_sides=False)
    assert web_layouts(section(16), one_side) == ()
    assert web_layouts(section(16, sides=1), one_side)


@pytest.mark.parametrize(("pages", "grid"), [(4, (2, 1)), (8, (2, 2)), (16, (4, 2)), (32, (4, 4))])
def test_a_section_unfolds_to_a_sheet_near_a_square(pages, grid):
    flat = flat_section((210, 297), {"kind": "section"}, pages, 0.0)
    assert (flat.width_mm, flat.height_mm) == (210 * grid[0], 297 * grid[1])
    assert 2**flat.folds == pages // 2


@pytest.mark.parametrize(
    ("given", "pages"),
    [({"folds": 2}, 16), ({"flat_size": (420, 297)}, 16), ({}, None), ({}, 6), ({}, 18)],
)
def test_a_section_that_cannot_be_is_refused(given, pages):
    with pytest.raises(FoldMismatch):
        flat_section((210, 297), {"kind": "section"} | given, pages, 3.0)
