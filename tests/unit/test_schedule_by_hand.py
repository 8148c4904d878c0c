"""Whole schedules worked out by hand: shifts, nights, queues, carriers, and what decides.

The routes are those of by_hand.py: half an hour of make-ready, an hour of running, 12 minutes of
washing up. Unless a test says otherwise, work is asked for on Tuesday, 24 November 2026, at 9:00
in a plant that works from 8 to 16 o'clock, Monday to Friday, UTC.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from itertools import pairwise, permutations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from by_hand import (
    DESK,
    DIES,
    HOUR_S,
    PLATES,
    at,
    by_id,
    made,
    on_the_clock,
    route,
    sent_out,
    step,
    timed,
)
from shop import NOW, plant
from sidelay.plant_time import Dispatch, MachineTime, Queue
from sidelay.public_holidays import Holidays
from sidelay.queues import kingman_wait_h
from sidelay.timing import Timing
from sidelay.working_time import Shift, Stoppage

EVERY_DAY = frozenset(range(7))
WEEKDAYS = frozenset(range(5))
CASES = json.loads(
    (Path(__file__).parents[1] / "reference" / "cases" / "sequences.json").read_text()
)


def asked(text: str, **figures) -> Timing:
    return Timing(at(text), **figures)


def ready(*parts, **wanted) -> int | None:
    return on_the_clock(*parts, **wanted).readiness.ready_at


def span(schedule, name) -> tuple[int, int]:
    op = by_id(schedule)[name]
    return op.start_at, op.end_at


def between(start: str, end: str) -> tuple[int, int]:
    return at(start), at(end)


# ---------------------------------------------------------------- shifts and nights


def test_a_run_that_fits_into_the_shift():
    found = on_the_clock(route())
    assert span(found, "leaf/make_ready") == between("24 09:00", "24 09:30")
    assert span(found, "leaf/run") == between("24 09:30", "24 10:30")
    assert span(found, "leaf/wash_up") == between("24 10:30", "24 10:42")
    assert found.readiness.ready_at == at("24 10:30")  # nobody waits for the wash-up


def test_over_the_end_of_a_shift_work_goes_on_in_the_next_one():
    found = on_the_clock(route(), timing=asked("24 15:00"))
    assert span(found, "leaf/run") == between("24 15:30", "25 08:30")
    assert found.readiness.ready_at == at("25 08:30")


def test_and_over_the_weekend():
    assert ready(route(), timing=asked("27 15:00")) == at("30 08:30")
    # Asked on Saturday: from Monday on.
    assert ready(route(), timing=asked("28 11:00")) == at("30 09:30")


def test_a_run_that_ends_with_the_shift_is_ready_then():
    found = on_the_clock(route(), timing=asked("24 14:30"))
    assert found.readiness.ready_at == at("24 16:00")
    assert span(found, "leaf/wash_up") == between("25 08:00", "25 08:12")


def test_nobody_works_in_the_break():
    half_days = (Shift(WEEKDAYS, 8 * 60, 10 * 60), Shift(WEEKDAYS, 13 * 60, 17 * 60))
    assert ready(route(), shop=timed(shifts=half_days)) == at("24 13:30")


def test_ink_dries_over_the_night():
    fold = step()  # 1.2 hours
    found = on_the_clock(route(drying_h=6, steps=[fold]))
    assert span(found, "leaf/drying") == between("24 10:30", "24 16:30")
    assert span(found, "leaf/fold") == between("25 08:00", "25 09:12")
    # What is dry in the shift is folded in it as far as that goes.
    found = on_the_clock(route(drying_h=5, steps=[fold]))
    assert span(found, "leaf/fold") == between("24 15:30", "25 08:42")


def test_what_ends_with_drying_is_ready_when_the_plant_opens():
    assert ready(route(drying_h=2)) == at("24 12:30")
    assert ready(route(drying_h=5.5)) == at("25 08:00")  # dry at 16:00, when everyone leaves
    assert ready(route(drying_h=10)) == at("25 08:00")
    assert ready(route(drying_h=10), timing=asked("27 09:00")) == at("30 08:00")


def test_backing_up_waits_for_half_the_drying_while_another_part_is_printed():
    """The text's first side dries while the cover is on the press; every order is tried."""
    text = route(name="text", style="sheetwise", drying_h=6, run={"passes": 2})
    found = on_the_clock(text, route(name="cover"))
    assert span(found, "text/run") == between("24 09:30", "24 10:30")
    assert span(found, "text/drying_between") == between("24 10:30", "24 13:30")
    assert span(found, "cover/make_ready") == between("24 10:30", "24 11:00")
    assert span(found, "cover/run") == between("24 11:00", "24 12:00")
    assert span(found, "text/backing_up") == between("24 13:30", "24 14:30")
    assert span(found, "text/drying") == between("24 14:30", "24 20:30")
    assert found.readiness.ready_at == at("25 08:00")


