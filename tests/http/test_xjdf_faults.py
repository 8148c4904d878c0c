"""Documents that are none, or ask what is not estimated: each fault at its place, all at once."""

from __future__ import annotations

from typing import Any

import pytest

import shop
from sidelay.http.faults import FAULT_CODES, InvalidRequest, Path
from sidelay.http.schemas.request import load_request
from sidelay.http.xjdf import in_document, read_product
from xjdf_documents import (
    BOOK,
    CALENDAR,
    CARD,
    CODES_OF_DOCUMENTS,
    LEAFLET,
    LETTER,
    Document,
    changed,
    intent,
    product,
)

P: Path = ("ProductList", "Product", 0)
I: Path = (*P, "Intent")  # noqa: E741
PRODUCTS = "#/ProductList/Product"
INTENTS = f"{PRODUCTS}/0/Intent"
SHAPE = "#/ProductList/Product/0/Intent/0/LayoutIntent"


def faults(document: Document) -> dict[str, str]:
    """The faults of a document, its body's as a request among them: code by pointer."""
    try:
        read = read_product(document, shop.processes().about, shop.demo().stocks)
    except InvalidRequest as refused:
        return {fault.pointer: fault.code for fault in refused.faults}
    found = (in_document(fault, read.origins) for fault in load_request(read.body)[1])
    return {fault.pointer: fault.code for fault in found}


