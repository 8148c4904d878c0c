"""XJDF documents of product intent in their JSON form, invented, and parts to make others of."""

from __future__ import annotations

import copy
from typing import Any

CMYK = ["Cyan", "Magenta", "Yellow", "Black"]
Document = dict[str, Any]

# Fault codes told of documents only; tests/http/test_xjdf_faults.py has a case of each.
CODES_OF_DOCUMENTS = (
    "unsupported",
    "several_roots",
    "unknown_product",
    "circular_reference",
    "same_id_twice",
)


def intent(name: str, **members: Any) -> Document:
    """One intent as a product lists it."""
    return {"Name": name, name: members}


def product(id_: str, *intents: Document, **members: Any) -> Document:
    """One product."""
    return {"ID": id_, **members, "Intent": list(intents)}


def document(*products: Document, **members: Any) -> Document:
    """A document of products. members: more of the document's own"""
    head = {"Name": "XJDF", "Version": "2.2", "JobID": "Q-1", "Types": ["Product"]}
    return {**head, "ProductList": {"Product": list(products)}, **members}


def surface(side: str, colours: list[str], **members: Any) -> Document:
    """One side of a ColorIntent."""
    return {"Surface": side, "ColorsUsed": colours, **members}


def delivery(**members: Any) -> Document:
    """A resource set of delivery."""
    return {
        "Name": "DeliveryParams",
        "Usage": "Input",
        "Resource": [{"DeliveryParams": members}],
    }


def paper(weight: float, coating: str, **members: Any) -> Document:
    """A MediaIntent of paper."""
    return intent("MediaIntent", MediaType="Paper", Weight=weight, Coating=coating, **members)


def colours(front: list[str], back: list[str] | None = None) -> Document:
    """A ColorIntent of plain colours."""
    sides = [surface("Front", front), *([surface("Back", back)] if back else [])]
    return intent("ColorIntent", SurfaceColor=sides)


def layout(width: float, height: float, **members: Any) -> Document:
    """A LayoutIntent by its finished size [pt]."""
    return intent("LayoutIntent", FinishedDimensions=[width, height, 0], **members)


# Six pages, 99 x 210 mm, from A4 landscape; bleed 3 mm.
LEAFLET = document(
    product(
        "P1",
        layout(
            280.63,
            595.28,
            Dimensions=[841.89, 595.28],
            Bleed=8.5,
            Pages=6,
            Sides="TwoSidedHeadToHead",
        ),
        paper(135, "Gloss", Thickness=105, BackCoating="Gloss"),
        intent(
            "ColorIntent",
            SurfaceColor=[surface("Front", CMYK, Coverage=180), surface("Back", ["Black"])],
        ),
        intent("FoldingIntent", FoldCatalog="F6-4", Crease=[{}]),
        intent("ProductionIntent", PrintPreference="CostEffective", PrintProcess="Lithography"),
        IsRoot=True,
        Amount=2500,
        ProductType="Brochure",
        DescriptiveName="Open day leaflet",
    ),
    ResourceSet=[
        {
            "Name": "CustomerInfo",
            "Usage": "Input",
            "Resource": [{"CustomerInfo": {"CustomerID": "C42"}}],
        },
        delivery(
            Required="2027-03-05T12:00:00+01:00", DropItem=[{"Amount": 2500, "ItemRef": "P1"}]
        ),
    ],
)

# 240 pages, 129 x 198 mm, sewn, in a laminated cover.
BOOK = document(
    product(
        "B",
        intent(
            "BindingIntent",
            BindingType="SoftCover",
            BindingSide="Left",
            ChildRefs=["text", "cover"],
            SoftCoverBinding={"BlockThreadSewing": True, "SpineGlue": "Hotmelt"},
        ),
        intent("ProductionIntent", PrintPreference="Balanced", PrintProcess="OffsetLithography"),
        intent("ContentCheckIntent", ProofItem=[{"Contract": True, "Amount": 1}]),
        IsRoot=True,
        Amount=800,
        ProductType="Book",
        DescriptiveName="Walks around the estuary",
    ),
    product(
        "text",
        layout(365.67, 561.26, Pages=240, Sides="TwoSidedHeadToHead", SpreadType="SinglePage"),
        paper(80, "None", StockType="Bookwove", GrainDirection="YDirection"),
        colours(["Black"], ["Black"]),
        IsRoot=False,
        Amount=1,
        ProductType="BookBlock",
        DescriptiveName="text",
    ),
    product(
        "cover",
        layout(365.67, 561.26, Bleed=8.5, Sides="OneSided"),
        paper(240, "Satin"),
        colours([*CMYK, "HarbourBlue"]),
        intent("LaminatingIntent", Surface=["Front"], Texture="Matte", Thickness=27),
        intent(
            "EmbossingIntent",
            EmbossingItem=[
                {
                    "EmbossingType": "FoilStamping",
                    "FoilColor": "Silver",
                    "FoilColorDetails": "Holographic",
                    "ImageSize": [170.08, 85.04],
                }
            ],
        ),
        IsRoot=False,
        Amount=1,
        ProductType="Cover",
        DescriptiveName="cover",
    ),
)

