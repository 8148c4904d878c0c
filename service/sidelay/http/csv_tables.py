"""A comparison as CSV (RFC 4180): one table, a header row, a point in decimals, lines with CRLF.

Tables are cut from the JSON answer, so that both tell the same.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from marshmallow import Schema, fields

from .schemas.answer_compare import BandSchema, ChoiceSchema, PointSchema
from .schemas.answer_dates import DatedSchema, DueBandSchema
from .schemas.answer_fields import is_told_with
from .schemas.answer_process import CharacteristicSchema

Answer = Mapping[str, Any]
Row = Iterable[Any]

# What a spreadsheet takes for the begin of a formula. A line end counts too: some trim it away.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
_NUMBER = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?(e[+-]?[0-9]+)?", re.IGNORECASE)
_PLACE = ("process", "press")
# Ways to the figures of a row, by the names of the columns that are not named as their figures.
_NAMED = {
    "net": "price.net",
    "per_piece": "price.per_piece",
    "currency": "price.currency",
    "cost_total": "cost.total",
    "cost_fixed": "cost.fixed",
    "cost_variable": "cost.variable",
    "sheets": "sheets.total",
    "hours_to_ready": "readiness.hours",
    "due_holds": "due.holds",
    "slack_h": "due.slack_h",
    "ratio_price": "ratios.price",
    "ratio_cost": "ratios.cost",
    "ratio_readiness": "ratios.readiness",
}
_CHOICES = (
    "quantity",
    "rank",
    *_PLACE,
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
_CURVES = ("quantity", *_PLACE, "cost", "price", "per_piece")
_TRADE_OFF = ("quantity", *_PLACE, "net", "currency", "ready_at")
_BANDS = ("from", "to", *_PLACE, "route")


@dataclass(frozen=True, slots=True)
class Table:
    """A table of a comparison.

    columns: by their names the ways to their figures in a row, member by member
    rows: returns the rows of an answer as objects
    of: schema of what a row is made of, by which scopes are known
    """

    columns: Mapping[str, str]
    rows: Callable[[Answer], Iterable[Answer]]
    of: type[Schema]

    def seen(self, *, costs: bool) -> Mapping[str, str]:
        """Return the columns for a caller. costs: whether it sees costs"""
        if costs:
            return self.columns
        fields_of = self.of().fields
        return {name: way for name, way in self.columns.items() if not _is_cost(way, fields_of)}


def _is_cost(way: str, among: Mapping[str, Any]) -> bool:
    """Whether a member on a way is told to the scope cost alone."""
    first, _, rest = way.partition(".")
    field = among.get(first)
    if field is None:
        return False
    nested = isinstance(field, fields.Nested)
    return bool(is_told_with(field)) or (nested and _is_cost(rest, field.schema.fields))


def write_table(name: str, answer: Answer, *, costs: bool = True) -> bytes:
    """Return a table of an answer of /compare.

    name: one of TABLES; costs: whether the columns that only the scope cost is told are there
    """
    table = TABLES[name]
    columns = table.seen(costs=costs)
    ways = [way.split(".") for way in columns.values()]
    return write_csv(list(columns), ([_at(row, way) for way in ways] for row in table.rows(answer)))


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


def _choices(answer: Answer) -> Iterator[Answer]:
    for asked in answer["quantities"]:
        for choice in asked["choices"]:
            yield {"quantity": asked["quantity"], **choice}


def _curves(answer: Answer) -> Iterator[Answer]:
    for curve in answer["curves"]:
        for point in curve["points"]:
            yield {**{name: curve[name] for name in _PLACE}, **point}


def _trade_off(answer: Answer) -> Iterator[Answer]:
    for asked in answer["quantities"]:
        for choice in asked["trade_off"]:
            yield {"quantity": asked["quantity"], **choice}


def _due_bands(answer: Answer) -> Iterator[Answer]:
    return _routed(answer["due_bands"] or ())


def _bands(answer: Answer) -> Iterator[Answer]:
    return _routed(answer["bands"])


def _routed(bands: Iterable[Answer]) -> Iterator[Answer]:
    for band in bands:
        route = [f"{at['part']}: {at['process']}/{at['press']}" for at in band["route"]]
        yield {**band, "route": route}


def _characteristics(answer: Answer) -> Iterable[Answer]:
    rows: Iterable[Answer] = answer["characteristics"]
    return rows


def _at(row: Any, way: Sequence[str]) -> Any:
    """Return what stands at the end of a way of members, None where it ends before."""
    for step in way:
        row = row.get(step) if isinstance(row, Mapping) else None
    return row


def columns_of(schema: Schema, before: str = "") -> Iterator[str]:
    """Yield a column for each member of an answer, for each member of an object inside it.

    A column is named as the way to its figure.
    """
    for name, field in schema.fields.items():
        column = before + (field.data_key or name)
        if isinstance(field, fields.Nested) and not field.many:
            yield from columns_of(field.schema, f"{column}.")
        else:
            yield column


# From what is published, so that the columns are the same whatever the job.
_PUBLISHED = tuple(columns_of(CharacteristicSchema()))
_CHARACTERISTICS = ("process", *(column for column in _PUBLISHED if column != "process"))


def _same(*columns: str) -> dict[str, str]:
    """Return columns that are named as their figures."""
    return dict(zip(columns, columns, strict=True))


TABLES: Mapping[str, Table] = MappingProxyType(
    {
        "choices": Table(_same(*_CHOICES) | _NAMED, _choices, ChoiceSchema),
        "curves": Table(_same(*_CURVES), _curves, PointSchema),
        "bands": Table(_same(*_BANDS), _bands, BandSchema),
        "trade_off": Table(_same(*_TRADE_OFF), _trade_off, DatedSchema),
        "due_bands": Table(_same(*_BANDS), _due_bands, DueBandSchema),
        "characteristics": Table(_same(*_CHARACTERISTICS), _characteristics, CharacteristicSchema),
    }
)