# ---------------------------------------------------------------- machines


def test_two_parts_on_one_press_go_one_after_the_other():
    found = on_the_clock(route(name="text"), route(name="cover"))
    assert span(found, "text/wash_up") == between("24 10:30", "24 10:42")
    assert span(found, "cover/make_ready") == between("24 10:42", "24 11:12")
    assert found.readiness.ready_at == at("24 12:12")


def test_and_on_two_presses_side_by_side():
    found = on_the_clock(route(name="text"), route("press_b", name="cover"))
    assert span(found, "text/run") == span(found, "cover/run") == between("24 09:30", "24 10:30")


def test_the_part_that_takes_longest_afterwards_is_printed_first():
    """Johnson, by hand: text 1.5 h + nothing, cover 1.5 h + 1.2 h of folding."""
    found = on_the_clock(route(name="text"), route(name="cover", steps=[step()]))
    assert span(found, "cover/run") == between("24 09:30", "24 10:30")
    assert found.readiness.ready_at == at("24 12:12")  # else 10:42 + 1.5 + 1.2 = 13:24


def test_copies_are_bound_when_the_last_part_is_there():
    found = on_the_clock(
        route(name="text", drying_h=4),
        route("press_b", name="cover"),
        copies=[step("perfect_bind", unit="copy")],
    )
    assert span(found, "copies/perfect_bind") == between("24 14:30", "24 15:42")


def test_a_machine_has_shifts_of_its_own():
    early = MachineTime(shifts=(Shift(WEEKDAYS, 6 * 60, 22 * 60),))
    shop = timed(machines={"press_a": early})
    found = on_the_clock(route(steps=[step()]), shop=shop, timing=asked("24 15:00"))
    assert span(found, "leaf/run") == between("24 15:30", "24 16:30")
    assert span(found, "leaf/fold") == between("25 08:00", "25 09:12")
    assert ready(route(), shop=shop, timing=asked("24 04:00")) == at("24 07:30")
    assert ready(route("press_b"), shop=shop, timing=asked("24 04:00")) == at("24 09:30")


def test_nothing_is_printed_while_the_press_is_serviced():
    stop = Stoppage(at("24 10:00"), at("24 11:00"), "rollers")
    shop = timed(machines={"press_a": MachineTime(maintenance=(stop,))})
    found = on_the_clock(route(), shop=shop)
    assert span(found, "leaf/run") == between("24 09:30", "24 11:30")
    assert ready(route("press_b"), shop=shop) == at("24 10:30")


def test_a_machine_that_works_at_night_takes_over_what_comes_in_the_evening():
    night = MachineTime(shifts=(Shift(WEEKDAYS, 22 * 60, 6 * 60),))
    shop = timed(machines={"folder": night})
    found = on_the_clock(route(steps=[step()]), shop=shop, timing=asked("27 09:00"))
    assert span(found, "leaf/fold") == between("27 22:00", "27 23:12")  # Friday night


# ---------------------------------------------------------------- what is waited for


def test_plates_are_there_two_working_days_after_they_are_ordered():
    found = on_the_clock(route(charges=[PLATES]))
    # An hour of Tuesday's eight is over at 9:00, so it is on Thursday at 9:00.
    assert span(found, "leaf/carriers") == between("24 09:00", "26 09:00")
    assert found.readiness.ready_at == at("26 10:30")
    weekend = on_the_clock(route(charges=[PLATES]), timing=asked("26 09:00"))
    assert span(weekend, "leaf/carriers") == between("26 09:00", "30 09:00")


