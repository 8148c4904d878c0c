"""Answers that may be kept: entity tags, 304, freshness, and what they hang on.

The rules are those of RFC 9110 (8.8.3, 13.1.2, 15.4.5) and RFC 9111 (4.2, 5.2.2).
"""

from __future__ import annotations

import re

import pytest

from catalogue_shop import KEYS, Shop, comes
from shop import CLOCK
from sidelay.http.kept_answers import Bounded, Kept, kept_answers

PATHS = (
    "/products",
    "/products/flyer",
    "/products/flyer/price?quantity=500",
    "/products/flyer/price",
    "/products/flyer/job",
    "/products/poster/price-list",
)
STRONG = re.compile(r'"[0-9a-f]{32}"')


@pytest.fixture(scope="module")
def shop(tmp_path_factory) -> Shop:
    return Shop(tmp_path_factory.mktemp("shop"))


def max_age(answer) -> int:
    found = re.search(r"max-age=(\d+)", answer.headers["Cache-Control"])
    assert found
    return int(found.group(1))


@pytest.mark.parametrize("path", PATHS)
def test_an_answer_has_a_strong_tag_and_the_fields_of_rfc_9111(shop, path):
    answer = shop.get(path)
    assert STRONG.fullmatch(answer.headers["ETag"])
    assert answer.headers["Cache-Control"] == "private, max-age=60, must-revalidate"
    vary = {name.strip() for name in answer.headers["Vary"].split(",")}
    assert {"Accept-Language", "X-API-Key"} <= vary


@pytest.mark.parametrize("path", PATHS)
def test_who_has_it_is_told_so_without_a_body(shop, path):
    answer = shop.get(path)
    tag = answer.headers["ETag"]
    for asked in (tag, f"W/{tag}", f'"other", {tag}', "*"):
        unchanged = shop.get(path, If_None_Match=asked)
        assert (unchanged.status_code, unchanged.data) == (304, b""), asked
        assert "Content-Type" not in unchanged.headers
        for name in ("ETag", "Cache-Control", "Vary"):  # RFC 9110, 15.4.5
            assert unchanged.headers[name] == answer.headers[name]
    for asked in ('"other"', f'"{tag[1:-2]}"', f'"{tag[1:-1]}0"', '"'):
        assert shop.get(path, If_None_Match=asked).status_code == 200


@pytest.mark.parametrize("path", PATHS)
def test_head_has_the_fields_of_get_and_no_body(shop, path):
    """RFC 9110, 9.3.2."""
    got, head = shop.get(path), shop.client.head(path)
    assert (head.status_code, head.data) == (200, b"")
    for name in ("ETag", "Cache-Control", "Vary", "Content-Type"):
        assert head.headers[name] == got.headers[name]
    assert shop.client.head(path, headers={"If-None-Match": got.headers["ETag"]}).status_code == 304


@pytest.mark.parametrize("path", PATHS)
def test_the_same_request_has_the_same_bytes_in_another_process(shop, path, tmp_path):
    other = Shop(tmp_path)
    first, again, elsewhere = shop.get(path), shop.get(path), other.get(path)
    assert first.data == again.data == elsewhere.data
    assert first.headers["ETag"] == elsewhere.headers["ETag"]


def test_whatever_changes_the_answer_changes_its_tag(tmp_path):
    shop = Shop(tmp_path)
    path = PATHS[2]

    def tag(asked: str = path, **headers: str) -> str:
        return shop.get(asked, **headers).headers["ETag"]

    tags = [tag(), tag(f"{path}&size=a5"), tag("/products/flyer/price?quantity=501")]
    tags += [tag(path, Accept_Language="de"), tag(f"{path}&as_of=2026-11-24T09:00:00Z")]
    tags.append(tag("/products/flyer/job?quantity=500"))
    shop.now = CLOCK + 900
    tags.append(tag())
    shop.now = CLOCK
    shop.restart(quote_keys=("another key that signs, long enough",))
    tags.append(tag())
    shop.restart()
    assert tag() == tags[0]
    shop.change("time_markup = 0.25", "time_markup = 0.26")
    tags.append(tag())
    shop.change("Flyers", "Handbills", catalogue=True)
    tags.append(tag())
    assert len(set(tags)) == len(tags)


def test_the_tag_of_a_default_is_that_of_the_same_thing_chosen(shop):
    tags = {
        shop.get(f"/products/flyer/price?quantity=500{more}").headers["ETag"]
        for more in ("", "&size=a6", "&stock=silk_130&size=a6", "&language=en")
    }
    assert len(tags) == 1


def test_a_plug_in_of_another_version_changes_every_tag(tmp_path, monkeypatch):
    from sidelay.processes import Processes

    shop = Shop(tmp_path)
    before = shop.get(PATHS[2]).headers["ETag"]
    discover = Processes.discover

    def newer() -> Processes:
        found = discover()
        found.versions["toner"] += ".1"
        return found

    monkeypatch.setattr(Processes, "discover", newer)
    shop.restart()
    assert shop.get(PATHS[2]).headers["ETag"] != before


def test_a_price_is_fresh_until_the_clocks_next_step_at_most(tmp_path):
    shop = Shop(tmp_path)
    shop.now = CLOCK + 899 - 10
    assert max_age(shop.get(PATHS[2])) == 11
    shop.now = CLOCK + 899
    assert max_age(shop.get(PATHS[2])) == 1
    assert max_age(shop.get(PATHS[1])) == 60  # no date is in it


