"""Who may ask what: keys, scopes, and keys where they do not belong, through the real app."""

from __future__ import annotations

import logging
import re
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import EnvironBuilder, run_wsgi_app

from access_files import (
    CLIENTS,
    CLOSED,
    NEXT_KEY,
    OFFICE_KEY,
    PROBE_KEY,
    SHOP_KEY,
    client,
    kept_app,
)
from sidelay.http.callers import KEY_FIELD, caller, needed
from sidelay.http.operations import OPERATIONS
from sidelay.http.wsgi import EXIT_STATUS, start_or_exit
from sidelay.keys import key_hash

# What every route needs. A new one is in here before it is in the service.
NEEDS = {
    ("POST", "/estimate"): "price",
    ("POST", "/compare"): "price",
    ("POST", "/validate"): "price",
    ("POST", "/batch"): "price",
    ("POST", "/quotes/check"): "price",
    ("GET", "/processes"): "price",
    ("GET", "/processes/{process_id}"): "price",
    ("GET", "/plants"): "price",
    ("GET", "/plants/{plant_id}"): "price",
    ("GET", "/products"): "price",
    ("GET", "/products/{product_id}"): "price",
    ("GET", "/products/{product_id}/price"): "price",
    ("GET", "/products/{product_id}/price-list"): "price",
    ("GET", "/products/{product_id}/job"): "price",
    ("GET", "/metrics"): "admin",
    ("GET", "/problems/{problem_id}"): None,
    ("GET", "/openapi.json"): None,
    ("GET", "/livez"): None,
    ("GET", "/readyz"): None,
}
IDS = {"process_id": "toner", "plant_id": "demo", "product_id": "flyer", "problem_id": "internal"}
KEYS = {"price": SHOP_KEY, "cost": OFFICE_KEY, "admin": PROBE_KEY}


