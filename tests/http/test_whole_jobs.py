"""Whole jobs as three people ask for them: what is wrong is told, where it is, and what would do.

The jobs are the examples of the published interface; each case changes one thing about one.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

FOLDER = Path(__file__).parents[2] / "openapi" / "examples"
GONE = object()


def changed(name: str, *changes: tuple[str, Any]) -> dict[str, Any]:
    """Return an example with members of its job changed, each by its path, as "parts/0/pages"."""
    body: dict[str, Any] = json.loads((FOLDER / f"{name}.json").read_bytes())
    for path, value in changes:
        *way, last = (int(step) if step.isdigit() else step for step in path.split("/"))
        place: Any = body["job"]
        for step in way:
            place = place[step]
        if value is GONE:
            del place[last]
        else:
            place[last] = value
    return body


def twice(part: dict[str, Any], name: str) -> list[dict[str, Any]]:
    return [part, part | {"name": name}]


LAMINATE = {"operation": "laminate", "finish": "matt"}
GLOSS = {"operation": "laminate", "finish": "gloss"}
COVER = changed("programme_with_insert")["job"]["parts"][1]

SLIP = changed("programme_with_insert")["job"]["parts"][2]
LOOSE_LEAF = ("parts/2", SLIP | {"kind": "leaf", "size": "a5"})
REFUSED: list[tuple[str, tuple[str, Any], str, str, str]] = [
    ("concert_programme", ("parts/0/pages", 26), "parts/0/pages", "pages_multiple", "28, or bind"),
    ("concert_programme", ("parts/0/pages", GONE), "parts/0/pages", "required", "its pages"),
    ("concert_programme", ("parts/0/folds", 2), "parts/0/folds", "fold_mismatch", "leave it out"),
    ("paperback_novel", ("parts/0/pages", 2001), "parts/0/pages", "out_of_range", "2 to 2,000"),
    ("paperback_novel", ("binding", GONE), "parts/1/kind", "cover_unbound", "make it a leaf"),
    ("paperback_novel", ("parts/0", GONE), "binding", "nothing_to_bind", "add a section"),
    (
        "paperback_novel",
        ("parts/0/stock", {"id": "of_another_plant"}),
        "parts/0/stock",
        "unknown_stock",
        "there is silk_130",
    ),
    (
        "paperback_novel",
        ("binding/machine", "booklet_maker"),
        "binding/machine",
        "unknown_machine",
        "there is perfect_binder",
    ),
    ("paperback_novel", ("binding/method", "rivet"), "binding/method", "unknown_value", "one of"),
    (
        "paperback_novel",
        ("parts/1/operations", [LAMINATE, GLOSS]),
        "parts/1/operations/1",
        "conflicting_operations",
        "keep one",
    ),
    (
        "paperback_novel",
        ("parts/1/operations", [LAMINATE | {"finish": "velvet"}]),
        "parts/1/operations/0/finish",
        "unknown_finish",
        "gloss, matt, soft_touch",
    ),
    (
        "laminated_cover",
        ("parts/0/operations", [LAMINATE, {"operation": "varnish", "finish": "gloss"}]),
        "parts/0/operations/1",
        "conflicting_operations",
        "leave one of them out",
    ),
    (
        "concert_programme",
        ("operations", [{"operation": "gild_edges"}]),
        "operations/0/operation",
        "unknown_operation",
        "there is crease",
    ),
    ("leaflets_in_cartons", ("operations/0/per", 0), "operations/0/per", "out_of_range", "1 to"),
    ("programme_with_insert", ("parts/2/stock", GONE), "parts/2/stock", "required", "given"),
    (
        "programme_with_insert",
        ("parts", [changed("concert_programme")["job"]["parts"][0], *twice(COVER, "another")]),
        "parts/2/kind",
        "second_cover",
        "an insert or a section",
    ),
    (
        "programme_with_insert",
        ("parts/1/size", "a4"),
        "parts/1/size",
        "sizes_differ",
        "148 x 210 mm",
    ),
    ("programme_with_insert", ("parts/2/size", "a4"), "parts/2/size", "sizes_differ", "most 148"),
    ("folding_cartons", ("parts/0/grain", "diagonal"), "parts/0/grain", "unknown_value", "long"),
    (
        "folding_cartons",
        ("parts/0/operations", [{"operation": "glue"}]),
        "parts/0/operations",
        "carton_uncut",
        "add die_cut",
    ),
    (
        "carbonless_pads",
        ("parts/1/name", "top ply"),
        "parts/1/name",
        "same_name_twice",
        "choose another",
    ),
    ("programme_with_insert", ("parts/1/per_copy", 2), "parts/1/per_copy", "second_cover", "leave"),
    (
        "laminated_cover",
        ("parts/0/operations", [{"operation": "crease", "finish": "matt"}]),
        "parts/0/operations/0/finish",
        "unknown_finish",
        "leave it out",
    ),
    ("programme_with_insert", LOOSE_LEAF, "parts/2/pages", "pages_multiple", "fold it"),
    ("rush_booklets", ("overs_share", 0.6), "overs_share", "out_of_range", "0 to 0.5"),
    ("rush_booklets", ("rush", "yes"), "rush", "not_a_boolean", "true or false"),
    ("rush_booklets", ("parts/0/kind", "leaf"), "parts/0/folds", "fold_mismatch", "2 pages"),
]


@pytest.mark.parametrize(("name", "change", "pointer", "code", "told"), REFUSED)
def test_what_no_plant_could_do_is_refused_where_it_stands(
    client: FlaskClient, name: str, change: tuple[str, Any], pointer: str, code: str, told: str
) -> None:
    response = client.post("/estimate", json=changed(name, change))
    assert response.status_code == 422
    (fault,) = response.get_json()["errors"]
    assert (fault["pointer"], fault["code"]) == (f"#/job/{pointer}", code)
    assert told in fault["detail"]


FOUND: list[tuple[str, list[tuple[str, Any]], str, str]] = [
    ("concert_programme", [("parts/0/pages", 200)], "bind_too_many_pages", "perfect bind with a"),
    ("concert_programme", [("binding/method", "perfect_bind")], "bind_no_cover", "kind cover"),
    ("paperback_novel", [("parts/0/pages", 40)], "bind_block_thin", "saddle stitch with the cover"),
    ("paperback_novel", [("parts/0/pages", 2000)], "bind_too_many_pages", "at most 1200 pages"),
    ("programme_with_insert", [("parts/1/operations", [])], "bind_cover_unscored", "creased or"),
    ("wire_calendar", [("parts/0/pages", 400)], "bind_block_thick", "two volumes"),
    ("leaflets_in_cartons", [("operations/0/per", 5000)], "pack_too_large", "at most 296"),
    ("concert_programme", [("operations", [LAMINATE])], "operation_on_parts", "of the part"),
    (
        "concert_programme",
        [("parts/0/size", {"width": 40, "height": 60})],
        "bind_size_small",
        "at least 76",
    ),
]


@pytest.mark.parametrize(("name", "changes", "code", "told"), FOUND)
def test_what_this_plant_cannot_do_to_copies_is_found_with_a_remedy(
    client: FlaskClient, name: str, changes: list[tuple[str, Any]], code: str, told: str
) -> None:
    response = client.post("/estimate", json=changed(name, *changes))
    assert response.status_code == 200, response.text
    answer = response.get_json()
    assert answer["estimates"] == []
    limits = {each["code"]: each for each in answer["findings"] if each["severity"] == "limit"}
    assert told in limits[code]["remedy"]


@pytest.mark.parametrize(
    ("name", "change", "part", "code", "told"),
    [
        (
            "carbonless_pads",
            ("parts/0/operations", [LAMINATE]),
            "top ply",
            "operation_grade",
            "choose a stock of one of these grades: coated",
        ),
        (
            "laminated_cover",
            ("parts/0/operations", [{"operation": "crease", "count": 100}]),
            "cover",
            "operation_count",
            "at most 12",
        ),
        (
            "concert_programme",
            ("parts/0/operations", [{"operation": "carton"}]),
            "text",
            "operation_on_copies",
            "operations of the job",
        ),
    ],
)
def test_what_this_plant_cannot_do_to_a_part_is_found_at_each_press(
    client: FlaskClient, name: str, change: tuple[str, Any], part: str, code: str, told: str
) -> None:
    answer = client.post("/estimate", json=changed(name, change)).get_json()
    assert answer["estimates"] == []
    found = [
        finding
        for press in answer["excluded"]
        if press["part"] == part
        for finding in press["findings"]
        if finding["code"] == code
    ]
    assert found
    assert all(told in finding["remedy"] for finding in found)


Estimates = Callable[[str], list[dict[str, Any]]]


@pytest.fixture
def estimates(client: FlaskClient) -> Estimates:
    def ask(name: str) -> list[dict[str, Any]]:
        found = client.post("/estimate", json=changed(name)).get_json()["estimates"]
        return list(found)

    return ask


def done(offer: dict[str, Any]) -> list[str]:
    return [step["operation"] for step in offer["operations"]]


def test_a_bound_book_is_priced_at_each_quantity(estimates: Estimates) -> None:
    for offer in estimates("paperback_novel"):
        assert [part["part"] for part in offer["parts"]] == ["text", "cover"]
        assert done(offer) == ["perfect_bind", "carton", "pallet"]
        assert [part["operations"][0]["operation"] for part in offer["parts"][1:]] == ["laminate"]


def test_a_bought_out_binding_says_so_and_when_it_is_back(estimates: Estimates) -> None:
    for offer in estimates("case_bound_history"):
        binding = offer["operations"][0]
        assert (binding["operation"], binding["bought_out"]) == ("case", True)
        assert binding["lead_days"] == 12


def test_an_insert_is_laid_in_without_being_asked_for(estimates: Estimates) -> None:
    for offer in estimates("programme_with_insert"):
        assert done(offer) == ["saddle_stitch", "insert", "carton"]


def test_overs_are_made_and_delivered_and_rush_is_dearer(client: FlaskClient) -> None:
    def ask(*changes: tuple[str, Any]) -> dict[str, Any]:
        answer = client.post("/estimate", json=changed("rush_booklets", *changes)).get_json()
        offer: dict[str, Any] = answer["estimates"][0]
        return offer

    hurried, calm, exact = ask(), ask(("rush", False)), ask(("rush", False), ("overs_share", 0))
    assert hurried["delivery"] == {"least": 300, "most": 315}
    assert hurried["operations"][-1]["out"] == 315
    assert hurried["cost"] == calm["cost"]
    nets = [float(offer["price"]["net"]) for offer in (hurried, calm, exact)]
    assert nets == sorted(nets, reverse=True)
    assert len(set(nets)) == 3


def test_an_insert_alone_has_nothing_to_lie_in(client: FlaskClient) -> None:
    slip = [changed("programme_with_insert")["job"]["parts"][2]]
    body = changed("programme_with_insert", ("parts", slip), ("binding", GONE))
    (fault,) = client.post("/validate", json=body).get_json()["errors"]
    assert (fault["pointer"], fault["code"]) == ("#/job/parts/0/kind", "nothing_to_bind")
    assert "make it a leaf" in fault["detail"]


def test_wire_takes_a_cover_at_the_front_and_one_at_the_back(client: FlaskClient) -> None:
    board = changed("wire_calendar")["job"]["parts"][1]
    both = ("parts/1", board | {"kind": "cover", "per_copy": 2})
    response = client.post("/validate", json=changed("wire_calendar", both))
    assert response.status_code == 200, response.text


def test_a_carton_holds_whole_bands(client: FlaskClient) -> None:
    packed = ("operations", [{"operation": "band", "per": 100}, {"operation": "carton"}])
    answer = client.post("/estimate", json=changed("leaflets_in_cartons", packed)).get_json()
    carton = answer["estimates"][-1]["operations"][-1]
    assert carton["operation"] == "carton"
    assert carton["per"] % 100 == 0


def test_more_creep_than_page_is_answered_with_nothing_left(client: FlaskClient) -> None:
    tiny = {"width": 20, "height": 30}
    body = changed("concert_programme", ("parts/0/size", tiny), ("parts/0/pages", 1000))
    answer = client.post("/estimate", json=body).get_json()
    assert answer["binding"]["creep_mm"] > answer["binding"]["innermost_page_mm"] == 0
    assert "bind_creep" in {finding["code"] for finding in answer["findings"]}


def test_bands_are_told_where_another_part_costs_far_more(client: FlaskClient) -> None:
    """Ten thousand covers a copy hide by how little the ways of its few pages differ."""
    leaf = {"size": "dl", "front": {"inks": ["black"]}}
    pages = leaf | {"kind": "section", "pages": 10, "stock": {"id": "book_cream_80"}}
    covers = leaf | {"kind": "cover", "stock": {"id": "silk_350"}, "per_copy": 10_000}
    covers |= {"operations": [{"operation": "crease"}]}
    job = {"quantities": [50], "parts": [pages, covers], "binding": {"method": "wire"}}
    answer = client.post("/compare", json={"job": job, "up_to": 1_000_000})
    assert answer.status_code == 200, answer.text
    assert answer.get_json()["bands"][-1]["to"] == 1_000_000


def test_sections_of_two_sizes_share_the_stations(client: FlaskClient) -> None:
    """12 sections of 8 pages and one of 4 take two passes on 12 stations, not one each."""
    section = {"kind": "section", "size": "a5", "pages": 100, "stock": {"id": "offset_120"}}
    parts = [section | {"front": {"inks": ["black"]}, "back": {"inks": ["black"]}}]
    cover = {"kind": "cover", "size": "a5", "stock": {"id": "silk_250"}}
    parts += [cover | {"front": {"inks": ["black"]}, "operations": [{"operation": "crease"}]}]
    binding = {"method": "perfect_bind", "machine": "perfect_binder"}
    job = {"quantities": [5000], "parts": parts, "binding": binding}
    asked = {"job": job, "presses": ["litho_b3_two"], "detail": "lines"}
    (offer,) = client.post("/estimate", json=asked).get_json()["estimates"]
    gathered = [each for each in offer["parts"][0]["operations"] if each["operation"] == "gather"]
    assert offer["parts"][0]["split"] == "100 pages in sections of 12 x 8 + 1 x 4"
    assert ["1 more pass(es)" in each["because"] for each in gathered] == [False, True]
def album(quantity: int, **job: Any) -> dict[str, Any]:
    """A hardback of 64 pages in colour on a plateless press, sheet after sheet of a copy."""
    inks = {"inks": ["cyan", "magenta", "yellow", "black"], "coverage": 0.4}
    part = {"size": "a4", "stock": {"id": "silk_150"}, "front": inks}
    return {
        "job": {
            "quantities": [quantity],
            "parts": [
                part | {"name": "text", "kind": "section", "pages": 64, "back": inks},
                part | {"name": "cover", "kind": "cover"},
            ],
            "binding": {"method": "case"} | job,
        },
        "presses": ["inkjet_sheet_b2"],
    }


def test_setting_the_folder_spoils_sheets_of_a_copy_and_not_whole_copies(
    client: FlaskClient,
) -> None:
    (offer,) = client.post("/estimate", json=album(25, machine="trade_case")).get_json()[
        "estimates"
    ]
    (fold,) = [step for step in offer["parts"][0]["operations"] if step["operation"] == "fold"]
    # 46 copies come out; one is spoiled on the run, and 20 sheets at set-up are two copies of 16.
    assert (fold["into"], fold["out"]) == (46 + 1 + 2, 46)


def test_a_few_hardbacks_are_cased_by_hand_and_many_sent_out(client: FlaskClient) -> None:
    def binder(quantity: int) -> str:
        (offer,) = client.post("/estimate", json=album(quantity)).get_json()["estimates"]
        return str(offer["operations"][0]["machine"])

    assert (binder(5), binder(500)) == ("bench_case", "trade_case")


def test_a_heavy_menu_is_creased_and_folded_by_hand(client: FlaskClient) -> None:
    inks = {"inks": ["black"]}
    menu = {"size": "a4", "pages": 4, "folds": 1, "stock": {"id": "silk_350"}, "front": inks}
    body: dict[str, Any] = {"job": {"quantities": [200], "parts": [menu]}}
    refused = client.post("/estimate", json=body).get_json()
    assert refused["estimates"] == []
    remedies = [each["remedy"] for press in refused["excluded"] for each in press["findings"]]
    assert any("crease it and ask for hand_fold" in remedy for remedy in remedies)
    menu["operations"] = [{"operation": "crease"}, {"operation": "hand_fold"}]
    (offer,) = client.post("/estimate", json=body).get_json()["estimates"]
    done = [step["operation"] for step in offer["parts"][0]["operations"]]
    assert done[-2:] == ["crease", "hand_fold"]
