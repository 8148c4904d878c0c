"""Repeats, rows across and around, matrix; finished reels; single pieces."""

from dataclasses import replace
from itertools import product
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st
from marshmallow import ValidationError

from shop import BLACK, CMYK, leaf, stock, with_inks
from sidelay.feed_schemas import ReelFeedSchema
from sidelay.feeds import PieceFeed, ReelFeed
from sidelay.imposition.pieces import piece_layouts
from sidelay.imposition.reels import reel_layouts
from sidelay.reel import plate_elongation, plate_length, repeat_mm
from sidelay.stock import Blank, Reel

REELS = (Reel(250, 2000, 0.6, "test"), Reel(330, 2000, 0.6, "test"))
EIGHTH_CP = tuple(repeat_mm(teeth, circular_pitch_mm=3.175) for teeth in range(60, 161))
GEARED = ReelFeed(100, 340, EIGHTH_CP, 0, 0, 5, False, True, False, 0.01)
SLEEVES = ReelFeed(400, 1300, (), 300, 1100, 10, True, False, False, 0.01)
ROWS = ReelFeed(100, 1600, (), 1, 5000, 5, False, False, True, 0.0)


def label(width=70, height=100, *, gap=3.0, bleed=0.0, reels=REELS):
    part = leaf(width, height, kind="label", bleed_mm=bleed, gutter_mm=gap)
    return with_inks(replace(part, stock=stock(sheets=(), reels=reels)), BLACK)


def test_repeats_by_circular_and_by_diametral_pitch():
    assert repeat_mm(96, circular_pitch_mm=3.175) == pytest.approx(12 * 25.4)
    # Pitch diameter = teeth / DP, circumference = pi times that (definition of diametral pitch).
    assert repeat_mm(80, diametral_pitch=10) == pytest.approx(8 * pi * 25.4, abs=1e-3)
    for pitches in ({}, {"circular_pitch_mm": 3.0, "diametral_pitch": 8}):
        with pytest.raises(ValueError, match="either"):
            repeat_mm(80, **pitches)


def test_a_plate_stretches_by_what_lies_above_its_base():
    stretch = plate_elongation(304.8, 1.7018, 0.178)
    assert stretch == pytest.approx(2 * pi * (1.7018 - 0.178) / 304.8)
    assert plate_length(304.8, 1.7018, 0.178) == pytest.approx(304.8 * (1 - stretch))
    with pytest.raises(ValueError, match="base_thickness"):
        plate_elongation(304.8, 0.178, 0.178)


def test_gears_are_loaded_as_the_repeats_they_give():
    feed = ReelFeedSchema().load(
        {"min_width_mm": 100, "max_width_mm": 330, "min_teeth": 60, "max_teeth": 62}
        | {"circular_pitch_mm": 3.175}
    )
    assert feed.repeats_mm == pytest.approx((190.5, 193.675, 196.85))
    assert (feed.min_repeat_mm, feed.max_repeat_mm) == (feed.repeats_mm[0], feed.repeats_mm[-1])


@pytest.mark.parametrize(
    "told",
    [
        {},
        {"min_teeth": 60, "max_teeth": 80},
        {"min_teeth": 60, "circular_pitch_mm": 3.175},
        {"min_teeth": 60, "max_teeth": 80, "circular_pitch_mm": 3.175, "diametral_pitch": 8},
        {"min_repeat_mm": 300},
        {"repeats_mm": [300.0], "min_repeat_mm": 300, "max_repeat_mm": 500},
    ],
)
def test_repeats_must_be_told_in_one_way(told):
    with pytest.raises(ValidationError):
        ReelFeedSchema().load({"min_width_mm": 100, "max_width_mm": 330} | told)


def test_labels_spread_evenly_on_the_cylinder_that_wastes_least():
    best = reel_layouts(label(), GEARED)[0]
    # Turned, a label and its gap are 73 mm around: 23 teeth, 73.025 mm, waste next to nothing.
    per_label = best.area_m2 / best.up
    assert best.length_mm in EIGHTH_CP
    assert per_label == pytest.approx(min(waste_free(label(), GEARED)), rel=1e-9)


