"""Answers are as published, add up to the cent, and come as the same bytes again."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from decimal import ROUND_HALF_UP, Decimal
from itertools import groupby, pairwise
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from shop import clock, demo
from sidelay.config import Settings
from sidelay.http.app import create_app

FOLDER = Path(__file__).parents[2] / "openapi" / "examples"
EXAMPLES = {file.stem: json.loads(file.read_bytes()) for file in sorted(FOLDER.glob("*.json"))}
# With a due date what holds comes first: see test_when_ready.py.
PRINTED = [
    name
    for name, body in EXAMPLES.items()
    if name != "oversize_poster" and "due_at" not in body["job"]
]
Conforms = Callable[[str, Any], None]


def ask(client: FlaskClient, path: str, body: Any) -> dict[str, Any]:
    response = client.post(path, json=body)
    assert response.status_code == 200, response.text
    assert response.content_type == "application/json"
    return json.loads(response.data)


def offers(answer: dict[str, Any]) -> Iterator[tuple[int, dict[str, Any]]]:
    """Every offer of an estimate or a comparison, with its quantity."""
    for estimate in answer.get("estimates", ()):
        yield estimate["quantity"], estimate
    for quantity in answer.get("quantities", ()):
        for choice in quantity["choices"]:
            yield quantity["quantity"], choice


def test_there_is_an_example_of_each_kind() -> None:
    assert len(EXAMPLES) >= 8
    assert len({example["job"]["title"] for example in EXAMPLES.values()}) == len(EXAMPLES)


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_is_as_published(conforms: Conforms, name: str) -> None:
    conforms("Request", EXAMPLES[name])


@pytest.mark.parametrize("detail", ["price", "lines", "trace"])
@pytest.mark.parametrize("name", EXAMPLES)
def test_answers_are_as_published(
    client: FlaskClient, conforms: Conforms, name: str, detail: str
) -> None:
    body = EXAMPLES[name] | {"detail": detail, "curves": True}
    conforms("Estimate", ask(client, "/estimate", body))
    conforms("Comparison", ask(client, "/compare", body))
    conforms("Valid", ask(client, "/validate", body))


@pytest.mark.parametrize("path", ["/estimate", "/compare"])
@pytest.mark.parametrize("name", PRINTED)
def test_lines_add_up_to_the_cent(client: FlaskClient, name: str, path: str) -> None:
    answer = ask(client, path, EXAMPLES[name] | {"detail": "trace"})
    found = list(offers(answer))
    assert len(found) >= len(EXAMPLES[name]["job"]["quantities"])
    for _, offer in found:
        cost = {key: Decimal(value) for key, value in offer["cost"].items() if key != "currency"}
        places = [part["lines"] for part in offer["parts"]]
        places += [step["lines"] for step in offer["operations"]]
        lines = [line for place in places for line in place]
        assert sum(Decimal(line["cost"]) for line in lines) == cost["total"]
        assert cost["fixed"] + cost["variable"] == cost["total"]
        assert all(len({line["id"] for line in place}) == len(place) for place in places)
        assert all(f"/{line['stage']}-" in line["id"] for line in lines)


@pytest.mark.parametrize("name", PRINTED)
def test_a_trace_works_out_each_line(client: FlaskClient, name: str) -> None:
    answer = ask(client, "/compare", EXAMPLES[name] | {"detail": "trace"})
    for _, offer in offers(answer):
        places = [*offer["parts"], *offer["operations"]]
        for line in (line for place in places for line in place["lines"]):
            exact = line["unit_cost"] * line["amount"] * line["count"]
            # a tie may be hidden by the noise of binary fractions
            assert abs(Decimal(line["cost"]) - Decimal(exact)) <= Decimal("0.00500001")


@pytest.mark.parametrize("name", PRINTED)
def test_prices_for_parts_of_the_run_are_shares_of_the_net(client: FlaskClient, name: str) -> None:
    def share(net: str, pieces: Decimal, digits: str) -> str:
        return str((Decimal(net) / pieces).quantize(Decimal(digits), ROUND_HALF_UP))

    for quantity, offer in offers(ask(client, "/compare", EXAMPLES[name])):
        price = offer["price"]
        assert price["per_piece"] == share(price["net"], Decimal(quantity), "0.000001")
        assert price["per_1000"] == share(price["net"], Decimal(quantity) / 1000, "0.01")
        assert price["currency"] == offer["cost"]["currency"] == "EUR"
        assert Decimal(price["net"]) >= Decimal(offer["cost"]["total"])


def test_the_run_on_price_is_what_a_thousand_more_cost(client: FlaskClient) -> None:
    body = json.loads(json.dumps(EXAMPLES["a6_flyer"]))
    body |= {"presses": ["litho_b1_five"], "detail": "price"}
    body["job"]["quantities"] = [2000, 3000]
    less, more = ask(client, "/estimate", body)["estimates"]
    further = Decimal(more["price"]["net"]) - Decimal(less["price"]["net"])
    assert Decimal(less["price"]["run_on_per_1000"]) == further > 0


@pytest.mark.parametrize("name", PRINTED)
def test_sheets_add_up(client: FlaskClient, name: str) -> None:
    for quantity, offer in offers(ask(client, "/compare", EXAMPLES[name] | {"detail": "lines"})):
        assert offer["parts"][0]["sheets"] == offer["sheets"]
        assert offer["parts"][0]["hours"] == offer["hours"]
        for part in offer["parts"]:
            check_runs(part, quantity * part["per_copy"])


def check_runs(part: dict[str, Any], pieces: int) -> None:
    """Sheets of each run of a part add up and suffice, and those of all runs are the part's."""
    runs = part["sections"] or [part | {"times": 1}]
    for name in ("good", "total", "parents"):
        whole = sum(run["sheets"][name] or 0 for run in runs)
        assert whole == (part["sheets"][name] or 0)
    for run in runs:
        layout, times = run["layout"], run["times"]
        sheets = {name: count and count / times for name, count in run["sheets"].items()}
        assert sheets["good"] + sheets["make_ready"] + sheets["running_waste"] == sheets["total"]
        assert sheets["good"] * layout["up"] >= pieces * layout["cycles_per_piece"]
        out = layout["press_sheets_per_parent"]
        assert (out is None) == (sheets["parents"] is None) == (layout["parent_sheet_mm"] is None)
        if out is not None:
            assert (sheets["parents"] - 1) * out < sheets["total"] <= sheets["parents"] * out
        assert (sheets["web_m"] is not None) == (layout["feed"] in ("web", "reel"))


