"""When the client asks again, against a real server; nothing waits for real."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scripted_service import RESET, SILENCE, Act, Reply, ScriptedService, scripted
from sidelay.client import NO_RETRIES, Client, ProblemError, Retries, Unreachable
from sidelay.client_retries import retry_after_s

# 2026-11-24T09:00:00Z, as seconds and as an HTTP-date (RFC 9110, 5.6.7) a minute later.
NOW_S = 1_795_510_800
A_MINUTE_ON = "Tue, 24 Nov 2026 09:01:00 GMT"
BODY: dict[str, Any] = {"job": {}}


@dataclass
class Waits:
    """Notes what would be waited; draws the most that may be drawn, or what it is told to."""

    drawn: float = 1.0
    slept: list[float] = field(default_factory=list)

    def retries(self, **bounds: Any) -> Retries:
        return Retries(
            sleep=self.slept.append, now=lambda: NOW_S, draw=lambda: self.drawn, **bounds
        )


def busy(status: int = 429, **fields: str) -> Reply:
    told = {name.replace("_", "-"): value for name, value in fields.items()}
    return Reply(status, {"title": "Later", "type": "/problems/later"}, told)


@dataclass
class Scene:
    """A service with a script, and a client of it that only notes its waits."""

    server: ScriptedService
    client: Client
    asked: list[tuple[str, str]]

    def fails(self, kind: type[Exception], telling: str | None = None) -> Any:
        """Ask, and return how it fails."""
        with pytest.raises(kind, match=telling) as caught:
            self.client.estimate(BODY)
        return caught.value


@contextmanager
def asking(waits: Waits, *script: Act, timeout_s: float = 10, **bounds: Any) -> Iterator[Scene]:
    with scripted(*script) as server:
        with_waits = Client(server.url, timeout_s, retries=waits.retries(**bounds))
        with with_waits as client:
            yield Scene(server, client, server.asked)


@pytest.mark.parametrize("status", [429, 503])
def test_what_has_no_time_now_is_asked_again_when_it_says(status):
    waits, later = Waits(drawn=0.0), [busy(status, Retry_After=each) for each in ("7", "3")]
    with asking(waits, *later, Reply()) as scene:
        assert scene.client.estimate(BODY) == {}
    assert scene.asked == [("POST", "/estimate")] * 3
    assert waits.slept == [7, 3]


def test_a_date_is_reckoned_from_the_date_of_the_answer():
    waits = Waits(drawn=0.0)
    wrong_clock = busy(Retry_After=A_MINUTE_ON, Date="Tue, 24 Nov 2026 09:00:48 GMT")
    with asking(waits, wrong_clock, busy(Retry_After=A_MINUTE_ON), Reply()) as scene:
        scene.client.ready()
    assert waits.slept == [12, 60]


def test_without_a_word_each_wait_may_be_twice_the_last_up_to_a_bound():
    for drawn, slept in ((1.0, [0.5, 1, 2, 3]), (0.5, [0.25, 0.5, 1, 2])):
        waits = Waits(drawn)
        with asking(waits, busy(), most_wait_s=3) as scene:
            scene.fails(ProblemError, "429 Later")
        assert waits.slept == slept
        assert len(scene.asked) == 5


def test_those_refused_together_do_not_come_back_together():
    """A share is drawn on top of what is told, and never below it."""
    waits = Waits(drawn=0.4)
    with asking(waits, busy(Retry_After="7"), Reply()) as scene:
        scene.client.ready()
    assert waits.slept == [7 + 0.4 * 0.5]


@pytest.mark.parametrize(
    ("bounds", "told", "slept"),
    [
        ({"most_wait_s": 6}, ["7"], []),
        ({"most_wait_s": 7}, ["7", "8"], [7]),
        ({"most_total_wait_s": 12}, ["7", "6"], [7]),
        ({"most_total_wait_s": 12}, ["7", "5", "1"], [7, 5]),
        ({"most": 0}, ["0"], []),
        ({"most": 1}, ["0", "0"], [0]),
    ],
)
def test_what_waits_longer_than_the_bounds_is_told_at_once(bounds, told, slept):
    """Never sooner than the service asks: the caller is told when to come back."""
    waits = Waits(drawn=0.0)
    with asking(waits, *(busy(Retry_After=each) for each in told), **bounds) as scene:
        problem = scene.fails(ProblemError)
    assert waits.slept == slept
    assert len(scene.asked) == len(slept) + 1
    assert problem.retry_after_s == float(told[len(slept)])
    assert problem.type == "/problems/later"


@pytest.mark.parametrize("status", [400, 401, 403, 404, 406, 409, 413, 415, 422, 500, 502, 504])
def test_nothing_else_is_asked_again(status):
    waits = Waits()
    with asking(waits, busy(status, Retry_After="1")) as scene:
        scene.fails(ProblemError)
    assert len(scene.asked) == 1
    assert waits.slept == []


@pytest.mark.parametrize("broken", [RESET, Reply(body={"half": 1}, cut=True)])
def test_a_connection_that_breaks_is_made_again(broken):
    waits = Waits()
    with asking(waits, broken, broken, Reply(body={"told": 1})) as scene:
        assert scene.client.compare(BODY) == {"told": 1}
    assert len(scene.asked) == 3
    assert waits.slept == [0.5, 1]


@pytest.mark.parametrize("broken", [RESET, Reply(body={"half": 1}, cut=True)])
def test_one_that_always_breaks_is_given_up(broken):
    with asking(Waits(), broken, most=2) as scene:
        scene.fails(Unreachable, "No service answers at")
    assert len(scene.asked) == 3


def test_a_service_that_is_still_starting_is_waited_for():
    """Nothing listens at first; while the client waits, the service begins to."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        waits = Waits()
        url = f"http://127.0.0.1:{taken.getsockname()[1]}"

        def begin(wait_s: float) -> None:
            waits.slept.append(wait_s)
            if len(waits.slept) == 2:
                taken.listen()
                threading.Thread(target=answer_once, args=(taken,)).start()

        with Client(url, retries=Retries(sleep=begin, draw=lambda: 1.0)) as client:
            assert client.ready() == {}
    assert waits.slept == [0.5, 1]


