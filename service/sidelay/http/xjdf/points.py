"""Points of a document into millimetres and back, exactly. One point is 25.4/72 mm."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

MM_PER_PT = Fraction(254, 720)
# A length written with no more decimals than this is taken as one rounded from whole 0.01 mm.
MOST_ROUNDED = 3
# How far rounding to two decimals can move a point.
HALF_STEP_PT = Fraction(5, 1000)
# Too little to change a length in 0.0001 mm.
HAIR_PT = Fraction(1, 100_000)
DECIMALS_MM = 4

Number = int | float


def exact(number: Number) -> Fraction:
    """Return a finite number as it is written, not as binary holds it: 0.1 is one tenth."""
    return Fraction(number) if isinstance(number, int) else Fraction(str(number))


def plain(number: Fraction, decimals: int) -> Number:
    """Return a number rounded to so many decimals, whole ones as integers."""
    rounded = round(number, decimals)
    return int(rounded) if rounded.denominator == 1 else float(rounded)


def mm_of(points: Number) -> Number:
    """Return a length [pt] in mm.

    A document that rounds to 0.01 pt (or 0.001 pt) cannot tell a whole 0.01 mm from what lies
    beside it: 280.63 pt stands for 99 mm. So the nearest 0.01 mm is taken where it lies within
    half of 0.01 pt; else, and of what is written more exactly, the exact length to 0.0001 mm:
    585 pt are 206.375 mm.
    """
    length = exact(points) * MM_PER_PT
    nearest = round(length, 2)
    if _decimals(points) <= MOST_ROUNDED and abs(nearest - length) <= HALF_STEP_PT * MM_PER_PT:
        return plain(nearest, 2)
    return plain(length, DECIMALS_MM)


def points_of(length_mm: Number) -> Number:
    """Return a length [mm] in points: with two decimals where they read back the same.

    Else with four, or six. A length that is whole in three decimals, and would be taken for one
    that was rounded, is written a hair longer: 5.0292 mm are 14.25601 pt.
    """
    points = exact(length_mm) / MM_PER_PT
    candidates = [plain(points, decimals) for decimals in (2, 4, 6)]
    candidates.append(plain(points + HAIR_PT, 5))
    return next((each for each in candidates if mm_of(each) == length_mm), candidates[-1])


def _decimals(number: Number) -> int:
    if isinstance(number, int):
        return 0
    exponent = Decimal(str(number)).normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0
