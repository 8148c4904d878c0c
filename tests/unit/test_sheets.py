"""Laying a leaf on press sheets: margins, work styles, forms, grain, parents."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop import BLACK, CMYK, leaf, press, stock, with_inks
from sidelay.feeds import SheetFeed
from sidelay.imposition import most_up
from sidelay.imposition.sheets import holds_a_piece, sheet_layouts
from sidelay.imposition.works import forms, works
from sidelay.stock import ParentSheet

BOTH_WAYS = ("one_side", "sheetwise", "work_and_turn", "work_and_tumble", "perfecting")


def feed(width=1030, length=720, gripper=10, tail=5, side=5, bar=10, styles=BOTH_WAYS):
    return SheetFeed(100, width, 100, length, gripper, tail, side, bar, styles)


def paper(*sheets, grain="long"):
    return stock(sheets=tuple(ParentSheet(*sorted(sheet), grain, 0.1, "test") for sheet in sheets))


def best(part, press_feed, style):
    only = replace(press_feed, work_styles=(style,))
    return max(layout.up for layout in sheet_layouts(part, only))


def test_a_sheet_is_turned_rather_than_tumbled_where_that_is_no_worse():
    part = leaf(200, 280, bleed_mm=0, stock=paper((640, 900)))
    found = [layout for layout in sheet_layouts(part, feed()) if layout.up == 8]
    assert {layout.style for layout in found} >= {"work_and_turn"}
    assert "work_and_tumble" not in {layout.style for layout in found}
    only = replace(feed(), work_styles=("work_and_tumble",))
    assert {layout.style for layout in sheet_layouts(part, only)} == {"work_and_tumble"}


def test_margins_bleed_and_colour_bar_take_their_share():
    part = leaf(100, 100, bleed_mm=3, stock=paper((500, 700)))
    (layout,) = sheet_layouts(with_inks(part, CMYK), feed(width=700, length=500))[:1]
    assert layout.style == "one_side"
    # Printable 690 x 475 mm holds 6 x 4 cells of 106 mm; the bare sheet would hold 7 x 5 of 100.
    assert layout.up == 24
    assert most_up(690, 475, 106, 106).up == 24


def test_work_and_turn_lays_the_same_on_both_halves_of_the_width():
    part = leaf(200, 280, bleed_mm=3, stock=paper((640, 900)))
    up = best(part, feed(), "work_and_turn")
    half = most_up((900 - 10) / 2, 640 - 25, 206, 286).up
    assert up == 2 * half == 8


def test_work_and_tumble_needs_two_grippers():
    part = leaf(200, 280, bleed_mm=0, stock=paper((640, 900)))
    wide, narrow = feed(gripper=10, bar=0), feed(gripper=40, bar=0)
    assert best(part, wide, "work_and_tumble") == 8
    # 640 - 2 x 40 = 560 mm: each half is 280 mm and still holds a row; one mm more would not.
    assert best(part, narrow, "work_and_tumble") == 8
    assert best(part, feed(gripper=40.5, bar=0), "work_and_tumble") < 8


def test_carriers_of_each_style():
    part = with_inks(leaf(), CMYK, BLACK)
    plates = {style: sum(len(form.inks) for form in forms(part, style)) for style in BOTH_WAYS[1:]}
    assert plates == {"sheetwise": 5, "work_and_turn": 4, "work_and_tumble": 4, "perfecting": 5}


def test_one_sided_work_has_one_form_whichever_side_it_is_on():
    front, back = with_inks(leaf(), CMYK), with_inks(leaf(), (), BLACK)
    assert [(form.prints, len(form.inks)) for form in forms(front, "one_side")] == [("front", 4)]
    assert [(form.prints, len(form.inks)) for form in forms(back, "one_side")] == [("back", 1)]


def test_grain_is_kept_on_every_layout():
    part = leaf(100, 150, bleed_mm=0, grain="long", stock=paper((450, 640), grain="long"))
    for layout in sheet_layouts(with_inks(part, CMYK), feed(bar=0)):
        # The grain runs along the parent's 640 mm side; that lies in the direction of travel
        # when the width of the press sheet comes from the 450 mm side.
        along_travel = layout.width_mm * layout.parts_across == pytest.approx(450)
        for piece in layout.pattern.placements():
            assert (piece.height > piece.width) == along_travel


def test_grain_costs_pieces_where_turning_would_gain_some():
    # 46 x 66 cm by 16 x 12 cm: 10 with the grain fixed, more when turned (paper case IM09).
    assert most_up(46, 66, 16, 12, rotate=False).up == 10
    assert most_up(46, 66, 16, 12).up > 10


def test_a_parent_is_cut_to_what_the_press_takes():
    part = with_inks(leaf(148, 210, stock=paper((640, 900))), CMYK)
    small = feed(width=460, length=330, bar=0)
    layouts = sheet_layouts(part, small)
    assert layouts
    for layout in layouts:
        assert small.takes(layout.width_mm, layout.length_mm)
        assert layout.out == layout.parts_across * layout.parts_along
        assert layout.area_m2 * layout.out <= 0.64 * 0.9 + 1e-9


def test_no_layout_when_the_piece_is_larger_than_the_press():
    assert works(leaf(800, 1100, stock=paper((900, 1280))), feed()) == ()


def test_of_two_layouts_kept_neither_is_worse_in_everything():
    part = with_inks(leaf(90, 130, stock=paper((640, 900), (720, 1020), (320, 450))), CMYK)
    kept = sheet_layouts(part, feed())
    assert len(kept) > 10
    for one in kept:
        for other in kept:
            worse = (
                one.up <= other.up,
                one.supply.price / one.out >= other.supply.price / other.out,
                one.length_mm >= other.length_mm and one.area_m2 >= other.area_m2,
                one.cuts(gutter_between=True) >= other.cuts(gutter_between=True),
                one.parts_across + one.parts_along >= other.parts_across + other.parts_along,
                one.out <= other.out,
            )
            assert one is other or not all(worse)


def test_a_whole_small_sheet_competes_with_one_cut_from_a_cheaper_parent():
    # Cutting parents takes a set-up and time, so the dearer sheet that needs none may win.
    part = with_inks(leaf(140, 200, stock=paper((640, 900), (320, 450))), CMYK)
    outs = {layout.out for layout in sheet_layouts(part, feed(width=331, length=488, bar=0))}
    assert {1, 4} <= outs


def test_a_gutter_costs_room_between_pieces():
    part = with_inks(leaf(100, 100, bleed_mm=0, stock=paper((420, 520))), CMYK)
    tight, spaced = part, replace(part, gutter_mm=6.0)
    flat = feed(width=520, length=420, gripper=0, tail=0, side=0, bar=0)
    assert max(layout.up for layout in sheet_layouts(tight, flat)) == 20
    # 5 x 100 + 4 x 6 = 524 mm is more than 520 and 4 x 100 + 3 x 6 = 418 mm less than 420.
    assert max(layout.up for layout in sheet_layouts(spaced, flat)) == 16


def test_a_reversing_drum_needs_a_gripper_at_both_ends():
    part = leaf(200, 280, bleed_mm=0, stock=paper((600, 900)))
    narrow = feed(gripper=21, tail=0, bar=0)  # 600 - 21 = 579 mm one way, 558 mm with two grippers
    assert best(part, narrow, "sheetwise") > best(part, narrow, "perfecting")


@pytest.mark.parametrize("sides", [0, 2])
def test_styles_follow_the_sides_that_print(sides):
    part = with_inks(leaf(100, 100), CMYK, CMYK if sides else ())
    styles = {work.layout.style for work in works(part, press("sheetfed_litho").press.feed)}
    assert ("one_side" in styles) == (sides == 0)


@given(
    width=st.integers(20, 700),
    height=st.integers(20, 700),
    gutter=st.sampled_from([0.0, 4.0]),
    grain=st.sampled_from(["any", "long", "short"]),
    styles=st.sampled_from([("work_and_turn",), ("work_and_tumble",), ("sheetwise", "perfecting")]),
)
def test_whether_a_piece_lies_on_a_feed_is_told_as_the_layouts_tell_it(
    width, height, gutter, grain, styles
):
    part = leaf(width, height, grain=grain, gutter_mm=gutter, stock=paper((640, 900), (320, 450)))
    press_feed = replace(feed(), work_styles=styles)
    assert holds_a_piece(part, press_feed) == bool(sheet_layouts(part, press_feed))
