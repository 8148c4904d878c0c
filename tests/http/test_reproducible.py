"""The same body with as_of has the same answer, to the byte, wherever and whenever it is asked."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from importlib.metadata import version
from typing import Any

import pytest
from flask import Flask

from shop import CLOCK, EXAMPLES
from sidelay.config import Settings
from sidelay.http.app import create_app

# Unlike each other: a due date that is missed, sections, shells, reels, plies, work bought out.
NAMES = (
    "addressed_mailing",
    "bottle_labels",
    "carbonless_pads",
    "case_bound_history",
    "programme_with_insert",
    "when_ready",
)
AS_OF_TEXT = "2026-11-24T09:00:00Z"
PATHS = ("/estimate", "/compare")
COMPARED = ("bottle_labels", "programme_with_insert")
# Answers of a process that has just begun, as it would be asked from anywhere.
ASK = """
import hashlib, json, sys
from sidelay.config import Settings
from sidelay.http.app import create_app
client = create_app(Settings()).test_client()
for path, body in json.load(sys.stdin):
    print(hashlib.sha256(client.post(path, json=body).data).hexdigest())
"""


def body_of(name: str, path: str) -> dict[str, Any]:
    body = json.loads((EXAMPLES / f"{name}.json").read_bytes())
    body |= {"as_of": body.get("as_of", AS_OF_TEXT), "detail": "trace"}
    body["job"]["quantities"] = body["job"]["quantities"][:2]
    more = {"up_to": 2000, "explain": ["remedies", "cost_bands"]}
    return body | (more if path == "/compare" else {})


def sum_of(app: Flask, path: str, body: dict[str, Any]) -> str:
    response = app.test_client().post(path, json=body)
    assert response.status_code == 200, response.text
    return hashlib.sha256(response.data).hexdigest()


@pytest.fixture(scope="module")
def asked() -> list[tuple[str, dict[str, Any]]]:
    estimates = [("/estimate", body_of(name, "/estimate")) for name in NAMES]
    return estimates + [("/compare", body_of(name, "/compare")) for name in COMPARED]


@pytest.fixture(scope="module")
def first(app: Flask, asked: list[tuple[str, dict[str, Any]]]) -> list[str]:
    """The answers as they are the first time, others asked in between."""
    return [sum_of(app, path, body) for path, body in asked]


def test_asked_again_in_another_order(
    app: Flask, asked: list[tuple[str, dict[str, Any]]], first: list[str]
) -> None:
    again = [sum_of(app, path, body) for path, body in reversed(asked)]
    assert again[::-1] == first
    assert len(set(first)) == len(first)


def test_asked_of_a_service_started_anew_at_another_time(
    asked: list[tuple[str, dict[str, Any]]], first: list[str]
) -> None:
    later = create_app(Settings(), clock=lambda: CLOCK + 1_000_000.0)
    assert [sum_of(later, path, body) for path, body in reversed(asked)] == first[::-1]


def test_asked_of_another_process_that_hashes_otherwise(
    asked: list[tuple[str, dict[str, Any]]], first: list[str]
) -> None:
    seed = "4321" if os.environ.get("PYTHONHASHSEED") != "4321" else "1234"
    other = subprocess.run(
        [sys.executable, "-c", ASK],
        input=json.dumps(asked),
        env=os.environ | {"PYTHONHASHSEED": seed},
        capture_output=True,
        text=True,
        check=True,
    )
    assert other.stdout.split() == first


@pytest.mark.parametrize("path", PATHS)
def test_an_answer_names_all_that_it_depends_on(app: Flask, path: str) -> None:
    answer = app.test_client().post(path, json=body_of("bottle_labels", path)).get_json()
    plugins = answer["versions"]["plugins"]
    processes = app.test_client().get("/processes").get_json()["processes"]
    assert answer["versions"]["service"] == version("sidelay")
    assert {each["id"] for each in processes} == plugins.keys()
    assert set(plugins.values()) == {f"sidelay {version('sidelay')}"}
    assert answer["plant"]["revision"]
    assert answer["job_fingerprint"]
    assert answer["clock"]["as_of"].startswith("2026-11-24T09:00")


def ids_of(offer: dict[str, Any]) -> tuple[list[str], ...]:
    """Ids of cost lines, operations and purchases of an offer."""
    lines = [line for each in (*offer["parts"], *offer["operations"]) for line in each["lines"]]
    return tuple(
        sorted(each["id"] for each in held)
        for held in (lines, offer["works_order"], offer["purchases"])
    )


def way_of(offer: dict[str, Any]) -> str:
    """All that decides how an offer is made, but how many."""
    parts = [(part["press"], part["layout"], part["split"]) for part in offer["parts"]]
    steps = [(step["operation"], step["machine"]) for step in offer["operations"]]
    for _, layout, _ in parts:
        layout.pop("beat")
    return json.dumps([parts, steps])


def test_ids_are_the_same_at_every_quantity_made_alike(app: Flask) -> None:
    seen = 0
    for file in sorted(EXAMPLES.glob("*.json")):
        body = json.loads(file.read_bytes()) | {"detail": "lines"}
        quantities = body["job"]["quantities"]
        body["job"]["quantities"] = sorted({*quantities, *(q + q // 10 for q in quantities)})
        offers = app.test_client().post("/estimate", json=body).get_json()["estimates"]
        ids: dict[str, tuple[list[str], ...]] = {}
        for offer in offers:
            way = way_of(offer)
            seen += way in ids
            assert ids.setdefault(way, ids_of(offer)) == ids_of(offer), file.stem
    assert seen > 50


def test_lines_more_move_the_id_of_none(app: Flask) -> None:
    body = body_of("programme_with_insert", "/estimate")
    body["job"]["quantities"] = [500]
    (before,) = app.test_client().post("/estimate", json=body).get_json()["estimates"]
    operations = body["job"]["operations"]
    body["job"]["operations"] = [{"operation": "drill", "count": 2}, *operations]
    body["job"]["proof"] = "soft"
    (after,) = app.test_client().post("/estimate", json=body).get_json()["estimates"]
    assert before["route"] == after["route"]
    for held, more in zip(ids_of(before)[:2], ids_of(after)[:2], strict=True):
        assert set(held) < set(more)
