"""How stocks of a plant file are sold: packs, least orders, price breaks, and what is refused."""

from itertools import pairwise

import pytest

from plant_faults import plainly
from shop import DEMO_FILE, demo, example, processes
from sidelay.buying import Terms
from sidelay.plant import find_stock
from sidelay.plant_file import read_plant
from sidelay.toml_file import PlantFileError

STOCK = """
[[stocks]]
id = "tried"
name = "Tried"
grade = "tried"
finish = "plain"
grammage_gsm = 50
caliper_um = 60
"""
BY_WEIGHT = 'price = 1000\nprice_unit = "tonne"\n'
SHEETS = 'sheets = [{ width_mm = 500, height_mm = 800, grain = "long" }]\n'
REELS = "reels = [{ width_mm = 500, length_m = 8000 }]\n"
BLANKS = 'blanks = [{ label = "mug", width_mm = 90, height_mm = 80, price = 2 }]\n'


@pytest.fixture
def read(tmp_path):
    def stock_of(text):
        path = tmp_path / "shop.toml"
        path.write_text(DEMO_FILE.read_text() + STOCK + text)
        return read_plant(path, processes()).stocks["tried"]

    return stock_of


def terms_at(stock):
    return [each.terms for each in (*stock.sheets, *stock.reels, *stock.blanks)]


def test_what_says_nothing_is_sold_in_any_number(read):
    assert terms_at(read(BY_WEIGHT + SHEETS + REELS + BLANKS)) == [None, None, None]


def test_sheets_are_counted_in_sheets(read):
    # 0.5 m x 0.8 m x 50 g/m2 = 20 g: 1,000 a tonne are 0.02 a sheet
    sold = "pack = 250\nbreaks_packs = false\nleast_order = 500\n"
    [terms] = terms_at(read(BY_WEIGHT + sold + "price_breaks = [[5000, 900]]\n" + SHEETS))
    assert (terms.pack, terms.least, terms.lot) == (250, 500, 250)
    assert terms.tiers == ((0, pytest.approx(0.02)), (5000, pytest.approx(0.018)))


def test_packs_are_opened_unless_told_otherwise(read):
    [terms] = terms_at(read(BY_WEIGHT + "pack = 250\n" + SHEETS))
    assert (terms.pack, terms.breaks_packs, terms.lot) == (250, True, 1)


def test_reels_by_weight_are_ordered_by_weight(read):
    # 50 g/m2: a kilogram is 20 m2 and costs 1, so a square metre costs 0.05
    sold = "pack = 10\nleast_order = 100\nprice_breaks = [[500, 800]]\n"
    [terms] = terms_at(read(BY_WEIGHT + sold + REELS))
    assert (terms.pack, terms.least) == (200, 2000)
    assert terms.tiers == ((0, pytest.approx(0.05)), (10_000, pytest.approx(0.04)))


def test_reels_by_area_are_ordered_by_area(read):
    by_area = 'price = 0.6\nprice_unit = "square_metre"\n'
    sold = "least_order = 100\nprice_breaks = [[500, 0.5]]\n"
    [terms] = terms_at(read(by_area + sold + REELS))
    assert terms == Terms(0, 100, ((0, 0.6), (500, 0.5)), True)


def test_a_sheet_may_be_sold_otherwise_than_its_stock(read):
    own = (
        'sheets = [{ size = "a4", grain = "long" },'
        ' { size = "a3", grain = "long", pack = 100 }]\n'
    )
    a4, a3 = terms_at(read(BY_WEIGHT + "pack = 500\nleast_order = 1000\n" + own))
    assert (a4.pack, a4.least, a3.pack, a3.least) == (500, 1000, 100, 1000)


def test_a_price_of_its_own_goes_without_the_breaks_of_the_stock(read):
    own = (
        'sheets = [{ size = "a4", grain = "long" }, { size = "a3", grain = "long", price = 1200 },'
        ' { size = "a2", grain = "long", price = 1200, price_breaks = [[900, 1100]] },'
        ' { size = "a1", grain = "long", price_breaks = [] }]\n'
    )
    a4, a3, a2, a1 = terms_at(read(BY_WEIGHT + "price_breaks = [[500, 900]]\n" + own))
    assert [start for start, _ in a4.tiers] == [0, 500]
    assert a3 is None
    assert a1 is None
    assert [start for start, _ in a2.tiers] == [0, 900]


