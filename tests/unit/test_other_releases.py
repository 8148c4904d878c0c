"""A service of another release: the client and the command line go on with what it answers."""

from __future__ import annotations

import copy
import json
import logging
from collections.abc import Mapping
from functools import cache
from typing import Any

import pytest

from scripted_service import Reply, scripted
from shop import EXAMPLES, clock
from sidelay import cli
from sidelay.client import Client
from sidelay.config import Settings
from sidelay.http.app import create_app

COMPONENTS = "#/components/schemas/"
JOB = EXAMPLES / "when_ready.json"


@cache
def told(path: str) -> dict[str, Any]:
    """What this release answers, with all that can be asked for."""
    client = create_app(Settings(), clock=clock).test_client()
    if path == "/openapi.json":
        answer: dict[str, Any] = client.get(path).get_json()
        return answer
    asked = {"detail": "trace", "explain": ["cost_bands", "remedies"], "curves": True}
    body = json.loads(JOB.read_bytes()) | asked
    body["job"]["quantities"] = body["job"]["quantities"][:2]
    priced: dict[str, Any] = client.post(path, json=body).get_json()
    return priced


def with_more(answer: Any) -> Any:
    """An answer whose every object has members that nobody knows yet."""
    if isinstance(answer, dict):
        inner = {name: with_more(each) for name, each in answer.items()}
        return {"a_new_member": {"of": ["a", 1, None]}} | inner | {"another": "word"}
    return [with_more(each) for each in answer] if isinstance(answer, list) else answer


def without_optional(answer: Any, schema: Mapping[str, Any]) -> Any:
    """An answer without the members that its published schema does not promise."""
    components = told("/openapi.json")["components"]["schemas"]
    if "$ref" in schema:
        schema = components[schema["$ref"].removeprefix(COMPONENTS)]
    if isinstance(answer, list):
        return [without_optional(each, schema.get("items", {})) for each in answer]
    for way in schema.get("anyOf", ()):  # an object, or null
        schema = schema if "$ref" not in way else components[way["$ref"].removeprefix(COMPONENTS)]
    if not isinstance(answer, dict) or "properties" not in schema:
        return answer
    return {
        name: without_optional(answer[name], schema["properties"][name])
        for name in answer
        if name in schema["required"]
    }


def printed(answer: Any, arguments: list[str], capsys: Any) -> str:
    with scripted(Reply(body=answer)) as server:
        assert cli.main([*arguments, str(JOB), "--url", server.url]) == cli.DONE
    out: str = capsys.readouterr().out
    return out


@pytest.mark.parametrize("command", [["estimate"], ["estimate", "--trace"], ["compare"]])
def test_members_that_nobody_knows_change_nothing(command, capsys):
    answer = told(f"/{command[0]}")
    assert printed(with_more(answer), command, capsys) == printed(answer, command, capsys)


@pytest.mark.parametrize(
    ("command", "component"), [("estimate", "Estimate"), ("compare", "Comparison")]
)
def test_members_that_are_not_promised_may_be_missing(command, component, capsys):
    answer = told(f"/{command}")
    less = without_optional(answer, {"$ref": COMPONENTS + component})
    assert len(json.dumps(less)) < len(json.dumps(answer)) / 2
    offer = (less.get("estimates") or less["quantities"][0]["choices"])[0]
    assert offer.keys().isdisjoint({"cost", "curve", "schedule", "price_trace"})
    assert offer["price"]["net"] in printed(less, [command], capsys).replace(",", "")


def test_the_client_returns_what_came():
    answer = with_more(told("/estimate"))
    with scripted(Reply(body=answer)) as server, Client(server.url) as client:
        got = client.estimate({"job": {}})
    assert got == answer
    assert got["estimates"][0]["price"]["net"] == told("/estimate")["estimates"][0]["price"]["net"]


def test_what_is_promised_and_missing_is_told_and_no_traceback(capsys):
    answer = copy.deepcopy(told("/estimate"))
    del answer["estimates"][0]["price"]
    with scripted(Reply(body=answer)) as server:
        status = cli.main(["estimate", str(JOB), "--url", server.url])
    assert status == cli.UNREACHABLE
    assert "cannot read the answer; see it with --json" in capsys.readouterr().err


# ---------------------------------------------------------------- operations that will go

GOING = {
    "Deprecation": "@1767225600",
    "Sunset": "Thu, 31 Dec 2026 23:59:59 GMT",
    "Link": '<https://shop.example/notes>; rel="deprecation"; type="text/html", '
    '</offers>; rel="successor-version"',
}


@pytest.fixture
def warned(caplog, monkeypatch):
    """Return a function that asks a service with fields, and returns what was logged."""
    monkeypatch.setattr("sidelay.client_deprecations._told", set())
    caplog.set_level(logging.INFO, "sidelay.client")

    def ask(*calls: Any, **fields: str) -> list[str]:
        caplog.clear()
        with scripted(Reply(fields=fields)) as server, Client(server.url) as client:
            for call in calls:
                call(client)
        return [record.getMessage() for record in caplog.records]

    return ask


def test_an_operation_that_will_go_is_told_once_for_each_path(warned):
    calls = [
        lambda client: client.product("a"),
        lambda client: client.product("b"),
        lambda client: client.products(),
    ]
    told_of = (
        " is deprecated since 2026-01-01 and goes on Thu, 31 Dec 2026 23:59:59 GMT; "
        "instead: /offers; see: https://shop.example/notes"
    )
    assert warned(*calls, **GOING) == ["GET /products/{}" + told_of, "GET /products" + told_of]
    assert warned(*calls, **GOING) == []


@pytest.mark.parametrize(
    ("field", "since"),
    [("@0", " since 1970-01-01"), ("true", ""), ("@-99999999999", ""), ("@1e9", ""), ("", "")],
)
def test_a_date_that_cannot_be_read_is_left_out(warned, field, since):
    told_of = warned(lambda client: client.ready(), Deprecation=field)
    assert told_of == [f"GET /readyz is deprecated{since}"]


def test_nothing_is_told_where_nothing_goes(warned):
    assert warned(lambda client: client.ready(), Link=GOING["Link"]) == []


def test_what_goes_without_being_deprecated_is_told(warned):
    going = warned(lambda client: client.ready(), Sunset=GOING["Sunset"])
    assert going == ["GET /readyz goes on Thu, 31 Dec 2026 23:59:59 GMT"]
