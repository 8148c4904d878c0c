"""Cutting and folding rates against the handbook, and the steps of a part."""

from dataclasses import replace
from math import ceil

import pytest

from shop import BLACK, bindery, leaf, plant, stock, with_inks
from sidelay.feeds import ReelFeed, SheetFeed, WebFeed
from sidelay.finishing import findings, steps, unfinishable
from sidelay.imposition.reels import reel_layouts
from sidelay.imposition.sheets import sheet_layouts
from sidelay.job import Operation
from sidelay.machines import Deboss, Folder, Slitter, TableCutter, crosses
from sidelay.operations import FinishingMachine
from sidelay.stock import ParentSheet, Reel

A4 = {"width_mm": 210, "height_mm": 297}
SHEETS = SheetFeed(100, 330, 100, 482, 4, 3, 3, 0, ("one_side", "perfecting"))


def folded(folds, width, height, flat=(297, 210), gsm=130.0):
    return leaf(
        width,
        height,
        flat_width_mm=flat[0],
        flat_height_mm=flat[1],
        folds=folds,
        stock=stock(grammage_gsm=gsm),
    )


def layouts(part):
    return sheet_layouts(with_inks(part, BLACK), SHEETS)


def test_eight_cuts_of_a_lift_take_seven_point_four_minutes():
    # bvdm training tables 2008, Mediencommunity course LE03.
    assert bindery().guillotine.minutes_per_lift(8) == pytest.approx(7.4)
    assert bindery().guillotine.minutes_per_lift(2) == pytest.approx(5.0)


def test_a_35_inch_sheet_folds_at_6233_an_hour():
    # Bindagraphics, Estimating folding time: 4,000 in/min, 10 % gap (paper case FN02).
    speed = 4_000 * 0.0254
    folder = Folder("f", 0, 0, speed, speed, 0.10, 0, 0, 2000, 2000, 300, 4, 170, "test")
    assert folder.pieces_per_hour(folded(1, 444.5, 297, flat=(889, 297))) == pytest.approx(
        6233, abs=1
    )


def test_right_angle_folds_are_recognised_and_slower():
    parallel, crossing = folded(2, 99, 210), folded(2, 148.5, 105)
    assert not crosses(parallel)
    assert crosses(crossing)
    folder = bindery().folder
    assert folder.pieces_per_hour(crossing) < folder.pieces_per_hour(parallel)


def test_steps_come_in_the_order_of_production():
    part = leaf(
        99,
        210,
        flat_width_mm=297,
        folds=2,
        pages=6,
        stock=stock(sheets=(ParentSheet(640, 900, "long", 0.1, "t"),)),
    )
    names = {
        tuple(step.name for step in steps(part, layout, SHEETS, False, PLANT))
        for layout in layouts(part)
    }
    assert names == {("cut_parents", "cut", "fold")}


def test_a_sheet_that_is_the_piece_needs_no_knife():
    part = leaf(**A4, bleed_mm=0, stock=stock(sheets=(ParentSheet(210, 297, "long", 0.006, "t"),)))
    part = with_inks(part, BLACK)
    feed = SheetFeed(100, 330, 100, 482, 0, 0, 0, 0, ("one_side",))
    whole = [each for each in sheet_layouts(part, feed) if each.out == 1]
    assert {layout.up for layout in whole} == {1}
    assert [steps(part, layout, SHEETS, False, PLANT) for layout in whole] == [()] * len(whole)


@pytest.mark.parametrize(
    ("part", "code"),
    [
        (folded(1, 400, 600, flat=(800, 600)), "fold_size"),
        (folded(5, 99, 210), "fold_count"),
        (folded(1, 148, 210, gsm=300.0), "fold_grammage"),
    ],
)
def test_what_the_folder_cannot_do_is_a_limit_with_a_remedy(part, code):
    found = findings(part, SHEETS, False, PLANT)
    (finding,) = [each for each in found if each.severity == "limit"]
    assert finding.code == code
    assert finding.remedy


def test_heavy_stock_is_to_be_scored_first():
    (finding,) = findings(folded(1, 148, 210, gsm=200.0), SHEETS, False, PLANT)
    assert (finding.severity, finding.code) == ("caution", "score_first")


