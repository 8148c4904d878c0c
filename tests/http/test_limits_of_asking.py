"""How often one may ask: exact counts, the fields that tell them, and a count that is shared.

The fields are those of draft-ietf-httpapi-ratelimit-headers-11, written as RFC 9651 has lists of
strings with parameters.
"""

from __future__ import annotations

import logging
import re
import socket
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from hypothesis import given
from hypothesis import strategies as st

from access_files import CLIENTS, OFFICE_KEY, SHOP_KEY, Clock, client, kept_app
from redis_server import RedisServer, need_redis
from sidelay.config import BadSetting
from sidelay.http.app import create_app
from sidelay.http.callers import KEY_FIELD
from sidelay.http.counts import (
    PAUSE_S,
    TOLD_EVERY_S,
    OwnCounts,
    SharedCounts,
    counts_of,
    window_at,
)

QUOTA_EXCEEDED = "https://iana.org/assignments/http-problem-types#quota-exceeded"
LIMITED = f'open = ["price"]\n[limits]\nrequests = 600\nwindow_s = 60\n{CLIENTS}'
# Begins both a minute and an hour.
HOUR = 1_795_510_800


@pytest.fixture
def redis(tmp_path: Path) -> Iterator[RedisServer]:
    need_redis()
    folder = tmp_path / "redis"
    folder.mkdir()
    server = RedisServer(folder)
    try:
        server.start()
        yield server
    finally:
        server.stop()


def ask(app: Flask, key: str = SHOP_KEY, path: str = "/processes/none", **environ: str) -> Any:
    headers = {KEY_FIELD: key} if key else {}
    return app.test_client().get(path, headers=headers, environ_overrides=environ)


def standing(response: Any) -> tuple[int, int, int, int]:
    """q, w, r and t of an answer."""
    policy = re.fullmatch(r'"client";q=(\d+);w=(\d+)', response.headers["RateLimit-Policy"])
    limit = re.fullmatch(r'"client";r=(\d+);t=(\d+)', response.headers["RateLimit"])
    assert policy
    assert limit
    q, w, r, t = map(int, (*policy.groups(), *limit.groups()))
    return q, w, r, t


def test_ten_thousand_at_once_get_exactly_their_quota(tmp_path: Path) -> None:
    clock = Clock(HOUR + 18.5)
    app = kept_app(tmp_path, LIMITED, clock=clock)
    asking = app.test_client()
    statuses: Counter[int] = Counter()
    for number in range(1, 10_001):
        response = asking.get("/problems/none" if number % 50 == 0 else "/processes/none")
        if number % 50 == 0:
            assert "RateLimit" not in response.headers  # needs no key, and does not count
            response = asking.get("/processes/none")
        statuses[response.status_code] += 1
        assert standing(response) == (600, 60, max(0, 600 - number), 42)
        assert ("Retry-After" in response.headers) == (number > 600)
    assert statuses == {404: 600, 429: 9_400}


def test_too_many_is_a_problem_that_says_when_to_ask_again(tmp_path: Path) -> None:
    """RFC 6585, 4; RFC 9110, 10.2.3; the registered type has a member violated-policies."""
    clock = Clock(HOUR + 0.25)
    app = kept_app(tmp_path, 'open = ["price"]\n[limits]\nrequests = 1\n', clock=clock)
    assert ask(app, "", "/plants").status_code == 200
    response = ask(app, "", "/plants")
    assert response.status_code == 429
    assert response.content_type == "application/problem+json"
    problem = response.get_json()
    assert problem["type"] == QUOTA_EXCEEDED
    assert problem["violated-policies"] == ["client"]
    assert problem["status"] == 429
    assert response.headers["Cache-Control"] == "private, no-store"
    assert int(response.headers["Retry-After"]) == standing(response)[3] == 60
    explained = ask(app, "", "/problems/quota_exceeded").get_json()
    assert explained["type"] == QUOTA_EXCEEDED


