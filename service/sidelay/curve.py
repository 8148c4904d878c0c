"""A figure that changes with run length."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Curve:
    """A value over run length, straight between its points on a scale of ln(cycles), flat outside.

    points: (cycles, value) pairs, cycles rising from 1 or more, values positive or zero
    Raises ValueError when the points are not of that form.
    """

    points: tuple[tuple[float, float], ...]

    def __post_init__(self) -> None:
        cycles = [point[0] for point in self.points]
        if not self.points or cycles[0] < 1 or any(b <= a for a, b in pairwise(cycles)):
            raise ValueError("a curve needs points whose cycles rise from 1 or more")
        if not np.isfinite(self.points).all() or min(value for _, value in self.points) < 0:
            raise ValueError("a curve needs finite values that are not negative")

    @cached_property
    def _log_cycles(self) -> Array:
        return np.log([cycles for cycles, _ in self.points])

    @cached_property
    def _values(self) -> Array:
        return np.array([value for _, value in self.points], dtype=np.float64)

    def __call__(self, cycles: Array) -> Array:
        """Value at each run length [cycles], same shape."""
        return np.interp(np.log(np.maximum(cycles, 1.0)), self._log_cycles, self._values)

    def times(self, factor: float) -> Curve:
        """Return the curve with every value multiplied."""
        return Curve(tuple((cycles, value * factor) for cycles, value in self.points))

    def product_rises(self) -> bool:
        """Whether x * value(x) never falls as x grows: the promise for a waste share.

        With v = a + s ln x, d(x v)/dx = v + s, so it is enough that v + s >= 0 at both ends of
        each segment.
        """
        return self._product_rises

    @cached_property
    def _product_rises(self) -> bool:
        return all(min(v, w) + slope >= 0 for v, w, slope in self._segments())

    def quotient_rises(self) -> bool:
        """Whether x / value(x) never falls as x grows: the promise for a speed.

        With v = a + s ln x, d(x / v)/dx = (v - s) / v^2, so it is enough that v - s >= 0 at both
        ends of each segment.
        """
        return self._quotient_rises

    @cached_property
    def _quotient_rises(self) -> bool:
        return bool(self._values.min() > 0) and all(
            min(v, w) - slope >= 0 for v, w, slope in self._segments()
        )

    def _segments(self) -> list[tuple[float, float, float]]:
        values, logs = self._values, self._log_cycles
        slopes = np.diff(values) / np.diff(logs)
        return list(zip(values[:-1].tolist(), values[1:].tolist(), slopes.tolist(), strict=True))