def test_an_unfolded_piece_meets_no_folder():
    heavy = leaf(800, 600, stock=stock(grammage_gsm=350.0))
    assert findings(heavy, SHEETS, False, PLANT) == []


REEL = Reel(330, 2000, 0.6, "t")
SLITTER = Slitter("slit", 15, 10, 120, 40, 0.5, 0.25, 140, 10, 0.005, "test")
DEBOSS = Deboss(0.60, 45, 0.4, 60, 70, 0.02, ("coated",), 100, "test")
TABLE = TableCutter("table", 6, 12, 0.5, "test")
PLANT = plant()
ON_REELS = plant(bindery=replace(bindery(), slitter=SLITTER, deboss=DEBOSS))
LABELS = ReelFeed(100, 340, (), 1, 500, 5, False, False, False, 0.01)


def label_steps(feed, **figures):
    part = leaf(70, 100, kind="label", bleed_mm=0.0, gutter_mm=3.0, **figures)
    part = with_inks(replace(part, stock=stock(sheets=(), reels=(REEL,))), BLACK)
    layout = reel_layouts(part, feed)[0]
    return layout, steps(part, layout, feed, False, ON_REELS)


def test_labels_cut_on_the_press_are_only_slit():
    layout, (slit,) = label_steps(replace(LABELS, dies_in_line=True))
    assert (slit.name, slit.set_up_min, slit.tool_price) == ("slit", 15, 0)
    assert slit.minutes == pytest.approx(layout.length_mm / 1000 / 120)
    assert slit.set_up_waste == ceil(10_000 / layout.length_mm)


def test_labels_off_a_press_without_dies_are_cut_on_the_slitter_at_its_slower_speed():
    layout, (slit,) = label_steps(LABELS)
    assert (slit.name, slit.set_up_min, slit.tool_price) == ("die_cut_and_slit", 25, 140)
    assert slit.minutes == pytest.approx(layout.length_mm / 1000 / 40)


def test_finished_reels_take_a_core_and_a_change_each():
    _, (_, wind) = label_steps(LABELS, pieces_per_reel=1_000)
    assert (wind.unit, wind.per, wind.minutes, wind.price) == ("piece", 1_000, 0.5, 0.25)


def test_without_a_slitter_no_reels():
    (found,) = findings(leaf(kind="label"), LABELS, False, PLANT)
    assert (found.severity, found.code) == ("limit", "no_slitter")
    assert findings(leaf(kind="label"), LABELS, False, ON_REELS) == []


def test_a_flat_print_is_debossed_afterwards_where_somebody_does_it():
    part = with_inks(leaf(100, 200, impression="deep"), BLACK)
    (caution,) = findings(part, SHEETS, False, ON_REELS)
    assert (caution.severity, caution.code) == ("caution", "debossed_after")
    (limit,) = findings(part, SHEETS, False, PLANT)
    assert (limit.severity, limit.code) == ("limit", "flat_print")
    deboss = steps(part, layouts(part)[0], SHEETS, False, ON_REELS)[-1]
    # 200 cm2, of which the die covers 40 %: 80 cm2 at 0.60 are 48; 60 for the set-up.
    assert (deboss.kind, deboss.tool_price, deboss.set_up_price) == ("outwork", 48, 60)
    assert deboss.price == 0.07


def test_a_process_that_impresses_needs_no_deboss():
    part = leaf(100, 200, impression="deep")
    assert findings(part, SHEETS, True, PLANT) == []
    names = [step.name for step in steps(part, layouts(part)[0], SHEETS, True, ON_REELS)]
    assert "deboss" not in names


def test_a_section_folded_on_the_press_meets_no_folder():
    web = WebFeed(400, 813, 578, 578, 0, 0, 4, 2, True, True, 0.016)
    part = leaf(289, 380, kind="section", flat_width_mm=1156, flat_height_mm=760, pages=16, folds=3)
    assert findings(part, web, False, PLANT) == []
    assert findings(part, replace(web, folds=False), False, PLANT)[0].code == "fold_size"