def test_a_proof_is_approved_within_working_days():
    found = on_the_clock(route(), shop=plant(prepress=DESK), proof="contract")
    assert span(found, "leaf/artwork_check") == between("24 09:00", "24 09:15")
    assert span(found, "leaf/imposition") == between("24 09:15", "24 09:21")
    assert span(found, "leaf/proof") == between("24 09:21", "24 09:37")
    assert span(found, "leaf/approval") == between("24 09:37", "25 09:37")
    assert found.readiness.ready_at == at("25 11:07")


def test_dies_come_while_the_proof_is_with_the_customer():
    found = on_the_clock(route(charges=[DIES]), shop=plant(prepress=DESK), proof="contract")
    assert span(found, "leaf/dies") == between("24 09:15", "27 09:15")
    assert found.readiness.ready_at == at("27 10:45")
    assert not by_id(found)["leaf/approval"].critical


def test_the_desk_takes_one_part_after_the_other_before_either_is_printed():
    found = on_the_clock(
        route(name="text"), route("press_b", name="cover"), shop=plant(prepress=DESK)
    )
    assert span(found, "cover/artwork_check") == between("24 09:21", "24 09:36")
    assert span(found, "cover/make_ready") == between("24 09:42", "24 10:12")
    assert span(found, "text/make_ready") == between("24 09:21", "24 09:51")


def test_work_sent_out_late_comes_back_so_many_working_days_on():
    found = on_the_clock(route(steps=[sent_out(lead_days=1.5)]))
    # From 10:30 on Tuesday (2.5 of 8 hours) to 14:30 on Wednesday (6.5 of 8).
    assert span(found, "leaf/varnish") == between("24 10:30", "25 14:30")


# ---------------------------------------------------------------- queues


def queued(**figures):
    """A press at which something stands."""
    return timed(machines={"press_a": MachineTime(queue=Queue(**figures), mean_job_h=2.0)})


BUSY = {"busy_until": at("24 12:00")}
AHEAD = {"hours_ahead": 10.0}
UTILISED = {"utilisation": 0.75}


def test_a_press_is_free_when_it_is_told_to_be():
    found = on_the_clock(route(), shop=queued(**BUSY))
    assert span(found, "leaf/make_ready") == between("24 12:00", "24 12:30")
    assert ready(route(), shop=queued(busy_until=at("23 12:00"))) == at("24 10:30")


def test_hours_ahead_are_hours_of_the_shifts_of_the_press():
    # 7 of the 10 hours until 16:00 on Tuesday, 3 more on Wednesday.
    assert ready(route(), shop=queued(**AHEAD)) == at("25 12:30")
    day_and_night = replace(
        queued(**AHEAD).time.machines["press_a"], shifts=(Shift(EVERY_DAY, 0, 1440),)
    )
    assert ready(route(), shop=timed(machines={"press_a": day_and_night})) == at("24 20:30")


def test_hours_ahead_run_while_the_plates_are_made():
    """The work that stands there is done meanwhile; only then does the job come to the press."""
    assert ready(route(charges=[PLATES]), shop=queued(**AHEAD)) == at("26 10:30")


def test_a_press_that_is_busy_so_much_makes_the_job_wait_once_it_is_there():
    """Kingman: 1 x 0.75 / 0.25 x 2 h = 6 h."""
    assert kingman_wait_h(0.75, 2.0, 1.0) == pytest.approx(6.0)
    found = on_the_clock(route(charges=[PLATES]), shop=queued(**UTILISED))
    assert span(found, "leaf/queue_press_a") == between("26 09:00", "26 15:00")
    assert span(found, "leaf/make_ready") == between("26 15:00", "26 15:30")
    assert span(found, "leaf/run") == between("26 15:30", "27 08:30")
    assert by_id(found)["leaf/queue_press_a"].critical
    assert "0.75 / (1 - 0.75) x 2 h" in by_id(found)["leaf/queue_press_a"].because


