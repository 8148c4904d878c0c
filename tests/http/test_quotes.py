"""Quoted prices: signed, expiring, and told apart from what was altered or has been overtaken."""

from __future__ import annotations

import base64
import hashlib
import hmac
import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue_shop import KEYS, Shop, comes
from shop import CLOCK
from sidelay.http.quotes import PURPOSE, Quote, Quotes, checked

ASKED = "/products/flyer/price?quantity=500"
HOLDS_S = 72 * 3600
QUOTE = Quote("demo", "abc", "", "0123456789abcdef", 500, "44.51", "EUR", CLOCK + HOLDS_S)
SIGNED = Quotes(KEYS[:1])
TOKEN = SIGNED.sign(QUOTE) or ""


@pytest.fixture
def shop(tmp_path) -> Shop:
    return Shop(tmp_path)


def quoted(shop: Shop, path: str = ASKED) -> dict[str, str]:
    return shop.get(path).get_json()["prices"][0]["quote"]


def test_a_quote_is_of_what_was_priced(shop, conforms):
    answer = shop.get(ASKED).get_json()
    row = answer["prices"][0]
    told = shop.check(token=row["quote"]["token"])
    conforms("QuoteChecked", told)
    assert told["status"] == "valid"
    assert told["quote"] == {
        "plant": "demo",
        "revision": answer["plant"]["revision"],
        "group": "",
        "job_fingerprint": answer["job_fingerprint"],
        "quantity": 500,
        "net": row["price"]["net"],
        "currency": "EUR",
        "expires_at": row["quote"]["expires_at"],
    }


def test_it_expires_when_it_says(shop):
    token = quoted(shop)["token"]
    shop.now = CLOCK + HOLDS_S - 1
    assert shop.check(token=token)["status"] == "valid"
    shop.now = CLOCK + HOLDS_S
    assert shop.check(token=token)["status"] == "expired"


def test_a_new_revision_of_the_plant_supersedes_it(shop):
    token = quoted(shop)["token"]
    shop.change("time_markup = 0.25", "time_markup = 0.26")
    told = shop.check(token=token)
    assert told["status"] == "superseded"
    assert told["quote"]["net"]
    assert shop.check(token=quoted(shop)["token"])["status"] == "valid"


def test_of_a_plant_that_is_gone_it_is_superseded(shop):
    token = quoted(shop)["token"]
    shop.change('id = "demo"', 'id = "annex"')
    assert shop.check(token=token)["status"] == "superseded"


def test_the_key_before_still_holds_and_the_one_before_that_does_not(shop):
    token = quoted(shop)["token"]
    newer, newest = "n" * 40, "m" * 40
    shop.restart(quote_keys=(newer, KEYS[0]))
    assert shop.check(token=token)["status"] == "valid"
    second = quoted(shop)["token"]
    assert second != token
    shop.restart(quote_keys=(newest, newer))
    assert shop.check(token=token)["status"] == "altered"
    assert shop.check(token=second)["status"] == "valid"


def test_without_a_key_nothing_is_quoted(shop):
    token = quoted(shop)["token"]
    shop.restart(quote_keys=())
    assert quoted(shop) is None
    assert shop.check(token=token)["status"] == "altered"


def test_where_the_request_tells_the_clock_nothing_is_quoted(shop):
    """A caller's clock could lie years ahead, and so would the end of its quote."""
    assert quoted(shop, f"{ASKED}&as_of=2099-01-01T00:00:00Z") is None


@pytest.mark.parametrize(
    ("ordered", "told"),
    [
        ({"quantity": 5000}, "quantity"),
        ({"net": "44.50"}, "net"),
        ({"currency": "GBP"}, "currency"),
        ({"job_fingerprint": "f" * 16}, "job fingerprint"),
    ],
)
def test_an_order_of_something_else_is_told_as_altered(shop, ordered, told):
    answer = shop.check(token=quoted(shop)["token"], **ordered)
    assert answer["status"] == "altered"
    assert f"another {told} " in answer["because"]


