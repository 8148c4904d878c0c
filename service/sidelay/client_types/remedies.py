"""Types of answers: remedies.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Any, NotRequired, TypedDict

from .answers import Cost, Price

_Change = TypedDict("_Change", {"from": float | str | bool | dict[str, Any]})


class Change(_Change):
    """One member of the job that would have to be another; put `to` in its place, and ask again."""

    member: str
    name: str
    to: float | str | bool | dict[str, Any]
    unit: str


class RemedyPrice(TypedDict):
    """The job at one quantity, the part changed and on this press, all else at its cheapest."""

    quantity: int
    price: Price
    cost: NotRequired[Cost]
    ratio_to_best: float | None


class Remedy(TypedDict):
    """The least change of the job that lets an excluded press make a part."""

    process: str
    press: str
    part: str
    changes: list[Change] | None
    prices: list[RemedyPrice]
    reasons: list[str]
    message: str