def test_parts_queue_side_by_side_at_a_machine_and_queueing_does_not_take_it():
    found = on_the_clock(route(name="text"), route(name="cover"), shop=queued(**UTILISED))
    queues = [op for op in found.operations if op.operation == "queue"]
    assert [(op.start_at, op.end_at) for op in queues] == 2 * [between("24 09:00", "24 15:00")]
    # 15:00, 1.5 h, 0.2 h washing up, 1.5 h: to 8:00 + 2.2 h
    assert found.readiness.ready_at == at("25 10:12")


@pytest.mark.parametrize(
    ("queue", "usual", "rush"),
    [
        (BUSY, "24 13:30", "24 13:30"),
        (AHEAD, "25 12:30", "24 10:30"),
        (UTILISED, "25 08:30", "24 10:30"),
    ],
)
def test_rush_work_goes_before_what_waits_but_takes_no_press_from_under_a_job(queue, usual, rush):
    assert ready(route(), shop=queued(**queue)) == at(usual)
    assert ready(route(), shop=queued(**queue), rush=True) == at(rush)


def test_what_the_request_says_of_a_queue_holds_instead_of_the_plant_file():
    told = replace(NOW, queues={"press_a": Queue()})
    assert ready(route(), shop=queued(**AHEAD), timing=told) == at("24 10:30")
    told = replace(NOW, queues={"press_a": Queue(**BUSY)})
    assert ready(route(), shop=queued(**AHEAD), timing=told) == at("24 13:30")
    other = replace(NOW, queues={"press_b": Queue(**BUSY)})
    assert ready(route(), shop=queued(**AHEAD), timing=other) == at("25 12:30")


# ---------------------------------------------------------------- to the customer


def delivered(text: str = "24 09:00") -> Timing:
    return asked(text, delivered=True)


def test_what_is_packed_by_the_cut_off_leaves_the_same_day():
    found = on_the_clock(route(), timing=delivered("24 13:30"))
    assert by_id(found)["leaf/run"].end_at == at("24 15:00")
    assert by_id(found)["copies/dispatch"].end_at == at("24 15:00")
    assert found.readiness.ready_at == at("25 12:00")


def test_a_second_later_it_leaves_the_day_after():
    late = Timing(at("24 13:30") + 1, delivered=True)
    found = on_the_clock(route(), timing=late)
    assert by_id(found)["copies/dispatch"].end_at == at("25 15:00")
    assert found.readiness.ready_at == at("26 12:00")


@pytest.mark.parametrize(
    ("asked_at", "days", "by_min", "arrives"),
    [
        ("25 09:00", 1, 720, "26 12:00"),
        ("26 09:00", 2, 720, "30 12:00"),  # Friday, Monday
        ("27 09:00", 1, 720, "30 12:00"),
        ("27 15:00", 1, 720, "D01 12:00"),  # done on Monday
        ("24 09:00", 0, 18 * 60, "24 18:00"),
        ("24 09:00", 0, 720, "25 12:00"),  # it cannot arrive before it has left
    ],
)
def test_delivery_days_are_days_on_which_the_carrier_comes(asked_at, days, by_min, arrives):
    shop = timed(dispatch=Dispatch(delivery_days=days, delivered_by_min=by_min))
    assert ready(route(), shop=shop, timing=delivered(asked_at)) == at(arrives)


def test_nothing_is_delivered_on_a_public_holiday_but_on_a_day_the_plant_is_closed():
    """Thanksgiving Day is the fourth Thursday of November (5 U.S.C. 6103): the 26th."""
    holiday = timed(holidays=Holidays("US"))
    assert ready(route(), shop=holiday, timing=delivered("25 09:00")) == at("27 12:00")
    closed = timed(closed_days={date(2026, 11, 26): "stocktaking"})
    assert ready(route(), shop=closed, timing=delivered("25 09:00")) == at("26 12:00")
    # Neither of them prints that day.
    for shop in (holiday, closed):
        assert ready(route(), shop=shop, timing=asked("25 15:00")) == at("27 08:30")


