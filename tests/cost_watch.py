"""What tells of a cost where none may be told: names of members, and figures that betray one."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

from marshmallow import Schema, fields

from sidelay.http.schemas.answer_fields import Money, is_told_with

# As one word of a name: cost_total and unit_cost are caught, rated_per_hour is not.
COST_NAME = re.compile(
    r"(?:^|_)(?:costs?|rates?|margins?|mark_?ups?|fixed|variable|premiums?|hourly|dearer|wages?|"
    r"lines|trace|hangs)(?:_|$)"
)
# Words of the trade that only look like it: data that differ from piece to piece.
INNOCENT = frozenset({"variable_data", "variable_share"})
# Not what is told in hours, nor a ruling: in words too these are no money.
FIGURE = re.compile(r"(?<![\d.])\d+(?:\.\d+)?(?!\.?\d| h\b| lpi\b)")
DECIMAL = re.compile(r"\d+\.\d+")
# Digits that a figure has to have to be held for a cost: shorter ones meet by chance.
IN_TEXT, AS_NUMBER = 4, 6


def names_in(answer: Any) -> Iterator[str]:
    """Yield the name of every member of an answer, at any depth."""
    if isinstance(answer, dict):
        yield from answer
        answer = answer.values()
    elif not isinstance(answer, list):
        return
    for inner in answer:
        yield from names_in(inner)


def cost_names(answer: Any) -> set[str]:
    """Return the members of an answer that are named as a cost is."""
    return {name for name in names_in(answer) if COST_NAME.search(name)} - INNOCENT


def figures_in(value: Any) -> Iterator[str]:
    """Yield every figure that a value tells, in texts too, as it is written."""
    if isinstance(value, dict | list):
        for inner in value.values() if isinstance(value, dict) else value:
            yield from figures_in(inner)
    elif isinstance(value, str):
        yield from FIGURE.findall(value.replace(",", ""))
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield from FIGURE.findall(json.dumps(value))


def numbers_in(value: Any) -> Iterator[float]:
    """Yield the numbers of an answer that are numbers in JSON: hours, sheets, millimetres."""
    if isinstance(value, dict | list):
        for inner in value.values() if isinstance(value, dict) else value:
            yield from numbers_in(inner)
    elif isinstance(value, float):
        yield value


def texts_in(value: Any) -> Iterator[str]:
    """Yield the strings of an answer, at any depth."""
    if isinstance(value, dict | list):
        for inner in value.values() if isinstance(value, dict) else value:
            yield from texts_in(inner)
    elif isinstance(value, str):
        yield value


def betrayed(answer: Any, secret: set[str]) -> set[str]:
    """Return the figures of costs that an answer tells.

    A figure that is a number in JSON has to have more digits to be held for a cost: a length or
    an hour is soon as long as some cost is high.
    """
    texts = set(figures_in(list(texts_in(answer))))
    numbers = set(figures_in(list(numbers_in(answer))))
    return {
        each
        for each in secret
        if (each in texts and digits(each) >= IN_TEXT)
        or (each in numbers and digits(each) >= AS_NUMBER)
    }


def digits(figure: str) -> int:
    """Return how many digits tell a figure; none for a whole number."""
    return len(figure.replace(".", "").strip("0")) if "." in figure else 0


def money_in(answer: Any, schema: Schema, *, of_costs: bool) -> Iterator[str]:
    """Yield the money of an answer as it is written.

    schema: that of the answer; of_costs: that which only the scope cost is told, or else the rest
    """
    for name, field in schema.fields.items():
        key = field.data_key or name
        if key not in answer:
            continue
        if is_told_with(field):
            yield from _all_money(answer[key]) if of_costs else ()
        elif isinstance(field, Money):
            yield from () if of_costs else figures_in(answer[key])
        else:
            inner = field.inner if isinstance(field, fields.List) else field
            value = answer[key] if isinstance(answer[key], list) else [answer[key]]
            if isinstance(inner, fields.Nested):
                for each in filter(None, value):
                    yield from money_in(each, inner.schema, of_costs=of_costs)


def _all_money(value: Any) -> Iterator[str]:
    """Yield the money in a part of an answer: decimal strings, and what has a currency as unit."""
    if isinstance(value, list):
        for inner in value:
            yield from _all_money(inner)
    elif isinstance(value, dict):
        if "EUR" in str(value.get("unit", "")):
            for name in ("value", "now", "then"):
                yield from figures_in(value.get(name))
        yield from figures_in(value.get("unit_cost"))
        for inner in value.values():
            yield from _all_money(inner)
    elif isinstance(value, str) and DECIMAL.fullmatch(value):
        yield value
