import numpy as np
import pytest

from sidelay.curve import Curve


def test_a_curve_is_straight_on_the_logarithm_and_flat_outside():
    curve = Curve(((100, 4.0), (10_000, 2.0)))
    assert curve(np.array([1.0, 100.0, 1_000.0, 10_000.0, 1e9])) == pytest.approx([4, 4, 3, 2, 2])


@pytest.mark.parametrize(
    "points", [(), ((0, 1),), ((5, 1), (5, 2)), ((9, 1), (3, 1)), ((1, -1),), ((1, float("nan")),)]
)
def test_points_that_are_no_curve_are_refused(points):
    with pytest.raises(ValueError, match="a curve needs"):
        Curve(points)


@pytest.mark.parametrize(
    ("points", "rises"),
    [
        (((2_500, 0.037), (25_000, 0.026)), True),  # American Printer, Jan 1996
        (((100, 0.50), (200, 0.01)), False),  # waste that falls faster than the run grows
        (((1, 0.0),), True),
    ],
)
def test_product_rises_as_a_scan_over_every_run_length_says(points, rises):
    curve = Curve(points)
    cycles = np.arange(1, 30_000, dtype=float)
    assert bool((np.diff(cycles * curve(cycles)) >= -1e-9).all()) is rises
    assert curve.product_rises() is rises


@pytest.mark.parametrize(
    ("points", "rises"),
    [
        (((100, 4_000), (5_000, 12_000)), True),
        (((100, 1_000), (120, 9_000)), False),
        (((1, 0.0),), False),
    ],
)
def test_quotient_rises_as_a_scan_over_every_run_length_says(points, rises):
    curve = Curve(points)
    cycles = np.arange(1, 10_000, dtype=float)
    speed = curve(cycles)
    rising = bool(speed.min() > 0 and (np.diff(cycles / speed) >= -1e-9).all())
    assert rising is rises
    assert curve.quotient_rises() is rises


def test_times_multiplies_every_value():
    assert Curve(((1, 0.5), (9, 0.25))).times(2).points == ((1, 1.0), (9, 0.5))
