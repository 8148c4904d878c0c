"""How many more cost no more: the largest quantity at a price, for many prices at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from .money import Cents

Whole = NDArray[np.int64]
# No larger quantity than this is looked for.
MOST_SOUGHT = 200_000_000
# Quantities tried between two bounds at one look.
TRIED = 8
# How far away they are tried first: most prices rise with the next sheet, a few pieces on.
NEAR = np.array([*range(1, 17), 32, 64], dtype=np.int64)


def largest_at_no_more(
    price_at: Callable[[Whole], Cents], quantities: Sequence[int], limits: Sequence[int]
) -> list[int]:
    """Return for each quantity the largest one that costs no more than its limit [minor units].

    price_at: price at each of some quantities; it never falls as quantity rises
    quantities: each costs no more than its limit
    """
    first, limit = np.array(quantities, dtype=np.int64), np.array(limits, dtype=np.int64)
    if not first.size:
        return []
    low, high = _near(price_at, first, limit)
    while (is_open := high - low > 1).any():
        rows = np.flatnonzero(is_open)
        tried = [_between(int(first[row]), int(low[row]), int(high[row])) for row in rows]
        asked = np.concatenate(tried)
        of_row = np.repeat(rows, [len(each) for each in tried])
        fits = price_at(asked) <= limit[of_row]
        np.maximum.at(low, of_row[fits], asked[fits])
        np.minimum.at(high, of_row[~fits], asked[~fits])
    return [int(each) for each in low]


def _near(
    price_at: Callable[[Whole], Cents], first: Whole, limit: Whole
) -> tuple[Whole, Whole]:
    """Return a quantity that fits and one that does not for each, from a first look nearby."""
    asked = np.minimum(first[:, None] + NEAR, MOST_SOUGHT)
    fits = price_at(asked.ravel()).reshape(asked.shape) <= limit[:, None]
    bounds = np.concatenate([first[:, None], asked, np.full_like(first, MOST_SOUGHT)[:, None]], 1)
    rows, fitting = np.arange(len(first)), fits.sum(axis=1)
    return bounds[rows, fitting], bounds[rows, fitting + 1]


def _between(first: int, low: int, high: int) -> Whole:
    """Quantities between two bounds: ever further away until a bound is found, then evenly."""
    if high == MOST_SOUGHT:
        further = low + max(1, low - first) * 2 ** np.arange(TRIED, dtype=np.int64)
        return np.unique(np.minimum(further, high - 1))
    inside = np.linspace(low, high, TRIED + 2).astype(np.int64)[1:-1]
    return np.unique(inside.clip(low + 1, high - 1))
