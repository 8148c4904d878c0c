"""Answers say what can hurt someone in the finishing that they offer."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

FOLDER = Path(__file__).parents[2] / "openapi" / "examples"
EXAMPLES = {file.stem: json.loads(file.read_bytes()) for file in sorted(FOLDER.glob("*.json"))}


def ask(client: FlaskClient, path: str, body: Any) -> dict[str, Any]:
    response = client.post(path, json=body)
    assert response.status_code == 200, response.text
    return json.loads(response.data)


def operations_in(offer: dict[str, Any]) -> set[str]:
    steps = [step for part in offer["parts"] for step in part["operations"]]
    return {step["operation"] for step in (*steps, *offer["operations"])}


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_estimate_warns_of_what_its_offers_use_and_of_nothing_else(
    client: FlaskClient, name: str
) -> None:
    answer = ask(client, "/estimate", EXAMPLES[name])
    used = {each for offer in answer["estimates"] for each in operations_in(offer)}
    assert {each["operation"] for each in answer["safety_finishing"]} == used
    for each in answer["safety_finishing"]:
        assert "local safety codes" in each["cautions"][-1]


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_comparison_warns_of_all_its_choices(client: FlaskClient, name: str) -> None:
    answer = ask(client, "/compare", EXAMPLES[name] | {"detail": "lines"})
    choices = [choice for each in answer["quantities"] for choice in each["choices"]]
    used = {name for choice in choices for name in operations_in(choice)}
    assert {each["operation"] for each in answer["safety_finishing"]} == used


def test_the_detail_asked_changes_no_caution(client: FlaskClient, flyer: dict[str, Any]) -> None:
    found = [
        ask(client, "/compare", flyer | {"detail": detail})["safety_finishing"]
        for detail in ("price", "lines", "trace")
    ]
    assert found[0] == found[1] == found[2]
    assert "cut" in {each["operation"] for each in found[0]}


def carton(**more: Any) -> dict[str, Any]:
    part = {
        "name": "carton",
        "kind": "carton",
        "size": {"width": 180, "height": 240},
        "stock": {"id": "boxboard_300"},
        "front": {"inks": ["cyan", "magenta", "yellow", "black"], "coverage": 0.5},
    }
    return {"job": {"title": "carton", "quantities": [5000], "parts": [part]} | more}


def test_glue_on_a_food_carton_is_confirmed_by_the_supplier(client: FlaskClient) -> None:
    def glue(body: dict[str, Any]) -> list[str]:
        safety = ask(client, "/estimate", body)["safety_finishing"]
        (found,) = [each["cautions"] for each in safety if each["operation"] == "glue"]
        return found

    plain, food = glue(carton()), glue(carton(uses=["food_contact"]))
    assert set(plain) < set(food)
    (added,) = set(food) - set(plain)
    assert "supplier" in added
    assert "local food law" in added
