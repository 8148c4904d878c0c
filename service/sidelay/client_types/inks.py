"""Types of answers: inks.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Literal, NotRequired, TypedDict


class PrintedInk(TypedDict):
    """An ink of a side by name and kind, with its own coverage where it differs."""

    name: str
    kind: Literal["process", "spot", "metallic", "fluorescent", "white", "varnish"]
    may_simulate: NotRequired[bool]
    coverage: NotRequired[float]


class Ink(TypedDict):
    """An ink by name and kind."""

    name: str
    kind: Literal["process", "spot", "metallic", "fluorescent", "white", "varnish"]
    may_simulate: NotRequired[bool]