def test_a_plant_says_who_may_keep_it_and_how_long(tmp_path, monkeypatch):
    shop = Shop(tmp_path)
    shop.change("max_age_s = 60", "max_age_s = 300", catalogue=True)
    assert shop.get(PATHS[2]).headers["Cache-Control"] == "private, max-age=300, must-revalidate"
    shop.change('cache = "private"', 'cache = "public"', catalogue=True)
    assert shop.get(PATHS[2]).headers["Cache-Control"] == "public, max-age=300, must-revalidate"
    shop.change("max_age_s = 300", "max_age_s = 0", catalogue=True)
    assert shop.get(PATHS[2]).headers["Cache-Control"] == "public, no-cache"
    # What one client may know alone is never public.
    comes(monkeypatch, "price")
    assert shop.get(PATHS[2]).headers["Cache-Control"] == "private, no-cache"


def test_a_refusal_is_not_kept(shop):
    answer = shop.get("/products/flyer/price?size=a9")
    assert answer.headers["Cache-Control"] == "private, no-store"
    assert "ETag" not in answer.headers


def test_an_answer_that_lacks_a_press_is_not_kept(tmp_path, monkeypatch):
    """A strong tag means the same bytes; a press that failed once may be there the next time."""
    shop = Shop(tmp_path)
    hook = shop.client.application.extensions["sidelay"].processes._manager.hook.speed

    def broken(press, work):
        raise RuntimeError("out of toner")

    with monkeypatch.context() as patch:
        for impl in hook.get_hookimpls():
            patch.setattr(impl, "function", broken)
        answer = shop.get("/products/flyer/price?quantity=77")
        assert answer.headers["Cache-Control"] == "private, no-store"
        assert "ETag" not in answer.headers
        assert "ask again" in answer.get_json()["refusals"][-1]["message"]
    answer = shop.get("/products/flyer/price?quantity=77")
    assert "ETag" in answer.headers
    assert answer.get_json()["prices"]


def test_a_price_that_lacks_a_press_is_told_and_not_promised(tmp_path, monkeypatch):
    """The one that is out of reach may be the cheapest: ask again before it is bought."""
    shop = Shop(tmp_path)
    whole = shop.get("/products/flyer/price?quantity=77").get_json()["prices"][0]
    shop.restart()
    hook = shop.client.application.extensions["sidelay"].processes._manager.hook.speed

    def broken(press, work):
        raise RuntimeError("out of toner")

    for impl in hook.get_hookimpls():
        if impl.plugin_name == "toner":
            monkeypatch.setattr(impl, "function", broken)
    answer = shop.get("/products/flyer/price?quantity=77")
    assert "ETag" not in answer.headers
    lacking = answer.get_json()["prices"][0]
    assert float(lacking["price"]["net"]) > float(whole["price"]["net"])
    assert whole["quote"]
    assert lacking["quote"] is None


def test_an_answer_is_worked_out_once(tmp_path, monkeypatch):
    import sidelay.http.product_routes as routes

    shop = Shop(tmp_path)
    asked: list[int] = []
    real = routes.price_answer
    monkeypatch.setattr(
        routes, "price_answer", lambda *of: asked.append(1) or real(*of)
    )
    for _ in range(5):
        shop.get(PATHS[2])
    tag = shop.get(PATHS[2]).headers["ETag"]
    shop.get("/products/flyer/price?size=a6&quantity=500")
    assert len(asked) == 1
    shop.restart()
    assert shop.get(PATHS[2], If_None_Match=tag).status_code == 304
    assert len(asked) == 1  # nor is anything priced to say that it has not changed


def test_what_a_caller_makes_long_is_not_kept_beside_the_answer(tmp_path):
    shop = Shop(tmp_path)
    kept = shop.client.application.extensions["sidelay"].kept
    first = shop.get(PATHS[2])
    before = len(kept)
    for number in range(20):
        languages = ", ".join(f"x-{number}-{each}" for each in range(200))
        assert shop.get(PATHS[2], Accept_Language=languages).data == first.data
    assert len(kept) == before


# ---------------------------------------------------------------- the store


def test_the_store_is_bounded_and_the_longest_unasked_goes_first():
    looks: list[bool] = []
    store: Bounded[str] = Bounded(3, len, looks.append)
    store.keep("a", "x")
    store.keep("b", "y")
    store.keep("c", "z")
    assert store.get("a") == "x"
    store.keep("d", "w")
    assert store.get("b") is None
    assert [store.get(name) for name in "acd"] == ["x", "z", "w"]
    store.keep("long", "four")
    assert store.get("long") is None
    assert len(store) == 3
    assert looks == [True, False, True, True, True, False]


def test_answers_are_bounded_by_their_bytes():
    store = kept_answers(10_000)
    for number in range(100):
        store.keep(number, Kept(b"x" * 500, '"t"', "en"))
    assert len(store) == 6


def test_what_is_kept_is_counted(tmp_path):
    shop = Shop(tmp_path)

    def counted(store: str, outcome: str) -> float:
        text = shop.get("/metrics").text
        line = f'sidelay_kept_total{{outcome="{outcome}",store="{store}"}} '
        found = [float(row[len(line) :]) for row in text.splitlines() if row.startswith(line)]
        return found[0] if found else 0.0

    before = counted("answers", "found"), counted("plans", "found"), counted("plans", "missing")
    shop.get(PATHS[2])
    shop.get(PATHS[2])
    shop.get("/products/flyer/price?quantity=501")
    after = counted("answers", "found"), counted("plans", "found"), counted("plans", "missing")
    assert [b - a for a, b in zip(before, after, strict=True)] == [1, 1, 1]


def test_requests_are_counted_by_route_and_not_by_path(tmp_path):
    shop = Shop(tmp_path)
    for name in ("x1", "x2", "x3"):
        shop.get(f"/products/{name}")
        shop.get(f"/{name}")
    text = shop.get("/metrics").text
    assert 'route="/products/<product_id>",status="404"' in text
    assert 'method="none",route="none",status="404"' in text
    assert "x1" not in text
    assert KEYS[0] not in text
