"""Operations of a product: films, embossing, cuts, holes and creases."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from .draft import Wish
from .notes import Node
from .points import exact, mm_of, plain
from .product import Product
from .words import (
    CREASE,
    CUT_TYPES,
    DIE_CUT,
    DRILL,
    EMBOSS,
    EMBOSSINGS,
    FILMS,
    FOIL,
    FOILS,
    LAMINATE,
    PERFORATE,
    ROUND_CORNERS,
    SHAPES,
    SURFACES,
)

_HOLE_PATTERN = re.compile(r"R([0-9]{1,2})[a-z]?-.*")
LEAST_SHARE, CORNERS = 0.0001, 4
Size = tuple[float, float]


def read_operations(product: Product, size: Size | None, folds: int = 0) -> list[Wish]:
    """Return the operations that a product's own intents ask for.

    size: of the piece [mm]; folds: that it has
    """
    wishes = _films(product)
    for each in product.intents.get("EmbossingIntent", ()):
        for item in each.children("EmbossingItem"):
            wishes += _embossed(item, size)
    for each in product.intents.get("ShapeCuttingIntent", ()):
        wishes += _cuts(each)
    for each in product.intents.get("HoleMakingIntent", ()):
        wishes += [_holes(item) for item in each.children("HolePattern")]
    folding = product.own("FoldingIntent")
    if folding:
        wishes += _lines(folding, folds)
    return wishes


def _films(product: Product) -> list[Wish]:
    found: dict[str, tuple[Wish, set[str]]] = {}
    wishes: list[Wish] = []
    for each in product.intents.get("LaminatingIntent", ()):
        surfaces = _surfaces(each)
        finish = _finish(each, "Texture", FILMS)
        if finish in found and not surfaces & found[finish][1]:
            found.pop(finish)[0].operation["sides"] = 2
            continue
        wish = Wish({"operation": LAMINATE} | ({"finish": finish} if finish else {}), each.path)
        if len(surfaces) > 1:
            wish.operation["sides"] = 2
        else:
            found[finish] = wish, surfaces
        wishes.append(wish)
        if surfaces == {"Back"}:
            each.warn("Surface", "assumed", "Read as one side; which one has no bearing here.")
    return wishes


def _surfaces(node: Node) -> set[str]:
    """Return the sides that a film goes on."""
    told = node.one_or_more("Surface", required=True)
    for where, word in told:
        if word not in SURFACES:
            node.notes.fault(where, "unknown_value", f"Expected one of {', '.join(SURFACES)}.")
    return {word for _, word in told}


def _finish(node: Node, name: str, known: Mapping[str, str]) -> str:
    """Return the finish that a word of an open list stands for, "" where none is told."""
    word = node.text(name)
    if word is None:
        return ""
    for each, finish in known.items():
        if each.casefold() == word.casefold():
            return finish
    detail = f"Not known here: any finish is taken; known are {', '.join(known)}."
    node.warn(name, "unknown_value", detail)
    return ""


def _embossed(item: Node, size: Size | None) -> list[Wish]:
    kind = item.word("EmbossingType", EMBOSSINGS, required=True)
    where = item.at("EmbossingType")
    if kind is None:
        return []
    share = _share(item, size)
    wishes = []
    if kind != "FoilStamping":
        wishes.append(Wish({"operation": EMBOSS} | share, where))
    if kind in ("FoilStamping", "FoilEmbossing"):
        finish = _foil(item)
        wishes.append(Wish({"operation": FOIL} | ({"finish": finish} if finish else {}) | share,
                           where))  # fmt: skip
    if kind in ("Braille", "EmbossedFinish"):
        item.warn("EmbossingType", "assumed", "Read as plain embossing.")
    return wishes


def _foil(item: Node) -> str:
    """Return the finish of a foil; FoilColorDetails tells what FoilColor cannot."""
    details = item.value.get("FoilColorDetails")
    if isinstance(details, str) and details.casefold() in FOILS.values():
        item.text("FoilColorDetails")
        return details.casefold()
    return _finish(item, "FoilColor", FOILS)


def _share(item: Node, size: Size | None) -> dict[str, Any]:
    """Return the share of the piece that an image covers, nothing where it is not told."""
    image = None if size is None else item.numbers("ImageSize", 2)
    if image is None or size is None or min(size) <= 0:
        return {}
    area = exact(mm_of(image[0])) * exact(mm_of(image[1]))
    share = plain(area / (exact(size[0]) * exact(size[1])), 4)
    if not LEAST_SHARE <= share <= 1:
        item.fault("ImageSize", "out_of_range", "Expected an image that lies on the piece.")
        return {}
    return {"area_share": share}


def _cuts(intent: Node) -> list[Wish]:
    wishes: dict[str, Wish] = {}
    for cut in intent.children("ShapeCut"):
        shape = cut.word("ShapeType", SHAPES, required=True)
        perforated = cut.word("CutType", CUT_TYPES) == "Perforate"
        if shape is None:
            continue
        name = _cut(shape, perforated=perforated)
        where = cut.at("ShapeType")
        if name not in wishes:
            wishes[name] = Wish({"operation": name}, where)
            if name == ROUND_CORNERS:
                wishes[name].operation["count"] = CORNERS
        elif name == PERFORATE:
            wishes[name].operation["count"] = wishes[name].operation.get("count", 1) + 1
        else:
            cut.notes.warn(cut.path, "ignored", "Made in one go with the one before.", whole=True)
    return list(wishes.values())


def _cut(shape: str, *, perforated: bool) -> str:
    if perforated:
        return PERFORATE
    return ROUND_CORNERS if shape == "RoundedRectangle" else DIE_CUT


def _holes(pattern: Node) -> Wish:
    count = pattern.amount("HoleCount")
    if count is not None:
        return Wish({"operation": DRILL, "count": count}, pattern.at("HoleCount"))
    name = pattern.text("Pattern")
    where = pattern.at("Pattern") if name is not None else pattern.path
    match = _HOLE_PATTERN.fullmatch(name or "")
    if match and int(match[1]):
        return Wish({"operation": DRILL, "count": int(match[1])}, where)
    detail = "The number of holes is not told in a way that is read here: read as one hole."
    code = "assumed" if name is None else "unknown_value"
    pattern.notes.warn(where, code, detail)
    return Wish({"operation": DRILL}, where)


def _lines(folding: Node, folds: int) -> list[Wish]:
    wishes = []
    for member, name in (("Crease", CREASE), ("Perforate", PERFORATE)):
        lines = folding.children(member)
        count = len(lines)
        placed = any(":" not in each for line in lines for each in line.value)
        if count == 1 and folds > 1 and folding.has("FoldCatalog") and not placed:
            count = folds
            detail = "No place is told: read as one at each fold, to fold better."
            folding.warn(member, "assumed", detail)
        if count:
            operation = {"operation": name} | ({"count": count} if count > 1 else {})
            wishes.append(Wish(operation, folding.at(member)))
    return wishes
