"""The client against a server of canned answers: what it sends, and what it makes of what comes."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

import pytest

from scripted_service import serving
from sidelay.client import NO_RETRIES, Client, ProblemError, Unreachable

JSON = "application/json"
PROBLEM = "application/problem+json"


class Canned(ThreadingHTTPServer):
    """Answers everything in one way, and remembers what was asked."""

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), Handler)
        self.status, self.body, self.headers = 200, b"{}", {"Content-Type": JSON}
        self.asked: list[tuple[str, str, bytes, str | None]] = []
        self.accepted: list[str | None] = []
        self.keys: list[str | None] = []
        self.hold = threading.Event()
        self.hold.set()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.server_port}"

    def will_answer(self, status: int, body: object, **headers: str) -> None:
        self.status = status
        self.body = body if isinstance(body, bytes) else json.dumps(body).encode()
        self.headers = {"Content-Type": PROBLEM if status >= 400 else JSON} | {
            name.replace("_", "-"): value for name, value in headers.items()
        }


class Handler(BaseHTTPRequestHandler):
    server: Canned

    def do_POST(self) -> None:
        length = int(self.headers.get("Content-Length", 0))
        body = self.rfile.read(length)
        kind = self.headers.get("Content-Type")
        self.server.asked.append((self.command, self.path, body, kind))
        self.server.accepted.append(self.headers.get("Accept"))
        self.server.keys.append(self.headers.get("X-API-Key"))
        self.server.hold.wait(10)
        self.send_response(self.server.status)
        for name, value in self.server.headers.items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(self.server.body)))
        self.end_headers()
        self.wfile.write(self.server.body)

    do_GET = do_POST  # noqa: N815  (the name that http.server looks for)

    def log_message(self, *_: Any) -> None:
        """Keep the tests' output clean."""


@pytest.fixture
def server() -> Iterator[Canned]:
    canned = Canned()
    with serving(canned, canned.hold):
        yield canned


@pytest.fixture
def client(server: Canned) -> Iterator[Client]:
    with Client(server.url, retries=NO_RETRIES) as made:
        yield made


BODY = {"job": {"title": "Größe", "quantities": [5]}}


@pytest.mark.parametrize(
    ("call", "method", "path"),
    [
        (lambda c: c.estimate(BODY), "POST", "/estimate"),
        (lambda c: c.compare(BODY), "POST", "/compare"),
        (lambda c: c.validate(BODY), "POST", "/validate"),
        (lambda c: c.processes(), "GET", "/processes"),
        (lambda c: c.process("toner"), "GET", "/processes/toner"),
        (lambda c: c.plants(), "GET", "/plants"),
        (lambda c: c.plant("a/b ?"), "GET", "/plants/a%2Fb%20%3F"),
        (lambda c: c.products(), "GET", "/products"),
        (lambda c: c.product("a/b", size="a 6"), "GET", "/products/a%2Fb?size=a+6"),
        (lambda c: c.prices("flyer", quantity=5), "GET", "/products/flyer/price?quantity=5"),
        (lambda c: c.product_job("flyer"), "GET", "/products/flyer/job"),
        (
            lambda c: c.price_list("flyer", size="a5,a6", quantity="50,100"),
            "GET",
            "/products/flyer/price-list?size=a5%2Ca6&quantity=50%2C100",
        ),
        (lambda c: c.ready(), "GET", "/readyz"),
    ],
)
def test_each_call_has_its_path(server, client, call, method, path):
    server.will_answer(200, {"told": path})
    assert call(client) == {"told": path}
    *where, body, kind = server.asked[0]
    assert where == [method, path]
    if method == "POST":
        assert (json.loads(body), kind) == (BODY, JSON)
    else:
        assert (body, kind) == (b"", None)


def test_a_quote_is_checked_with_what_was_ordered(server, client):
    client.check_quote("t.s", quantity=5, net="1.20")
    assert server.asked[0][:2] == ("POST", "/quotes/check")
    assert json.loads(server.asked[0][2]) == {"token": "t.s", "quantity": 5, "net": "1.20"}


def test_a_key_is_sent_where_there_is_one(server):
    for key, sent in (("", None), ("a key", "a key")):
        with Client(server.url, key=key) as made:
            made.ready()
        assert server.keys[-1] == sent


def test_bytes_are_sent_as_they_are(server, client):
    client.compare(b'{"twice": 1, "twice": 2}')
    assert server.asked[0][2] == b'{"twice": 1, "twice": 2}'


def test_a_url_may_end_in_a_slash(server):
    with Client(server.url + "/") as made:
        made.ready()
    assert server.asked[0][1] == "/readyz"


def test_what_is_no_json_is_not_sent(server, client):
    with pytest.raises(ValueError, match="JSON"):
        client.compare({"job": float("nan")})
    assert server.asked == []


def test_a_problem_comes_with_every_fault(server, client):
    faults = [
        {"pointer": "#/job", "code": "required", "detail": "Missing."},
        {"pointer": "#/x", "code": "unknown_member", "detail": "No such member."},
    ]
    told = {"title": "Cannot be met", "detail": "2 faults found.", "errors": faults}
    server.will_answer(422, told | {"request_id": "r-1"})
    with pytest.raises(ProblemError, match="422 Cannot be met: 2 faults found") as caught:
        client.estimate(BODY)
    problem = caught.value
    assert problem.members == told | {"request_id": "r-1"}
    assert (problem.status, problem.title, problem.detail) == (
        422,
        "Cannot be met",
        "2 faults found.",
    )
    assert problem.errors == tuple(faults)
    assert problem.request_id == "r-1"


