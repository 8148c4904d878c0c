"""The lines of a batch: taken in whole before the first is answered, then read one by one.

A client that sends everything before it reads would wait for us, and we for it, if answers began
while lines still come. What is long lies in a file meanwhile, and not in memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from tempfile import SpooledTemporaryFile
from typing import IO, Any

from flask import Request
from marshmallow import ValidationError
from werkzeug.exceptions import RequestEntityTooLarge

from .exchange import check_media_type
from .faults import Fault, InvalidRequest
from .json_reader import MOST_DEPTH, NotJson, read_json
from .media_types import NDJSON
from .problems import Problem
from .schemas.batch import BatchLineSchema
from .schemas.request import faults_of

MOST_LINES = 10_000
# Of a batch no more than this is held in memory.
IN_MEMORY_BYTES = 1024 * 1024
PIECE_BYTES = 64 * 1024

Lines = IO[bytes]


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a batch, as far as it can be read.

    number: from 1, blank lines counted
    id: its own, or its number as text where it has none or none that can be read
    ask: what is asked, "" where that cannot be read
    request: the body asked with, None where there is none
    faults: of all but the request
    unreadable: why it is no line of a batch at all, None where it is one
    """

    number: int
    id: str
    ask: str = ""
    request: dict[str, Any] | None = None
    faults: tuple[Fault, ...] = ()
    unreadable: Problem | None = None

    def body(self) -> dict[str, Any]:
        """Return the request. Raises Problem or InvalidRequest where there is none."""
        if self.unreadable is not None:
            raise self.unreadable
        if self.request is None:
            raise InvalidRequest(list(self.faults))
        return self.request


def take_in(incoming: Request, most_bytes: int) -> Lines:
    """Return the body of a request as a file, at its start; whoever takes it closes it.

    Raises Problem for another media type, for more than most_bytes, or more than MOST_LINES.
    """
    check_media_type(incoming, (NDJSON,))
    # One byte more than is taken, so that a chunked body beyond the limit is seen.
    incoming.max_content_length = most_bytes + 1
    spooled: Any = SpooledTemporaryFile(IN_MEMORY_BYTES)  # noqa: SIM115  (closed by who takes it)
    try:
        _copy(incoming, spooled, most_bytes)
    except BaseException:
        spooled.close()
        raise
    spooled.seek(0)
    lines: Lines = spooled
    return lines


def _copy(incoming: Request, spooled: Lines, most_bytes: int) -> None:
    size, lines, last = 0, 0, b""
    try:
        while piece := incoming.stream.read(PIECE_BYTES):
            size, lines, last = size + len(piece), lines + piece.count(b"\n"), piece[-1:]
            if size > most_bytes:
                break
            spooled.write(piece)
    except RequestEntityTooLarge:
        size = most_bytes + 1
    if size > most_bytes:
        raise Problem("body_too_large", f"A batch of at most {most_bytes:,} bytes is read.")
    if lines + (last not in (b"", b"\n")) > MOST_LINES:
        raise Problem("body_too_large", f"A batch of at most {MOST_LINES:,} lines is read.")


def read_lines(lines: Lines, most_bytes: int) -> Iterator[Line]:
    """Yield each line that is not blank. most_bytes: longest one that is read"""
    seen: set[str] = set()
    for number, text in _texts(lines, most_bytes):
        line = _read(number, text, most_bytes)
        if line.id in seen:
            detail = f"The id {line.id!r} stands further up: give each line one of its own."
            twice = Fault(("id",), "same_id_twice", detail)
            line = Line(
                number, line.id, line.ask, line.request, (*line.faults, twice), line.unreadable
            )
        seen.add(line.id)
        yield line


def _texts(lines: Lines, most_bytes: int) -> Iterator[tuple[int, bytes | None]]:
    """Yield number and bytes of each line that is not blank, None for one that is too long."""
    number, longest = 0, most_bytes + len(b"\r\n")
    while piece := lines.readline(longest):
        number += 1
        text = piece.removesuffix(b"\n").removesuffix(b"\r")
        if len(text) > most_bytes:
            yield number, None
            while piece and not piece.endswith(b"\n"):
                piece = lines.readline(PIECE_BYTES)
        elif text.strip():
            yield number, text


def _read(number: int, text: bytes | None, most_bytes: int) -> Line:
    known_as = str(number)
    if text is None:
        told = f"A line of at most {most_bytes:,} bytes is read."
        return Line(number, known_as, unreadable=Problem("body_too_large", told))
    try:
        # The request stands one level deeper than it would in a body of its own.
        data = read_json(text, named="line", most_depth=MOST_DEPTH + 1)
    except NotJson as fault:
        return Line(number, known_as, unreadable=Problem("not_json", str(fault)))
    faults: tuple[Fault, ...] = ()
    try:
        head = _schema().load(data)
    except ValidationError as found:
        head = found.valid_data if isinstance(found.valid_data, dict) else {}
        faults = tuple(faults_of(found))
    return Line(
        number, head.get("id", known_as), head.get("ask", ""), head.get("request"), faults
    )


@cache
def _schema() -> BatchLineSchema:
    return BatchLineSchema()