def test_an_order_of_the_same_is_valid(shop):
    answer = shop.get(ASKED).get_json()
    row = answer["prices"][0]
    told = shop.check(
        token=row["quote"]["token"],
        quantity=500,
        net=row["price"]["net"],
        currency="EUR",
        job_fingerprint=answer["job_fingerprint"],
    )
    assert told["status"] == "valid"


@pytest.mark.parametrize(
    "token",
    ["x", ".", "a.b", "a.b.c", TOKEN[:-1], TOKEN[1:], TOKEN + "A", TOKEN.split(".")[0],
     TOKEN.replace(".", ".."), f" {TOKEN}", TOKEN.upper(), "é" * 20, "\x00", "." * 1_000],
)  # fmt: skip
def test_what_was_not_signed_here_is_altered(shop, token):
    assert shop.check(token=token)["status"] == "altered"
    assert shop.check(token=token)["quote"] is None


@given(st.data())
def test_no_change_of_a_token_goes_unseen(data):
    """Any other character anywhere; base64url has bits to spare in its last one."""
    place = data.draw(st.integers(0, len(TOKEN) - 2))
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_."
    letter = data.draw(st.sampled_from(letters).filter(lambda each: each != TOKEN[place]))
    assert SIGNED.read(TOKEN[:place] + letter + TOKEN[place + 1 :]) in (None, QUOTE)
    if "." not in (letter, TOKEN[place]):
        assert SIGNED.read(TOKEN[:place] + letter + TOKEN[place + 1 :]) is None


def test_the_last_letter_carries_bits_that_say_nothing():
    """RFC 4648, 3.5: pad bits; whatever they are, the quote read is the one signed."""
    for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_":
        assert SIGNED.read(TOKEN[:-1] + letter) in (None, QUOTE)


def test_a_signature_is_hmac_sha256_of_a_key_for_this_purpose_alone():
    """Worked out again with hmac alone (RFC 2104), as the library's documentation derives keys."""
    told, signature = TOKEN.rsplit(".", 1)
    key = hmac.new(KEYS[0].encode(), PURPOSE.encode() + b"signer", hashlib.sha256).digest()
    alone = hmac.new(KEYS[0].encode(), PURPOSE.encode(), hashlib.sha256).digest()
    found = [
        base64.urlsafe_b64encode(hmac.new(each, told.encode(), hashlib.sha256).digest())
        .rstrip(b"=")
        .decode()
        for each in (key, alone)
    ]
    assert signature in found


def test_a_token_signed_by_someone_elses_key_is_altered(shop):
    foreign = Quotes(("someone else's key, as long as it may be",)).sign(QUOTE)
    assert shop.check(token=foreign)["status"] == "altered"


def test_what_another_program_signed_with_the_same_key_is_altered():
    from itsdangerous import URLSafeSerializer

    settings = {"key_derivation": "hmac", "digest_method": hashlib.sha256}
    same = URLSafeSerializer(KEYS[0], salt=PURPOSE, signer_kwargs=settings)
    for other in (7, "text", {}, [], ["demo"], [1, 2, 3, 4, 5, 6, 7, 8], None, [True] * 8):
        assert SIGNED.read(same.dumps(other)) is None
    another = URLSafeSerializer(KEYS[0], salt="session", signer_kwargs=settings)
    assert SIGNED.read(another.dumps(list(range(8)))) is None


def test_a_token_tells_no_cost(shop):
    """All that is in it, undone by hand: what was quoted, and nothing else."""
    token = quoted(shop)["token"]
    part = token.split(".")[0]
    told = json.loads(base64.urlsafe_b64decode(part + "=" * (-len(part) % 4)))
    answer = shop.get(ASKED).get_json()
    row = answer["prices"][0]
    assert told == [
        "demo", answer["plant"]["revision"], "", answer["job_fingerprint"], 500,
        row["price"]["net"], "EUR", CLOCK + HOLDS_S,
    ]  # fmt: skip