def answer_once(listening: socket.socket) -> None:
    connection, _ = listening.accept()
    with connection:
        connection.recv(65536)
        connection.sendall(b"HTTP/1.1 200 OK\r\nContent-Length: 2\r\nConnection: close\r\n\r\n{}")


def test_an_answer_that_takes_too_long_is_not_asked_for_again():
    waits = Waits()
    with asking(waits, SILENCE, timeout_s=0.05) as scene:
        scene.fails(Unreachable, r"within 0\.05 s")
    assert len(scene.asked) == 1
    assert waits.slept == []


def test_connecting_has_a_time_of_its_own():
    """A listener whose queue is full takes no connection, and refuses none."""
    with socket.socket() as full, socket.socket() as first, socket.socket() as second:
        full.bind(("127.0.0.1", 0))
        full.listen(0)
        for waiting in (first, second):
            waiting.setblocking(False)
            waiting.connect_ex(full.getsockname())
        url = f"http://127.0.0.1:{full.getsockname()[1]}"
        client = Client(url, 60, connect_timeout_s=0.05, retries=NO_RETRIES)
        with client, pytest.raises(Unreachable, match=r"within 0\.05 s"):
            client.ready()


def test_connections_are_used_again_by_all_threads_of_a_client():
    with scripted(Reply()) as server, Client(server.url, pool_size=8) as client:
        with ThreadPoolExecutor(8) as pool:
            assert list(pool.map(lambda _: client.ready(), range(40))) == [{}] * 40
        assert len(server.asked) == 40
        assert server.connections <= 8


def test_no_cookie_is_kept():
    with scripted(Reply(fields={"Set-Cookie": "till=1"})) as server, Client(server.url) as client:
        client.ready()
        assert list(client._session.cookies) == []


@pytest.mark.parametrize(
    ("text", "wait_s"),
    [
        ("0", 0),
        (" 120 ", 120),
        (A_MINUTE_ON, 60),
        ("Tuesday, 24-Nov-26 09:01:00 GMT", 60),  # the two obsolete forms that RFC 9110 has read
        ("Tue Nov 24 09:01:00 2026", 60),
        ("Tue, 24 Nov 2026 08:00:00 GMT", 0),
        ("", None),
        ("-1", None),
        ("1.5", None),
        ("soon", None),
        ("Tue, 99 Nov 2026 09:00:00 GMT", None),
        ("9" * 400, None),
        ("\u0663", None),
    ],
)
def test_both_forms_of_retry_after_are_read(text, wait_s):
    assert retry_after_s({"Retry-After": text}, NOW_S) == wait_s


def test_without_the_field_nothing_is_told():
    assert retry_after_s({}, NOW_S) is None


@given(st.text(max_size=40), st.text(max_size=40))
def test_whatever_stands_in_the_fields_is_a_wait_or_nothing(told, date):
    found = retry_after_s({"Retry-After": told, "Date": date}, NOW_S)
    assert found is None or found >= 0


@given(
    st.integers(0, 8),
    st.floats(0, 10),
    st.floats(0, 100),
    st.floats(0, 200),
    st.lists(st.none() | st.floats(0, 100), max_size=10),
    st.floats(0, 1),
)
def test_bounds_hold_whatever_is_told(most, first_wait_s, most_wait_s, total_s, told, drawn):
    retries = Retries(most, first_wait_s, most_wait_s, total_s, draw=lambda: drawn)
    waited: list[float] = []
    for told_s in told:
        wait_s = retries.wait_s(len(waited), sum(waited), told_s)
        if wait_s is None:
            break
        assert (told_s or 0) <= wait_s <= most_wait_s
        waited.append(wait_s)
    assert len(waited) <= most
    assert sum(waited) <= total_s * (1 + 1e-9)


@pytest.mark.parametrize("bounds", [{"most": -1}, {"most_wait_s": -0.1}, {"first_wait_s": -1}])
def test_bounds_below_nothing_are_refused(bounds):
    with pytest.raises(ValueError, match="below 0"):
        Retries(**bounds)
