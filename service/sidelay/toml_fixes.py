"""What to do about a fault of a TOML file, from the schema that refused it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from difflib import get_close_matches
from typing import Any

from marshmallow import Schema, fields, validate

UNKNOWN = "Unknown field."
MISSING = "Missing data for required field."
MOST_NAMES = 12
IN_WORDS = {"1": "", "a": "years", "d": "days"}


def near(word: object, known: Collection[str]) -> str:
    """Return "Did you mean ...?" for a word that is near to one known, else ""."""
    if not isinstance(word, str):
        return ""
    close = get_close_matches(word, list(known), n=1, cutoff=0.6)
    return f"Did you mean {close[0]}?" if close else ""


def fix(schema: Schema, path: Sequence[str | int], message: str, value: Any) -> str:
    """Return what to do about a message of marshmallow, "" where nothing is known.

    path: of keys and numbers, from the table that the schema loads; value: what stands there
    """
    if not path:
        return ""
    names = [step for step in path if isinstance(step, str)]
    if not names:
        return ""
    key = names[-1]
    tables = path[: len(path) - 1 - path[::-1].index(key)]
    holder = _holder(schema, tables, value)
    if holder is None:
        return ""
    known = {field.data_key or name: field for name, field in holder.fields.items()}
    if message == UNKNOWN:
        return near(key, known) or f"Leave it out: here stand {_listed(list(known))}."
    field = known.get(key)
    if field is None:
        return ""
    about = str(field.metadata.get("description", ""))
    meant = f": {about}" if about else ""
    if message == MISSING:
        return f"Add {key}, {expected(field)}{meant}."
    guess = near(_at(value, path), _choices(field))
    return guess or f"{key} is {expected(field)}{meant}."


def expected(field: fields.Field[Any]) -> str:
    """Say in words what a field takes: a kind of value, its range and its unit."""
    match field:
        case fields.Boolean():
            return "true or false"
        case fields.Number():
            kind = "a whole number" if isinstance(field, fields.Integer) else "a number"
            unit = _unit(str(field.metadata.get("x-unit", "1")))
            return f"{kind}{_range(field)}{unit and f' {unit}'}"
        case fields.Tuple():
            return f"[{', '.join(map(expected, field.tuple_fields))}]"
        case fields.List():
            return f"a list, each {expected(field.inner)}"
        case fields.String():
            choices = _choices(field)
            return f"one of {_listed(choices)}" if choices else "a text in quotes"
        case fields.Nested() | fields.Dict():
            return "a table"
    return "a table" if hasattr(field, "schemas") else "as the documentation says"


def _unit(unit: str) -> str:
    """Return a unit in UCUM style as one reads it; none for what is merely counted."""
    if unit.startswith("{") and unit.endswith("}") and unit != "{currency}":
        return ""
    return IN_WORDS.get(unit, unit.replace("{", "").replace("}", ""))


def _number(figure: float) -> str:
    return f"{figure:,.0f}" if figure == int(figure) else f"{figure:g}"


def _range(field: fields.Field[Any]) -> str:
    for check in field.validators:
        if isinstance(check, validate.Range):
            low, high = check.min, check.max
            if low is not None and high is not None:
                return f" from {_number(low)} to {_number(high)}"
            bound, named = (low, "least") if low is not None else (high, "most")
            return "" if bound is None else f" of at {named} {_number(bound)}"
    return ""


def _choices(field: fields.Field[Any]) -> list[str]:
    return [
        str(word)
        for check in field.validators
        if isinstance(check, validate.OneOf)
        for word in check.choices
    ]


def _listed(words: Sequence[str]) -> str:
    more = len(words) - MOST_NAMES
    return ", ".join(words[:MOST_NAMES]) + (f" and {more} more" if more > 0 else "")


def _holder(schema: Schema, tables: Sequence[str | int], value: Any) -> Schema | None:
    """Return the schema of the table at a path, None where the path leads to no table."""
    holder: Schema | None = schema
    for depth, step in enumerate(tables):
        if isinstance(step, int):
            continue
        if holder is None:
            return None
        by_key = {field.data_key or name: field for name, field in holder.fields.items()}
        field = by_key.get(step)
        while isinstance(field, fields.List):
            field = field.inner
        holder = _schema_of(field, _at(value, tables[: depth + 1]))
    return holder


def _schema_of(field: Any, value: Any) -> Schema | None:
    if isinstance(field, fields.Nested):
        return field.schema
    kinds = getattr(field, "schemas", None)  # a feed: one of several tables, told by its kind
    if not kinds:
        return None
    kind = value.get("kind") if isinstance(value, dict) else None
    first: Schema = next(iter(kinds.values()))
    found: Schema = kinds.get(kind, first) if isinstance(kind, str) else first
    return found


def _at(value: Any, path: Sequence[str | int]) -> Any:
    for step in path:
        try:
            value = value[step]
        except (LookupError, TypeError):
            return None
    return value
