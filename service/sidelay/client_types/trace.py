"""Types of answers: trace.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import TypedDict


class Input(TypedDict):
    """What goes into a formula: a figure worked out before, or one given."""

    name: str
    value: float | str
    unit: str


class Shape(TypedDict):
    """The two lines that the cost of one copy nears over quantity, on scales of logarithms."""

    fixed: str
    long_run_unit_cost: str
    balanced_at: int | None
    currency: str


class Figure(TypedDict):
    """One figure and how it comes about."""

    name: str
    of: str
    value: float | str
    unit: str
    formula: str
    inputs: list[Input]
    because: str
    source: str
