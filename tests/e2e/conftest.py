"""A real service on a free port of this machine, started and stopped as an operator would."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from sidelay.client import NO_RETRIES, Client, Unreachable

SIDELAY = Path(sys.executable).with_name("sidelay")
PATIENCE_S = 30
EXAMPLE = Path(__file__).parents[2] / "openapi" / "examples" / "letter_two_sided.json"

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture(scope="session")
def free_port() -> Callable[[], int]:
    """Return a function that finds a port on which nothing listens."""

    def find() -> int:
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            port: int = probe.getsockname()[1]
            return port

    return find


class Service:
    """One `sidelay serve`: its process, its port and its URL."""

    def __init__(
        self, port: int, log: Path, environment: dict[str, str] | None = None, workers: int = 2
    ) -> None:
        self.port = port
        self.url = f"http://127.0.0.1:{port}"
        self.log = log
        with log.open("wb") as out:
            self.process = subprocess.Popen(
                [SIDELAY, "serve", "--port", str(port), "--workers", str(workers)],
                stdout=out,
                stderr=subprocess.STDOUT,
                env=os.environ | (environment or {}),
            )

    def wait_until_ready(self) -> None:
        give_up = time.monotonic() + PATIENCE_S
        with Client(self.url, timeout_s=2, retries=NO_RETRIES) as client:
            while True:
                assert self.process.poll() is None, self.log.read_text()
                try:
                    client.ready()
                except Unreachable:
                    assert time.monotonic() < give_up, self.log.read_text()
                    time.sleep(0.05)
                else:
                    return

    def stop(self) -> int:
        """Stop it, by its own process id, and return its exit status."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
        return self.process.wait(PATIENCE_S)


@pytest.fixture(scope="session")
def start(free_port, tmp_path_factory) -> Iterator[Callable[..., Service]]:
    """Return a function that starts a service; whatever still runs at the end is stopped."""
    started: list[Service] = []

    def begin(**environment: str) -> Service:
        log = tmp_path_factory.mktemp("service") / "log"
        started.append(Service(free_port(), log, environment))
        return started[-1]

    yield begin
    for service in started:
        service.stop()


@pytest.fixture(scope="session")
def service(start) -> Service:
    """A service that has said that it is ready."""
    begun: Service = start()
    begun.wait_until_ready()
    return begun


@pytest.fixture(scope="session")
def sidelay() -> Run:
    """Return a function that runs the command and returns what it did; `stdin` is bytes or none."""

    def run(*arguments: str, stdin: bytes = b"") -> subprocess.CompletedProcess[str]:
        done = subprocess.run([SIDELAY, *arguments], input=stdin, capture_output=True, timeout=60)
        return subprocess.CompletedProcess(
            done.args, done.returncode, done.stdout.decode(), done.stderr.decode()
        )

    return run


@pytest.fixture(scope="session")
def example() -> Path:
    """The request that the quickstart sends."""
    return EXAMPLE
