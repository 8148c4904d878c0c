"""Labels, webs, sections, single pieces: what their requests may say, and what answers show."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from shop import demo

FOLDER = Path(__file__).parents[2] / "openapi" / "examples"
PART = "#/job/parts/0"
Post = Callable[[Any], dict[str, str]]


def example(name: str) -> dict[str, Any]:
    body: dict[str, Any] = json.loads((FOLDER / f"{name}.json").read_bytes())
    return body


def changed(name: str, **members: Any) -> dict[str, Any]:
    body = copy.deepcopy(example(name))
    body["job"]["parts"][0] |= members
    return body


def ask(client: FlaskClient, path: str, body: Any) -> dict[str, Any]:
    response = client.post(path, json=body)
    assert response.status_code == 200, response.text
    answer: dict[str, Any] = response.get_json()
    return answer


@pytest.mark.parametrize(
    ("name", "members", "pointer", "code"),
    [
        ("weekly_newspaper", {"pages": 22}, "pages", "fold_mismatch"),
        ("weekly_newspaper", {"pages": "16"}, "pages", "not_an_integer"),
        ("weekly_newspaper", {"folds": 2}, "folds", "fold_mismatch"),
        ("weekly_newspaper", {"flat_size": "a2"}, "flat_size", "fold_mismatch"),
        ("bottle_labels", {"pages": 4}, "pages", "fold_mismatch"),
        ("bottle_labels", {"folds": 1}, "folds", "fold_mismatch"),
        ("bottle_labels", {"pieces_per_reel": 0}, "pieces_per_reel", "out_of_range"),
        ("bottle_labels", {"impression": "embossed"}, "impression", "unknown_value"),
        ("bottle_labels", {"kept_carriers": ["none"]}, "kept_carriers/0", "unknown_press"),
        ("bottle_labels", {"kept_carriers": "flexo"}, "kept_carriers", "not_an_array"),
        (
            "shirts",
            {"front": {"inks": [{"name": "gloss", "kind": "varnish", "coverage": 1.1}]}},
            "front/inks/0/coverage",
            "out_of_range",
        ),
        (
            "posters",
            {"front": {"inks": ["black", "cyan"], "coverage": 0.5, "heaviest_pct": 99}},
            "front/heaviest_pct",
            "out_of_range",
        ),
        ("shirts", {"min_type_pt": 0}, "min_type_pt", "out_of_range"),
        ("shirts", {"register_mm": "0.1"}, "register_mm", "not_a_number"),
        ("shirts", {"pieces_per_reel": 10}, "pieces_per_reel", "conflicting_members"),
        ("shirts", {"tone_steps": 1}, "tone_steps", "out_of_range"),
        ("shirts", {"kind": "garment"}, "kind", "unknown_value"),
        (
            "posters",
            {"front": {"inks": ["black"], "heaviest_pct": 1601}},
            "front/heaviest_pct",
            "out_of_range",
        ),
    ],
)
def test_what_cannot_be_is_refused(
    faults: Post, name: str, members: dict[str, Any], pointer: str, code: str
) -> None:
    assert faults(changed(name, **members)) == {f"{PART}/{pointer}": code}


@pytest.mark.parametrize(
    ("previous", "pointer", "code"),
    [
        ({"press": "none", "inks": []}, "press", "unknown_press"),
        ({"press": "litho_b1_five", "inks": ["red"]}, "inks/0", "unknown_ink"),
        ({"press": "litho_b1_five", "inks": [], "stock": "none"}, "stock", "unknown_stock"),
        ({"inks": []}, "press", "required"),
        ({"press": "litho_b1_five", "inks": ["cyan", "black", "cyan"]}, "inks/2", "same_ink_twice"),
        ({"press": "litho_b1_five", "inks": [], "speed": 1}, "speed", "unknown_member"),
    ],
)
def test_what_ran_before_must_be_of_the_plant(
    faults: Post, flyer: dict[str, Any], previous: dict[str, Any], pointer: str, code: str
) -> None:
    flyer["job"]["previous"] = [previous]
    assert faults(flyer) == {f"#/job/previous/0/{pointer}": code}


def test_a_press_tells_its_last_job_once(flyer: dict[str, Any], faults: Post) -> None:
    flyer["job"]["previous"] = [{"press": "litho_b1_five", "inks": []}] * 2
    assert faults(flyer) == {"#/job/previous/1/press": "same_press_twice"}


def test_a_section_needs_its_pages(faults: Post) -> None:
    body = example("weekly_newspaper")
    del body["job"]["parts"][0]["pages"]
    assert faults(body) == {f"{PART}/pages": "required"}


def test_what_ran_before_saves_the_wash_up(client: FlaskClient, flyer: dict[str, Any]) -> None:
    flyer["presses"] = ["litho_b3_two"]
    flyer["job"]["parts"][0]["front"] = {"inks": [{"name": "red", "kind": "spot"}]}
    flyer["job"]["parts"][0].pop("back")
    after = ask(client, "/estimate", flyer)["estimates"][0]
    flyer["job"]["previous"] = [
        {"press": "litho_b3_two", "inks": [{"name": "red", "kind": "spot"}], "stock": "silk_130"}
    ]
    same = ask(client, "/estimate", flyer)["estimates"][0]
    minutes = [each["parts"][0]["run"]["wash_up_min"] for each in (after, same)]
    assert minutes[1] < minutes[0]
    assert float(same["cost"]["total"]) < float(after["cost"]["total"])


def test_a_newspaper_lies_on_webs_and_comes_off_folded(client: FlaskClient) -> None:
    body = example("weekly_newspaper") | {"presses": ["web_coldset_four"], "detail": "trace"}
    part = ask(client, "/estimate", body)["estimates"][-1]["parts"][0]
    layout = part["layout"]
    assert (layout["feed"], layout["delivery"]) == ("web", "copy")
    pages = 2 * layout["across"] * layout["around"] * layout["webs"] * layout["cycles_per_piece"]
    assert pages == 24 * layout["up"]
    assert layout["parent_sheet_mm"] is None
    assert part["sheets"]["parents"] is None
    cycle_m = layout["press_sheet_mm"][1] / 1000 * layout["webs"]
    assert part["sheets"]["web_m"] == pytest.approx(part["sheets"]["total"] * cycle_m, rel=1e-4)
    (paper,) = [line for line in part["lines"] if line["stage"] == "stock"]
    # Bought by the square metre: the web that runs, and what each reel loses.
    feed = next(each.press.feed for each in demo().presses if each.press.id == "web_coldset_four")
    width_m = layout["press_sheet_mm"][0] / 1000
    assert paper["per"] == "m2"
    assert paper["amount"] == 1.0
    lost = 1 - feed.reel_waste
    assert paper["count"] == pytest.approx(part["sheets"]["web_m"] * width_m / lost, rel=1e-4)


def test_labels_come_on_finished_reels(client: FlaskClient) -> None:
    body = example("bottle_labels") | {"detail": "trace"}
    for offer in ask(client, "/estimate", body)["estimates"]:
        part = offer["parts"][0]
        assert part["layout"]["feed"] == "reel"
        (cores,) = [line for line in part["lines"] if line["label"] == "wind reels, cores"]
        assert cores["count"] == offer["quantity"] / 1000


def test_kept_plates_cost_nothing_and_keep_nobody_waiting(client: FlaskClient) -> None:
    body = example("bottle_labels") | {"processes": ["flexo"]}
    new = ask(client, "/estimate", body)["estimates"][1]
    made = new["parts"][0]["layout"]["carriers_id"]
    kept_body = changed("bottle_labels", kept_carriers=[made]) | {"processes": ["flexo"]}
    kept = ask(client, "/estimate", kept_body)["estimates"][1]
    assert float(kept["cost"]["total"]) < float(new["cost"]["total"])
    assert new["parts"][0]["run"]["carrier_lead_days"] > 0
    assert kept["parts"][0]["run"]["carrier_lead_days"] == 0
    assert kept["parts"][0]["layout"]["carriers_id"] == made
    assert kept["parts"][0]["layout"]["carriers"] > 0


def test_a_kept_set_that_wears_out_waits_for_the_next(client: FlaskClient) -> None:
    body = example("pouches") | {"presses": ["flexo_ci"], "detail": "lines"}
    body["job"]["quantities"] = [50_000_000]
    made = ask(client, "/estimate", body)["estimates"][0]["parts"][0]["layout"]["carriers_id"]
    body["job"]["parts"][0]["kept_carriers"] = [made]
    part = ask(client, "/estimate", body)["estimates"][0]["parts"][0]
    (plates,) = [line for line in part["lines"] if line["stage"] == "carrier"]
    assert float(plates["cost"]) > 0
    assert part["run"]["carrier_lead_days"] == plates["lead_days"] > 0


@pytest.mark.parametrize("path", ["/estimate", "/compare"])
def test_every_process_that_can_make_it_tells_its_cautions(client: FlaskClient, path: str) -> None:
    answer = ask(client, path, example("posters"))
    told = {each["process"]: each["cautions"] for each in answer["safety"]}
    able = {c["process"] for q in answer.get("quantities", ()) for c in q["choices"]}
    assert set(told) >= able
    assert set(told) >= {each["process"] for each in answer.get("estimates", ())}
    assert all(told.values())


def test_a_press_of_another_kind_says_only_that(client: FlaskClient) -> None:
    answer = ask(client, "/compare", example("shirts"))
    litho = next(each for each in answer["excluded"] if each["press"] == "litho_b1_five")
    assert [finding["code"] for finding in litho["findings"]] == ["kind_not_made"]
    assert litho["findings"][0]["remedy"]
