"""What holds for every exchange: media types, methods, sizes, ids, headers, and no leaks."""

from __future__ import annotations

import json
import logging
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import EnvironBuilder, run_wsgi_app

from shop import clock
from sidelay.config import Settings
from sidelay.http import answering
from sidelay.http.app import create_app
from sidelay.http.problems import PROBLEM_TYPES

POSTED = ("/estimate", "/compare", "/validate")
IANA_TYPES = "https://iana.org/assignments/http-problem-types#"
READ = ("/processes", "/processes/toner", "/plants", "/plants/demo", "/livez", "/readyz")


def assert_problem(response: Any, status: int, type_id: str) -> dict[str, Any]:
    problem: dict[str, Any] = response.get_json()
    assert response.status_code == status == problem["status"]
    assert response.content_type == "application/problem+json"
    assert problem["type"] == f"/problems/{type_id}"
    assert problem["title"]
    assert problem["detail"]
    assert problem["request_id"] == response.headers["X-Request-Id"]
    assert response.headers["X-Content-Type-Options"] == "nosniff"
    assert "no-store" in response.headers["Cache-Control"]
    return problem


@pytest.mark.parametrize(
    "content_type",
    [
        None,
        "",
        "text/plain",
        "application/x-www-form-urlencoded",
        "application/vnd.api+json",
        "application/problem+json",
        "application/json; charset=utf-16",
        "application/json; charset=iso-8859-1",
    ],
)
def test_other_media_types_are_415(
    client: FlaskClient, flyer: dict[str, Any], content_type: str | None
) -> None:
    response = client.post("/estimate", data=json.dumps(flyer), content_type=content_type)
    problem = assert_problem(response, 415, "unsupported_media_type")
    assert "application/json" in problem["detail"]
    assert response.headers["Accept"].split(", ")[0] == "application/json"


def test_a_compressed_body_is_415(client: FlaskClient, flyer: dict[str, Any]) -> None:
    response = client.post("/estimate", json=flyer, headers={"Content-Encoding": "gzip"})
    assert_problem(response, 415, "unsupported_media_type")


@pytest.mark.parametrize(
    "content_type",
    [
        "application/json",
        "application/json; charset=utf-8",
        'application/json;charset="UTF-8"',
        "Application/JSON",
    ],
)
def test_json_in_utf8_is_taken(
    client: FlaskClient, flyer: dict[str, Any], content_type: str
) -> None:
    response = client.post("/validate", data=json.dumps(flyer), content_type=content_type)
    assert response.status_code == 200, response.text


@pytest.mark.parametrize("path", POSTED)
def test_a_body_of_five_megabytes_is_413(client: FlaskClient, path: str) -> None:
    body = b'{"job": "' + b"x" * 5_000_000 + b'"}'
    response = client.post(path, data=body, content_type="application/json")
    problem = assert_problem(response, 413, "body_too_large")
    assert "262,144 bytes" in problem["detail"]


def test_the_size_of_a_body_is_a_setting() -> None:
    client = create_app(Settings(max_body_bytes=10), clock=clock).test_client()
    assert client.post("/validate", json={"a": 1}).status_code == 422
    assert_problem(client.post("/validate", json={"a": 1000}), 413, "body_too_large")


@pytest.mark.parametrize("declared", [True, False])
def test_a_body_is_read_up_to_the_limit_and_never_cut(declared: bool) -> None:
    """A chunked body has no declared length: what lies beyond the limit must not vanish."""
    app = create_app(Settings(max_body_bytes=20), clock=clock)

    def status(body: bytes) -> int:
        given = {"method": "POST", "data": body, "content_type": "application/json"}
        environ = EnvironBuilder("/validate", **given).get_environ()
        if not declared:
            del environ["CONTENT_LENGTH"]
            environ["wsgi.input_terminated"] = True
        _, line, _ = run_wsgi_app(app, environ)
        return int(line.split()[0])

    assert [status(b'{"a": 1}' + b" " * n) for n in (0, 11, 12)] == [422, 422, 422]
    assert [status(b'{"a": 1}' + b" " * n) for n in (13, 14, 10_000)] == [413, 413, 413]


@pytest.mark.parametrize(
    "accept", ["text/html", "application/xml", "application/json;q=0, */*;q=0"]
)
@pytest.mark.parametrize("path", READ)
def test_an_accept_without_json_is_406(client: FlaskClient, path: str, accept: str) -> None:
    problem = assert_problem(client.get(path, headers={"Accept": accept}), 406, "not_acceptable")
    assert "application/json" in problem["detail"]