@pytest.fixture(scope="module")
def closed(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    return kept_app(tmp_path_factory.mktemp("closed"))


@pytest.fixture
def asking(closed: Flask) -> FlaskClient:
    return closed.test_client()


def with_key(key: str) -> dict[str, str]:
    return {KEY_FIELD: key}


def type_of(response: Any) -> str:
    assert response.content_type == "application/problem+json", response.text
    return str(response.get_json()["type"]).removeprefix("/problems/")


def path_of(route: str) -> str:
    return re.sub(r"\{(\w+)\}", lambda found: IDS[found[1]], route)


def test_every_route_has_its_scope_in_the_table_and_in_the_document(closed: Flask) -> None:
    """A view without a mark needs price: whoever forgets it has not let anyone in."""
    routed = {
        (method, re.sub(r"<(\w+)>", r"{\1}", rule.rule)): needed(
            closed.view_functions[rule.endpoint]
        )
        for rule in closed.url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
    }
    documented = {(each.method.upper(), each.path): each.needs for each in OPERATIONS}
    assert routed == NEEDS == documented


def test_the_document_tells_scopes_as_openapi_writes_them(asking: FlaskClient) -> None:
    """OpenAPI 3.1, security requirement object: the list of an apiKey may have role names."""
    document = asking.get("/openapi.json").get_json()
    scheme = document["components"]["securitySchemes"]["key"]
    assert (scheme["type"], scheme["in"], scheme["name"]) == ("apiKey", "header", KEY_FIELD)
    for (method, path), scope in NEEDS.items():
        operation = document["paths"][path][method.lower()]
        assert operation["security"] == ([{"key": [scope]}, {}] if scope else [])
        assert ({"401", "403", "429"} <= operation["responses"].keys()) == (scope is not None)
        assert "key_in_url" in str(operation["responses"]["400"])


@pytest.mark.parametrize(("method", "route"), [each for each, scope in NEEDS.items() if scope])
def test_without_a_key_nothing_is_told_or_read(
    asking: FlaskClient, method: str, route: str
) -> None:
    """RFC 9110, 15.5.2 and 11.6.1: a 401 carries a challenge."""
    response = asking.open(path_of(route), method=method, data=b"{", headers={"Accept": "x/y"})
    assert response.status_code == 401
    assert type_of(response) == "key_missing"
    assert re.fullmatch(r'[A-Za-z]+ realm="[a-z]+"', response.headers["WWW-Authenticate"])
    assert response.headers["Cache-Control"] == "private, no-store"


@pytest.mark.parametrize(("method", "route"), [each for each, scope in NEEDS.items() if not scope])
@pytest.mark.parametrize("headers", [{}, with_key("k" * 40)])
def test_what_needs_no_scope_needs_no_key(
    asking: FlaskClient, method: str, route: str, headers: dict[str, str]
) -> None:
    response = asking.open(path_of(route), method=method, headers=headers)
    assert response.status_code == 200
    assert "RateLimit" not in response.headers


@pytest.mark.parametrize(
    "path", ["/nothing", "/estimate/", "/PLANTS", "/plants/demo/", "//plants", "/docs"]
)
def test_what_is_not_there_is_not_there_for_anyone(asking: FlaskClient, path: str) -> None:
    assert asking.get(path).status_code == 404
    assert asking.get(path, headers=with_key(SHOP_KEY)).status_code == 404


def test_a_wrong_method_is_405_for_anyone(asking: FlaskClient) -> None:
    response = asking.put("/estimate")
    assert response.status_code == 405
    assert "POST" in response.headers["Allow"]


@pytest.mark.parametrize("method", ["HEAD", "GET"])
def test_a_key_opens_what_its_scope_opens(asking: FlaskClient, method: str) -> None:
    for key in (SHOP_KEY, OFFICE_KEY):
        assert asking.open("/plants", method=method, headers=with_key(key)).status_code == 200
    assert asking.open("/plants", method=method).status_code == 401


@pytest.mark.parametrize(("method", "route"), [each for each, scope in NEEDS.items() if scope])
def test_a_key_without_the_scope_is_refused_and_the_scope_named(
    asking: FlaskClient, method: str, route: str
) -> None:
    scope = NEEDS[method, route]
    assert scope is not None
    for held, key in KEYS.items():
        response = asking.open(path_of(route), method=method, headers=with_key(key), data=b"{")
        if scope in (held, "price" if held == "cost" else held):
            assert response.status_code not in (401, 403)
        else:
            assert response.status_code == 403
            assert type_of(response) == "scope_missing"
            assert f"scope {scope}" in response.get_json()["detail"]


@pytest.mark.parametrize(
    "key",
    ["", "k" * 40, SHOP_KEY[:-1], SHOP_KEY.upper(), key_hash(SHOP_KEY), f"{SHOP_KEY} {SHOP_KEY}"],
)
def test_an_unknown_key_is_refused_and_not_told(
    asking: FlaskClient, key: str, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.DEBUG):
        response = asking.get("/plants", headers=with_key(key))
    assert response.status_code == 401
    assert type_of(response) == "unknown_key"
    assert "WWW-Authenticate" in response.headers
    assert not key or key not in response.text + str(response.headers) + caplog.text


def test_an_unknown_key_is_refused_where_anyone_may_come_without(tmp_path: Path) -> None:
    """Whoever believes to have a key learns that it is none, and sees no other's prices."""
    asking = kept_app(tmp_path, f'open = ["price"]\n{CLIENTS}').test_client()
    assert asking.get("/plants").status_code == 200
    assert type_of(asking.get("/plants", headers=with_key("k" * 40))) == "unknown_key"


def test_whoever_comes_without_a_key_is_asked_for_one_where_more_is_needed(tmp_path: Path) -> None:
    """RFC 9110, 15.5.4: 403 is for credentials that do not suffice; here there are none."""
    asking = kept_app(tmp_path, f'open = ["price"]\n{CLIENTS}').test_client()
    refused = asking.get("/metrics")
    assert refused.status_code == 401
    assert type_of(refused) == "key_missing"
    assert "scope admin" in refused.get_json()["detail"]
    assert "WWW-Authenticate" in refused.headers
    assert asking.get("/metrics", headers=with_key(PROBE_KEY)).status_code == 200


@pytest.mark.parametrize("between", [",", ", "])
def test_a_repeated_key_is_unknown(closed: Flask, between: str) -> None:
    """RFC 9110, 5.3: a field sent twice reads as its values with a comma between."""
    environ = EnvironBuilder(path="/plants").get_environ()
    environ["HTTP_X_API_KEY"] = between.join([SHOP_KEY, SHOP_KEY])
    body, status, _ = run_wsgi_app(closed, environ)
    assert status.startswith("401 ")
    assert b"unknown_key" in b"".join(body)


def test_rotation_and_revocation(tmp_path: Path) -> None:
    def opens(*keys: str) -> list[int]:
        asking = kept_app(tmp_path, "open = []\n" + client("shop", "price", *keys)).test_client()
        return [
            asking.get("/plants", headers=with_key(key)).status_code for key in (SHOP_KEY, NEXT_KEY)
        ]

    assert opens(SHOP_KEY) == [200, 401]
    assert opens(SHOP_KEY, NEXT_KEY) == [200, 200]
    assert opens(NEXT_KEY) == [401, 200]


@pytest.mark.parametrize(
    "name",
    ["api_key", "apikey", "x-api-key", "X-API-Key", "key", "KEY", "access_token", "Authorization"],
)
@pytest.mark.parametrize("path", ["/plants", "/products/flyer/price", "/openapi.json", "/estimate"])
def test_a_parameter_for_a_key_is_refused(asking: FlaskClient, path: str, name: str) -> None:
    """RFC 6750, section 5.3: bearer tokens do not go in page URLs; a key is one."""
    response = asking.open(
        path,
        method="POST" if path == "/estimate" else "GET",
        query_string={"size": "a6", name: "anything-of-mine"},
        headers=with_key(SHOP_KEY),
    )
    assert response.status_code == 400
    assert type_of(response) == "key_in_url"
    assert "revoked" in response.get_json()["detail"]
    assert "anything-of-mine" not in response.text


@pytest.mark.parametrize("key", [SHOP_KEY, OFFICE_KEY])
@pytest.mark.parametrize("query", ["size={}", "a=1&a={}", "x=&y=%20&{}={}"])
def test_a_known_key_in_any_parameter_is_refused_and_not_told(
    asking: FlaskClient, key: str, query: str, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.DEBUG):
        response = asking.get("/plants?" + query.replace("{}", key))
    assert type_of(response) == "key_in_url"
    assert key not in response.text + str(response.headers) + caplog.text


def test_a_caller_is_who_its_key_says(closed: Flask) -> None:
    for key, name, sees in ((SHOP_KEY, "shop", False), (OFFICE_KEY, "office", True)):
        with closed.test_request_context("/plants", headers=with_key(key)):
            closed.preprocess_request()
            assert (caller().client, caller().sees_costs) == (name, sees)
    with closed.test_request_context("/livez", headers=with_key(OFFICE_KEY)):
        closed.preprocess_request()
        assert caller().scopes == frozenset()


def test_no_cache_gives_an_answer_to_another_key(asking: FlaskClient) -> None:
    """RFC 9110, 12.5.5: Vary names the fields that an answer depends on."""
    response = asking.get("/plants/demo", headers=with_key(SHOP_KEY))
    assert KEY_FIELD in response.vary
    assert response.headers["Cache-Control"].startswith("private")


def test_a_key_is_nowhere_in_an_answer_or_a_log(
    asking: FlaskClient, flyer: dict[str, Any], caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.DEBUG):
        answers = [
            asking.post("/estimate", json=flyer, headers=with_key(SHOP_KEY)),
            asking.post("/estimate", json={}, headers=with_key(SHOP_KEY)),
            asking.get("/metrics", headers=with_key(PROBE_KEY)),
        ]
    assert [answer.status_code for answer in answers] == [200, 422, 200]
    for key in (SHOP_KEY, PROBE_KEY, key_hash(SHOP_KEY)):
        for answer in answers:
            assert key not in answer.text + str(answer.headers)
        assert key not in caplog.text


def test_a_cap_on_quantities(tmp_path: Path, flyer: dict[str, Any]) -> None:
    own = "[clients.limits]\nquantities = 1\n"
    text = 'open = ["price"]\n[limits]\nquantities = 3\n' + client(
        "shop", "price", SHOP_KEY, more=own
    )
    asking = kept_app(tmp_path, text).test_client()
    for path in ("/estimate", "/compare", "/validate"):
        for headers, most in (({}, 3), (with_key(SHOP_KEY), 1)):
            flyer["job"]["quantities"] = [100, 200, 300, 400][:most]
            assert asking.post(path, json=flyer, headers=headers).status_code == 200
            flyer["job"]["quantities"] = [100, 200, 300, 400][: most + 1]
            refused = asking.post(path, json=flyer, headers=headers)
            assert refused.status_code == 422
            [error] = refused.get_json()["errors"]
            assert (error["pointer"], error["code"]) == ("#/job/quantities", "too_many")
            assert f"at most {most} " in error["detail"]


def test_the_cap_is_told_beside_other_faults(tmp_path: Path, flyer: dict[str, Any]) -> None:
    asking = kept_app(tmp_path, 'open = ["price"]\n[limits]\nquantities = 1\n').test_client()
    flyer["job"]["parts"][0]["size"] = "a99"
    found = asking.post("/validate", json=flyer | {"colour": 1}).get_json()["errors"]
    assert {error["pointer"] for error in found} >= {"#/colour", "#/job/quantities"}
    for odd in ({"job": 1}, {"job": {"quantities": 7}}, {"job": {}}, {}):
        assert asking.post("/validate", json=odd).status_code == 422


def test_a_faulty_access_file_stops_the_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "access.toml"
    file.write_text(CLOSED.replace('"price"', '"prices"').replace("https://", "https://Big."))
    monkeypatch.setenv("SIDELAY_ACCESS", str(file))
    with pytest.raises(SystemExit) as ended:
        start_or_exit()
    assert ended.value.code == EXIT_STATUS == 3
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 2
    assert all(line.startswith("access.toml:") for line in lines)


def test_a_group_that_no_plant_has_stops_the_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "access.toml"
    file.write_text("open = []\n" + client("a", "price", SHOP_KEY, more='group = "nobodies"\n'))
    monkeypatch.setenv("SIDELAY_ACCESS", str(file))
    with pytest.raises(SystemExit):
        start_or_exit()
    assert "no plant has this customer group" in capsys.readouterr().err