def waste_free(part, feed):
    """Area a piece for every reel, way and cylinder: the long way round."""
    for reel, (wide, long), repeat in product(
        part.stock.reels,
        ((part.flat_width_mm, part.flat_height_mm), (part.flat_height_mm, part.flat_width_mm)),
        feed.repeats_mm,
    ):
        gap = part.gutter_mm
        across = int((reel.width_mm - 2 * feed.side_mm + gap + 1e-6) // (wide + gap))
        around = int((repeat + 1e-6) // (long + gap))
        if across and around:
            yield reel.width_mm * repeat / 1e6 / (across * around)


@given(width=st.integers(15, 300), height=st.integers(15, 300), gap=st.sampled_from([0.0, 3.0]))
def test_the_first_layout_takes_least_web_and_none_is_worse_in_everything(width, height, gap):
    part = label(width, height, gap=gap)
    found = reel_layouts(part, GEARED)
    every = list(waste_free(part, GEARED))
    assert bool(found) == bool(every)
    if found:
        assert found[0].area_m2 / found[0].up == pytest.approx(min(every), rel=1e-8)
    for one, other in product(found, found):
        worse = (
            one.area_m2 / one.up >= other.area_m2 / other.up,
            one.length_mm / one.up >= other.length_mm / other.up,
            one.area_m2 >= other.area_m2,
            one.width_mm >= other.width_mm,
            all(a >= b - 1e-6 for a, b in zip(printed(one), printed(other), strict=True)),
            one.up <= other.up,
        )
        assert one is other or not all(worse)


def printed(layout):
    """Area of the repeat under the plates, and their width."""
    wide = max(place.x + place.width for place in layout.pattern.placements())
    return wide * layout.length_mm, wide


def test_a_wider_reel_that_runs_faster_competes_with_one_that_wastes_less():
    # 160 mm panels: 4 on 660 mm waste 3 %, 6 on 1,040 mm 8 %, in two thirds of the metres.
    part = with_inks(leaf(160, 380, kind="web", bleed_mm=0.0), CMYK)
    reels = (Reel(660, 4000, 0.3, "test"), Reel(1040, 4000, 0.3, "test"))
    found = reel_layouts(replace(part, stock=stock(sheets=(), reels=reels)), SLEEVES)
    assert {660, 1040} == {layout.width_mm for layout in found}


def test_pieces_lie_where_the_pattern_says_and_never_overlap():
    for layout in reel_layouts(label(), GEARED):
        places = layout.pattern.placements()
        assert len(places) == layout.up == layout.across * layout.around
        for one, other in product(places, places):
            apart = (
                one.x + one.width <= other.x + 1e-6
                or other.x + other.width <= one.x + 1e-6
                or one.y + one.height <= other.y + 1e-6
                or other.y + other.height <= one.y + 1e-6
            )
            assert one is other or apart
        assert max(place.x + place.width for place in places) <= layout.width_mm - 10 + 1e-6


def test_sleeves_take_any_repeat_that_is_a_whole_number_of_panels():
    part = with_inks(leaf(160, 240, kind="web", bleed_mm=0.0), CMYK)
    part = replace(part, stock=stock(sheets=(), reels=(Reel(1040, 4000, 0.3, "test"),)))
    for layout in reel_layouts(part, SLEEVES):
        step = layout.length_mm / layout.around
        assert step == 240  # panels are never turned: their height runs along the web
        assert 300 <= layout.length_mm <= 1100


def test_a_plateless_press_prints_row_by_row():
    part = with_inks(leaf(594, 841, bleed_mm=0.0), CMYK)
    part = replace(part, stock=stock(sheets=(), reels=(Reel(914, 50, 0.6, "test"),)))
    found = reel_layouts(part, ROWS)
    # 841 of 914 mm across wastes less than 594 of 914; the other prints a narrower strip.
    assert [(each.across, each.around, each.length_mm) for each in found] == [
        (1, 1, 594),
        (1, 1, 841),
    ]
    assert found[0].delivery == "sheet"


def test_the_back_needs_a_turn_bar():
    part = with_inks(label(), BLACK, BLACK)
    assert reel_layouts(part, GEARED) == ()
    assert reel_layouts(part, replace(GEARED, both_sides=True))[0].style == "perfecting"


@pytest.mark.parametrize(
    ("size", "sides", "both", "count"),
    [
        ((300, 380), 1, False, 1),
        ((300, 380), 2, True, 1),
        ((300, 380), 2, False, 0),
        ((380, 300), 1, True, 0),
        ((300, 430), 1, True, 0),
    ],
)
def test_a_print_lies_on_a_piece_as_it_is(size, sides, both, count):
    blank = Blank("shirt", 360, 420, 2.5, "test")
    part = with_inks(leaf(*size, kind="piece", bleed_mm=0.0), BLACK, BLACK if sides == 2 else ())
    part = replace(part, stock=stock(sheets=(), blanks=(blank,)))
    found = piece_layouts(part, PieceFeed(400, 500, both))
    assert len(found) == count
    assert all(each.up == 1 and each.delivery == "piece" for each in found)
