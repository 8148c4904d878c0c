"""A cache as RFC 9111 has it, from a library that knows nothing of ours, before the service.

CacheControl keeps answers of requests by their Cache-Control, ETag, Vary and Date, and asks again
with If-None-Match. It must have hits, and never tell a price that the plant no longer asks.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from types import SimpleNamespace

import pytest
import requests
from cachecontrol import CacheControl
from werkzeug.serving import WSGIRequestHandler, make_server

from catalogue_shop import Shop

PRICE = "/products/flyer/price?quantity=500"


class Quiet(WSGIRequestHandler):
    """A handler that writes no log."""

    def log(self, *_: object) -> None:
        """Say nothing."""


@dataclass
class Served:
    """A shop that is served on this machine; it may be restarted while it is.

    statuses: of the answers that the service itself gave
    """

    shop: Shop
    url: str = ""
    statuses: list[int] = field(default_factory=list)

    def app(self, environ, start_response):
        def started(status, headers, *more):
            self.statuses.append(int(status[:3]))
            return start_response(status, headers, *more)

        return self.shop.client.application(environ, started)


@pytest.fixture
def served(tmp_path) -> Iterator[Served]:
    made = Served(Shop(tmp_path))
    server = make_server("127.0.0.1", 0, made.app, request_handler=Quiet)
    made.url = f"http://127.0.0.1:{server.server_port}"
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield made
    server.shutdown()
    thread.join()
    server.server_close()


@pytest.fixture
def cached() -> Iterator[requests.Session]:
    with requests.Session() as session:
        yield CacheControl(session)


def net(answer: requests.Response) -> str:
    return answer.json()["prices"][0]["price"]["net"]


def keep(shop: Shop, max_age_s: int) -> None:
    shop.change("max_age_s = 60", f"max_age_s = {max_age_s}", catalogue=True)


def test_a_fresh_price_is_not_asked_again(served, cached):
    first = cached.get(served.url + PRICE)
    again = [cached.get(served.url + PRICE) for _ in range(5)]
    assert all(answer.from_cache and answer.content == first.content for answer in again)
    assert served.statuses == [200]


def test_other_choices_and_other_languages_are_other_answers(served, cached):
    nets = {net(cached.get(f"{served.url}{PRICE}&size={size}")) for size in ("a7", "a4")}
    assert len(nets) == 2
    english = cached.get(served.url + PRICE, headers={"Accept-Language": "en"}).json()
    german = cached.get(served.url + PRICE, headers={"Accept-Language": "de"}).json()
    assert (english["language"], german["language"]) == ("en", "de")
    keyed = cached.get(served.url + PRICE, headers={"X-API-Key": "k" * 40})
    assert not keyed.from_cache  # Vary names the key: what one is told is no one else's


def test_where_nothing_is_fresh_every_price_is_asked_again_and_cheaply(served, cached):
    keep(served.shop, 0)
    first = cached.get(served.url + PRICE)
    again = [cached.get(served.url + PRICE) for _ in range(3)]
    assert all(answer.from_cache and answer.content == first.content for answer in again)
    assert served.statuses == [200, 304, 304, 304]
    served.shop.change("time_markup = 0.25", "time_markup = 0.50")
    changed = cached.get(served.url + PRICE)
    assert served.statuses[-1] == 200
    assert float(net(changed)) > float(net(first))


def test_a_price_that_was_kept_goes_when_its_time_is_up(served, cached, monkeypatch):
    """Never older than the plant allows: after max_age_s the new price is told."""
    first = cached.get(served.url + PRICE)
    served.shop.change("time_markup = 0.25", "time_markup = 0.50")
    for ahead_s, told in ((30, served.statuses), (61, [200, 200])):
        clock = SimpleNamespace(time=lambda ahead_s=ahead_s: time.time() + ahead_s)
        monkeypatch.setattr("cachecontrol.controller.time", clock)
        answer = cached.get(served.url + PRICE)
        assert answer.from_cache == (ahead_s < 60)
        assert (float(net(answer)) > float(net(first))) == (ahead_s > 60)
        assert served.statuses == told


def test_the_price_that_was_kept_is_told_to_be_superseded_at_the_till(served, cached):
    keep(served.shop, 60)
    token = cached.get(served.url + PRICE).json()["prices"][0]["quote"]["token"]
    served.shop.change("time_markup = 0.25", "time_markup = 0.50")
    kept = cached.get(served.url + PRICE)
    assert kept.json()["prices"][0]["quote"]["token"] == token
    checked = cached.post(served.url + "/quotes/check", json={"token": token}).json()
    assert checked["status"] == "superseded"


def test_refusals_and_quote_checks_are_never_kept(served, cached):
    for _ in range(2):
        assert cached.get(f"{served.url}/products/flyer/price?size=a9").status_code == 422
        cached.post(served.url + "/quotes/check", json={"token": "x"})
    assert served.statuses == [422, 200, 422, 200]
