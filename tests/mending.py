"""Remedies put into the request that they were told of, and what it answers then."""

from __future__ import annotations

import json
from typing import Any

from flask.testing import FlaskClient


def asked(client: FlaskClient, body: dict[str, Any]) -> dict[str, Any]:
    response = client.post("/compare", json=body)
    assert response.status_code == 200, response.text
    answer: dict[str, Any] = response.get_json()
    return answer


def with_changes(body: dict[str, Any], changes: list[dict[str, Any]]) -> dict[str, Any]:
    """Return a request with changes put in as told, and nothing else known of them."""
    body = json.loads(json.dumps(body))  # inks of both sides are one object in the jobs below
    for change in changes:
        start, *way, last = change["member"].split("/")
        assert start == "#"
        place: Any = body["job"]
        for step in way:
            place = place[int(step)] if isinstance(place, list) else place[step]
        if change["name"] != "stock":  # which may be told by other members than its id
            assert place.get(last, change["from"]) == change["from"]
        place[last] = change["to"]
    return body


def is_out(answer: dict[str, Any], remedy: dict[str, Any]) -> bool:
    who = remedy["press"], remedy["part"]
    return who in {(each["press"], each["part"]) for each in answer["excluded"]}


def check_prices(remedy: dict[str, Any], after: dict[str, Any]) -> None:
    """Check what a remedy tells against the choices of the job as changed."""
    for told, quantity in zip(remedy["prices"], after["quantities"], strict=True):
        (choice,) = [c for c in quantity["choices"] if c["press"] == remedy["press"]]
        assert told["quantity"] == quantity["quantity"]
        assert told["cost"] == choice["cost"], remedy["message"]
        price = choice["price"] | {"same_price_to": None}
        assert told["price"] == price, remedy["message"]
