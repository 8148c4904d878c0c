"""Types of answers: ranking.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import NotRequired, TypedDict


class RankedBy(TypedDict):
    """How much each criterion counted for the rank: as stated in rank_by, by default the price."""

    price: float
    cost: NotRequired[float]
    readiness: float


class Ratios(TypedDict):
    """Figures of a choice against the best of its quantity: 1 is the best, six decimals."""

    price: float | None
    cost: NotRequired[float | None]
    readiness: float | None
