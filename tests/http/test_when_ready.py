"""One job asked for on a quiet Tuesday morning and right before a bank holiday weekend.

The demo plant works by day from 8:00 to 16:30, its large presses from 6:00 to 22:00, Monday to
Friday. In Ireland the first Monday of May is a public holiday: 3 May 2027 (Organisation of Working
Time Act 1997, second schedule; from memory).
"""

from __future__ import annotations

import json
from datetime import datetime
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest
from flask.testing import FlaskClient

from shop import EXAMPLES

TUESDAY, FRIDAY = "2027-04-27T09:00:00+01:00", "2027-04-30T16:45:00+01:00"
DUE = "2027-05-04T17:00:00+01:00"


def asked(client: FlaskClient, path: str, as_of: str, due: str | None = DUE, **members: Any) -> Any:
    body = json.loads((EXAMPLES / "when_ready.json").read_bytes())
    body |= {"as_of": as_of} | members
    body["job"]["due_at"] = due
    for member, value in members.pop("changes", {}).items():
        where, _, name = member.rpartition(".")
        (body[where] if where else body)[name] = value
    body.pop("changes", None)
    response = client.post(path, json=body)
    assert response.status_code == 200, response.get_json()
    return response.get_json()


def at(moment: str) -> datetime:
    return datetime.fromisoformat(moment)


def test_on_tuesday_everything_is_in_time_and_the_cheapest_is_the_best(client: FlaskClient) -> None:
    free = asked(client, "/estimate", TUESDAY, None)["estimates"]
    for best, found in zip(free, asked(client, "/estimate", TUESDAY)["estimates"], strict=True):
        assert best["due"] is None
        assert found["due"]["holds"]
        assert found["price"] == best["price"]
        assert found["otherwise"] == {"too_late": None, "earliest": None, "would_hold": []}
        assert at(found["ready_at"]).date() < at(DUE).date()


def test_before_the_holiday_work_begins_after_it(client: FlaskClient) -> None:
    answer = asked(client, "/estimate", FRIDAY, detail="lines")
    assert answer["clock"] == {"as_of": FRIDAY, "given": True, "time_zone": "Europe/Dublin"}
    for estimate in answer["estimates"]:
        work = [each for each in estimate["schedule"] if each["clock"] == "shift"]
        assert all(each["start_at"] >= "2027-05-04T06:00" for each in work)
        assert estimate["readiness"]["because"]["ready_at"].startswith("what decides: text/queue")


def test_few_copies_go_to_toner_more_to_inkjet_and_for_many_it_tells_what_would_hold(
    client: FlaskClient,
) -> None:
    few, more, many = asked(client, "/estimate", FRIDAY)["estimates"]
    assert (few["process"], few["due"]["holds"]) == ("toner", True)
    # Litho is the cheapest, and dries over Tuesday; who cannot wait pays for inkjet.
    assert (more["process"], more["due"]["holds"]) == ("dod_inkjet", True)
    assert more["otherwise"]["too_late"]["process"] == "sheetfed_litho"
    assert Decimal(more["otherwise"]["too_late"]["net"]) < Decimal(more["price"]["net"])
    assert (many["process"], many["due"]["holds"]) == ("sheetfed_litho", False)
    assert many["due"]["slack_h"] < 0
    assert at(many["otherwise"]["earliest"]["ready_at"]) < at(many["ready_at"])
    kinds = [each["kind"] for each in many["otherwise"]["would_hold"]]
    assert "overtime" in kinds
    assert "smaller_first" in kinds


def test_what_would_hold_holds_at_the_price_told(client: FlaskClient) -> None:
    checked = 0
    for due in (DUE, "2027-05-04T12:00:00+01:00"):
        for estimate in asked(client, "/estimate", FRIDAY, due)["estimates"]:
            for would in estimate["otherwise"]["would_hold"]:
                if not would["changes"]:
                    lots = would["lots"]
                    assert sum(lot["quantity"] for lot in lots) == estimate["quantity"]
                    assert lots[0]["holds"]
                    assert sum(Decimal(lot["net"]) for lot in lots) == Decimal(would["net"])
                    continue
                again = asked(client, "/estimate", FRIDAY, due, changes=would["changes"])
                (found,) = [
                    each for each in again["estimates"] if each["quantity"] == estimate["quantity"]
                ]
                assert found["due"]["holds"]
                assert (found["price"]["net"], found["ready_at"]) == (
                    would["net"],
                    would["ready_at"],
                )
                more = Decimal(would["net"]) - Decimal(estimate["price"]["net"])
                assert Decimal(would["more"]) == more
                checked += 1
    assert checked >= 2


def test_a_comparison_puts_what_holds_first_and_tells_the_same_best(client: FlaskClient) -> None:
    estimates = asked(client, "/estimate", FRIDAY)["estimates"]
    answer = asked(client, "/compare", FRIDAY)
    for estimate, quantity in zip(estimates, answer["quantities"], strict=True):
        choices = quantity["choices"]
        holds = [choice["due"]["holds"] for choice in choices]
        assert holds == sorted(holds, reverse=True)
        assert choices[0]["press"] == estimate["press"]
        assert choices[0]["ready_at"] == estimate["ready_at"]
        assert quantity["otherwise"] == estimate["otherwise"]
        rows = [(Decimal(row["net"]), at(row["ready_at"])) for row in quantity["trade_off"]]
        assert rows == sorted(rows)
        assert [ready for _, ready in rows] == sorted((r for _, r in rows), reverse=True)


def test_bands_of_what_holds_agree_with_estimates_at_their_ends(client: FlaskClient) -> None:
    bands = asked(client, "/compare", FRIDAY)["due_bands"]
    assert bands[-1]["press"] is None
    ends = sorted({q for band in bands for q in (band["from"], min(band["to"], 50_000))})
    body = json.loads((EXAMPLES / "when_ready.json").read_bytes())
    body["job"]["quantities"] = ends
    found = client.post("/estimate", json=body).get_json()["estimates"]
    for estimate in found:
        (band,) = [b for b in bands if b["from"] <= estimate["quantity"] <= b["to"]]
        assert estimate["due"]["holds"] == (band["press"] is not None)
        if band["press"]:
            assert estimate["press"] == band["press"]


@pytest.mark.parametrize("as_of", [TUESDAY, FRIDAY])
def test_operations_follow_what_they_wait_for_and_machines_do_one_thing_at_a_time(
    client: FlaskClient, as_of: str
) -> None:
    for estimate in asked(client, "/estimate", as_of, detail="lines")["estimates"]:
        schedule = {each["id"]: each for each in estimate["schedule"]}
        assert any(each["critical"] for each in schedule.values())
        busy: dict[str, list[tuple[str, str]]] = {}
        for op in schedule.values():
            for before in op["after"]:
                assert schedule[before]["end_at"] <= op["start_at"]
            if op["machine"] and op["operation"] != "queue":
                busy.setdefault(op["machine"], []).append((op["start_at"], op["end_at"]))
        for spans in busy.values():
            spans.sort()
            assert all(one[1] <= other[0] for one, other in pairwise(spans))
        last = max(o["end_at"] for o in schedule.values() if o["operation"] != "wash_up")
        assert estimate["ready_at"] == last


def test_the_same_clock_brings_the_same_bytes_and_another_one_does_not(client: FlaskClient) -> None:
    body = json.loads((EXAMPLES / "when_ready.json").read_bytes())
    once = client.post("/compare", json=body).data
    assert client.post("/compare", json=body).data == once
    assert client.post("/compare", json=body | {"as_of": TUESDAY}).data != once
