"""What README.md shows is what the service answers."""

import json
import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from sidelay.http.app import create_app

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text()


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def request_shown():
    return json.loads(re.search(r"-d '\n(.*?)'\n```", README, flags=re.DOTALL)[1])


def answer_shown():
    return json.loads(re.search(r"```json\n(.*?)```", README, flags=re.DOTALL)[1])


def test_the_first_request_has_the_answer_shown(client):
    assert client.post("/estimate", json=request_shown()).get_json() == answer_shown()


def test_the_crossover_told_is_the_one_computed(client):
    bands = client.post("/compare", json=request_shown()).get_json()["bands"]
    told = re.search(r"toner up to ([\d,]+)\s+copies, litho\s+from\s+([\d,]+)", README)
    assert [int(number.replace(",", "")) for number in told.groups()] == [
        bands[0]["to"],
        bands[1]["from"],
    ]
    assert [band["process"] for band in bands] == ["toner", "sheetfed_litho"]


def test_every_path_told_is_in_the_document(client):
    paths = set(client.get("/openapi.json").get_json()["paths"])
    told = set(re.findall(r"`(?:POST |GET )?(/[a-z.]+(?:/\{id\})?)`", README))
    generic = {re.sub(r"\{\w+\}", "{id}", path) for path in paths}
    assert told <= generic
    assert {path for path in generic if not path.startswith("/problems")} <= told


def test_every_file_linked_exists():
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        assert (ROOT / target).exists(), target


def test_every_variable_the_service_reads_is_told():
    read = set(re.findall(r"SIDELAY_[A-Z_]+", (ROOT / "service/sidelay/config.py").read_text()))
    assert read <= set(re.findall(r"SIDELAY_[A-Z_]+", README))
