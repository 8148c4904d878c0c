"""Answers add up: every line of every part and operation is the cost, to the last minor unit."""

from __future__ import annotations

import json
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from shop import DEMO_FILE, clock
from sidelay.config import Settings
from sidelay.http.app import create_app

FOLDER = Path(__file__).parents[1] / "jobs"
JOBS = {file.stem: json.loads(file.read_bytes()) for file in sorted(FOLDER.glob("*.json"))}
# The digits that ISO 4217 gives each currency.
CURRENCIES = {"EUR": 2, "JPY": 0, "KWD": 3}


@pytest.fixture(scope="module", params=CURRENCIES)
def shop(request: Any, tmp_path_factory: pytest.TempPathFactory) -> tuple[FlaskClient, int]:
    """The demo plant as a shop that counts in each currency, and the digits of that."""
    text = DEMO_FILE.read_text()
    assert text.count('currency = "EUR"') == 1
    file = tmp_path_factory.mktemp("plants") / "demo.toml"
    file.write_text(text.replace('currency = "EUR"', f'currency = "{request.param}"'))
    return create_app(Settings(plants=file), clock=clock).test_client(), CURRENCIES[request.param]


def offers(client: FlaskClient, body: dict[str, Any]) -> Iterator[dict[str, Any]]:
    for path in ("/estimate", "/compare"):
        response = client.post(path, json=body | {"up_to": 10_000})
        assert response.status_code == 200, response.text
        answer = response.get_json()
        yield from answer.get("estimates", ())
        for quantity in answer.get("quantities", ()):
            yield from quantity["choices"]


def lines(offer: dict[str, Any]) -> list[dict[str, Any]]:
    held = [*offer["parts"], *offer["operations"]]
    return [line for each in held for line in each["lines"]]


@pytest.mark.parametrize("name", JOBS)
def test_lines_are_the_cost_in_every_currency(shop: tuple[FlaskClient, int], name: str) -> None:
    client, digits = shop
    seen = 0
    for offer in offers(client, JOBS[name] | {"detail": "trace"}):
        seen += 1
        cost = {member: offer["cost"][member] for member in ("total", "fixed", "variable")}
        for text in (*cost.values(), offer["price"]["net"], *(ln["cost"] for ln in lines(offer))):
            assert -Decimal(text).as_tuple().exponent == digits
        assert sum(Decimal(line["cost"]) for line in lines(offer)) == Decimal(cost["total"])
        assert Decimal(cost["fixed"]) + Decimal(cost["variable"]) == Decimal(cost["total"])
        assert Decimal(cost["total"]) <= Decimal(offer["price"]["net"])
    assert seen


@pytest.mark.parametrize("name", JOBS)
def test_a_line_is_what_its_trace_says(shop: tuple[FlaskClient, int], name: str) -> None:
    client, digits = shop
    unit = Decimal(1).scaleb(-digits)
    for offer in offers(client, JOBS[name] | {"detail": "trace"}):
        for line in lines(offer):
            told = line["unit_cost"] * line["amount"] * line["count"]
            assert abs(float(line["cost"]) - told) <= float(unit) * 0.5001, line


def hours(held: list[dict[str, Any]], *labels: str) -> float:
    """Hours of the lines with these labels."""
    return sum(ln["amount"] * ln["count"] for ln in held if ln["label"] in labels)


@pytest.mark.parametrize("name", JOBS)
def test_hours_and_minutes_told_are_those_that_are_paid(
    shop: tuple[FlaskClient, int], name: str
) -> None:
    for offer in offers(shop[0], JOBS[name] | {"detail": "trace"}):
        for part in offer["parts"]:
            paid = hours(part["lines"], "make-ready", "running", "wash-up")
            assert part["hours"] == pytest.approx(paid, abs=0.002)
            for told in {each["operation"] for each in part["operations"]}:
                steps = [each for each in part["operations"] if each["operation"] == told]
                label = told.replace("_", " ")
                paid = hours(part["lines"], label)
                run_min = sum(step["run_min"] for step in steps if not step["bought_out"])
                assert run_min / 60 == pytest.approx(paid, abs=1e-3 * len(steps))
        for step in offer["operations"]:
            paid = hours(step["lines"], step["operation"].replace("_", " "))
            told_h = 0 if step["bought_out"] else step["run_min"] / 60
            assert told_h == pytest.approx(paid, abs=1e-3)
