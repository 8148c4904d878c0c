"""Why a price differs: lines and steps that sum to the difference, to the last minor unit."""

from __future__ import annotations

import copy
import json
import tomllib
from decimal import Decimal
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop import EXAMPLES, demo_text, processes
from sidelay.plant_file import plant_of
from sidelay.plant_tools.price_difference import price_difference
from sidelay.plant_tools.pricing import PlantPricing

PROCESSES = ("sheetfed_litho", "toner", "dod_inkjet")
JOBS = ("tri_fold_leaflet", "rush_booklets", "business_cards", "carbonless_pads", "when_ready")


@cache
def old_data():
    return tomllib.loads(demo_text(*PROCESSES))


def pricing(data):
    return PlantPricing(plant_of(data, "", "shop.toml", processes()), processes())


@cache
def old_answer(name):
    return pricing(old_data()).answer(body(name))


def body(name):
    found = json.loads((EXAMPLES / f"{name}.json").read_text())
    return {"as_of": "2026-11-24T09:00:00+00:00", "overtime": True} | found


def compared(name, data):
    old, new = old_answer(name), pricing(data).answer(body(name))
    assert old["faults"] == new["faults"] == []
    pairs = zip(old["estimates"], new["estimates"], strict=True)
    return [price_difference(*pair) for pair in pairs]


def with_policy(**figures):
    data = copy.deepcopy(old_data())
    data["price_policy"] |= figures
    return data


def test_nothing_changed_has_no_parts():
    for found in compared("tri_fold_leaflet", old_data()):
        assert (found.difference, found.lines, found.steps) == (0, (), ())


def test_a_dearer_stock_moves_its_line_and_its_mark_up():
    data = copy.deepcopy(old_data())
    (stock,) = (each for each in data["stocks"] if each["id"] == "silk_150")
    for sold in (stock, *stock["sheets"]):
        if "price" in sold:
            sold["price"] *= 1.01
    for found in compared("tri_fold_leaflet", data):
        (line,) = found.lines
        assert (line.part, line.stage) == ("leaflet", "stock")
        assert line.difference > 0
        assert {step.name for step in found.steps} <= {"material mark-up", "rounding"}


def test_a_mark_up_moves_no_line():
    for found in compared("rush_booklets", with_policy(time_markup=0.35)):
        assert found.difference > 0
        assert not found.lines
        (step, *rest) = found.steps
        assert (step.name, step.old_figure, step.new_figure) == (
            "time mark-up", "25%, rush 25%", "35%, rush 25%",
        )  # fmt: skip
        assert {each.name for each in rest} <= {"rounding"}
        assert all(abs(each.difference) <= Decimal("0.02") for each in rest)


def test_minimum_charge_margin_and_buying_up_are_steps():
    (found, *_) = compared("business_cards", with_policy(minimum_charge=500))
    assert [each.name for each in found.steps if each.name != "rounding"] == ["minimum charge"]
    margins = [[1, 0.5], [200, 0.05]]
    found = compared("business_cards", with_policy(margins_by_quantity=margins))
    names = {each.name for each in found[0].steps}
    assert {"margin", "buying up"} <= names
    assert (found[0].steps[0].old_figure, found[0].steps[0].new_figure) == ("0%", "50%")


def test_an_offer_without_its_trace_is_refused():
    answer = pricing(old_data()).answer(body("business_cards"), detail="lines")
    with pytest.raises(LookupError):
        price_difference(*[answer["estimates"][0]] * 2)


@st.composite
def new_plants(draw):
    """The plant with some figures changed at random, those of its price policy too."""
    data = copy.deepcopy(old_data())
    times = st.floats(0.5, 2)
    for stock in draw(st.lists(st.sampled_from(data["stocks"]), max_size=4)):
        if "price" in stock:
            stock["price"] *= draw(times)
    for centre in draw(st.lists(st.sampled_from(data["cost_centres"]), max_size=4)):
        if "rate_per_hour" in centre:
            centre["rate_per_hour"] *= draw(times)
        else:
            centre["basis"]["wage_per_hour"] *= draw(times)
    for press in draw(st.lists(st.sampled_from(data["presses"]), max_size=2)):
        for key in ("plate_price", "make_ready_min", "click_colour_price"):
            if key in press:
                press[key] *= draw(times)
    policy = data["price_policy"]
    for name in ("material_markup", "time_markup", "outwork_markup", "rush_premium"):
        policy[name] = draw(st.one_of(st.just(policy[name]), st.floats(0, 0.9)))
    policy["minimum_charge"] = draw(st.sampled_from([0, 15, 120.5, 900]))
    policy["round_up_to"] = draw(st.sampled_from([0.01, 0.05, 1, 50]))
    how = draw(st.sampled_from(["none", "quantity", "value"]))
    if how != "none":
        shares = draw(st.lists(st.floats(0, 0.8), min_size=3, max_size=3))
        starts = [1, 400, 2500] if how == "quantity" else [0, 150, 800]
        policy[f"margins_by_{how}"] = [list(each) for each in zip(starts, shares, strict=True)]
    return data


@given(new_plants(), st.sampled_from(JOBS))
@settings(max_examples=15)
def test_the_parts_sum_to_the_difference_of_the_prices(data, name):
    for found in compared(name, data):
        parts = [each.difference for each in (*found.lines, *found.steps)]
        assert sum(parts, Decimal(0)) == found.difference == found.new - found.old
        cents = Decimal("0.01")
        assert all(each == each.quantize(cents) and each for each in parts)
