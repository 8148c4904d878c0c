"""What a caller without the scope cost may not ask, and what it is told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from marshmallow import Schema
from werkzeug.datastructures import MultiDict

from .asked import Asked
from .callers import Caller
from .cut import without_costs
from .problems import Problem
from .schemas.answer_fields import COST

# What `explain` adds that tells costs, or what answers hang on by way of them.
COSTLY_TO_EXPLAIN = ("cost_bands", "sensitivity")
# Of a picture of where the money goes the bars are stages of the cost, whatever the measure.
COSTLY_TO_DRAW = (("measure", "cost"), ("chart", "money"))
# What the shop asked before tells how its prices move.
OLD_REVISION = "plant_revision of an old plant file"


def told_to(who: Caller, schema: type[Schema], answer: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return an answer as a caller may see it. schema: that of the answer"""
    return answer if who.sees_costs else without_costs(schema, answer)


def check_asked(asked: Asked, who: Caller) -> Asked:
    """Return what is asked. Raises Problem where the caller may not see it."""
    _check(who, _costly(asked))
    return asked


def check_shown(who: Caller, *, is_old: bool) -> None:
    """Raise Problem where a plant is one that was replaced, and the caller may not see it."""
    _check(who, ["revision"] if is_old else [])


def check_drawn(query: MultiDict[str, str], who: Caller) -> None:
    """Raise Problem where a query asks for a picture that the caller may not see."""
    _check(who, (f"{name} {word}" for name, word in COSTLY_TO_DRAW if query.get(name) == word))


def _costly(asked: Asked) -> Iterator[str]:
    if asked.detail != "price":
        yield f"detail {asked.detail}"
    yield from (f"explain {each}" for each in asked.explain if each in COSTLY_TO_EXPLAIN)
    if asked.rank_by.cost:
        yield "rank_by cost"
    if asked.is_old:
        yield OLD_REVISION


def _check(who: Caller, members: Iterable[str]) -> None:
    found = [] if who.sees_costs else list(members)
    if found:
        detail = f"Without the scope {COST} these are not told: {', '.join(found)}."
        raise Problem("scope_missing", detail)
