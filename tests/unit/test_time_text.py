"""When offers are ready, in words: moments, the due date, what is cheaper or sooner, schedules."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop import EXAMPLES, clock
from sidelay.http.app import create_app
from sidelay.tables import comparison_text, estimate_text
from sidelay.time_text import (
    clock_lines,
    due_of_choices,
    due_of_estimates,
    marked_cell,
    ready_cell,
    ready_heads,
    schedule_table,
    schedule_tables,
    trade_off_table,
)
from sidelay.trace_text import trace_text

NOON = "2026-11-26T12:00:00+00:00"
CLOCK = {"as_of": "2026-11-24T09:00:00+00:00", "given": True, "time_zone": "Europe/Dublin"}
IN_TIME = {"too_late": None, "earliest": None, "would_hold": []}


def due(slack_h: float | None, at: str = NOON) -> dict[str, Any]:
    return {"asked_at": at, "holds": slack_h is not None and slack_h >= 0, "slack_h": slack_h}


def offer(ready_at: str | None = "2026-11-26T09:36:00+00:00", **members: Any) -> dict[str, Any]:
    given = {"quantity": 1000, "ready_at": ready_at, "due": due(2.4), "overtime": None}
    return given | {"otherwise": IN_TIME} | members


def short(net: str, press: str, ready_at: str | None, **members: Any) -> dict[str, Any]:
    given = {"process": "toner", "press": press, "net": net, "currency": "EUR"}
    return given | {"ready_at": ready_at} | members


def would(kind: str, changes: dict[str, Any], **members: Any) -> dict[str, Any]:
    told = {"kind": kind, "more": "38.10", "changes": changes, "lots": [], "because": "1 h of it"}
    return short("1512.40", "toner_a3", "2026-11-26T11:00:00+00:00") | told | members


def estimates(*offers: dict[str, Any]) -> dict[str, Any]:
    return {"clock": CLOCK, "estimates": list(offers)}


def quantities(*asked: dict[str, Any]) -> dict[str, Any]:
    return {"clock": CLOCK, "quantities": list(asked)}


def at(quantity: int, *choices: dict[str, Any], **members: Any) -> dict[str, Any]:
    given = {"quantity": quantity, "choices": list(choices), "otherwise": IN_TIME, "trade_off": []}
    return given | members


def told(found: dict[str, Any]) -> str:
    """What is said of the one estimate, its lines as one."""
    wanted, *lines = due_of_estimates(estimates(found))
    assert wanted == "Wanted by Thu 26 Nov 12:00."
    return " ".join(" ".join(lines).split())


# ---------------------------------------------------------------- moments


@pytest.mark.parametrize(
    ("members", "line"),
    [
        ({}, "Reckoned at Tue 24 Nov 2026 09:00 (Europe/Dublin), as asked."),
        (
            {"given": False, "as_of": "2026-07-01T00:00:07+01:00"},
            "Reckoned at Wed 1 Jul 2026 00:00:07 (Europe/Dublin), the time of the request.",
        ),
    ],
)
def test_the_clock_is_told_to_the_second_and_whose_it_is(members, line):
    assert clock_lines({"clock": CLOCK | members}) == [line]


def test_an_answer_without_a_clock_has_no_line_and_no_column():
    assert clock_lines({}) == []
    assert ready_heads({}, [offer()]) == ()
    assert ready_heads({"clock": CLOCK}, [offer(), {"quantity": 5}]) == ()
    assert ready_heads({"clock": CLOCK}, [offer()]) == ("Ready",)


@pytest.mark.parametrize(
    ("ready_at", "cell"),
    [
        ("2026-12-01T15:40:00+00:00", "Tue 1 Dec 15:40"),
        ("2026-12-01T15:40:01+00:00", "Tue 1 Dec 15:41"),
        # By the clocks of the plant, whatever UTC has: in Dublin this is still the 1st.
        ("2026-07-01T23:59:30+01:00", "Thu 2 Jul 00:00"),
        ("2026-12-31T23:59:59+00:00", "1 Jan 2027 00:00"),
        ("2027-01-04T08:00:00+00:00", "4 Jan 2027 08:00"),
        ("2026-12-01T15:40:00Z", "Tue 1 Dec 15:40"),
        (None, "never"),
    ],
)
def test_moments_are_short_and_never_sooner_than_they_are(ready_at, cell):
    assert ready_cell({"clock": CLOCK}, offer(ready_at)) == cell


# Moments of requests and plant files lie in these years.
@given(st.datetimes(datetime(2000, 1, 1), datetime(2199, 12, 31)))
def test_no_moment_takes_more_than_a_column_and_none_is_empty(moment):
    cell = ready_cell({"clock": CLOCK}, offer(f"{moment.replace(microsecond=0).isoformat()}+00:00"))
    assert 14 <= len(cell) <= 17


def test_choices_that_are_late_have_a_mark_and_the_others_room_for_it():
    early, late = offer(), offer("2026-11-27T13:49:00+00:00", due=due(-25.8))
    answer = quantities(at(10, early, late))
    assert marked_cell(answer, early) == "Thu 26 Nov 09:36 "
    assert marked_cell(answer, late) == "Fri 27 Nov 13:49*"
    assert marked_cell(quantities(at(10, early)), early) == "Thu 26 Nov 09:36"
    nobody_waits = offer(due=None)
    assert marked_cell(quantities(at(10, nobody_waits)), nobody_waits) == "Thu 26 Nov 09:36"


# ---------------------------------------------------------------- the due date


def test_without_a_due_date_nothing_is_told():
    assert due_of_estimates(estimates(offer(due=None))) == []
    assert due_of_estimates(estimates({"quantity": 5})) == []
    assert due_of_estimates(estimates()) == []
    assert due_of_choices(quantities(at(5, offer(due=None)), at(9))) == []


@pytest.mark.parametrize(
    ("slack_h", "stands"),
    [
        (4.2, "in time by 4.2 h."),
        (1234.56, "in time by 1,234.6 h."),
        (1.0, "in time by 1.0 h."),
        (0.033, "in time by 2 min."),
        (0.0, "in time by less than a minute."),
        (-0.003, "late by less than a minute. Nothing that was tried makes it hold."),
        (-0.5, "late by 30 min. Nothing that was tried makes it hold."),
        (-20.1, "late by 20.1 h. Nothing that was tried makes it hold."),
        (None, "never ready, as far as can be reckoned. Nothing that was tried makes it hold."),
    ],
)
def test_how_an_offer_stands_to_the_due_date(slack_h, stands):
    assert told(offer(due=due(slack_h))) == f"1,000: {stands}"


def test_what_is_wanted_in_another_year_has_the_year():
    wanted = due_of_estimates(estimates(offer(due=due(2, "2027-01-04T12:00:00+00:00"))))[0]
    assert wanted == "Wanted by Mon 4 Jan 2027 12:00."


def test_the_cheaper_one_that_is_too_late_is_told():
    late = short("1344.83", "litho_b1", "2026-11-27T13:48:49+00:00")
    assert told(offer(otherwise=IN_TIME | {"too_late": late})) == (
        "1,000: in time by 2.4 h. The cheapest is too late: 1,344.83 on litho_b1, "
        "ready Fri 27 Nov 13:49."
    )


@pytest.mark.parametrize(
    ("ready_at", "words"),
    [
        ("2026-11-26T15:00:00+00:00", "The earliest: 900.00 on toner_a3, ready Thu 26 Nov 15:00."),
        ("2026-11-27T08:00:00+00:00", "Nothing is ready sooner."),
    ],
)
def test_the_earliest_is_told_unless_it_is_no_sooner(ready_at, words):
    earliest = short("900.00", "toner_a3", ready_at)
    late = offer(
        "2026-11-27T08:00:00+00:00", due=due(-20.0), otherwise=IN_TIME | {"earliest": earliest}
    )
    assert words in told(late)


def test_what_would_make_it_hold_stands_under_it_a_line_each():
    lots = [
        short("300.00", "toner_a3", NOON, quantity=2820, holds=True),
        short("1712.40", "litho_b1", "2026-11-27T08:52:00+00:00", quantity=17_180, holds=False),
    ]
    found = [
        would("overtime", {"overtime": True}),
        would("proof", {"job.proof": "soft"}, more="-19.80"),
        would("smaller_first", {}, net="2012.40", more="538.00", lots=lots),
    ]
    late = offer(due=due(-20.1), otherwise=IN_TIME | {"would_hold": found})
    assert due_of_estimates(estimates(late)) == [
        "Wanted by Thu 26 Nov 12:00.",
        "  1,000: late by 20.1 h. What would help:",
        "    With overtime on toner_a3: 1,512.40 (38.10 more), ready Thu 26 Nov 11:00, 1 h of it.",
        "    With a soft proof on toner_a3: 1,512.40 (19.80 less), ready Thu 26 Nov 11:00.",
        "    In two lots: 2,820 for 300.00 on toner_a3, ready Thu 26 Nov 12:00; 17,180 for "
        "1,712.40 on",
        "    litho_b1, ready Fri 27 Nov 08:52, which is late; together 2,012.40 (538.00 more).",
    ]


@pytest.mark.parametrize(
    ("kind", "changes", "words"),
    [
        ("rush", {"job.rush": True}, "With rush work on"),
        ("proof", {"job.proof": "none"}, "With no proof on"),
        ("drying_aid", {"job.drying_aid": True}, "With a drying aid on"),
        (
            "another_press",
            {"processes": [], "presses": []},
            "With presses that the request leaves out on",
        ),
        (
            "together",
            {"overtime": True, "job.rush": True, "job.proof": "press"},
            "With overtime, rush work and a press proof on",
        ),
        # What another release may answer is told as it stands.
        ("together", {"job.weekend": True}, "With job.weekend True on"),
        ("night_shift", {}, "With night shift on"),
    ],
)
def test_every_change_has_its_words(kind, changes, words):
    late = offer(due=due(-1.0), otherwise=IN_TIME | {"would_hold": [would(kind, changes)]})
    assert f"What would help: {words} toner_a3: 1,512.40 (38.10 more)" in told(late)


def test_what_costs_the_same_costs_no_more():
    same = would("rush", {"job.rush": True}, more="0.00")
    late = offer(due=due(-1.0), otherwise=IN_TIME | {"would_hold": [same]})
    assert "1,512.40 (no more)" in told(late)


def test_overtime_is_told_without_its_cost_to_who_sees_none():
    hours = [{"machine": "toner_a3", "hours": 0.9531}]
    words = told(offer(overtime={"hours": hours}))
    assert words == "1,000: in time by 2.4 h. It takes overtime: 0.953 h on toner_a3."


def test_overtime_in_a_price_is_told_with_its_hours():
    hours = [{"machine": "toner_a3", "hours": 0.9531}, {"machine": None, "hours": 2.0}]
    late = {"hours": hours, "cost": "1180.73", "currency": "EUR"}
    assert told(offer(overtime=late)) == (
        "1,000: in time by 2.4 h. It takes overtime that costs 1,180.73: 0.953 h on toner_a3 and "
        "2 h by hand."
    )


def test_a_comparison_tells_it_of_the_best_choice_and_says_what_the_mark_means():
    late = offer("2026-11-27T13:49:00+00:00", due=due(-25.8))
    assert due_of_choices(quantities(at(10, offer(), late), at(20), at(30, late))) == [
        "Wanted by Thu 26 Nov 12:00. In the table, * is ready later.",
        "  10: in time by 2.4 h.",
        "  30: late by 25.8 h. Nothing that was tried makes it hold.",
    ]
    assert due_of_choices(quantities(at(10, offer())))[0] == "Wanted by Thu 26 Nov 12:00."


# ---------------------------------------------------------------- cheaper or sooner


def test_who_is_cheaper_or_sooner_is_told_where_that_is_not_the_same():
    one, other = short("9.00", "toner_a3", NOON), short("1234.50", "inkjet_b2", CLOCK["as_of"])
    never = short("8.00", "litho_b1", None)
    answer = quantities(
        at(10, trade_off=[one]), at(2000, trade_off=[one, other]), at(30, trade_off=[never, one])
    )
    assert trade_off_table(answer) == [
        "Cheaper or sooner",
        "Quantity  Press      Process     Price             Ready",
        "--------  ---------  -------  --------  ----------------",
        "   2,000  toner_a3   toner        9.00  Thu 26 Nov 12:00",
        "          inkjet_b2  toner    1,234.50  Tue 24 Nov 09:00",
        "",
        "      30  litho_b1   toner        8.00             never",
        "          toner_a3   toner        9.00  Thu 26 Nov 12:00",
    ]


def test_where_the_cheapest_is_the_earliest_there_is_no_such_table():
    assert trade_off_table(quantities(at(10, trade_off=[short("9.00", "a", NOON)]))) == []
    assert trade_off_table(quantities({"quantity": 10, "choices": []})) == []


# ---------------------------------------------------------------- the schedule


def operation(name: str, start: str, end: str, **members: Any) -> dict[str, Any]:
    given = {"id": f"flyer/{name}", "operation": name, "part": "flyer", "machine": "toner_a3"}
    given |= {"start_at": f"2026-11-{start}:00+00:00", "end_at": f"2026-11-{end}:00+00:00"}
    return given | {"slack_h": 0.0, "critical": True, "overtime_h": 0.0} | members


def test_a_schedule_reads_like_this():
    operations = [
        operation("make_ready", "24T10:33", "24T10:39"),
        operation("run", "24T10:39", "24T19:09", overtime_h=1.682),
        operation("wash_up", "24T19:09", "24T19:19", slack_h=8.217, critical=False),
        operation("approval", "25T09:00", "26T09:00", part=None, machine=None),
    ]
    assert schedule_table({"clock": CLOCK}, offer(schedule=operations)) == [
        "The schedule of 1,000: * decides when it is ready",
        "Of      Operation   Machine              Start               End  Slack h",
        "------  ----------  --------  ----------------  ----------------  -------  -",
        "flyer   make ready  toner_a3  Tue 24 Nov 10:33  Tue 24 Nov 10:39      0.0  *",
        "flyer   run         toner_a3  Tue 24 Nov 10:39  Tue 24 Nov 19:09      0.0  *",
        "flyer   wash up     toner_a3  Tue 24 Nov 19:09  Tue 24 Nov 19:19      8.2",
        "copies  approval              Wed 25 Nov 09:00  Thu 26 Nov 09:00      0.0  *",
        "In overtime",
        "  flyer/run: 1.68 h of it in overtime.",
    ]


def test_there_is_a_schedule_for_each_quantity_and_none_where_it_is_not_told():
    run = [operation("run", "24T10:39", "24T12:09")]
    found = schedule_tables(estimates(offer(schedule=run), offer(), offer(schedule=run)))
    assert [len(table) for table in found] == [4, 0, 4]


# ---------------------------------------------------------------- whole answers


@pytest.fixture(scope="module")
def client():
    return create_app(clock=clock).test_client()


def asked(name: str, **job: Any) -> dict[str, Any]:
    body: dict[str, Any] = json.loads((EXAMPLES / f"{name}.json").read_text())
    return body | {"job": body["job"] | job}


def test_a_trace_begins_with_the_schedule_of_the_offer_that_it_follows(client):
    body = asked("brochure", due_at=NOON) | {"detail": "trace"}
    blocks = trace_text(client.post("/estimate", json=body).get_json()).split("\n\n")
    assert blocks[0].splitlines()[1].startswith("Reckoned at Tue 24 Nov 2026 09:00 (")
    assert blocks[1].startswith("The schedule of 1,000: ")
    assert blocks[2].startswith("The part ")


@pytest.mark.parametrize("path", ["/estimate", "/compare"])
@pytest.mark.parametrize("overtime", [False, True])
def test_a_due_date_that_some_miss_keeps_to_the_page(client, path, overtime):
    body = asked("paperback_novel", due_at="2026-11-30T12:00:00+00:00")
    body |= {"detail": "lines", "overtime": overtime}
    answer = client.post(path, json=body).get_json()
    text = {"/estimate": estimate_text, "/compare": comparison_text}[path](answer)
    assert max(map(len, text.splitlines())) <= 100
    assert "Wanted by Mon 30 Nov 12:00." in text
    assert "  20,000: late by " in text
    assert "In two lots: " in text
    assert ("It takes overtime" in text) is overtime


def test_what_holds_a_due_date_is_told_in_bands_that_end_where_nothing_does(client):
    answer = client.post("/compare", json=asked("brochure", due_at=NOON)).get_json()
    blocks = comparison_text(answer).split("\n\n")
    (found,) = (each for each in blocks if each.startswith("The cheapest press in time\n"))
    last = answer["due_bands"][-1]
    assert last["press"] is None
    assert found.splitlines()[-1].split("  ")[1:] == [
        f"{last['from']:,} to {last['to']:,}",
        "none is ready in time",
    ]
    assert len(found.splitlines()) == 1 + len(answer["due_bands"])
