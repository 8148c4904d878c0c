"""Whole jobs drawn at random from a fixed seed: whatever is asked, it is answered and adds up.

Odd jobs are wanted here: pages of 5 mm, ten thousand covers a copy, a thousand drilled holes.
"""

from __future__ import annotations

import os
import random
from decimal import Decimal
from typing import Any

import pytest
from flask import Flask

from mending import asked, check_prices, is_out, with_changes
from shop import demo
from works_checks import check_works

FOUR = ["cyan", "magenta", "yellow", "black"]
SIZES: list[Any] = ["a4", "a5", "a6", "dl", {"width": 129, "height": 198}]
TEXT = ["silk_130", "silk_150", "gloss_90", "offset_80", "offset_120", "book_cream_80"]
THICK = ["silk_250", "silk_350", "cover_240", "postcard_240"]
PAGES = [8, 16, 24, 32, 48, 52, 96, 128, 160, 240, 1000]
KINDS = ["leaf", "leaf", "leaf", "insert", "section", "label", "carton", "web", "piece"]
# What may be wrong with a job that is drawn here.
KNOWN = {
    "carton_uncut",
    "conflicting_operations",
    "fold_mismatch",
    "nothing_to_bind",
    "pages_multiple",
    "second_cover",
    "sizes_differ",
    "too_close",
}


def size(rng: random.Random) -> Any:
    if rng.random() < 0.8:
        return rng.choice(SIZES)
    return {"width": round(rng.uniform(5, 2000), 1), "height": round(rng.uniform(5, 400), 1)}


def operation(rng: random.Random, *, on_copies: bool) -> dict[str, Any]:
    able = [each for each in demo().operations if (each.unit == "copy") == on_copies]
    machine = rng.choice(able)
    wish: dict[str, Any] = {"operation": machine.operation}
    if machine.finishes:
        wish["finish"] = rng.choice(machine.finishes)
    if rng.random() < 0.3:
        wish |= {"count": rng.choice([1, 2, 50, 1000]), "machine": machine.id}
    if rng.random() < 0.3:
        wish["per"] = rng.choice([1, 10, 100, 1_000_000])
    return wish


def part(rng: random.Random, kind: str, finished: Any) -> dict[str, Any]:
    stock = rng.choice(THICK if kind in ("cover", "carton") else TEXT)
    if rng.random() < 0.15:
        stock = rng.choice(list(demo().stocks))
    found: dict[str, Any] = {"kind": kind, "size": finished, "stock": {"id": stock}}
    found["front"] = {"inks": rng.choice([["black"], FOUR]), "coverage": rng.choice([0.1, 0.3])}
    if rng.random() < 0.5:
        found["back"] = {"inks": ["black"], "coverage": 0.05}
    if kind == "section":
        found["pages"] = rng.choice(PAGES)
    elif kind in ("leaf", "insert") and rng.random() < 0.2:
        found |= {"folds": 2, "pages": rng.choice([6, 8])}
    if kind == "cover" and rng.random() < 0.8:
        found["operations"] = [{"operation": "crease"}]
    elif rng.random() < 0.15:
        found["operations"] = [operation(rng, on_copies=False)]
    if kind in ("leaf", "insert") and rng.random() < 0.3:
        found["overprint"] = {"front": {"inks": ["black"], "coverage": 0.03}}
    if rng.random() < 0.15:
        found["per_copy"] = rng.choice([2, 50, 10_000])
    return found


def job(rng: random.Random) -> dict[str, Any]:
    made: dict[str, Any] = {"quantities": sorted(int(10 ** rng.uniform(0, 6)) for _ in range(3))}
    if rng.random() < 0.6:
        method = rng.choice(sorted({binder.method for binder in demo().binders}))
        edge = rng.choice(["left", "left", "top"])
        made["binding"] = {"method": method, "edge": edge}
        kinds = ["section"] * rng.choice([1, 1, 1, 2]) + ["cover"] * rng.choice([0, 1, 1])
        kinds += ["insert"] * rng.choice([0, 0, 1]) + ["leaf"] * rng.choice([0, 0, 0, 1])
        finished = size(rng)
        made["parts"] = [part(rng, kind, finished) for kind in kinds]
    else:
        kinds = rng.choices(KINDS, k=rng.choice([1, 1, 2]))
        made["parts"] = [part(rng, kind, size(rng)) for kind in kinds]
    if rng.random() < 0.3:
        made["operations"] = [operation(rng, on_copies=True)]
    made["overs_share"] = rng.choice([0, 0, 0.03, 0.5])
    made["rush"] = rng.random() < 0.2
    made["proof"] = rng.choice(["none", "soft", "contract", "press"])
    made["quality"] = rng.choice(["draft", "office", "commercial"])
    return made


