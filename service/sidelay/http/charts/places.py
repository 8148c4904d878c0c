"""Where labels and ticks stand. Figures in, figures out; nothing is drawn here."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate, pairwise

# So many labelled ticks are enough on an axis, and so few are too few.
FEWEST, MOST = 3, 10


def spread(
    wanted: Sequence[float], sizes: Sequence[float], low: float, high: float
) -> list[float]:
    """Return centres for labels that do not overlap, each as near to where it is wanted as can be.

    wanted: centres, rising; sizes: lengths, gaps included; all must lie between two bounds
    Where they do not fit they overlap evenly.
    """
    if not wanted:
        return []
    steps = [0.0, *((a + b) / 2 for a, b in pairwise(sizes))]
    room = max(high - low - (sizes[0] + sizes[-1]) / 2, 0.0)
    if sum(steps) > room:
        steps = [step * room / sum(steps) for step in steps]
    offsets = list(accumulate(steps))
    pooled = _rising([want - offset for want, offset in zip(wanted, offsets, strict=True)])
    least = low + sizes[0] / 2
    most = max(high - sizes[-1] / 2 - offsets[-1], least)
    return [
        min(max(at, least), most) + offset for at, offset in zip(pooled, offsets, strict=True)
    ]


def _rising(values: Sequence[float]) -> list[float]:
    """Return the values nearest to some, in squares, that never fall: neighbours are pooled."""
    pools: list[tuple[float, int]] = []
    for value in values:
        mean, count = value, 1
        while pools and pools[-1][0] > mean:
            before, many = pools.pop()
            mean, count = (mean * count + before * many) / (count + many), count + many
        pools.append((mean, count))
    return [mean for mean, count in pools for _ in range(count)]


def log_ticks(low: float, high: float) -> list[float]:
    """Return what to label on a logarithmic axis: powers of ten, and more where there are few."""
    for digits in ((1,), (1, 2, 5), (1, 2, 3, 4, 5, 6, 7, 8, 9)):
        found = _decades(low, high, digits)
        if len(found) >= FEWEST:
            return found[:: math.ceil(len(found) / MOST)]
    return linear_ticks(low, high)


def fine_ticks(low: float, high: float) -> list[float]:
    """Return the ticks between the powers of ten that no label names."""
    return _decades(low, high, (2, 3, 4, 5, 6, 7, 8, 9))


def _decades(low: float, high: float, digits: Sequence[int]) -> list[float]:
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    every = (float(f"{digit}e{power}") for power in powers for digit in digits)
    return [value for value in every if low <= value <= high]


def linear_ticks(low: float, high: float) -> list[float]:
    """Return round figures between two others, three to ten of them."""
    span = high - low
    power = 10.0 ** math.floor(math.log10(span))
    # From wide to narrow: the first that gives enough.
    for share in (1.0, 0.5, 0.2, 0.1):
        step = power * share
        found = [n * step for n in range(math.ceil(low / step), math.floor(high / step) + 1)]
        if len(found) >= FEWEST:
            break
    return found


def plain(value: float) -> str:
    """Return a figure as it stands on an axis: 0.05, 200, 1,000,000."""
    text = f"{value:,.10f}".rstrip("0").rstrip(".")
    return text if float(text.replace(",", "")) or not value else f"{value:g}"
