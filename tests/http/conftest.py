"""The service under test, a request to start from, and the document that answers must match."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator

from published import FORMATS
from shop import clock
from sidelay.config import Settings
from sidelay.http.app import create_app

ROOT = Path(__file__).parents[2]
FLYER = {
    "job": {
        "title": "flyer",
        "quantities": [500, 1000],
        "parts": [
            {
                "name": "flyer",
                "size": "a6",
                "stock": {"grade": "coated", "finish": "silk", "grammage_gsm": 130},
                "front": {"inks": ["cyan", "magenta", "yellow", "black"]},
                "back": {"inks": ["black"]},
            }
        ],
    },
    "plant": "demo",
}


@pytest.fixture(scope="session")
def app() -> Flask:
    """The service on the demo plant, whatever the environment and the time of day say."""
    return create_app(Settings(), clock=clock)


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


@pytest.fixture
def flyer() -> dict[str, Any]:
    """A request without a fault, free to be changed."""
    return copy.deepcopy(FLYER)


@pytest.fixture
def flyer_part(flyer: dict[str, Any]) -> dict[str, Any]:
    """The part inside `flyer`."""
    part: dict[str, Any] = flyer["job"]["parts"][0]
    return part


@pytest.fixture
def faults(client: FlaskClient) -> Callable[[Any], dict[str, str]]:
    """Post a request to /validate and return its faults: code by pointer; none when it is valid."""

    def post(body: Any) -> dict[str, str]:
        response = client.post("/validate", json=body)
        assert response.status_code in (200, 422), response.text
        errors = response.get_json().get("errors", [])
        found = {error["pointer"]: error["code"] for error in errors}
        assert len(found) == len(errors), f"a pointer stands twice: {errors}"
        assert all(error["detail"] for error in errors)
        return found

    return post


@pytest.fixture(scope="session")
def document(app: Flask) -> dict[str, Any]:
    """The document that the service serves."""
    return json.loads(app.test_client().get("/openapi.json").data)


@pytest.fixture(scope="session")
def conforms(document: dict[str, Any]) -> Callable[[str, Any], None]:
    """Check an answer against a component of the document, members it does not name refused."""
    components = copy.deepcopy(document["components"])
    for component in components["schemas"].values():
        component["additionalProperties"] = False

    def check(component: str, answer: Any) -> None:
        schema = {"$ref": f"#/components/schemas/{component}", "components": components}
        checked = Draft202012Validator(schema, format_checker=FORMATS)
        faults = [
            f"{fault.json_path}: {fault.message}"
            for fault in checked.iter_errors(answer)
        ]
        assert not faults, faults[:5]

    return check
