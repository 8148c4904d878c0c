"""Which way is cheapest: by price, then by value before it is rounded, then in the fixed order."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from .curve import Array
from .money import Cents

Index = NDArray[np.intp]


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