@pytest.mark.parametrize("name", PRINTED)
def test_hours_are_make_ready_run_and_wash_up(client: FlaskClient, name: str) -> None:
    for _, offer in offers(ask(client, "/estimate", EXAMPLES[name])):
        for part in offer["parts"]:
            runs = part["sections"] or [part | {"times": 1}]
            hours = [press_hours(run, washed=number == 0) for number, run in enumerate(runs)]
            assert [run["hours"] for run in runs] == pytest.approx(hours, rel=0.002, abs=0.002)
            assert part["hours"] == pytest.approx(sum(hours), rel=0.002, abs=0.002)


def press_hours(section: dict[str, Any], *, washed: bool) -> float:
    """Hours of sections alike, from what their run shows; washed up but once, after the first."""
    run, sheets = section["run"], section["sheets"]
    cycles = (sheets["good"] + sheets["running_waste"]) * run["passes"]
    once_min = run["once_min"] * (section["times"] - 1)
    make_ready_h = (section["times"] * run["make_ready_min"] - once_min) / 60
    wash_up_h = run["wash_up_min"] / 60 if washed else 0.0
    return float(make_ready_h + wash_up_h + cycles / run["cycles_per_hour"])


@pytest.mark.parametrize("name", PRINTED)
def test_choices_are_ranked_and_the_first_is_the_estimate(client: FlaskClient, name: str) -> None:
    body = EXAMPLES[name] | {"detail": "lines"}
    compared, estimated = ask(client, "/compare", body), ask(client, "/estimate", body)
    pairs = zip(compared["quantities"], estimated["estimates"], strict=True)
    for quantity, estimate in pairs:
        choices = quantity["choices"]
        net = [Decimal(choice["price"]["net"]) for choice in choices]
        assert net == sorted(net)
        assert [choice["rank"] for choice in choices] == list(range(1, len(choices) + 1))
        assert len({choice["press"] for choice in choices}) == len(choices)
        ratios = [choice["ratio_to_best"] for choice in choices]
        assert ratios == [pytest.approx(float(n / net[0]), abs=5e-5) for n in net]
        shared = estimate.keys() & choices[0].keys()
        assert {"process", "press", "route", "price", "cost", "parts"} <= shared
        assert {key: estimate[key] for key in shared} == {key: choices[0][key] for key in shared}