@pytest.mark.parametrize("accept", ["*/*", "application/*", "text/html, application/json;q=0.1"])
def test_an_accept_with_json_is_met(client: FlaskClient, accept: str) -> None:
    response = client.get("/plants", headers={"Accept": accept})
    assert response.status_code == 200
    assert response.content_type == "application/json"


@pytest.mark.parametrize("path", POSTED)
@pytest.mark.parametrize("method", ["GET", "PUT", "DELETE", "PATCH"])
def test_a_wrong_method_is_405_with_what_is_allowed(
    client: FlaskClient, path: str, method: str
) -> None:
    response = client.open(path, method=method)
    assert_problem(response, 405, "method_not_allowed")
    assert "POST" in response.headers["Allow"].split(", ")


@pytest.mark.parametrize("path", READ)
def test_what_is_read_cannot_be_posted(client: FlaskClient, path: str) -> None:
    response = client.post(path, json={})
    assert_problem(response, 405, "method_not_allowed")
    assert "GET" in response.headers["Allow"].split(", ")


@pytest.mark.parametrize(
    "path",
    ["/", "/nothing", "/estimate/", "//estimate", "/plants/none", "/processes/none", "/problems/x"],
)
def test_an_unknown_path_is_404(client: FlaskClient, path: str) -> None:
    assert_problem(client.get(path), 404, "not_found")


def test_query_parameters_are_ignored_but_by_compare(client: FlaskClient) -> None:
    assert client.get("/plants?rates=1").data == client.get("/plants").data
    for path in ("/estimate?chart=pie", "/validate?x=1"):
        assert client.post(path, json={}).get_json()["errors"][0]["pointer"] == "#/job"


@pytest.mark.parametrize("given", ["a", "order-42_x.7", "A" * 80])
def test_a_sane_request_id_is_kept(client: FlaskClient, given: str) -> None:
    response = client.get("/livez", headers={"X-Request-Id": given})
    assert response.headers["X-Request-Id"] == given


@pytest.mark.parametrize("given", ["", "A" * 81, "a b", "<script>", "é"])
def test_another_request_id_is_replaced(client: FlaskClient, given: str) -> None:
    first, second = (
        client.get("/livez", headers={"X-Request-Id": given}).headers["X-Request-Id"]
        for _ in range(2)
    )
    assert first != second
    assert len(first) == 32


@pytest.mark.parametrize(
    ("path", "cache"),
    [("/livez", "no-store"), ("/readyz", "no-store"), ("/plants", "private, max-age=60")],
)
def test_how_long_answers_may_be_kept(client: FlaskClient, path: str, cache: str) -> None:
    response = client.get(path)
    assert response.headers["Cache-Control"] == cache
    assert response.headers["X-Content-Type-Options"] == "nosniff"


def test_prices_are_not_kept(client: FlaskClient, flyer: dict[str, Any]) -> None:
    response = client.post("/compare", json=flyer)
    assert response.headers["Cache-Control"] == "private, no-store"


def test_a_fault_of_ours_is_500_and_tells_nothing(
    app: Flask,
    client: FlaskClient,
    flyer: dict[str, Any],
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:
    def fail(*_: Any, **__: Any) -> None:
        raise RuntimeError("secret of /srv/rates")

    monkeypatch.setattr(answering, "estimate", fail)
    with caplog.at_level(logging.ERROR):
        response = client.post("/estimate", json=flyer, headers={"X-Request-Id": "lost-1"})
    assert_problem(response, 500, "internal")
    assert "secret" not in response.text
    assert "RuntimeError" not in response.text
    assert "lost-1" in caplog.text
    assert "secret" in caplog.text


def test_every_problem_is_explained_where_its_type_leads(
    client: FlaskClient, document: dict[str, Any], conforms: Callable[[str, Any], None]
) -> None:
    for type_id in document["components"]["responses"]:
        response = client.get(f"/problems/{type_id}")
        conforms("ProblemType", response.get_json())
        kind = PROBLEM_TYPES[type_id]
        assert response.get_json()["type"] == kind.uri
        assert kind.uri == f"/problems/{type_id}" or kind.uri.startswith(IANA_TYPES)


def test_problems_are_as_published(
    client: FlaskClient, conforms: Callable[[str, Any], None]
) -> None:
    for response in (
        client.get("/nothing"),
        client.put("/estimate"),
        client.get("/plants", headers={"Accept": "text/html"}),
        client.post("/estimate", data=b"{", content_type="application/json"),
        client.post("/estimate", json={}),
    ):
        conforms("Problem", response.get_json())
