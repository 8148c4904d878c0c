"""Labels that do not overlap, ticks that can be read."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sidelay.http.charts.places import fine_ticks, linear_ticks, log_ticks, plain, spread

LABELS = st.lists(
    st.tuples(st.floats(-50, 1050), st.floats(1, 80)), min_size=1, max_size=12
).map(lambda labels: sorted(labels, key=lambda label: label[0]))


@given(LABELS)
def test_labels_keep_apart_and_inside(labels):
    wanted, sizes = [at for at, _ in labels], [size for _, size in labels]
    placed = spread(wanted, sizes, 0, 1000)
    for (a, b), (of_a, of_b) in zip(pairwise(placed), pairwise(sizes), strict=True):
        assert b - a >= (of_a + of_b) / 2 - 1e-6
    assert placed[0] >= sizes[0] / 2 - 1e-6
    assert placed[-1] <= 1000 - sizes[-1] / 2 + 1e-6


def test_labels_with_room_stay_where_they_are_wanted():
    assert spread([100, 200, 300], [50, 50, 50], 0, 1000) == [100, 200, 300]


def test_two_at_one_place_give_way_alike():
    assert spread([100, 100], [20, 20], 0, 1000) == [90, 110]


def test_no_labels_take_no_place():
    assert spread([], [], 0, 10) == []


def test_what_does_not_fit_is_still_in_order_and_inside():
    placed = spread([5, 5, 5], [8, 8, 8], 0, 10)
    assert placed == sorted(placed)
    assert placed[0] >= 0
    assert placed[-1] <= 10


@pytest.mark.parametrize(
    ("low", "high", "ticks"),
    [
        (1, 1_000_000, [1, 10, 100, 1000, 10_000, 100_000, 1_000_000]),
        (3, 300, [5, 10, 20, 50, 100, 200]),
        (900, 1100, [900, 1000, 1100]),
        (0.004, 0.5, [0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5]),
    ],
)
def test_ticks_of_a_logarithmic_axis(low, high, ticks):
    found = log_ticks(low, high)
    assert found == pytest.approx(ticks)


@given(st.floats(1e-6, 1e9), st.floats(1.0005, 1e9))
def test_there_are_always_ticks_and_never_too_many(low, ratio):
    high = low * ratio
    for found in (log_ticks(low, high), linear_ticks(low, high)):
        assert 3 <= len(found) <= 11
        assert all(low * 0.999999 <= tick <= high * 1.000001 for tick in found)
        assert found == sorted(found)


def test_fine_ticks_are_between_powers_of_ten():
    assert fine_ticks(8, 40) == [8, 9, 20, 30, 40]


@pytest.mark.parametrize(
    ("value", "told"),
    [(0.05, "0.05"), (200.0, "200"), (1e6, "1,000,000"), (0, "0"), (1e-12, "1e-12")],
)
def test_figures_are_plain(value, told):
    assert plain(value) == told
