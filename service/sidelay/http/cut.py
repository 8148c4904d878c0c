"""Answers without what only the scope cost is told, cut by their schemas.

A member that a schema does not name is cut too: one that is added to an answer and forgotten in
its schema is missed, not told.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

from marshmallow import Schema, fields

from .schemas.answer_fields import is_told_with

Told = Mapping[str, Any]
Cut = Callable[[Any], Any]


def without_costs(schema: type[Schema], answer: Told) -> Told:
    """Return an answer without the members that its schema tells only to the scope cost.

    What is left stands in the order that it stood in. The answer itself is not changed; parts of
    it that nothing is cut from are not copied.
    """
    told: Told = _of_schema(schema)(answer)
    return told


@cache
def _of_schema(schema: type[Schema]) -> Cut:
    """Return what cuts one object; worked out once for each schema."""
    inside: dict[str, Cut | None] = {
        each.data_key or name: _of_field(each)
        for name, each in schema().fields.items()
        if not is_told_with(each)
    }
    told, deeper = frozenset(inside), tuple((name, cut) for name, cut in inside.items() if cut)

    def shallow(of: Told | None) -> Told | None:
        if of is None or of.keys() <= told:
            return of
        return {name: value for name, value in of.items() if name in told}

    def deep(of: Told | None) -> Told | None:
        if of is None:
            return None
        left = {name: value for name, value in of.items() if name in told}
        for name, cut in deeper:
            if name in left:
                left[name] = cut(left[name])
        return left

    return deep if deeper else shallow


def _of_field(field: fields.Field[Any]) -> Cut | None:
    """Return what cuts the value of a field; None where it holds no object of ours."""
    if isinstance(field, fields.Nested):
        one = _of_schema(type(field.schema))
        return _of_each(one) if field.many else one
    if isinstance(field, fields.List):
        inner = _of_field(field.inner)
        return _of_each(inner) if inner else None
    return None


def _of_each(cut: Cut) -> Cut:
    def each(items: list[Any] | None) -> list[Any] | None:
        return None if items is None else [cut(item) for item in items]

    return each
