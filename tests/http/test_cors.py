"""Pages of listed origins may ask from a browser, others may not: the Fetch standard (WHATWG)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from access_files import CLIENTS, NEXT_KEY, ORIGIN, SHOP_KEY, kept_app
from sidelay.http.callers import KEY_FIELD

OTHERS = (
    "null",
    "https://shop.example.evil.example",
    "https://evil-shop.example",
    "http://shop.example",
    "https://shop.example:8443",
    "https://SHOP.example",
    "https://shop.example/",
    "https://shop.example,https://shop.example",
    "",
)
LIMITED = f'open = ["price"]\norigins = ["{ORIGIN}", "http://127.0.0.1:8080"]\n'


@pytest.fixture(scope="module")
def asking(tmp_path_factory: pytest.TempPathFactory) -> FlaskClient:
    text = f"{LIMITED}[limits]\nrequests = 2\n{CLIENTS}"
    return kept_app(tmp_path_factory.mktemp("cors"), text).test_client()


def preflight(asking: FlaskClient, path: str, origin: str, method: str = "GET") -> Any:
    headers = {"Origin": origin, "Access-Control-Request-Method": method}
    return asking.options(path, headers=headers)


def cors_fields(response: Any) -> dict[str, str]:
    return {name: text for name, text in response.headers if name.startswith("Access-Control-")}


def words(text: str) -> set[str]:
    return {word.strip() for word in text.split(",")}


@pytest.mark.parametrize(
    ("path", "methods"),
    [
        ("/estimate", {"POST", "OPTIONS"}),
        ("/plants", {"GET", "HEAD", "OPTIONS"}),
        ("/products/flyer/price", {"GET", "HEAD", "OPTIONS"}),
        ("/livez", {"GET", "HEAD", "OPTIONS"}),
    ],
)
def test_a_preflight_from_a_listed_origin(
    asking: FlaskClient, path: str, methods: set[str]
) -> None:
    """Fetch, CORS-preflight fetch: an ok status, and what may be sent. No key comes with it."""
    response = preflight(asking, path, ORIGIN, "POST")
    assert response.status_code == 204
    assert response.data == b""
    assert "Content-Type" not in response.headers
    fields = cors_fields(response)
    assert fields.pop("Access-Control-Allow-Origin") == ORIGIN
    assert words(fields.pop("Access-Control-Allow-Methods")) == methods
    assert words(fields.pop("Access-Control-Allow-Headers")) == {
        "Content-Type",
        "X-API-Key",
        "X-Request-Id",
        "If-None-Match",
    }
    assert fields.pop("Access-Control-Max-Age") == "600"
    assert fields == {}
    assert "Origin" in response.vary


@pytest.mark.parametrize("origin", OTHERS)
def test_a_preflight_from_another_origin(asking: FlaskClient, origin: str) -> None:
    response = preflight(asking, "/estimate", origin, "POST")
    assert response.status_code == 403
    assert response.get_json()["type"] == "/problems/origin_not_listed"
    assert cors_fields(response) == {}
    assert "Origin" in response.vary


def test_a_preflight_to_nowhere_is_404(asking: FlaskClient) -> None:
    assert preflight(asking, "/nothing", ORIGIN).status_code == 404


@pytest.mark.parametrize("headers", [{}, {"Origin": ORIGIN}])
def test_options_that_is_no_preflight_stays_as_it_is(
    asking: FlaskClient, headers: dict[str, str]
) -> None:
    """RFC 9110, 9.3.7."""
    response = asking.options("/plants", headers=headers)
    assert response.status_code == 200
    assert words(response.headers["Allow"]) == {"GET", "HEAD", "OPTIONS"}
    assert "Access-Control-Allow-Methods" not in response.headers


def test_preflights_do_not_count(asking: FlaskClient) -> None:
    for _ in range(5):
        response = preflight(asking, "/plants", ORIGIN)
        assert response.status_code == 204
        assert "RateLimit" not in response.headers


@pytest.mark.parametrize(
    ("path", "key", "status"),
    [
        ("/processes", SHOP_KEY, 200),
        ("/plants/none", SHOP_KEY, 404),
        ("/nothing", SHOP_KEY, 404),
        ("/plants", NEXT_KEY, 401),
        ("/metrics", SHOP_KEY, 403),
        ("/livez?key=1", SHOP_KEY, 400),
        ("/processes", SHOP_KEY, 429),
    ],
)
def test_a_page_of_a_listed_origin_can_read_every_answer(
    asking: FlaskClient, path: str, key: str, status: int
) -> None:
    """Problems too: Fetch hides from a page whatever has no Allow-Origin."""
    response = asking.get(path, headers={"Origin": ORIGIN, KEY_FIELD: key})
    assert response.status_code == status
    fields = cors_fields(response)
    assert fields.pop("Access-Control-Allow-Origin") == ORIGIN
    exposed = words(fields.pop("Access-Control-Expose-Headers"))
    assert exposed >= {"ETag", "Retry-After", "RateLimit", "RateLimit-Policy", "X-Request-Id"}
    assert exposed >= {"Server-Timing", "Deprecation", "Sunset", "Link", "Content-Language"}
    assert fields == {}, "never with credentials"
    assert "Origin" in response.vary


@pytest.mark.parametrize("origin", OTHERS)
def test_a_page_of_another_origin_can_read_nothing(asking: FlaskClient, origin: str) -> None:
    response = asking.get("/livez", headers={"Origin": origin})
    assert response.status_code == 200
    assert cors_fields(response) == {}
    assert "Origin" in response.vary


def test_the_origin_is_the_one_that_asked(asking: FlaskClient) -> None:
    for origin in (ORIGIN, "http://127.0.0.1:8080"):
        response = asking.get("/livez", headers={"Origin": origin})
        assert response.headers["Access-Control-Allow-Origin"] == origin


def test_without_an_origin_caches_are_told_all_the_same(asking: FlaskClient) -> None:
    """Fetch, "CORS protocol and HTTP caches": or a cache gives a page an answer without fields."""
    response = asking.get("/openapi.json")
    assert cors_fields(response) == {}
    assert "Origin" in response.vary


def test_vary_names_all_that_a_product_depends_on(tmp_path: Path) -> None:
    asking = kept_app(tmp_path, LIMITED).test_client()
    for headers in ({}, {"Origin": ORIGIN}):
        vary = asking.get("/products/flyer/price?quantity=500", headers=headers).vary
        assert {"origin", "accept-language", "x-api-key"} <= {name.lower() for name in vary}


def test_with_no_origins_there_are_no_fields(tmp_path: Path) -> None:
    asking = kept_app(tmp_path, 'open = ["price"]\n').test_client()
    response = asking.get("/livez", headers={"Origin": ORIGIN})
    assert cors_fields(response) == {}
    assert "Origin" not in response.vary
    refused = preflight(asking, "/livez", ORIGIN)
    assert refused.status_code == 403
    assert cors_fields(refused) == {}
