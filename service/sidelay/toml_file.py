"""Reads a TOML file of a plant, and collects its faults: each with file, table, key, expected."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from marshmallow import Schema, ValidationError


@dataclass(frozen=True)
class PlantFault:
    """One fault: where it stands and what was expected there."""

    file: str
    table: str
    key: str
    expected: str

    def __str__(self) -> str:
        """Say it in one line."""
        where = " ".join(
            word for word in (f"[{self.table}]" if self.table else "", self.key) if word
        )
        return (
            f"{self.file}: {where}: {self.expected}" if where else f"{self.file}: {self.expected}"
        )


class PlantFileError(Exception):
    """A plant file that cannot be used, with every fault found."""

    def __init__(self, faults: list[PlantFault]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = faults


def read_toml(path: Path) -> tuple[dict[str, Any], str]:
    """Return what a file holds, and its revision: 12 hexadecimal digits of its SHA-256.

    Raises PlantFileError where it is not TOML, OSError where it cannot be read.
    """
    content = path.read_bytes()
    try:
        data = tomllib.loads(content.decode())
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        raise PlantFileError([PlantFault(path.name, "", "", f"not TOML: {fault}")]) from None
    return data, revision_of(content)


def revision_of(content: bytes) -> str:
    """Return the revision of a file that holds this: 12 hexadecimal digits of its SHA-256."""
    return hashlib.sha256(content).hexdigest()[:12]


class FileFaults:
    """Faults of one file, collected."""

    def __init__(self, file: str) -> None:
        self._file = file
        self._found: list[PlantFault] = []

    def add(self, table: str, key: str, expected: str) -> None:
        """Note a fault."""
        self._found.append(PlantFault(self._file, table, key, expected))

    def stop(self) -> None:
        """Raise what was found so far, if anything."""
        if self._found:
            raise PlantFileError(self._found)


def loaded(
    schema: Schema, data: Mapping[str, Any], table: str, faults: FileFaults
) -> dict[str, Any]:
    """Return what a schema makes of a table; {} where it has faults, which are added."""
    try:
        return schema.load(data)  # type: ignore[no-any-return]
    except ValidationError as fault:
        for path, message in _messages(fault.messages, ()):
            *tables, key = path or ("",)
            faults.add(".".join([*([table] if table else []), *tables]), key, message)
        return {}


def _messages(messages: Any, path: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], str]]:
    """Flatten marshmallow's nested messages to (path, message)."""
    if isinstance(messages, dict):
        for key, inner in messages.items():
            name = str(key)
            deeper = (
                (*path[:-1], f"{path[-1]}[{name}]")
                if isinstance(key, int) and path
                else (*path, name)
            )
            yield from _messages(inner, path if key == "_schema" else deeper)
    else:
        for message in messages if isinstance(messages, list) else [messages]:
            yield path, str(message)