@pytest.mark.parametrize("name", PRINTED)
def test_bands_cover_every_quantity_and_name_the_cheapest(client: FlaskClient, name: str) -> None:
    up_to = max(60_000, *EXAMPLES[name]["job"]["quantities"])
    answer = ask(client, "/compare", EXAMPLES[name] | {"up_to": up_to})
    bands = answer["bands"]
    assert (bands[0]["from"], bands[-1]["to"]) == (1, up_to)
    for before, after in pairwise(bands):
        assert before["to"] + 1 == after["from"]
        assert before["route"] != after["route"]
    for quantity in answer["quantities"]:
        here = next(b for b in bands if b["from"] <= quantity["quantity"] <= b["to"])
        assert here["route"] == quantity["choices"][0]["route"]
    wins = sorted(
        (w["from"], w["to"], row["process"])
        for row in answer["characteristics"]
        for w in row["wins"]
    )
    # Neighbours of one process are one stretch: only a press, or another part's, changes there.
    runs = [(name, list(run)) for name, run in groupby(bands, key=lambda band: band["process"])]
    assert wins == [(run[0]["from"], run[-1]["to"], name) for name, run in runs]


def test_characteristics_tell_what_the_job_makes_of_a_process(client: FlaskClient) -> None:
    answer = ask(client, "/compare", EXAMPLES["numbered_vouchers"])
    rows = {row["process"]: row for row in answer["characteristics"]}
    assert list(rows) == sorted({each.process for each in demo().presses})
    litho, toner = rows["sheetfed_litho"], rows["toner"]
    assert (litho["process"], litho["for_this_job"], litho["wins"]) == ("sheetfed_litho", None, [])
    assert toner["for_this_job"]["quantity"] == 1000
    assert toner["for_this_job"]["carriers"] == 0
    best = next(c for c in answer["quantities"][1]["choices"] if c["process"] == "toner")
    assert toner["for_this_job"]["press"] == best["press"]
    rate = best["sheets"]["good"] / best["hours"]
    assert toner["for_this_job"]["sheets_per_hour"] == pytest.approx(rate, rel=0.01)


def test_curves_only_when_asked(client: FlaskClient) -> None:
    body = EXAMPLES["a6_flyer"] | {"up_to": 5000}
    assert "curves" not in ask(client, "/compare", body)
    answer = ask(client, "/compare", body | {"curves": True})
    assert [curve["press"] for curve in answer["curves"]] == sorted(
        choice["press"] for choice in answer["quantities"][0]["choices"]
    )
    for curve in answer["curves"]:
        points = curve["points"]
        assert (points[0]["quantity"], points[-1]["quantity"]) == (1, 5000)
        prices = [Decimal(point["price"]) for point in points]
        assert prices == sorted(prices)


def test_parts_and_lines_only_in_the_detail_asked(client: FlaskClient) -> None:
    body = EXAMPLES["letter_two_sided"]
    plain = ask(client, "/compare", body)["quantities"][0]["choices"][0]
    assert "parts" not in plain
    assert "lines" not in ask(client, "/estimate", body)["estimates"][0]["parts"][0]
    line = ask(client, "/estimate", body | {"detail": "lines"})["estimates"][0]["parts"][0][
        "lines"
    ][0]
    assert set(line) == {"id", "stage", "label", "cost", "because", "source"}


