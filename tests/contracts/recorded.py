"""What is recorded, of which service, and how a request that was recorded is sent again."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from shop import EXAMPLES, clock
from sidelay.config import Settings
from sidelay.http.app import create_app
from sidelay.http.media_types import JSON, NDJSON

FOLDER = Path(__file__).parent / "answers"
PROMISES = Path(__file__).parent / "promises.json"
# Never another one: quotes given out with it before are to be known for ever.
QUOTE_KEY = "the key that recorded quotes were signed with"


@dataclass(frozen=True)
class Asked:
    """A request to record.

    name: of the file
    operation: method and path as the document has it
    body: of lines, a list of what stands in them
    media_type: of the answer, and of a body; of lines of JSON, the answer is the list of them
    """

    name: str
    operation: str
    path: str
    body: Any = None
    status: int = 200
    media_type: str = JSON

    def ask(self, client: FlaskClient) -> TestResponse:
        """Return the answer as it comes."""
        method = self.operation.partition(" ")[0].upper()
        headers = {"Accept": self.media_type, "X-Request-Id": "recorded"}
        return client.open(self.path, method=method, headers=headers, **sent(self.body))

    def send(self, client: FlaskClient) -> Any:
        """Return the answer, as JSON."""
        response = self.ask(client)
        assert response.status_code == self.status, response.text
        if response.mimetype == NDJSON:
            return [json.loads(line) for line in response.data.splitlines()]
        return json.loads(response.data)


def sent(body: Any) -> dict[str, Any]:
    """Return a body as the test client is given it: a list as lines of JSON, nothing for None."""
    if body is None:
        return {}
    if not isinstance(body, list):
        return {"json": body}
    return {"data": "\n".join(map(json.dumps, body)).encode(), "content_type": NDJSON}


@cache
def service() -> FlaskClient:
    """The service on the packaged demo plant, at a clock that stands, with a key for quotes."""
    return create_app(Settings(quote_keys=(QUOTE_KEY,)), clock=clock).test_client()


def example(name: str, quantities: list[int], **members: Any) -> dict[str, Any]:
    """The request of an example, at some quantities, with further members."""
    body: dict[str, Any] = json.loads((EXAMPLES / f"{name}.json").read_bytes())
    body["job"]["quantities"] = quantities
    return body | members


def to_record() -> Iterator[Asked]:
    """Yield what is recorded: each operation, and with it whatever members can be asked for."""
    yield from _estimates()
    yield from _comparisons()
    yield Asked("validate", "post /validate", "/validate", example("a6_flyer", [500]))
    broken = example("a6_flyer", [0], plant="none_such", colour="red")
    yield Asked("validate_faults", "post /validate", "/validate", broken, 422)
    yield from _products()
    for name, path in (
        ("processes", "/processes"),
        ("plants", "/plants"),
        ("openapi", "/openapi.json"),
        ("livez", "/livez"),
        ("readyz", "/readyz"),
    ):
        yield Asked(name, f"get {path}", path)
    yield Asked("process", "get /processes/{process_id}", "/processes/sheetfed_litho")
    yield Asked("process_none", "get /processes/{process_id}", "/processes/none", status=404)
    yield Asked("plant", "get /plants/{plant_id}", "/plants/demo")
    yield Asked("problem", "get /problems/{problem_id}", "/problems/invalid_request")


def _estimates() -> Iterator[Asked]:
    every = ("price", "lines", "trace")
    for detail in every:
        body = example("when_ready", [1000], detail=detail, overtime=True, quotes=True)
        body.pop("as_of", None)  # quotes are of the service's own clock
        yield Asked(f"estimate_due_{detail}", "post /estimate", "/estimate", body)
    for name, quantities in (
        ("a6_flyer", [500, 100_000]),
        ("paperback_novel", [500]),
        ("programme_with_insert", [1000]),
        ("addressed_mailing", [1000]),
        ("folding_cartons", [2000]),
        ("oversize_poster", [10]),
    ):
        body = example(name, quantities, detail="lines")
        yield Asked(f"estimate_{name}", "post /estimate", "/estimate", body)


def _comparisons() -> Iterator[Asked]:
    explained = {"curves": True, "explain": ["cost_bands", "sensitivity", "remedies"]}
    for name, quantities, more in (
        ("a6_flyer", [500, 5000], {"detail": "trace", **explained}),
        ("when_ready", [1000], {"detail": "lines", "explain": ["remedies"]}),
        ("tri_fold_leaflet", [1000], {"rank_by": {"price": 0.5, "readiness": 0.5}}),
        ("oversize_poster", [10], {"explain": ["remedies"]}),
        ("concert_programme", [1000], {"rank_by": "cost"}),
    ):
        body = example(name, quantities, **more)
        yield Asked(f"compare_{name}", "post /compare", "/compare", body)
    asked = "/compare?chart=pie&sort=cost"
    yield Asked("compare_faults", "post /compare", asked, example("a6_flyer", [500]), 422)
    body = example("a6_flyer", [500], quotes=True)
    yield Asked("compare_quotes", "post /compare", "/compare", body)


def _products() -> Iterator[Asked]:
    yield Asked("products", "get /products", "/products")
    one, price = "get /products/{product_id}", "get /products/{product_id}/price"
    yield Asked("product_flyer", one, "/products/flyer?size=a5")
    yield Asked("product_booklet", one, "/products/booklet")
    yield Asked("price_flyer", price, "/products/flyer/price")
    yield Asked("price_booklet", price, "/products/booklet/price?pages=24&quantity=500")
    many = "get /products/{product_id}/price-list"
    yield Asked("price_list", many, "/products/poster/price-list?quantity=10,100")
    asked = "/products/poster/price-list?quantity=10"
    yield Asked("price_list_lines", many, asked, media_type=NDJSON)
    yield Asked("job", "get /products/{product_id}/job", "/products/booklet/job?pages=24")
    priced = Asked("", price, "/products/flyer/price?quantity=500").send(service())
    token = priced["prices"][0]["quote"]["token"]
    for name, body in (
        ("quote", {"token": token}),
        ("quote_ordered", {"token": token, "quantity": 500, "net": "1.00", "currency": "EUR"}),
        ("quote_unknown", {"token": "none.such"}),
    ):
        yield Asked(f"check_{name}", "post /quotes/check", "/quotes/check", body)
