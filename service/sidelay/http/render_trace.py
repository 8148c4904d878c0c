"""Figures with their formulas as plain data."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from ..figures import Amount, Figure, Given, Value
from ..money import decimal_text

# Whole numbers beyond this are not told apart in a float, so that they stay as they are.
EXACT = 2**53


def write_figures(figures: Iterable[Figure]) -> list[dict[str, Any]]:
    """Return figures in their order."""
    return [
        {
            "name": figure.name,
            "of": figure.of,
            "value": write_value(figure.value),
            "unit": figure.unit,
            "formula": figure.formula,
            "inputs": write_inputs(figure.inputs),
            "because": figure.because,
            "source": figure.source,
        }
        for figure in figures
    ]


def write_inputs(inputs: Iterable[Given]) -> list[dict[str, Any]]:
    """Return what goes into a formula."""
    return [
        {"name": given.name, "value": write_value(given.value), "unit": given.unit}
        for given in inputs
    ]


def write_value(value: Value) -> str | int | float:
    """Return money as a decimal string, a whole number without a point, others as they are."""
    if isinstance(value, Amount):
        return decimal_text(value.minor, value.digits)
    whole = float(value).is_integer() and abs(value) < EXACT
    return int(value) if whole else float(value)
