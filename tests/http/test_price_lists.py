"""Price lists: the same prices as one by one, in every form, streamed and bounded."""

from __future__ import annotations

import csv
import io
import json
import tracemalloc
from itertools import product as every

import pytest

from catalogue_shop import Shop, comes
from sidelay.http.callers import Allowance
from sidelay.http.price_list import PressLost, PriceList

LIST = "/products/flyer/price-list"
SOME = "size=a6,a5&stock=silk_130,silk_250&back=blank&film=none,matt&corners=square&turn=usual"
NDJSON, CSV = "application/x-ndjson", "text/csv"


@pytest.fixture(scope="module")
def shop(tmp_path_factory) -> Shop:
    return Shop(tmp_path_factory.mktemp("shop"))


def lines(answer) -> list[dict]:
    assert answer.status_code == 200, answer.text
    assert answer.content_type == NDJSON
    return [json.loads(line) for line in answer.data.splitlines()]


def refused(answer) -> dict[str, str]:
    assert answer.status_code == 422
    return {error["parameter"]: error["code"] for error in answer.get_json()["errors"]}


def test_every_legal_choice_has_the_price_that_it_has_alone(shop):
    rows = lines(shop.get(f"{LIST}?{SOME}&quantity=100,500", Accept=NDJSON))
    wanted = [
        (size, stock, front, film)
        for size, stock, front, film in every(
            ("a6", "a5"), ("silk_130", "silk_250"), ("black", "colour"), ("none", "matt")
        )
        if (stock, film) != ("silk_130", "matt")
    ]
    told = [(row["size"], row["stock"], row["front"], row["film"]) for row in rows]
    assert told[::2] == told[1::2] == wanted
    for row in rows:
        chosen = "&".join(
            f"{name}={row[name]}" for name in row if name not in ("net", "per_piece", "currency")
        )
        one = shop.get(f"/products/flyer/price?{chosen}").get_json()["prices"][0]["price"]
        assert (row["net"], row["per_piece"]) == (one["net"], one["per_piece"])
        assert row["currency"] == one["currency"]


def test_all_forms_tell_the_same(shop, conforms):
    asked = f"{LIST}?{SOME}&quantity=100,500"
    rows = lines(shop.get(asked, Accept=NDJSON))
    whole = shop.get(asked).get_json()
    conforms("PriceList", whole)
    assert whole["rows"] == rows
    assert whole["quantities"] == [100, 500]
    table = shop.get(asked, Accept=CSV)
    assert table.content_type == "text/csv; charset=utf-8; header=present"
    assert table.data.count(b"\r\n") == table.data.count(b"\n") == len(rows) + 1  # RFC 4180
    read = list(csv.DictReader(io.StringIO(table.text, newline="")))
    assert read == [{name: str(value) for name, value in row.items()} for row in rows]
    tags = {shop.get(asked, Accept=form).headers["ETag"] for form in (NDJSON, CSV, "*/*")}
    assert len(tags) == 3


def test_what_is_left_out_is_the_ladder_and_every_value(shop):
    rows = lines(shop.get("/products/poster/price-list", Accept=NDJSON))
    assert len(rows) == 10 * 3 * 2
    booklet = lines(shop.get("/products/booklet/price-list?size=a5&turn=usual", Accept=NDJSON))
    assert {row["pages"] for row in booklet} == {16}
    some = lines(
        shop.get("/products/booklet/price-list?size=a5&turn=usual&pages=8,16,52", Accept=NDJSON)
    )
    assert {row["pages"] for row in some} == {8, 16, 52}
    assert {row["stock"] for row in some if row["pages"] == 52} == {
        "gloss_115", "silk_130", "offset_80", "offset_100",
    }  # fmt: skip


def test_a_choice_that_no_press_can_make_has_no_price(tmp_path):
    shop = Shop(tmp_path)
    shop.change('"/parts/0/size" = "a0"', '"/parts/0/size" = {width = 4000, height = 6000}',
                catalogue=True)
    asked = "/products/poster/price-list?turn=usual&quantity=10"
    rows = {row["size"]: row for row in lines(shop.get(asked, Accept=NDJSON))}
    assert rows["a0"]["net"] is rows["a0"]["per_piece"] is None
    assert rows["a1"]["net"]
    table = shop.get(asked, Accept=CSV).text.splitlines()
    assert table[-1] == "a0,usual,10,,,EUR"
    assert shop.get(asked).get_json()["rows"] == list(rows.values())


def test_a_list_of_nothing_legal_is_empty(shop):
    asked = f"{LIST}?film=matt&stock=silk_130"
    assert lines(shop.get(asked, Accept=NDJSON)) == []
    assert shop.get(asked).get_json()["rows"] == []
    assert shop.get(asked, Accept=CSV).text.count("\r\n") == 1


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ("size=a6,a9", {"size": "unknown_value"}),
        ("size=a6,", {"size": "unknown_value"}),
        ("size=a6&size=a5", {"size": "parameter_twice"}),
        ("quantity=100,20001", {"quantity": "out_of_range"}),
        ("quantity=100,x", {"quantity": "not_an_integer"}),
        ("as_of=2026-11-24T09:00:00Z", {"as_of": "unknown_parameter"}),
        ("page=2", {"page": "unknown_parameter"}),
    ],
)
def test_a_bad_query_is_refused_before_anything_is_sent(shop, query, expected):
    for form in (NDJSON, CSV, "*/*"):
        assert refused(shop.get(f"{LIST}?{query}", Accept=form)) == expected