# A4, black and a spot colour, one side.
LETTERHEAD = document(
    product(
        "P1",
        intent("LayoutIntent", Dimensions=[595.28, 841.89], Pages=1, Sides="OneSided"),
        paper(100, "None", MediaQuality="laid_100", BuyerSupplied=False),
        colours(["Black", "DeepGreen"]),
        Amount=1000,
        ProductType="Stationery",
    ),
    DescriptiveName="Letterhead",
    ResourceSet=[delivery(Transfer="PrinterToBuyerDeliver", Method="Van")],
)

# 70 x 100 mm, self-adhesive, round corners by the die.
LABEL = document(
    product(
        "P1",
        layout(198.43, 283.46, Bleed=-1),
        intent("MediaIntent", MediaType="SelfAdhesive", Weight=155, Opacity="Opaque"),
        intent(
            "ColorIntent", SurfaceColor=[surface("Front", CMYK, Coatings=["GlossVarnish"])]
        ),
        IsRoot=True,
        Amount=40000,
        MinAmount=40000,
        MaxAmount=42000,
        ProductType="Label",
        DescriptiveName="Jam label",
    ),
)

# 85 x 55 mm, film on both sides, round corners.
CARD = document(
    product(
        "P1",
        layout(240.94, 155.91, Bleed=5.67, Pages=2, Sides="TwoSidedHeadToFoot"),
        paper(350, "Satin", BackCoating="Satin"),
        colours(CMYK, ["Black", "Spot", "Spot", "UV"]),
        intent("LaminatingIntent", Surface=["Front", "Back"], Texture="SoftTouch"),
        intent("LaminatingIntent", Surface=["Back"], Temperature="Cold"),
        intent("ShapeCuttingIntent", ShapeCut=[{"ShapeType": "RoundedRectangle"}]),
        intent("HoleMakingIntent", HolePattern=[{"HoleCount": 1, "Shape": "Round"}]),
        IsRoot=True,
        Amount=500,
        MinAmount=450,
        MaxAmount=550,
        ProductType="BusinessCard",
        DescriptiveName="Cards, rounded",
    ),
    ResourceSet=[
        {
            "Name": "NodeInfo",
            "Resource": [{"NodeInfo": {"End": "2027-02-01T16:00:00Z", "JobPriority": 50}}],
        },
    ],
)

# A letter whose address differs, on what is printed for all.
LETTER = document(
    product(
        "P1",
        intent("LayoutIntent", NamedDimensions="A4", Pages=2, Sides="TwoSidedHeadToHead"),
        paper(80, "None"),
        colours(["Black"], ["Black"]),
        intent(
            "VariableIntent",
            VariableType="AddressField",
            VariableQuality="Simple",
            ColorsUsedFront=["Black"],
        ),
        intent("FoldingIntent", Crease=[{}, {}], Perforate=[{"TeethPerDimension": 12}]),
        IsRoot=True,
        Amount=12000,
        ProductType="Letter",
        DescriptiveName="Members' letter",
    ),
)

# 16 pages, stitched in themselves.
BOOKLET = document(
    product(
        "P1",
        layout(419.53, 595.28, Pages=16, Bleed=8.5),
        paper(130, "Satin"),
        colours(CMYK, CMYK),
        intent(
            "BindingIntent",
            BindingType="SaddleStitch",
            BindingOrder="Collecting",
            SaddleStitching={"StitchNumber": 2},
        ),
        intent("HoleMakingIntent", HolePattern=[{"Pattern": "R2m-DIN"}]),
        IsRoot=True,
        Amount=750,
        ProductType="Booklet",
        DescriptiveName="Season programme",
    ),
)

