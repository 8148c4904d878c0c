"""What the tables of a plant file have in common: strictness, ids, names, sources."""

from __future__ import annotations

from marshmallow import RAISE, Schema, fields, validate

IDENTIFIER = validate.Regexp(
    r"[a-z][a-z0-9_]{0,62}\Z", error="expected a snake_case id: a-z, 0-9 and _, a letter first"
)
NAME = validate.Length(1, 120)


class Strict(Schema):
    """A table that refuses keys it does not know."""

    class Meta:
        """Refuse members that are not known."""

        unknown = RAISE


def identifier() -> fields.String:
    """Describe an id."""
    return fields.String(required=True, validate=IDENTIFIER)


def shown_name() -> fields.String:
    """Describe a name to show."""
    return fields.String(required=True, validate=NAME)


def told_source() -> fields.String:
    """Describe where the figures of a table come from."""
    return fields.String(
        load_default="plant file",
        metadata={"description": "where the figures of this table come from"},
    )
