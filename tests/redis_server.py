"""A Redis of its own for a test, on a free port of this machine."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import time
from pathlib import Path

import pytest
import redis

INSTALL = "apt-get install redis-server"
PATIENCE_S = 20


class RedisServer:
    """One redis-server; nothing of it is written to the disk."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._process: subprocess.Popen[bytes] | None = None
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self._port: int = probe.getsockname()[1]

    @property
    def url(self) -> str:
        """Where it is."""
        return f"redis://127.0.0.1:{self._port}/0"

    def start(self, *options: str) -> None:
        """Start it, empty."""
        command = ["redis-server", "--port", str(self._port), "--bind", "127.0.0.1"]
        kept_nowhere = ["--save", "", "--appendonly", "no", "--dir", str(self._folder)]
        with (self._folder / "redis.log").open("ab") as log:
            self._process = subprocess.Popen(
                [*command, *kept_nowhere, *options], stdout=log, stderr=subprocess.STDOUT
            )
        give_up = time.monotonic() + PATIENCE_S
        while True:
            try:
                with self._client() as client:
                    client.ping()
            except redis.AuthenticationError:
                return  # it answers, if only to ask for a password
            except redis.ConnectionError:
                assert self._process.poll() is None, (self._folder / "redis.log").read_text()
                assert time.monotonic() < give_up, "redis-server does not answer"
                time.sleep(0.01)
            else:
                return

    def stop(self) -> None:
        """Kill it, as a crash would."""
        if self._process is not None:
            self._process.kill()
            self._process.wait()
            self._process = None

    def names(self) -> list[tuple[str, int]]:
        """What it holds: names, and for how long [s]."""
        with self._client() as client:
            return [(name.decode(), client.ttl(name)) for name in client.keys("*")]

    def _client(self) -> redis.Redis:
        return redis.Redis.from_url(self.url)


def need_redis() -> None:
    """Skip a test where there is no redis-server; where all is to be checked, fail it."""
    if shutil.which("redis-server"):
        return
    told = f"NOT TESTED: a count shared in Redis. There is no redis-server; run: {INSTALL}"
    if os.environ.get("CI") == "true":
        pytest.fail(told)
    pytest.skip(told)
