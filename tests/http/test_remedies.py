"""What would let a press in: put into the request as told, it does, at the price told.

Also that it is the least: without any one of its changes, the press is still out.
"""

from __future__ import annotations

import copy
import json
import os
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from mending import asked, check_prices, is_out, with_changes

FOLDER = Path(__file__).parents[2] / "openapi" / "examples"
EVERY = sorted(path.stem for path in FOLDER.glob("*.json"))
# In the fast run: a flyer, fine work, a mailing, a booklet of three parts, one too large for all.
FAST = {"a6_flyer", "invitation", "addressed_mailing", "programme_with_insert", "oversize_poster"}
SLOW = os.environ.get("SIDELAY_SLOW") == "1"
NAMES = [name for name in EVERY if SLOW or name in FAST]

PROCESS_INKS = ["cyan", "magenta", "yellow", "black"]
REFLEX = {"name": "reflex blue", "kind": "spot"}
# Made to trip what the examples do not: each job and a press that has to have a remedy.
HARD: dict[str, tuple[str, dict[str, Any], dict[str, Any]]] = {
    "fine detail": (
        "screen_flatbed",
        {
            "min_type_pt": 4,
            "min_reverse_type_pt": 5,
            "min_line_pt": 0.2,
            "register_mm": 0.02,
            "ruling_lpi": 175,
            "tone_steps": 240,
        },
        {},
    ),
    "a spot ink on both sides": (
        "toner_colour_a3",
        {"front": {"inks": ["black", REFLEX]}, "back": {"inks": [REFLEX]}},
        {},
    ),
    "a spot ink that may be simulated on one side": (
        "toner_colour_a3",
        {"front": {"inks": [REFLEX | {"may_simulate": True}]}, "back": {"inks": [REFLEX]}},
        {},
    ),
    "a spot ink that is overprinted": (
        "toner_colour_a3",
        {
            "front": {"inks": ["black"], "coverage": 0.1},
            "overprint": {"front": {"inks": [REFLEX], "coverage": 0.05}},
        },
        {},
    ),
    "an impression": ("litho_b1_five", {"impression": "deep"}, {}),
    "fine work": ("toner_mono_a3", {"front": {"inks": ["black"]}}, {"quality": "fine"}),
    "a label of fine lines": (
        "flexo_narrow",
        {"kind": "label", "stock": {"id": "label_semi_gloss"}, "min_line_pt": 0.05},
        {},
    ),
    "heavy board to fold": (
        "litho_b1_five",
        {"stock": {"id": "silk_350"}, "pages": 4, "folds": 1},
        {},
    ),
    "a hundred addresses on glued cards": (
        "screen_flatbed",
        {"variable_share": 0.3, "ruling_lpi": 200, "front": {"inks": ["cyan", "black", REFLEX]}},
        {"quality": "fine"},
    ),
    "grain that nothing gives": (
        "toner_colour_a3",
        {"size": {"width": 460, "height": 300}, "grain": "short", "bleed_mm": 0},
        {},
    ),
}


def flyer(members: dict[str, Any], of_job: dict[str, Any]) -> dict[str, Any]:
    part = {
        "size": "a6",
        "stock": {"id": "silk_130"},
        "front": {"inks": PROCESS_INKS},
    } | members
    return {"job": {"quantities": [500, 2000], "parts": [part]} | of_job}


def explained(client: FlaskClient, body: dict[str, Any]) -> dict[str, Any]:
    return asked(client, body | {"explain": ["remedies"]})


def led_by(body: dict[str, Any], name: str) -> dict[str, Any]:
    """Return the same request with one part first, so that its presses are the choices."""
    body = copy.deepcopy(body)
    for number, part in enumerate(body["job"]["parts"], 1):
        part.setdefault("name", f"part {number}")
    body["job"]["parts"].sort(key=lambda part: part["name"] != name)
    return body


def check_told(client: FlaskClient, body: dict[str, Any], before: dict[str, Any]) -> int:
    """Check every remedy of an answer against what the request as changed answers."""
    helped = 0
    for remedy in before["remedies"]:
        if remedy["changes"] is None:
            assert remedy["reasons"]
            assert remedy["prices"] == []
            continue
        helped += 1
        mended = with_changes(body, remedy["changes"])
        after = asked(client, mended)
        assert not is_out(after, remedy), remedy["message"]
        after = asked(client, led_by(mended, remedy["part"]))
        check_prices(remedy, after)
        for left_out in {change["name"]: None for change in remedy["changes"]}:
            rest = [change for change in remedy["changes"] if change["name"] != left_out]
            if rest:
                assert is_out(asked(client, with_changes(body, rest)), remedy), left_out
    return helped


