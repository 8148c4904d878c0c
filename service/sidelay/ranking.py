"""Which way is cheapest: by price, then by value before it is rounded, then in the fixed order.

And which choice is best by what the caller states: price, cost, readiness, or weights of these.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .curve import Array
from .money import Cents

Index = NDArray[np.intp]
CRITERIA = ("price", "cost", "readiness")


def cheapest(price: Cents, value: Array) -> Index:
    """Return the number of the cheapest way at each quantity; both arrays [way, quantity].

    A minimum charge and rounding make prices level: there the lesser value wins, which leaves the
    plant more.
    """
    tied = price == price.min(axis=0)
    winner: Index = np.where(tied, value, np.inf).argmin(axis=0)
    return winner


def cheapest_of(ways: Sequence[int], price: Cents, value: Array) -> Index:
    """Return the cheapest of some ways at each quantity, by its number among all."""
    rows = np.asarray(ways, dtype=np.intp)
    return rows[cheapest(price[rows], value[rows])]


class Figures(NamedTuple):
    """What one choice is ranked by: price and cost [minor units], readiness [h]."""

    price: int
    cost: int
    readiness: float


@dataclass(frozen=True, slots=True)
class RankBy:
    """What choices are ranked by: how much each criterion counts, 0 or more, not all 0.

    Stated by the caller and shown in the answer; where they add up to 1, so does the score of a
    choice that is the best in everything. Raises ValueError otherwise.
    """

    price: float = 0.0
    cost: float = 0.0
    readiness: float = 0.0

    def __post_init__(self) -> None:
        if min(self.weights) < 0 or not any(self.weights):
            raise ValueError("weights must be 0 or more, and not all 0")

    @property
    def weights(self) -> tuple[float, float, float]:
        """How much each of CRITERIA counts."""
        return self.price, self.cost, self.readiness

    @property
    def alone(self) -> str | None:
        """The one criterion that counts, None where several do."""
        counting = [name for name, weight in zip(CRITERIA, self.weights, strict=True) if weight]
        return counting[0] if len(counting) == 1 else None


BY_PRICE = RankBy(price=1.0)


@dataclass(frozen=True, slots=True)
class Score:
    """Where a choice stands among those of its quantity; less is better.

    ratios: its figures against the best, in the order of CRITERIA; None for infinitely worse,
        where the best is 0 and it is not
    score: sum of weight x ratio, exact; None where that is infinite
    behind: what puts infinite scores in order: sum of weight x figure where the ratio is infinite
    """

    ratios: tuple[Fraction | None, Fraction | None, Fraction | None]
    score: Fraction | None
    behind: Fraction

    @property
    def key(self) -> tuple[Fraction, Fraction]:
        """What to sort by: all finite scores come before the others."""
        return self.behind, self.score or Fraction(0)


def scores(figures: Sequence[Figures], by: RankBy) -> list[Score]:
    """Return the score of each choice of one quantity.

    In fractions, so that equal results are equal, however the weights are scaled.
    """
    best = [Fraction(min(column)) for column in zip(*figures, strict=True)]
    weights = [Fraction(weight) for weight in by.weights]
    return [_score([Fraction(figure) for figure in own], best, weights) for own in figures]


def _score(
    own: Sequence[Fraction], best: Sequence[Fraction], weights: Sequence[Fraction]
) -> Score:
    price, cost, readiness = (_ratio(*pair) for pair in zip(own, best, strict=True))
    ratios = price, cost, readiness
    summed, behind, infinite = Fraction(0), Fraction(0), False
    for weight, figure, ratio in zip(weights, own, ratios, strict=True):
        if ratio is not None:
            summed += weight * ratio
        elif weight:
            behind, infinite = behind + weight * figure, True
    return Score(ratios, None if infinite else summed, behind)


def _ratio(figure: Fraction, best: Fraction) -> Fraction | None:
    if figure == best:
        return Fraction(1)
    return figure / best if best else None
