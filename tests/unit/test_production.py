"""What has to be done to make an offer, what it waits for and how long it takes, by hand.

The routes are those of by_hand.py; times are in hours, or in working days where others work.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from whole_strategies import shops_and_jobs

from by_hand import (
    DESK,
    DIES,
    HOUR_S,
    PLATES,
    days,
    hours,
    made,
    operations,
    route,
    sent_out,
    step,
    timed,
)
from shop import BLACK, NOW, demo, example, leaf, plant, processes, stock, with_inks
from sidelay.curve import Curve
from sidelay.offers import PricedJob
from sidelay.plan import Planner
from sidelay.plant_time import DryingAid, DryingShares
from sidelay.production import Habits
from sidelay.route_times import (
    MOST_S,
    drying_share,
    fastest,
    first_side,
    seconds,
    step_times,
    typical_hours,
)
from sidelay.scheduler import QUEUE, Combo, Scheduler

WITH_DESK = plant(prepress=DESK)


def after(ops, name):
    """What an operation waits for, without what that waits for itself."""
    told, behind = set(ops[name].after), set()
    left = [before for each in told for before in ops[each].after]
    while left:
        each = left.pop()
        behind.add(each)
        left += ops[each].after
    return told - behind


def chain(ops, *names):
    """Check that each operation waits for the one before, and for nothing else."""
    for before, name in pairwise(names):
        assert after(ops, name) == {before}


# ---------------------------------------------------------------- the desk, the proof


def test_a_plain_run_is_made_ready_run_and_washed_up():
    ops = operations(route())
    assert list(ops) == ["leaf/make_ready", "leaf/run", "leaf/wash_up"]
    chain(ops, *ops)
    assert ops["leaf/make_ready"].after == ()
    assert [hours(op) for op in ops.values()] == [0.5, 1.0, 0.2]
    assert {op.machine for op in ops.values()} == {"press_a"}
    assert {op.clock for op in ops.values()} == {"shift"}


def test_the_desk_comes_before_the_press():
    ops = operations(route(), shop=WITH_DESK)
    chain(ops, "leaf/artwork_check", "leaf/imposition", "leaf/make_ready", "leaf/run")
    assert hours(ops["leaf/artwork_check"]) == 0.25
    assert hours(ops["leaf/imposition"]) == 0.1
    assert ops["leaf/imposition"].machine == "prepress"


def test_data_are_read_with_the_check_by_the_thousand_pieces():
    desk = replace(DESK, data_set_up_min=9, data_min_per_1000=12)
    shop, varied = plant(prepress=desk), route(part={"variable_share": 0.1})
    ops = operations(varied, shop=shop, quantities=(1000, 5000))
    told = ops["leaf/artwork_check"]
    # 15 + 9 min, and 12 min for each thousand
    assert [hours(told), hours(told, 1)] == [pytest.approx(0.6), pytest.approx(1.4)]


@pytest.mark.parametrize(("proof", "minutes", "approved"), [("soft", 10, 0.5), ("contract", 16, 1)])
def test_a_proof_is_made_after_imposition_and_approved_before_the_press(proof, minutes, approved):
    ops = operations(route(), shop=WITH_DESK, proof=proof)
    chain(ops, "leaf/imposition", "leaf/proof", "leaf/approval", "leaf/make_ready", "leaf/run")
    # 5 and 8 min for each of two sides
    assert ops["leaf/proof"].amounts == [minutes * 60]
    assert (ops["leaf/proof"].machine, ops["leaf/proof"].centre) == ("prepress", "cutting")
    assert days(ops["leaf/approval"]) == approved
    assert ops["leaf/approval"].clock == "working_days"
    assert f"{approved:g} working day" in ops["leaf/approval"].because


def test_a_press_proof_stands_between_make_ready_and_run_and_nobody_waits():
    ops = operations(route(), shop=WITH_DESK, proof="press", timing=replace(NOW, approval_days=3))
    chain(ops, "leaf/imposition", "leaf/make_ready", "leaf/proof", "leaf/run")
    assert hours(ops["leaf/proof"]) == 1.0  # 30 min for each of two sides
    assert ops["leaf/proof"].machine == "press_a"
    assert "leaf/approval" not in ops


def test_a_proof_that_is_made_elsewhere_takes_no_desk():
    desk = replace(DESK, cost_centre="folding")
    ops = operations(route(), shop=plant(prepress=desk), proof="contract")
    assert (ops["leaf/proof"].machine, ops["leaf/proof"].centre) == ("", "cutting")
    assert ops["leaf/imposition"].machine == "prepress"


def test_approval_takes_the_days_of_the_request_else_those_of_the_plant():
    shop = timed(WITH_DESK, approval_days={"soft": 0.25, "contract": 2.0, "press": 0.0})
    told = replace(NOW, approval_days=1.5)
    assert days(operations(route(), shop=shop, proof="contract")["leaf/approval"]) == 2
    asked = operations(route(), shop=shop, proof="contract", timing=told)
    assert days(asked["leaf/approval"]) == 1.5
    at_once = operations(route(), shop=shop, proof="soft", timing=replace(NOW, approval_days=0.0))
    assert "leaf/approval" not in at_once
    chain(at_once, "leaf/proof", "leaf/make_ready")
    assert Habits.of(shop, "press", 2.0, aid=False).approval_days == 0
    assert Habits.of(shop, "none", 2.0, aid=False).approval_days == 0


# ---------------------------------------------------------------- what is bought


def test_carriers_follow_approval_dies_the_check_and_stock_comes_from_the_start():
    ordered = stock(lead_days=1.5)
    ops = operations(
        route(charges=[PLATES, DIES], part={"stock": ordered}), shop=WITH_DESK, proof="contract"
    )
    assert ops["leaf/carriers"].after == ("leaf/approval",)
    assert ops["leaf/dies"].after == ("leaf/artwork_check",)
    assert ops["leaf/stock"].after == ()
    assert [days(ops[f"leaf/{name}"]) for name in ("carriers", "dies", "stock")] == [2, 3, 1.5]
    assert after(ops, "leaf/make_ready") == {"leaf/carriers", "leaf/dies", "leaf/stock"}


def test_what_is_bought_at_a_stage_is_there_with_the_slowest():
    slow = replace(PLATES, lead_days=3.5, label="sleeves")
    ops = operations(route(charges=[PLATES, slow]))
    assert days(ops["leaf/carriers"]) == 3.5


def test_without_carriers_the_press_waits_for_approval_itself():
    ops = operations(route(charges=[DIES]), shop=WITH_DESK, proof="soft")
    assert after(ops, "leaf/make_ready") == {"leaf/approval", "leaf/dies"}


def test_what_is_kept_from_the_last_run_is_not_waited_for_nor_imposed():
    kept = route(charges=[PLATES, DIES]).carriers_id
    ops = operations(route(charges=[PLATES, DIES], kept=(kept,)), shop=WITH_DESK)
    assert list(ops) == ["leaf/artwork_check", "leaf/make_ready", "leaf/run", "leaf/wash_up"]


def test_carriers_that_wear_out_are_waited_for_where_they_do():
    kept = route().carriers_id
    wearing = replace(PLATES, life=500)  # one set lasts for 500, and is kept
    ops = operations(route(charges=[wearing], kept=(kept,)), quantities=(400, 1000))
    assert [days(ops["leaf/carriers"]), days(ops["leaf/carriers"], 1)] == [0, 2]


def test_parents_are_cut_before_the_press_once_the_stock_is_there():
    cutting = step("cut_parents", unit="parent", cost_centre="cutting")
    ops = operations(route(steps=[cutting], part={"stock": stock(lead_days=1)}), shop=WITH_DESK)
    assert ops["leaf/cut_parents"].after == ("leaf/stock",)
    assert hours(ops["leaf/cut_parents"]) == 1.2  # 1,000 parents, one out of each
    assert ops["leaf/cut_parents"].machine == "guillotine"
    assert after(ops, "leaf/make_ready") == {"leaf/imposition", "leaf/cut_parents"}
    from_shelf = operations(route(steps=[cutting]))
    assert from_shelf["leaf/cut_parents"].after == ()


# ---------------------------------------------------------------- backing up, drying


def sheetwise(drying_h=6.0, **figures):
    """Both sides in four colours each, one after the other: 2,000 passes, two hours."""
    return route(style="sheetwise", drying_h=drying_h, run={"passes": 2}, **figures)


def test_the_second_side_waits_until_the_first_is_dry_enough():
    ops = operations(sheetwise(steps=[step()]))
    chain(ops, "leaf/make_ready", "leaf/run", "leaf/drying_between", "leaf/backing_up")
    assert [hours(ops[f"leaf/{name}"]) for name in ("run", "backing_up")] == [1.0, 1.0]
    assert hours(ops["leaf/drying_between"]) == 3.0  # half of six
    assert ops["leaf/drying"].after == ("leaf/backing_up",)
    assert hours(ops["leaf/drying"]) == 6.0
    assert after(ops, "leaf/fold") == {"leaf/drying"}
    assert ops["leaf/wash_up"].after == ("leaf/backing_up",)
    assert ops["leaf/drying"].clock == ops["leaf/drying_between"].clock == "elapsed"


def test_how_dry_the_first_side_has_to_be_is_the_plants():
    at_once = timed(drying=DryingShares(backing_up=0.0))
    ops = operations(sheetwise(), shop=at_once)
    chain(ops, "leaf/run", "leaf/backing_up")
    longer = timed(drying=DryingShares(backing_up=0.75))
    assert hours(operations(sheetwise(), shop=longer)["leaf/drying_between"]) == 4.5


def test_passes_are_shared_out_by_the_inks_of_the_sides():
    one_unit = route(style="work_and_turn", run={"passes": 5}, drying_h=1)
    one_unit = replace(one_unit, work=replace(one_unit.work, part=with_inks(leaf(), BLACK, BLACK)))
    assert first_side(one_unit) == 0.4  # 2.5 of 5, halves to the even
    four_and_one = with_inks(leaf(), tuple(leaf().front.inks), BLACK)
    assert first_side(replace(one_unit, work=replace(one_unit.work, part=four_and_one))) == 0.8
    two = replace(one_unit, run=replace(one_unit.run, passes=2))
    assert first_side(replace(two, work=replace(two.work, part=four_and_one))) == 0.5


@pytest.mark.parametrize("style", ["one_side", "perfecting"])
def test_sheets_printed_in_one_go_are_not_backed_up(style):
    ops = operations(route(style=style, drying_h=6, run={"passes": 2}))
    assert "leaf/backing_up" not in ops
    assert hours(ops["leaf/run"]) == 2.0


def test_what_is_dry_off_the_press_is_backed_up_at_once():
    ops = operations(sheetwise(drying_h=0.0))
    assert list(ops) == ["leaf/make_ready", "leaf/run", "leaf/wash_up"]
    assert hours(ops["leaf/run"]) == 2.0


SHARES = DryingShares(backing_up=0.5, cutting=0.25, folding=0.75, laminating=1.5, other=1.25)


@pytest.mark.parametrize(
    ("name", "dried_h"),
    [
        ("cut", 1),
        ("cut_on_table", 1),
        ("die_cut", 1),
        ("slit", 1),
        ("die_cut_and_slit", 1),
        ("fold", 3),
        ("laminate", 6),
        ("crease", 5),
        ("drill", 5),
    ],
)
def test_each_step_waits_for_its_own_share_of_the_drying(name, dried_h):
    ops = operations(route(drying_h=4, steps=[step(name)]), shop=timed(drying=SHARES))
    assert hours(ops["leaf/drying"]) == dried_h
    assert ops["leaf/drying"].after == ("leaf/run",)
    assert after(ops, f"leaf/{name}") == {"leaf/drying"}


def test_a_later_step_waits_for_more_of_it_from_the_press_on():
    routes = route(drying_h=4, steps=[step("cut"), step("fold"), step("drill"), step("trim")])
    ops = operations(routes, shop=timed(drying=SHARES))
    assert {name: hours(op) for name, op in ops.items() if "drying" in name} == {
        "leaf/drying": 1,
        "leaf/drying_fold": 3,
        "leaf/drying_drill": 5,
    }
    for name in ("drying", "drying_fold", "drying_drill"):
        assert ops[f"leaf/{name}"].after == ("leaf/run",)
        assert ops[f"leaf/{name}"].operation == "drying"
    assert after(ops, "leaf/fold") == {"leaf/cut", "leaf/drying_fold"}
    assert after(ops, "leaf/trim") == {"leaf/drill"}


def test_copies_wait_until_everything_is_dry():
    """What comes after the last step is "other": it waits for the rest of the drying."""
    binding = step("saddle_stitch", unit="copy")
    shop = timed(drying=SHARES)
    ops = operations(route(drying_h=4, steps=[step("cut")]), copies=[binding], shop=shop)
    assert hours(ops["leaf/drying_through"]) == 5
    assert after(ops, "copies/saddle_stitch") == {"leaf/cut", "leaf/drying_through"}


def test_a_drying_aid_leaves_a_share_of_every_drying():
    shop = timed(drying_aid=DryingAid(0.25, 3.0))
    ops = operations(sheetwise(), shop=shop, drying_aid=True)
    assert [hours(ops[f"leaf/{name}"]) for name in ("drying_between", "drying")] == [0.75, 1.5]
    assert "0.25 of it with a drying aid" in ops["leaf/drying"].because
    without = operations(sheetwise(), shop=timed(), drying_aid=True)  # the plant has none
    assert hours(without["leaf/drying"]) == 6


def test_shares_are_those_of_the_step():
    assert drying_share(SHARES, "") == drying_share(SHARES, "anything") == 1.25


# ---------------------------------------------------------------- sections, shells, copies


def test_sections_alike_are_made_ready_each_and_washed_up_once():
    ops = operations(route(times=3, steps=[step()]), shop=WITH_DESK)
    assert {name.removeprefix("leaf/"): hours(op) for name, op in ops.items()} == {
        "artwork_check": 0.25,
        "imposition": 0.1,
        "make_ready": 1.5,
        "run": 3.0,
        "wash_up": 0.2,
        "fold": pytest.approx(3.2),  # set once, three thousand folded
    }


def test_what_is_set_once_for_sections_alike_counts_once():
    ops = operations(route(times=3, run={"once_min": 12.0}))
    assert hours(ops["leaf/make_ready"]) == pytest.approx(1.5 - 2 * 0.2)


def test_sections_of_two_sizes_are_gathered_when_all_are_there():
    gathered = step("gather", unit="copy")
    sizes = (
        route(times=2, gathering=(gathered,)),
        route("press_b", leading=False, steps=[step()], drying_h=2),
    )
    ops = operations(sizes, copies=[step("case", unit="copy")])
    assert "leaf/wash_up-1" in ops
    assert "leaf/wash_up-2" not in ops  # what a part pays for once
    assert ops["leaf/make_ready-1"].after == ops["leaf/make_ready-2"].after == ()
    assert after(ops, "leaf/gather") == {"leaf/run-1", "leaf/fold-2"}
    assert after(ops, "copies/case") == {"leaf/gather"}


def test_desk_and_proof_are_for_all_runs_of_a_part_together():
    sizes = (route(times=2), route(leading=False))
    ops = operations(sizes, shop=WITH_DESK, proof="contract")
    assert hours(ops["leaf/artwork_check"]) == 0.25
    assert hours(ops["leaf/imposition"]) == 0.2  # 6 min for each of two layouts
    assert hours(ops["leaf/proof"]) == pytest.approx(16 / 60)
    assert after(ops, "leaf/make_ready-1") == {"leaf/approval"}
    assert after(ops, "leaf/make_ready-2") == {"leaf/approval"}


def test_what_is_printed_onto_shells_waits_for_them_to_be_dry_and_cut():
    over = route("press_b", on_shells=True, steps=[step()])
    shells = route("press_a", feeds=0, drying_h=6, steps=[step("cut", cost_centre="cutting")])
    ops = operations((over, shells), shop=WITH_DESK)
    chain(ops, "leaf/make_ready-1", "leaf/run-1")
    assert ops["leaf/run-1"].machine == "press_a"
    assert after(ops, "leaf/cut-1") == {"leaf/drying-1"}
    assert after(ops, "leaf/make_ready-2") == {"leaf/cut-1"}
    assert ops["leaf/run-2"].machine == "press_b"
    # All that makes shells comes to machines first.
    order = list(ops)
    assert order.index("leaf/cut-1") < order.index("leaf/make_ready-2")


def test_what_is_sent_out_takes_working_days_its_die_made_there():
    ops = operations(route(steps=[sent_out(tool_price=90), sent_out("foil", 1.5)]))
    assert [days(ops[f"leaf/{name}"]) for name in ("varnish", "foil")] == [4, 1.5]
    chain(ops, "leaf/run", "leaf/varnish", "leaf/foil")
    assert {ops[f"leaf/{name}"].clock for name in ("varnish", "foil")} == {"working_days"}
    assert ops["leaf/varnish"].machine == ""
    assert not any(op.operation == "dies" for op in ops.values())


def test_the_die_of_a_machine_in_the_house_is_ordered_after_the_check():
    number = step("number", tool_price=90, lead_days=5, machine="numberer")
    ops = operations(route(steps=[number]), shop=WITH_DESK)
    assert ops["leaf/number_die"].after == ("leaf/artwork_check",)
    assert ops["leaf/number_die"].operation == "dies"
    assert days(ops["leaf/number_die"]) == 5
    assert after(ops, "leaf/number") == {"leaf/run", "leaf/number_die"}
    assert ops["leaf/number"].machine == "numberer"
    kept = route().carriers_id
    again = operations(route(steps=[number], kept=(kept,)))
    assert "leaf/number_die" not in again


def test_a_tool_for_the_copies_is_ordered_at_the_start():
    number = step("number", unit="copy", tool_price=50, lead_days=1)
    ops = operations(route(), copies=[number], shop=WITH_DESK)
    assert ops["copies/number_die"].after == ()
    assert after(ops, "copies/number") == {"leaf/run", "copies/number_die"}


def test_copies_wait_for_every_part_and_steps_on_them_for_each_other():
    ops = operations(
        route(name="text", drying_h=2),
        route("press_b", name="cover"),
        copies=[
            step("perfect_bind", unit="copy"),
            sent_out("foil", unit="copy"),
            step("carton", unit="copy"),
        ],
    )
    assert after(ops, "copies/perfect_bind") == {"text/drying", "cover/run"}
    chain(ops, "copies/perfect_bind", "copies/foil", "copies/carton")
    assert {ops[f"copies/{n}"].part for n in ("perfect_bind", "foil", "carton")} == {None}


def test_a_part_may_be_called_copies_and_a_step_come_twice():
    twice = [step("laminate", machine="one"), step("laminate", machine="two")]
    ops = operations(route(name="copies", steps=twice), copies=[step("band", unit="copy")])
    assert {"part copies/laminate", "part copies/laminate.2", "copies/band"} <= set(ops)
    assert ops["part copies/laminate.2"].after == ("part copies/laminate",)


def test_what_takes_no_time_is_no_operation():
    ops = operations(
        route(run={"make_ready_min": 0, "wash_up_min": 0}, steps=[step(minutes=0, set_up_min=0)]),
        copies=[step("band", unit="copy")],
    )
    assert list(ops) == ["leaf/run", "copies/band"]
    assert ops["copies/band"].after == ("leaf/run",)


# ---------------------------------------------------------------- whole seconds


def test_begun_seconds_are_whole_and_decimals_are_not_begun():
    assert seconds(0.0, 2) == [0, 0]
    assert seconds(1 / 3, 1) == [1200]
    assert seconds(np.array([0.1, 1.1, 1e-4, 0.0]), 4) == [360, 3960, 1, 0]
    assert seconds(0.1 + 0.2, 1) == [1080]
    assert seconds(float("inf"), 1) == [int(MOST_S)]
    assert seconds(np.array([np.inf]), 1) == [int(MOST_S)]


def test_the_fastest_of_some_routes_has_the_least_of_each_time():
    slow, quick = route(drying_h=4, steps=[step(), step("cut")]), route(steps=[step(minutes=1)])
    times = [made(each)[0].times(0, 0, 0) for each in (slow, quick)]
    least = fastest(times)
    assert least.drying_h == 0
    assert [each.step.name for each in least.steps] == ["fold"]  # that one lacks "cut"
    assert least.steps[0].amounts == times[1].steps[0].amounts
    assert fastest(times[:1]) is times[0]


def test_a_step_for_sections_alike_has_its_least_minutes_for_all_together():
    least = step(set_up_min=0, least_min=90)
    assert step_times(least, np.array([100.0, 2000.0]), 3).amounts == [5400, 21600]


def test_typical_hours_are_those_of_a_thousand_pieces():
    on_press, later = typical_hours(route(times=2, steps=[step(), sent_out()]))
    assert (on_press, later) == (pytest.approx(3.0), pytest.approx(0.2 + 2 * 1.0))
    slower = route(run={"cycles_per_hour": Curve(((1, 500.0), (2000, 500.0)))})
    assert typical_hours(slower)[0] == pytest.approx(2.5)


# ---------------------------------------------------------------- random shops


slow = settings(
    deadline=None,
    max_examples=25,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


def _hours_and_money(lines, counts):
    """Hours of the time lines, and what they cost [currency]."""
    paid = [
        (line.amount * float(count), line.unit_cost)
        for line, count in zip(lines, counts, strict=True)
        if line.kind == "time"
    ]
    return sum(h for h, _ in paid), sum(h * rate for h, rate in paid)


def _of_costs(table, costs, combo, column):
    """Hours of all time lines of a job made so, their money, the hours of its presses."""
    hours_, money, on_press = 0.0, 0.0, 0.0
    makeup, found = table.makeups[combo.makeup], costs.makeups[combo.makeup]
    for part, priced, routes in zip(makeup.parts, found.parts, combo.routes, strict=True):
        for number in routes:
            first, lines = part.table.first_line(number), part.table.lines_of(number)
            counts = priced.costs.counts[first : first + len(lines), column]
            h, m = _hours_and_money(lines, counts)
            hours_, money = hours_ + h, money + m
            times = part.table.routes[number].times
            on_press += float(priced.costs.press_hours[number, column]) * times
    bill = found.assembly.bill
    h, m = _hours_and_money(makeup.assembly.lines, bill.counts[:, column])
    return hours_ + h, money + m, on_press


def check_hours(shop, job, quantities) -> bool:
    """Return whether any press makes it: then its hours are compared."""
    table = Planner(processes()).plan(job, shop).job_table
    if table is None:
        return False
    priced = PricedJob(table, quantities)
    on_clock = Scheduler(job, shop, NOW).at(table, priced.costs)
    for offer in priced.best_offers():
        combo, column = Combo(offer.makeup, tuple(p.routes for p in offer.parts)), offer.column
        told_h, told_money, press_h = _of_costs(table, priced.costs, combo, column)
        ops = on_clock.sequences(combo)[0].ops
        work = [op for op in ops if op.clock == "shift" and op.operation != QUEUE]
        done_h = sum(hours(op, column) for op in work)
        # Begun seconds are whole: at the desk once for each route, else once for each operation.
        begun = len(work) + 3 * sum(len(routes) for routes in combo.routes)
        assert 0 <= done_h - told_h + 1e-6 < begun / HOUR_S + 2e-6
        money = sum(shop.rate(op.centre) * hours(op, column) for op in work)
        most_rate = max(each.rate_per_hour for each in shop.cost_centres.values())
        assert -1e-3 <= money - told_money < begun * most_rate / HOUR_S + 1e-3
        runs = {"make_ready", "run", "backing_up", "wash_up"}
        on_press = sum(hours(op, column) for op in work if op.operation in runs)
        assert 0 <= on_press - press_h + 1e-6 < begun / HOUR_S + 2e-6
    return True


@slow
@given(shops_and_jobs(), st.lists(st.integers(1, 50_000), min_size=1, max_size=3, unique=True))
def test_operations_take_the_hours_that_are_paid_for(ops, quantities):
    assume(check_hours(*ops, quantities))


@pytest.mark.parametrize(
    "name", ["brochure", "case_bound_history", "numbered_vouchers", "bottle_labels", "posters"]
)
def test_so_they_do_in_the_demo_plant(name):
    assert check_hours(demo(), example(name), (1, 500, 20_000))
