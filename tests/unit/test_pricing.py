"""From cost to price, and the two promises: no price falls as value or as quantity rises."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sidelay.pricing import (
    PricePolicy,
    cash_price,
    margin_of_markup,
    markup_of_margin,
    price_of_margin,
    prices,
    values,
)

PLAIN = PricePolicy(0.15, 0.25, 0.10, 0, 1)
BY_QUANTITY = ((1, 0.40), (100, 0.30), (500, 0.35), (1000, 0.10))
BY_VALUE = ((0, 0.50), (10_000, 0.20), (50_000, 0.25), (90_000, 0.0))


def costs(material, time, outwork):
    return np.array([[[material], [time], [outwork]]])


def one(material, time, outwork, policy):
    """The price of one cost by either way, which must agree where there are no margins."""
    cost = costs(material, time, outwork)
    return int(prices(values(cost, policy), np.array([1]), policy)[0, 0])


def test_each_kind_of_cost_takes_its_own_mark_up():
    assert one(10_000, 20_000, 4_000, PLAIN) == 11_500 + 25_000 + 4_400


def test_a_small_job_pays_the_minimum_charge():
    policy = PricePolicy(0.15, 0.25, 0.10, 2_500, 1)
    assert one(100, 100, 0, policy) == 2_500
    assert one(2_500, 0, 0, policy) == 2_875


def test_prices_are_rounded_up_to_whole_multiples_and_whole_ones_stay():
    policy = PricePolicy(0, 0, 0, 0, 50)
    assert [one(amount, 0, 0, policy) for amount in (1, 50, 51, 100)] == [50, 50, 100, 100]


def test_a_minimum_charge_is_rounded_up_too():
    policy = PricePolicy(0, 0, 0, 1_230, 100)
    assert prices(np.array([5.0]), np.array([1]), policy).tolist() == [1_300]


@given(
    st.lists(st.integers(0, 10**9), min_size=3, max_size=3),
    st.lists(st.integers(0, 10**6), min_size=3, max_size=3),
)
def test_more_cost_of_any_kind_never_lowers_the_price(cost, more):
    policy = PricePolicy(0.12, 0.37, 0.05, 1_500, 5)
    dearer = [a + b for a, b in zip(cost, more, strict=True)]
    assert one(*cost, policy) <= one(*dearer, policy)


def test_the_rush_premium_is_on_time_and_outwork_and_not_on_material():
    policy = PricePolicy(0.15, 0.25, 0.10, 0, 1, rush_premium=0.5)
    assert values(costs(10_000, 0, 0), policy, rush=True)[0, 0] == pytest.approx(11_500)
    assert values(costs(0, 10_000, 0), policy, rush=True)[0, 0] == pytest.approx(12_500 * 1.5)
    assert values(costs(0, 0, 10_000), policy, rush=True)[0, 0] == pytest.approx(11_000 * 1.5)
    assert values(costs(0, 10_000, 0), policy)[0, 0] == pytest.approx(12_500)


amounts = st.integers(0, 10**13)


@given(
    st.lists(st.tuples(amounts, amounts, amounts), min_size=1, max_size=9),
    st.booleans(),
    st.integers(0, 10**6),
)
def test_a_value_has_the_same_bits_whatever_stands_beside_it(rows, rush, more):
    policy = PricePolicy(0.13, 0.29, 0.07, 0, 1, rush_premium=0.31)
    together = values(np.array(rows).T[None], policy, rush)[0]
    alone = [values(costs(*row), policy, rush)[0, 0] for row in rows]
    assert together.tolist() == alone
    for kind in range(3):
        dearer = np.array(rows).T[None].copy()
        dearer[:, kind] += more
        assert (values(dearer, policy, rush)[0] >= together).all()


def test_a_margin_is_a_share_of_the_price():
    policy = PricePolicy(0, 0, 0, 0, 1, margins_by_quantity=((1, 0.25),))
    assert policy.thresholds == ()
    assert prices(np.array([7_500.0]), np.array([10]), policy).tolist() == [10_000]


def test_thresholds_are_where_a_margin_falls():
    assert PricePolicy(0, 0, 0, 0, 1, margins_by_quantity=BY_QUANTITY).thresholds == (100, 1000)
    assert PLAIN.thresholds == ()
    assert PricePolicy(0, 0, 0, 0, 1, margins_by_value=BY_VALUE).thresholds == ()


def test_who_orders_just_too_few_buys_up():
    policy = PricePolicy(0, 0, 0, 0, 1, margins_by_quantity=((1, 0.5), (100, 0.2)))
    quantities = np.array([50, 90, 99, 100, 110])
    price = prices(100.0 * quantities, quantities, policy, np.array([10_000.0]))
    # 90 at half margin would be 18,000; 100 at a fifth is 12,500.
    assert price.tolist() == [10_000, 12_500, 12_500, 12_500, 13_750]


def test_a_value_just_below_a_step_pays_no_more_than_at_the_step():
    policy = PricePolicy(0, 0, 0, 0, 1, margins_by_value=((0, 0.5), (10_000, 0.2)))
    value = np.array([1_000.0, 6_250.0, 9_999.0, 10_000.0, 12_000.0])
    price = prices(value, np.array([1, 2, 3, 4, 5]), policy)
    assert price.tolist() == [2_000, 12_500, 12_500, 12_500, 15_000]


def test_values_at_the_thresholds_must_be_given():
    policy = PricePolicy(0, 0, 0, 0, 1, margins_by_quantity=BY_QUANTITY)
    with pytest.raises(ValueError, match="values at 2 quantities, not 0"):
        prices(np.array([5.0]), np.array([1]), policy)
    none = np.empty((1, 0))
    assert prices(np.array([[5.0]]), np.array([1]), PLAIN, none).tolist() == [[5]]


def test_margins_by_quantity_and_by_value_at_once_are_refused():
    with pytest.raises(ValueError, match="not by both"):
        PricePolicy(0, 0, 0, 0, 1, margins_by_quantity=BY_QUANTITY, margins_by_value=BY_VALUE)


def test_a_price_too_large_is_refused_and_not_wrapped():
    with pytest.raises(OverflowError):
        prices(np.array([1e19]), np.array([1]), PLAIN)


@st.composite
def margins(draw, first, most):
    """Steps that start at `first`, rising, with margins that fall and rise as they like."""
    starts = draw(st.lists(st.integers(first + 1, most), max_size=6, unique=True).map(sorted))
    shares = st.sampled_from([0.0, 0.05, 0.2, 0.35, 0.5, 0.9]) | st.floats(0, 0.9)
    return tuple((start, draw(shares)) for start in [first, *starts])


minimums, roundings = st.sampled_from([0, 0, 700, 1_501]), st.sampled_from([1, 1, 5, 100, 333])


@given(margins(1, 130), minimums, roundings, st.data())
def test_no_price_falls_as_quantity_rises(steps, minimum, rounding, data):
    policy = PricePolicy(0, 0, 0, minimum, rounding, margins_by_quantity=steps)
    rise = st.sampled_from([0.0, 0.0, 0.1, 1.0, 37.3, 400.0])
    rises = [data.draw(st.lists(rise, min_size=140, max_size=140)) for _ in range(2)]
    value, quantities = np.cumsum(rises, axis=1), np.arange(1, 141)
    at_thresholds = value[:, [threshold - 1 for threshold in policy.thresholds]]
    price = prices(value, quantities, policy, at_thresholds)
    assert price.shape == value.shape
    assert (np.diff(price, axis=1) >= 0).all()
    assert (price >= value - 1e-3).all()
    assert (price % rounding == 0).all()
    alone = prices(value[:, 56:57], quantities[56:57], policy, at_thresholds)
    assert alone[:, 0].tolist() == price[:, 56].tolist()


@given(margins(0, 3_000), minimums, roundings, st.lists(st.floats(0, 5_000), min_size=2))
def test_no_price_falls_as_value_rises(steps, minimum, rounding, amounts_found):
    policy = PricePolicy(0, 0, 0, minimum, rounding, margins_by_value=steps)
    edges = [start + d for start, _ in steps for d in (-1, -1e-7, 0, 1e-7, 1) if start + d >= 0]
    value = np.sort(np.array([*amounts_found, *edges]))
    price = prices(value, np.ones(len(value), dtype=np.int64), policy)
    assert (np.diff(price) >= 0).all()
    assert (price >= value - 1e-3).all()


@given(margins(1, 200), st.floats(0, 1e6), st.floats(0, 1e4), st.integers(1, 250))
def test_at_one_quantity_no_price_falls_as_value_rises(steps, value, more, quantity):
    policy = PricePolicy(0, 0, 0, 0, 1, margins_by_quantity=steps)
    low, high = (
        prices(
            np.array([amount]),
            np.array([quantity]),
            policy,
            np.full(len(policy.thresholds), 1.1 * amount),
        )[0]
        for amount in (value, value + more)
    )
    assert low <= high


@given(st.floats(0, 0.99), st.floats(0, 1e6))
def test_margin_and_mark_up_are_two_words_for_one_price(margin, cost):
    markup = markup_of_margin(margin)
    assert margin_of_markup(markup) == pytest.approx(margin, abs=1e-12)
    assert price_of_margin(cost, margin) == pytest.approx(cost * (1 + markup))


def test_the_whole_price_cannot_be_margin():
    for function in (markup_of_margin, lambda margin: price_of_margin(1.0, margin)):
        with pytest.raises(ValueError, match="less than 1"):
            function(1.0)


def test_cash_totals_go_to_the_nearest_step_half_up():
    policy = PricePolicy(0, 0, 0, 0, 1, cash_step=5)
    assert [cash_price(p, policy) for p in (0, 2, 3, 7, 8, 1042)] == [0, 0, 5, 5, 10, 1040]
    assert cash_price(25, PricePolicy(0, 0, 0, 0, 1, cash_step=50)) == 50  # the tie goes up
    assert cash_price(1043, PLAIN) == 1043


@given(st.integers(0, 10**12), st.integers(1, 10_000))
def test_a_cash_total_lies_within_half_a_step(price, step):
    paid = cash_price(price, PricePolicy(0, 0, 0, 0, 1, cash_step=step))
    assert paid % step == 0
    assert 2 * abs(paid - price) <= step
