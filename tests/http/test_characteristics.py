"""The table of processes of an answer, against what its own choices and the plant file give."""

from __future__ import annotations

import json
from typing import Any

import pytest
from flask.testing import FlaskClient

from shop import EXAMPLES, demo, example

PRESSES: dict[str, Any] = {each.press.id: each.press for each in demo().presses}


def compared(client: FlaskClient, name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """The answer to an example, and its rows by process."""
    body = json.loads((EXAMPLES / f"{name}.json").read_text()) | {"detail": "lines"}
    answer = client.post("/compare", json=body).get_json()
    return answer, {row["process"]: row for row in answer["characteristics"]}


def middle_choice(answer: dict[str, Any], process: str) -> dict[str, Any] | None:
    """The best choice of a process at the quantity in the middle."""
    asked = answer["quantities"][len(answer["quantities"]) // 2]
    found = (each for each in asked["choices"] if each["process"] == process)
    return next(found, None)


@pytest.mark.parametrize("name", sorted(path.stem for path in EXAMPLES.glob("*.json")))
def test_every_process_has_a_row_whose_figures_are_those_of_its_choice(
    client: FlaskClient, name: str
) -> None:
    """Hours, sheets and speeds worked anew from the sections of the choice."""
    answer, rows = compared(client, name)
    assert list(rows) == sorted({each.process for each in demo().presses})
    for process, row in rows.items():
        choice, made = middle_choice(answer, process), row["for_this_job"]
        assert (choice is None) is (made is None)
        if choice is None:
            continue
        part = choice["parts"][0]
        sections = part["sections"] or [part | {"times": 1}]
        runs = [each["run"] for each in sections]
        assert made["press"] == choice["press"]
        assert made["carriers"] == sum(each["layout"]["carriers"] for each in sections)
        assert made["carrier_lead_days"] == max(run["carrier_lead_days"] for run in runs)
        ready = sum(
            run["make_ready_min"] * each["times"] - run["once_min"] * (each["times"] - 1)
            for each, run in zip(sections, runs, strict=True)
        )
        assert made["make_ready_min"] == pytest.approx(ready, abs=0.02)
        assert made["net_per_hour"] == part["run"]["cycles_per_hour"]
        assert made["net_per_hour"] <= made["rated_per_hour"]
        good = sum(each["sheets"]["good"] for each in sections)
        total = sum(each["sheets"]["total"] for each in sections)
        assert made["run_length_cycles"] == total
        assert made["sheets_per_hour"] == pytest.approx(good / choice["hours"], rel=0.01, abs=0.06)
        if len({each["press"] for each in sections}) == 1:
            pressing = choice["hours"] - made["wash_up_min"] / 60
            dry_after = pressing + part["run"]["drying_h"]
            assert made["wash_up_min"] == part["run"]["wash_up_min"]
            assert made["dry_after_h"] == pytest.approx(dry_after, abs=0.002)
        low, high = row["usual_run_length"]
        assert made["within_usual_run_length"] is (low <= made["quantity"] <= high)


def test_what_the_plant_has_is_told_of_all_its_presses(client: FlaskClient) -> None:
    _, rows = compared(client, "a6_flyer")
    for process, row in rows.items():
        here = row["here"]
        ids = [each.press.id for each in demo().presses if each.process == process]
        assert [each["press"] for each in here["presses"]] == ids
        largest = next(e for e in here["presses"] if e["press"] == here["largest_press"])
        assert (largest["largest_mm"], largest["pages_up"]) == (
            here["largest_mm"],
            here["pages_up"],
        )
        fed = [each for each in here["presses"] if each["pages_up"] is not None]
        areas = [each["largest_mm"][0] * each["largest_mm"][1] for each in fed or here["presses"]]
        assert max(areas) == here["largest_mm"][0] * here["largest_mm"][1]
        assert here["abilities"] is not None


def test_a_flyer_on_litho(client: FlaskClient) -> None:
    """2,500 flyers A6, four colours both sides, on the small press by work-and-turn.

    Rated and cost centre from the plant file; A6 with bleed is 111 x 154 mm.
    """
    answer, rows = compared(client, "a6_flyer")
    litho = rows["sheetfed_litho"]
    made, here, can = litho["for_this_job"], litho["here"], litho["here"]["abilities"]
    small, large = PRESSES["litho_b3_two"], PRESSES["litho_b1_five"]
    assert made["press"] == small.id
    assert made["rated_per_hour"] == small.rated_sheets_per_hour
    assert made["colours"] == [4, 4]
    # 2,400 dpi at the job's 150 lpi is 16 x 16 + 1, capped at 256.
    assert (made["ruling_lpi"], made["tone_steps"]) == (150.0, 256)
    # Four plates on two units are two passes a side, each sheet turned.
    assert (made["carriers"], made["passes"]) == (4, 4)
    assert can["inks_in_one_pass"] == [small.units, large.units]
    assert can["rated"] == [
        {
            "unit": "{cycle}/h",
            "slowest": small.rated_sheets_per_hour,
            "fastest": large.rated_sheets_per_hour,
        }
    ]
    # (2,400 / 200)^2 + 1
    assert can["tone_steps"] == [145, 145]
    assert can["two_sided"] is True
    # 1,020 x 695 mm print: 9 x 4 of 111 x 154, or 6 x 6 the other way round.
    assert here["largest_mm"] == [1030.0, 720.0]
    assert here["pages_up"] == 9 * 4
    assert [w["from"] for w in litho["wins"]] == [
        band["from"] for band in answer["bands"] if band["process"] == "sheetfed_litho"
    ]


def test_labels_on_flexo(client: FlaskClient) -> None:
    """Rated metres a minute over the repeat; labels across and around the longest repeat."""
    answer, rows = compared(client, "bottle_labels")
    flexo = rows["flexo"]
    made, narrow = flexo["for_this_job"], PRESSES["flexo_narrow"]
    choice = middle_choice(answer, "flexo")
    assert choice is not None
    assert made["press"] == narrow.id
    repeat_m = choice["parts"][0]["layout"]["press_sheet_mm"][1] / 1000
    assert made["rated_per_hour"] == pytest.approx(60 * narrow.rated_m_per_min / repeat_m, abs=0.1)
    wanted = json.loads((EXAMPLES / "bottle_labels.json").read_text())["job"]["parts"][0]
    assert wanted["size"] == {"width": 70, "height": 100}
    gap = example("bottle_labels").parts[0].gutter_mm
    bleed = 2 * example("bottle_labels").parts[0].bleed_mm
    grids = [
        int((330 - 2 * 5 + gap) // (across + bleed + gap)) * int(508 // (along + bleed + gap))
        for across, along in ((70, 100), (100, 70))
    ]
    here = next(e for e in flexo["here"]["presses"] if e["press"] == narrow.id)
    assert here["largest_mm"] == [330.0, 508.0]
    assert here["pages_up"] == max(grids)
    assert flexo["here"]["abilities"]["rated"][0]["unit"] == "m/min"


def test_rows_stand_where_no_press_can_make_the_job(client: FlaskClient) -> None:
    answer, rows = compared(client, "oversize_poster")
    assert answer["bands"] == []
    for row in rows.values():
        assert row["for_this_job"] is None
        assert row["here"]["abilities"] is not None
    assert rows["sheetfed_litho"]["here"]["pages_up"] == 0
    assert rows["screen"]["here"]["pages_up"] == 0


def test_the_table_is_the_same_each_time_it_is_asked(client: FlaskClient) -> None:
    body = (EXAMPLES / "tri_fold_leaflet.json").read_bytes()
    sent = {"data": body, "content_type": "application/json"}
    assert client.post("/compare", **sent).data == client.post("/compare", **sent).data


@pytest.mark.parametrize(
    ("shell", "presses"),
    [
        ("litho_b1_five", ("litho_b1_five", "cij_addressing")),
        ("platen_automatic", ("platen_automatic", "cij_addressing")),
    ],
)
def test_shells_dry_before_they_are_overprinted(
    client: FlaskClient, shell: str, presses: tuple[str, ...]
) -> None:
    """A card in green, an address on its back: the sections of the offer are the two presses."""
    card = {
        "size": "a5",
        "stock": {"id": "silk_250"},
        "front": {"inks": [{"name": "green", "kind": "spot"}], "coverage": 0.1},
        "back": {"inks": ["black"], "coverage": 0.02},
        "ruling_lpi": 0,
        "overprint": {"back": {"inks": ["black"], "coverage": 0.02}, "quality": "draft"},
    }
    body = {"job": {"quantities": [5000], "parts": [card]}, "presses": presses, "detail": "lines"}
    answer = client.post("/compare", json=body).get_json()
    rows = {row["process"]: row for row in answer["characteristics"]}
    made = rows["continuous_inkjet"]["for_this_job"]
    (choice,) = answer["quantities"][0]["choices"]
    sections = choice["parts"][0]["sections"]
    assert {each["press"] for each in sections} == {shell, "cij_addressing"}
    assert made["press"] == "cij_addressing"
    drying = sum(each["run"]["drying_h"] for each in sections)
    assert drying > 1
    washing = sum(each["run"]["wash_up_min"] for each in sections)
    assert made["wash_up_min"] == washing
    assert made["dry_after_h"] == pytest.approx(choice["hours"] - washing / 60 + drying, abs=0.002)
    waits = [each["run"]["carrier_lead_days"] for each in sections]
    assert made["carrier_lead_days"] == max(waits)
    assert (max(waits) > 0) is (shell == "platen_automatic")


def test_what_an_answer_hangs_on_starts_from_the_figures_of_the_table(client: FlaskClient) -> None:
    """Make-ready of both sections, a price for a click: as the table and the cost lines have it."""
    body = json.loads((EXAMPLES / "which_process.json").read_text())
    body |= {"detail": "trace", "explain": ["sensitivity"]}
    answer = client.post("/compare", json=body).get_json()
    rows = {row["process"]: row["for_this_job"] for row in answer["characteristics"]}
    (asked,) = answer["hangs_on"]["answers"]
    hinges = {each["factor"]: each for each in asked["factors"]}
    ready = {each["press"]: each for each in hinges["make_ready_time"]["above"]["figures"]}
    litho, toner = ready["litho_b1_five"], ready["toner_colour_a3"]
    # 16 pages and 8 pages, each a form setting of 8 min and four plates of 2 min.
    assert litho["now"] == rows["sheetfed_litho"]["make_ready_min"] == 2 * (8 + 4 * 2)
    assert toner["now"] == rows["toner"]["make_ready_min"]
    (click,) = hinges["click_charge"]["below"]["figures"]
    price = PRESSES["toner_colour_a3"].click_colour_price
    assert (click["unit"], click["now"]) == ("EUR/{click}", price)
    choices = {each["press"]: each for each in answer["quantities"][0]["choices"]}
    (traced,) = (
        given
        for figure in choices["toner_colour_a3"]["parts"][0]["trace"]
        if figure["name"].startswith("click")
        for given in figure["inputs"]
        if given["name"] == "unit_cost"
    )
    assert (traced["unit"], traced["value"]) == (click["unit"], click["now"])
    assert hinges["carrier_price"]["above"]["figures"][0]["unit"] == "EUR/{carrier}"