@given(st.integers(1, 86_400), st.floats(0, 4e9, allow_nan=False))
def test_whoever_waits_as_told_is_let_in_and_not_a_second_later(window_s: int, now: float) -> None:
    window, ends_in_s = window_at(now, window_s)
    assert 1 <= ends_in_s <= window_s
    assert int((now + ends_in_s) // window_s) == window + 1
    assert int((now + ends_in_s - 1) // window_s) == window


def test_the_next_window_is_open_again(tmp_path: Path) -> None:
    clock = Clock(HOUR + 59.0)
    app = kept_app(tmp_path, 'open = ["price"]\n[limits]\nrequests = 1\n', clock=clock)
    assert [ask(app, "").status_code for _ in range(3)] == [404, 429, 429]
    clock.now += int(ask(app, "").headers["Retry-After"])
    assert [ask(app, "").status_code for _ in range(2)] == [404, 429]
    clock.now -= 30  # a clock that is set back opens the window it falls in, and breaks nothing
    assert ask(app, "").status_code == 404


def test_each_client_has_a_count_of_its_own(tmp_path: Path) -> None:
    own = "[clients.limits]\nrequests = 2\nwindow_s = 3600\n"
    free = "[clients.limits]\nrequests = 1000\n"
    text = (
        'open = ["price"]\n[limits]\nrequests = 1\n'
        + client("shop", "price", SHOP_KEY, more=own)
        + client("office", "cost", OFFICE_KEY, more=free)
    )
    app = kept_app(tmp_path, text, clock=Clock(HOUR))
    assert [ask(app, SHOP_KEY).status_code for _ in range(3)] == [404, 404, 429]
    assert standing(ask(app, SHOP_KEY)) == (2, 3600, 0, 3600)
    assert ask(app, "").status_code == 404
    assert ask(app, "").status_code == 429
    assert standing(ask(app, OFFICE_KEY)) == (1000, 60, 999, 60)


def test_two_keys_of_a_client_count_together(tmp_path: Path) -> None:
    text = "open = []\n[limits]\nrequests = 1\n" + client("shop", "price", SHOP_KEY, OFFICE_KEY)
    app = kept_app(tmp_path, text)
    assert [ask(app, key).status_code for key in (SHOP_KEY, OFFICE_KEY)] == [404, 429]


def test_what_is_refused_at_the_gate_does_not_count(tmp_path: Path) -> None:
    app = kept_app(tmp_path, f"open = []\n[limits]\nrequests = 1\n{CLIENTS}")
    for path, key, status in (
        ("/plants", "", 401),
        ("/plants", "k" * 40, 401),
        ("/metrics", SHOP_KEY, 403),
        ("/plants?key=1", SHOP_KEY, 400),
        ("/nothing", SHOP_KEY, 404),
    ):
        response = ask(app, key, path)
        assert response.status_code == status
        assert "RateLimit" not in response.headers
    assert standing(ask(app))[2] == 0


def test_without_a_limit_there_are_no_fields(tmp_path: Path) -> None:
    app = kept_app(tmp_path, f'open = ["price"]\n{CLIENTS}')
    for key in ("", SHOP_KEY):
        fields = ask(app, key, "/plants").headers
        assert "RateLimit" not in fields
        assert "RateLimit-Policy" not in fields


# ---------------------------------------------------------------- addresses

ONE = 'open = ["price"]\n{}[limits]\nrequests = 1\n'


@pytest.mark.parametrize(
    ("first", "second", "same"),
    [
        ("192.0.2.1", "192.0.2.1", True),
        ("192.0.2.1", "192.0.2.2", False),
        ("2001:db8:1:2::3", "2001:db8:1:2:ffff::4", True),
        ("2001:db8:1:2::3", "2001:db8:1:3::3", False),
        ("::ffff:192.0.2.1", "192.0.2.1", True),
        ("", "not an address", True),
    ],
)
def test_who_comes_without_a_key_is_told_by_the_address(
    tmp_path: Path, first: str, second: str, same: bool
) -> None:
    """Addresses are those for documentation (RFC 5737, RFC 3849); a /64 is one (RFC 4291, 2.5.1).

    X-Forwarded-For is not believed: no proxy is listed.
    """
    app = kept_app(tmp_path, ONE.format(""))
    assert ask(app, "", REMOTE_ADDR=first).status_code == 404
    told = ask(app, "", REMOTE_ADDR=second, HTTP_X_FORWARDED_FOR="198.51.100.7")
    assert told.status_code == (429 if same else 404)


@pytest.mark.parametrize(
    ("forwarded", "counted_as"),
    [
        ("192.0.2.9", "192.0.2.9"),
        ("198.51.100.1, 192.0.2.9", "192.0.2.9"),  # what the caller wrote itself is not believed
        ("192.0.2.9, 10.1.2.3", "192.0.2.9"),
        ("192.0.2.9,10.1.2.3,127.0.0.1", "192.0.2.9"),
        ("192.0.2.9, nonsense", "127.0.0.1"),
        ("nonsense, 192.0.2.9", "192.0.2.9"),
        ("", "127.0.0.1"),
        (", ".join(["10.0.0.1"] * 500), "10.0.0.1"),
    ],
)
def test_a_listed_proxy_is_believed_and_nobody_before_it(
    tmp_path: Path, forwarded: str, counted_as: str
) -> None:
    app = kept_app(tmp_path, ONE.format('proxies = ["127.0.0.1", "10.0.0.0/8"]\n'))
    first = ask(app, "", REMOTE_ADDR="127.0.0.1", HTTP_X_FORWARDED_FOR=forwarded)
    assert first.status_code == 404
    assert ask(app, "", REMOTE_ADDR=counted_as).status_code == 429
    assert ask(app, "", REMOTE_ADDR="203.0.113.5").status_code == 404


# ---------------------------------------------------------------- counts in memory


def test_what_is_kept_is_bounded_and_the_oldest_goes_first() -> None:
    counts = OwnCounts(most=100)
    for number in range(1_000):
        assert counts.count(f"caller {number}", 60, 7) == 1
        assert len(counts) == min(number + 1, 100)
    assert counts.count("caller 901", 60, 7) == 2
    assert counts.count("caller 899", 60, 7) == 1, "forgotten"


def test_windows_that_have_ended_are_dropped() -> None:
    counts = OwnCounts()
    for number in range(50):
        counts.count(f"caller {number}", 60, 7)
    counts.count("another", 60, 9)
    assert len(counts) == 1


@given(st.lists(st.tuples(st.sampled_from("abc"), st.integers(0, 3)), max_size=60))
def test_own_counts_are_those_of_a_plain_table(asked: list[tuple[str, int]]) -> None:
    """Windows only go on, as a clock does."""
    counts, table = OwnCounts(), Counter[tuple[str, int]]()
    for who, window in sorted(asked, key=lambda each: each[1]):
        table[who, window] += 1
        assert counts.count(who, 60, window) == table[who, window]


# ---------------------------------------------------------------- counts in Redis


def test_two_services_on_one_redis_share_a_count(tmp_path: Path, redis: RedisServer) -> None:
    text = f"open = []\n[limits]\nrequests = 5\n{CLIENTS}"
    apps = [
        kept_app(tmp_path, text, clock=Clock(HOUR + 1), redis_url=redis.url) for _ in range(2)
    ]
    asked = [ask(apps[number % 2]) for number in range(8)]
    assert [response.status_code for response in asked] == [404] * 5 + [429] * 3
    assert [standing(response)[2] for response in asked] == [4, 3, 2, 1, 0, 0, 0, 0]
    assert ask(apps[0], OFFICE_KEY).status_code == 404


def test_redis_forgets_a_window_after_it_has_ended(redis: RedisServer) -> None:
    counts = SharedCounts(redis.url)
    assert [counts.count("client:shop", 30, 7) for _ in range(3)] == [1, 2, 3]
    [(name, left_s)] = redis.names()
    assert name == "sidelay:asked:client:shop:30:7"
    assert 30 <= left_s <= 60


def test_when_redis_goes_requests_go_on(
    tmp_path: Path, redis: RedisServer, caplog: pytest.LogCaptureFixture
) -> None:
    text = f"open = []\n[limits]\nrequests = 4\n{CLIENTS}"
    app = kept_app(tmp_path, text, clock=Clock(HOUR), redis_url=redis.url)
    assert [ask(app).status_code for _ in range(3)] == [404] * 3
    redis.stop()
    with caplog.at_level(logging.WARNING):
        statuses = [ask(app).status_code for _ in range(6)]
    assert statuses == [404] * 4 + [429] * 2, "counted from the start again, in memory"
    [record] = caplog.records
    assert "each process counts alone" in record.message
    assert redis.url not in record.message


def test_when_redis_comes_back_it_is_used_again(redis: RedisServer) -> None:
    moments = Clock(0.0)
    counts = SharedCounts(redis.url, moments)
    assert [counts.count("a", 60, 7) for _ in range(3)] == [1, 2, 3]
    redis.stop()
    assert [counts.count("a", 60, 7) for _ in range(2)] == [1, 2]
    redis.start()
    moments.now = PAUSE_S / 2
    assert counts.count("a", 60, 7) == 3, "still paused"
    moments.now = PAUSE_S
    assert counts.count("a", 60, 7) == 1, "counted by the new Redis"


def test_a_redis_that_is_away_is_told_of_once_a_minute(caplog: pytest.LogCaptureFixture) -> None:
    moments = Clock(0.0)
    counts = SharedCounts("redis://:secret-word@127.0.0.1:1/0", moments)  # nothing listens there
    with caplog.at_level(logging.WARNING):
        for second in range(int(TOLD_EVERY_S)):
            moments.now = float(second)
            assert counts.count("a", 3600, 7) == second + 1
        assert len(caplog.records) == 1
        moments.now = TOLD_EVERY_S
        counts.count("a", 3600, 7)
    assert len(caplog.records) == 2
    assert "secret-word" not in caplog.text


def test_a_redis_that_never_answers_holds_up_nobody() -> None:
    """Without a limit on the wait this test would never end."""
    with socket.create_server(("127.0.0.1", 0)) as silent:
        counts = SharedCounts(f"redis://127.0.0.1:{silent.getsockname()[1]}/0", Clock(0.0))
        assert [counts.count("a", 60, 7) for _ in range(3)] == [1, 2, 3]


def test_a_redis_that_refuses_breaks_nothing(redis: RedisServer) -> None:
    redis.stop()
    redis.start("--requirepass", "some-word")
    counts = SharedCounts(redis.url, Clock(0.0))
    assert [counts.count("a", 60, 7) for _ in range(2)] == [1, 2]


@pytest.mark.parametrize("url", ["http://127.0.0.1", "secret-word", "redis://127.0.0.1:word"])
def test_a_url_that_is_none_stops_the_start_and_is_not_told(tmp_path: Path, url: str) -> None:
    with pytest.raises(BadSetting, match="SIDELAY_REDIS_URL: expected a URL") as caught:
        kept_app(tmp_path, redis_url=url)
    assert url not in str(caught.value)


def test_without_a_url_each_process_counts_its_own() -> None:
    assert isinstance(counts_of(""), OwnCounts)
    assert create_app(clock=Clock()).test_client().get("/plants").status_code == 200
