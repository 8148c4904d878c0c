"""A real HTTP server on this machine that does with each request what a script says next."""

from __future__ import annotations

import json
import socket
import struct
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any


@dataclass(frozen=True)
class Reply:
    """An answer. cut: whether the connection breaks in the middle of its body"""

    status: int = 200
    body: Any = field(default_factory=dict)
    fields: Mapping[str, str] = field(default_factory=dict)
    cut: bool = False


# Breaks the connection before there is any answer; says nothing for as long as the server runs.
RESET, SILENCE = "reset", "silence"
Act = Reply | str


class ScriptedService(ThreadingHTTPServer):
    """Answers request after request by its script, and then always as its last act says.

    asked: method and path of each request
    connections: how many were opened
    """

    daemon_threads = True

    def __init__(self, *script: Act) -> None:
        super().__init__(("127.0.0.1", 0), _Handler)
        self.script = list(script)
        self.asked: list[tuple[str, str]] = []
        self.connections = 0
        self.closing = threading.Event()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.server_port}"

    def next_act(self) -> Act:
        return self.script.pop(0) if len(self.script) > 1 else self.script[0]

    def process_request(self, request: Any, client_address: Any) -> None:
        self.connections += 1
        super().process_request(request, client_address)

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Keep the tests' output clean: a client that goes is no fault."""


class _Handler(BaseHTTPRequestHandler):
    server: ScriptedService
    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        self.rfile.read(int(self.headers.get("Content-Length", 0)))
        self.server.asked.append((self.command, self.path))
        act = self.server.next_act()
        if act == RESET:
            self._break_off()
        elif act == SILENCE:
            self.server.closing.wait(10)
        else:
            assert isinstance(act, Reply)
            self._answer(act)

    do_POST = do_GET  # noqa: N815  (the name that http.server looks for)

    def _answer(self, reply: Reply) -> None:
        body = reply.body if isinstance(reply.body, bytes) else json.dumps(reply.body).encode()
        kind = "application/problem+json" if reply.status >= 400 else "application/json"
        self.send_response_only(reply.status)
        for name, value in {"Content-Type": kind, **reply.fields}.items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(body) + reply.cut))
        self.end_headers()
        self.wfile.write(body)
        self.close_connection = reply.cut

    def _break_off(self) -> None:
        """Reset the connection: a socket that lingers for no time sends RST when it is closed."""
        linger = struct.pack("ii", 1, 0)
        self.connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, linger)
        self.connection.close()
        self.close_connection = True

    def finish(self) -> None:
        if self.connection.fileno() != -1:
            super().finish()

    def log_message(self, *_: Any) -> None:
        """Keep the tests' output clean."""


@contextmanager
def serving(server: ThreadingHTTPServer, closing: threading.Event) -> Iterator[None]:
    """Serve in a thread while the block runs. closing: lets go of what a handler waits for"""
    with server:
        thread = threading.Thread(target=server.serve_forever, args=(0.01,))
        thread.start()
        try:
            yield
        finally:
            closing.set()
            server.shutdown()
            thread.join()


@contextmanager
def scripted(*script: Act) -> Iterator[ScriptedService]:
    """Serve by a script while the block runs."""
    server = ScriptedService(*script)
    with serving(server, server.closing):
        yield server
