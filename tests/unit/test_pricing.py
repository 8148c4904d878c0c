import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from sidelay.pricing import PricePolicy, prices


def one(material, time, outwork, policy):
    return int(prices(np.array([[[material], [time], [outwork]]]), policy)[0, 0])


def test_each_kind_of_cost_takes_its_own_mark_up():
    assert (
        one(10_000, 20_000, 4_000, PricePolicy(0.15, 0.25, 0.10, 0, 1)) == 11_500 + 25_000 + 4_400
    )


def test_a_small_job_pays_the_minimum_charge():
    policy = PricePolicy(0.15, 0.25, 0.10, 2_500, 1)
    assert one(100, 100, 0, policy) == 2_500
    assert one(2_500, 0, 0, policy) == 2_875


def test_prices_are_rounded_up_to_whole_multiples_and_whole_ones_stay():
    policy = PricePolicy(0, 0, 0, 0, 50)
    assert [one(amount, 0, 0, policy) for amount in (1, 50, 51, 100)] == [50, 50, 100, 100]


@given(
    st.lists(st.integers(0, 10**9), min_size=3, max_size=3),
    st.lists(st.integers(0, 10**6), min_size=3, max_size=3),
)
def test_more_cost_of_any_kind_never_lowers_the_price(cost, more):
    policy = PricePolicy(0.12, 0.37, 0.05, 1_500, 5)
    dearer = [a + b for a, b in zip(cost, more, strict=True)]
    assert one(*cost, policy) <= one(*dearer, policy)
