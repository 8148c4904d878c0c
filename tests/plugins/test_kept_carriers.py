"""Carriers kept from the last run: made no more, mounted all the same, and of one layout only."""

from dataclasses import replace

import numpy as np

from shop import NOW, demo, example, job, leaf, plant, press, processes
from sidelay.estimate import estimate
from sidelay.plan import Planner

LITHO = press("sheetfed_litho", plate_life_impressions=1_000)


def planned(part):
    return Planner(processes()).plan(job(part), plant(LITHO))


def money(table, quantity, stage):
    """Cost of a stage by the layout that the carriers are for [cents]."""
    costs = table.at(np.array([quantity]))
    found = {route.carriers_id: 0 for route in table.routes}
    for row, line in enumerate(table.lines):
        if line.stage == stage:
            found[table.routes[line.route].carriers_id] += int(costs.lines[row, 0])
    return found


def test_kept_plates_are_mounted_but_not_made_and_only_for_their_layout():
    part = leaf()
    new = planned(part).table
    (mine, *others) = dict.fromkeys(route.carriers_id for route in new.routes)
    kept = planned(replace(part, kept_carriers=(mine,))).table
    before, after = money(new, 100, "carrier"), money(kept, 100, "carrier")
    assert before[mine] > 0
    assert after[mine] == 0
    assert others
    assert all(after[other] == before[other] for other in others)
    assert money(kept, 100, "make_ready") == money(new, 100, "make_ready")


def test_when_the_kept_set_is_worn_out_the_next_is_bought():
    part = leaf(310, 430)
    new = planned(part).table
    route = new.routes[0]
    kept = planned(replace(part, kept_carriers=(route.carriers_id,))).table
    before, after = (money(table, 5_000, "carrier")[route.carriers_id] for table in (new, kept))
    same = sum(other.carriers_id == route.carriers_id for other in new.routes)
    assert after > 0
    assert before - after == round(100 * 8.0 * route.carriers) * same


def test_carriers_that_fit_no_layout_are_told_and_new_ones_priced():
    part = leaf()
    unfit = planned(replace(part, kept_carriers=("litho:one_side:99up:10x10",)))
    codes = [each.finding.code for each in unfit.cautions]
    assert "kept_carriers_unfit" in codes
    assert money(unfit.table, 100, "carrier") == money(planned(part).table, 100, "carrier")
    elsewhere = planned(replace(part, kept_carriers=("flexo_narrow:one_side:2x2:200:1x1",)))
    assert "kept_carriers_unfit" not in [each.finding.code for each in elsewhere.cautions]


def test_a_reorder_with_the_id_of_the_last_answer_pays_no_plates_and_keeps_the_layout():
    wanted = replace(example("bottle_labels"), quantities=(40_000,))
    first = estimate(wanted, demo(), Planner(processes()), NOW, only_processes=("flexo",))
    made = first.plan.table.routes[first.offers[0].parts[0].routes[0]]
    part = replace(wanted.parts[0], kept_carriers=(made.carriers_id,))
    again = estimate(
        replace(wanted, parts=(part,)), demo(), Planner(processes()), NOW, only_processes=("flexo",)
    )
    route = again.plan.table.routes[again.offers[0].parts[0].routes[0]]
    assert route.carriers_id == made.carriers_id
    assert route.carriers == made.carriers
    assert again.offers[0].cost < first.offers[0].cost
    lines = again.plan.table.lines_of(again.offers[0].parts[0].routes[0])
    paid = [line for line in lines if line.stage in ("carrier", "die")]
    assert paid
    assert all("kept from the last run" in line.because for line in paid)


def test_the_die_of_the_finishing_line_is_kept_too():
    wanted = replace(example("bottle_labels"), quantities=(5_000,))
    only = {"only_presses": ("inkjet_label_330",)}
    first = estimate(wanted, demo(), Planner(processes()), NOW, **only)
    made = first.plan.table.routes[first.offers[0].parts[0].routes[0]]
    part = replace(wanted.parts[0], kept_carriers=(made.carriers_id,))
    again = estimate(replace(wanted, parts=(part,)), demo(), Planner(processes()), NOW, **only)
    die = demo().bindery.slitter.die_price
    desk = demo().prepress  # what was imposed for the last run is not imposed again
    imposed = demo().rate(desk.cost_centre) * desk.imposition_min_per_form / 60
    assert first.offers[0].cost - again.offers[0].cost == round(100 * (die + imposed))
