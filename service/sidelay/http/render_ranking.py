"""How soon an offer is ready and how choices were ranked, as plain data."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from ..choices import Standing
from ..ranking import CRITERIA, RankBy
from ..schedule import Readiness

# Digits after the point of ratios and scores.
SCORE_DIGITS = 6


def write_readiness(readiness: Readiness) -> dict[str, Any]:
    """Return how soon an offer can be ready, and why."""
    return {
        "working_days": readiness.working_days,
        "lead_days": readiness.lead_days,
        "work_h": readiness.work_h,
        "drying_h": readiness.drying_h,
        "because": dict(readiness.because),
    }


def write_standing(standing: Standing) -> dict[str, Any]:
    """Return readiness, ratios and score of a choice; null where a ratio is infinite."""
    ratios = zip(CRITERIA, standing.score.ratios, strict=True)
    return {
        "score": _rounded(standing.score.score),
        "ratios": {name: _rounded(ratio) for name, ratio in ratios},
        "readiness": write_readiness(standing.readiness),
    }


def write_ranked_by(by: RankBy) -> dict[str, float]:
    """Return the weights that choices were ranked by, every one of them."""
    return dict(zip(CRITERIA, map(float, by.weights), strict=True))


def _rounded(number: Fraction | None) -> float | None:
    return None if number is None else round(float(number), SCORE_DIGITS)