def test_what_dries_until_after_the_cut_off_leaves_the_day_after():
    """At 15:00, and at 15:06: the carrier's own clock, also where other things go on by day."""
    assert ready(route(drying_h=4.5), timing=delivered()) == at("25 12:00")
    assert ready(route(drying_h=4.6), timing=delivered()) == at("26 12:00")


def test_the_carrier_comes_on_its_days_whatever_else_is_counted_in_working_days():
    """Plates until Thursday 9:00, printed until 10:30, delivered on Friday at noon."""
    found = on_the_clock(route(charges=[PLATES]), timing=delivered())
    assert by_id(found)["copies/dispatch"].end_at == at("26 15:00")
    assert found.readiness.ready_at == at("27 12:00")


# ---------------------------------------------------------------- never


def test_what_never_dries_is_never_ready_and_says_so():
    for hours_ in (10_000.0, float("inf")):
        found = on_the_clock(route(drying_h=hours_), shop=timed(horizon_days=90)).readiness
        assert found.ready_at is None
        assert found.because["ready_at"] == (
            "leaf/drying does not end within 90 days, which is as far as this plant's calendar is "
            "looked at"
        )
        assert found.hours == 90 * 24


def test_what_ends_soon_after_the_horizon_is_never_ready_either():
    """The calendar is compiled a little further; the request does not look there."""
    job = route(drying_h=24 * 4)  # dry on Saturday at 10:30, 4 days and 1.5 hours after the clock
    assert ready(job, shop=timed(horizon_days=6)) == at("30 08:00")
    found = on_the_clock(job, shop=timed(horizon_days=5)).readiness
    assert found.ready_at is None
    assert found.because["ready_at"].startswith("leaf/drying does not end within 5 days")


def test_a_press_that_is_never_free():
    found = on_the_clock(route(), shop=queued(hours_ahead=1e6)).readiness
    assert found.ready_at is None
    assert found.because["ready_at"].startswith("a machine is not free within 400 days")
    found = on_the_clock(route(), shop=queued(busy_until=at("24 09:00") + 10**9)).readiness
    assert found.because["ready_at"].startswith("leaf/make_ready does not end within 400 days")


def test_one_quantity_can_be_in_time_and_a_larger_one_never():
    on_clock, combo = made(route(), shop=timed(horizon_days=30), quantities=(1000, 10**6))
    assert on_clock.ready_at(combo, 0) == at("24 10:30")
    assert on_clock.ready_at(combo, 1) is None  # a thousand hours: 25 weeks


# ---------------------------------------------------------------- slack, the path, the figures


def test_what_can_be_later_by_how_much():
    found = by_id(
        on_the_clock(
            route(name="text", steps=[step()]),  # ready at 11:42
            route("press_b", name="cover"),  # at 10:30
            copies=[step("perfect_bind", unit="copy")],
        )
    )
    slack = {name: op.slack_h for name, op in found.items() if "wash" not in name}
    assert slack == {
        "text/make_ready": 0,
        "text/run": 0,
        "text/fold": 0,
        "copies/perfect_bind": 0,
        "cover/make_ready": 1.2,
        "cover/run": 1.2,
    }
    assert [name for name, op in found.items() if op.critical] == [
        "text/make_ready",
        "text/run",
        "text/fold",
        "copies/perfect_bind",
    ]
    # Bound until 12:54; washing up is not waited for, and takes 0.2 h from 10:30 on.
    assert found["text/wash_up"].slack_h == pytest.approx(2.2)


def test_slack_is_counted_on_the_clock_of_the_operation():
    found = by_id(
        on_the_clock(
            route(name="text", drying_h=6, steps=[step()]),
            route("press_b", name="cover"),
            copies=[step("perfect_bind", unit="copy")],
        )
    )
    # Bound from 9:12 on Wednesday: the cover has 5.5 h on Tuesday and 1.2 on Wednesday left.
    assert found["copies/perfect_bind"].start_at == at("25 09:12")
    assert found["cover/run"].slack_h == pytest.approx(6.7)
    # Dry at 16:30, needed at 8:00; the press could run until 16:00 and no later: 5.5 h.
    assert found["text/drying"].slack_h == pytest.approx(15.5)
    assert found["text/drying"].critical
    assert found["text/run"].slack_h == pytest.approx(5.5)


