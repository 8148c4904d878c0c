"""Choices ranked by what the caller states, and how soon each of them can be ready."""

from __future__ import annotations

import json
from datetime import datetime
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest
from flask.testing import FlaskClient

from shop import CLOCK, demo
from shop import EXAMPLES as FOLDER

EXAMPLES = {file.stem: json.loads(file.read_bytes()) for file in sorted(FOLDER.glob("*.json"))}
# With a due date what holds comes first: see test_when_ready.py.
PRINTED = [
    name
    for name, body in EXAMPLES.items()
    if name != "oversize_poster" and "due_at" not in body["job"]
]
CRITERIA = ("price", "cost", "readiness")


def ask(client: FlaskClient, path: str, body: Any) -> dict[str, Any]:
    response = client.post(path, json=body)
    assert response.status_code == 200, response.text
    return json.loads(response.data)


def choices(client: FlaskClient, name: str, rank_by: Any, **members: Any) -> list[Any]:
    """The choices at each quantity of an example."""
    answer = ask(client, "/compare", EXAMPLES[name] | {"rank_by": rank_by} | members)
    return [quantity["choices"] for quantity in answer["quantities"]]


def figures(choice: dict[str, Any]) -> dict[str, float]:
    return {
        "price": float(choice["price"]["net"]),
        "cost": float(choice["cost"]["total"]),
        "readiness": choice["readiness"]["hours"],
    }


@pytest.mark.parametrize("rank_by", [*CRITERIA, {"price": 0.5, "cost": 0.2, "readiness": 0.3}])
@pytest.mark.parametrize("name", PRINTED)
def test_a_reader_can_work_out_every_ratio_score_and_rank(
    client: FlaskClient, name: str, rank_by: Any
) -> None:
    answer = ask(client, "/compare", EXAMPLES[name] | {"rank_by": rank_by})
    weights = answer["ranked_by"]
    stated = rank_by if isinstance(rank_by, dict) else {rank_by: 1.0}
    assert weights == dict.fromkeys(CRITERIA, 0.0) | stated
    for quantity in answer["quantities"]:
        found = [figures(choice) for choice in quantity["choices"]]
        best = {key: min(each[key] for each in found) for key in CRITERIA}
        scores = []
        for own, choice in zip(found, quantity["choices"], strict=True):
            ratios = {key: own[key] / best[key] for key in CRITERIA}
            assert choice["ratios"] == pytest.approx(ratios, abs=1e-6)
            scores.append(sum(weights[key] * ratios[key] for key in CRITERIA))
            assert choice["score"] == pytest.approx(scores[-1], abs=1e-6)
            assert choice["ratio_to_best"] == pytest.approx(ratios["price"], abs=5e-5)
        assert all(one <= other + 1e-12 for one, other in pairwise(scores))
        assert [c["rank"] for c in quantity["choices"]] == list(range(1, len(found) + 1))


@pytest.mark.parametrize("name", PRINTED)
def test_readiness_adds_up_and_the_estimate_tells_the_same(client: FlaskClient, name: str) -> None:
    estimates = ask(client, "/estimate", EXAMPLES[name])["estimates"]
    for found, estimate in zip(choices(client, name, "price"), estimates, strict=True):
        assert estimate["readiness"] == found[0]["readiness"]
        assert estimate["ready_at"] == found[0]["ready_at"]
        for choice in found:
            ready = choice["readiness"]
            # What others take is told in working days: the rest of the hours is theirs.
            if choice["ready_at"] is None:  # 10,000 books on a desk-top press
                assert ready["hours"] == 400 * 24
                continue
            own = ready["work_h"] + ready["drying_h"] + ready["waiting_h"]
            theirs = ready["hours"] - own
            assert theirs == pytest.approx(0, abs=3e-3) or ready["lead_days"]
            assert theirs >= 8 * int(ready["lead_days"]) - 3e-3
            assert ready["because"].keys() == ready.keys() - {"because", "hours"} | {"ready_at"}
            passed = datetime.fromisoformat(choice["ready_at"]).timestamp() - CLOCK
            assert ready["hours"] == pytest.approx(passed / 3600, abs=1e-3)
            assert ready["hours"] > 0


@pytest.mark.parametrize("name", PRINTED)
def test_by_price_is_what_it_was(client: FlaskClient, name: str) -> None:
    stated, plain = choices(client, name, "price"), choices(client, name, None)
    assert stated == plain == choices(client, name, {"price": 1, "readiness": 0})
    for found in stated:
        net = [Decimal(choice["price"]["net"]) for choice in found]
        assert net == sorted(net)


@pytest.mark.parametrize("name", PRINTED)
def test_the_first_by_cost_is_the_press_of_the_cost_band(client: FlaskClient, name: str) -> None:
    up_to = max(60_000, *EXAMPLES[name]["job"]["quantities"])
    body = EXAMPLES[name] | {"up_to": up_to, "explain": ["cost_bands"], "rank_by": "cost"}
    answer = ask(client, "/compare", body)
    for quantity in answer["quantities"]:
        here = next(
            band
            for band in answer["cost_bands"]
            if band["from"] <= quantity["quantity"] <= band["to"]
        )
        assert here["press"] == quantity["choices"][0]["press"]
        assert here["route"] == quantity["choices"][0]["route"]
    plain = ask(client, "/compare", EXAMPLES[name] | {"up_to": up_to})
    assert answer["bands"] == plain["bands"]


