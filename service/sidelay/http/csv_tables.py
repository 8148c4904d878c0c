"""A comparison as CSV (RFC 4180): one table, a header row, a point in decimals, lines with CRLF.

Tables are cut from the JSON answer, so that both tell the same.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from marshmallow import Schema, fields

from .schemas.answer_process import CharacteristicSchema

CONTENT_TYPE = "text/csv; charset=utf-8; header=present"

Answer = Mapping[str, Any]
Row = Iterable[Any]

# What a spreadsheet takes for the begin of a formula. A line end counts too: some trim it away.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
_NUMBER = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?(e[+-]?[0-9]+)?", re.IGNORECASE)
_CHOICES = (
    "quantity",
    "rank",
    "process",
    "press",
    "net",
    "per_piece",
    "currency",
    "cost_total",
    "cost_fixed",
    "cost_variable",
    "ratio_to_best",
    "sheets",
    "hours",
    "ready_at",
    "hours_to_ready",
    "due_holds",
    "slack_h",
    "score",
    "ratio_price",
    "ratio_cost",
    "ratio_readiness",
)
_CURVES = ("quantity", "process", "press", "cost", "price", "per_piece")
_TRADE_OFF = ("quantity", "process", "press", "net", "currency", "ready_at")
_BANDS = ("from", "to", "process", "press", "route")


def write_table(name: str, answer: Answer) -> bytes:
    """Return a table of an answer of /compare. name: one of TABLES"""
    header, rows = TABLES[name]
    return write_csv(header, rows(answer))


def write_csv(header: Sequence[str], rows: Iterable[Row]) -> bytes:
    """Return rows as CSV in UTF-8."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(header)
    writer.writerows([cell(value) for value in row] for row in rows)
    # What has no letter in UTF-8 (half a surrogate pair) is a question mark.
    return text.getvalue().encode("utf-8", "replace")


def cell(value: Any) -> str:
    """Return a value as the text of a cell.

    Words that a spreadsheet would run as a formula begin with an apostrophe; numbers never do.
    """
    text = words(value)
    harmless = _NUMBER.fullmatch(text) or not text.startswith(_FORMULA)
    return text if harmless else f"'{text}"


def words(value: Any) -> str:
    """Return a value in words: nothing for null, a list and an object in one line."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return ", ".join(f"{name} {words(inner)}" for name, inner in value.items())
    if isinstance(value, list | tuple):
        return "; ".join(map(words, value))
    return str(value)


def _choices(answer: Answer) -> Iterator[Row]:
    for asked in answer["quantities"]:
        for choice in asked["choices"]:
            price, cost, due = choice["price"], choice["cost"], choice["due"] or {}
            yield (
                asked["quantity"],
                choice["rank"],
                choice["process"],
                choice["press"],
                price["net"],
                price["per_piece"],
                price["currency"],
                cost["total"],
                cost["fixed"],
                cost["variable"],
                choice["ratio_to_best"],
                choice["sheets"]["total"],
                choice["hours"],
                choice["ready_at"],
                choice["readiness"]["hours"],
                due.get("holds"),
                due.get("slack_h"),
                choice["score"],
                *(choice["ratios"][name] for name in ("price", "cost", "readiness")),
            )


def _curves(answer: Answer) -> Iterator[Row]:
    for curve in answer["curves"]:
        for point in curve["points"]:
            told = (point["cost"], point["price"], point["per_piece"])
            yield point["quantity"], curve["process"], curve["press"], *told


def _trade_off(answer: Answer) -> Iterator[Row]:
    for asked in answer["quantities"]:
        for choice in asked["trade_off"]:
            yield (asked["quantity"], *(choice[name] for name in _TRADE_OFF[1:]))


def _due_bands(answer: Answer) -> Iterator[Row]:
    for band in answer["due_bands"] or ():
        route = [f"{at['part']}: {at['process']}/{at['press']}" for at in band["route"]]
        yield band["from"], band["to"], band["process"], band["press"], route


def _bands(answer: Answer) -> Iterator[Row]:
    for band in answer["bands"]:
        route = [f"{at['part']}: {at['process']}/{at['press']}" for at in band["route"]]
        yield band["from"], band["to"], band["process"], band["press"], route


def _characteristics(answer: Answer) -> Iterator[Row]:
    for row in answer["characteristics"]:
        yield [_at(row, column.split(".")) for column in _CHARACTERISTICS]


def _at(row: Any, way: Sequence[str]) -> Any:
    """Return what stands at the end of a way of members, None where it ends before."""
    for step in way:
        row = row.get(step) if isinstance(row, Mapping) else None
    return row


def columns_of(schema: Schema, before: str = "") -> Iterator[str]:
    """Yield a column for each member of an answer, for each member of an object inside it."""
    for name, field in schema.fields.items():
        column = before + (field.data_key or name)
        if isinstance(field, fields.Nested) and not field.many:
            yield from columns_of(field.schema, f"{column}.")
        else:
            yield column


# From what is published, so that the columns are the same whatever the job.
_PUBLISHED = tuple(columns_of(CharacteristicSchema()))
_CHARACTERISTICS = ("process", *(column for column in _PUBLISHED if column != "process"))

TABLES: Mapping[str, tuple[Sequence[str], Callable[[Answer], Iterator[Row]]]] = MappingProxyType(
    {
        "choices": (_CHOICES, _choices),
        "curves": (_CURVES, _curves),
        "bands": (_BANDS, _bands),
        "trade_off": (_TRADE_OFF, _trade_off),
        "due_bands": (_BANDS, _due_bands),
        "characteristics": (_CHARACTERISTICS, _characteristics),
    }
)
