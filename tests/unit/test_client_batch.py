"""Client.batch against a server of canned answers: what it sends, and what it makes of a stream."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

import pytest

from scripted_service import serving
from sidelay.client import Client, ProblemError, Unreachable

NDJSON = "application/x-ndjson"
ONE, TWO = {"line": 1, "id": "a", "status": 200}, {"line": 2, "id": "b", "status": 422}
DONE = {"done": True, "lines": 2}


class Streaming(ThreadingHTTPServer):
    """Answers everything with the same chunks, and remembers what was asked."""

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), Handler)
        self.status, self.kind, self.is_ended = 200, NDJSON, True
        self.chunks: list[bytes] = []
        self.asked: list[tuple[str, bytes, str | None, str | None]] = []
        self.go_on = threading.Event()
        self.go_on.set()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.server_port}"


class Handler(BaseHTTPRequestHandler):
    server: Streaming
    protocol_version = "HTTP/1.1"

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers["Content-Length"]))
        kinds = self.headers.get("Content-Type"), self.headers.get("Accept")
        self.server.asked.append((self.path, body, *kinds))
        self.send_response(self.server.status)
        self.send_header("Content-Type", self.server.kind)
        self.send_header("Transfer-Encoding", "chunked")
        self.end_headers()
        for chunk in self.server.chunks:
            self.wfile.write(b"%x\r\n%b\r\n" % (len(chunk), chunk))
            self.wfile.flush()
            self.server.go_on.wait(10)
        if self.server.is_ended:
            self.wfile.write(b"0\r\n\r\n")
        self.close_connection = True

    def log_message(self, *_: Any) -> None:
        """Keep the tests' output clean."""


@pytest.fixture
def server() -> Iterator[Streaming]:
    streaming = Streaming()
    with serving(streaming, streaming.go_on):
        yield streaming


@pytest.fixture
def client(server: Streaming) -> Iterator[Client]:
    with Client(server.url) as made:
        yield made


def lines(*answers: Any) -> bytes:
    return b"".join(json.dumps(each).encode() + b"\n" for each in answers)


def test_lines_go_out_and_answers_come_in(client: Client, server: Streaming) -> None:
    server.chunks = [lines(ONE), lines(TWO), lines(DONE)]
    request = {"id": "Größe", "request": {}}
    assert list(client.batch([request, b'{"request": 1, "request": 2}'], "x/y")) == [ONE, TWO]
    [(path, body, kind, accept)] = server.asked
    assert path == "/batch?after=x%2Fy"
    assert [json.loads(body.splitlines()[0]), body.splitlines()[1]] == [
        request,
        b'{"request": 1, "request": 2}',
    ]
    assert (kind, accept) == (NDJSON, f"{NDJSON}, application/problem+json")


def test_answers_come_as_they_are_sent_however_they_are_cut(
    client: Client, server: Streaming
) -> None:
    whole = lines(ONE, TWO | {"text": "\u2028\u0085é"}, DONE)
    server.chunks = [whole[number : number + 7] for number in range(0, len(whole), 7)]
    assert [each["line"] for each in client.batch([])] == [1, 2]
    server.chunks = [lines(ONE), lines(TWO), lines(DONE)]
    server.go_on.clear()
    answers = client.batch([])
    assert next(answers) == ONE, "though the server waits before the second"
    server.go_on.set()
    assert list(answers) == [TWO]


@pytest.mark.parametrize("is_ended", [True, False])
@pytest.mark.parametrize("rest", [b"", lines(TWO)[:-9]])
def test_a_stream_that_is_cut_is_seen(
    client: Client, server: Streaming, rest: bytes, is_ended: bool
) -> None:
    """With its end or without: a proxy may end what it could not get."""
    server.chunks = [chunk for chunk in (lines(ONE), rest) if chunk]
    server.is_ended = is_ended
    answers = client.batch([])
    assert next(answers) == ONE
    with pytest.raises(Unreachable, match=f"The answers of {server.url} were cut short"):
        next(answers)


def test_a_refusal_is_a_problem(client: Client, server: Streaming) -> None:
    server.status, server.kind = 413, "application/problem+json"
    server.chunks = [lines({"title": "The body is too large", "detail": "So large."})]
    with pytest.raises(ProblemError, match="413 The body is too large: So large"):
        next(client.batch([]))


@pytest.mark.parametrize(("kind", "chunk"), [("application/json", b"{}"), (NDJSON, b"[1]\n")])
def test_what_is_no_batch_is_not_this_service(
    client: Client, server: Streaming, kind: str, chunk: bytes
) -> None:
    server.kind, server.chunks = kind, [chunk]
    with pytest.raises(Unreachable, match="is not this service"):
        next(client.batch([]))


def test_a_silent_service_is_told(client: Client, server: Streaming) -> None:
    server.chunks = [lines(ONE)]
    server.go_on.clear()
    answers = client.batch([], timeout_s=0.2)
    assert next(answers) == ONE
    with pytest.raises(Unreachable):
        next(answers)


def test_nothing_listens() -> None:
    with Client("http://127.0.0.1:1") as client, pytest.raises(Unreachable, match="No service"):
        next(client.batch([]))


def test_whoever_stops_reading_closes_the_connection(client: Client, server: Streaming) -> None:
    server.chunks = [lines(ONE)] * 1000
    answers = client.batch([])
    next(answers)
    answers.close()  # type: ignore[attr-defined]
    server.chunks = [lines(TWO, DONE)]
    assert list(client.batch([])) == [TWO]
