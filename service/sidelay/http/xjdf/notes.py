"""What is noted while a document is read: faults, warnings, and where each figure came from.

Whatever is taken out of a Node counts as read. What is left in the end had no effect, and is told.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from ..faults import Fault, Faults, Path

# Members of a part that have to be told, by the intents that tell them.
INTENT_OF = {"size": "LayoutIntent", "stock": "MediaIntent", "front": "ColorIntent"}
# More of one array is not looked at.
MOST_ITEMS = 200
MOST_WARNINGS = 500


@dataclass(frozen=True, slots=True)
class Ignored:
    """A member that has no effect, or was read as something that it does not say outright.

    path: where it stands in the document read
    code: "ignored": it has no bearing here; "assumed": read so, though it does not say so;
        "unknown_value": a word that is not known here; "rounded": not exact; "not_said": of a
        job written, what the document cannot say; "more": so many are not told one by one. The
        list is open.
    """

    path: Path
    code: str
    detail: str


class Notes:
    """Collects what is found in one document. leftover: how what nobody read is told."""

    def __init__(self, leftover: str = "ignored") -> None:
        self.faults = Faults()
        self.origins: dict[Path, Path] = {}
        self._leftover = leftover
        self._warnings: dict[Ignored, None] = {}
        self._read: set[Path] = set()
        self._opened: set[Path] = set()
        self._whole: set[Path] = set()

    def fault(self, path: Path, code: str, detail: str) -> None:
        """Note a fault."""
        self.faults.add(path, code, detail)

    def warn(self, path: Path, code: str, detail: str, *, whole: bool = False) -> None:
        """Note a warning, once. whole: whether it tells of all that is inside as well"""
        self._warnings.setdefault(Ignored(path, code, detail))
        if whole:
            self._whole.add(path)

    def read(self, path: Path) -> None:
        """Note that a member is read, with all that is in it."""
        self._read.add(path)

    def open(self, path: Path) -> None:
        """Note that a container is looked into: what is inside is read by itself."""
        self._opened.add(path)

    def close(self, path: Path) -> None:
        """Note that nothing is left to tell of what is inside."""
        self._whole.add(path)

    def warnings(self, document: Mapping[str, Any], details: Mapping[str, str]) -> list[Ignored]:
        """Return all warnings in the order of the document, what nobody read among them.

        details: what to say of a member that is left, by the name of what holds it and its own,
            as "MediaIntent/Brand", or by its own; "" for any other
        """
        order: dict[Path, int] = {}
        untold = 0
        for count, path in enumerate(self._left(document, (), order)):
            if count < MOST_WARNINGS:
                self.warn(path, self._leftover, _said(path, details))
            else:
                untold += 1
        found = sorted(self._warnings, key=lambda each: _place(each.path, order))
        untold += len(found[MOST_WARNINGS:])
        if untold:
            detail = f"{untold:,} more are not told one by one."
            found = [*found[:MOST_WARNINGS], Ignored((), "more", detail)]
        return found

    def _left(self, value: Any, path: Path, order: dict[Path, int]) -> Iterator[Path]:
        """Yield what is neither read nor told. order: is given the place of what is passed by"""
        order[path] = len(order)
        if path in self._whole or (path in self._read and path not in self._opened):
            return
        if path and path not in self._opened:
            yield path
            return
        for step, item in value.items() if isinstance(value, Mapping) else enumerate(value):
            yield from self._left(item, (*path, step), order)


def _said(path: Path, details: Mapping[str, str]) -> str:
    own = str(path[-1])
    holder = next((str(step) for step in reversed(path[:-1]) if isinstance(step, str)), "")
    return details.get(f"{holder}/{own}") or details.get(own) or details[""]


def _place(path: Path, order: Mapping[Path, int]) -> tuple[int, ...]:
    """Where a path stands in the order of the document; what is not there, behind what holds it."""
    length = next(length for length in range(len(path), -1, -1) if path[:length] in order)
    inside = (step for step in path[length:] if isinstance(step, int))
    return order[path[:length]], len(path) - length, *inside


class Node:
    """An object of the document. Its members are asked for by name and kind; null is absent.

    A member of another kind is a fault, and then None.
    """

    def __init__(self, value: Mapping[str, Any], path: Path, notes: Notes) -> None:
        self.value, self.path, self.notes = value, path, notes

    def at(self, *steps: str | int) -> Path:
        """The path of something inside."""
        return (*self.path, *steps)

    def has(self, name: str) -> bool:
        """Whether a member is there; this alone does not count as reading it."""
        return self.value.get(name) is not None

    def fault(self, name: str, code: str, detail: str) -> None:
        """Note a fault of a member."""
        self.notes.fault(self.at(name), code, detail)

    def warn(self, name: str, code: str, detail: str, *, whole: bool = False) -> None:
        """Note a warning about a member."""
        self.notes.warn(self.at(name), code, detail, whole=whole)

    def _take(self, name: str, *, required: bool = False) -> Any:
        value = self.value.get(name)
        if value is not None:
            self.notes.read(self.at(name))
        elif required:
            self.fault(name, "required", "This member must be given.")
        return value

    def text(self, name: str, *, required: bool = False) -> str | None:
        """Return a string."""
        value = self._take(name, required=required)
        if value is None or isinstance(value, str):
            return value
        self.fault(name, "not_a_string", "Expected a string.")
        return None

    def word(self, name: str, words: Collection[str], *, required: bool = False) -> str | None:
        """Return one of a closed list of words."""
        value = self.text(name, required=required)
        if value is None or value in words:
            return value
        self.fault(name, "unknown_value", f"Expected one of {', '.join(words)}.")
        return None

    def number(self, name: str) -> int | float | None:
        """Return a finite number."""
        value = self._take(name)
        if value is None or _is_number(value):
            return value  # type: ignore[no-any-return]
        self.fault(name, "not_a_number", "Expected a number.")
        return None

    def amount(self, name: str) -> int | None:
        """Return a whole number above 0."""
        value = self._take(name)
        if value is None:
            return None
        if not _is_number(value) or value != int(value):
            self.fault(name, "not_an_integer", "Expected a whole number.")
            return None
        if value < 1:
            self.fault(name, "out_of_range", "Expected at least 1.")
            return None
        return int(value)

    def flag(self, name: str) -> bool | None:
        """Return true or false."""
        value = self._take(name)
        if value is None or isinstance(value, bool):
            return value
        self.fault(name, "not_a_boolean", "Expected true or false.")
        return None

    def numbers(self, name: str, count: int) -> tuple[int | float, ...] | None:
        """Return an array of so many finite numbers."""
        value = self._array(name)
        if value is None:
            return None
        if len(value) != count:
            code = "too_few" if len(value) < count else "too_many"
            self.fault(name, code, f"Expected {count} numbers.")
            return None
        wrong = [index for index, each in enumerate(value) if not _is_number(each)]
        for index in wrong:
            self.notes.fault(self.at(name, index), "not_a_number", "Expected a number.")
        return None if wrong else tuple(value)

    def texts(self, name: str) -> list[tuple[int, str]]:
        """Return the strings of an array, each with its index."""
        found: list[tuple[int, str]] = []
        for index, each in enumerate(self._array(name) or ()):
            if isinstance(each, str):
                found.append((index, each))
            else:
                self.notes.fault(self.at(name, index), "not_a_string", "Expected a string.")
        return found

    def one_or_more(self, name: str, *, required: bool = False) -> list[tuple[Path, str]]:
        """Return the strings of a member that versions of the standard tell apart.

        One word in some, an array in others; each with its path.
        """
        if isinstance(self.value.get(name), list):
            return [(self.at(name, index), word) for index, word in self.texts(name)]
        word = self.text(name, required=required)
        return [] if word is None else [(self.at(name), word)]

    def child(self, name: str, *, required: bool = False) -> Node | None:
        """Return an object."""
        value = self._take(name, required=required)
        if value is None:
            return None
        return self._node(value, self.at(name))

    def children(self, name: str, *, required: bool = False) -> list[Node]:
        """Return the objects of an array."""
        value = self._array(name, required=required)
        if value is None:
            return []
        self.notes.open(self.at(name))
        nodes = (self._node(each, self.at(name, index)) for index, each in enumerate(value))
        return [node for node in nodes if node]

    def named(self, name: str) -> list[Node]:
        """Return the items of an array, each a name or an object; a name as an object with it."""
        value = self._array(name)
        if value is None:
            return []
        self.notes.open(self.at(name))
        items = ({"name": each} if isinstance(each, str) else each for each in value)
        nodes = (self._node(each, self.at(name, index)) for index, each in enumerate(items))
        return [node for node in nodes if node]

    def _array(self, name: str, *, required: bool = False) -> list[Any] | None:
        value = self._take(name, required=required)
        if value is None:
            return None
        if not isinstance(value, list):
            self.fault(name, "not_an_array", "Expected an array, of one item too.")
            return None
        if len(value) > MOST_ITEMS:
            self.fault(name, "too_many", f"Expected at most {MOST_ITEMS}.")
        return value[:MOST_ITEMS]

    def _node(self, value: Any, path: Path) -> Node | None:
        if not isinstance(value, Mapping):
            self.notes.fault(path, "not_an_object", "Expected an object.")
            return None
        self.notes.open(path)
        return Node(value, path, self.notes)


def _is_number(value: Any) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return math.isfinite(value)


def in_document(fault: Fault, origins: Mapping[Path, Path], under: Path = ()) -> Fault:
    """Return a fault of the body told where it stands in the document.

    The longest path of the body that leads to the fault decides; one that has no origin stays.
    under: path of the document in the request, where it is not the whole body
    """
    for length in range(len(fault.path), 0, -1):
        origin = origins.get(fault.path[:length])
        if origin is not None:
            detail = _missing(fault, origin) or fault.detail
            return Fault((*under, *origin), fault.code, detail, fault.parameter)
    return fault


def _missing(fault: Fault, origin: Path) -> str:
    """Say which intent a list of them lacks; "" where that is not the fault."""
    if fault.code != "required" or origin[-1] != "Intent":
        return ""
    return f"Expected {INTENT_OF[str(fault.path[-1])]} among them."
