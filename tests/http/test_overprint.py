"""What differs from piece to piece: in one go, or onto shells printed before."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

COLOUR = {"inks": ["cyan", "magenta", "yellow", "black"], "coverage": 0.4}
BLACK = {"inks": ["black"], "coverage": 0.04}


def offers(client: FlaskClient, **overprint: Any) -> dict[int, tuple[list[str], float]]:
    """Presses and price of an addressed card in colour, by quantity."""
    card = {"size": "a5", "stock": {"id": "silk_250"}, "front": COLOUR, "back": BLACK}
    card["overprint"] = {"back": BLACK, **overprint}
    body = {"job": {"quantities": [500, 50_000], "parts": [card]}}
    response = client.post("/estimate", json=body)
    assert response.status_code == 200, response.text
    return {
        each["quantity"]: ([step["press"] for step in each["route"]], float(each["price"]["net"]))
        for each in response.get_json()["estimates"]
    }


def test_a_few_are_printed_in_one_go_and_many_onto_shells(client: FlaskClient) -> None:
    found = offers(client)
    assert found[500][0] == ["toner_colour_a3"]
    assert found[50_000][0] == ["litho_b1_five", "toner_colour_a3"]


def test_an_address_need_not_be_as_good_as_the_card_that_it_goes_onto(client: FlaskClient) -> None:
    as_good, lesser = offers(client), offers(client, quality="draft")
    assert lesser[50_000][0] == ["litho_b1_five", "cij_addressing"]
    assert lesser[50_000][1] < as_good[50_000][1]
    # In one go it is printed with the card, and has to be as good.
    assert lesser[500] == as_good[500]


@pytest.mark.parametrize("quality", ["office", "commercial", "fine"])
def test_to_ask_for_less_is_never_dearer(client: FlaskClient, quality: str) -> None:
    drafts, better = offers(client, quality="draft"), offers(client, quality=quality)
    assert all(drafts[number][1] <= better[number][1] for number in drafts)
