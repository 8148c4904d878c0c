"""Fields of answers: what a member means, in what unit, and whether it is always there."""

from __future__ import annotations

from typing import Any

from marshmallow import EXCLUDE, Schema, fields, validate

# Where a field says which scope its readers need: without a word it is told to whoever may ask.
SCOPE = "x-scope"
COST = "cost"


class Answer(Schema):
    """An object of an answer. Later releases may add members, so that none is forbidden."""

    class Meta:
        """Let members be added."""

        unknown = EXCLUDE


class Money(fields.String):
    """An amount of money: a decimal string, with the digits of its currency or more."""


def money(about: str) -> Money:
    """Return a field for money. about: what the amount is for."""
    return Money(required=True, metadata={"description": about, "pattern": r"^[0-9]+(\.[0-9]+)?$"})


def text(
    about: str,
    *,
    words: tuple[str, ...] = (),
    open_words: tuple[str, ...] = (),
    optional: bool = False,
) -> Any:
    """Return a field for a string: one of some words, or of an open list that may grow."""
    metadata: dict[str, Any] = {"description": about}
    if open_words:
        metadata["x-extensible-enum"] = list(open_words)
    checks = [validate.OneOf(words)] if words else []
    return fields.String(required=not optional, validate=checks, metadata=metadata)


def whole(about: str, unit: str = "", *, optional: bool = False, nullable: bool = False) -> Any:
    """Return a field for a whole number of 0 or more. unit: UCUM style"""
    return fields.Integer(
        required=not optional,
        allow_none=nullable,
        validate=validate.Range(0),
        metadata=_described(about, unit),
    )


def number(about: str, unit: str = "", *, optional: bool = False, nullable: bool = False) -> Any:
    """Return a field for a number of 0 or more. unit: UCUM style"""
    return fields.Float(
        required=not optional,
        allow_none=nullable,
        validate=validate.Range(0),
        metadata=_described(about, unit),
    )


def switch(about: str, *, nullable: bool = False) -> Any:
    """Return a field for true or false."""
    return fields.Boolean(required=True, allow_none=nullable, metadata={"description": about})


def one(schema: type[Schema], about: str, *, nullable: bool = False) -> Any:
    """Return a field for an object."""
    described = {"description": about}
    return fields.Nested(schema, required=True, allow_none=nullable, metadata=described)


def many(schema: type[Schema], about: str, *, optional: bool = False) -> Any:
    """Return a field for an array of objects."""
    described = {"description": about}
    return fields.List(fields.Nested(schema), required=not optional, metadata=described)


def texts(about: str, *, nullable: bool = False) -> Any:
    """Return a field for an array of strings."""
    described = {"description": about}
    return fields.List(fields.String(), required=True, allow_none=nullable, metadata=described)


def pair(
    inner: fields.Field[Any], about: str, unit: str = "", *, nullable: bool = False
) -> Any:
    """Return a field for an array of exactly two."""
    return fields.List(
        inner,
        required=True,
        allow_none=nullable,
        validate=validate.Length(equal=2),
        metadata=_described(about, unit),
    )


def figure_or_word(about: str) -> Any:
    """Return a field for a number, a string, or null for nothing to say."""
    types = ["number", "string", "null"]
    return fields.Raw(required=True, metadata={"description": about, "type": types})


def cost_only(field: Any) -> Any:
    """Return a field of an answer as one that only callers with the scope cost are told.

    For what tells cost, mark-up, margin or a rate, and for what these can be reckoned back from.
    """
    about = f"{field.metadata['description']}; absent without the scope {COST}"
    field.metadata = {**field.metadata, "description": about, SCOPE: COST}
    return field


def is_told_with(field: Any) -> str | None:
    """Return the scope without which a field is left out of answers; None for none."""
    scope: str | None = field.metadata.get(SCOPE)
    return scope


def _described(about: str, unit: str) -> dict[str, Any]:
    return {"description": about, "x-unit": unit} if unit else {"description": about}
