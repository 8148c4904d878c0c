"""A service that not everyone may ask, as it runs in production: two workers behind one port."""

from __future__ import annotations

import http.client
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from access_files import CLIENTS, ORIGIN, SHOP_KEY
from redis_server import RedisServer, need_redis

# A window of a day: no test runs over its end but one that begins at midnight UTC.
LIMITS = "[limits]\nrequests = 10\nwindow_s = 86400\n"
TEXT = f'open = []\norigins = ["{ORIGIN}"]\n{LIMITS}{CLIENTS}'


@pytest.fixture(scope="module")
def redis(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RedisServer]:
    need_redis()
    server = RedisServer(tmp_path_factory.mktemp("redis"))
    try:
        server.start()
        yield server
    finally:
        server.stop()


def begun(start: Any, tmp_path: Any, **environment: str) -> Any:
    file = tmp_path / "access.toml"
    file.write_text(TEXT)
    service = start(SIDELAY_ACCESS=str(file), **environment)
    service.wait_until_ready()
    return service


def ask(
    service: Any, *fields: tuple[str, str], path: str = "/plants", method: str = "GET"
) -> tuple[int, dict[str, str], str]:
    """Ask over a connection of its own, each field as it is given."""
    connection = http.client.HTTPConnection("127.0.0.1", service.port, timeout=10)
    try:
        connection.putrequest(method, path)
        for name, text in fields:
            connection.putheader(name, text)
        connection.endheaders()
        response = connection.getresponse()
        return response.status, dict(response.getheaders()), response.read().decode()
    finally:
        connection.close()


def test_keys_and_origins_through_the_real_server(start: Any, tmp_path: Any) -> None:
    service = begun(start, tmp_path)
    key = ("X-API-Key", SHOP_KEY)
    assert ask(service)[0] == 401
    assert ask(service, key)[0] == 200
    assert ask(service, key, key)[0] == 401, "a field sent twice"
    assert ask(service, ("X_API_Key", SHOP_KEY))[0] == 401, "a name that only looks like it"
    assert ask(service, path="/livez")[0] == 200
    asked = ("Origin", ORIGIN), ("Access-Control-Request-Method", "POST")
    status, fields, body = ask(service, *asked, path="/estimate", method="OPTIONS")
    assert (status, body) == (204, "")
    assert fields["Access-Control-Allow-Origin"] == ORIGIN
    status, _, body = ask(service, path=f"/plants?size={SHOP_KEY}")
    assert status == 400
    assert SHOP_KEY not in body + service.log.read_text()


def test_workers_count_together_in_redis(start: Any, tmp_path: Any, redis: RedisServer) -> None:
    service = begun(start, tmp_path, SIDELAY_REDIS_URL=redis.url)
    key = ("X-API-Key", SHOP_KEY)
    statuses = Counter(ask(service, key)[0] for _ in range(25))
    assert statuses == {200: 10, 429: 15}
    redis.stop()
    statuses = Counter(ask(service, key)[0] for _ in range(40))
    assert statuses.keys() <= {200, 429}
    assert 10 <= statuses[200] <= 20, "each worker counts alone"
    assert "each process counts alone" in service.log.read_text()
