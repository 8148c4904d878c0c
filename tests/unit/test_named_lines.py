"""Names of cost lines and of operations: unique, and the same whatever else there is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shop import demo
from sidelay.assembly import Assembly
from sidelay.machines import Step
from sidelay.named_lines import lines_of_copies, prefix_of, slug
from sidelay.op_list import FINISH_PHASE, OpList
from sidelay.route_times import StepTimes

DRILL = Step("drill", "copy", "packing", 6.0, 0.5, 1, 0, 0.0, "", "", machine="drill")
SENT = replace(DRILL, cost_centre="", set_up_min=0.0, minutes=0.0, price=0.2, kind="outwork")


def test_a_name_has_the_words_of_its_label() -> None:
    assert slug("Coated silk 130 g/m2") == "coated_silk_130_g_m2"
    assert slug("gather, set-up") == "gather_set_up"
    assert slug("!") == ""


def test_a_part_called_as_copies_are_is_told_from_them() -> None:
    assert prefix_of("text") == "text"
    assert prefix_of("copies") == "part copies"


def test_what_is_done_twice_is_numbered_and_else_nothing() -> None:
    other = replace(DRILL, name="number")
    steps = (DRILL, other, DRILL)
    assembly = Assembly(steps, ["finishing"] * 3, 0.0, demo())
    assert [each.id for each in lines_of_copies(assembly)] == [
        "copies/finishing-drill_set_up",
        "copies/finishing-drill",
        "copies/finishing-number_set_up",
        "copies/finishing-number",
        "copies/finishing-drill_set_up.2",
        "copies/finishing-drill.2",
    ]
    # A line more before them moves none of those that were there.
    more = Assembly((other, *steps[:1]), ["finishing"] * 2, 0.0, demo())
    assert {each.id for each in lines_of_copies(more)} == {
        each.id for each in lines_of_copies(assembly) if "." not in each.id
    }


@pytest.mark.parametrize("every_step", [False, True])
def test_a_step_that_takes_no_time_moves_the_name_of_none(every_step: bool) -> None:
    of = OpList("text", "text", every_step=every_step)
    first = of.step(StepTimes(SENT, [0, 0]), (), (), FINISH_PHASE)
    then = of.step(StepTimes(DRILL, [60, 90]), first, (), FINISH_PHASE)
    # Sent out without waiting: on no clock, and yet the first of two that drill.
    assert then == ("text/drill.2",)
    assert [op.id for op in of.ops] == (["text/drill"] if every_step else []) + ["text/drill.2"]
    assert of.ops[-1].after == (("text/drill",) if every_step else ())
