"""Lines of text for a person: aligned tables, wrapped sentences, titled blocks of 100 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Iterable, Sequence

WIDTH = 100
GAP = "  "
SHORTEST_TEXT = 8

Row = Sequence[str]


def table(heads: Row, rows: Sequence[Row], text_columns: Collection[int]) -> list[str]:
    """Return aligned lines: words to the left, figures to the right.

    A row that starts with nothing belongs to the row above it; a gap stands before the next that
    starts with something. Text columns are cut until the table fits the page.
    """
    widths = _fitted(_longest(heads, rows), text_columns)
    lines = [_line(heads, widths, text_columns), GAP.join("-" * width for width in widths)]
    for number, row in enumerate(rows):
        if number and row[0] and not rows[number - 1][0]:
            lines.append("")
        lines.append(_line(row, widths, text_columns))
    return lines


def fits(heads: Row, rows: Sequence[Row]) -> bool:
    """Whether a table fits the page with nothing cut."""
    return _total(_longest(heads, rows)) <= WIDTH


def _longest(heads: Row, rows: Sequence[Row]) -> list[int]:
    return [max(map(len, column)) for column in zip(heads, *rows, strict=True)]


def _total(widths: Sequence[int]) -> int:
    return sum(widths) + len(GAP) * (len(widths) - 1)


def _fitted(widths: list[int], text_columns: Collection[int]) -> list[int]:
    """Take from the widest text column until the table fits the page."""
    while _total(widths) > WIDTH:
        widest = max(text_columns, key=widths.__getitem__)
        if widths[widest] <= SHORTEST_TEXT:
            break
        widths[widest] -= 1
    return widths


def _line(row: Row, widths: Sequence[int], text_columns: Collection[int]) -> str:
    cells = [
        _cut(cell, width).ljust(width) if column in text_columns else cell.rjust(width)
        for column, (cell, width) in enumerate(zip(row, widths, strict=True))
    ]
    return GAP.join(cells).rstrip()


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else text[: width - 2] + ".."


def titled(title: str, blocks: Iterable[list[str]]) -> list[str]:
    """Return blocks under a title; nothing where there is nothing to say."""
    lines = [line for block in blocks for line in block]
    return [title, *lines] if lines else []


def plain_unit(unit: str) -> str:
    """Return a unit in UCUM style as a person reads it, what it counts without its braces."""
    return unit.replace("{", "").replace("}", "")


def sentence(text: str) -> str:
    """Return a text with a capital and a full stop."""
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")


def wrapped(text: str, indent: str = "") -> list[str]:
    """Return a text in lines no wider than the page."""
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)


def joined(blocks: Iterable[Sequence[str]]) -> str:
    """Return blocks of lines as one text, a gap between them; empty blocks are left out."""
    return "\n\n".join("\n".join(block) for block in blocks if block)