ONE_FAULT: list[tuple[Document, Path, Any, str, str]] = [
    # the document itself
    (LEAFLET, ("Name",), "JDF", "#/Name", "unknown_value"),
    (LEAFLET, ("Name",), 1, "#/Name", "not_a_string"),
    (LEAFLET, ("JobID",), None, "#/JobID", "required"),
    (LEAFLET, ("JobID",), 7, "#/JobID", "not_a_string"),
    (LEAFLET, ("Types",), None, "#/Types", "required"),
    (LEAFLET, ("Types",), "Product", "#/Types", "not_an_array"),
    (LEAFLET, ("Types",), ["ConventionalPrinting"], "#/Types", "unknown_value"),
    (LEAFLET, ("Types", 0), 5, "#/Types/0", "not_a_string"),
    (LEAFLET, ("ProductList",), None, "#/ProductList", "required"),
    (LEAFLET, ("ProductList",), [], "#/ProductList", "not_an_object"),
    (LEAFLET, ("ProductList", "Product"), None, PRODUCTS, "required"),
    (LEAFLET, ("ProductList", "Product"), {"ID": "P1"}, PRODUCTS, "not_an_array"),
    (LEAFLET, ("ProductList", "Product"), [], PRODUCTS, "too_few"),
    (LEAFLET, ("ProductList", "Product"), [{"ID": f"P{n}"} for n in range(999)], PRODUCTS,
     "too_many"),
    # the product
    (CARD, (*P, "ID"), 1, f"{PRODUCTS}/0/ID", "not_a_string"),
    (LEAFLET, (*P, "IsRoot"), "true", f"{PRODUCTS}/0/IsRoot", "not_a_boolean"),
    (LEAFLET, (*P, "Amount"), "2500", f"{PRODUCTS}/0/Amount", "not_an_integer"),
    (LEAFLET, (*P, "Amount"), 2500.5, f"{PRODUCTS}/0/Amount", "not_an_integer"),
    (LEAFLET, (*P, "Amount"), -5, f"{PRODUCTS}/0/Amount", "out_of_range"),
    (LEAFLET, (*P, "Amount"), 0, f"{PRODUCTS}/0/Amount", "out_of_range"),
    (LEAFLET, (*P, "Amount"), 10**9, f"{PRODUCTS}/0/Amount", "out_of_range"),
    (LEAFLET, (*P, "DescriptiveName"), "x" * 201, f"{PRODUCTS}/0/DescriptiveName", "wrong_length"),
    (CARD, (*P, "Amount"), None, f"{PRODUCTS}/0/Amount", "required"),
    (CARD, (*P, "MinAmount"), 501, f"{PRODUCTS}/0/MinAmount", "out_of_range"),
    (CARD, (*P, "MaxAmount"), 499, f"{PRODUCTS}/0/MaxAmount", "out_of_range"),
    (CARD, (*P, "MaxAmount"), -1, f"{PRODUCTS}/0/MaxAmount", "out_of_range"),
    # intents
    (LEAFLET, I, {"Name": "LayoutIntent"}, INTENTS, "not_an_array"),
    (LEAFLET, (*I, 0, "Name"), None, f"{INTENTS}/0/Name", "required"),
    (LEAFLET, (*I, 0, "Name"), "MediaIntent", f"{INTENTS}/0/LayoutIntent", "conflicting_members"),
    (LEAFLET, (*I, 1), LEAFLET["ProductList"]["Product"][0]["Intent"][0], f"{INTENTS}/1",
     "conflicting_members"),
    (LEAFLET, (*I, 0, "LayoutIntent"), [{}], SHAPE, "not_an_object"),
    (LEAFLET, (*I, 3), intent("AssemblingIntent", Container="C"), f"{INTENTS}/3", "unsupported"),
    # layout
    (LEAFLET, (*I, 0, "LayoutIntent", "FinishedDimensions"), [280.63, 595.28],
     f"{SHAPE}/FinishedDimensions", "too_few"),
    (LEAFLET, (*I, 0, "LayoutIntent", "FinishedDimensions"), "280.63 595.28 0",
     f"{SHAPE}/FinishedDimensions", "not_an_array"),
    (LEAFLET, (*I, 0, "LayoutIntent", "FinishedDimensions", 0), "280.63",
     f"{SHAPE}/FinishedDimensions/0", "not_a_number"),
    (LEAFLET, (*I, 0, "LayoutIntent", "FinishedDimensions", 1), -3,
     f"{SHAPE}/FinishedDimensions/1", "out_of_range"),
    (LEAFLET, (*I, 0, "LayoutIntent", "Dimensions"), [1, 2, 3], f"{SHAPE}/Dimensions", "too_many"),
    (LEAFLET, (*I, 0, "LayoutIntent", "Bleed"), "8.5", f"{SHAPE}/Bleed", "not_a_number"),
    (LEAFLET, (*I, 0, "LayoutIntent", "Bleed"), 999, f"{SHAPE}/Bleed", "out_of_range"),
    (LEAFLET, (*I, 0, "LayoutIntent", "Pages"), 6.5, f"{SHAPE}/Pages", "not_an_integer"),
    (LEAFLET, (*I, 0, "LayoutIntent", "Sides"), "Both", f"{SHAPE}/Sides", "unknown_value"),
    (LEAFLET, (*I, 0, "LayoutIntent", "Sides"), "OneSided", f"{SHAPE}/Sides",
     "conflicting_members"),
    (LEAFLET, (*I, 0), intent("LayoutIntent", Dimensions=[841.89, 595.28]),
     f"{SHAPE}/FinishedDimensions", "required"),
    # stock
    (LEAFLET, (*I, 1, "MediaIntent", "MediaType"), None, f"{INTENTS}/1/MediaIntent/MediaType",
     "required"),
    (LEAFLET, (*I, 1, "MediaIntent", "MediaType"), "Vellum", f"{INTENTS}/1/MediaIntent/MediaType",
     "unknown_value"),
    (LEAFLET, (*I, 1, "MediaIntent", "MediaType"), "Plate", f"{INTENTS}/1/MediaIntent/MediaType",
     "unsupported"),
    (LEAFLET, (*I, 1, "MediaIntent", "Weight"), "135", f"{INTENTS}/1/MediaIntent/Weight",
     "not_a_number"),
    (LEAFLET, (*I, 1, "MediaIntent", "Weight"), None, f"{INTENTS}/1/MediaIntent/Weight",
     "required"),
    (LEAFLET, (*I, 1, "MediaIntent", "Weight"), -1, f"{INTENTS}/1/MediaIntent/Weight",
     "out_of_range"),
    (LEAFLET, (*I, 1, "MediaIntent", "Coating"), "Shiny", f"{INTENTS}/1/MediaIntent/Coating",
     "unknown_value"),
    # colours
    (LEAFLET, (*I, 2, "ColorIntent", "SurfaceColor"), {"Surface": "Front"},
     f"{INTENTS}/2/ColorIntent/SurfaceColor", "not_an_array"),
    (LEAFLET, (*I, 2, "ColorIntent", "SurfaceColor", 0, "Surface"), None,
     f"{INTENTS}/2/ColorIntent/SurfaceColor/0/Surface", "required"),
    (LEAFLET, (*I, 2, "ColorIntent", "SurfaceColor", 1, "Surface"), "Front",
     f"{INTENTS}/2/ColorIntent/SurfaceColor/1/Surface", "conflicting_members"),
    (LEAFLET, (*I, 2, "ColorIntent", "SurfaceColor", 0, "ColorsUsed"), "Cyan",
     f"{INTENTS}/2/ColorIntent/SurfaceColor/0/ColorsUsed", "not_an_array"),
    (LEAFLET, (*I, 2, "ColorIntent", "SurfaceColor", 0, "ColorsUsed", 3), "",
     f"{INTENTS}/2/ColorIntent/SurfaceColor/0/ColorsUsed/3", "wrong_length"),
    (LEAFLET, (*I, 2, "ColorIntent", "SurfaceColor", 0, "Coverage"), 401,
     f"{INTENTS}/2/ColorIntent/SurfaceColor/0/Coverage", "out_of_range"),
    # folds
    (LEAFLET, (*I, 3, "FoldingIntent", "FoldCatalog"), "Z-fold",
     f"{INTENTS}/3/FoldingIntent/FoldCatalog", "unknown_value"),
    (LEAFLET, (*I, 3, "FoldingIntent", "FoldCatalog"), "F8-4",
     f"{INTENTS}/3/FoldingIntent/FoldCatalog", "fold_mismatch"),
    (LEAFLET, (*I, 3, "FoldingIntent", "Fold"), [{"From": "Front"}],
     f"{INTENTS}/3/FoldingIntent/Fold/0/To", "required"),
    # binding and its parts
    (BOOK, (*I, 0, "BindingIntent", "BindingType"), None,
     f"{INTENTS}/0/BindingIntent/BindingType", "required"),
    (BOOK, (*I, 0, "BindingIntent", "BindingType"), "Knot",
     f"{INTENTS}/0/BindingIntent/BindingType", "unknown_value"),
    (BOOK, (*I, 0, "BindingIntent", "BindingType"), "RingBinding",
     f"{INTENTS}/0/BindingIntent/BindingType", "unsupported"),
    (BOOK, (*I, 0, "BindingIntent", "ChildRefs", 0), "nobody",
     f"{INTENTS}/0/BindingIntent/ChildRefs/0", "unknown_product"),
    (BOOK, (*I, 0, "BindingIntent", "ChildRefs", 0), "B",
     f"{INTENTS}/0/BindingIntent/ChildRefs/0", "circular_reference"),
    (BOOK, (*I, 0, "BindingIntent", "ChildRefs", 0), "cover",
     f"{INTENTS}/0/BindingIntent/ChildRefs/1", "same_id_twice"),
    (CALENDAR, ("ProductList", "Product", 4, "ID"), "front", f"{PRODUCTS}/4/ID", "same_id_twice"),
    (BOOK, ("ProductList", "Product", 1, "IsRoot"), True, f"{PRODUCTS}/1/IsRoot", "several_roots"),
    (BOOK, ("ProductList", "Product", 1, "Amount"), -2, f"{PRODUCTS}/1/Amount", "out_of_range"),
    # what is done to it
    (CARD, (*I, 3, "LaminatingIntent", "Surface"), None, f"{INTENTS}/3/LaminatingIntent/Surface",
     "required"),
    (CARD, (*I, 5, "ShapeCuttingIntent", "ShapeCut", 0, "ShapeType"), "Star",
     f"{INTENTS}/5/ShapeCuttingIntent/ShapeCut/0/ShapeType", "unknown_value"),
    (CARD, (*I, 6, "HoleMakingIntent", "HolePattern", 0, "HoleCount"), 1001,
     f"{INTENTS}/6/HoleMakingIntent/HolePattern/0/HoleCount", "out_of_range"),
    (BOOK, ("ProductList", "Product", 2, "Intent", 4, "EmbossingIntent", "EmbossingItem", 0,
            "ImageSize"), [9999, 9999],
     f"{PRODUCTS}/2/Intent/4/EmbossingIntent/EmbossingItem/0/ImageSize", "out_of_range"),
    (LETTER, (*I, 3, "VariableIntent", "VariableType"), None,
     f"{INTENTS}/3/VariableIntent/VariableType", "required"),
    # resources
    (LEAFLET, ("ResourceSet",), {}, "#/ResourceSet", "not_an_array"),
    (LEAFLET, ("ResourceSet", 1, "Name"), None, "#/ResourceSet/1/Name", "required"),
    (LEAFLET, ("ResourceSet", 1, "Usage"), "Both", "#/ResourceSet/1/Usage", "unknown_value"),
    (LEAFLET, ("ResourceSet", 1, "Resource", 0, "DeliveryParams", "Required"), "Friday",
     "#/ResourceSet/1/Resource/0/DeliveryParams/Required", "not_a_date_time"),
    (LEAFLET, ("ResourceSet", 1, "Resource", 0, "DeliveryParams", "DropItem", 0, "ItemRef"), "P9",
     "#/ResourceSet/1/Resource/0/DeliveryParams/DropItem/0/ItemRef", "unknown_product"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("source", "path", "value", "pointer", "code"),
    ONE_FAULT,
    ids=[f"{pointer[2:]}-{code}-{i}" for i, (*_, pointer, code) in enumerate(ONE_FAULT)],
)
def test_a_fault_is_told_by_its_place_in_the_document(
    source: Document, path: Path, value: Any, pointer: str, code: str
) -> None:
    found = faults(changed(source, path, value))
    expected = {pointer: code}
    if code == "too_many" and path[-1] == "Product":
        found = {where: each for where, each in found.items() if where == pointer}
    assert found == expected


def test_every_code_of_documents_is_a_code_and_has_a_case() -> None:
    assert set(CODES_OF_DOCUMENTS) <= set(FAULT_CODES)
    assert set(CODES_OF_DOCUMENTS) <= {code for *_, code in ONE_FAULT}


def test_all_faults_are_told_at_once() -> None:
    document = changed(LEAFLET, ("JobID",), None)
    document = changed(document, (*P, "Amount"), "many")
    document = changed(document, (*I, 1, "MediaIntent", "MediaType"), None)
    document = changed(document, (*I, 0, "LayoutIntent", "Dimensions", 1), "595.28")
    assert faults(document) == {
        "#/JobID": "required",
        f"{PRODUCTS}/0/Amount": "not_an_integer",
        f"{SHAPE}/Dimensions/1": "not_a_number",
        f"{INTENTS}/1/MediaIntent/MediaType": "required",
    }


def test_two_root_products_are_refused_each_by_itself() -> None:
    first = LEAFLET["ProductList"]["Product"][0]
    second = {**first, "ID": "P2"}
    document = {**LEAFLET, "ProductList": {"Product": [first, second]}}
    assert faults(document) == {f"{PRODUCTS}/1/IsRoot": "several_roots"}
    unmarked = [{k: v for k, v in each.items() if k != "IsRoot"} for each in (first, second)]
    document = {**LEAFLET, "ProductList": {"Product": unmarked}}
    assert faults(document) == {f"{PRODUCTS}/1": "several_roots"}


def test_children_that_bind_their_parents_are_refused() -> None:
    inner = product("text", intent("BindingIntent", BindingType="None", ChildRefs=["cover", "B"]))
    document = changed(BOOK, ("ProductList", "Product", 1), inner)
    pointer = f"{PRODUCTS}/1/Intent/0/BindingIntent/ChildRefs"
    assert faults(document) == {f"{pointer}/0": "unsupported", f"{pointer}/1": "circular_reference"}


def test_a_circle_without_a_root_is_refused() -> None:
    one = product("A", intent("BindingIntent", BindingType="None", ChildRefs=["B"]))
    two = product("B", intent("BindingIntent", BindingType="None", ChildRefs=["A"]))
    document = {**BOOK, "ProductList": {"Product": [one, two]}}
    assert faults(document) == {PRODUCTS: "circular_reference"}
