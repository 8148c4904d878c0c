"""Reads a table of separated values, and what its cells mean: bytes to rows, texts to numbers."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
from dataclasses import dataclass

Column = str | int
UTF8_MARK = b"\xef\xbb\xbf"
# A spreadsheet works these out when it opens the list; they are no values.
FORMULA = ("=", "@", "\t", "\r")
SIGNED_FORMULA = ("+", "-")
MOST_ROWS = 200_000


class BadTable(ValueError):  # noqa: N818  (told to whoever gave the file)
    """A list that cannot be read at all; the message says where and why."""


class BadCell(ValueError):  # noqa: N818  (told as a reject)
    """A cell that means nothing; the message says why."""


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row.

    number: line of the file that it starts on, from 1
    cells: by the name and by the number of their columns; None where their count is wrong
    count: how many cells there are
    """

    number: int
    cells: Mapping[Column, str] | None
    count: int


@dataclass(frozen=True, slots=True)
class Table:
    """A list: the names of its columns, none without a header, and its rows without empty ones."""

    heads: tuple[str, ...]
    rows: tuple[TableRow, ...]


def decoded(content: bytes, encoding: str) -> str:
    """Return a file's text without its byte order mark. Raises BadTable where it is not such text.

    encoding: as Python names it
    """
    if content.startswith(UTF8_MARK):
        if encoding.lower().replace("_", "-") not in ("utf-8", "utf8", "utf-8-sig"):
            raise BadTable(f"It starts with the mark of UTF-8, and the mapping says {encoding}.")
        content = content[len(UTF8_MARK) :]
    try:
        text = content.decode(encoding)
    except UnicodeDecodeError as fault:
        row = content[: fault.start].decode(encoding, "ignore").count("\n") + 1
        told = f"byte 0x{content[fault.start]:02X} in row {row} is not {encoding.upper()}"
        raise BadTable(f"{told}: say encoding in the mapping, cp1252 or latin-1.") from None
    text = text.removeprefix("\ufeff")
    if "\0" in text:
        row = text[: text.index("\0")].count("\n") + 1
        raise BadTable(f"A NUL character stands in row {row}: it is UTF-16, or no list at all.")
    return text


def read_table(text: str, delimiter: str, quote: str, header_row: int) -> Table:
    """Return a list. header_row: from 1, 0 for none; what stands above it is passed over.

    Raises BadTable where quotes do not match, a name of a column stands twice, or there is nothing.
    """
    reader = csv.reader(
        io.StringIO(text, newline=""), delimiter=delimiter, quotechar=quote, strict=True
    )
    rows, start = [], 1
    try:
        for cells in reader:
            rows.append((start, [cell.strip() for cell in cells]))
            start = reader.line_num + 1
            if len(rows) > MOST_ROWS:
                raise BadTable(f"More than {MOST_ROWS:,} rows.")
    except csv.Error as fault:
        raise BadTable(f"Row {start}: {fault}.") from None
    if len(rows) < max(1, header_row):
        raise BadTable(f"It has {len(rows)} row(s); the mapping says header_row = {header_row}.")
    heads = tuple(rows[header_row - 1][1]) if header_row else ()
    named = [head for head in heads if head]
    if len(set(named)) < len(named):
        twice = sorted({head for head in named if named.count(head) > 1})
        raise BadTable(f"Two columns have one name: {', '.join(twice)}.")
    wanted = len(heads) or max(len(cells) for _, cells in rows)
    filled = ((n, cells) for n, cells in rows[header_row:] if any(cells))
    return Table(heads, tuple(_row(n, cells, heads, wanted) for n, cells in filled))


def _row(number: int, cells: list[str], heads: tuple[str, ...], wanted: int) -> TableRow:
    if len(cells) != wanted:
        return TableRow(number, None, len(cells))
    found: dict[Column, str] = dict(enumerate(cells, 1))
    found.update({head: cell for head, cell in zip(heads, cells, strict=False) if head})
    return TableRow(number, found, len(cells))


def text_of(cell: str) -> str:
    """Return a cell's text. Raises BadCell for a formula."""
    if cell.startswith((*FORMULA, *SIGNED_FORMULA)):
        raise BadCell("a formula of a spreadsheet, not a value")
    return cell


def number_of(cell: str, decimal_mark: str, thousands_mark: str) -> float:
    """Return the number of a cell, 0 or more. Raises BadCell for anything else.

    Thousands are told apart everywhere or nowhere in a number: "1.180" is 1180 where the mark of
    thousands is a point, and "11.80" is then no number.
    """
    if cell.startswith(FORMULA):
        raise BadCell("a formula of a spreadsheet, not a value")
    mark = re.escape(thousands_mark)
    apart = rf"[0-9]{{1,3}}(?:{mark}[0-9]{{3}})+|" if thousands_mark else ""
    if not re.fullmatch(rf"(?:{apart}[0-9]+)(?:{re.escape(decimal_mark)}[0-9]+)?", cell):
        marks = f'decimal mark "{decimal_mark}"'
        marks += f' and thousands mark "{thousands_mark}"' if thousands_mark else ""
        raise BadCell(f"not a number of 0 or more with {marks}")
    if thousands_mark:
        cell = cell.replace(thousands_mark, "")
    value = float(cell.replace(decimal_mark, "."))
    if not value < 1e12:
        raise BadCell("too large a number")
    return value