def test_a_list_is_as_long_as_its_caller_may_ask(shop, monkeypatch):
    comes(monkeypatch, "price", allowance=Allowance(quantities=3, prices=24))
    asked = "/products/poster/price-list?quantity=10,50,100"
    assert len(lines(shop.get(asked, Accept=NDJSON))) == 18
    assert refused(shop.get(f"{asked},250")) == {"quantity": "too_many"}
    assert refused(shop.get(f"{LIST}?quantity=100")) == {"quantity": "too_many"}


def test_another_form_is_refused(shop):
    answer = shop.get(LIST, Accept="application/xml")
    assert answer.status_code == 406
    assert "application/x-ndjson" in answer.get_json()["detail"]


def test_it_is_sent_as_it_is_worked_out(shop, monkeypatch):
    """The first line is there before the second choice has been priced."""
    priced: set[tuple[object, ...]] = set()
    real = PriceList._prices

    def counted(self, choices):
        priced.add(tuple(choices.values()))
        return real(self, choices)

    monkeypatch.setattr(PriceList, "_prices", counted)
    with shop.client.get(f"{LIST}?{SOME}", headers={"Accept": NDJSON}, buffered=False) as answer:
        chunks = answer.iter_encoded()
        assert next(chunks)
        assert len(priced) == 1
        assert len(list(chunks)) == 11
    assert len(priced) == 12


def test_it_tells_at_each_choice_that_it_goes_on(shop, monkeypatch):
    """A worker that is silent for half a minute is killed, and a long list takes longer."""
    beats: list[int] = []
    monkeypatch.setattr("sidelay.heartbeat._watchers", [lambda: beats.append(1)])
    _ = shop.get(f"{LIST}?{SOME}").data
    assert len(beats) == 12


def test_a_list_that_lacks_a_press_has_no_tag(tmp_path, monkeypatch):
    """A strong tag means the same bytes (RFC 9110, 8.8.3); the press may be back the next time."""
    shop, asked = Shop(tmp_path), f"{LIST}?{SOME}&quantity=100"
    whole = shop.get(asked, Accept=NDJSON)
    shop.restart()
    with monkeypatch.context() as patch:
        without_toner(shop, patch, lambda: True)
        lacking = shop.get(asked, Accept=NDJSON)
        assert "ETag" not in lacking.headers
        assert lacking.headers["Cache-Control"] == "private, no-store"
        known = shop.get(asked, Accept=NDJSON, If_None_Match=whole.headers["ETag"])
        assert known.status_code == 304
    pairs = list(zip(lines(lacking), lines(whole), strict=True))
    assert all(float(one["net"]) >= float(other["net"]) for one, other in pairs)
    assert any(one["net"] != other["net"] for one, other in pairs)
    assert shop.get(asked, Accept=NDJSON).data == whole.data  # nor was any of it kept


def test_a_press_that_is_lost_in_the_midst_of_a_list_breaks_it_off(tmp_path, monkeypatch):
    shop, asked = Shop(tmp_path), f"{LIST}?{SOME}&quantity=100"
    priced: list[int] = []
    without_toner(shop, monkeypatch, lambda: len(priced) > 1)
    real = PriceList._worked_out
    monkeypatch.setattr(
        PriceList, "_worked_out", lambda self, of: priced.append(1) or real(self, of)
    )
    with pytest.raises(PressLost):
        _ = shop.get(asked, Accept=NDJSON).data


def without_toner(shop, patch, broken) -> None:
    """Have the toner presses fail while `broken` says so."""
    hook = shop.client.application.extensions["sidelay"].processes._manager.hook.speed
    (impl,) = (each for each in hook.get_hookimpls() if each.plugin_name == "toner")
    real = impl.function

    def speed(press, work):
        if broken():
            raise RuntimeError("out of toner")
        return real(press, work)

    patch.setattr(impl, "function", speed)


def test_a_press_that_fails_half_way_breaks_the_list_off(shop, monkeypatch):
    """Better a list that ends short than one that looks whole: the client sees it cut."""
    real = PriceList._prices

    def failing(self, choices):
        if choices["size"] == "a5":
            raise RuntimeError("a fault of ours")
        return real(self, choices)

    monkeypatch.setattr(PriceList, "_prices", failing)
    with pytest.raises(RuntimeError):
        _ = shop.get(f"{LIST}?{SOME}").data


def test_a_long_list_takes_no_more_memory_than_a_short_one(shop):
    """What is held at once, at its highest; prices that are kept for the next list have a bound."""

    def peak(query: str) -> int:
        with shop.client.get(f"{LIST}?{query}", buffered=False) as answer:
            for _ in answer.iter_encoded():  # the prices are kept from now on
                pass
        with shop.client.get(f"{LIST}?{query}", buffered=False) as answer:
            tracemalloc.start()
            sent = sum(len(chunk) for chunk in answer.iter_encoded())
            _, highest = tracemalloc.get_traced_memory()
            tracemalloc.stop()
        assert sent > 0
        return highest

    short, long = "size=a6&stock=silk_130&turn=usual", "stock=silk_130,silk_250&turn=usual"
    assert peak(long) < 1.5 * peak(short) + 20_000
