"""What a document of product intent is read as.

Members, their words, and what they mean: the XJDF 2.x schema of CIP4 and its XJDF 2.1
specification, chapter 4 (product intent) and appendix A (words; units: points, micrometres, g/m2).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

import shop
from sidelay.http.faults import Path
from sidelay.http.schemas.request import load_request
from sidelay.http.xjdf import ProductRead, in_document, read_product
from sidelay.processes import Process
from xjdf_documents import (
    BOOK,
    BOOKLET,
    CALENDAR,
    CARD,
    CARTON,
    CMYK,
    DOCUMENTS,
    LABEL,
    LEAFLET,
    LETTER,
    LETTERHEAD,
    Document,
    changed,
    colours,
    delivery,
    document,
    intent,
    layout,
    paper,
    product,
)

P: Path = ("ProductList", "Product", 0)
PROCESSES = shop.processes().about


def read(source: Document, **options: Any) -> ProductRead:
    """Read a document for the demo plant."""
    return read_product(source, PROCESSES, **{"stocks": shop.demo().stocks, **options})


def job(source: Document) -> dict[str, Any]:
    """The job of a document."""
    found: dict[str, Any] = read(source).body["job"]
    return found


def part(*intents: Document, **members: Any) -> dict[str, Any]:
    """The only part of a document of one product, with size, stock and inks where not told."""
    names = [each["Name"] for each in intents]
    usual = (layout(297.64, 419.53), paper(170, "Gloss"), colours(["Black"]))
    rest = [each for each in usual if each["Name"] not in names]
    found: dict[str, Any] = job(document(product("P", *intents, *rest, **members)))["parts"][0]
    return found


def told(*intents: Document, **members: Any) -> set[tuple[str, str]]:
    """Last member and code of every warning about a document of one product."""
    source = document(product("P", *intents, **members))
    return {(str(each.path[-1]), each.code) for each in read(source).warnings}


def test_a_leaflet_is_read_whole() -> None:
    found = read(LEAFLET)
    assert found.body == {
        "job": {
            "title": "Open day leaflet",
            "quantities": [2500],
            "due_at": "2027-03-05T12:00:00+01:00",
            "parts": [
                {
                    "size": {"width": 99, "height": 210},
                    "flat_size": {"width": 297, "height": 210},
                    "pages": 6,
                    "folds": 2,
                    "bleed_mm": 3,
                    "stock": {"grade": "coated", "finish": "gloss", "grammage_gsm": 135},
                    "front": {"inks": ["cyan", "magenta", "yellow", "black"], "coverage": 0.45},
                    "back": {"inks": ["black"]},
                    "operations": [{"operation": "crease", "count": 2}],
                }
            ],
        },
        "processes": ["sheetfed_litho", "web_litho"],
        "rank_by": "price",
    }
    assert [(each.path[-1], each.code) for each in found.warnings] == [
        ("JobID", "ignored"),
        ("Thickness", "ignored"),
        ("Crease", "assumed"),
        (0, "ignored"),
    ]


@pytest.mark.parametrize("name", DOCUMENTS)
def test_what_is_read_is_a_request(name: str) -> None:
    assert load_request(read(DOCUMENTS[name]).body)[1] == []


def test_a_book_is_text_and_cover() -> None:
    found = job(BOOK)
    text, cover = found["parts"]
    assert found["binding"] == {"method": "thread_sewn", "edge": "left"}
    assert (text["kind"], text["pages"], text["grain"]) == ("section", 240, "long")
    assert text["size"] == cover["size"] == {"width": 129, "height": 198}
    assert cover["kind"] == "cover"
    assert cover["front"]["inks"][-1] == {"name": "HarbourBlue", "kind": "spot"}
    # 60 x 30 mm of 129 x 198 mm
    share = round(60 * 30 / (129 * 198), 4)
    assert cover["operations"] == [
        {"operation": "laminate", "finish": "matt"},
        {"operation": "foil", "finish": "holographic", "area_share": share},
    ]
    assert (found["proof"], found["quantities"]) == ("contract", [800])


def test_a_letterhead_takes_the_stock_that_it_names() -> None:
    found = job(LETTERHEAD)
    assert found["parts"][0]["stock"] == {"id": "laid_100"}
    assert (found["title"], found["dispatch"]) == ("Letterhead", "deliver")
    assert "back" not in found["parts"][0]


def test_a_label_may_be_more_than_its_amount_where_it_may_not_be_less() -> None:
    found = job(LABEL)
    assert (found["quantities"], found["overs_share"]) == ([40000], 0.05)
    assert found["parts"][0]["kind"] == "label"
    assert found["parts"][0]["stock"]["grade"] == "labelstock"
    assert found["parts"][0]["front"]["inks"][-1] == {"name": "GlossVarnish", "kind": "varnish"}


def test_a_tolerance_asks_for_no_copy_more() -> None:
    assert "overs_share" not in job(CARD)
    codes = {each.path[-1]: each.code for each in read(CARD).warnings}
    assert codes["MinAmount"] == codes["MaxAmount"] == "ignored"


def test_a_card_has_spot_colours_of_no_name_a_spot_of_varnish_and_round_corners() -> None:
    found = job(CARD)["parts"][0]
    spots = [{"name": "Spot", "kind": "spot"}, {"name": "Spot 2", "kind": "spot"}]
    assert found["back"]["inks"] == ["black", *spots]
    assert found["operations"] == [
        {"operation": "laminate", "finish": "soft_touch", "sides": 2},
        {"operation": "laminate"},
        {"operation": "varnish", "finish": "spot_uv"},
        {"operation": "round_corners", "count": 4},
        {"operation": "drill", "count": 1},
    ]


def test_the_end_of_production_is_due_where_no_delivery_tells() -> None:
    assert job(CARD)["due_at"] == "2027-02-01T16:00:00Z"
    assert job(CARTON)["due_at"] == "2027-04-01T12:00:00Z"


def test_a_letter_is_printed_over() -> None:
    found = job(LETTER)["parts"][0]
    assert found["overprint"] == {
        "front": {"inks": ["black"], "coverage": 0.01},
        "quality": "draft",
    }
    assert found["operations"] == [
        {"operation": "crease", "count": 2},
        {"operation": "perforate"},
    ]


def test_a_booklet_without_children_is_bound_in_itself() -> None:
    found = job(BOOKLET)
    assert found["binding"] == {"method": "saddle_stitch"}
    assert (found["parts"][0]["kind"], found["parts"][0]["pages"]) == ("section", 16)
    assert found["operations"] == [{"operation": "drill", "count": 2}]


def test_parts_take_from_the_root_what_they_do_not_tell() -> None:
    found = job(CALENDAR)
    front, leaves, back = found["parts"]
    assert front["size"] == leaves["size"] == back["size"] == {"width": 210, "height": 148}
    assert front["front"] == back["front"]
    assert leaves["per_copy"] == 12
    assert leaves["front"] == {"inks": []}
    assert found["binding"] == {"method": "wire", "edge": "top"}
    assumed = [each.detail for each in read(CALENDAR).warnings if each.path == (*P[:2], 2)]
    assert any("FinishedDimensions" in detail for detail in assumed)


def test_a_process_goes_by_its_name_in_the_standard() -> None:
    assert read(CALENDAR).body["processes"] == ["toner"]
    assert read(CALENDAR).body["rank_by"] == "readiness"


def test_a_process_that_nobody_runs_is_told_and_filters_nothing() -> None:
    path = (*P, "Intent", 4, "ProductionIntent", "PrintProcess")
    found = read(changed(LEAFLET, path, "Thermography"))
    assert "processes" not in found.body
    assert (path, "unknown_value") in [(each.path, each.code) for each in found.warnings]


def test_a_plug_in_brings_its_own_word_for_a_process() -> None:
    path = (*P, "Intent", 4, "ProductionIntent", "PrintProcess")
    own: dict[str, Process] = {"riso": replace(PROCESSES["toner"], standard_token="Stencil")}
    assert read_product(changed(LEAFLET, path, "Stencil"), own).body["processes"] == ["riso"]


@pytest.mark.parametrize(
    ("coating", "stock"),
    [
        ("Gloss", {"grade": "coated", "finish": "gloss"}),
        ("Matte", {"grade": "coated", "finish": "matt"}),
        ("Satin", {"grade": "coated", "finish": "silk"}),
        ("Coated", {"grade": "coated"}),
        ("None", {"grade": "uncoated"}),
    ],
)
def test_paper_goes_by_its_coating(coating: str, stock: dict[str, str]) -> None:
    assert part(paper(170, coating))["stock"] == {**stock, "grammage_gsm": 170}


@pytest.mark.parametrize(
    ("media", "stock", "warnings"),
    [
        ({"MediaType": "Paper"}, {"grade": "uncoated"}, {("MediaIntent", "assumed")}),
        (
            {"MediaType": "Paper", "ISOPaperSubstrate": "PS4"},
            {"grade": "coated", "finish": "matt"},
            {("ISOPaperSubstrate", "assumed")},
        ),
        (
            {"MediaType": "Paper", "ISOPaperSubstrate": "SNP"},
            {"grade": "newsprint"},
            {("ISOPaperSubstrate", "assumed")},
        ),
        ({"MediaType": "Vinyl", "Coating": "Gloss"}, {"grade": "vinyl", "finish": "gloss"}, set()),
        ({"MediaType": "CorrugatedBoard"}, {"grade": "corrugated"}, set()),
        ({"MediaType": "Paper", "MediaTypeDetails": "Cotton"}, {"grade": "cotton"}, set()),
        (
            {"MediaType": "Paper", "Coating": "None", "Texture": "Laid"},
            {"grade": "uncoated", "finish": "laid"},
            set(),
        ),
        (
            {"MediaType": "Paper", "Coating": "None", "MediaTypeDetails": "Parchment"},
            {"grade": "uncoated"},
            {("MediaTypeDetails", "unknown_value")},
        ),
        (
            {"MediaType": "Paper", "Coating": "Gloss", "BackCoating": "None"},
            {"grade": "coated", "finish": "gloss"},
            {("BackCoating", "ignored")},
        ),
    ],
)
def test_a_stock_goes_by_what_it_is_made_of(
    media: dict[str, str], stock: dict[str, str], warnings: set[tuple[str, str]]
) -> None:
    asked = intent("MediaIntent", Weight=100, **media)
    assert part(asked)["stock"] == {**stock, "grammage_gsm": 100}
    assert told(asked) == {("JobID", "ignored"), *warnings}


def test_without_stocks_their_names_are_told_and_not_known() -> None:
    source = read_product(LETTERHEAD, PROCESSES)
    assert source.body["job"]["parts"][0]["stock"] == {"grade": "uncoated", "grammage_gsm": 100}
    assert ("MediaQuality", "unknown_value") in {
        (each.path[-1], each.code) for each in source.warnings
    }


def test_a_stock_that_is_named_and_described_otherwise_is_told() -> None:
    asked = intent("MediaIntent", MediaType="Paper", Weight=90, Coating="Gloss", Texture="laid",
                   MediaQuality="laid_100")  # fmt: skip
    assert part(asked)["stock"] == {"id": "laid_100"}
    assert told(asked) == {("JobID", "ignored"), ("Weight", "ignored"), ("Coating", "ignored")}


@pytest.mark.parametrize(
    ("name", "pages", "folds", "codes"),
    [
        # Two and three panels have one and two folds, whichever way: each fold adds at least one
        # panel, and doubles them at most.
        ("F2-1", 2, None, set()),
        ("F4-1", 4, 1, set()),
        ("F6-1", 6, 2, set()),
        ("F6-X", 6, 2, set()),
        # a parallel, a gate and a barrel fold: XJDF 2.1 specification, table of product folds
        ("F8-2", 8, 2, set()),
        ("F8-4", 8, 3, set()),
        ("F8-5", 8, 3, set()),
        ("F8-X", 8, 2, {"assumed"}),
        ("F16-X", 16, 3, {"assumed"}),
    ],
)
def test_a_fold_tells_pages_and_folds(
    name: str, pages: int, folds: int | None, codes: set[str]
) -> None:
    asked = intent("FoldingIntent", FoldCatalog=name)
    found = part(asked)
    assert (found["pages"], found.get("folds")) == (pages, folds)
    assert {code for member, code in told(asked) if member == "FoldCatalog"} == codes


def test_folds_told_one_by_one_are_counted() -> None:
    folds = [{"From": "Left", "To": "Up", "Travel": 283.46} for _ in range(3)]
    found = part(intent("FoldingIntent", FoldCatalog="F8-X", Fold=folds))
    assert (found["pages"], found["folds"]) == (8, 3)


def test_pages_without_a_fold_are_folded_as_little_as_can_be() -> None:
    asked = layout(297.64, 419.53, Pages=8)
    assert (part(asked)["pages"], part(asked)["folds"]) == (8, 2)
    assert ("Pages", "assumed") in told(asked)


@pytest.mark.parametrize(
    ("sides", "printed"),
    [
        ("OneSided", (True, False)),
        ("OneSidedBack", (False, True)),
        ("TwoSidedHeadToHead", (True, True)),
        (None, (True, True)),
    ],
)
def test_sides_agree_with_their_inks(sides: str | None, printed: tuple[bool, bool]) -> None:
    surfaces = [
        {"Surface": name, "ColorsUsed": ["Black"]}
        for name, inked in zip(("Front", "Back"), printed, strict=True)
        if inked
    ]
    shape = layout(297.64, 419.53, **({"Sides": sides} if sides else {}))
    found = part(shape, intent("ColorIntent", SurfaceColor=surfaces))
    assert (bool(found["front"]["inks"]), "back" in found) == printed


def test_coatings_are_a_varnish_or_an_operation() -> None:
    surface = {"Surface": "Front", "ColorsUsed": CMYK, "Coatings": ["Aqueous", "SpotUV"]}
    found = part(intent("ColorIntent", SurfaceColor=[surface]))
    assert found["front"]["inks"][4:] == [{"name": "Aqueous", "kind": "varnish"}]
    assert found["operations"] == [{"operation": "varnish", "finish": "spot_uv"}]


@pytest.mark.parametrize(
    ("colours_used", "coverage", "share"),
    [
        # XJDF 2.1 specification, SurfaceColor: a full sheet of four solids has 400
        (CMYK, 400, 1),
        (CMYK, 45, 0.1125),
        (["Black"], 45, 0.45),
        ([*CMYK, "HarbourBlue", "UV"], 100, 0.2),
    ],
)
def test_a_coverage_is_that_of_all_inks_together(
    colours_used: list[str], coverage: float, share: float
) -> None:
    side = {"Surface": "Front", "ColorsUsed": colours_used, "Coverage": coverage}
    assert part(intent("ColorIntent", SurfaceColor=[side]))["front"]["coverage"] == share


@pytest.mark.parametrize(
    ("coatings", "finish"),
    [(["UV"], None), (["UV", "Gloss"], "gloss"), (["Matte", "UV"], "matt"), (["GlossUV"], "gloss")],
)
def test_uv_is_varnished_off_line(coatings: list[str], finish: str | None) -> None:
    side = {"Surface": "Front", "ColorsUsed": ["Black"], "Coatings": coatings}
    found = part(intent("ColorIntent", SurfaceColor=[side]))
    assert found["front"]["inks"] == ["black"]
    assert [each.get("finish") for each in found["operations"]] == [finish]


def test_a_box_is_cut_stripped_and_glued() -> None:
    shape = intent("LayoutIntent", Dimensions=[510.24, 680.31])
    cut = intent("ShapeCuttingIntent", ShapeCut=[{"ShapeType": "Path"}])
    film = intent("LaminatingIntent", Surface=["Front"])
    assert part(shape, cut, ProductType="FlatBox")["kind"] == "carton"
    assert "operations" not in part(shape, cut, ProductType="FlatBox")
    made = ["die_cut", "strip", "glue"]
    for kind, names in (("FlatBox", ["laminate", *made]), ("BlankBox", ["laminate", *made[:2]])):
        asked = part(shape, cut, film, ProductType=kind)["operations"]
        assert [each["operation"] for each in asked] == names


def test_bleed_of_no_known_width_is_as_usual() -> None:
    assert "bleed_mm" not in job(LABEL)["parts"][0]
    assert any(each.path[-1] == "Bleed" for each in read(LABEL).warnings)


def test_a_size_may_be_told_by_its_name() -> None:
    assert job(LETTER)["parts"][0]["size"] == {"width": 210, "height": 297}


@pytest.mark.parametrize(
    ("word", "processes"),
    [
        ("Lithography", ["sheetfed_litho", "web_litho"]),
        ("OffsetLithography", ["sheetfed_litho", "web_litho"]),
        ("InkJet", ["continuous_inkjet", "dod_inkjet"]),
        ("Rotogravure", ["gravure"]),
        ("ScreenPrinting", ["screen"]),
        (["Electrophotography", "InkJet"], ["continuous_inkjet", "dod_inkjet", "toner"]),
    ],
)
def test_a_process_goes_by_the_words_of_either_standard(word: Any, processes: list[str]) -> None:
    path = (*P, "Intent", 4, "ProductionIntent", "PrintProcess")
    assert read(changed(LEAFLET, path, word)).body["processes"] == processes


def test_a_film_goes_on_before_the_varnish() -> None:
    surface = {"Surface": "Front", "ColorsUsed": CMYK, "Coatings": ["SpotUV"]}
    colour = intent("ColorIntent", SurfaceColor=[surface])
    film = intent("LaminatingIntent", Surface="Front", Texture="matte")
    for order in ((colour, film), (film, colour)):
        names = [each["operation"] for each in part(*order)["operations"]]
        assert names == ["laminate", "varnish"]


@pytest.mark.parametrize(
    ("kind", "method"),
    [
        ("SaddleStitch", "saddle_stitch"),
        ("SideStitch", "side_stitch"),
        ("SoftCover", "perfect_bind"),
        ("HardCover", "case"),
        ("EdgeGluing", "pad"),
        ("CoilBinding", "coil"),
        ("WireComb", "wire"),
    ],
)
def test_a_binding_is_a_method(kind: str, method: str) -> None:
    found = job(changed(BOOKLET, (*P, "Intent", 3, "BindingIntent", "BindingType"), kind))
    assert found["binding"] == {"method": method}


def test_parts_may_be_loose() -> None:
    found = job(changed(BOOK, (*P, "Intent", 0, "BindingIntent", "BindingType"), "None"))
    assert "binding" not in found
    assert len(found["parts"]) == 2


def test_what_differs_may_be_printed_with_the_rest() -> None:
    asked = intent("VariableIntent", VariableType="Area", VariableQuality="Full", Area=0.25)
    assert part(asked)["variable_share"] == 0.25
    assert "overprint" not in part(asked)
    unknown = intent("VariableIntent", VariableType="OneLine", VariableQuality="Full")
    assert 0 < part(unknown)["variable_share"] < 0.05
    assert ("VariableType", "assumed") in told(unknown)


@pytest.mark.parametrize(
    ("resources", "dispatch"),
    [
        ([delivery(Transfer="PrinterToBuyerDeliver")], "deliver"),
        ([delivery(Transfer="PrinterToBuyerPickup", Method="Van")], "collect"),
        ([delivery(Method="Van")], "deliver"),
        ([delivery(Transfer="BuyerToPrinterDeliver")], None),
        ([], None),
    ],
)
def test_how_it_leaves_the_printer(resources: list[Document], dispatch: str | None) -> None:
    assert job({**LABEL, "ResourceSet": resources}).get("dispatch") == dispatch


def test_the_amount_of_a_delivery_stands_in_for_the_product_s() -> None:
    source = changed(LEAFLET, (*P, "Amount"), None)
    assert job(source)["quantities"] == [2500]
    assert any(each.code == "assumed" for each in read(source).warnings)


def test_a_delivery_of_a_part_of_it_is_told() -> None:
    path = ("ResourceSet", 1, "Resource", 0, "DeliveryParams", "DropItem", 0, "Amount")
    found = read(changed(LEAFLET, path, 500))
    assert found.body["job"]["quantities"] == [2500]
    assert path in [each.path for each in found.warnings]


def test_delivery_comes_before_the_end_of_production() -> None:
    ends = {"Name": "NodeInfo", "Resource": [{"NodeInfo": {"End": "2027-03-01T12:00:00Z"}}]}
    source = {**LEAFLET, "ResourceSet": [ends, *LEAFLET["ResourceSet"]]}
    assert job(source)["due_at"] == "2027-03-05T12:00:00+01:00"
    assert ("ResourceSet", 0, "Resource", 0, "NodeInfo", "End") in [
        each.path for each in read(source).warnings
    ]


def test_one_product_needs_no_mark_of_a_root() -> None:
    for mark in (None, False, True):
        source = changed(LABEL, (*P, "IsRoot"), mark)
        assert job(source)["quantities"] == [40000]


def test_a_product_that_nobody_refers_to_is_the_root() -> None:
    assert job(changed(BOOK, (*P, "IsRoot"), None)) == job(BOOK)


def test_an_intent_that_is_empty_is_no_wish() -> None:
    found = read(changed(LEAFLET, (*P, "Intent", 3, "FoldingIntent"), None))
    assert ((*P, "Intent", 3), "ignored") in [(each.path, each.code) for each in found.warnings]


def test_a_document_without_inks_or_stock_lacks_them_in_its_intents() -> None:
    found = read(document(product("P", layout(297.64, 419.53), Amount=5)))
    faults = {in_document(each, found.origins).pointer for each in load_request(found.body)[1]}
    assert faults == {"#/ProductList/Product/0/Intent"}


def test_the_longest_path_that_leads_to_a_fault_decides() -> None:
    path = (*P, "Intent", 0, "LayoutIntent", "FinishedDimensions", 1)
    found = read(changed(LEAFLET, path, 1))
    (fault,) = load_request(found.body)[1]
    assert fault.path == ("job", "parts", 0, "size", "height")
    assert in_document(fault, found.origins).path == path
    assert in_document(fault, found.origins, ("xjdf",)).path == ("xjdf", *path)


def test_many_warnings_are_counted_rather_than_told() -> None:
    many = {f"x{n}": n for n in range(2000)}
    found = read({**LEAFLET, **many})
    assert len(found.warnings) == 501
    assert found.warnings[-1].code == "more"
    assert "1,504" in found.warnings[-1].detail


@pytest.mark.parametrize("name", ["LayoutIntent", "MediaIntent", "ColorIntent"])
def test_an_intent_that_lacks_is_named(name: str) -> None:
    given = {
        "LayoutIntent": layout(298, 420),
        "MediaIntent": paper(135, "Gloss"),
        "ColorIntent": colours(["Black"]),
    }
    source = document(product("P1", *(given[each] for each in given if each != name), Amount=5))
    found = read(source)
    _, faults = load_request(found.body)
    told = [in_document(fault, found.origins) for fault in faults]
    assert [(each.path[-1], each.detail) for each in told] == [
        ("Intent", f"Expected {name} among them.")
    ]


def test_a_part_without_a_name_is_called_by_its_id() -> None:
    """So that works orders say cover, and not part 1; an ID that only counts is no name."""
    inside = (layout(298, 420), paper(135, "Gloss"), colours(["Black"], ["Black"]))

    def names(*children: Document) -> list[str | None]:
        bound = intent("BindingIntent", BindingType="None", ChildRefs=[c["ID"] for c in children])
        source = document(product("whole", bound, IsRoot=True, Amount=5), *children)
        return [each.get("name") for each in job(source)["parts"]]

    slip = product("slip", *inside)
    assert names(slip, product("P3", *inside)) == ["slip", None]
    assert names(slip, product("x" * 81, *inside)) == ["slip", None]
    named = product("map_2", *inside, DescriptiveName="Map")
    assert names(named, slip) == ["Map", "slip"]