def test_a_quote_of_another_customer_group_is_none_of_the_callers(shop, monkeypatch):
    comes(monkeypatch, "price", group="trade")
    token = quoted(shop)["token"]
    assert shop.check(token=token)["status"] == "valid"
    comes(monkeypatch, "price")
    assert shop.check(token=token) == shop.check(token="x")
    comes(monkeypatch, "price", "cost")
    assert shop.check(token=token)["quote"]["group"] == "trade"


def test_the_states_have_an_order():
    """Altered before expired before superseded: what is not the shop's says nothing else."""
    late, other = QUOTE.expires_at, {"demo": "xyz"}
    assert checked(None, other, late, {})[0] == "altered"
    assert checked(QUOTE, other, late, {"quantity": 1})[0] == "altered"
    assert checked(QUOTE, other, late, {})[0] == "expired"
    assert checked(QUOTE, other, late - 1, {})[0] == "superseded"
    assert checked(QUOTE, {"demo": "abc"}, late - 1, {})[0] == "valid"


@pytest.mark.parametrize(
    ("body", "pointers"),
    [
        ({}, {"#/token": "required"}),
        ({"token": ""}, {"#/token": "wrong_length"}),
        ({"token": "x" * 2001}, {"#/token": "wrong_length"}),
        ({"token": 5}, {"#/token": "not_a_string"}),
        ({"token": "x", "quantity": "5", "cost": 1},
         {"#/quantity": "not_an_integer", "#/cost": "unknown_member"}),
    ],
)  # fmt: skip
def test_a_bad_body_is_refused(shop, body, pointers):
    answer = shop.client.post("/quotes/check", json=body)
    assert answer.status_code == 422
    found = {error["pointer"]: error["code"] for error in answer.get_json()["errors"]}
    assert found == pointers


# ---------------------------------------------------------------- of estimates and comparisons


def test_offers_of_estimates_and_comparisons_are_quoted_where_asked(shop, flyer, conforms):
    plain = shop.client.post("/estimate", json=flyer).get_json()
    asked = shop.client.post("/estimate", json=flyer | {"quotes": True}).get_json()
    conforms("Estimate", asked)
    for offer, without in zip(asked["estimates"], plain["estimates"], strict=True):
        quote = shop.check(token=offer.pop("quote")["token"])["quote"]
        assert (quote["quantity"], quote["net"]) == (offer["quantity"], offer["price"]["net"])
        assert quote["job_fingerprint"] == asked["job_fingerprint"]
        assert offer == without
    compared = shop.client.post("/compare", json=flyer | {"quotes": True}).get_json()
    conforms("Comparison", compared)
    for row in compared["quantities"]:
        for choice in row["choices"]:
            quote = shop.check(token=choice["quote"]["token"])["quote"]
            assert (quote["quantity"], quote["net"]) == (row["quantity"], choice["price"]["net"])


def test_a_quote_needs_a_key_and_the_services_own_clock(shop, flyer):
    def faults(body) -> dict[str, str]:
        answer = shop.client.post("/estimate", json=body)
        return {error["pointer"]: error["code"] for error in answer.get_json()["errors"]}

    timed = flyer | {"quotes": True, "as_of": "2026-11-24T09:00:00Z"}
    assert faults(timed) == {"#/quotes": "conflicting_members"}
    shop.restart(quote_keys=())
    assert faults(flyer | {"quotes": True}) == {"#/quotes": "no_quote_keys"}
    assert faults(flyer | {"quotes": "yes"}) == {"#/quotes": "not_a_boolean"}


def test_keys_are_in_no_answer_and_no_log(shop, caplog):
    for path in ("/products", ASKED, "/readyz", "/metrics", "/openapi.json"):
        text = shop.get(path).text
        assert not re.search(re.escape(KEYS[0]), text)
    assert KEYS[0] not in caplog.text
