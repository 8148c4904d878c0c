"""A job as a document of product intent, and what of it such a document cannot say."""

from __future__ import annotations

import json
from typing import Any

import pytest

import shop
from sidelay.http.faults import InvalidRequest, Path
from sidelay.http.xjdf import read_product, write_product
from xjdf_documents import Document

PROCESSES = shop.processes().about
STOCKS = shop.demo().stocks
EXAMPLES = {
    path.stem: json.loads(path.read_text())
    for path in sorted(shop.EXAMPLES.glob("*.json"))
    if "job" in json.loads(path.read_text())
}
FLYER: Document = {
    "title": "Flyer",
    "quantities": [500],
    "parts": [
        {
            "size": "a6",
            "stock": {"grade": "coated", "finish": "silk", "grammage_gsm": 150},
            "front": {"inks": ["cyan", "black"], "coverage": 0.3},
        }
    ],
}


def written(job: Document, **others: Any) -> Document:
    """The document of a job."""
    return write_product({"job": job, **others}, PROCESSES, STOCKS)[0]


def not_said(job: Document, **others: Any) -> set[Path]:
    """The members of a job that its document cannot say, or not exactly."""
    told = write_product({"job": job, **others}, PROCESSES, STOCKS)[1]
    assert {each.code for each in told} <= {"not_said", "rounded", "assumed"}
    return {each.path[1:] if each.path[0] == "job" else each.path for each in told}


def flyer(**members: Any) -> Document:
    """The flyer with other members of its part."""
    return {**FLYER, "parts": [{**FLYER["parts"][0], **members}]}


def intents(job: Document, product: int = 0) -> Document:
    """The intents of one product, by name; of those that stand twice the last."""
    listed = written(job)["ProductList"]["Product"][product]["Intent"]
    return {each["Name"]: each[each["Name"]] for each in listed}


def test_a_flyer_is_one_product() -> None:
    assert written(FLYER) == {
        "Name": "XJDF",
        "Version": "2.2",
        "JobID": "job",
        "Types": ["Product"],
        "ProductList": {
            "Product": [
                {
                    "ID": "P1",
                    "IsRoot": True,
                    "Amount": 500,
                    "DescriptiveName": "Flyer",
                    "Intent": [
                        {
                            "Name": "LayoutIntent",
                            "LayoutIntent": {
                                "FinishedDimensions": [297.64, 419.53, 0],
                                "Sides": "OneSided",
                            },
                        },
                        {
                            "Name": "MediaIntent",
                            "MediaIntent": {
                                "MediaType": "Paper",
                                "Coating": "Satin",
                                "BackCoating": "Satin",
                                "Weight": 150,
                            },
                        },
                        {
                            "Name": "ColorIntent",
                            "ColorIntent": {
                                "SurfaceColor": [
                                    {
                                        "Surface": "Front",
                                        "ColorsUsed": ["Cyan", "Black"],
                                        "Coverage": 60,
                                    }
                                ]
                            },
                        },
                    ],
                }
            ]
        },
    }
    assert not_said(FLYER) == set()


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_example_is_written_and_what_is_written_is_stable(name: str) -> None:
    document, _ = write_product(EXAMPLES[name], PROCESSES, STOCKS)
    again = read_product(document, PROCESSES, STOCKS).body
    assert write_product(again, PROCESSES, STOCKS)[0] == document


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_comes_back_otherwise_was_told(name: str) -> None:
    """Members that differ when read again are told of, but for other ways to say the same."""
    body = EXAMPLES[name]
    document, told = write_product(body, PROCESSES, STOCKS)
    again = read_product(document, PROCESSES, STOCKS).body["job"]
    places = {each.path[:4] for each in told} | {each.path[:2] for each in told}
    for index, (before, after) in enumerate(zip(body["job"]["parts"], again["parts"], strict=True)):
        for member in set(before) | set(after):
            same = before.get(member) == after.get(member)
            reworded = member in ("size", "flat_size") or before.get(member) == "leaf"
            assert same or reworded or ("job", "parts", index, member) in places, member
    for member in (set(body["job"]) | set(again)) - {"parts"}:
        assert body["job"].get(member) == again.get(member) or ("job", member) in places, member


def test_a_document_is_about_one_quantity() -> None:
    job = {**FLYER, "quantities": [500, 1000, 2000]}
    assert written(job)["ProductList"]["Product"][0]["Amount"] == 500
    assert not_said(job) == {("quantities", 1), ("quantities", 2)}
    document, told = write_product({"job": job}, PROCESSES, STOCKS, quantity=1000)
    assert document["ProductList"]["Product"][0]["Amount"] == 1000
    assert {each.path[-1] for each in told} == {0, 2}


def test_overs_are_told_in_whole_copies() -> None:
    root = written({**FLYER, "overs_share": 0.05})["ProductList"]["Product"][0]
    assert (root["MinAmount"], root["Amount"], root["MaxAmount"]) == (500, 500, 525)
    assert not_said({**FLYER, "quantities": [33], "overs_share": 0.05}) == {("overs_share",)}