def test_a_press_washed_up_for_the_next_part_cannot_wait():
    found = by_id(on_the_clock(route(name="text"), route(name="cover")))
    assert found["text/wash_up"].slack_h == 0
    assert found["text/wash_up"].critical
    assert not found["cover/wash_up"].critical


def test_the_figures_of_a_plain_job():
    found = on_the_clock(
        route(charges=[PLATES], drying_h=6, steps=[step()]), timing=asked("24 15:00")
    ).readiness
    # Plates on Thursday at 15:00; printed until Friday 8:30; dry at 14:30; folded until 15:42.
    assert found.ready_at == at("27 15:42")
    assert (found.work_h, found.drying_h, found.lead_days) == (2.7, 6.0, 2.0)
    assert found.hours == 72.7
    assert found.waiting_h == 16.0  # Thursday's night
    assert found.because["lead_days"].startswith("leaf/carriers 2 d, 48.0 h")
    assert found.because["ready_at"] == (
        "what decides: leaf/carriers, leaf/make ready, leaf/run, leaf/drying, leaf/fold"
    )


def test_waiting_is_in_the_queue_and_at_night():
    found = on_the_clock(route(), shop=queued(**UTILISED)).readiness
    assert (found.hours, found.work_h) == (23.5, 1.5)  # from 9:00 to 8:30
    assert found.waiting_h == 22.0
    assert "6.00 h in the queue at press_a" in found.because["waiting_h"]


def figures_add_up(schedule) -> None:
    """Hours are those of work, drying, waiting and what is waited for; the path has no gaps."""
    told, ops = schedule.readiness, schedule.operations
    path = [op for op in ops if op.critical]
    lead_h = sum(op.end_at - op.start_at for op in path if op.clock == "working_days") / HOUR_S
    assert told.hours == pytest.approx(
        told.work_h + told.drying_h + told.waiting_h + lead_h, abs=0.003
    )
    assert told.waiting_h >= 0
    work = [op for op in path if op.clock == "shift" and op.operation != "queue"]
    assert told.work_h == pytest.approx(sum(op.duration for op in work), abs=0.001 * len(ops))
    drying = [op.duration for op in path if op.operation == "drying"]
    assert told.drying_h == pytest.approx(sum(drying), abs=0.001 * len(ops))
    ids = {op.id: op for op in ops}
    for op in ops:
        for before in op.after:
            assert before not in ids or ids[before].end_at <= op.start_at
        if op.operation != "wash_up":
            assert op.slack_h >= 0
    for machine in {op.machine for op in ops} - {""}:
        taken = sorted(
            (op.start_at, op.end_at)
            for op in ops
            if op.machine == machine and op.operation != "queue"
        )
        assert all(one[1] <= other[0] for one, other in pairwise(taken))


@settings(max_examples=60)
@given(st.data())
def test_the_figures_of_any_job_add_up(data):
    number = data.draw(st.integers(1, 3))
    quarters = st.integers(0, 40).map(lambda n: n / 4)
    parts = [
        route(
            data.draw(st.sampled_from(["press_a", "press_b"])),
            [PLATES] if data.draw(st.booleans()) else (),
            data.draw(st.sampled_from([[], [step()], [step("cut"), sent_out()], [sent_out()]])),
            f"part{n}",
            drying_h=data.draw(quarters),
            run={"passes": data.draw(st.integers(1, 3))},
            style=data.draw(st.sampled_from(["one_side", "sheetwise"])),
        )
        for n in range(number)
    ]
    copies = data.draw(st.sampled_from([[], [step("band", unit="copy")]]))
    queue = data.draw(st.sampled_from([{}, BUSY, AHEAD, UTILISED]))
    timing = asked("24 09:00", delivered=data.draw(st.booleans()))
    shop = replace(queued(**queue), prepress=data.draw(st.sampled_from([None, DESK])))
    proof = data.draw(st.sampled_from(["none", "soft", "contract", "press"]))
    schedule = on_the_clock(*parts, copies=copies, shop=shop, timing=timing, proof=proof)
    assert schedule.readiness.ready_at is not None
    figures_add_up(schedule)