def test_the_kind_of_a_problem_is_told_by_its_type(server, client):
    known = "/problems/not_found"
    for told, kind in (({"type": known}, known), ({}, "about:blank")):
        server.will_answer(404, told)
        with pytest.raises(ProblemError) as caught:
            client.ready()
        assert caught.value.type == kind


def test_faults_are_found_by_the_member_that_they_are_in():
    pointers = ["#/job/parts/1/size", "#/job/parts/1", "#/job/parts/10", "#", "#/job"]
    faults = [{"pointer": each, "code": "c", "detail": "d"} for each in pointers]
    of_query = {"pointer": "#", "code": "c", "detail": "d", "parameter": "chart"}
    problem = ProblemError(422, "Cannot be met", errors=[*faults, of_query])

    def at(pointer):
        return [fault["pointer"] for fault in problem.faults_at(pointer)]

    assert at("#/job/parts/1") == ["#/job/parts/1/size", "#/job/parts/1"]
    assert at("#/job/parts/10") == ["#/job/parts/10"]
    assert at("#/job/title") == []
    assert at("#") == pointers


def test_the_request_id_may_come_in_the_header(server, client):
    server.will_answer(500, {"title": "Wrong"}, X_Request_Id="r-2")
    with pytest.raises(ProblemError) as caught:
        client.ready()
    assert caught.value.request_id == "r-2"


@pytest.mark.parametrize("body", [b"<h1>Bad Gateway</h1>", b"[1]", b'{"errors": 7}', b"\xff"])
def test_a_proxy_that_answers_instead_is_a_problem(server, client, body):
    server.will_answer(502, body, Content_Type="text/html")
    with pytest.raises(ProblemError) as caught:
        client.ready()
    assert (caught.value.status, caught.value.title) == (502, "Bad Gateway")
    assert caught.value.errors == ()


def test_faults_always_have_their_three_members(server, client):
    server.will_answer(422, {"errors": [{"pointer": 3}, "no fault"]})
    with pytest.raises(ProblemError) as caught:
        client.ready()
    assert caught.value.errors == ({"pointer": "3", "code": "", "detail": ""},)


def test_a_fault_of_a_query_parameter_keeps_its_name(server, client):
    fault = {"pointer": "#", "code": "unknown_value", "detail": "No.", "parameter": "chart"}
    server.will_answer(422, {"errors": [fault]})
    with pytest.raises(ProblemError) as caught:
        client.chart(BODY, chart="pie")
    assert caught.value.errors == (fault,)
    assert server.asked[0][1] == "/compare?chart=pie"


@pytest.mark.parametrize(
    ("call", "path", "kind"),
    [
        (lambda c: c.chart(BODY), "/compare", "image/svg+xml"),
        (
            lambda c: c.chart(BODY, chart="money", quantity="5"),
            "/compare?chart=money&quantity=5",
            "image/svg+xml",
        ),
        (lambda c: c.csv(BODY, table="bands"), "/compare?table=bands", "text/csv"),
    ],
)
def test_pictures_and_tables_come_as_they_are(server, client, call, path, kind):
    server.will_answer(200, b"\xff as it came\r\n", Content_Type=f"{kind}; charset=utf-8")
    assert call(client) == b"\xff as it came\r\n"
    assert server.asked[0][:2] == ("POST", path)
    assert json.loads(server.asked[0][2]) == BODY
    assert server.accepted[0] == f"{kind}, application/problem+json"


def test_a_picture_of_another_kind_is_no_picture(server, client):
    server.will_answer(200, {"quantities": []})
    with pytest.raises(Unreachable, match="is not this service"):
        client.chart(BODY)


def test_a_redirect_is_not_followed(server, client):
    server.will_answer(301, b"", Location="https://elsewhere.example/compare")
    with pytest.raises(ProblemError, match=r"points to https://elsewhere\.example/compare"):
        client.compare(BODY)
    assert len(server.asked) == 1


@pytest.mark.parametrize("body", [b"hello", b"[]", b"\xff"])
def test_something_else_that_answers_is_told(server, client, body):
    server.will_answer(200, body)
    with pytest.raises(Unreachable, match="is not this service"):
        client.ready()


def test_nothing_that_listens_is_told(server):
    server.server_close()
    made = Client(server.url, retries=NO_RETRIES)
    with made, pytest.raises(Unreachable, match="No service answers at http"):
        made.ready()


@pytest.mark.parametrize("url", ["", "ftp://x", "http://[::", "http://.a..b"])
def test_a_url_that_cannot_be_is_told(url):
    with Client(url) as made, pytest.raises(Unreachable):
        made.ready()


def test_a_slow_service_is_told(server):
    server.hold.clear()
    with Client(server.url, timeout_s=0.05) as made, pytest.raises(Unreachable, match=r"0\.05 s"):
        made.ready()


def test_a_proxy_of_the_environment_is_not_asked_for_this_machine(server, monkeypatch):
    monkeypatch.setenv("HTTP_PROXY", "http://127.0.0.1:1")
    monkeypatch.delenv("NO_PROXY", raising=False)
    with Client(server.url) as made:
        assert made.ready() == {}
    outside = Client("http://service.example", retries=NO_RETRIES)
    with outside, pytest.raises(Unreachable):
        outside.ready()
