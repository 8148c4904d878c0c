"""Why a press cannot take a part: the code, and a remedy that clears it when it is followed."""

from dataclasses import replace

import pytest

from shop import BLACK, CMYK, leaf, stock, with_inks
from sidelay.feeds import PieceFeed, ReelFeed, SheetFeed, WebFeed
from sidelay.imposition.refusals import no_layout, unfit_findings
from sidelay.imposition.works import layouts_for
from sidelay.stock import Blank, ParentSheet, Reel

SHEETS = SheetFeed(100, 520, 100, 360, 10, 5, 5, 0, ("one_side", "sheetwise"))
WEB = WebFeed(400, 520, 620, 620, 5, 4, 1, 1, True, True, 0.016, 500, 50_000)
REELS = ReelFeed(200, 340, (304.8, 381.0), 0, 0, 5, False, True, False, 0.01)
PIECES = PieceFeed(350, 400, False)
REEL = Reel(520, 8_000, 0.1, "test")
NARROW = Reel(330, 2_000, 0.6, "test")
SHIRT = Blank("shirt", 360, 420, 2.5, "test")


def part_on(kind, width, height, *, sides=1, **figures):
    made_of = {key: figures.pop(key) for key in ("sheets", "reels", "blanks") if key in figures}
    paper = stock(**({"sheets": ()} | made_of))
    part = leaf(width, height, kind=kind, bleed_mm=0.0, stock=paper, **figures)
    return with_inks(part, CMYK, CMYK if sides == 2 else ())


@pytest.mark.parametrize(
    ("kind", "feed"),
    [
        ("label", SHEETS),
        ("piece", SHEETS),
        ("label", WEB),
        ("section", REELS),
        ("leaf", REELS),
        ("leaf", PIECES),
    ],
)
def test_a_press_of_another_kind(kind, feed):
    (found,) = unfit_findings(part_on(kind, 100, 100, reels=(REEL,)), feed)
    assert (found.severity, found.code) == ("limit", "kind_not_made")
    assert all(made in found.limit for made in feed.makes)
    assert found.remedy == "use another press"


def test_a_roll_that_cuts_off_makes_leaves_too():
    assert "leaf" in replace(REELS, cuts_off=True).makes


@pytest.mark.parametrize(
    ("kind", "feed", "supply"),
    [
        ("leaf", SHEETS, {"reels": (REEL,)}),
        ("leaf", WEB, {"sheets": (ParentSheet(640, 900, "long", 0.1, "test"),)}),
        ("label", REELS, {"sheets": (ParentSheet(640, 900, "long", 0.1, "test"),)}),
        ("piece", PIECES, {"reels": (REEL,)}),
    ],
)
def test_a_stock_that_is_not_bought_in_that_form(kind, feed, supply):
    (found,) = unfit_findings(part_on(kind, 100, 100, **supply), feed)
    assert (found.code, found.severity) == ("stock_form", "limit")
    assert found.limit in found.remedy


@pytest.mark.parametrize(
    ("part", "feed", "code"),
    [
        (part_on("leaf", 600, 400, sheets=(ParentSheet(720, 1020, "long", 1, "t"),)), SHEETS,
         "size_above"),
        (part_on("leaf", 300, 200, sheets=(ParentSheet(210, 297, "long", 1, "t"),)), SHEETS,
         "no_sheet"),
        (part_on("leaf", 600, 700, reels=(REEL,)), WEB, "size_above"),
        (part_on("leaf", 100, 100, reels=(NARROW,)), WEB, "no_reel"),
        (part_on("leaf", 100, 100, reels=(Reel(520, 50, 0.6, "t"),)), WEB, "no_reel"),
        (part_on("label", 400, 400, reels=(NARROW,)), REELS, "size_above"),
        (part_on("label", 100, 100, reels=(REEL,)), REELS, "no_reel"),
        (part_on("label", 50, 50, sides=2, reels=(NARROW,)), REELS, "one_side_only"),
        (part_on("piece", 355, 300, blanks=(SHIRT,)), PIECES, "size_above"),
        (part_on("piece", 100, 100, sides=2, blanks=(SHIRT,)), PIECES, "one_side_only"),
    ],
)  # fmt: skip
def test_why_there_is_no_layout(part, feed, code):
    assert unfit_findings(part, feed) == []
    assert layouts_for(part, feed) == ()
    found = no_layout(part, feed)
    assert (found.severity, found.code) == ("limit", code)
    assert found.remedy


def test_a_grain_that_nothing_meets():
    paper = (ParentSheet(330, 480, "long", 1, "t"),)
    part = part_on("leaf", 300, 440, sheets=paper, grain="short")
    assert no_layout(part, SHEETS).code == "grain_unmet"
    assert layouts_for(replace(part, grain="long"), SHEETS)


@pytest.mark.parametrize("pages", [12, 24, 40])
def test_a_section_that_makes_no_whole_cut_offs_is_told_one_that_does(pages):
    part = part_on("section", 148, 210, pages=pages, reels=(REEL,))
    part = with_inks(part, BLACK, BLACK)
    found = no_layout(part, WEB)
    assert found.code == "pages_unfit"
    assert found.limit % 4 == 0
    assert str(found.limit) in found.remedy
    assert layouts_for(replace(part, pages=found.limit), WEB)


@pytest.mark.parametrize("size", [(600, 400), (500, 340)])
def test_a_piece_too_large_is_told_a_size_that_lies_on_its_sheets(size):
    sheets = (ParentSheet(330, 480, "long", 1, "t"),)
    found = no_layout(part_on("leaf", *size, sheets=sheets), SHEETS)
    assert found.code in ("size_above", "no_sheet")
    within = [float(side) for side in found.limit.split(" x ")]
    assert found.limit in found.remedy
    assert layouts_for(part_on("leaf", *within, sheets=sheets), SHEETS)


def test_a_label_too_large_is_told_a_size_that_leaves_its_gap():
    part = part_on("label", 400, 400, reels=(NARROW,), gutter_mm=3.0)
    within = [float(side) for side in no_layout(part, REELS).limit.split(" x ")]
    assert layouts_for(part_on("label", *within, reels=(NARROW,), gutter_mm=3.0), REELS)
