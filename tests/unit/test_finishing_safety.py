"""What can hurt someone in finishing: every operation has its cautions, and defers to local codes.

General knowledge of the trade, from memory; no code is quoted.
"""

from __future__ import annotations

from typing import get_args

import pytest

from shop import demo
from sidelay import finishing_safety as safety
from sidelay.finishing_safety import cautions_of, safety_of
from sidelay.job import BindingMethod
from sidelay.machines import Step
from sidelay.operations import known_operations

STEPS = ("cut_parents", "cut", "cut_on_table", "fold", "slit", "die_cut_and_slit", "wind_reels")
OWN = (*STEPS, "deboss", "gather", "collate", "insert")
NAMED = (*OWN, *get_args(BindingMethod), *known_operations(demo().operations))


def step(name: str) -> Step:
    return Step(name, "piece", "", 0.0, 0.0, 1, 0, 0.0, "", "test")


@pytest.mark.parametrize("name", NAMED)
def test_whatever_the_plant_does_has_cautions_of_its_own(name: str) -> None:
    found = cautions_of(name)
    assert safety.MACHINE not in found
    assert len(found) >= 2
    assert found[-1] == safety.DEFER
    assert all(caution.endswith(".") for caution in found)


def test_what_nobody_knows_still_has_a_guard_and_defers() -> None:
    assert cautions_of("engrave") == (safety.MACHINE, safety.DEFER)


@pytest.mark.parametrize(
    ("operation", "word"),
    [
        ("cut", "knife"),
        ("fold", "rollers"),
        ("laminate", "rollers"),
        ("saddle_stitch", "wire"),
        ("perfect_bind", "isocyanates"),
        ("perfect_bind", "burns deep"),
        ("perfect_bind", "dust"),
        ("foil", "hot"),
        ("varnish", "UV"),
        ("varnish", "not yet cured"),
        ("varnish", "solvent"),
        ("die_cut", "crushes"),
        ("drill", "pierce"),
        ("shrink_wrap", "fumes"),
        ("carton", "Lifting"),
        ("pallet", "strap"),
    ],
)
def test_the_hazard_that_hurts_most_is_named(operation: str, word: str) -> None:
    assert word in " ".join(cautions_of(operation))


def test_glue_and_varnish_on_food_packs_are_confirmed_first() -> None:
    for operation in ("glue", "varnish", "laminate", "pad"):
        assert safety.FOOD in cautions_of(operation, uses=("food_contact",))
        assert safety.FOOD not in cautions_of(operation)
    assert safety.FOOD not in cautions_of("die_cut", uses=("food_contact",))


def test_each_operation_stands_once_in_the_order_of_first_use() -> None:
    steps = [step("cut"), step("fold"), step("cut"), step("saddle_stitch")]
    found = safety_of(steps, uses=("food_contact",))
    assert [each.operation for each in found] == ["cut", "fold", "saddle_stitch"]


def test_nothing_done_needs_no_caution() -> None:
    assert safety_of([]) == ()
