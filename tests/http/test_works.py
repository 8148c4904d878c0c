"""Works orders and purchases: every cost line is in one of them, once, and amounts are a chain."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from shop import EXAMPLES

BODIES = {file.stem: json.loads(file.read_bytes()) for file in sorted(EXAMPLES.glob("*.json"))}
FOLDER = Path(__file__).parents[1] / "jobs"
BODIES |= {f"tests {file.stem}": json.loads(file.read_bytes()) for file in FOLDER.glob("*.json")}
WAITING = {"queue", "drying", "approval", "carriers", "dies", "stock", "dispatch", "delivery"}
Offer = dict[str, Any]


@pytest.fixture(scope="module")
def offers(app: Any) -> Any:
    """Offers of a body with its lines, asked once."""

    @cache
    def of(name: str) -> tuple[Offer, ...]:
        response = app.test_client().post("/estimate", json=BODIES[name] | {"detail": "lines"})
        assert response.status_code == 200, response.text
        return tuple(response.get_json()["estimates"])

    return of


def lines_of(offer: Offer) -> dict[str, dict[str, Any]]:
    """Every cost line of an offer by its id."""
    lines = [line for each in (*offer["parts"], *offer["operations"]) for line in each["lines"]]
    found = {line["id"]: line for line in lines}
    assert len(found) == len(lines), "an id stands twice"
    return found


@pytest.mark.parametrize("name", BODIES)
def test_every_cost_line_is_in_one_of_them_once(offers: Any, name: str) -> None:
    for offer in offers(name):
        lines = lines_of(offer)
        hours = [line for op in offer["works_order"] for line in op["lines"]]
        bought = [line for each in offer["purchases"] for line in each["lines"]]
        assert Counter([*hours, *bought]) == Counter(lines.keys())
        cost = sum(Decimal(each["cost"]) for each in offer["purchases"])
        assert cost == sum(Decimal(lines[line]["cost"]) for line in bought)
        cost += sum(Decimal(lines[line]["cost"]) for line in hours)
        if offer["overtime"]:
            cost += Decimal(offer["overtime"]["cost"])
        assert cost == Decimal(offer["cost"]["total"])


@pytest.mark.parametrize("name", BODIES)
def test_a_purchase_costs_what_is_paid_for_at_its_price(offers: Any, name: str) -> None:
    for offer in offers(name):
        ids = {op["id"] for op in offer["works_order"]}
        for each in offer["purchases"]:
            paid_for = each["packs"]["paid_for"] if each["packs"] else each["amount"]
            assert paid_for >= each["amount"] - 1e-6
            # Each of its lines is rounded to the cent by itself.
            told = float(each["cost"]) - paid_for * each["unit_price"]
            assert abs(told) <= 0.00501 * len(each["lines"]), each
            assert each["for_operation"] in ids, each
            if each["packs"] and each["packs"]["pack"]:
                packed = each["packs"]["pack"] * each["packs"]["packs"]
                assert packed <= each["packs"]["paid_for"] + 1e-6
        assert len({each["id"] for each in offer["purchases"]}) == len(offer["purchases"])


@pytest.mark.parametrize("name", BODIES)
def test_operations_are_those_of_the_schedule(offers: Any, name: str) -> None:
    for offer in offers(name):
        work = [op for op in offer["schedule"] if op["operation"] not in WAITING]
        done = {op["id"]: op for op in offer["works_order"]}
        assert len(done) == len(offer["works_order"])
        assert {op["id"] for op in work} <= done.keys()
        on_clock = [op["id"] for op in work]
        assert [op for op in done if op in on_clock] == on_clock
        for op in work:
            assert done[op["id"]]["operation"] == op["operation"]
            if op["unit"] == "h":
                hours = done[op["id"]]["set_up_h"] + done[op["id"]]["run_h"]
                assert hours == pytest.approx(op["duration"], abs=2e-3)
                assert done[op["id"]]["machine"] == op["machine"]
            else:
                assert done[op["id"]]["bought_out"]
                assert done[op["id"]]["lead_days"] == op["duration"]
        # What is not on the clock takes none of it.
        for op in done.values():
            assert op["id"] in on_clock or op["set_up_h"] + op["run_h"] < 2e-3


@pytest.mark.parametrize("name", BODIES)
def test_nothing_is_done_before_what_it_waits_for(offers: Any, name: str) -> None:
    for offer in offers(name):
        met: set[str] = set()
        for op in offer["works_order"]:
            assert set(op["after"]) <= met, op
            met.add(op["id"])


@pytest.mark.parametrize("name", BODIES)
def test_machines_and_cost_centres_are_those_of_the_plant(
    client: FlaskClient, offers: Any, name: str
) -> None:
    plant = client.get("/plants/demo").get_json()
    machines = set(plant["time"]["machine_ids"])
    centres = {each["id"] for each in plant["cost_centres"]}
    for offer in offers(name):
        for op in offer["works_order"]:
            assert op["name"]
            if op["bought_out"]:
                assert (op["machine"], op["cost_centre"], op["crew"]) == (None, None, None)
                assert (op["set_up_h"], op["run_h"], op["lines"]) == (0, 0, [])
            else:
                assert op["cost_centre"] in centres
                assert op["machine"] in machines or op["operation"] == "proof"


@pytest.mark.parametrize("name", BODIES)
def test_what_comes_out_of_one_operation_goes_into_the_next(offers: Any, name: str) -> None:
    linked = 0
    for offer in offers(name):
        counted = {op["id"]: op for op in offer["works_order"] if op["unit"]}
        for op in counted.values():
            assert op["into"] >= op["out"]
            if op["spoiled"]:
                assert op["into"] - op["out"] == sum(op["spoiled"].values())
        per_copy = {part["part"]: part["per_copy"] for part in offer["parts"]}
        for op, before in links(counted):
            linked += 1
            handed, wanted, unit = before["handed_on"], op["into"], op["unit"]
            if unit == "copy" and handed["unit"] != "copy":
                wanted, unit = wanted * per_copy[before["part"]], "piece"
            # Sections alike are each as many as the copies that they are gathered into.
            own, alike = (each["section"] or {"times": 1} for each in (op, before))
            times = alike["times"] // own["times"]
            left_over = handed["amount"] / times - wanted
            # What is left over is less than one sheet, or one parent, holds.
            assert 0 <= left_over < max(handed["amount"] / before["out"] * own["times"], 1), op
            # Shells are pieces of the press that prints them, sheets of the one that overprints.
            assert handed["unit"] == unit or (handed["unit"], unit) == ("piece", "sheet")
    assert linked or not offers(name)


def links(counted: dict[str, dict[str, Any]]) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    """Yield operations whose amounts are counted, each with one that hands on to it."""
    for op in counted.values():
        for before in op["after"]:
            if before in counted:
                yield op, counted[before]
