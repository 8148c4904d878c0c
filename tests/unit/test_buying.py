"""How a need becomes a purchase: packs, least orders, price breaks, and how it is said.

Figures are worked by hand here: that merchants sell so is common practice, no source.
"""

import numpy as np
import pytest

from sidelay.buying import Terms, TermsTable, buy, purchase
from sidelay.stock import Blank, ParentSheet, Reel, sold_in, terms_of

PAPER = Terms(250, 0, ((0, 0.08), (10_000, 0.0711)))


def bought(need, terms):
    return tuple(float(each) for each in purchase(np.array(float(need)), terms))


def test_any_number_at_one_price():
    assert bought(1001, Terms(tiers=((0, 0.25),))) == (1001, 0.25, 250.25)
    assert bought(12.5, Terms(1, 0, ((0, 2.0),))) == (12.5, 2.0, 25.0)


def test_packs_are_bought_whole():
    terms = Terms(250, 0, ((0, 0.5),))
    assert bought(1, terms) == (250, 0.5, 125)
    assert bought(250, terms) == (250, 0.5, 125)
    assert bought(251, terms) == (500, 0.5, 250)


def test_packs_that_are_opened_round_nothing():
    assert bought(251, Terms(250, 0, ((0, 0.5),), breaks_packs=True))[0] == 251


def test_the_least_order_is_bought_whatever_is_needed():
    terms = Terms(0, 500, ((0, 0.62),))
    assert bought(3, terms) == (500, 0.62, 310)
    assert bought(501, terms)[0] == 501


def test_a_least_order_is_filled_up_to_packs():
    assert bought(3, Terms(200, 500, ((0, 1.0),)))[0] == 600


def test_of_what_is_not_needed_nothing_is_bought():
    assert bought(0, Terms(250, 500, ((0, 0.08),))) == (0, 0.08, 0)


def test_more_is_bought_where_a_break_makes_it_cheaper():
    # 8,750 at 0.08 are 700; 10,000 at 0.0711 are 711; 9,000 at 0.08 are 720
    assert bought(8_750, PAPER) == (8_750, 0.08, 700)
    assert bought(8_751, PAPER) == pytest.approx((10_000, 0.0711, 711))


def test_of_two_that_cost_the_same_the_smaller_is_bought():
    assert bought(5, Terms(tiers=((0, 2.0), (10, 1.0)))) == (5, 2.0, 10)


def test_a_break_within_a_pack_counts_from_the_next_whole_pack():
    assert bought(9_000, Terms(1000, 0, ((0, 1.0), (9_100, 0.5)))) == (10_000, 0.5, 5_000)


def test_a_dearer_price_further_on_is_not_passed_over():
    # Nobody is sold 20 at the price that ends at 10.
    terms = Terms(tiers=((0, 1.0), (10, 3.0)))
    assert bought(9, terms) == (9, 1.0, 9)
    assert bought(20, terms) == (20, 3.0, 60)


def test_the_need_may_have_any_shape():
    need = np.array([[[1.0, 8_750]], [[8_751, 20_000]]])
    units, price, money = purchase(need, PAPER)
    assert units.shape == price.shape == money.shape == need.shape
    assert units.tolist() == [[[250, 8_750]], [[10_000, 20_000]]]
    assert purchase(np.zeros((0,)), PAPER)[0].shape == (0,)


def test_a_table_buys_each_supply_on_its_own_terms():
    table = TermsTable([Terms(tiers=((0, 0.5),)), PAPER, Terms(0, 500, ((0, 0.62),))])
    units, price, money = table.money(np.array([[10.0, 20], [8_751, 0], [1, 600]]))
    assert units.tolist() == [[10, 20], [10_000, 0], [500, 600]]
    assert price.tolist() == [[0.5, 0.5], [0.0711, 0.08], [0.62, 0.62]]
    assert money == pytest.approx(np.array([[5, 10], [711, 0], [310, 372]]))
    price[:] = 0  # what is returned is the caller's own
    assert table.money(np.array([[10.0], [1], [1]]))[1].tolist() == [[0.5], [0.08], [0.62]]


def test_an_empty_table_buys_nothing():
    assert TermsTable([]).money(np.zeros((0, 3)))[2].shape == (0, 3)


@pytest.mark.parametrize(
    ("need", "terms", "unit", "words"),
    [
        (12_876, PAPER, "sheets", "52 packs of 250, 13,000 sheets at 0.0711 from 10,000"),
        (100, PAPER, "sheets", "1 pack of 250, 250 sheets at 0.08"),
        (0, PAPER, "sheets", "nothing"),
        (
            9_001,
            PAPER,
            "sheets",
            "40 packs of 250, 10,000 sheets at 0.0711 from 10,000, cheaper than 9,250",
        ),
        (3, Terms(0, 500, ((0, 0.62),)), "m2", "500 m2 at 0.62, the least order"),
        (12.25, Terms(250, 0, ((0, 17.5),), True), "pieces", "12.25 pieces at 17.5"),
    ],
)
def test_a_purchase_in_words(need, terms, unit, words):
    told = buy(need, terms, unit)
    assert told.words == words
    assert told[:3] == bought(need, terms)


@pytest.mark.parametrize(
    "figures",
    [
        (-1, 0, ()),
        (0, -1, ()),
        (0, float("nan"), ()),
        (0, 0, ((0, -0.1),)),
        (0, 0, ((5, 1.0),)),
        (0, 0, ((0, 1.0), (5, 0.9), (5, 0.8))),
    ],
)
def test_terms_that_mean_nothing_are_refused(figures):
    with pytest.raises(ValueError, match=r"terms|must"):
        Terms(*figures)


def test_terms_without_a_price_cannot_be_bought_on():
    with pytest.raises(ValueError, match="without a price"):
        purchase(np.array([1.0]), Terms(250, 0))


def test_a_supply_without_terms_is_sold_in_any_number_at_its_price():
    sheet, reel = ParentSheet(640, 900, "long", 0.09, "test"), Reel(330, 2000, 0.6, "test")
    assert terms_of(sheet) == Terms(tiers=((0, 0.09),))
    assert terms_of(reel) == Terms(tiers=((0, 0.6),))
    shirt = Blank("shirt", 360, 420, 2.5, "test", Terms(12))
    assert terms_of(shirt) == Terms(12, 0, ((0, 2.5),))
    assert [sold_in(each) for each in (sheet, reel, shirt)] == ["sheets", "m2", "pieces"]


def test_terms_that_start_at_another_price_are_refused():
    sheet = ParentSheet(640, 900, "long", 0.09, "test", Terms(tiers=((0, 0.08),)))
    with pytest.raises(ValueError, match="its terms start at"):
        terms_of(sheet)


def test_supplies_with_terms_are_hashable():
    assert len({ParentSheet(640, 900, "long", 0.08, "test", PAPER) for _ in range(2)}) == 1
