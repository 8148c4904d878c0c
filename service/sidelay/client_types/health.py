"""Types of answers: health.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Literal, TypedDict


class AliveAnswer(TypedDict):
    """The process answers."""

    status: Literal["alive"]


class Reload(TypedDict):
    """How a reload went."""

    at: str
    ok: bool
    faults: int
    files: list[str]


class ReadyAnswer(TypedDict):
    """What is loaded."""

    status: Literal["ready"]
    plants: list[str]
    processes: list[str]
    plugin_faults: list[str]
    revisions: dict[str, str]
    reload: Reload | None
