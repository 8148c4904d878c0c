"""Which route is cheapest: by price, then by cost, then in the fixed order of routes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from .money import Cents

Index = NDArray[np.intp]
_NEVER = np.iinfo(np.int64).max


def cheapest(price: Cents, cost: Cents) -> Index:
    """Return the number of the cheapest route at each quantity; both arrays [route, quantity]."""
    tied = price == price.min(axis=0)
    winner: Index = np.where(tied, cost, _NEVER).argmin(axis=0)
    return winner


def cheapest_of(routes: Sequence[int], price: Cents, cost: Cents) -> Index:
    """Return the cheapest of some routes at each quantity, by its number among all."""
    rows = np.asarray(routes, dtype=np.intp)
    return rows[cheapest(price[rows], cost[rows])]
