"""Reads a TOML file of a plant, and collects its faults: where each stands, why, and what to do."""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from marshmallow import Schema, ValidationError

from . import toml_fixes, toml_lines

_LINE = re.compile(r"\(at line (\d+), column \d+\)")
MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True)
class PlantFault:
    """One fault: where it stands and what was expected there.

    line: of the file, from 1; None where it is not known
    fix: what to do about it, a sentence; "" where `expected` says it
    """

    file: str
    table: str
    key: str
    expected: str
    line: int | None = None
    fix: str = ""

    def __str__(self) -> str:
        """Say it in one line."""
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        where = " ".join(
            word for word in (f"[{self.table}]" if self.table else "", self.key) if word
        )
        told = f"{self.expected.rstrip('.')}. {self.fix}" if self.fix else self.expected
        return f"{place}: {where}: {told}" if where else f"{place}: {told}"


class PlantFileError(Exception):
    """A plant file that cannot be used, with every fault found."""

    def __init__(self, faults: list[PlantFault]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = faults


def read_toml(path: Path) -> tuple[dict[str, Any], str]:
    """Return what a file holds, and its revision: 12 hexadecimal digits of its SHA-256.

    Raises PlantFileError where it is not TOML, OSError where it cannot be read.
    """
    data, revision, _ = read_located(path)
    return data, revision


def read_located(path: Path) -> tuple[dict[str, Any], str, FileFaults]:
    """Return what `read_toml` does, and what collects faults of the file with their lines."""
    content = path.read_bytes()
    try:
        text = content.decode()
        data = tomllib.loads(text)
    except UnicodeDecodeError as fault:
        raise PlantFileError([_not_utf8(path.name, content, fault)]) from None
    except tomllib.TOMLDecodeError as fault:
        raise PlantFileError([_not_toml(path.name, content, str(fault))]) from None
    except RecursionError:
        told = "not TOML: nested too deeply"
        raise PlantFileError([PlantFault(path.name, "", "", told)]) from None
    return data, revision_of(content), FileFaults(path.name, text, data)


def revision_of(content: bytes) -> str:
    """Return the revision of a file that holds this: 12 hexadecimal digits of its SHA-256."""
    return hashlib.sha256(content).hexdigest()[:12]


def _not_utf8(file: str, content: bytes, fault: UnicodeDecodeError) -> PlantFault:
    line = content[: fault.start].count(b"\n") + 1
    told = f"not TOML: byte 0x{content[fault.start]:02x} is not UTF-8"
    return PlantFault(file, "", "", told, line, "Save the file in the encoding UTF-8.")


def _not_toml(file: str, content: bytes, message: str) -> PlantFault:
    told = f"not TOML: {message}"
    if content.startswith(MARK):
        return PlantFault(file, "", "", told, 1, "Save the file without a byte order mark.")
    found = _LINE.search(message)
    if found:
        return PlantFault(file, "", "", told, int(found.group(1)))
    last = len(content.rstrip().splitlines())
    return PlantFault(file, "", "", told, last or None, "Is the end of the file missing?")


class FileFaults:
    """Faults of one file, collected."""

    def __init__(
        self, file: str, text: str = "", data: Mapping[str, Any] | None = None
    ) -> None:
        """text, data: what the file holds, for the lines of its faults."""
        self._file, self._text, self._data = file, text, data or {}
        self._found: list[tuple[PlantFault, toml_lines.Path]] = []

    def add(
        self,
        table: str,
        key: str,
        expected: str,
        fix: str = "",
        at: toml_lines.Path | None = None,
    ) -> None:
        """Note a fault. at: where it stands, if not where table and key say"""
        path = toml_lines.path_of(self._data, table, key) if at is None else at
        self._found.append((PlantFault(self._file, table, key, expected, fix=fix), path))

    @property
    def found(self) -> list[PlantFault]:
        """What was found so far, in the order of lines."""
        if not self._found:
            return []
        lines = toml_lines.line_numbers(self._text)
        told = [
            replace(fault, line=toml_lines.line_of(lines, path)) for fault, path in self._found
        ]
        return sorted(told, key=lambda fault: fault.line or 0)

    def stop(self) -> None:
        """Raise what was found so far, if anything."""
        if self._found:
            raise PlantFileError(self.found)


def located(path: Path, faults: Iterable[PlantFault]) -> list[PlantFault]:
    """Return faults of a file that were found after it was read, with their lines."""
    faults = list(faults)
    if not faults:
        return []
    try:
        _, _, collected = read_located(path)
    except (PlantFileError, OSError):  # it has changed in between
        return faults
    for fault in faults:
        collected.add(fault.table, fault.key, fault.expected, fault.fix)
    return collected.found


def loaded(
    schema: Schema, data: Mapping[str, Any], table: str, faults: FileFaults
) -> dict[str, Any]:
    """Return what a schema makes of a table; {} where it has faults, which are added."""
    try:
        return schema.load(data)  # type: ignore[no-any-return]
    except ValidationError as fault:
        for path, message in _messages(fault.messages, ()):
            *tables, key = _named(path)
            name = ".".join([*([table] if table else []), *tables])
            faults.add(name, key, message, toml_fixes.fix(schema, path, message, data))
        return {}


def _named(path: tuple[str | int, ...]) -> list[str]:
    """Write a path as names, each number in brackets behind the name before it."""
    names: list[str] = []
    for step in path:
        if isinstance(step, int) and names:
            names[-1] += f"[{step}]"
        else:
            names.append(str(step))
    return names or [""]


def _messages(
    messages: Any, path: tuple[str | int, ...]
) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Flatten marshmallow's nested messages to (path, message)."""
    if isinstance(messages, dict):
        for key, inner in messages.items():
            yield from _messages(inner, path if key == "_schema" else (*path, key))
    else:
        for message in messages if isinstance(messages, list) else [messages]:
            yield path, str(message)
