"""Works orders and purchases: every cost line is in one of them, once, and amounts are a chain."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from shop import DEMO_FILE, EXAMPLES, clock
from sidelay.config import Settings
from sidelay.http.app import create_app
from works_checks import (
    Offer,
    check_chain,
    check_lines,
    check_purchases,
    check_schedule,
    check_waits,
    check_works,
)

FOLDER = Path(__file__).parents[1] / "jobs"
BODIES = {file.stem: json.loads(file.read_bytes()) for file in sorted(EXAMPLES.glob("*.json"))}
BODIES |= {
    f"tests {file.stem}": json.loads(file.read_bytes()) for file in sorted(FOLDER.glob("*.json"))
}
Offers = Callable[[str], tuple[Offer, ...]]


def asked(client: FlaskClient, body: dict[str, Any], **more: Any) -> tuple[Offer, ...]:
    response = client.post("/estimate", json=body | {"detail": "lines"} | more)
    assert response.status_code == 200, response.text
    return tuple(response.get_json()["estimates"])


@pytest.fixture(scope="module")
def offers(app: Flask) -> Offers:
    """Offers of a body with its lines, asked once."""

    @cache
    def of(name: str) -> tuple[Offer, ...]:
        return asked(app.test_client(), BODIES[name])

    return of


@pytest.mark.parametrize("name", BODIES)
def test_every_cost_line_is_in_one_of_them_once(offers: Offers, name: str) -> None:
    for offer in offers(name):
        check_lines(offer)


@pytest.mark.parametrize("name", BODIES)
def test_a_purchase_costs_what_is_paid_for_at_its_price(offers: Offers, name: str) -> None:
    for offer in offers(name):
        check_purchases(offer, digits=2)


@pytest.mark.parametrize("name", BODIES)
def test_operations_are_those_of_the_schedule(offers: Offers, name: str) -> None:
    for offer in offers(name):
        check_schedule(offer)
        check_waits(offer)


@pytest.mark.parametrize("name", BODIES)
def test_what_comes_out_of_one_operation_goes_into_the_next(offers: Offers, name: str) -> None:
    linked = [check_chain(offer) for offer in offers(name)]
    assert all(linked)
    # No press of the demo plant makes one of the examples, which is about why.
    assert linked or name == "oversize_poster"


@pytest.mark.parametrize("name", BODIES)
def test_machines_and_cost_centres_are_those_of_the_plant(
    client: FlaskClient, offers: Offers, name: str
) -> None:
    plant = client.get("/plants/demo").get_json()
    machines, centres = plant["time"]["machine_ids"], [c["id"] for c in plant["cost_centres"]]
    for offer in offers(name):
        for op in offer["works_order"]:
            assert op["name"]
            if op["bought_out"]:
                assert (op["machine"], op["cost_centre"], op["crew"]) == (None, None, None)
                assert (op["set_up_h"], op["run_h"], op["lines"]) == (0, 0, [])
            else:
                assert op["cost_centre"] in centres
                assert op["machine"] in machines or op["operation"] == "proof"
                assert op["crew"] > 0


def test_they_are_told_with_the_lines_alone(client: FlaskClient, flyer: dict[str, Any]) -> None:
    (plain, _), (lines, _), (traced, _) = (
        asked(client, flyer, detail=detail) for detail in ("price", "lines", "trace")
    )
    assert not {"works_order", "purchases"} & plain.keys()
    assert lines["works_order"] == traced["works_order"]
    assert lines["purchases"] == traced["purchases"]


def test_the_premium_for_overtime_is_the_rest_of_the_cost(client: FlaskClient) -> None:
    found = asked(client, BODIES["when_ready"], overtime=True)
    assert any(offer["overtime"] for offer in found)
    for offer in found:
        check_works(offer)


def test_carriers_kept_are_not_bought(client: FlaskClient, flyer: dict[str, Any]) -> None:
    flyer |= {"presses": ["litho_b1_five"]}
    first = asked(client, flyer)[0]
    (ready,) = [op for op in first["works_order"] if op["carriers"]]
    assert ready["operation"] == "make_ready"
    flyer["job"]["parts"][0]["kept_carriers"] = [ready["carriers"]["carriers_id"]]
    again = asked(client, flyer)[0]
    (kept,) = [op["carriers"] for op in again["works_order"] if op["carriers"]]
    assert kept == ready["carriers"] | {"kept": True}
    plates = [[p for p in o["purchases"] if p["kind"] == "carrier"] for o in (first, again)]
    assert [sum(each["amount"] for each in of) for of in plates] == [kept["count"], 0]


def test_a_part_may_be_called_what_copies_are(client: FlaskClient) -> None:
    body = json.loads(json.dumps(BODIES["programme_with_insert"]))
    body["job"]["parts"][0]["name"] = "copies"
    for offer in asked(client, body):
        check_works(offer)
        assert offer["parts"][0]["lines"][0]["id"].startswith("part copies/")


def test_a_shop_that_counts_no_cents(tmp_path: Path) -> None:
    text = DEMO_FILE.read_text()
    file = tmp_path / "demo.toml"
    file.write_text(text.replace('currency = "EUR"', 'currency = "JPY"'))
    client = create_app(Settings(plants=file), clock=clock).test_client()
    for offer in asked(client, BODIES["programme_with_insert"]):
        check_works(offer, digits=0)
