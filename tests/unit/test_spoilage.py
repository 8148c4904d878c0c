"""How many copies may be delivered against an order."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sidelay.spoilage import delivery_limits

orders, shares = st.integers(1, 10**8), st.floats(0, 1)


def test_ten_per_cent_either_way_and_twice_over_where_none_may_be_missing():
    # A text of trade customs (reference case PR-05): 10,000 to 12,000 for "no fewer than".
    assert delivery_limits(10_000, 0.1, False) == (9_000, 11_000)
    assert delivery_limits(10_000, 0.1, True) == (10_000, 12_000)


def test_part_copies_are_never_delivered_and_no_tolerance_is_the_order():
    assert delivery_limits(15, 0.1, False) == (14, 16)
    assert delivery_limits(15, 0.0, False) == delivery_limits(15, 0.0, True) == (15, 15)
    assert delivery_limits(1, 1.0, False) == (0, 2)


@given(orders, shares, st.booleans())
def test_the_order_itself_may_always_be_delivered(ordered, tolerance, no_fewer):
    least, most = delivery_limits(ordered, tolerance, no_fewer)
    assert least <= ordered <= most


@given(orders, orders, shares, st.booleans())
def test_no_limit_falls_as_the_order_rises(one, other, tolerance, no_fewer):
    low, high = sorted((one, other))
    fewer, more = (delivery_limits(count, tolerance, no_fewer) for count in (low, high))
    assert fewer[0] <= more[0]
    assert fewer[1] <= more[1]


@pytest.mark.parametrize(("ordered", "tolerance"), [(0, 0.1), (-5, 0.1), (10, -0.1), (10, 1.5)])
def test_what_is_no_order_or_no_share_is_refused(ordered, tolerance):
    with pytest.raises(ValueError, match="must be"):
        delivery_limits(ordered, tolerance)