def request(rng: random.Random) -> dict[str, Any]:
    presses = [each.press.id for each in demo().presses]
    asked = {"job": job(rng), "detail": "lines", "up_to": rng.choice([1, 5_000, 1_000_000])}
    if rng.random() < 0.15:
        asked["presses"] = rng.sample(presses, rng.randint(1, 8))
    return asked


def summed(made: dict[str, Any]) -> Decimal:
    lines = [line for each in (*made["parts"], *made["operations"]) for line in each["lines"]]
    return sum((Decimal(line["cost"]) for line in lines), Decimal(0))


@pytest.mark.parametrize("block", range(3))
def test_a_whole_job_is_answered_and_adds_up(
    app: Flask, monkeypatch: pytest.MonkeyPatch, block: int
) -> None:
    # A press is given up by the clock on the wall, which a busy machine must not decide here.
    monkeypatch.setattr("sidelay.processes.HOOK_BUDGET_S", 60.0)
    priced = 0
    for seed in range(block * 60, block * 60 + 60):
        asked, client = request(random.Random(seed)), app.test_client()
        best, all_presses = (client.post(path, json=asked) for path in ("/estimate", "/compare"))
        assert {best.status_code, all_presses.status_code} <= {200, 422}, (seed, asked)
        if all_presses.status_code == 422:
            codes = {fault["code"] for fault in all_presses.get_json()["errors"]}
            assert codes <= KNOWN, (seed, codes)
            continue
        answer, comparison = best.get_json(), all_presses.get_json()
        assert answer["unavailable"] == comparison["unavailable"] == [], seed
        check_offers(seed, answer["estimates"], comparison)
        for offer in answer["estimates"]:
            check_works(offer)
        priced += bool(answer["estimates"])
    assert priced > 10


def check_offers(seed: int, estimates: list[dict[str, Any]], compared: dict[str, Any]) -> None:
    """Lines add up, prices do not fall, and a band names the presses of the best offer."""
    prices = [Decimal(each["price"]["net"]) for each in estimates]
    assert prices == sorted(prices), seed
    for best, row in zip(estimates, compared["quantities"] if estimates else [], strict=True):
        assert row["choices"][0]["route"] == best["route"], seed
        for offer in (best, *row["choices"]):
            assert summed(offer) == Decimal(offer["cost"]["total"]), seed
        for band in compared["bands"]:
            if band["from"] <= best["quantity"] <= band["to"]:
                assert band["route"] == best["route"], seed


@pytest.mark.skipif(
    os.environ.get("SIDELAY_SLOW") != "1", reason="thousands of requests; SIDELAY_SLOW=1 runs it"
)
@pytest.mark.parametrize("seed", range(100))
def test_a_remedy_of_a_whole_job_admits_the_press_at_the_price_told(
    app: Flask, monkeypatch: pytest.MonkeyPatch, seed: int
) -> None:
    # A press is given up by the clock, which a busy machine must not decide here.
    monkeypatch.setattr("sidelay.processes.HOOK_BUDGET_S", 60.0)
    client = app.test_client()
    body = request(random.Random(seed)) | {"detail": "price", "up_to": 10}
    first = body["job"]["parts"][0].setdefault("name", "first")
    response = client.post("/compare", json=body | {"explain": ["remedies"]})
    if response.status_code == 422:
        return  # such jobs are drawn too
    for remedy in response.get_json()["remedies"]:
        if remedy["changes"] is None:
            continue
        after = asked(client, with_changes(body, remedy["changes"]))
        assert not is_out(after, remedy), remedy["message"]
        if remedy["part"] == first and remedy["prices"]:
            check_prices(remedy, after)
