"""Buying: what is bought covers the need and is the cheapest of all larger amounts; no falls."""

import warnings

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from sidelay.buying import Terms, TermsTable, purchase


@st.composite
def terms(draw):
    starts = sorted(draw(st.sets(st.integers(2, 60), max_size=4)))
    prices = st.integers(0, 40).map(lambda tenths: tenths / 8)  # exact in binary
    tiers = tuple((float(start), draw(prices)) for start in [0, *starts])
    pack = draw(st.sampled_from([0, 1, 2, 5, 12, 25]))
    return Terms(pack, draw(st.integers(0, 50)), tiers, draw(st.booleans()))


def price_at(amount, sold):
    return next(price for start, price in reversed(sold.tiers) if start <= amount)


def cheapest(need, sold):
    """Try every amount that may be bought, up to well beyond the last price break."""
    if need == 0:
        return 0, 0
    step = int(sold.pack) if sold.pack > 1 and not sold.breaks_packs else 1
    least = max(need, int(sold.least))
    amounts = range(-(-least // step) * step, max(least, 60) + 2 * step + 1, step)
    return min((amount * price_at(amount, sold), amount) for amount in amounts)


@given(terms(), st.integers(0, 120))
def test_nothing_larger_is_cheaper(sold, need):
    units, price, money = (float(each) for each in purchase(np.array(float(need)), sold))
    assert (money, units) == cheapest(need, sold)
    assert money == units * price
    assert units >= need
    assert not units or price == price_at(units, sold)


@given(st.lists(terms(), min_size=1, max_size=5))
def test_neither_units_nor_money_ever_fall(every):
    need = np.tile(np.arange(0, 130, 0.5), (len(every), 1))
    units, _, money = TermsTable(every).money(need)
    assert (np.diff(units) >= 0).all()
    assert (np.diff(money) >= 0).all()
    assert np.isfinite(money).all()


@given(st.lists(terms(), min_size=1, max_size=5), st.integers(1, 100))
def test_a_table_buys_as_each_supply_alone(every, need):
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        table = TermsTable(every).money(np.full((len(every), 2), float(need)))
    for row, sold in enumerate(every):
        alone = purchase(np.full(2, float(need)), sold)
        assert [each[row].tolist() for each in table] == [each.tolist() for each in alone]