@pytest.mark.parametrize("name", NAMES)
def test_a_remedy_put_into_the_request_admits_the_press_at_the_price_told(name, client):
    body = json.loads((FOLDER / f"{name}.json").read_bytes())
    before = explained(client, body)
    check_told(client, body, before)
    # Every press that is out is told of, in the order of those.
    who = [(e["process"], e["press"], e["part"]) for e in before["excluded"]]
    assert [(e["process"], e["press"], e["part"]) for e in before["remedies"]] == who
    for remedy in before["remedies"]:
        for told, quantity in zip(remedy["prices"], before["quantities"], strict=False):
            # With a due date the first choice is one that holds, and need not be the cheapest.
            asked = [float(choice["price"]["net"]) for choice in quantity["choices"]]
            net = float(told["price"]["net"])
            ratio = round(net / min(asked), 4) if asked else None
            assert told["ratio_to_best"] == pytest.approx(ratio, abs=1.1e-4)


@pytest.mark.parametrize("name", HARD)
def test_jobs_that_trip_many_limits_are_helped_just_as_truly(name, client):
    press, members, of_job = HARD[name]
    body = flyer(members, of_job)
    before = explained(client, body)
    check_told(client, body, before)
    (remedy,) = [each for each in before["remedies"] if each["press"] == press]
    assert remedy["changes"], remedy["message"]


def test_a_figure_goes_exactly_to_the_limit(client):
    before = explained(client, flyer({"ruling_lpi": 175}, {}))
    (remedy,) = [each for each in before["remedies"] if each["press"] == "screen_flatbed"]
    (change,) = remedy["changes"]
    press = next(e for e in before["excluded"] if e["press"] == "screen_flatbed")
    limits = [f["limit"] for f in press["findings"] if f["code"] == "ruling_too_fine"]
    assert change == {
        "member": "#/parts/0/ruling_lpi",
        "name": "ruling_lpi",
        "from": 175,
        "to": limits[0],
        "unit": "lpi",
    }
    net = remedy["prices"][0]["price"]["net"]
    assert remedy["message"] == f"at {limits[0]:g} lpi the press would do 500 for {net} EUR"


def test_what_a_customer_could_not_take_for_the_same_piece_is_no_remedy(client):
    body = flyer({}, {"uses": ["delicate"]})
    before = explained(client, body)
    (litho,) = [each for each in before["remedies"] if each["press"] == "litho_b1_five"]
    assert litho["changes"] is None
    assert litho["reasons"] == [
        "grippers and the nip of blanket and impression cylinder press on the piece"
    ]
    assert litho["message"].startswith("no change to the same piece would let the press do it: ")


def test_what_is_told_apart_to_differ_is_not_taken_out(client):
    over = {"overprint": {"front": {"inks": ["black"], "coverage": 0.05}}}
    before = explained(client, flyer(over, {}))
    told = {change["name"] for each in before["remedies"] for change in each["changes"] or ()}
    assert "variable_share" not in told


def test_a_part_that_no_press_can_make_gets_its_first_prices_from_its_remedies(client):
    body = json.loads((FOLDER / "oversize_poster.json").read_bytes())
    before = explained(client, body)
    assert not any(quantity["choices"] for quantity in before["quantities"])
    helped = [each for each in before["remedies"] if each["changes"]]
    assert helped
    assert all(price["ratio_to_best"] is None for each in helped for price in each["prices"])


def test_another_stock_that_stands_in_the_way_of_the_copies_is_not_told(client):
    """Plies of a carbonless set are glued into pads: plain paper would not hold together so."""
    body = json.loads((FOLDER / "carbonless_pads.json").read_bytes())
    before = explained(client, body)
    helped = [each for each in before["remedies"] if each["changes"]]
    assert all(each["prices"] for each in helped)


def test_remedies_are_told_only_where_asked_for(client):
    body = flyer({}, {})
    assert "remedies" not in asked(client, body)
    assert len(explained(client, body)["remedies"]) == len(asked(client, body)["excluded"])


def test_the_same_question_has_the_same_answer_to_the_byte(client):
    body = flyer({"min_type_pt": 2, "register_mm": 0.02}, {}) | {"explain": ["remedies"]}
    first, again = (client.post("/compare", json=body).data for _ in range(2))
    assert first == again


def test_filters_hold_for_remedies_too(client):
    body = flyer({}, {}) | {"presses": ["screen_flatbed", "litho_b1_five"]}
    before = explained(client, body)
    assert {each["press"] for each in before["remedies"]} == {"screen_flatbed"}
    check_told(client, body, before)


def test_the_price_after_a_change_reads_as_those_of_the_table_do(client: FlaskClient) -> None:
    body = json.loads((FOLDER / "which_process.json").read_bytes())
    told = [each for each in explained(client, body)["remedies"] if each["prices"]]
    nets = [float(each["prices"][0]["price"]["net"]) for each in told]
    assert max(nets) >= 1000
    for remedy, net in zip(told, nets, strict=True):
        assert remedy["message"].endswith(f"the press would do 1,200 for {net:,.2f} EUR")