@pytest.mark.parametrize(
    ("members", "path"),
    [
        ({"ruling_lpi": 133}, ("ruling_lpi",)),
        ({"impression": "deep"}, ("impression",)),
        ({"min_type_pt": 6}, ("min_type_pt",)),
        ({"gutter_mm": 2}, ("gutter_mm",)),
        ({"kind": "web"}, ("kind",)),
        ({"per_copy": 2}, ("per_copy",)),
        ({"front": {"inks": ["black"], "heaviest_pct": 300}}, ("front", "heaviest_pct")),
        (
            {"front": {"inks": [{"name": "Sea", "kind": "spot", "may_simulate": True}]}},
            ("front", "inks", 0, "may_simulate"),
        ),
        (
            {"front": {"inks": [{"name": "Sea", "kind": "fluorescent"}]}},
            ("front", "inks", 0, "kind"),
        ),
        (
            {"front": {"inks": [{"name": "deep sea", "kind": "spot"}]}},
            ("front", "inks", 0, "name"),
        ),
        ({"operations": [{"operation": "number"}]}, ("operations", 0)),
        ({"operations": [{"operation": "laminate", "machine": "x"}]}, ("operations", 0, "machine")),
        ({"operations": [{"operation": "laminate", "finish": "linen"}]}, ("operations", 0,
                                                                          "finish")),
        ({"operations": [{"operation": "foil", "finish": "jade"}]}, ("operations", 0, "finish")),
        ({"operations": [{"operation": "varnish", "finish": "satin"}]}, ("operations", 0)),
        ({"overprint": {"front": {"inks": [{"name": "Red", "kind": "spot"}], "coverage": 0.01}}},
         ("overprint",)),
        (
            {"pages": 6, "folds": 2, "operations": [{"operation": "crease"}]},
            ("operations", 0, "count"),
        ),
        ({"operations": [{"operation": "round_corners", "count": 2}]}, ("operations", 0, "count")),
        ({"operations": [{"operation": "crease"}, {"operation": "emboss"}]}, ("operations", 1)),
        (
            {"overprint": {"front": {"inks": ["black"], "coverage": 0.123}}},
            ("overprint", "front", "coverage"),
        ),
        ({"pages": 8, "folds": 3}, ("folds",)),
        ({"kind": "carton", "operations": [{"operation": "die_cut"}]}, ("operations",)),
    ],
)  # fmt: skip
def test_what_a_document_cannot_say_of_a_part_is_told(members: Document, path: Path) -> None:
    assert not_said(flyer(**members)) == {("parts", 0, *path)}


@pytest.mark.parametrize(
    ("members", "path"),
    [
        ({"quality": "fine"}, ("quality",)),
        ({"rush": True}, ("rush",)),
        ({"drying_aid": True}, ("drying_aid",)),
        ({"uses": ["outdoor"]}, ("uses",)),
        ({"proof": "press"}, ("proof",)),
        ({"approval_days": 2}, ("approval_days",)),
        ({"operations": [{"operation": "carton"}]}, ("operations", 0)),
    ],
)
def test_what_a_document_cannot_say_of_a_job_is_told(members: Document, path: Path) -> None:
    assert not_said({**FLYER, **members}) == {path}


def test_what_says_nothing_is_not_missed() -> None:
    job = flyer(kind="leaf", grain="any", variable_share=0, impression="flat", per_copy=1)
    usual = {"rush": False, "quality": "commercial", "proof": "none", "uses": [], "previous": []}
    assert not_said({**job, **usual, "overs_share": 0, "drying_aid": False}) == set()


def test_several_processes_of_one_name_are_that_name() -> None:
    both = ["sheetfed_litho", "web_litho"]
    root = written(FLYER, processes=both)["ProductList"]["Product"][0]
    assert root["Intent"][-1]["ProductionIntent"] == {"PrintProcess": "Lithography"}
    assert not_said(FLYER, processes=both) == set()
    assert not_said(FLYER, processes=["web_litho"]) == {("processes",)}
    assert not_said(FLYER, processes=["web_litho", "toner"]) == {("processes",)}
    assert not_said(FLYER, rank_by={"price": 1}) == {("rank_by",)}


def test_a_size_may_be_told_by_name_or_in_inches() -> None:
    letter = {"width": 8.5, "height": 11, "unit": "in"}
    for size in ("letter", letter):
        shape = intents(flyer(size=size))["LayoutIntent"]
        assert shape["FinishedDimensions"] == [612, 792, 0]


def test_a_weight_in_pounds_is_told_in_grams() -> None:
    # 80 lb text, basic size 25 x 38 in: 118 g/m2 (a merchant's table, from memory)
    stock = {"grade": "coated", "basis_weight_lb": 80, "basis": "text"}
    assert intents(flyer(stock=stock))["MediaIntent"]["Weight"] == pytest.approx(118.4, abs=0.05)


def test_parts_of_a_bound_job_are_children() -> None:
    body = shop.EXAMPLES / "programme_with_insert.json"
    document, _ = write_product(json.loads(body.read_text()), PROCESSES, STOCKS)
    root, *children = document["ProductList"]["Product"]
    assert root["Intent"][0]["BindingIntent"]["ChildRefs"] == [each["ID"] for each in children]
    assert [each["IsRoot"] for each in children] == [False] * len(children)
    assert "Insert" in [each.get("ProductType") for each in children]


def test_a_body_that_is_none_is_refused() -> None:
    no_quantity = {**FLYER, "quantities": []}
    for body in ({}, {"job": 5}, {"job": {"quantities": [1]}}, {"job": no_quantity}):
        with pytest.raises(InvalidRequest):
            write_product(body, PROCESSES, STOCKS)
    with pytest.raises(InvalidRequest):
        written(flyer(size="a99"))
