"""What would make a due date hold: each kind where it is the one that helps, and true when asked.

The small plant prints black leaves, eight up, at 1,000 sheets an hour, dries them with lamps and
cuts them; it works from 8 to 16 o'clock, Monday to Friday, UTC. Unless a test says otherwise, work
is asked for on Tuesday, 24 November 2026, at 9:00. Its price is its cost, so that what a remedy
costs can be worked out by hand.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from time_strategies import dated_shops_and_jobs

from by_hand import HOUR_S, at, timed
from shop import (
    BLACK,
    NOW,
    demo,
    example,
    leaf,
    plain_bindery,
    plain_litho,
    plain_toner,
    plant,
    processes,
    with_inks,
)
from shop import job as job_of
from sidelay.dated import HoldKind
from sidelay.dating import DatedOffer
from sidelay.estimate import estimate
from sidelay.plan import Planner
from sidelay.plant_time import DryingAid, MachineTime, Queue
from sidelay.pricing import AT_COST
from sidelay.timing import Timing
from sidelay.working_time import Shift

BLACK_LEAF = with_inks(leaf(), BLACK)
EVENINGS = (Shift(frozenset(range(5)), 16 * 60, 20 * 60),)
WITH_RUSH = replace(AT_COST, rush_premium=0.25)
LOTS = {"split_run", "smaller_first"}


def shop_of(*presses, **time):
    """A plant that sells at cost, rush work at a quarter more of its time."""
    machines = presses or (litho(),)
    return timed(plant(*machines, bindery=plain_bindery(), price_policy=WITH_RUSH), **time)


def litho(**figures):
    figures = {"rated_sheets_per_hour": 1_000, "drying": "uv"} | figures
    return plain_litho(**figures)


def leaves(*quantities: int, **wanted):
    return job_of(BLACK_LEAF, quantities, **wanted)


@cache
def planner() -> Planner:
    return Planner(processes())


def answered(job, shop, timing, **filters) -> tuple[DatedOffer, ...]:
    """What /estimate says at each quantity."""
    return estimate(job, shop, planner(), timing, **filters).dated


def due(text: str, **figures) -> Timing:
    return replace(NOW, due_at=at(text), **figures)


def kinds(dated: DatedOffer) -> list[HoldKind]:
    return [each.kind for each in dated.otherwise.would_hold]


def the_only(dated: DatedOffer, kind: HoldKind):
    """The one of this kind; what else would hold is made in lots."""
    assert not dated.holds
    found = [each for each in dated.otherwise.would_hold if each.kind not in LOTS]
    assert [each.kind for each in found] == [kind]
    return found[0]


def changed(changes, job, timing, filters):
    """A request with some members changed, as their paths say."""
    for path, to in changes.items():
        if path == "overtime":
            timing = replace(timing, overtime=to)
        elif path.startswith("job."):
            job = replace(job, **{path.removeprefix("job."): to})
        else:
            assert path in ("processes", "presses")
            assert to == []
            filters = {}
    return job, timing, filters


def again(changes, quantity, job, shop, timing, filters) -> DatedOffer:
    """What the changed request is answered with at one quantity."""
    job, timing, filters = changed(changes, job, timing, filters)
    (found,) = answered(replace(job, quantities=(quantity,)), shop, timing, **filters)
    return found


def check(dated, job, shop, timing, **filters) -> None:
    """Check all that is told about each quantity against the request asked again."""
    for each in dated:
        found, quantity = each.otherwise.would_hold, each.offer.quantity
        if each.holds:
            assert found == ()
            continue
        single = [option for option in found if option.kind not in LOTS]
        assert [option.dated.price for option in single] == sorted(o.dated.price for o in single)
        for option in single:
            assert option.changes
            assert option.lots == ()
            asked = again(option.changes, quantity, job, shop, timing, filters)
            assert asked.holds
            assert asked.offer.price == option.dated.price
            assert asked.ready_at == option.dated.ready_at <= timing.due_at
            if option.kind == "together":
                assert len(single) == 1
                check_each_is_needed(option, quantity, job, shop, timing, filters)
            else:
                assert len({path.split(".")[0] for path in option.changes}) <= 2
        for option in found:
            if option.kind in LOTS:
                check_lots(option, quantity, timing)


def check_each_is_needed(option, quantity, job, shop, timing, filters) -> None:
    """Without any one of its changes it does not hold. Both filters are one change."""
    groups = {path if path.startswith(("job.", "over")) else "filters" for path in option.changes}
    assert len(groups) >= 2
    for left_out in groups:
        fewer = {
            path: to
            for path, to in option.changes.items()
            if (path if path.startswith(("job.", "over")) else "filters") != left_out
        }
        assert not again(fewer, quantity, job, shop, timing, filters).holds


def check_lots(option, quantity, timing) -> None:
    one, two = option.lots
    assert option.changes == {}
    assert one.quantity > 0 < two.quantity
    assert one.quantity + two.quantity == quantity
    assert one.dated.price + two.dated.price == option.dated.price
    assert one.holds
    assert one.dated.ready_at <= timing.due_at
    if option.kind == "split_run":
        assert two.holds
        assert two.dated.ready_at <= timing.due_at
        assert one.dated.press != two.dated.press
    ready = [one.dated.ready_at, two.dated.ready_at]
    assert option.dated.ready_at == (None if None in ready else max(ready))


# ---------------------------------------------------------------- overtime


OVERTIME = shop_of(overtime=EVENINGS)
SIXTY = leaves(60_000)


def times(dated: DatedOffer, name: str):
    (found,) = [op for op in dated.schedule.operations if op.operation == name]
    return found


def test_overtime_helps_a_run_that_goes_beyond_the_shift():
    timing = due("24 20:00")
    (found,) = dated = answered(SIXTY, OVERTIME, timing)
    option = the_only(found, "overtime")
    assert option.changes == {"overtime": True}
    check(dated, SIXTY, OVERTIME, timing)


def test_its_premium_is_hours_times_rate_times_premium():
    timing = due("24 20:00")
    (usual,) = answered(SIXTY, OVERTIME, timing)
    (beyond,) = answered(SIXTY, OVERTIME, replace(timing, overtime=True))
    run, cut = times(beyond, "run"), times(beyond, "cut")
    run_h, cut_h = (run.end_at - at("24 16:00")) / HOUR_S, (cut.end_at - cut.start_at) / HOUR_S
    assert run.start_at < at("24 16:00") < run.end_at == cut.start_at
    assert run.overtime_h == pytest.approx(run_h)
    assert cut.overtime_h == pytest.approx(cut_h)
    # litho 120 an hour, the guillotine 44; half of that more in overtime, in cents
    premium = round((run_h * 120 + cut_h * 44) * 0.5 * 100)
    assert beyond.offer.overtime_cost == premium
    assert beyond.offer.price - usual.offer.price == premium
    assert beyond.offer.cost - usual.offer.cost == premium
    assert dict(beyond.schedule.readiness.overtime_h) == pytest.approx(
        {"litho": run_h, "guillotine": cut_h}, abs=0.001
    )


def test_overtime_is_worked_on_machines_that_need_it_alone():
    """Printed on Tuesday evening, what the guillotine has left to cut can wait until Wednesday."""
    timing = due("25 10:00", overtime=True)
    (found,) = answered(SIXTY, OVERTIME, timing)
    assert found.holds
    assert set(found.schedule.readiness.overtime_h) == {"litho"}
    assert times(found, "cut").start_at == at("25 08:00")


def test_where_usual_shifts_do_nothing_is_paid_for_overtime():
    timing = due("26 10:00", overtime=True)
    (found,) = answered(SIXTY, OVERTIME, timing)
    (usual,) = answered(SIXTY, OVERTIME, replace(timing, overtime=False))
    assert found.holds
    assert dict(found.schedule.readiness.overtime_h) == {}
    assert found.offer.price == usual.offer.price
    assert found.offer.overtime_cost == 0


def test_without_a_due_date_there_is_none():
    for shop, job in ((OVERTIME, SIXTY), (demo(), example("brochure"))):
        allowed = answered(job, shop, replace(NOW, overtime=True))
        usual = answered(job, shop, NOW)
        for beyond, plain in zip(allowed, usual, strict=True):
            assert beyond.schedule == plain.schedule
            assert beyond.offer == plain.offer
            assert beyond.otherwise.would_hold == ()
            assert not any(op.overtime_h for op in beyond.schedule.operations)


def test_where_overtime_is_allowed_it_is_no_remedy_and_no_lot_pays_less_than_the_hours_worked():
    timing = due("24 18:00", overtime=True)
    (found,) = dated = answered(SIXTY, OVERTIME, timing)
    assert not found.holds  # cut until 18:45
    assert "overtime" not in kinds(found)
    check(dated, SIXTY, OVERTIME, timing)


# ---------------------------------------------------------------- one change


def test_rush_work_helps_where_other_work_stands_before_it():
    shop = shop_of(machines={"litho": MachineTime(queue=Queue(hours_ahead=10))})
    job, timing = leaves(8_000), due("24 16:00")
    (found,) = dated = answered(job, shop, timing)
    option = the_only(found, "rush")
    assert option.changes == {"job.rush": True}
    # A quarter of the hours that it takes, and of nothing else: the earliest start is 9:00.
    hours = {op.operation: op.duration for op in found.schedule.operations}
    on_press = 120 * (hours["make_ready"] + hours["run"])
    money = (on_press + 44 * hours["cut"]) * 0.25 * 100
    assert option.dated.price - found.offer.price == pytest.approx(money, abs=10)
    check(dated, job, shop, timing)


def test_no_rush_helps_where_the_press_is_busy():
    shop = shop_of(machines={"litho": MachineTime(queue=Queue(busy_until=at("25 09:00")))})
    job, timing = leaves(8_000), due("24 16:00")
    (found,) = answered(job, shop, timing)
    assert not found.holds
    assert kinds(found) == []
    assert found.otherwise.earliest.ready_at == found.ready_at


def test_a_quicker_proof_helps_where_approval_takes_too_long():
    shop, timing = shop_of(), due("24 16:00")
    job = leaves(8_000, proof="contract")
    (found,) = dated = answered(job, shop, timing)
    options = found.otherwise.would_hold
    assert [(each.kind, each.changes) for each in options] == [
        ("proof", {"job.proof": "soft"}),
        ("proof", {"job.proof": "press"}),
    ]
    assert options[0].because == "soft proof instead of contract"
    check(dated, job, shop, timing)


def test_no_proof_in_place_of_one_that_is_approved_on_a_screen():
    job, shop = leaves(8_000, proof="soft"), shop_of()
    timing = due("24 12:00")  # approved at 13:05
    (found,) = dated = answered(job, shop, timing)
    assert the_only(found, "proof").changes == {"job.proof": "none"}
    check(dated, job, shop, timing)


@pytest.mark.parametrize(("approval_days", "quicker"), [(0.0, True), (None, False)])
def test_in_place_of_a_proof_at_the_press_one_on_a_screen(approval_days, quicker):
    """Half an hour at the press, or 5 minutes and half a working day until it is approved."""
    job, shop = leaves(8_000, proof="press"), shop_of()
    timing = due("24 10:50", approval_days=approval_days)  # 11:03 after a proof at the press
    (found,) = dated = answered(job, shop, timing)
    assert not found.holds
    assert ("proof" in kinds(found)) == quicker
    if quicker:
        assert the_only(found, "proof").changes == {"job.proof": "soft"}
    check(dated, job, shop, timing)


def test_a_drying_aid_helps_where_ink_dries_over_the_night():
    aid = DryingAid(0.125, 3.0)
    shop = shop_of(litho(drying="oxidation"), drying_aid=aid)
    job, timing = leaves(8_000), due("24 16:00")
    (found,) = dated = answered(job, shop, timing)
    option = the_only(found, "drying_aid")
    assert option.changes == {"job.drying_aid": True}
    run = times(found, "run")
    sheets = run.duration * 1_000  # make-ready sheets are paid for too
    assert option.dated.price - found.offer.price >= sheets * 3.0 / 1_000 * 100 - 1
    drying_h = times(found, "drying").duration
    (aided,) = answered(replace(job, drying_aid=True), shop, timing)
    assert times(aided, "drying").duration == pytest.approx(drying_h * 0.125)
    check(dated, job, shop, timing)


def test_a_press_that_the_request_leaves_out_helps():
    shop = shop_of(litho(), plain_toner(per_hour=300))
    job, timing = leaves(8_000), due("24 12:00")
    for filters in ({"only_presses": ("toner",)}, {"only_processes": ("toner",)}):
        (found,) = dated = answered(job, shop, timing, **filters)
        option = the_only(found, "another_press")
        assert option.changes == {"processes": [], "presses": []}
        assert option.dated.press == "litho"
        check(dated, job, shop, timing, **filters)
    (everything,) = answered(job, shop, timing)
    assert everything.holds
    assert everything.offer.price == option.dated.price


# ---------------------------------------------------------------- several changes, two lots


def test_together_where_no_change_is_enough_and_none_too_many():
    """Ten hours of work stand there, and the proof alone takes until Wednesday."""
    shop = shop_of(overtime=EVENINGS, machines={"litho": MachineTime(queue=Queue(hours_ahead=10))})
    job, timing = leaves(8_000, proof="contract"), due("24 16:00")
    (found,) = dated = answered(job, shop, timing)
    option = the_only(found, "together")
    assert set(option.changes) == {"job.rush", "job.proof"}  # overtime would not help
    check(dated, job, shop, timing)


def test_together_with_a_press_left_out_and_overtime():
    shop = shop_of(litho(), plain_toner(per_hour=100), overtime=EVENINGS)
    filters = {"only_presses": ("toner",)}
    timing = due("24 20:00")
    (found,) = dated = answered(SIXTY, shop, timing, **filters)
    option = the_only(found, "together")
    assert set(option.changes) == {"overtime", "processes", "presses"}
    assert dict(option.changes)["processes"] == []
    check(dated, SIXTY, shop, timing, **filters)


def test_two_presses_side_by_side_make_what_neither_can_alone():
    """Both share the guillotine: the first lot is cut while the second is still printed."""
    shop = shop_of(litho(), plain_toner(per_hour=800))
    timing = due("24 16:00")
    (found,) = dated = answered(SIXTY, shop, timing)
    assert kinds(found) == ["split_run", "smaller_first"]
    split, smaller = found.otherwise.would_hold
    assert {lot.dated.press for lot in split.lots} == {"litho", "toner"}
    assert not smaller.lots[1].holds
    check(dated, SIXTY, shop, timing)


def test_as_many_as_can_be_in_time_are_made_first():
    shop, timing = shop_of(), due("24 16:00")
    (found,) = dated = answered(SIXTY, shop, timing)
    assert kinds(found) == ["smaller_first"]
    first, rest = found.otherwise.would_hold[0].lots
    assert (first.holds, rest.holds) == (True, False)
    check(dated, SIXTY, shop, timing)
    # One more would be late.
    for quantity, holds in ((first.quantity, True), (first.quantity + 1, False)):
        (asked,) = answered(leaves(quantity), shop, timing)
        assert asked.holds == holds
    assert rest.dated.ready_at > timing.due_at


def test_the_second_lot_waits_for_the_machines_of_the_first():
    shop, timing = shop_of(), due("24 16:00")
    (found,) = answered(SIXTY, shop, timing)
    first, rest = found.otherwise.would_hold[0].lots
    (one,) = answered(leaves(first.quantity), shop, timing)
    busy = {op.machine: Queue(busy_until=op.end_at) for op in one.schedule.operations if op.machine}
    (two,) = answered(leaves(rest.quantity), shop, replace(timing, queues=busy))
    assert (two.offer.price, two.ready_at) == (rest.dated.price, rest.dated.ready_at)


def test_nothing_helps_where_a_single_leaf_is_late():
    (found,) = answered(leaves(1), shop_of(), due("24 09:01"))
    assert not found.holds
    assert found.otherwise.would_hold == ()


# ---------------------------------------------------------------- where it holds


def test_where_the_due_date_holds_nothing_is_told():
    shop = shop_of(overtime=EVENINGS, drying_aid=DryingAid(0.5, 1.0))
    job = leaves(1_000, 60_000)
    (small, large) = dated = answered(job, shop, due("24 16:00"))
    assert small.holds
    assert small.otherwise.would_hold == ()
    assert small.otherwise.earliest is small.otherwise.too_late is None
    assert not large.holds
    assert large.otherwise.would_hold
    check(dated, job, shop, due("24 16:00"))
    exact = replace(NOW, due_at=small.ready_at)
    assert answered(leaves(1_000), shop, exact)[0].holds
    assert not answered(leaves(1_000), shop, replace(NOW, due_at=small.ready_at - 1))[0].holds


def test_what_is_dearer_and_in_time_needs_no_remedy():
    """20,000 are cheapest on toner, which takes until Wednesday; litho is in time."""
    shop, job = shop_of(litho(), plain_toner(per_hour=300)), leaves(20_000)
    (cheapest,) = answered(job, shop, NOW)
    (found,) = answered(job, shop, due("24 16:00"))
    assert found.holds
    assert found.ready_at < at("24 16:00") < cheapest.ready_at
    assert found.offer.price > cheapest.offer.price
    too_late = found.otherwise.too_late
    assert (too_late.press, too_late.price) == ("toner", cheapest.offer.price)
    assert too_late.ready_at == cheapest.ready_at
    assert found.otherwise.would_hold == ()


# ---------------------------------------------------------------- the demo plant, random ones


DEMO = [
    ("brochure", "25 16:00", {}, ("proof", "together")),
    ("business_cards", "24 14:00", {}, ("proof", "rush")),
    ("programme_with_insert", "25 09:00", {}, ("overtime", "rush", "smaller_first")),
    ("rush_booklets", "25 10:00", {}, ("overtime", "smaller_first")),
    ("invitation", "26 12:00", {"only_processes": ("letterpress",)}, ()),
]


@pytest.mark.parametrize(("name", "due_text", "filters", "told"), DEMO, ids=lambda x: str(x)[:24])
def test_what_the_demo_plant_tells_is_true(name, due_text, filters, told):
    job, timing = example(name), due(due_text)
    dated = answered(job, demo(), timing, **filters)
    assert set(told) <= {kind for each in dated for kind in kinds(each)}
    check(dated, job, demo(), timing, **filters)


slow = settings(
    deadline=None,
    max_examples=12,
    suppress_health_check=[
        HealthCheck.too_slow,
        HealthCheck.data_too_large,
        HealthCheck.filter_too_much,
    ],
)


@slow
@given(dated_shops_and_jobs(), st.integers(1, 3_000), st.integers(1, 9), st.booleans())
def test_what_random_plants_tell_is_true(made, quantity, tenth, evenings):
    shop, job, timing = made
    if evenings:
        late = (Shift(frozenset(range(7)), 22 * 60, 1440),)
        shop = replace(shop, time=replace(shop.time, overtime=late))
    job = replace(job, quantities=(quantity,))
    usual = answered(job, shop, replace(timing, due_at=None))
    assume(usual)
    assume(usual[0].ready_at is not None)
    span = usual[0].ready_at - timing.as_of
    timing = replace(timing, due_at=timing.as_of + span * tenth // 10)
    check(answered(job, shop, timing), job, shop, timing)
