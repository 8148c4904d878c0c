"""Every bad input is a 422 that names each fault by pointer and code, all of them at once."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from flask.testing import FlaskClient

from shop import demo
from sidelay.http.faults import FAULT_CODES, Fault, Faults, InvalidRequest
from sidelay.http.job_reader import read_job
from sidelay.http.schemas.request import load_request
from xjdf_documents import CODES_OF_DOCUMENTS

Post = Callable[[Any], dict[str, str]]
PART = "#/job/parts/0"


def put(body: dict[str, Any], pointer: str, value: Any) -> dict[str, Any]:
    """Return a copy of a body with one member set."""
    changed = copy.deepcopy(body)
    *way, last = [int(step) if step.isdigit() else step for step in pointer[2:].split("/")]
    place: Any = changed
    for step in way:
        place = place[step]
    place[last] = value
    return changed


def section(**members: Any) -> dict[str, Any]:
    """A part of sixteen pages to be bound."""
    given: dict[str, Any] = {
        "kind": "section",
        "name": "text",
        "pages": 16,
        "size": "a5",
        "stock": {"id": "silk_130"},
        "front": {"inks": ["black"]},
        "back": {"inks": ["black"]},
    }
    return given | members


def cover(**members: Any) -> dict[str, Any]:
    """A part around what is bound."""
    return section(kind="cover", name="cover", pages=4) | members


def leaflet(**members: Any) -> dict[str, Any]:
    """A flat leaf."""
    return section(kind="leaf", name="leaf", pages=2) | members


ONE_FAULT: list[tuple[str, Any, str, str]] = [
    # quantities
    ("#/job/quantities", [0], "#/job/quantities/0", "out_of_range"),
    ("#/job/quantities", [5, -1], "#/job/quantities/1", "out_of_range"),
    ("#/job/quantities", [1.5], "#/job/quantities/0", "not_an_integer"),
    ("#/job/quantities", ["500"], "#/job/quantities/0", "not_an_integer"),
    ("#/job/quantities", [True], "#/job/quantities/0", "not_an_integer"),
    ("#/job/quantities", [None], "#/job/quantities/0", "not_an_integer"),
    ("#/job/quantities", [[500]], "#/job/quantities/0", "not_an_integer"),
    ("#/job/quantities", [1e30], "#/job/quantities/0", "out_of_range"),
    ("#/job/quantities", [10**30], "#/job/quantities/0", "out_of_range"),
    ("#/job/quantities", [100_000_001], "#/job/quantities/0", "out_of_range"),
    ("#/job/quantities", [], "#/job/quantities", "too_few"),
    ("#/job/quantities", list(range(1, 10_001)), "#/job/quantities", "too_many"),
    ("#/job/quantities", list(range(1, 202)), "#/job/quantities", "too_many"),
    ("#/job/quantities", 500, "#/job/quantities", "not_an_array"),
    ("#/job/quantities", None, "#/job/quantities", "required"),
    # parts
    ("#/job/parts", [], "#/job/parts", "too_few"),
    ("#/job/parts", {}, "#/job/parts", "not_an_array"),
    ("#/job/parts", ["flyer"], PART, "not_an_object"),
    ("#/job/parts", [None], PART, "not_an_object"),
    ("#/job/parts/0/kind", "scroll", f"{PART}/kind", "unknown_value"),
    ("#/job/parts/0/name", "", f"{PART}/name", "wrong_length"),
    ("#/job/parts/0/name", "x" * 81, f"{PART}/name", "wrong_length"),
    ("#/job/parts/0/name", 7, f"{PART}/name", "not_a_string"),
    # size
    ("#/job/parts/0/size", None, f"{PART}/size", "required"),
    ("#/job/parts/0/size", "a99", f"{PART}/size", "unknown_size"),
    ("#/job/parts/0/size", 210, f"{PART}/size", "wrong_type"),
    ("#/job/parts/0/size", [210, 297], f"{PART}/size", "wrong_type"),
    ("#/job/parts/0/size", {"width": 210}, f"{PART}/size/height", "required"),
    ("#/job/parts/0/size", {"width": 4.9, "height": 9}, f"{PART}/size/width", "out_of_range"),
    ("#/job/parts/0/size", {"width": 9, "height": 1e9}, f"{PART}/size/height", "out_of_range"),
    (
        "#/job/parts/0/size",
        {"width": 9, "height": 394, "unit": "in"},
        f"{PART}/size/height",
        "out_of_range",
    ),
    (
        "#/job/parts/0/size",
        {"width": 9, "height": 9, "unit": "cm"},
        f"{PART}/size/unit",
        "unknown_value",
    ),
    ("#/job/parts/0/size", {"width": "9", "height": 9}, f"{PART}/size/width", "not_a_number"),
    ("#/job/parts/0/size", {"width": 9, "height": 9, "x": 1}, f"{PART}/size/x", "unknown_member"),
    # folding
    ("#/job/parts/0/pages", 3, f"{PART}/pages", "odd_pages"),
    ("#/job/parts/0/pages", 2002, f"{PART}/pages", "out_of_range"),
    ("#/job/parts/0/pages", 4, f"{PART}/folds", "fold_mismatch"),
    ("#/job/parts/0/folds", 1, f"{PART}/folds", "fold_mismatch"),
    ("#/job/parts/0/folds", 11, f"{PART}/folds", "out_of_range"),
    ("#/job/parts/0/flat_size", "a7", f"{PART}/flat_size", "fold_mismatch"),
    ("#/job/parts/0/flat_size", "a4", f"{PART}/folds", "fold_mismatch"),
    # figures
    ("#/job/parts/0/bleed_mm", -1, f"{PART}/bleed_mm", "out_of_range"),
    ("#/job/parts/0/bleed_mm", True, f"{PART}/bleed_mm", "not_a_number"),
    ("#/job/parts/0/gutter_mm", 51, f"{PART}/gutter_mm", "out_of_range"),
    ("#/job/parts/0/grain", "up", f"{PART}/grain", "unknown_value"),
    ("#/job/parts/0/ruling_lpi", 401, f"{PART}/ruling_lpi", "out_of_range"),
    ("#/job/parts/0/variable_share", 1.01, f"{PART}/variable_share", "out_of_range"),
    ("#/job/parts/0/front/coverage", 20, f"{PART}/front/coverage", "out_of_range"),
    # stock
    ("#/job/parts/0/stock", None, f"{PART}/stock", "required"),
    ("#/job/parts/0/stock", "silk_130", f"{PART}/stock", "not_an_object"),
    ("#/job/parts/0/stock", {"id": "none"}, f"{PART}/stock", "unknown_stock"),
    ("#/job/parts/0/stock/grade", "vellum", f"{PART}/stock", "unknown_stock"),
    ("#/job/parts/0/stock/grammage_gsm", 1000, f"{PART}/stock", "unknown_stock"),
    ("#/job/parts/0/stock/grammage_gsm", 5, f"{PART}/stock/grammage_gsm", "out_of_range"),
    ("#/job/parts/0/stock", {"grade": "coated"}, f"{PART}/stock/grammage_gsm", "required"),
    ("#/job/parts/0/stock", {"grammage_gsm": 130}, f"{PART}/stock/grade", "required"),
    (
        "#/job/parts/0/stock",
        {"grade": "coated", "basis_weight_lb": 80},
        f"{PART}/stock/basis",
        "required",
    ),
    (
        "#/job/parts/0/stock",
        {"grade": "coated", "basis_weight_lb": 80, "basis": "felt"},
        f"{PART}/stock/basis",
        "unknown_value",
    ),
    (
        "#/job/parts/0/stock",
        {"id": "silk_130", "grade": "coated"},
        f"{PART}/stock",
        "conflicting_members",
    ),
    (
        "#/job/parts/0/stock",
        {"grade": "coated", "grammage_gsm": 130, "basis_weight_lb": 80, "basis": "text"},
        f"{PART}/stock",
        "conflicting_members",
    ),
    # inks
    ("#/job/parts/0/front", None, f"{PART}/front", "required"),
    ("#/job/parts/0/front", {}, f"{PART}/front/inks", "required"),
    ("#/job/parts/0/front/inks", ["copper"], f"{PART}/front/inks/0", "unknown_ink"),
    ("#/job/parts/0/front/inks", [5], f"{PART}/front/inks/0", "wrong_type"),
    (
        "#/job/parts/0/front/inks",
        [{"name": "x", "kind": "glitter"}],
        f"{PART}/front/inks/0/kind",
        "unknown_value",
    ),
    ("#/job/parts/0/front/inks", [{"name": "x"}], f"{PART}/front/inks/0/kind", "required"),
    (
        "#/job/parts/0/front/inks",
        [{"name": "x", "kind": "spot", "may_simulate": "yes"}],
        f"{PART}/front/inks/0/may_simulate",
        "not_a_boolean",
    ),
    (
        "#/job/parts/0/front/inks",
        ["black", "cyan", "black"],
        f"{PART}/front/inks/2",
        "same_ink_twice",
    ),
    (
        "#/job/parts/0/front/inks",
        [{"name": f"spot {i}", "kind": "spot"} for i in range(17)],
        f"{PART}/front/inks",
        "too_many",
    ),
    # the job and the rest
    ("#/job/title", "x" * 201, "#/job/title", "wrong_length"),
    ("#/job/quality", "best", "#/job/quality", "unknown_value"),
    ("#/job/proof", True, "#/job/proof", "not_a_string"),
    ("#/job/uses", ["toys"], "#/job/uses/0", "unknown_value"),
    ("#/job", None, "#/job", "required"),
    ("#/job", [], "#/job", "not_an_object"),
    ("#/job/due", "soon", "#/job/due", "unknown_member"),
    ("#/job/due", None, "#/job/due", "unknown_member"),
    ("#/plant", "none", "#/plant", "unknown_plant"),
    ("#/plant_revision", "0123456789ab", "#/plant_revision", "unknown_revision"),
    ("#/plant_revision", "0123456789abcd", "#/plant_revision", "not_a_revision"),
    ("#/plant_revision", 123456789012, "#/plant_revision", "not_a_string"),
    ("#/plant", 5, "#/plant", "not_a_string"),
    ("#/processes", ["etching"], "#/processes/0", "unknown_process"),
    ("#/processes", "toner", "#/processes", "not_an_array"),
    ("#/presses", ["toner_colour_a3", "none"], "#/presses/1", "unknown_press"),
    ("#/detail", "all", "#/detail", "unknown_value"),
    ("#/up_to", 0, "#/up_to", "out_of_range"),
    ("#/up_to", 1_000_000_001, "#/up_to", "out_of_range"),
    ("#/from", 0, "#/from", "out_of_range"),
    ("#/from", 1_000_001, "#/from", "above_up_to"),
    ("#/explain", ["why"], "#/explain/0", "unknown_value"),
    ("#/curves", 1, "#/curves", "not_a_boolean"),
    ("#/rank_by", "luck", "#/rank_by", "unknown_value"),
    ("#/rank_by", ["price"], "#/rank_by", "wrong_type"),
    ("#/rank_by", 1, "#/rank_by", "wrong_type"),
    ("#/rank_by", {"luck": 1}, "#/rank_by/luck", "unknown_member"),
    ("#/rank_by", {"price": -0.5, "cost": 1}, "#/rank_by/price", "out_of_range"),
    ("#/rank_by", {"price": 1.5}, "#/rank_by/price", "out_of_range"),
    ("#/rank_by", {"price": "1"}, "#/rank_by/price", "not_a_number"),
    ("#/rank_by", {"price": 0.5, "cost": 0.4}, "#/rank_by", "weights_sum"),
    ("#/rank_by", {"price": 1, "cost": 1}, "#/rank_by", "weights_sum"),
    ("#/rank_by", {}, "#/rank_by", "weights_sum"),
    # time; more of it in test_timing_request.py
    ("#/as_of", 1_795_510_800, "#/as_of", "not_a_date_time"),
    ("#/as_of", "2026-11-24", "#/as_of", "not_a_date_time"),
    ("#/as_of", "2026-11-24T09:00:00", "#/as_of", "no_offset"),
    ("#/as_of", "1999-12-31T23:59:59Z", "#/as_of", "out_of_range"),
    ("#/as_of", "2100-01-01T00:00:00Z", "#/as_of", "out_of_range"),
    ("#/overtime", "yes", "#/overtime", "not_a_boolean"),
    ("#/queue", {}, "#/queue", "not_an_array"),
    ("#/queue", ["guillotine"], "#/queue/0", "not_an_object"),
    ("#/queue", [{"hours_ahead": 1}], "#/queue/0/machine", "required"),
    ("#/queue", [{"machine": "guillotine"}], "#/queue/0", "required"),
    (
        "#/queue",
        [{"machine": "guillotine", "hours_ahead": 1, "utilisation": 0.5}],
        "#/queue/0",
        "conflicting_members",
    ),
    ("#/queue", [{"machine": "none", "hours_ahead": 1}], "#/queue/0/machine", "unknown_machine"),
    (
        "#/queue",
        [{"machine": "guillotine", "hours_ahead": hours} for hours in (1, 2)],
        "#/queue/1/machine",
        "same_machine_twice",
    ),
    ("#/job/due_at", "soon", "#/job/due_at", "not_a_date_time"),
    ("#/job/due_at", "2026-12-01T12:00:00", "#/job/due_at", "no_offset"),
    ("#/job/due_at", "2026-11-24T09:00:00Z", "#/job/due_at", "due_past"),
    ("#/job/approval_days", 61, "#/job/approval_days", "out_of_range"),
    ("#/job/approval_days", "2", "#/job/approval_days", "not_a_number"),
    ("#/job/dispatch", "post", "#/job/dispatch", "unknown_value"),
    ("#/job/drying_aid", 1, "#/job/drying_aid", "not_a_boolean"),
    ("#/a~b", 1, "#/a~0b", "unknown_member"),
    ("#/pl ant", 1, "#/pl%20ant", "unknown_member"),
]


@pytest.mark.parametrize(
    ("pointer", "value", "faulty", "code"),
    ONE_FAULT,
    ids=[f"{pointer[2:]}-{code}-{i}" for i, (pointer, _, _, code) in enumerate(ONE_FAULT)],
)
def test_one_fault(
    flyer: dict[str, Any], faults: Post, pointer: str, value: Any, faulty: str, code: str
) -> None:
    assert faults(put(flyer, pointer, value)) == {faulty: code}


def test_a_member_with_a_slash_is_escaped(flyer: dict[str, Any], faults: Post) -> None:
    assert faults(flyer | {"a/b": 1}) == {"#/a~1b": "unknown_member"}


def test_a_number_beyond_a_double_is_no_number(client: FlaskClient, flyer: dict[str, Any]) -> None:
    text = json.dumps(flyer | {"up_to": 77}).replace("77", "1e400")
    response = client.post("/validate", data=text, content_type="application/json")
    assert response.get_json()["errors"][0]["code"] == "not_an_integer"


def test_two_parts(flyer: dict[str, Any], flyer_part: dict[str, Any], faults: Post) -> None:
    flyer["job"]["parts"] = [flyer_part, flyer_part | {"folds": "one"}]
    assert faults(flyer) == {"#/job/parts/1/folds": "not_an_integer"}


OPERATION = "#/job/operations/0"
STITCHED = {"method": "saddle_stitch"}
FAULTS_OF_WHOLE_JOBS: list[tuple[dict[str, Any], str, str]] = [
    (
        {"parts": [section(pages=18)], "binding": STITCHED},
        f"{PART}/pages",
        "pages_multiple",
    ),
    (
        {"parts": [section(pages=22)], "binding": {"method": "thread_sewn"}},
        f"{PART}/pages",
        "pages_multiple",
    ),
    (
        {"parts": [section(), section(pages=18, name="more")], "binding": STITCHED},
        "#/job/parts/1/pages",
        "pages_multiple",
    ),
    ({"parts": [section(pages=None)], "binding": STITCHED}, f"{PART}/pages", "required"),
    ({"parts": [leaflet(), leaflet()]}, "#/job/parts/1/name", "same_name_twice"),
    (
        {"parts": [leaflet(), leaflet(name="b"), leaflet()]},
        "#/job/parts/2/name",
        "same_name_twice",
    ),
    (
        {"parts": [leaflet(operations=[{"operation": "gild"}])]},
        f"{PART}/operations/0/operation",
        "unknown_operation",
    ),
    ({"operations": [{"operation": "gild"}]}, f"{OPERATION}/operation", "unknown_operation"),
    (
        {"operations": [{"operation": "carton", "machine": "pallet_bench"}]},
        f"{OPERATION}/machine",
        "unknown_machine",
    ),
    (
        {"parts": [leaflet(operations=[{"operation": "laminate", "machine": "none"}])]},
        f"{PART}/operations/0/machine",
        "unknown_machine",
    ),
    (
        {"parts": [section()], "binding": STITCHED | {"machine": "padding"}},
        "#/job/binding/machine",
        "unknown_machine",
    ),
    (
        {"parts": [leaflet(operations=[{"operation": "laminate", "finish": "linen"}])]},
        f"{PART}/operations/0/finish",
        "unknown_finish",
    ),
    (
        {
            "parts": [
                leaflet(
                    operations=[
                        {"operation": "laminate", "finish": "gloss"},
                        {"operation": "laminate", "finish": "matt"},
                    ]
                )
            ]
        },
        f"{PART}/operations/1",
        "conflicting_operations",
    ),
    (
        {"parts": [leaflet(kind="carton", operations=[{"operation": "glue"}])]},
        f"{PART}/operations",
        "carton_uncut",
    ),
    (
        {
            "parts": [
                leaflet(),
                leaflet(kind="carton", name="box", operations=[{"operation": "glue"}]),
            ]
        },
        "#/job/parts/1/operations",
        "carton_uncut",
    ),
    ({"parts": [section(), cover()]}, "#/job/parts/1/kind", "cover_unbound"),
    (
        {"parts": [section(), cover(), cover(name="second")], "binding": STITCHED},
        "#/job/parts/2/kind",
        "second_cover",
    ),
    ({"parts": [cover()], "binding": STITCHED}, "#/job/binding", "nothing_to_bind"),
    (
        {"parts": [leaflet(kind="insert")], "binding": STITCHED},
        "#/job/binding",
        "nothing_to_bind",
    ),
    (
        {"parts": [section(), cover(size="a4")], "binding": STITCHED},
        "#/job/parts/1/size",
        "sizes_differ",
    ),
    (
        {"parts": [section(), section(size="a4", name="more")], "binding": STITCHED},
        "#/job/parts/1/size",
        "sizes_differ",
    ),
]


@pytest.mark.parametrize(
    ("members", "faulty", "code"),
    FAULTS_OF_WHOLE_JOBS,
    ids=[f"{code}-{i}" for i, (_, _, code) in enumerate(FAULTS_OF_WHOLE_JOBS)],
)
def test_one_fault_of_a_whole_job(
    flyer: dict[str, Any], faults: Post, members: dict[str, Any], faulty: str, code: str
) -> None:
    flyer["job"] |= members
    assert faults(flyer) == {faulty: code}


def test_what_may_stand_beside_what_is_bound(flyer: dict[str, Any], faults: Post) -> None:
    """An insert has a size of its own; 18 pages are nine leaves, which a binder of leaves takes."""
    insert = leaflet(kind="insert", size="a6")
    flyer["job"] |= {"parts": [section(), cover(), insert], "binding": STITCHED}
    assert faults(flyer) == {}
    flyer["job"] |= {"parts": [section(pages=18)], "binding": {"method": "wire"}}
    assert faults(flyer) == {}


def test_a_method_that_nobody_does_for_the_plant(flyer: dict[str, Any]) -> None:
    """The demo plant binds every way, so this is a plant that lacks one."""
    flyer["job"] |= {"parts": [section()], "binding": {"method": "coil"}}
    binders = tuple(each for each in demo().binders if each.method != "coil")
    data, found = load_request(flyer)
    with pytest.raises(InvalidRequest) as raised:
        read_job(data, replace(demo(), binders=binders), Faults(found))
    (fault,) = raised.value.faults
    assert (fault.pointer, fault.code) == ("#/job/binding/method", "unknown_method")
    assert "saddle_stitch" in fault.detail
    assert "coil" not in fault.detail


def test_nothing_to_print(flyer: dict[str, Any], flyer_part: dict[str, Any], faults: Post) -> None:
    flyer_part["front"], flyer_part["back"] = {"inks": []}, {"inks": []}
    assert faults(flyer) == {f"{PART}/front/inks": "nothing_to_print"}


def test_the_back_alone_may_print(
    flyer: dict[str, Any], flyer_part: dict[str, Any], faults: Post
) -> None:
    flyer_part["front"] = {"inks": []}
    assert faults(flyer) == {}


def test_filters_that_exclude_each_other(flyer: dict[str, Any], faults: Post) -> None:
    filters = {"processes": ["toner"], "presses": ["litho_b3_two"]}
    assert faults(flyer | filters) == {"#/presses": "no_press_left"}


def test_more_than_sensitivity_is_told_of(
    flyer: dict[str, Any], flyer_part: dict[str, Any], faults: Post
) -> None:
    flyer["explain"] = ["sensitivity"]
    flyer["job"]["quantities"] = list(range(100, 121))
    assert faults(flyer) == {"#/explain": "too_many"}
    flyer["job"]["quantities"] = [500]
    flyer["job"]["parts"] = [section(name=f"section {number}") for number in range(6)]
    flyer["job"]["binding"] = {"method": "perfect_bind"}
    assert faults(flyer) == {"#/explain": "too_many"}
    flyer["job"]["parts"].pop()
    assert faults(flyer) == {}


def test_all_faults_at_once(flyer: dict[str, Any], faults: Post) -> None:
    """Faults that only the plant can tell stand beside those of the fields."""
    body = {
        "job": {
            "quantities": [0, 100, "x"],
            "parts": [
                {
                    "size": "a6",
                    "pages": 8,
                    "folds": 1,
                    "stock": {"grade": "coated", "finish": "linen", "grammage_gsm": 130},
                    "front": {"inks": ["black", "red", "black"]},
                    "bleed_mm": "3",
                    "colour": 4,
                }
            ],
            "quality": "fine art",
        },
        "processes": ["toner", "etching"],
        "presses": ["none"],
        "detail": 1,
        "note": "",
    }
    assert faults(body) == {
        "#/detail": "not_a_string",
        "#/job/parts/0/bleed_mm": "not_a_number",
        "#/job/parts/0/colour": "unknown_member",
        "#/job/parts/0/folds": "fold_mismatch",
        "#/job/parts/0/front/inks/1": "unknown_ink",
        "#/job/parts/0/front/inks/2": "same_ink_twice",
        "#/job/parts/0/stock": "unknown_stock",
        "#/job/quality": "unknown_value",
        "#/job/quantities/0": "out_of_range",
        "#/job/quantities/2": "not_an_integer",
        "#/note": "unknown_member",
        "#/presses/0": "unknown_press",
        "#/processes/1": "unknown_process",
    }


def test_an_unknown_plant_hides_no_fault_of_a_field(
    flyer: dict[str, Any], flyer_part: dict[str, Any], faults: Post
) -> None:
    flyer_part["folds"] = 1
    flyer |= {"plant": "none", "presses": ["any"]}
    assert faults(flyer) == {"#/plant": "unknown_plant", f"{PART}/folds": "fold_mismatch"}


def test_faults_come_in_the_order_of_their_places(client: FlaskClient) -> None:
    body = {"job": {"quantities": [0] * 12, "parts": []}, "b": 1, "a": 1}
    pointers = [e["pointer"] for e in client.post("/estimate", json=body).get_json()["errors"]]
    quantities = [f"#/job/quantities/{i}" for i in range(12)]
    assert pointers == ["#/a", "#/b", "#/job/parts", *quantities]


def test_a_flood_of_faults_is_counted_not_listed(client: FlaskClient) -> None:
    body = {f"member {i}": 1 for i in range(1000)}
    problem = client.post("/estimate", json=body).get_json()
    assert len(problem["errors"]) == 100
    assert "1001 faults" in problem["detail"]


@pytest.mark.parametrize("path", ["/estimate", "/compare", "/validate"])
def test_every_path_tells_the_same_faults(
    client: FlaskClient, flyer: dict[str, Any], path: str
) -> None:
    response = client.post(path, json=flyer | {"detail": "all"}, headers={"X-Request-Id": "same"})
    problem = response.get_json()
    assert response.status_code == 422
    assert problem["type"] == "/problems/invalid_request"
    assert problem["detail"] == "1 fault found."
    assert problem["errors"] == [
        {
            "pointer": "#/detail",
            "code": "unknown_value",
            "detail": "Expected one of price, lines, trace.",
        }
    ]


@pytest.mark.parametrize(
    ("pointer", "value", "told"),
    [
        ("#/plant", "none", "demo"),
        ("#/job/parts/0/stock", {"id": "none"}, "silk_130"),
        ("#/job/parts/0/stock/grammage_gsm", 200, "130, 150, 250, 350 g/m2"),
        ("#/job/parts/0/stock/grade", "velvet", "uncoated laid"),
        ("#/processes", ["none"], "sheetfed_litho"),
        ("#/presses", ["none"], "toner_mono_a3"),
        ("#/job/parts/0/size", "none", "half_letter"),
        ("#/job/parts/0/front/inks", ["copper"], '{"name": "...", "kind": "spot"}'),
        ("#/job/note", "x", "quantities"),
        ("#/job/quantities", [0], "1 to 100,000,000"),
        ("#/rank_by", "luck", "price, cost, readiness"),
    ],
)
def test_a_fault_says_what_there_is(
    client: FlaskClient, flyer: dict[str, Any], pointer: str, value: Any, told: str
) -> None:
    errors = client.post("/validate", json=put(flyer, pointer, value)).get_json()["errors"]
    assert told in errors[0]["detail"]


def test_presses_too_close_to_tell_apart_are_a_fault(
    client: FlaskClient, flyer: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sidelay.bands.MOST_LOOKS", 1)
    problem = client.post("/compare", json=flyer)
    assert problem.status_code == 422
    (fault,) = problem.get_json()["errors"]
    assert (fault["pointer"], fault["code"]) == ("#/up_to", "too_close")


FAULTS_OF_QUERIES = [
    ("charts=money", "charts", "unknown_parameter"),
    ("chart=money&chart=money", "chart", "parameter_twice"),
    ("chart=pie", "chart", "unknown_value"),
    ("chart=", "chart", "unknown_value"),
    ("chart=MONEY", "chart", "unknown_value"),
    ("measure=margin", "measure", "unknown_value"),
    ("table=rates", "table", "unknown_value"),
    ("quantity=few", "quantity", "not_an_integer"),
    ("quantity=-500", "quantity", "not_an_integer"),
    ("quantity=%D9%A3", "quantity", "not_an_integer"),
    ("quantity=501", "quantity", "unknown_value"),
    ("quantity=0", "quantity", "unknown_value"),
    (f"quantity={'9' * 5000}", "quantity", "unknown_value"),
]


@pytest.mark.parametrize("accept", ["application/json", "image/svg+xml", "text/csv"])
@pytest.mark.parametrize(("query", "parameter", "code"), FAULTS_OF_QUERIES)
def test_a_fault_of_the_query_names_the_parameter(
    client: FlaskClient,
    conforms: Callable[[str, Any], None],
    flyer: dict[str, Any],
    query: str,
    parameter: str,
    code: str,
    accept: str,
) -> None:
    response = client.post(f"/compare?{query}", json=flyer, headers={"Accept": accept})
    assert response.status_code == 422
    assert response.content_type == "application/problem+json"
    (error,) = response.get_json()["errors"]
    assert (error["pointer"], error["parameter"], error["code"]) == ("#", parameter, code)
    assert error["detail"]
    conforms("Problem", response.get_json())


def test_faults_of_query_and_body_are_told_together(
    client: FlaskClient, flyer: dict[str, Any]
) -> None:
    response = client.post("/compare?x=1&chart=pie", json=flyer | {"detail": "all"})
    errors = response.get_json()["errors"]
    assert [(e["pointer"], e.get("parameter")) for e in errors] == [
        ("#", "chart"),
        ("#", "x"),
        ("#/detail", None),
    ]


FAULTS_OF_PRODUCTS = [
    ("film=matt&stock=silk_130", "film", "options_conflict"),
    ("language=fr", "language", "unknown_language"),
]


@pytest.mark.parametrize(("query", "parameter", "code"), FAULTS_OF_PRODUCTS)
def test_each_code_of_a_product_is_told_of_its_parameter(
    client: FlaskClient, query: str, parameter: str, code: str
) -> None:
    response = client.get(f"/products/flyer/price?{query}")
    errors = {error["parameter"]: error["code"] for error in response.get_json()["errors"]}
    assert errors[parameter] == code


def test_the_codes_tested_here_are_all_there_are() -> None:
    elsewhere = {code for *_, code in FAULTS_OF_QUERIES}
    elsewhere |= {"same_press_twice", "nothing_to_print", "no_press_left", "too_close"}
    elsewhere |= {code for *_, code in FAULTS_OF_PRODUCTS} | {"no_quote_keys"}
    elsewhere |= {"unknown_method", "revision_unreadable"} | set(CODES_OF_DOCUMENTS)
    elsewhere |= {"unknown_line"}
    elsewhere |= {code for *_, code in FAULTS_OF_WHOLE_JOBS}
    assert {code for *_, code in ONE_FAULT} | elsewhere == set(FAULT_CODES)


def test_pointers_follow_rfc_6901() -> None:
    """The examples of section 6 whose characters a member name can have."""
    examples = {"foo": "#/foo", "a/b": "#/a~1b", "c%d": "#/c%25d", "e^f": "#/e%5Ef"}
    examples |= {"g|h": "#/g%7Ch", "i\\j": "#/i%5Cj", 'k"l': "#/k%22l", " ": "#/%20"}
    examples |= {"m~n": "#/m~0n", "": "#/"}
    assert {name: Fault((name,), "", "").pointer for name in examples} == examples


def test_a_member_is_known_by_its_name_in_the_request(client: FlaskClient, flyer: Any) -> None:
    """`from` is a word of Python, so that its field is called otherwise."""
    assert client.post("/validate", json=flyer | {"from": None}).status_code == 200
    response = client.post("/validate", json=flyer | {"from_": None})
    (fault,) = response.get_json()["errors"]
    assert (fault["pointer"], fault["code"]) == ("#/from_", "unknown_member")
    assert " from, " in fault["detail"]
    assert "from_" not in fault["detail"]
