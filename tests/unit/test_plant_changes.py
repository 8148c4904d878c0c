"""Changes between two plant files: told by table and key, and made again one by one."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop import DEMO_FILE
from sidelay.plant_tools.changes import ABSENT, changed, changes


def told(old, new):
    return [(each.table, each.key, each.old, each.new) for each in changes(old, new)]


def test_a_key_is_told_with_its_table():
    old = {"price_policy": {"time_markup": 0.25, "minimum_charge": 15}}
    new = {"price_policy": {"time_markup": 0.30, "minimum_charge": 15.0, "cash_step": 0.05}}
    assert told(old, new) == [
        ("price_policy", "time_markup", 0.25, 0.30),
        ("price_policy", "cash_step", ABSENT, 0.05),
    ]


def test_tables_of_an_array_are_matched_by_their_id():
    old = {"stocks": [{"id": "a", "price": 1}, {"id": "b", "price": 2}]}
    new = {"stocks": [{"id": "c", "price": 9}, {"id": "a", "price": 1}, {"id": "b", "price": 3}]}
    assert told(old, new) == [
        ("stocks[c]", "", ABSENT, {"id": "c", "price": 9}),
        ("stocks[b]", "price", 2, 3),
    ]


def test_sheets_are_matched_by_what_they_are():
    sheets = [{"size": "sra3", "grain": "long"}, {"width_mm": 640, "height_mm": 900.0}]
    more = [{"size": "a4"}, sheets[0] | {"price": 5}, {"width_mm": 640.0, "height_mm": 900}]
    old, new = ({"stocks": [{"id": "a", "sheets": each}]} for each in (sheets, more))
    assert told(old, new) == [
        ("stocks[a].sheets[a4]", "", ABSENT, {"size": "a4"}),
        ("stocks[a].sheets[sra3 long]", "price", ABSENT, 5),
    ]


def test_tables_that_nothing_tells_apart_are_matched_by_place():
    rows = [{"from": 1, "money": 3}, {"from": 5, "money": 2}]
    old, new = {"steps": rows}, {"steps": [rows[0], {"from": 5, "money": 1}, {"from": 9}]}
    assert told(old, new) == [("steps[2]", "money", 2, 1), ("steps[3]", "", ABSENT, {"from": 9})]
    assert changed(new, changes(new, old)) == old


def test_an_order_that_changed_is_told_because_the_first_machine_does_the_work():
    rows = [{"id": name} for name in "abcd"]
    old, new = {"operations": rows}, {"operations": [rows[2], rows[0], rows[3]]}
    order, gone = changes(old, new)
    assert (order.table, order.key, order.new) == ("operations", "order", ("c", "a", "d"))
    assert (gone.table, gone.new) == ("operations[b]", ABSENT)
    assert changed(old, [order])["operations"] == [rows[2], rows[1], rows[0], rows[3]]
    assert changed(old, [order, gone]) == new


def test_true_is_not_one():
    assert told({"press": {"splices": True}}, {"press": {"splices": 1}})


def test_names_and_sources_are_words():
    old = {"plant": {"name": "a"}, "stocks": [{"id": "x", "source": "list of May", "price": 1}]}
    new = {"plant": {"name": "b"}, "stocks": [{"id": "x", "source": "list of June", "price": 2}]}
    assert [each.is_words for each in changes(old, new)] == [True, True, False]


def test_a_change_of_another_file_cannot_be_made():
    (change,) = changes({"stocks": [{"id": "a", "p": 1}]}, {"stocks": [{"id": "a", "p": 2}]})
    with pytest.raises(LookupError):
        changed({"stocks": [{"id": "b", "p": 1}]}, [change])


FIGURES = st.one_of(st.integers(-3, 3), st.floats(0, 2), st.booleans(), st.sampled_from("xyz"))
VALUES = st.one_of(FIGURES, st.lists(st.lists(FIGURES, max_size=2), max_size=2))
KEYS = st.sampled_from(["price", "pack", "width_mm", "size", "grain", "label"])


def _tables(inner):
    tables = st.dictionaries(KEYS, st.one_of(VALUES, inner), max_size=4)
    with_ids = st.lists(
        st.tuples(st.sampled_from("abcde"), tables).map(lambda row: row[1] | {"id": row[0]}),
        max_size=4,
        unique_by=lambda row: row["id"],
    )
    return st.one_of(tables, with_ids, st.lists(tables, max_size=3))


PLANTS = st.dictionaries(KEYS, st.recursive(VALUES, _tables, max_leaves=12), max_size=4)


@given(PLANTS, PLANTS)
def test_all_changes_together_make_the_new_file_and_leave_the_old_one(old, new):
    before = repr(old)
    made = changed(old, changes(old, new))
    assert not changes(made, new)
    assert made == new
    assert repr(old) == before


def test_the_demo_plant_upside_down_is_made_again():
    old = tomllib.loads(DEMO_FILE.read_text())
    new = {
        key: list(reversed(value))[1:] if isinstance(value, list) else value
        for key, value in old.items()
    }
    assert changed(old, changes(old, new)) == new
    assert changed(new, changes(new, old)) == old
