"""Cutting and folding rates against the handbook, and the steps of a part."""

import pytest

from shop import BLACK, bindery, leaf, stock, with_inks
from sidelay.feeds import SheetFeed
from sidelay.finishing import Folder, crosses, findings, steps
from sidelay.imposition.sheets import sheet_layouts
from sidelay.stock import ParentSheet

A4 = {"width_mm": 210, "height_mm": 297}


def folded(folds, width, height, flat=(297, 210), gsm=130.0):
    return leaf(
        width,
        height,
        flat_width_mm=flat[0],
        flat_height_mm=flat[1],
        folds=folds,
        stock=stock(grammage_gsm=gsm),
    )


def layouts(part, width=330, length=482):
    feed = SheetFeed(100, width, 100, length, 4, 3, 3, 0, ("one_side", "perfecting"))
    return sheet_layouts(with_inks(part, BLACK), feed)


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
        tuple(step.name for step in steps(part, layout, bindery())) for layout in layouts(part)
    }
    assert names == {("cut_parents", "cut", "fold")}


def test_a_sheet_that_is_the_piece_needs_no_knife():
    part = leaf(**A4, bleed_mm=0, stock=stock(sheets=(ParentSheet(210, 297, "long", 0.006, "t"),)))
    part = with_inks(part, BLACK)
    feed = SheetFeed(100, 330, 100, 482, 0, 0, 0, 0, ("one_side",))
    whole = [each for each in sheet_layouts(part, feed) if each.out == 1]
    assert {layout.up for layout in whole} == {1}
    assert [steps(part, layout, bindery()) for layout in whole] == [()] * len(whole)


@pytest.mark.parametrize(
    ("part", "code"),
    [
        (folded(1, 400, 600, flat=(800, 600)), "fold_size"),
        (folded(5, 99, 210), "fold_count"),
        (folded(1, 148, 210, gsm=300.0), "fold_grammage"),
    ],
)
def test_what_the_folder_cannot_do_is_a_limit_with_a_remedy(part, code):
    (finding,) = [each for each in findings(part, bindery()) if each.severity == "limit"]
    assert finding.code == code
    assert finding.remedy


def test_heavy_stock_is_to_be_scored_first():
    (finding,) = findings(folded(1, 148, 210, gsm=200.0), bindery())
    assert (finding.severity, finding.code) == ("caution", "score_first")


def test_an_unfolded_piece_meets_no_folder():
    assert findings(leaf(800, 600, stock=stock(grammage_gsm=350.0)), bindery()) == []
