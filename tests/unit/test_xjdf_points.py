"""Points and millimetres, exactly.

Sources: one inch is 25.4 mm (international yard and pound agreement, 1959); one point is 1/72 inch
(the unit of PostScript and PDF). Sizes of the A series: ISO 216.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from sidelay.http.xjdf.points import mm_of, points_of
from sidelay.paper_sizes import SIZES_MM

HUNDREDTHS_MM = range(500, 100_001)


def written(hundredths_mm: int, decimals: int) -> float:
    """A length as a document writes it in points, worked out in decimals."""
    points = Decimal(hundredths_mm) / 100 * 72 / Decimal("25.4")
    return float(round(points, decimals))


@pytest.mark.parametrize("decimals", [2, 3, 4, 6])
def test_every_hundredth_of_a_mm_is_read_from_points_that_were_rounded(decimals: int) -> None:
    wrong = [
        hundredths
        for hundredths in HUNDREDTHS_MM
        if Fraction(str(mm_of(written(hundredths, decimals)))) != Fraction(hundredths, 100)
    ]
    assert wrong == []


def test_every_hundredth_of_a_mm_is_written_with_two_decimals() -> None:
    wrong = [
        hundredths
        for hundredths in HUNDREDTHS_MM
        if points_of(hundredths / 100) != written(hundredths, 2)
    ]
    assert wrong == []


def test_sixteenths_of_an_inch_are_exact_both_ways() -> None:
    for sixteenths in range(1, 16 * 40):
        points, length_mm = 4.5 * sixteenths, 25.4 * sixteenths / 16
        assert mm_of(points) == round(length_mm, 4)
        assert points_of(mm_of(points)) == points


@pytest.mark.parametrize(
    ("points", "length_mm"),
    [
        (280.63, 99),
        (297.64, 105),
        (419.53, 148),
        (595.28, 210),
        (595.276, 210),
        (841.89, 297),
        (841.889, 297),
        (8.5, 3),
        (8.504, 3),
        (585, 206.375),
        (612, 215.9),
        (792, 279.4),
        (0, 0),
        (72, 25.4),
        (8.499969, 2.9986),
    ],
)
def test_lengths_are_read_as_they_are_meant(points: float, length_mm: float) -> None:
    assert mm_of(points) == length_mm


@pytest.mark.parametrize("name", ["a4", "a5", "a6", "dl", "b5", "letter", "us_business_card"])
def test_named_sizes_come_back_whole(name: str) -> None:
    assert tuple(mm_of(points_of(side)) for side in SIZES_MM[name]) == SIZES_MM[name]


def test_whole_mm_are_integers_so_that_a_job_reads_like_one_written_by_hand() -> None:
    assert isinstance(mm_of(595.28), int)
    assert isinstance(mm_of(280.63), int)


@pytest.mark.parametrize("points", [1e300, 10**90, -5e-324, 1e-300])
def test_no_number_is_too_large_or_small(points: float) -> None:
    assert mm_of(points) == pytest.approx(points * 25.4 / 72, rel=1e-9, abs=1e-3)


def test_ten_thousandths_of_a_mm_come_back() -> None:
    lengths = [Fraction(n, 10_000) for n in range(50_000, 60_000)]
    assert [mm_of(points_of(float(each))) for each in lengths] == [float(each) for each in lengths]