@pytest.mark.parametrize(
    "change",
    [
        {"kind": "label"},
        {"stock": stock(grade="vinyl")},
        {"stock": stock(caliper_um=99.0)},
    ],
)
def test_a_stock_that_holds_no_impression_is_not_debossed(change):
    part = replace(leaf(100, 200, impression="deep"), **change)
    codes = [each.code for each in findings(part, SHEETS, False, ON_REELS)]
    assert "flat_print" in codes


def test_each_side_is_debossed_and_before_the_fold():
    part = leaf(100, 200, flat_width_mm=200, folds=1, pages=4, impression="deep")
    steps_of = steps(part, layouts(part)[0], SHEETS, False, ON_REELS)
    assert [step.name for step in steps_of][-2:] == ["deboss", "fold"]
    one_side = with_inks(part, BLACK)
    once = steps(one_side, layouts(part)[0], SHEETS, False, ON_REELS)[-2]
    both = steps(part, layouts(part)[0], SHEETS, False, ON_REELS)[-2]
    assert (both.tool_price, both.set_up_price) == (2 * once.tool_price, 2 * once.set_up_price)


def test_the_knife_takes_neither_wide_sheets_nor_thick_ones():
    knife = bindery().guillotine
    assert knife.takes(720, 1020, 300)
    assert not knife.takes(720, 1220, 300)
    assert not knife.takes(720, 1020, 3000)


def test_rows_off_a_roll_and_thick_boards_are_cut_on_the_table_and_spoil_nothing():
    roll = replace(LABELS, max_width_mm=1600, max_repeat_mm=5000, cuts_off=True)
    poster = with_inks(leaf(594, 841, bleed_mm=3.0), BLACK)
    paper = stock(sheets=(), reels=(Reel(914, 50, 0.6, "t"),))
    poster = replace(poster, stock=paper)
    shop = plant(bindery=replace(bindery(), table_cutter=TABLE))
    layout = reel_layouts(poster, roll)[0]
    (cut,) = steps(poster, layout, roll, False, shop)
    assert (cut.name, cut.set_up_waste, cut.running_waste) == ("cut_on_table", 0, 0)
    assert cut.minutes == pytest.approx(0.5 + 2 * (0.594 + 0.841) / 12)
    assert unfinishable(poster, layout, roll, shop) == []
    assert [f.code for f in unfinishable(poster, layout, roll, PLANT)] == ["no_cutter"]


def test_a_parent_too_large_for_the_knife_is_not_cut_before_printing():
    bed = SheetFeed(200, 3050, 200, 1600, 0, 0, 0, 0, ("one_side",))
    board = stock(caliper_um=3000.0, sheets=(ParentSheet(1220, 2440, "long", 17.5, "t"),))
    part = with_inks(leaf(420, 594, bleed_mm=0.0, stock=board), BLACK)
    shop = plant(bindery=replace(bindery(), table_cutter=TABLE))
    kept = [each for each in sheet_layouts(part, bed) if not unfinishable(part, each, bed, shop)]
    assert {each.out for each in kept} == {1}


def by_hand(**figures):
    """A plant that folds by hand what is too heavy for its folder."""
    hand = {"id": "bench", "name": "by hand", "operation": "hand_fold", "unit": "flat"}
    machine = FinishingMachine(**hand, units_per_hour=500, cost_centre="knife", folds=True)
    return plant(operations=(machine,), **figures)


def test_what_is_too_heavy_for_the_folder_is_folded_by_hand_where_somebody_does():
    heavy = folded(1, 148.5, 210, gsm=350)
    (limit,) = findings(heavy, SHEETS, False, by_hand())
    assert limit.code == "fold_grammage"
    assert limit.remedy.endswith("or crease it and ask for hand_fold")
    asked = replace(heavy, operations=(Operation("hand_fold"),))
    # Uncreased it may still crack, and is told so; the folder has no part in it.
    assert [each.code for each in findings(asked, SHEETS, False, by_hand())] == ["score_first"]
    done = [step.name for step in steps(asked, layouts(asked)[0], SHEETS, False, by_hand())]
    assert done[-1] == "hand_fold"
    assert "fold" not in done