def test_no_press_can_is_an_answer_with_reasons(client: FlaskClient) -> None:
    body = EXAMPLES["oversize_poster"]
    for path, nothing in (("/estimate", {"estimates": []}), ("/compare", {"bands": []})):
        answer = ask(client, path, body)
        assert nothing.items() <= answer.items()
        assert len(answer["excluded"]) == len(demo().presses)
        for press in answer["excluded"]:
            codes = [finding["code"] for finding in press["findings"]]
            wrong_kind = codes in (["kind_not_made"], ["stock_form"])
            assert wrong_kind or codes.count("size_above") + codes.count("no_sheet") == 1
            assert all(f["severity"] == "limit" and f["remedy"] for f in press["findings"])
    assert [q["choices"] for q in answer["quantities"]] == [[], []]


def test_filters_leave_only_what_they_name(client: FlaskClient) -> None:
    body = EXAMPLES["a6_flyer"] | {"processes": ["sheetfed_litho"]}
    answer = ask(client, "/compare", body)
    assert {o["process"] for _, o in offers(answer)} == {"sheetfed_litho"}
    answer = ask(client, "/compare", body | {"presses": ["litho_b3_two"]})
    assert {o["press"] for _, o in offers(answer)} == {"litho_b3_two"}
    assert answer["excluded"] == []
    answer = ask(client, "/estimate", body | {"presses": ["litho_b3_two"]})
    assert {o["press"] for _, o in offers(answer)} == {"litho_b3_two"}
    answer = ask(client, "/estimate", body)
    assert "litho_b1_five" in {o["press"] for _, o in offers(answer)}


def test_null_is_the_same_as_absent(client: FlaskClient, flyer: dict[str, Any]) -> None:
    body = flyer | dict.fromkeys(("processes", "presses", "detail", "up_to", "curves", "plant"))
    body["job"] = flyer["job"] | dict.fromkeys(("quality", "proof", "uses"))
    body["job"]["parts"] = [flyer["job"]["parts"][0] | dict.fromkeys(("pages", "flat_size"))]
    with_nulls, without = ask(client, "/compare", body), ask(client, "/compare", flyer)
    assert with_nulls.pop("job_fingerprint") != without.pop("job_fingerprint")
    assert with_nulls == without


@pytest.mark.parametrize("path", ["/estimate", "/compare", "/validate"])
@pytest.mark.parametrize("name", ["a6_flyer", "copper_card"])
def test_the_same_request_gets_the_same_bytes(client: FlaskClient, name: str, path: str) -> None:
    """From the plans kept, and from another process's worth of nothing kept."""
    body = EXAMPLES[name] | {"detail": "trace", "curves": True}
    once = client.post(path, json=body).data
    assert client.post(path, json=body).data == once
    assert create_app(Settings(), clock=clock).test_client().post(path, json=body).data == once


def test_the_answer_names_plant_and_title(client: FlaskClient, flyer: dict[str, Any]) -> None:
    answer = ask(client, "/estimate", flyer)
    assert list(answer)[:3] == ["title", "job_fingerprint", "plant"]
    assert answer["title"] == "flyer"
    assert answer["plant"]["revision"] == demo().revision
    fingerprint = answer["job_fingerprint"]
    assert fingerprint == ask(client, "/validate", flyer)["job_fingerprint"]
    assert len(fingerprint) == 16
    assert int(fingerprint, 16) >= 0


def test_two_hundred_quantities(client: FlaskClient, flyer: dict[str, Any]) -> None:
    flyer["job"]["quantities"] = list(range(100, 20_100, 100))
    answer = ask(client, "/estimate", flyer)
    assert [e["quantity"] for e in answer["estimates"]] == flyer["job"]["quantities"]
    net = [Decimal(e["price"]["net"]) for e in answer["estimates"]]
    assert net == sorted(net)


def test_a_thousand_a4_sheets_of_80_grams_weigh_five_kilograms(client: FlaskClient) -> None:
    """A4 is a sixteenth of a square metre (ISO 216), so a ream of 80 g/m2 has 2.5 kg."""
    part = {"size": "a4", "stock": {"id": "offset_80"}, "front": {"inks": ["black"]}}
    body = {"job": {"quantities": [1000], "parts": [part], "quality": "office"}}
    (offer,) = client.post("/estimate", json=body).get_json()["estimates"]
    assert offer["parts"][0]["mass_kg"] == pytest.approx(5.0, abs=0.02)
