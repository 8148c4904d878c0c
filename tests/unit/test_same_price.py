"""The largest quantity at a price, against a plain walk upwards."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from sidelay.same_price import MOST_SOUGHT, largest_at_no_more


@given(
    st.lists(st.sampled_from([0, 0, 0, 1, 3]), min_size=2, max_size=400),
    st.lists(st.integers(1, 300), min_size=1, max_size=6),
)
def test_it_is_the_last_quantity_before_the_price_rises(rises, asked):
    prices = np.cumsum([0, *rises])
    last = len(prices) - 1

    def price_at(quantities):
        # Beyond the table the price rises with every piece.
        beyond = np.maximum(quantities - last, 0)
        return prices[np.minimum(quantities, last)] + beyond

    asked = [min(quantity, last) for quantity in asked]
    limits = [int(prices[quantity]) for quantity in asked]
    found = largest_at_no_more(price_at, asked, limits)
    for quantity, limit, largest in zip(asked, limits, found, strict=True):
        plain = quantity
        while plain < last and prices[plain + 1] <= limit:
            plain += 1
        assert largest == plain


def test_a_price_that_never_rises_holds_to_the_most_that_is_looked_for():
    found = largest_at_no_more(lambda quantities: np.full(len(quantities), 15), [3], [15])
    assert found == [MOST_SOUGHT - 1]


def test_nothing_is_looked_for_where_nothing_is_asked():
    assert largest_at_no_more(lambda _: np.array([]), [], []) == []