# Twelve leaves and two covers on wire, which take size and inks from the whole; holes through all.
CALENDAR = document(
    product(
        "C",
        layout(595.28, 419.53, Bleed=8.5),
        colours(CMYK),
        intent(
            "BindingIntent",
            BindingType="WireComb",
            BindingSide="Bottom",
            ChildRefs=["front", "leaves", "back"],
        ),
        intent("HoleMakingIntent", HolePattern=[{"Pattern": "R1-hanger"}]),
        intent("LaminatingIntent", Surface=["Back"], Texture="Linen", Temperature="Hot"),
        intent(
            "EmbossingIntent",
            EmbossingItem=[{"EmbossingType": "BlindEmbossing", "ImageSize": [85.04, 85.04]}],
        ),
        intent(
            "ProductionIntent",
            PrintProcess="Electrophotography",
            PrintPreference="Fastest",
        ),
        Amount=300,
        DescriptiveName="Harbour calendar",
        Comment=[{"Text": "As last year"}],
    ),
    product("front", paper(350, "Gloss"), ProductType="FrontCover"),
    product(
        "leaves",
        intent("LayoutIntent", Pages=2, Sides="OneSidedBack", SpreadType="Spread"),
        intent(
            "MediaIntent",
            MediaType="Paper",
            Weight=170,
            ISOPaperSubstrate="PS3",
            GrainDirection="XDirection",
            MediaQuality="Estuary Gloss",
            Certification=[{"Organization": "None"}],
        ),
        intent("ColorIntent", SurfaceColor=[surface("Back", ["Black", "Silver"])]),
        Amount=12,
    ),
    product("back", paper(350, "Gloss"), ProductType="BackCover"),
    product("other", paper(80, "None"), IsRoot=False),
    AuditPool=[{"Name": "Created"}],
)

# A blank of 180 x 240 mm, cut, embossed and coated on press.
CARTON = document(
    product(
        "P1",
        intent(
            "LayoutIntent",
            Dimensions=[510.24, 680.31],
            FinishedDimensions=[170.08, 340.16, 85.04],
            Bleed=8.5,
        ),
        paper(300, "Coated", BackCoating="None", MediaTypeDetails="Board"),
        intent(
            "ColorIntent",
            SurfaceColor=[surface("Front", CMYK, Coatings=["UV", "Gloss", "RubResistant"],
                                  PrintStandard="FOGRA51")],
        ),
        intent("ShapeCuttingIntent", ShapeCut=[
            {"ShapeType": "Path"}, {"ShapeType": "Rectangular", "CutBox": [0, 0, 9, 9]},
            {"ShapeType": "Line", "CutType": "Perforate"}]),
        intent("EmbossingIntent", EmbossingItem=[
            {"EmbossingType": "Braille"}, {"EmbossingType": "FoilEmbossing", "FoilColor": "Jade"}]),
        intent("AcmeIntent", Level=3),
        intent("VariableIntent", VariableType="OneLine", Area=0.05),
        Amount=20000,
        ProductType="Carton",
    ),
    ResourceSet=[
        delivery(Required="2027-04-01T12:00:00Z", Transfer="PrinterToBuyerPickup",
                 DropItem=[{"Amount": 8000, "ItemRef": "P1"}, {"Amount": 12000, "ItemRef": "P1"}]),
        delivery(Required="2027-05-01T12:00:00Z"),
        {"Name": "NodeInfo", "Resource": [{"NodeInfo": {"LastEnd": "2027-03-01T12:00:00Z"}}]},
    ],
)  # fmt: skip

DOCUMENTS = {
    "calendar": CALENDAR,
    "carton": CARTON,
    "leaflet": LEAFLET,
    "book": BOOK,
    "letterhead": LETTERHEAD,
    "label": LABEL,
    "card": CARD,
    "letter": LETTER,
    "booklet": BOOKLET,
}


def changed(source: Document, path: tuple[str | int, ...], value: Any) -> Document:
    """Return a copy with one member set; value None to delete it."""
    copied: Document = copy.deepcopy(source)
    place: Any = copied
    for step in path[:-1]:
        place = place[step]
    if value is None:
        del place[path[-1]]
    else:
        place[path[-1]] = value
    return copied


def paths(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Return the paths of every member and item, outer ones first."""
    inner: list[tuple[str | int, Any]] = []
    if isinstance(value, dict):
        inner = list(value.items())
    elif isinstance(value, list):
        inner = list(enumerate(value))
    found: list[tuple[str | int, ...]] = []
    for step, item in inner:
        found += [(*path, step), *paths(item, (*path, step))]
    return found
