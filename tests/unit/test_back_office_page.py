"""What deploy/BACK_OFFICE.md shows is what the service answers."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient

from shop import EXAMPLES, clock
from sidelay.http.app import create_app
from sidelay.http.media_types import PTK, XJDF
from sidelay.tables import estimate_text

ROOT = EXAMPLES.parents[1]
PAGE = (ROOT / "deploy" / "BACK_OFFICE.md").read_text()
DOCUMENT = json.loads((EXAMPLES / "xjdf" / "guided_walks_leaflet.json").read_bytes())
SHOWN = [json.loads(block) for block in re.findall(r"```json\n(.*?)```", PAGE, re.DOTALL)]


def within(answer: Any) -> Iterator[Any]:
    """Yield every object in an answer."""
    if isinstance(answer, dict):
        yield answer
    for each in answer.values() if isinstance(answer, dict) else answer:
        if isinstance(each, dict | list):
            yield from within(each)


@pytest.fixture(scope="module")
def answers() -> list[Any]:
    client: FlaskClient = create_app(clock=clock).test_client()
    cartons = json.loads((EXAMPLES / "folding_cartons.json").read_bytes())
    cartons["job"]["quantities"] = [5000]
    one = DOCUMENT | {"quantities": [3000]}
    asked = [
        ("/estimate", cartons | {"detail": "lines"}, "application/json"),
        ("/estimate", one, XJDF),
        ("/compare", DOCUMENT, PTK),
    ]
    return [
        client.post(path, json=body, headers={"Accept": kind}).get_json()
        for path, body, kind in asked
    ]


@pytest.mark.parametrize("shown", SHOWN, ids=lambda shown: next(iter(shown)))
def test_each_object_shown_stands_in_an_answer(answers: list[Any], shown: Any) -> None:
    assert shown in list(within(answers))
    assert shown | {next(iter(shown)): "other"} not in list(within(answers))


def test_four_objects_are_shown() -> None:
    assert len(SHOWN) == 4


def test_the_table_of_the_document_is_the_one_printed() -> None:
    answer = create_app(clock=clock).test_client().post("/estimate", json=DOCUMENT).get_json()
    table = [line for line in estimate_text(answer).splitlines() if re.match(r" +[\d,]+  \w", line)]
    assert len(table) == 3
    assert all(line in PAGE for line in table)
