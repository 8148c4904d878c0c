"""Types of answers: hanging.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Literal, TypedDict


class Shift(TypedDict):
    """A crossover when a figure has changed."""

    change: float
    first_at: int | None
    settled_at: int | None
    wins_there: str


class Leaning(TypedDict):
    """How far a crossover leans on one figure."""

    factor: Literal[
        "stock_price",
        "click_charge",
        "hourly_rates",
        "make_ready_time",
        "carrier_price",
        "running_speed",
        "waste",
        "coverage",
    ]
    elasticity: float | None
    shifts: list[Shift]


class Sensitivity(TypedDict):
    """What one crossover hangs on."""

    part: str
    from_process: str
    to_process: str
    first_at: int
    factors: list[Leaning]


class PressFigure(TypedDict):
    """A figure on one press."""

    press: str
    now: float
    then: float
    unit: str


class Flip(TypedDict):
    """Where another process is the cheapest."""

    times: float
    unchanged_to: float
    process: str
    press: str
    figures: list[PressFigure]


class Hinge(TypedDict):
    """What one figure would have to be for another answer."""

    factor: Literal[
        "stock_price",
        "click_charge",
        "hourly_rates",
        "make_ready_time",
        "carrier_price",
        "running_speed",
        "waste",
        "coverage",
    ]
    below: Flip | None
    above: Flip | None


class Hanging(TypedDict):
    """Who is the cheapest for a part at one quantity, and what would change that."""

    quantity: int
    part: str
    process: str
    press: str
    factors: list[Hinge]


class WhatItHangsOn(TypedDict):
    """What the crossovers and the answers hang on."""

    crossovers: list[Sensitivity]
    answers: list[Hanging]
