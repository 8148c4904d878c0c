"""A client of the service, for a storefront or a back office written in Python.

    with Client("http://127.0.0.1:8000", key=...) as sidelay:
        answer = sidelay.compare({"job": {...}})
        for band in answer["bands"]:
            print(band["from"], band["to"], band["press"])

**Answers** are the JSON objects as they came: plain dicts, whose types are in
`sidelay.client_types`, so that a type checker knows their members; those that can be absent are
`NotRequired`. Nothing is checked at run time: a service of another release may answer with further
members, and the program goes on. The OpenAPI document at `/openapi.json` says what is in them.
Money is decimal text: read it with `decimal.Decimal`, never with `float`. That no press can print a
job is an answer, with the reasons under `excluded`, and no error.

**Errors** tell what to do next. `ProblemError` means that the service refused the request: change
it, by `errors` and `faults_at(pointer)`; what kind of problem it is `type` tells. `Unreachable`
means that there was no answer: try again later. A body that cannot be JSON raises ValueError or
TypeError before anything is sent.

**Asking again.** Every call may be repeated, for none changes anything on the service. The client
does so by itself where the service says that it has no time now (429 and 503), not before the
Retry-After of that answer, and where the connection was refused or broke; `Retries` says how often
and how long. A program that a person waits for wants less: `retries=NO_RETRIES`, or
`Retries(most_wait_s=2)`. Where the wait asked for is longer than that, ProblemError comes at once,
and its `retry_after_s` says when to come back.

**Connections** are kept: keep the client. Threads may share one; where more than `pool_size` of
them ask at once, further connections are made and not kept. No cookie is kept.

**What will go.** Where an answer carries the field Deprecation (RFC 9745), the logger
`sidelay.client` warns once for each operation and process: since when, until when (Sunset, RFC
8594), and what to call instead.

This module imports nothing of sidelay but what begins with `client_`.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from http.cookiejar import DefaultCookiePolicy
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self, cast
from urllib.parse import quote, urlsplit

import requests
from requests.adapters import HTTPAdapter

from .client_deprecations import tell_deprecation
from .client_problems import ProblemError, Unreachable, is_refused, json_of, problem_of
from .client_retries import NO_RETRIES, Retries

if TYPE_CHECKING:  # a command that asks once need not make a hundred classes first
    from . import client_types as types

__all__ = ["NO_RETRIES", "Answer", "Body", "Client", "ProblemError", "Retries", "Unreachable"]

Answer = dict[str, Any]
Body = Mapping[str, Any] | bytes
NDJSON = "application/x-ndjson"
LOCAL_HOSTS = ("127.0.0.1", "localhost", "::1")
ASKED_AS_JSON = "application/json, application/problem+json"


class Client:
    """Calls one service.

    url: where the service is, without a path of it
    timeout_s: how long to wait for each part of the answer [s]
    key: of this client, where the service asks for one; sent as X-API-Key
    connect_timeout_s: how long to wait for the connection [s]; by default as timeout_s
    retries: when a call is sent again
    pool_size: connections kept
    """

    def __init__(
        self,
        url: str = "http://127.0.0.1:8000",
        timeout_s: float = 10.0,
        key: str = "",
        *,
        connect_timeout_s: float | None = None,
        retries: Retries = Retries(),  # noqa: B008  (frozen: all may have the same)
        pool_size: int = 10,
    ) -> None:
        self._url = url.rstrip("/")
        connecting_s = timeout_s if connect_timeout_s is None else connect_timeout_s
        self._timeouts_s = (connecting_s, timeout_s)
        self._retries = retries
        self._session = requests.Session()
        # None waits for another to be done: whoever asks while it reads a stream would for ever.
        pool = HTTPAdapter(pool_connections=1, pool_maxsize=pool_size)
        for scheme in ("http://", "https://"):
            self._session.mount(scheme, pool)
        # A cookie would be all that one call leaves to the next, and to the other threads.
        self._session.cookies.set_policy(DefaultCookiePolicy(allowed_domains=()))
        self._session.headers["Accept"] = ASKED_AS_JSON
        if key:
            self._session.headers["X-API-Key"] = key
        # A proxy named in the environment cannot reach this machine's own loopback.
        self._session.trust_env = not _is_local(self._url)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the connections kept; a `with` block does it too."""
        self._session.close()

    def estimate(self, body: Body) -> types.EstimateAnswer:
        """Price a job: for each quantity the best offer, under `estimates`.

        Each tells where the parts are printed (`route`, `parts`) and what is done to the copies
        (`operations`). Where there is none, `findings` and `excluded` tell why.

        body: the request, or its JSON as bytes, which are sent as they are
        """
        return cast("types.EstimateAnswer", self._post("/estimate", body))

    def compare(self, body: Body) -> types.ComparisonAnswer:
        """Compare every press for a job, and tell which is the cheapest from where to where.

        body: as for `estimate`
        """
        return cast("types.ComparisonAnswer", self._post("/compare", body))

    def chart(self, body: Body, **parameters: str) -> bytes:
        """Draw a comparison, and return the picture as SVG.

        body: as for `estimate`
        parameters: `chart`, `measure` and `quantity`, as the OpenAPI document tells them
        """
        return self._fetch("/compare", body, "image/svg+xml", parameters)

    def csv(self, body: Body, **parameters: str) -> bytes:
        """Compare, and return a table of it as CSV in UTF-8, its lines ended by CRLF.

        body: as for `estimate`
        parameters: `table`, as the OpenAPI document tells it
        """
        return self._fetch("/compare", body, "text/csv", parameters)

    def validate(self, body: Body) -> types.ValidAnswer:
        """Check a request without pricing it; raises ProblemError with every fault there is."""
        return cast("types.ValidAnswer", self._post("/validate", body))

    def batch(
        self, lines: Iterable[Body], after: str = "", *, timeout_s: float = 60.0
    ) -> Iterator[types.BatchAnswer]:
        """Ask many things at once, and yield the answer to each line as it comes, in order.

        Each has `line`, `id`, `status`, and either `answer` or `problem`: what is wrong with one
        line stops no other. ProblemError means that the whole batch was refused, Unreachable that
        the rest of the answers did not come; those that did hold.

        lines: objects with `request`, and where wanted `id` and `ask`; or their JSON as bytes,
            without a line break in it
        after: id of the last line that is answered already: it and all before it are left out
        timeout_s: how long to wait for each answer [s]
        """
        kinds = {"Content-Type": NDJSON, "Accept": f"{NDJSON}, application/problem+json"}
        try:
            with self._session.post(
                f"{self._url}/batch",
                params={"after": after} if after else {},
                data=b"\n".join(map(_bytes, lines)),
                headers=kinds,
                timeout=timeout_s,
                allow_redirects=False,
                stream=True,
            ) as response:
                if response.headers.get("Content-Type", "").partition(";")[0] != NDJSON:
                    self._read(response)
                    raise self._stranger()
                for text in response.iter_lines():
                    answer = json.loads(text)
                    if not isinstance(answer, dict):
                        raise self._stranger()
                    if "done" in answer:
                        return
                    yield cast("types.BatchAnswer", answer)
        except requests.ConnectionError as fault:
            raise Unreachable(f"No service answers at {self._url}, or no longer.") from fault
        except (requests.RequestException, UnicodeError, ValueError) as fault:
            raise Unreachable(f"The answers of {self._url} were cut short.") from fault
        raise Unreachable(f"The answers of {self._url} were cut short.")

    def products(self) -> types.ProductsAnswer:
        """List what can be bought by choosing, under `products`."""
        return cast("types.ProductsAnswer", self._get("/products"))

    def product(self, product_id: str, **chosen: str | int) -> types.ProductAnswer:
        """Show one product, and which values of its `options` go with those chosen.

        chosen: values of options by the ids of these; `language` and `quantity` too
        """
        return cast("types.ProductAnswer", self._get("/products/{}", product_id, chosen))

    def prices(self, product_id: str, **chosen: str | int) -> types.ProductPricesAnswer:
        """Price a product as it is chosen: a row under `prices` for each quantity.

        chosen: as for `product`; without `quantity` the whole ladder is priced
        """
        told = self._get("/products/{}/price", product_id, chosen)
        return cast("types.ProductPricesAnswer", told)

    def price_list(self, product_id: str, **chosen: str | int) -> types.PriceListAnswer:
        """Price every choice out of some, under `rows`.

        chosen: as for `product`, of each option several values between commas, and of `quantity`
            too; what is left out stands for all its values
        """
        told = self._get("/products/{}/price-list", product_id, chosen)
        return cast("types.PriceListAnswer", told)

    def product_job(self, product_id: str, **chosen: str | int) -> types.Request:
        """Turn a choice into the body of a request for `estimate`. chosen: as for `prices`"""
        return cast("types.Request", self._get("/products/{}/job", product_id, chosen))

    def check_quote(self, token: str, **ordered: str | int) -> types.QuoteCheckedAnswer:
        """Say under `status` whether a quoted price holds.

        ordered: `quantity`, `net`, `currency` and `job_fingerprint` of the order, to be compared
        """
        told = self._post("/quotes/check", {"token": token, **ordered})
        return cast("types.QuoteCheckedAnswer", told)

    def processes(self) -> types.ProcessesAnswer:
        """List the printing processes that the service models, under `processes`."""
        return cast("types.ProcessesAnswer", self._get("/processes"))

    def process(self, process_id: str) -> types.ProcessDetailAnswer:
        """Show one process, and the parameters that describe its presses."""
        return cast("types.ProcessDetailAnswer", self._get("/processes/{}", process_id))

    def plants(self) -> types.PlantsAnswer:
        """List the plants that the service prices on, under `plants`."""
        return cast("types.PlantsAnswer", self._get("/plants"))

    def plant(self, plant_id: str) -> types.PlantAnswer:
        """Show one plant: its presses and its stocks."""
        return cast("types.PlantAnswer", self._get("/plants/{}", plant_id))

    def ready(self) -> types.ReadyAnswer:
        """Say what the service has loaded; raises Unreachable while it does not answer."""
        return cast("types.ReadyAnswer", self._get("/readyz"))

    def _post(self, path: str, body: Body) -> Answer:
        return self._read(self._send("POST", path, _bytes(body)))

    def _get(
        self, template: str, one: str = "", chosen: Mapping[str, str | int] | None = None
    ) -> Answer:
        """Return what is told of one thing. template: the path, with {} for the id of it"""
        parameters = {name: str(value) for name, value in (chosen or {}).items()}
        return self._read(self._send("GET", template, None, parameters, one=one))

    def _fetch(self, path: str, body: Body, kind: str, parameters: Mapping[str, str]) -> bytes:
        """Return an answer that is no JSON as it comes. kind: its media type"""
        accept = {"Accept": f"{kind}, application/problem+json"}
        response = self._send("POST", path, _bytes(body), parameters, accept)
        if is_refused(response):
            raise problem_of(response)
        if response.headers.get("Content-Type", "").partition(";")[0] != kind:
            raise self._stranger()
        return response.content

    def _send(
        self,
        method: str,
        template: str,
        data: bytes | None,
        parameters: Mapping[str, str] | None = None,
        fields: Mapping[str, str] | None = None,
        one: str = "",
    ) -> requests.Response:
        sent = {"Content-Type": "application/json"} if data is not None else {}

        def ask() -> requests.Response:
            return self._session.request(
                method,
                self._url + template.replace("{}", quote(one, safe="")),
                params=dict(parameters or {}),
                data=data,
                headers={**sent, **(fields or {})},
                timeout=self._timeouts_s,
                allow_redirects=False,  # a POST would arrive as a GET
            )

        try:
            response = self._retries.answer(ask)
        except requests.Timeout as fault:
            connecting = isinstance(fault, requests.ConnectTimeout)
            within_s = self._timeouts_s[0 if connecting else 1]
            raise Unreachable(
                f"The service at {self._url} did not answer within {within_s:g} s."
            ) from None
        except (requests.RequestException, UnicodeError) as fault:
            # UnicodeError: a host name that cannot be one, which requests lets through.
            raise Unreachable(f"No service answers at {self._url}.") from fault
        tell_deprecation(f"{method} {template}", response)
        return response

    def _read(self, response: requests.Response) -> Answer:
        if is_refused(response):
            raise problem_of(response)
        answer = json_of(response)
        if not isinstance(answer, dict):
            raise self._stranger()
        return answer

    def _stranger(self) -> Unreachable:
        return Unreachable(f"What answers at {self._url} is not this service.")


def _bytes(body: Body) -> bytes:
    return body if isinstance(body, bytes) else json.dumps(body, allow_nan=False).encode()


def _is_local(url: str) -> bool:
    try:
        return urlsplit(url).hostname in LOCAL_HOSTS
    except ValueError:
        return False
