"""Carriers kept from the last run: made no more, mounted all the same."""

from dataclasses import replace

import numpy as np
import pytest

from shop import demo, job, leaf, plant, press, processes
from sidelay.estimate import estimate
from sidelay.plan import Planner

LITHO = press("sheetfed_litho", plate_life_impressions=1_000)


def costed(part, quantity):
    table = Planner(processes()).plan(job(part), plant(LITHO)).table
    costs = table.at(np.array([quantity]))
    made = [
        (row, line)
        for row, line in enumerate(table.lines)
        if line.stage in ("carrier", "make_ready")
    ]
    found = {}
    for row, line in made:
        found.setdefault((line.route, line.stage), []).append(int(costs.lines[row, 0]))
    return table, found


@pytest.mark.parametrize("told", ["sheetfed_litho", "litho"])
def test_kept_plates_are_mounted_but_not_made(told):
    part = leaf()
    table, new = costed(part, 100)
    _, kept = costed(replace(part, kept_carriers=(told,)), 100)
    for route in range(len(table.routes)):
        assert sum(new[route, "carrier"]) > 0
        assert sum(kept.get((route, "carrier"), [0])) == 0
        assert kept[route, "make_ready"] == new[route, "make_ready"]


def test_plates_of_another_press_are_of_no_use():
    part = leaf()
    assert costed(replace(part, kept_carriers=("flexo",)), 100)[1] == costed(part, 100)[1]


def test_when_the_kept_set_is_worn_out_the_next_is_bought():
    part = leaf(310, 430)
    table, new = costed(part, 5_000)
    _, kept = costed(replace(part, kept_carriers=("litho",)), 5_000)
    assert table.routes
    for number, route in enumerate(table.routes):
        set_price = round(100 * 8.0 * route.carriers)
        assert new[number, "carrier"][0] - kept[number, "carrier"][0] == set_price


def test_the_answer_still_counts_the_carriers_and_says_that_they_are_kept():
    part = leaf(stock=demo().stocks["silk_130"], kept_carriers=("litho_b1_five",))
    found = estimate(
        job(part, (5_000,)), demo(), Planner(processes()), only_presses=("litho_b1_five",)
    )
    assert found.offers
    lines = [line for line in found.plan.table.lines if line.stage == "carrier"]
    assert lines
    assert all("kept from the last run" in line.because for line in lines)
    route = found.plan.table.routes[found.offers[0].route]
    assert route.carriers == route.work.carriers >= 4
