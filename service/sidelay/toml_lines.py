"""On which line of a TOML text each table, key and item stands: what tomllib does not tell.

The text is one that tomllib has read, so that only its shape is looked at, never its values.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from collections.abc import Mapping
from typing import Any

Path = tuple[str | int, ...]

_SPACE = re.compile(r"[ \t]*")
_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
# Strings over several lines first: two quotes may stand right before the three that end one.
_STRING = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*""""{0,2}'
    r"|'''(?:[^']|'(?!''))*''''{0,2}"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)
# A date may be parted from its time by a space.
_BARE_VALUE = re.compile(r"\d{4}-\d\d-\d\d \d\d:[^,\]}\s#]*|[^,\]}\s#]+")
# A name, a number in brackets, an id in parentheses: `stocks[2].sheets`, `operations (laminator)`.
_STEP = re.compile(r"\.?([^\s\[\].()]+)|\[(\d+)\]| \(([^()]*)\)")


def line_numbers(text: str) -> dict[Path, int]:
    """Return the line, from 1, of everything in a TOML text by its path from the root.

    A key has the line that it stands on, an item of a list the one it begins on, a table that of
    its header, or where it has none of the first key in it. {} for what is no TOML.
    """
    try:
        tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError):
        return {}
    return _Scanner(text).scan()


class _Scanner:
    """Reads a text from start to end and notes what begins where."""

    def __init__(self, text: str) -> None:
        self._text, self._at = text, 0
        self._ends = [found.start() for found in re.finditer("\n", text)]
        self._lines: dict[Path, int] = {}
        # Tables met so far of each [[array of tables]].
        self._met: dict[Path, int] = {}

    def scan(self) -> dict[Path, int]:
        table: Path = ()
        self._skip(_BLANK)
        while self._at < len(self._text):
            if self._text[self._at] == "[":
                table = self._header()
            else:
                self._pair(table)
            self._skip(_BLANK)
        return self._lines

    def _line(self) -> int:
        return bisect_right(self._ends, self._at - 1) + 1

    def _skip(self, pattern: re.Pattern[str]) -> str:
        """Go past what matches here, and return it."""
        found = pattern.match(self._text, self._at)
        if found is None:
            raise AssertionError(f"tomllib reads what this does not, at {self._at}")
        self._at = found.end()
        return found.group()

    def _names(self) -> list[str]:
        """Read a key, dotted or not."""
        names = []
        while True:
            self._skip(_SPACE)
            if self._text[self._at] in "\"'":
                names.append(tomllib.loads(f"key = {self._skip(_STRING)}")["key"])
            else:
                names.append(self._skip(_BARE_KEY))
            self._skip(_SPACE)
            if self._text[self._at] != ".":
                return names
            self._at += 1

    def _header(self) -> Path:
        line = self._line()
        brackets = 2 if self._text.startswith("[[", self._at) else 1
        self._at += brackets
        *outer, last = self._names()
        self._at += brackets
        path: Path = ()
        for name in outer:
            path = self._in_last((*path, name), line)
        path = (*path, last)
        if brackets == 2:
            self._lines.setdefault(path, line)
            number = self._met.get(path, 0)
            self._met[path] = number + 1
            path = (*path, number)
        self._lines[path] = line
        return path

    def _in_last(self, path: Path, line: int) -> Path:
        """Return a table on the way to another; of an array of tables the last one so far."""
        self._lines.setdefault(path, line)
        return (*path, self._met[path] - 1) if path in self._met else path

    def _pair(self, table: Path) -> None:
        line, path = self._line(), table
        for name in self._names():
            path = (*path, name)
            self._lines.setdefault(path, line)
        self._at += 1  # the sign =
        self._skip(_SPACE)
        self._value(path)

    def _value(self, path: Path) -> None:
        match self._text[self._at]:
            case '"' | "'":
                self._skip(_STRING)
            case "[":
                self._inside("]", path)
            case "{":
                self._inside("}", path)
            case _:
                self._skip(_BARE_VALUE)

    def _inside(self, end: str, path: Path) -> None:
        """Read the items of a list, or the pairs of an inline table."""
        self._at += 1
        self._skip(_BLANK)
        number = 0
        while self._text[self._at] != end:
            if end == "]":
                self._lines[(*path, number)] = self._line()
                self._value((*path, number))
            else:
                self._pair(path)
            self._skip(_BLANK)
            if self._text[self._at] == ",":
                self._at += 1
                self._skip(_BLANK)
            number += 1
        self._at += 1


def path_of(data: Mapping[str, Any], table: str, key: str = "") -> Path:
    """Return the path of what faults call a table and a key, as far as it is there.

    table: as in `presses[3]`, `stocks[2].sheets[0]`, `operations (laminator)`: a number counts
        from 0, in parentheses stands an id; "" for the file itself
    """
    node: Any = data
    path: Path = ()
    for words in (table, key):
        at = 0
        while at < len(words):
            found = _STEP.match(words, at)
            step = _step(node, *found.groups()) if found else None
            if found is None or step is None:
                return path
            at = found.end()
            if step != ():
                path, node = (*path, *step), node[step[0]]
    return path


def _step(node: Any, name: str | None, number: str | None, name_id: str | None) -> Path | None:
    """Return the step into a node, () for none, None where there is no such place in it."""
    if name is not None:
        return (name,) if isinstance(node, dict) and name in node else None
    if number is not None:
        there = isinstance(node, list) and int(number) < len(node)
        return (int(number),) if there else None
    if isinstance(node, dict):  # `products[0] (flyer)`: told twice
        return ()
    listed = node if isinstance(node, list) else []
    for place, each in enumerate(listed):
        if isinstance(each, dict) and each.get("id") == name_id:
            return (place,)
    return None


def line_of(lines: Mapping[Path, int], path: Path) -> int | None:
    """Return the line of a path, or of the nearest table around it that has one."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return None