# ---------------------------------------------------------------- overtime


LATE = (Shift(WEEKDAYS, 16 * 60, 20 * 60),)


def test_overtime_is_worked_where_it_is_asked_and_nowhere_else():
    shop = timed(overtime=LATE)
    job = route(steps=[step()])
    found = on_the_clock(job, shop=shop, timing=asked("24 15:00"), overtime=frozenset(["press_a"]))
    assert span(found, "leaf/run") == between("24 15:30", "24 16:30")
    assert span(found, "leaf/fold") == between("25 08:00", "25 09:12")
    assert dict(found.readiness.overtime_h) == {"press_a": 0.7}  # 0.5 of the run, 0.2 of wash-up
    # 120 an hour, half of it for the premium
    assert found.overtime_money == pytest.approx(0.7 * 120 * 0.5)
    both = on_the_clock(
        job, shop=shop, timing=asked("24 15:00"), overtime=frozenset(["press_a", "folder"])
    )
    assert span(both, "leaf/fold") == between("24 16:30", "24 17:42")
    assert both.overtime_money == pytest.approx(0.5 * (0.7 * 120 + 1.2 * 46))


def test_in_usual_shifts_there_is_no_overtime():
    found = on_the_clock(route(), shop=timed(overtime=LATE), overtime=frozenset(["press_a"]))
    assert dict(found.readiness.overtime_h) == {}
    assert found.overtime_money == 0


# ---------------------------------------------------------------- orders of parts


TWO_MACHINES = [case for case in CASES if case["topic"] == "two-machine flow shop"]
ROUND_THE_CLOCK = timed(shifts=(Shift(EVERY_DAY, 0, 1440),))


def flow_parts(times):
    """Parts that are printed on one press and folded on one folder, so many hours each."""
    return [
        route(
            name=name,
            run={"make_ready_min": 0, "wash_up_min": 0, "cycles_per_hour": 1000 / on_press},
            steps=[step(set_up_min=0, minutes=60 * folded, per=1000)],
        )
        for name, (on_press, folded) in times.items()
    ]


def makespan_h(times) -> float:
    ready_at = ready(*flow_parts(times), shop=ROUND_THE_CLOCK)
    return (ready_at - NOW.as_of) / HOUR_S


def least_of_all_orders(times) -> float:
    """The makespan of the best order, each job on the press and then on the folder."""
    best = float("inf")
    for order in permutations(times.values()):
        press = folder = 0.0
        for on_press, folded in order:
            press += on_press
            folder = max(press, folder) + folded
        best = min(best, folder)
    return best


@pytest.mark.parametrize("case", TWO_MACHINES, ids=lambda case: case["id"])
def test_parts_go_through_press_and_folder_as_soon_as_published(case):
    """Makespans of published two-machine flow shops; each case names its source.

    Of SEQ-01 and SEQ-02 the pages print the end on the first machine; the case says why that is a
    slip, and has the makespan of the printed order beside it.
    """
    told = (case["expected"] | case.get("corrected", {}))["makespan"]["value"]
    assert makespan_h(case["inputs"]["times"]) == pytest.approx(told, abs=1e-6)


@pytest.mark.parametrize("case", TWO_MACHINES, ids=lambda case: case["id"])
@pytest.mark.parametrize("jobs", [2, 3, 4])
def test_of_up_to_four_parts_the_best_of_all_orders_is_found(case, jobs):
    times = dict(list(case["inputs"]["times"].items())[:jobs])
    assert makespan_h(times) == pytest.approx(least_of_all_orders(times), abs=1e-6)


@pytest.mark.parametrize("case", TWO_MACHINES, ids=lambda case: case["id"])
def test_of_more_parts_johnsons_order_is_among_those_tried(case):
    times = case["inputs"]["times"]
    told = case["expected"]["one_optimal_order"]["value"].split("-")
    on_clock, combo = made(*flow_parts(times), shop=ROUND_THE_CLOCK)
    printed = [
        [op.part for op in sequence.ops if op.operation == "run"]
        for sequence in on_clock.sequences(combo)
    ]
    assert told in printed
    assert list(times) in printed  # as given
