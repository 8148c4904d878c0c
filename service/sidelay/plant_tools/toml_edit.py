"""Changes the stocks in the text of a plant file, its comments and its order kept.

Only the text of the stocks that change is parsed and written; all else stays byte for byte.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import tomlkit
from tomlkit.items import AoT, Array

Plain = Mapping[str, Any]
# Rows of a list go on lines of their own where one line would be longer than this.
ONE_LINE = 90
_HEADER = re.compile(r"[ \t]*\[.*\][ \t]*(#.*)?\r?\n?")
_STOCK = re.compile(r"[ \t]*\[\[[ \t]*stocks[ \t]*\]\]")
_OF_STOCK = re.compile(r"[ \t]*\[\[?[ \t]*stocks[ \t]*\.")
_IDLE = re.compile(r"[ \t]*(#.*)?\r?\n?")


class NotWritten(ValueError):  # noqa: N818  (told to whoever gave the file)
    """A text whose stocks cannot be changed in place."""


def with_stocks(text: str, stocks: Sequence[Plain]) -> str:
    """Return a plant file's text with some of its stocks changed, and those that are new put last.

    stocks: as they are to be, each whole. Raises NotWritten where the file does not have each of
    its stocks below a header [[stocks]] of its own.
    """
    wanted = {str(stock["id"]): stock for stock in stocks}
    blocks = list(_blocks(text))
    last = max((n for n, block in enumerate(blocks) if _STOCK.match(block)), default=None)
    written = []
    for number, block in enumerate(blocks):
        if not _STOCK.match(block):
            written.append(block)
            continue
        body, tail = _without_tail(block)
        written.append(_changed(body, wanted))
        if number == last:
            written += _new_stocks(wanted)
        written.append(tail)
    if last is None:
        written += _new_stocks(wanted)
    result = "".join(written)
    if "\r\n" in text:
        result = re.sub(r"(?<!\r)\n", "\r\n", result)
    _check(text, result, stocks)
    return result


def _blocks(text: str) -> Iterator[str]:
    """Cut a text before each header, those within a stock left out.

    What looks like a header inside a list or a long text is none: what stands before it is then
    not TOML by itself.
    """
    block: list[str] = []
    for line in text.splitlines(keepends=True):
        if _HEADER.fullmatch(line) and not _OF_STOCK.match(line) and _is_toml("".join(block)):
            yield "".join(block)
            block = []
        block.append(line)
    yield "".join(block)


def _is_toml(text: str) -> bool:
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return False
    return True


def _without_tail(block: str) -> tuple[str, str]:
    """Part a block from the empty lines and comments at its end, which are of what follows."""
    lines = block.splitlines(keepends=True)
    count = len(lines)
    while count and _IDLE.fullmatch(lines[count - 1]):
        count -= 1
    return "".join(lines[:count]), "".join(lines[count:])


def _changed(body: str, wanted: dict[str, Plain]) -> str:
    """Return the text of a stock as it is to be; takes it from those that are wanted."""
    document = tomlkit.parse(body)
    table = document["stocks"][0]
    stock = wanted.pop(str(table["id"]), None)
    if stock is None:
        return body
    _sync(table, stock)
    return tomlkit.dumps(document)


def _check(old: str, new: str, stocks: Sequence[Plain]) -> None:
    """See that the stocks are as wanted and nothing else moved."""
    before, after = tomllib.loads(old), tomllib.loads(new) if _is_toml(new) else {}
    was, now = before.pop("stocks", []), after.pop("stocks", [])
    by_id = {str(stock["id"]): stock for stock in stocks}
    known = [str(stock["id"]) for stock in was]
    expected = [by_id.get(name, stock) for name, stock in zip(known, was, strict=True)]
    expected += [stock for name, stock in by_id.items() if name not in known]
    if before != after or now != expected:
        raise NotWritten("its stocks cannot be changed in place: give each a [[stocks]] of its own")


# ---------------------------------------------------------------- one stock


def _sync(table: Any, wanted: Plain) -> None:
    """Make a table hold what is wanted, touching nothing that it holds already."""
    for key in [key for key in table if key not in wanted]:
        del table[key]
    for key, value in wanted.items():
        if key not in table:
            table.append(key, _listed(value) if _is_tables(value) else tomlkit.item(value))
        elif _is_tables(value) and len(value) >= len(table[key]):
            _sync_rows(table[key], value)
        elif table[key] != value:
            table[key] = value


def _sync_rows(rows: Any, wanted: Sequence[Plain]) -> None:
    """Make an array's tables hold what is wanted; those that are new are put last."""
    for row, value in zip(rows, wanted, strict=False):
        _sync(row, value)
    for value in wanted[len(rows) :]:
        if isinstance(rows, AoT):
            rows.append(tomlkit.item(dict(value)))
        elif "\n" in rows.as_string():
            rows.add_line(_inline(value))
        else:
            rows.append(_inline(value))


def _new_stocks(wanted: Mapping[str, Plain]) -> list[str]:
    """Return the texts of new stocks: their figures, and sheets, reels and blanks in lists."""
    texts = []
    for stock in wanted.values():
        table = tomlkit.table()
        for key, value in stock.items():
            table.append(key, _listed(value) if _is_tables(value) else tomlkit.item(value))
        texts.append(f"\n[[stocks]]\n{table.as_string()}")
    return texts


def _listed(rows: Sequence[Plain]) -> Array:
    array = tomlkit.array()
    array.extend(_inline(row) for row in rows)
    if len(array.as_string()) > ONE_LINE:
        array.multiline(multiline=True)
    return array


def _inline(row: Plain) -> Any:
    table = tomlkit.inline_table()
    table.update(row)
    return table


def _is_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and isinstance(value[0], Mapping)
