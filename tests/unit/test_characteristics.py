"""The table of processes: what presses can do together, and what lies on the largest they take."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shop import demo, example, leaf, stock
from sidelay.characteristics import merged
from sidelay.feeds import PieceFeed, ReelFeed, SheetFeed, WebFeed, both_sides_in_one_pass
from sidelay.halftone import Tones, tone_steps
from sidelay.imposition.most_on import largest_mm, most_on
from sidelay.promises import BadAnswer, checked_abilities
from sidelay.work import Abilities

SHEET = SheetFeed(100, 1030, 100, 720, 10, 5, 5, 10, ("one_side", "sheetwise"))
REEL = ReelFeed(100, 330, (304.8, 406.4), 304.8, 406.4, 5, False, True, False, 0.01)
WEB = WebFeed(300, 965, 620, 620, 5, 4, 1, 1, True, True, 0.01)
PALLET = PieceFeed(380, 440, True)

SMALL = Abilities(
    inks_in_one_pass=2,
    two_sided=False,
    special_inks=("spot",),
    grades=("uncoated", "board"),
    caliper_um=(60, 300),
    grammage_gsm=(60, 250),
    finest_ruling_lpi=150,
    tones=Tones(1200),
    finest_quality="office",
    register_mm=0.3,
    rated_speed=8_000,
)
LARGE = Abilities(
    inks_in_one_pass=5,
    two_sided=True,
    special_inks=("varnish", "spot"),
    grades=("coated", "uncoated"),
    caliper_um=(40, 600),
    grammage_gsm=(70, 400),
    finest_ruling_lpi=200,
    tones=Tones(2400),
    finest_quality="fine",
    register_mm=0.15,
    rated_speed=18_000,
)


def test_presses_together_can_do_what_any_can_and_their_figures_run_from_to():
    found = merged([SMALL, LARGE])
    assert found.inks_in_one_pass == (2, 5)
    assert found.two_sided is True
    assert found.special_inks == ("spot", "varnish")
    assert found.grades == ("board", "coated", "uncoated")
    assert (found.caliper_um, found.grammage_gsm) == ((40, 600), (60, 400))
    assert found.finest_ruling_lpi == (150, 200)
    # (1200 / 150)^2 + 1 and (2400 / 200)^2 + 1
    assert found.tone_steps == (65, 145)
    assert found.quality == ("office", "fine")
    assert found.register_mm == (0.15, 0.3)
    assert found.rated == (("{cycle}/h", 8_000, 18_000),)
    assert merged([LARGE, SMALL]) == found


def test_what_no_press_tells_is_none_and_what_one_tells_stands():
    nothing = merged([Abilities(), Abilities()])
    assert nothing.rated == ()
    assert {getattr(nothing, name) for name in nothing.__slots__ if name != "rated"} == {None}
    assert replace(merged([SMALL, Abilities()]), rated=()) == replace(merged([SMALL]), rated=())


def test_no_two_sided_press_and_no_special_ink_are_told_as_such():
    plain = replace(SMALL, special_inks=())
    found = merged([plain, plain])
    assert (found.two_sided, found.special_inks) == (False, ())


def test_one_press_for_all_grades_makes_it_all_grades():
    assert merged([SMALL, replace(LARGE, grades=())]).grades == ()


def test_ratings_in_several_units_stand_apart():
    web = replace(LARGE, rated_speed=150.0, rated_unit="m/min")
    slow = replace(LARGE, rated_speed=50.0, rated_unit="m/min")
    found = merged([SMALL, web, slow]).rated
    assert found == (("m/min", 50.0, 150.0), ("{cycle}/h", 8_000, 8_000))


def test_tone_steps_are_those_of_a_cell_less_what_does_not_hold():
    assert Tones(2400).steps(200) == tone_steps(2400, 200) == 145
    assert Tones(600, grey_levels=3).steps(150) == 16 * 3 + 1
    assert Tones(2400, held_share=0.7).steps(200) == int(0.7 * 145)
    assert Tones(levels=2).steps(40) == 2
    assert Abilities(tones=Tones(2400)).tone_steps() is None  # at which ruling?
    assert Abilities(tones=Tones(2400)).tone_steps(100) == 256
    assert Abilities(tones=Tones(levels=64)).tone_steps() == 64
    assert Abilities(finest_ruling_lpi=100).tone_steps() is None


def test_the_largest_that_each_feed_takes():
    assert largest_mm(SHEET) == (1030, 720)
    assert largest_mm(REEL) == (330, 406.4)
    assert largest_mm(replace(REEL, repeats_mm=(), max_repeat_mm=900)) == (330, 900)
    assert largest_mm(WEB) == (965, 620)
    assert largest_mm(PALLET) == (380, 440)


@pytest.mark.parametrize("grain", ["any", "long"])
def test_pages_on_a_sheet_keep_bleed_margins_and_gutters(grain):
    """1,020 x 695 mm print: 1,030 less 2 x 5, 720 less 10, 5 and 10. A3 with bleed is 303 x 426.

    Turned 2 x 426 = 852 across and 2 x 303 = 606 along hold four, upright 3 x 1 hold three. With
    gutters of 20 mm 872 x 626 still hold four; with 100 mm 2 x 303 + 100 = 706 mm are too long, so
    that two lie side by side.
    """
    a3 = leaf(297, 420, bleed_mm=3.0, grain=grain)
    held = [most_on(replace(a3, gutter_mm=gutter), SHEET) for gutter in (0.0, 20.0, 100.0)]
    assert held == [4, 4, 2]


def test_pages_on_a_sheet_are_none_that_fits_and_nothing_where_it_cannot_be_fed():
    assert most_on(leaf(900, 1200), SHEET) == 0
    assert most_on(leaf(60, 50, kind="label"), SHEET) is None
    assert most_on(leaf(60, 50, kind="piece"), SHEET) is None


def test_a_ready_made_envelope_lies_alone():
    envelope = leaf(229, 162, kind="envelope", ready_made=True, bleed_mm=0.0)
    assert most_on(envelope, SHEET) == 1
    assert most_on(replace(envelope, flat_width_mm=90.0, flat_height_mm=50.0), SHEET) == 0


def test_labels_on_the_longest_repeat():
    """Width 320 mm: 5 x 60 + 4 x 3 = 312 across; repeat 406.4: 7 x 53 = 371 around."""
    label = leaf(60, 50, kind="label", bleed_mm=0.0, gutter_mm=3.0, grain="short")
    assert most_on(replace(label, back=replace(label.back, inks=())), REEL) == 5 * 7
    # Both sides ask for a turn bar to print, but lie as well: one side is what is counted.
    assert most_on(label, REEL) == 5 * 7


def test_pages_of_a_cut_off_of_one_web():
    """965 mm hold 4 pages of 210 + bleed across, 620 mm 2 of 297 around: the 16-page press."""
    magazine = leaf(210, 297, kind="section", pages=16, grain="any", bleed_mm=3.0)
    assert most_on(magazine, WEB) == 8


def test_pieces_one_at_a_time():
    shirt = leaf(300, 400, kind="piece", bleed_mm=0.0)
    assert most_on(shirt, PALLET) == 1
    assert most_on(replace(shirt, flat_width_mm=390.0), PALLET) == 0


def test_pages_of_a_book_are_those_of_the_sections_that_fit():
    """B1 holds sections of 16 pages A4 (8 a side): common practice, no source."""
    book = example("concert_programme").parts[0]
    a4 = replace(
        book, width_mm=210.0, height_mm=297.0, flat_width_mm=420.0, flat_height_mm=297.0, pages=16
    )
    assert a4.bound_in is not None
    assert most_on(a4, SHEET) == 8
    assert most_on(replace(a4, pages=8), SHEET) == 8  # two sections of 8 pages beside each other


def test_both_sides_in_one_pass_by_feed():
    assert both_sides_in_one_pass(replace(SHEET, work_styles=("one_side", "perfecting")))
    assert not both_sides_in_one_pass(SHEET)
    assert both_sides_in_one_pass(WEB)
    assert not both_sides_in_one_pass(REEL)
    assert not both_sides_in_one_pass(PALLET)


@pytest.mark.parametrize(
    "wrong",
    [
        {"inks_in_one_pass": 0},
        {"inks_in_one_pass": 2.5},
        {"two_sided": 1},
        {"special_inks": ("process",)},
        {"special_inks": ["spot"]},
        {"grades": ("\ud800",)},
        {"caliper_um": (300, 60)},
        {"caliper_um": (float("nan"), 60)},
        {"grammage_gsm": 80},
        {"finest_ruling_lpi": 0},
        {"register_mm": float("inf")},
        {"rated_speed": -1},
        {"rated_unit": "mph"},
        {"finest_quality": "superb"},
        {"tones": 256},
        {"tones": Tones()},
        {"tones": Tones(2400, grey_levels=0)},
        {"tones": Tones(2400, held_share=1.5)},
        {"tones": Tones(levels=0)},
    ],
    ids=str,
)
def test_abilities_that_cannot_be_shown_break_the_promise(wrong):
    (name,) = wrong
    with pytest.raises(BadAnswer, match=name):
        checked_abilities(replace(LARGE, **wrong))


def test_abilities_may_be_left_out_but_must_be_abilities():
    assert checked_abilities(None) is None
    assert checked_abilities(LARGE) == LARGE
    assert checked_abilities(Abilities()) == Abilities()
    with pytest.raises(BadAnswer, match="abilities must answer Abilities"):
        checked_abilities({"inks_in_one_pass": 2})


def test_every_press_of_the_demo_plant_takes_something_of_some_size():
    for installed in demo().presses:
        width, length = largest_mm(installed.press.feed)
        assert width > 0
        assert length > 0
    assert most_on(leaf(50, 50, stock=stock()), demo().presses[0].press.feed)
