"""Every figure of a trace is what its formula makes of its inputs, from the copies to the price."""

from __future__ import annotations

import json
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from formulas import worked_out
from shop import DEMO_FILE, clock
from sidelay.config import Settings
from sidelay.http.app import create_app
from sidelay.trace_text import trace_text
from trace_checks import Offer, check_offer, figure_of, traces

ROOT = Path(__file__).parents[2]
EXAMPLES = {
    file.stem: json.loads(file.read_bytes())
    for file in sorted((ROOT / "openapi" / "examples").glob("*.json"))
    if file.stem != "oversize_poster"
}
JOBS = {
    file.stem: json.loads(file.read_bytes())
    for file in sorted((ROOT / "tests" / "jobs").glob("*.json"))
}
CURRENCIES = {"EUR": 2, "JPY": 0, "KWD": 3}


def offers(client: FlaskClient, path: str, body: dict[str, Any]) -> Iterator[Offer]:
    response = client.post(path, json=body | {"detail": "trace"})
    assert response.status_code == 200, response.text
    answer = response.get_json()
    yield from answer.get("estimates", ())
    for quantity in answer.get("quantities", ()):
        for choice in quantity["choices"]:
            yield choice | {"quantity": quantity["quantity"]}


@pytest.mark.parametrize("path", ["/estimate", "/compare"])
@pytest.mark.parametrize("name", EXAMPLES)
def test_every_figure_is_what_its_formula_says(
    client: FlaskClient, name: str, path: str
) -> None:
    found = list(offers(client, path, EXAMPLES[name]))
    assert {offer["quantity"] for offer in found} == set(EXAMPLES[name]["job"]["quantities"])
    for offer in found:
        check_offer(offer)


def test_the_trace_goes_from_the_copies_to_the_price(client: FlaskClient) -> None:
    """The order that a class follows, of the plainest job."""
    offer = next(offers(client, "/estimate", EXAMPLES["a6_flyer"]))
    told = [figure["name"] for figure in offer["parts"][0]["trace"]]
    wanted = [
        "copies_delivered",
        "pieces_wanted",
        "sheets_needed",
        "good_sheets",
        "running_waste_sheets",
        "sheets_run",
        "parent_sheets",
        "run_hours",
        "press_hours",
        "stock_coated_silk_130_g_m2",
        "material_cost",
        "time_cost",
    ]
    places = [told.index(name) for name in wanted]
    assert places == sorted(places)
    end = [figure["name"] for figure in offer["price_trace"]]
    wanted = ["material_cost", "cost", "value", "with_margin", "rounded_up", "price", "per_piece"]
    assert [name for name in end if name in wanted] == wanted


@pytest.fixture(scope="module", params=CURRENCIES)
def shop(request: Any, tmp_path_factory: pytest.TempPathFactory) -> FlaskClient:
    """The demo plant as a shop that counts in each currency."""
    return _client(tmp_path_factory, 'currency = "EUR"', f'currency = "{request.param}"')


def _client(
    tmp_path_factory: pytest.TempPathFactory, before: str, after: str
) -> FlaskClient:
    text = DEMO_FILE.read_text()
    assert text.count(before) == 1
    file = tmp_path_factory.mktemp("plants") / "demo.toml"
    file.write_text(text.replace(before, after))
    return create_app(Settings(plants=file), clock=clock).test_client()


@pytest.mark.parametrize("name", JOBS)
def test_every_figure_in_currencies_of_other_decimals(shop: FlaskClient, name: str) -> None:
    for offer in offers(shop, "/estimate", JOBS[name]):
        check_offer(offer)


POLICIES = {
    "by_quantity": "margins_by_quantity = [[1, 0.45], [600, 0.3], [5000, 0.1], [20000, 0.2]]",
    "by_value": "margins_by_value = [[0, 0.5], [60, 0.35], [200, 0.2], [900, 0.3]]",
    "least_and_rounded": "overs_tolerance = 0.05",
}


@pytest.fixture(scope="module", params=POLICIES)
def strict(request: Any, tmp_path_factory: pytest.TempPathFactory) -> FlaskClient:
    """The demo plant with margins that fall, a high minimum, prices and cash rounded."""
    text = DEMO_FILE.read_text()
    for before, after in (
        ("cash_step = 0", f"cash_step = 0.05\n{POLICIES[request.param]}"),
        ("minimum_charge = 15.00", "minimum_charge = 95.00"),
        ("round_up_to = 0.01", "round_up_to = 0.50"),
    ):
        assert text.count(before) == 1
        text = text.replace(before, after)
    file = tmp_path_factory.mktemp("plants") / "demo.toml"
    file.write_text(text)
    client = create_app(Settings(plants=file), clock=clock).test_client()
    client.environ_base["policy"] = request.param
    return client