def test_by_cost_a_press_takes_the_way_that_costs_the_plant_least(client: FlaskClient) -> None:
    """Time takes the higher mark-up, so the least cost and the least price may be two ways."""
    found = {
        rank_by: {c["press"]: c for c in choices(client, "laminated_cover", rank_by)[0]}
        for rank_by in ("price", "cost")
    }
    differ = []
    for press, by_cost in found["cost"].items():
        own, other = figures(by_cost), figures(found["price"][press])
        assert own["cost"] <= other["cost"]
        assert own["price"] >= other["price"]
        differ += [press] if own != other else []
    assert differ == ["inkjet_sheet_b2"]
    weighed = choices(client, "laminated_cover", {"price": 0.01, "cost": 0.99})[0]
    assert {c["press"]: figures(c) for c in weighed} == {
        press: figures(choice) for press, choice in found["price"].items()
    }
    alone = choices(client, "laminated_cover", {"cost": 1, "price": 0})[0]
    assert {c["press"]: c for c in alone} == found["cost"]


def test_same_price_to_stays_with_the_cheapest(client: FlaskClient) -> None:
    """Litho sells whole parents: toner is ready sooner, litho may give more for the same money."""
    seen = 0
    for name in PRINTED:
        for found in choices(client, name, "readiness"):
            told = [c for c in found if c["price"]["same_price_to"] is not None]
            assert all(c["ratio_to_best"] == 1.0 for c in told)
            seen += any(c["rank"] > 1 for c in told)
    assert seen


def test_toner_is_ready_before_litho(client: FlaskClient) -> None:
    found = choices(client, "a6_flyer", "readiness")[0]
    assert EXAMPLES["a6_flyer"]["job"]["quantities"][0] == 250
    processes = [choice["process"] for choice in found]
    assert processes[0] == "toner"
    assert processes.index("toner") < processes.index("sheetfed_litho")
    assert all(choice["readiness"]["lead_days"] == 0 for choice in found)


def test_bought_cylinders_come_later_than_bought_plates(client: FlaskClient) -> None:
    (flexo,), (gravure,) = (
        [c for c in choices(client, "pouches", "readiness")[0] if c["process"] == process]
        for process in ("flexo", "gravure")
    )
    assert flexo["readiness"]["lead_days"] == 2
    assert gravure["readiness"]["lead_days"] == 8
    assert gravure["rank"] > flexo["rank"]


def test_screens_are_waited_for_and_jets_are_not(client: FlaskClient) -> None:
    found = choices(client, "shirts", "readiness")[0]
    assert [c["process"] for c in found] == ["dod_inkjet", "screen", "screen"]
    assert [c["readiness"]["lead_days"] for c in found] == [0, 1, 1]


def test_a_trade_binder_takes_his_days(client: FlaskClient) -> None:
    days = {binder.id: binder.lead_days for binder in demo().binders}
    for found in choices(client, "case_bound_history", "price"):
        assert all(c["readiness"]["lead_days"] >= days["trade_case"] for c in found)


def test_one_quantity_after_another_is_ranked_on_its_own(client: FlaskClient) -> None:
    """A press may be sooner ready for few copies and later for many."""
    body = EXAMPLES["a6_flyer"] | {"rank_by": "readiness"}
    body = json.loads(json.dumps(body))
    body["job"]["quantities"] = [250, 1_000_000]
    few, many = (q["choices"] for q in ask(client, "/compare", body)["quantities"])
    assert (few[0]["press"], many[0]["press"]) == ("toner_colour_a3", "litho_b1_five")


def test_no_press_can_is_still_an_answer(client: FlaskClient) -> None:
    for rank_by in ("cost", "readiness", {"price": 0.5, "cost": 0.5}):
        assert choices(client, "oversize_poster", rank_by) == [[], []]


def test_the_same_bytes_come_again(client: FlaskClient) -> None:
    body = EXAMPLES["concert_programme"] | {"rank_by": {"cost": 0.1, "readiness": 0.9}}
    assert client.post("/compare", json=body).data == client.post("/compare", json=body).data


@pytest.mark.parametrize("path", ["/estimate", "/validate"])
def test_what_ranks_nothing_takes_it_too(client: FlaskClient, path: str) -> None:
    stated = ask(client, path, EXAMPLES["a6_flyer"] | {"rank_by": {"readiness": 1}})
    assert stated == ask(client, path, EXAMPLES["a6_flyer"])


@pytest.mark.parametrize(
    ("weights", "told"),
    [
        ({"price": 0.5, "cost": 0.4}, "0.9"),
        ({}, "0"),
        ({"price": 1, "cost": 1}, "2"),
        (dict.fromkeys(CRITERIA, 0.33333333), "0.99999999"),
    ],
)
def test_the_sum_of_weights_is_told(
    client: FlaskClient, flyer: dict[str, Any], weights: Any, told: str
) -> None:
    (fault,) = client.post("/compare", json=flyer | {"rank_by": weights}).get_json()["errors"]
    assert (fault["pointer"], fault["code"]) == ("#/rank_by", "weights_sum")
    assert fault["detail"] == f"Expected weights that sum to 1; these sum to {told}."


@pytest.mark.parametrize(
    "weights",
    [
        {"price": 0.7, "cost": 0.2, "readiness": 0.1},  # 0.9999999999999999 in binary
        {"price": 0.3333333333, "cost": 0.3333333333, "readiness": 0.3333333333},
        {"price": 1, "cost": None},
        {"readiness": 1.0},
    ],
)
def test_decimal_fractions_sum_to_one(flyer: dict[str, Any], faults: Any, weights: Any) -> None:
    assert faults(flyer | {"rank_by": weights}) == {}


def test_all_wrong_weights_at_once(flyer: dict[str, Any], faults: Any) -> None:
    weights = {"price": -0.5, "cost": 1.5, "readiness": "all", "luck": 1}
    assert faults(flyer | {"rank_by": weights}) == {
        "#/rank_by/price": "out_of_range",
        "#/rank_by/cost": "out_of_range",
        "#/rank_by/readiness": "not_a_number",
        "#/rank_by/luck": "unknown_member",
    }
