"""Compares what sidelay computed with what a case expects."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

FLOAT_NOISE = 1e-9  # relative; lets "tolerance 0" mean exact in spite of binary fractions


@dataclass(frozen=True)
class AtMost:
    """A computed figure that the expected one must not fall below (a bound, a proved optimum)."""

    figure: float


@dataclass(frozen=True)
class Reaches:
    """A claim: whether the computed figure equals what the same case expects under `key`."""

    figure: float
    key: str


@dataclass(frozen=True)
class Factor:
    """A tolerance that multiplies and divides: "factor 2" takes half to twice the figure."""

    times: float


Tolerance = float | Factor


def disagreements(got: Mapping[str, Any], expected: Mapping[str, Any]) -> list[str]:
    """Return one line for every expected figure that is missing or wrong."""
    lines = []
    for key, wanted in expected.items():
        if key not in got:
            lines.append(f"{key}: nothing computed under this name, only {sorted(got)}")
        elif not _agrees(got[key], wanted, expected):
            lines.append(f"{key}: computed {got[key]!r}, expected {wanted!r}")
    return lines


def _agrees(got: Any, wanted: Any, expected: Mapping[str, Any]) -> bool:
    low, high = _range(wanted)
    if low is not None or high is not None:
        figure = got.figure if isinstance(got, AtMost) else got
        not_low = isinstance(got, AtMost) or low is None or figure >= low
        return not_low and (high is None or figure <= high)
    value = wanted["value"] if isinstance(wanted, Mapping) else wanted
    tolerance = _tolerance(wanted)
    if isinstance(got, AtMost):
        return got.figure <= (max(value) if isinstance(value, list) else value) + tolerance
    if isinstance(got, Reaches):
        other = expected[got.key]
        got = got.figure == (other["value"] if isinstance(other, Mapping) else other)
    return _same(got, value, tolerance)


def _range(wanted: Any) -> tuple[float | None, float | None]:
    if not isinstance(wanted, Mapping):
        return None, None
    return wanted.get("low", wanted.get("min")), wanted.get("high", wanted.get("max"))


def _tolerance(wanted: Any) -> Tolerance:
    if not isinstance(wanted, Mapping):
        return 0.0
    tolerance = wanted.get("tolerance", wanted.get("tol", 0)) or 0
    if isinstance(tolerance, str):
        return Factor(float(tolerance.removeprefix("factor")))
    return float(tolerance)


def _same(got: Any, value: Any, tolerance: Tolerance) -> bool:
    if isinstance(value, bool) or isinstance(got, bool):
        return got is value
    if isinstance(value, str):
        return str(got) == value
    if isinstance(value, list):
        alike = isinstance(got, list | tuple) and len(got) == len(value)
        return alike and all(_same(g, v, tolerance) for g, v in zip(got, value, strict=True))
    if isinstance(value, Mapping):
        alike = isinstance(got, Mapping) and got.keys() == value.keys()
        return alike and all(_same(got[key], value[key], tolerance) for key in value)
    if not isinstance(got, int | float | Decimal) or not math.isfinite(got):
        return False
    if isinstance(tolerance, Factor):
        return value / tolerance.times <= got <= value * tolerance.times
    return abs(float(got) - value) <= tolerance + FLOAT_NOISE * max(1.0, abs(value))
