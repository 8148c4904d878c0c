"""What is cut from an answer: what only the scope cost is told, and what no schema names."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from marshmallow import fields

from shop import compared, plain_toner, plant
from sidelay.http.cut import without_costs
from sidelay.http.schemas.answer_compare import ComparisonSchema
from sidelay.http.schemas.answer_fields import Answer, cost_only, many, money, one, text


class InnerSchema(Answer):
    """An object inside."""

    name = text("a name")
    paid = cost_only(money("what it is bought at"))


class OuterSchema(Answer):
    """An object with objects inside."""

    first = fields.String(data_key="from", metadata={"description": "a member named otherwise"})
    inner = one(InnerSchema, "one", nullable=True)
    several = many(InnerSchema, "some")
    nested = fields.Nested(InnerSchema, many=True, metadata={"description": "some"})
    deep = fields.List(
        fields.List(fields.Nested(InnerSchema)), metadata={"description": "rows of some"}
    )
    total = cost_only(one(InnerSchema, "all of it"))


def inner(**more: Any) -> dict[str, Any]:
    return {"name": "a", "paid": "1.00"} | more


FULL = {
    "from": "here",
    "inner": inner(),
    "several": [inner(), inner(note="b")],
    "nested": [inner()],
    "deep": [[inner()], []],
    "total": inner(),
    "first": "not how it is named",
    "added": {"name": "by nobody"},
}


def test_members_of_the_scope_and_members_of_no_schema_are_cut_at_any_depth() -> None:
    left = {"name": "a"}
    assert without_costs(OuterSchema, FULL) == {
        "from": "here",
        "inner": left,
        "several": [left, left],
        "nested": [left],
        "deep": [[left], []],
    }


def test_the_answer_itself_is_not_changed() -> None:
    before = copy.deepcopy(FULL)
    without_costs(OuterSchema, FULL)
    assert before == FULL


@pytest.mark.parametrize("empty", [None, []])
def test_nothing_stays_nothing(empty: Any) -> None:
    told = {"inner": None, "several": empty, "nested": empty, "deep": empty}
    assert without_costs(OuterSchema, told) == told


NAMES = st.sampled_from(["name", "paid", "from", "inner", "total", "several", "other"])
LEAVES = st.sampled_from([None, "x", 1, True])
OBJECTS = st.dictionaries(NAMES.filter(lambda name: name not in ("inner", "several")), LEAVES)


@given(st.fixed_dictionaries({"inner": st.none() | OBJECTS, "several": st.lists(OBJECTS)}), OBJECTS)
def test_what_is_left_stands_as_it_stood(nested: dict[str, Any], flat: dict[str, Any]) -> None:
    told = flat | nested
    left = without_costs(OuterSchema, told)
    assert [name for name in told if name in ("from", "inner", "several")] == list(left)
    for before, after in zip(told["several"], left["several"], strict=True):
        assert after == {name: value for name, value in before.items() if name == "name"}


def test_a_comparison_keeps_all_but_its_costs() -> None:
    part = {"name": "leaf", "size": "a5", "stock": {"id": "silk"}, "front": {"inks": ["black"]}}
    told = compared(plant(plain_toner(per_hour=2_400)), quantities=[100], parts=[part])
    left = without_costs(ComparisonSchema, told)
    assert told.keys() - left.keys() == {"versions"}
    before, after = (each["quantities"][0]["choices"][0] for each in (told, left))
    assert before.keys() - after.keys() == {"cost", "curve"}
    assert before["price"] == after["price"]
    assert before["parts"][0].keys() - after["parts"][0].keys() == {"lines"}
    assert before["ratios"].keys() - after["ratios"].keys() == {"cost"}