@pytest.mark.parametrize("name", ["a6_flyer", "rush_booklets", "business_cards"])
def test_margins_minimum_rounding_and_buying_up(strict: FlaskClient, name: str) -> None:
    body = json.loads(json.dumps(EXAMPLES[name]))
    body["job"]["quantities"] = [1, 50, 560, 599, 600, 4900, 19_500, 20_000]
    seen = set()
    for offer in offers(strict, "/estimate", body):
        check_offer(offer)
        end = offer["price_trace"]
        steps = {f["name"] for f in end if f["name"].startswith("price_at_step_")}
        if steps and figure_of(end, "price") != figure_of(end, "rounded_up"):
            seen.add("bought up")
        assert figure_of(end, "cash") == offer["price"]["cash"]
        if figure_of(end, "rounded_up") == "95.00":
            seen.add("least")
        hurry = [g["name"] for f in end for g in f["inputs"] if g["name"] == "rush_premium"]
        assert bool(hurry) == bool(body["job"].get("rush"))
    assert "least" in seen or name != "a6_flyer"
    margins = strict.environ_base["policy"] != "least_and_rounded"
    if name == "a6_flyer":
        assert ("bought up" in seen) == margins


@pytest.mark.parametrize("name", ["a6_flyer", "paperback_novel", "bottle_labels", "pouches"])
def test_fixed_lines_stay_and_the_others_rise_from_what_they_are_at_no_copies(
    client: FlaskClient, name: str
) -> None:
    """What is told of a line holds at every quantity that is made the same way."""
    seen = set()
    for offer in offers(client, "/estimate", EXAMPLES[name]):
        held = [*offer["parts"], *offer["operations"]]
        lines = [line for each in held for line in each["lines"]]
        at_nought = sum(Decimal(line["at_no_copies"]) for line in lines)
        assert at_nought == Decimal(offer["cost"]["fixed"]) == Decimal(offer["curve"]["fixed"])
        for line in lines:
            cost, nought = Decimal(line["cost"]), Decimal(line["at_no_copies"])
            match line["behaviour"]:
                case "fixed":
                    assert cost == nought
                case "variable":
                    assert nought == 0
                case "both":
                    assert 0 < nought <= cost
            seen.add(line["behaviour"])
    assert set(seen) >= {"fixed", "both"}


PRESS_OF = {"a6_flyer": ["litho_b1_five"], "magazine_section": ["web_heatset_16"]}


@pytest.mark.parametrize("name", PRESS_OF)
def test_the_cost_of_one_nears_its_two_lines(client: FlaskClient, name: str) -> None:
    """Far below the crossing, and far above it, on a press that goes on as it began."""
    body = json.loads(json.dumps(EXAMPLES[name]))
    body["job"]["quantities"] = [1, 100_000_000]
    one, many = offers(client, "/estimate", body | {"presses": PRESS_OF[name]})
    unit = Decimal(many["curve"]["long_run_unit_cost"])
    # Carriers wear out in sets, so that the cost of one goes on in small steps.
    assert abs(Decimal(many["cost"]["total"]) / 100_000_000 / unit - 1) < Decimal("0.01")
    curve, cost = one["curve"], Decimal(one["cost"]["total"])
    fixed = Decimal(curve["fixed"])
    crossed = fixed / Decimal(curve["long_run_unit_cost"])
    assert abs(crossed - curve["balanced_at"]) <= Decimal("0.5")
    # The first copy costs what is there before it, and little more.
    assert 0 < cost / fixed - 1 < Decimal("0.02")


@pytest.mark.parametrize("name", ["a6_flyer", "case_bound_history", "numbered_vouchers"])
def test_the_trace_as_text_tells_every_figure_in_a_hundred_columns(
    client: FlaskClient, name: str
) -> None:
    answer = client.post("/estimate", json=EXAMPLES[name] | {"detail": "trace"}).get_json()
    lines = trace_text(answer).splitlines()
    assert max(map(len, lines)) <= 100
    offer = answer["estimates"][0]
    words = " ".join(" ".join(lines).split())
    for figure in (figure for trace in traces(offer) for figure in trace):
        assert f"{figure['name']} = " in words
        assert f"= {figure['formula']}" in words
    assert f"price = {offer['price']['net']} EUR" in words
    assert "EUR/{sheet}" in str(offer)
    assert not {"{", "}"} & set(words)
    assert lines[0].startswith(f"{answer['title']}: {offer['quantity']:,} copies on ")


def test_each_item_of_a_built_rate_is_what_its_formula_says(client: FlaskClient) -> None:
    body = EXAMPLES["a6_flyer"] | {"detail": "trace"}
    rates = client.post("/estimate", json=body).get_json()["rates"]
    built = [rate["build"] for rate in rates if rate["build"]]
    items = [item for build in built for item in build["items"]]
    assert {"wages", "power", "factory_overhead", "administration"} <= {i["item"] for i in items}
    for item in items:
        inputs = {given["name"]: float(given["value"]) for given in item["inputs"]}
        assert worked_out(item["formula"], inputs) == float(item["per_year"])
        assert all(given["unit"] for given in item["inputs"])
