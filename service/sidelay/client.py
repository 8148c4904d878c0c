"""A client of the service, for a storefront or a back office written in Python.

    with Client("http://127.0.0.1:8000") as sidelay:
        answer = sidelay.compare({"job": {...}})
        for band in answer["bands"]:
            print(band["from"], band["to"], band["press"])

Every call returns the JSON object of the answer as it came; the OpenAPI document at `/openapi.json`
says what is in it. Money is decimal text in it: read it with `decimal.Decimal`, never with `float`.
That no press can print a job is an answer, with the reasons under `excluded`, and no error.

Two errors tell what to do next: `ProblemError` means that the service refused the request, so
change the request; `Unreachable` means that there was no answer, so try again later. Every call may
be repeated, for none changes anything on the service. This module imports nothing else of sidelay.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import TracebackType
from typing import Any, Self
from urllib.parse import quote, urlsplit

import requests

Answer = dict[str, Any]
Body = Mapping[str, Any] | bytes
NDJSON = "application/x-ndjson"
LOCAL_HOSTS = ("127.0.0.1", "localhost", "::1")


class ProblemError(Exception):
    """The service refused a request, or failed at it.

    status: the HTTP status; 422 when faults are listed, 5xx when the request is not to blame
    title: what kind of problem it is, in words
    detail: what it was this time; may be empty
    errors: every fault found, each with `pointer` (a JSON Pointer into the body, as `#/job/parts`),
        `code` and `detail`, and `parameter` where a query parameter is at fault; empty for other
        problems
    request_id: finds the request in the log of the service; may be empty
    """

    def __init__(
        self,
        status: int,
        title: str,
        detail: str = "",
        errors: Sequence[Mapping[str, str]] = (),
        request_id: str = "",
    ) -> None:
        super().__init__(f"{status} {title}" + (f": {detail}" if detail else ""))
        self.status = status
        self.title = title
        self.detail = detail
        self.errors = tuple(errors)
        self.request_id = request_id


class Unreachable(Exception):  # noqa: N818  (a state of the network, named as such)
    """No answer of the service came: nothing listens, the time ran out, or something else answered.

    The message is one sentence that names the URL.
    """


class Client:
    """Calls one service. Keeps its connections, so keep the client; use one for each thread.

    url: where the service is, without a path of it
    timeout_s: how long to wait for the connection, and then for each part of the answer [s]
    key: of this client, where the service asks for one; sent as X-API-Key
    """

    def __init__(
        self, url: str = "http://127.0.0.1:8000", timeout_s: float = 10.0, key: str = ""
    ) -> None:
        self._url = url.rstrip("/")
        self._timeout_s = timeout_s
        self._session = requests.Session()
        self._session.headers["Accept"] = "application/json, application/problem+json"
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

    def estimate(self, body: Body) -> Answer:
        """Price a job: for each quantity the best offer, under `estimates`.

        Each tells where the parts are printed (`route`, `parts`) and what is done to the copies
        (`operations`). Where there is none, `findings` and `excluded` tell why.

        body: the request, or its JSON as bytes, which are sent as they are
        """
        return self._post("/estimate", body)

    def compare(self, body: Body) -> Answer:
        """Compare every press for a job, and tell which is the cheapest from where to where.

        body: as for `estimate`
        """
        return self._post("/compare", body)

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

    def validate(self, body: Body) -> Answer:
        """Check a request without pricing it; raises ProblemError with every fault there is."""
        return self._post("/validate", body)

    def batch(
        self, lines: Iterable[Body], after: str = "", *, timeout_s: float = 60.0
    ) -> Iterator[Answer]:
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
                    yield answer
        except requests.ConnectionError as fault:
            raise Unreachable(f"No service answers at {self._url}, or no longer.") from fault
        except (requests.RequestException, UnicodeError, ValueError) as fault:
            raise Unreachable(f"The answers of {self._url} were cut short.") from fault
        raise Unreachable(f"The answers of {self._url} were cut short.")

    def products(self) -> Answer:
        """List what can be bought by choosing, under `products`."""
        return self._call("GET", "/products")

    def product(self, product_id: str, **chosen: str | int) -> Answer:
        """Show one product, and which values of its `options` go with those chosen.

        chosen: values of options by the ids of these; `language` and `quantity` too
        """
        return self._chosen(product_id, "", chosen)

    def prices(self, product_id: str, **chosen: str | int) -> Answer:
        """Price a product as it is chosen: a row under `prices` for each quantity.

        chosen: as for `product`; without `quantity` the whole ladder is priced
        """
        return self._chosen(product_id, "/price", chosen)

    def product_job(self, product_id: str, **chosen: str | int) -> Answer:
        """Turn a choice into the body of a request for `estimate`. chosen: as for `prices`"""
        return self._chosen(product_id, "/job", chosen)

    def check_quote(self, token: str, **ordered: str | int) -> Answer:
        """Say under `status` whether a quoted price holds.

        ordered: `quantity`, `net`, `currency` and `job_fingerprint` of the order, to be compared
        """
        return self._post("/quotes/check", {"token": token, **ordered})

    def processes(self) -> Answer:
        """List the printing processes that the service models, under `processes`."""
        return self._call("GET", "/processes")

    def process(self, process_id: str) -> Answer:
        """Show one process, and the parameters that describe its presses."""
        return self._call("GET", f"/processes/{quote(process_id, safe='')}")

    def plants(self) -> Answer:
        """List the plants that the service prices on, under `plants`."""
        return self._call("GET", "/plants")

    def plant(self, plant_id: str) -> Answer:
        """Show one plant: its presses and its stocks."""
        return self._call("GET", f"/plants/{quote(plant_id, safe='')}")

    def ready(self) -> Answer:
        """Say what the service has loaded; raises Unreachable while it does not answer."""
        return self._call("GET", "/readyz")

    def _post(self, path: str, body: Body) -> Answer:
        return self._call("POST", path, _bytes(body))

    def _chosen(self, product_id: str, what: str, chosen: Mapping[str, str | int]) -> Answer:
        path = f"/products/{quote(product_id, safe='')}{what}"
        parameters = {name: str(value) for name, value in chosen.items()}
        return self._read(self._send("GET", path, None, parameters))

    def _call(self, method: str, path: str, data: bytes | None = None) -> Answer:
        return self._read(self._send(method, path, data))

    def _fetch(self, path: str, body: Body, kind: str, parameters: Mapping[str, str]) -> bytes:
        """Return an answer that is no JSON as it comes. kind: its media type"""
        accept = {"Accept": f"{kind}, application/problem+json"}
        response = self._send("POST", path, _bytes(body), parameters, accept)
        if _refused(response):
            raise _problem(response, _json(response))
        if response.headers.get("Content-Type", "").partition(";")[0] != kind:
            raise self._stranger()
        return response.content

    def _send(
        self,
        method: str,
        path: str,
        data: bytes | None,
        parameters: Mapping[str, str] | None = None,
        fields: Mapping[str, str] | None = None,
    ) -> requests.Response:
        sent = {"Content-Type": "application/json"} if data is not None else {}
        try:
            return self._session.request(
                method,
                self._url + path,
                params=dict(parameters or {}),
                data=data,
                headers={**sent, **(fields or {})},
                timeout=self._timeout_s,
                allow_redirects=False,  # a POST would arrive as a GET
            )
        except requests.Timeout:
            within = f"within {self._timeout_s:g} s"
            raise Unreachable(f"The service at {self._url} did not answer {within}.") from None
        except (requests.RequestException, UnicodeError) as fault:
            # UnicodeError: a host name that cannot be one, which requests lets through.
            raise Unreachable(f"No service answers at {self._url}.") from fault

    def _read(self, response: requests.Response) -> Answer:
        answer = _json(response)
        if _refused(response):
            raise _problem(response, answer)
        if not isinstance(answer, dict):
            raise self._stranger()
        return answer

    def _stranger(self) -> Unreachable:
        return Unreachable(f"What answers at {self._url} is not this service.")


def _refused(response: requests.Response) -> bool:
    return not response.ok or response.is_redirect


def _json(response: requests.Response) -> object:
    """Return what a response holds, None where that is no JSON."""
    try:
        answer: object = response.json()
    except requests.JSONDecodeError:
        return None
    return answer


def _bytes(body: Body) -> bytes:
    return body if isinstance(body, bytes) else json.dumps(body, allow_nan=False).encode()


def _problem(response: requests.Response, answer: object) -> ProblemError:
    """Return the problem of a response; whatever a proxy answers in its place becomes one too."""
    told: dict[str, Any] = answer if isinstance(answer, dict) else {}
    detail = str(told.get("detail", ""))
    if response.is_redirect:
        detail = f"It points to {response.headers['Location']}."
    return ProblemError(
        response.status_code,
        str(told.get("title") or response.reason),
        detail,
        _faults(told.get("errors")),
        str(told.get("request_id") or response.headers.get("X-Request-Id", "")),
    )


def _faults(errors: object) -> list[dict[str, str]]:
    """Return the faults of a problem, each with the three members promised, and its parameter."""
    listed = errors if isinstance(errors, list) else []
    return [
        {name: str(fault.get(name, "")) for name in ("pointer", "code", "detail")}
        | ({"parameter": str(fault["parameter"])} if fault.get("parameter") else {})
        for fault in listed
        if isinstance(fault, dict)
    ]


def _is_local(url: str) -> bool:
    try:
        return urlsplit(url).hostname in LOCAL_HOSTS
    except ValueError:
        return False
