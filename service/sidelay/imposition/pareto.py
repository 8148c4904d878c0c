"""Leaves out what another matches or beats in everything that costs."""

from __future__ import annotations

from collections.abc import Hashable, Sequence

import numpy as np

Burden = tuple[float, ...]


def unbeaten(burdens: Sequence[Burden], groups: Sequence[Hashable] | None = None) -> list[int]:
    """Numbers of the ones that no other of their group matches in every burden; less is better.

    Of two that are equal in everything the first stays. Rounding noise of the ninth digit is no
    difference. Whole cycles of make-ready waste are not among the burdens: by so much less than one
    cycle the layout left out may have been cheaper.
    """
    if not burdens:
        return []
    figures = np.round(np.array(burdens, dtype=np.float64), 9)
    no_worse = np.ones((len(burdens), len(burdens)), dtype=np.bool_)
    for figure in figures.T:
        no_worse &= figure[:, None] <= figure
    if groups is not None:
        known = {group: number for number, group in enumerate(dict.fromkeys(groups))}
        numbers = np.array([known[group] for group in groups])
        no_worse &= numbers[:, None] == numbers
    first = np.arange(len(burdens))[:, None] < np.arange(len(burdens))
    beats = no_worse & (first | ~no_worse.T)
    kept: list[int] = np.flatnonzero(~beats.any(axis=0)).tolist()
    return kept
