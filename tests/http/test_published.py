"""Every answer of every operation, and every problem, is as the OpenAPI document tells it.

What is checked by hand elsewhere is checked here by a library that knows JSON Schema and nothing of
us (published.py). The answers to all examples are held against the same components, with the same
formats, in test_answers.py.
"""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Collection, Iterator, Mapping
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from access_files import CLIENTS, OFFICE_KEY, PROBE_KEY, SHOP_KEY, kept_app
from contracts.recorded import FOLDER, Asked, sent, service
from published import FORMATS, Published, formats_in, template_of
from sidelay.config import Settings
from sidelay.http.callers import KEY_FIELD
from sidelay.http.media_types import NDJSON
from sidelay.http.operations import OPERATIONS, Operation
from sidelay.http.routes import EXTENSION
from sidelay.http.schemas.body import RequestSchema

IDS = {
    "product_id": "poster",
    "process_id": "toner",
    "plant_id": "demo",
    "problem_id": "not_found",
}
# What the document allows for, and no request of these leads to: what tells what is known to work
# without anything that could fail.
NEVER = {
    ("get", "/livez", "500"),
    ("get", "/metrics", "500"),
    ("get", "/problems/{problem_id}", "500"),
}
# More than any setting lets a body have.
MOST_BYTES = max(
    getattr(Settings(), each.name)
    for each in dataclasses.fields(Settings)
    if each.name.endswith("_bytes")
)
# Bodies of what takes no job; a list for lines.
OTHER_BODIES: Mapping[str, Any] = {
    "/quotes/check": {"token": "none.such"},
    "/batch": [{"request": {}}, {"ask": "compare", "request": {"job": {}}}],
}
EACH = [pytest.param(each, id=each.id) for each in OPERATIONS]


@pytest.fixture(scope="module")
def published() -> Published:
    return Published(service().get("/openapi.json").get_json())


@pytest.fixture(scope="module")
def apps(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Flask]:
    """Services by what is the matter with them."""
    folder = tmp_path_factory.mktemp("apps")
    limits = "[limits]\nrequests = 1\n"
    made = {
        "closed": kept_app(folder),
        "limited": kept_app(folder, f"open = []\n{limits}{CLIENTS}"),
        "broken": kept_app(folder),
        "sound": service().application,
    }
    made["broken"].extensions[EXTENSION] = None
    return made


def path_of(operation: Operation, ids: Mapping[str, str] = IDS) -> str:
    path = operation.path
    for name, value in ids.items():
        path = path.replace(f"{{{name}}}", value)
    return path


def body_of(operation: Operation) -> Any:
    """A body that is met, None where none is taken."""
    if operation.request is None:
        return None
    if operation.request is not RequestSchema:
        return OTHER_BODIES[operation.path]
    told = json.loads((FOLDER / "validate.json").read_bytes())
    return told["request"]["body"]


def situations(
    operation: Operation, kinds: Collection[str], apps: Mapping[str, Flask]
) -> Iterator[Any]:
    """Answer an operation in every way that it can be answered. kinds: media types of the answer"""
    path, body = path_of(operation), body_of(operation)
    key = {KEY_FIELD: PROBE_KEY if operation.needs == "admin" else OFFICE_KEY}

    met = sent(body)

    def ask(app: str, at: str = path, body: Any = met, **fields: Any) -> Any:
        asked = {"method": operation.method.upper(), "headers": key | fields}
        return apps[app].test_client().open(at, **asked, **body)

    whole = ask("closed")
    assert whole.status_code == 200, whole.text
    yield whole
    for kind in kinds:
        yield ask("closed", Accept=kind)
    if operation.kept:
        yield ask("closed", **{"If-None-Match": whole.headers["ETag"]})
        yield ask("closed", f"{path}?quantity=none&language=xx-none")
    yield ask("closed", Accept="image/x-none")
    yield ask("closed", f"{path}?key={OFFICE_KEY}")
    yield ask("broken")
    if operation.needs:
        yield ask("closed", **{KEY_FIELD: ""})
        yield ask("closed", **{KEY_FIELD: "none such"})
        yield ask("closed", **{KEY_FIELD: SHOP_KEY if operation.needs == "admin" else PROBE_KEY})
        for _ in range(2):  # one is answered
            yield ask("limited")
    if "{" in operation.path:
        yield ask("closed", path_of(operation, dict.fromkeys(IDS, "none")))
    if body is not None:
        kind = met.get("content_type", "application/json")
        yield ask("closed", f"{path}?after=none&chart=none")
        yield ask("closed", body={"json": {"token": 7, "colour": "red"}})
        yield ask("closed", body={"data": b"{", "content_type": kind})
        yield ask("closed", body={"data": b"{}", "content_type": "text/plain"})
        yield ask("closed", body={"data": b" " * (MOST_BYTES + 1), "content_type": kind})


