"""An object of the request body while it is put together, each member with where it came from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from ..faults import Path
from .notes import Notes
from .words import OPERATION_ORDER


@dataclass(frozen=True)
class Draft:
    """An object of the body. at: its path there"""

    at: Path
    notes: Notes
    members: dict[str, Any] = field(default_factory=dict)

    def put(self, name: str, value: Any, source: Path) -> None:
        """Set a member. source: where the document tells it"""
        self.members[name] = value
        self.expect(name, source)

    def expect(self, name: str, source: Path) -> None:
        """Tell where in the document a member belongs, whether or not it is there."""
        self.notes.origins[(*self.at, name)] = source

    def draft(self, name: str, source: Path) -> Draft:
        """Return a member that is an object, empty so far."""
        inner = Draft((*self.at, name), self.notes)
        self.put(name, inner.members, source)
        return inner

    def put_each(self, name: str, values: Sequence[tuple[Any, Path]], source: Path) -> None:
        """Set a member that is an array, each item with its own source."""
        self.put(name, [value for value, _ in values], source)
        for index, (_, where) in enumerate(values):
            self.notes.origins[(*self.at, name, index)] = where


class Wish(NamedTuple):
    """An operation asked for, and where."""

    operation: dict[str, Any]
    source: Path


def put_operations(draft: Draft, wishes: Sequence[Wish]) -> None:
    """Set the operations of a part or of the job, in the order in which they are done."""
    if not wishes:
        return
    ordered = sorted(wishes, key=lambda wish: OPERATION_ORDER.index(wish.operation["operation"]))
    draft.put_each("operations", ordered, ordered[0].source)
