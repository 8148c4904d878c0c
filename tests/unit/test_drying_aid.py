"""Drying sped up for money, and stock that is ordered: what they cost, and what is waited for."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from shop import (
    BLACK,
    NOW,
    demo,
    example,
    leaf,
    plain_litho,
    plain_toner,
    plant,
    press,
    processes,
    read,
    stock,
    with_inks,
)
from shop import job as job_of
from sidelay.costing import CostTable
from sidelay.estimate import estimate
from sidelay.http.asked import Asked
from sidelay.http.render import write_estimate
from sidelay.plan import Planner
from sidelay.plant_time import DryingAid, PlantTime
from trace_checks import check_offer

BLACK_LEAF = with_inks(leaf(), BLACK)
AID = DryingAid(0.4, 2.5, "test")
SHOP = replace(plant(plain_litho()), time=PlantTime(drying_aid=AID))
QUANTITIES = np.array([1, 250, 12_345, 1_000_000], dtype=np.int64)


def table(job, shop=SHOP) -> CostTable:
    found = Planner(processes()).plan(job, shop).table
    assert found is not None
    return found


def aids(found: CostTable) -> list:
    return [line for line in found.lines if line.label == "drying aid"]


def test_it_costs_so_much_for_a_thousand_cycles():
    found = table(job_of(BLACK_LEAF, drying_aid=True))
    (line, *_) = aids(found)
    assert (line.stage, line.kind, line.meter, line.source) == ("run", "material", "cycle", "test")
    assert line.because == "2.5 for 1,000 cycles; 40% of the drying is left"
    costs = found.at(QUANTITIES)
    row = found.lines.index(line)
    cycles = (costs.good + costs.running_waste)[line.route]
    cycles = cycles + found.routes[line.route].run.make_ready_cycles
    assert costs.counts[row].tolist() == cycles.tolist()
    assert costs.lines[row].tolist() == np.floor(cycles * 0.25 + 0.5).astype(int).tolist()


def test_each_way_that_has_to_dry_pays_for_it():
    found = table(job_of(BLACK_LEAF, drying_aid=True))
    assert all(route.run.drying_h > 0 for route in found.routes)
    assert sorted(line.route for line in aids(found)) == list(range(len(found.routes)))


@pytest.mark.parametrize(
    ("job", "shop"),
    [
        (job_of(BLACK_LEAF), SHOP),  # not asked
        (job_of(BLACK_LEAF, drying_aid=True), plant(plain_litho())),  # the plant has none
        (job_of(BLACK_LEAF, drying_aid=True), replace(SHOP, presses=(plain_toner(per_hour=1000),))),
        (
            job_of(BLACK_LEAF, drying_aid=True),
            replace(SHOP, presses=(press("sheetfed_litho", drying="uv"),)),
        ),
    ],
)
def test_else_nobody_pays_for_it(job, shop):
    found = table(job, shop)
    assert found.routes
    assert aids(found) == []


def test_sections_alike_pay_for_each_of_them():
    asked = replace(example("case_bound_history"), drying_aid=True)
    plan = Planner(processes()).plan(asked, demo())
    assert plan.job_table is not None
    tables = [part.table for makeup in plan.job_table.makeups for part in makeup.parts]
    found = [(line, each.routes[line.route]) for each in tables for line in aids(each)]
    alike = [(line, route) for line, route in found if route.times > 1]
    assert alike
    for line, route in alike:
        assert line.amount == route.times
        assert f"for each of {route.times} sections" in line.because


def test_no_cost_falls_as_the_quantity_rises():
    every = replace(demo(), time=replace(demo().time, drying_aid=AID))
    found = table(replace(example("brochure"), drying_aid=True), every)
    assert aids(found)
    quantities = np.unique(np.geomspace(1, 3_000_000, 300).astype(np.int64))
    assert (np.diff(found.at(quantities).total, axis=1) >= 0).all()


def lines_of(offer) -> list:
    return [line for part in offer["parts"] for line in part["lines"]]


def test_its_trace_can_be_worked_out():
    card = {"size": "a5", "stock": {"id": "silk_130"}, "front": {"inks": ["black"]}}
    asked = replace(read(demo(), {"quantities": [500], "parts": [card]}), drying_aid=True)
    result = estimate(asked, demo(), Planner(processes()), NOW, only_presses=("litho_b3_two",))
    clock = {"timing": NOW, "clock_given": True}
    shown = Asked(asked, demo(), "0" * 16, (), (), "trace", 1_000_000, False, **clock)
    (offer,) = write_estimate(result, shown)["estimates"]
    check_offer(offer)
    (line,) = [each for each in lines_of(offer) if each["label"] == "drying aid"]
    assert line["unit_cost"] == demo().time.drying_aid.price_per_1000_cycles / 1000
    assert (line["per"], line["behaviour"]) == ("cycle", "both")


def test_stock_that_is_ordered_is_waited_for_and_what_is_on_the_shelf_is_not():
    for days in (0.0, 2.5):
        part = replace(BLACK_LEAF, stock=stock(lead_days=days))
        stocks = [line for line in table(job_of(part)).lines if line.stage == "stock"]
        assert stocks
        assert {line.lead_days for line in stocks} == {days}