@pytest.mark.parametrize("operation", EACH)
def test_whatever_an_operation_answers_is_as_published(
    published: Published, apps: Mapping[str, Flask], operation: Operation
) -> None:
    method, path = operation.method, operation.path
    told = published.operation(method, path)["responses"]
    reached, kinds = set(), set()
    for response in situations(operation, told["200"]["content"], apps):
        assert published.faults(method, path, response) == []
        reached.add(str(response.status_code))
        if response.status_code == 200:
            kinds.add(response.mimetype)
    never = {status for *where, status in NEVER if where == [method, path]}
    assert reached <= told.keys()
    assert told.keys() - reached <= never
    assert kinds == told["200"]["content"].keys()


@pytest.mark.parametrize("file", sorted(FOLDER.glob("*.json")), ids=lambda file: file.stem)
def test_what_contracts_record_is_as_published_today(published: Published, file: Any) -> None:
    """Answers with every member that can be asked for."""
    asked = Asked(file.stem, **json.loads(file.read_bytes())["request"])
    method, _, path = asked.operation.partition(" ")
    assert published.faults(method, path, asked.ask(service())) == []


@pytest.mark.parametrize(
    "asked",
    [
        "flyer/price-list?quantity=500&size=a6,a5&stock=silk_130&film=none&turn=usual",
        "booklet/price-list?quantity=500&size=a5&turn=usual&pages=8,16,52",
        "poster/price-list",
    ],
)
def test_each_line_of_a_price_list_is_a_row_as_published(published: Published, asked: str) -> None:
    lines = service().get(f"/products/{asked}", headers={"Accept": NDJSON})
    rows = [json.loads(line) for line in lines.data.splitlines()]
    assert len(rows) > 3
    place = ["components", "schemas", "PriceList", "properties", "rows", "items"]
    for row in rows:
        assert published.faults_of(row, *place) == []
    for wrong in ({"net": 1.5}, {"net": "1,50"}, {"quantity": 0}, {"size": None}):
        assert published.faults_of(rows[0] | wrong, *place) != []
    without = {name: rows[0][name] for name in rows[0] if name != "currency"}
    assert published.faults_of(without, *place) != []


def test_no_route_is_without_an_operation(apps: Mapping[str, Flask]) -> None:
    """Whoever adds one tells it, also under a method that no operation has."""
    operations = {(each.method.upper(), each.path) for each in OPERATIONS}
    for app in apps.values():
        for rule in app.url_map.iter_rules():
            methods = set(rule.methods or ()) - {"HEAD", "OPTIONS"}
            assert methods, rule
            assert {(method, template_of(rule.rule)) for method in methods} <= operations
        assert app.static_folder is None


def test_the_answer_of_each_operation_is_a_component_that_examples_are_held_against(
    published: Published,
) -> None:
    """What test_answers.py checks by the name of a component is what the operation answers with."""
    named = {"/estimate": "Estimate", "/compare": "Comparison", "/validate": "Valid"}
    for path, name in named.items():
        content = published.operation("post", path)["responses"]["200"]["content"]
        assert content["application/json"]["schema"] == {"$ref": f"#/components/schemas/{name}"}


# ---------------------------------------------------------------- the check itself


def test_every_format_of_the_document_is_one_that_is_checked(published: Published) -> None:
    formats = formats_in(published.document["paths"]) | formats_in(published.document["components"])
    assert formats == {"date-time", "decimal"} == set(FORMATS.checkers)
    for form, good, bad in (
        ("date-time", "2026-11-24T09:00:00Z", "2026-11-24T09:00:00"),
        ("date-time", "2026-11-24T09:00:00.5+05:30", "2026-13-24T09:00:00Z"),
        ("decimal", "12.50", "12,50"),
        ("decimal", "0", "NaN"),
    ):
        assert FORMATS.conforms(good, form)
        assert not FORMATS.conforms(bad, form)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda answer: answer["estimates"][0].pop("price"), "'price' is a required property"),
        (lambda answer: answer["estimates"][0]["price"].update(net=1.5), "is not of type 'string'"),
        (lambda answer: answer["estimates"][0]["price"].update(tax="1.00"), "'tax' was unexpected"),
        (lambda answer: answer["clock"].update(as_of="yesterday"), "is not a 'date-time'"),
        (lambda answer: answer["excluded"][0]["findings"][0].update(severity="x"), "is not one of"),
    ],
)
def test_what_is_not_as_published_is_found(published: Published, change: Any, told: str) -> None:
    asked = json.loads((FOLDER / "estimate_a6_flyer.json").read_bytes())["request"]
    answer = Asked("", **asked).send(service())
    place = ["paths", "/estimate", "post", "responses", "200", "content", "application/json"]
    assert published.faults_of(answer, *place, "schema") == []
    change(answer)
    (fault,) = published.faults_of(answer, *place, "schema")
    assert told in fault


def test_a_status_or_a_type_that_is_not_told_is_found(published: Published) -> None:
    client: FlaskClient = service()
    teapot = client.get("/livez")
    teapot.status_code = 418
    assert published.faults("get", "/livez", teapot) == ["418 is not told"]
    page = client.get("/livez")
    page.headers["Content-Type"] = "text/html"
    assert published.faults("get", "/livez", page) == ["text/html is not told"]
    named = client.get("/livez")
    named.headers["X-Request-Id"] = "no/id"
    (fault,) = published.faults("get", "/livez", named)
    assert fault.startswith("X-Request-Id: ")