def test_blanks_are_counted_in_pieces(read):
    own = BLANKS.replace("price = 2", "price = 2, pack = 12, price_breaks = [[144, 1.8]]")
    assert terms_at(read(own)) == [Terms(12, 0, ((0, 2), (144, 1.8)), True)]


@pytest.mark.parametrize(
    ("text", "key", "expected"),
    [
        (BY_WEIGHT + "price_breaks = [[0, 900]]\n" + SHEETS, "price_breaks", "more than 1"),
        (BY_WEIGHT + "price_breaks = [[1, 900]]\n" + SHEETS, "price_breaks", "more than 1"),
        (BY_WEIGHT + "price_breaks = [[9, 8], [9, 7]]\n" + SHEETS, "price_breaks", "rising"),
        (BY_WEIGHT + "price_breaks = [[9, 8], [5, 7]]\n" + SHEETS, "price_breaks", "rising"),
        (BY_WEIGHT + "price_breaks = [[9, -8]]\n" + SHEETS, "price_breaks", "greater than"),
        (BY_WEIGHT + "least_order = -1\n" + SHEETS, "least_order", "greater than"),
        (BY_WEIGHT + "pack = -1\n" + SHEETS, "pack", "greater than"),
        (BY_WEIGHT + "pack = 12.5\n" + SHEETS, "pack", "whole sheets"),
        (BY_WEIGHT + 'breaks_packs = "no"\n' + SHEETS, "breaks_packs", "Neither true"),
        (BY_WEIGHT + "pack = 500\n" + SHEETS + REELS, "pack", "kilograms and in sheets"),
        ("price_breaks = [[9, 1]]\n" + BLANKS, "price_breaks", "price of its own"),
    ],
)
def test_a_fault_is_told_with_its_key(read, text, key, expected):
    with pytest.raises(PlantFileError) as caught:
        read(text)
    told = plainly(caught.value)
    assert any(key in line and expected in line for line in told), told


def test_the_demo_plant_has_all_that_merchants_do():
    every = [
        each.terms
        for stock in demo().stocks.values()
        for each in (*stock.sheets, *stock.reels, *stock.blanks)
        if each.terms
    ]
    assert {terms.pack for terms in every} >= {100, 250, 500, 1000}
    assert {terms.breaks_packs for terms in every} == {True, False}
    assert any(terms.least for terms in every)
    breaks = [terms.tiers for terms in every if len(terms.tiers) > 1]
    assert breaks
    assert all(after[1] < before[1] for tiers in breaks for before, after in pairwise(tiers))


@pytest.mark.parametrize(
    ("name", "stock"),
    [
        ("a6_flyer", "silk_130"),
        ("brochure", "silk_150"),
        ("copper_card", "silk_250"),
        ("half_fold_menu", "offset_170"),
        ("letter_two_sided", "text_100lb"),
        ("mono_letterhead", "laid_100"),
        ("numbered_vouchers", "offset_120"),
        ("oversize_poster", "silk_150"),
        ("tri_fold_leaflet", "silk_150"),
    ],
)
def test_an_example_that_describes_its_stock_finds_it(name, stock):
    assert example(name).parts[0].stock.id == stock


@pytest.mark.parametrize(
    ("grade", "finish", "grammage_gsm", "stock"),
    [
        ("coated", None, 130, "silk_130"),
        ("uncoated", None, 80, "offset_80"),
        ("uncoated", "book", 80, "book_cream_80"),
        ("uncoated", None, 240, "postcard_240"),
        ("board", None, 300, "board_300"),
        ("boxboard", None, 300, "boxboard_300"),
        ("coated_board", None, 240, "cover_240"),
        ("carbonless", None, 80, "carbonless_bottom_pink_80"),
        ("carbonless", "coated_back", 80, "carbonless_top_white_80"),
        ("envelope", "wove_dl", 100, "envelope_dl_100"),
        ("envelope", "wove_c5", 100, "envelope_c5_100"),
    ],
)
def test_stocks_near_each_other_are_told_apart(grade, finish, grammage_gsm, stock):
    assert find_stock(demo(), grade, finish, grammage_gsm).id == stock
