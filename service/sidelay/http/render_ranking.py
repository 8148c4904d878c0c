"""How choices were ranked, as plain data."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from ..choices import Standing
from ..ranking import CRITERIA, RankBy

# Digits after the point of ratios and scores.
SCORE_DIGITS = 6


def write_standing(standing: Standing) -> dict[str, Any]:
    """Return ratios and score of a choice; null where a ratio is infinite."""
    ratios = zip(CRITERIA, standing.score.ratios, strict=True)
    return {
        "score": _rounded(standing.score.score),
        "ratios": {name: _rounded(ratio) for name, ratio in ratios},
    }


def write_ranked_by(by: RankBy) -> dict[str, float]:
    """Return the weights that choices were ranked by, every one of them."""
    return dict(zip(CRITERIA, map(float, by.weights), strict=True))


def _rounded(number: Fraction | None) -> float | None:
    return None if number is None else round(float(number), SCORE_DIGITS)
