"""A part of the job as a product."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ...paper_sizes import MM_PER_INCH, UnknownSize, named_size
from ...stock import Stock
from .notes import Node
from .points import exact, plain, points_of
from .read_folds import least_folds
from .read_operations import Size
from .read_part import grain_along
from .words import BLANK, BLANK_BOX, BOX, FLAT_WORK, FOLDS_BY_NAME, PRODUCT_TYPES, VARIABLE_COVERAGE
from .write_media import colour_intent, ink_tokens, media_intent
from .write_operations import PART_OPERATIONS, write_operations

Intent = dict[str, Any]
# Members of a part that say nothing where they have these values.
_DEFAULTS: Mapping[str, Any] = {
    "grain": "any",
    "variable_share": 0,
    "impression": "flat",
    "kept_carriers": [],
    "per_copy": 1,
    "folds": 0,
}


def write_part(part: Node, stocks: Mapping[str, Stock]) -> tuple[dict[str, Any], list[Intent]]:
    """Return type and intents of the product that a part is."""
    kind = part.text("kind") or "leaf"
    stock = part.child("stock")
    media = media_intent(stock, stocks) if stock else None
    product_type = _product_type(kind, part, media)
    size, flat = size_mm(part, "size"), size_mm(part, "flat_size")
    asked = part.children("operations")
    if kind == "carton":
        asked, product_type = _of_box(part, asked, product_type)
    folds = part.value.get("folds") or 0
    operations = write_operations(asked, size, only=PART_OPERATIONS, folds=folds)
    colour, sides = colour_intent(part, operations.varnishes)
    layout = _layout(part, kind, size, flat)
    if sides:
        layout["Sides"] = sides
    if media is not None:
        _put_grain(part, media, kind, size, flat)
    folding = operations.folding | _folding(part)
    intents: list[tuple[str, Intent | None]] = [
        ("LayoutIntent", layout),
        ("MediaIntent", media),
        ("ColorIntent", colour),
        ("FoldingIntent", folding or None),
        *operations.intents,
        ("VariableIntent", _variable(part)),
    ]
    for name, default in _DEFAULTS.items():
        if part.value.get(name) == default:
            part.notes.read(part.at(name))
    head = {"ProductType": product_type} if product_type else {}
    return head, [wrapped(name, intent) for name, intent in intents if intent is not None]


def _of_box(part: Node, asked: list[Node], product_type: str) -> tuple[list[Node], str]:
    """Return what is done to a box beside making it, and what it then is."""
    names = [each.value.get("operation") for each in asked]
    for made, word in ((BOX, product_type), (BLANK, BLANK_BOX)):
        if all(name in names for name in made):
            for each in asked:
                if each.value.get("operation") in made:
                    each.text("operation")
            return [each for each in asked if each.value.get("operation") not in made], word
    if asked:
        part.warn("operations", "not_said", "A box is read as cut, stripped and glued.")
    return asked, product_type


def wrapped(name: str, intent: Intent) -> Intent:
    """Return an intent as the list of a product holds it."""
    return {"Name": name, name: intent}


def _product_type(kind: str, part: Node, media: Intent | None) -> str:
    material = media["MediaType"] if media else ""
    if kind == "leaf":
        return FLAT_WORK if material in ("SelfAdhesive", "Textile") else ""
    if kind not in PRODUCT_TYPES and not (kind == "piece" and material == "Textile"):
        part.warn("kind", "not_said", f"Product intent has no word for a {kind} here.")
    return PRODUCT_TYPES.get(kind, "")


def size_mm(part: Node, name: str) -> Size | None:
    """Return a size [mm], told by name or by its sides."""
    told = part.value.get(name)
    if isinstance(told, str):
        part.text(name)
        try:
            return named_size(told)
        except UnknownSize:
            part.fault(name, "unknown_size", "No size has this name.")
            return None
    sides = part.child(name)
    if sides is None:
        return None
    width, height, unit = sides.number("width"), sides.number("height"), sides.text("unit")
    if width is None or height is None:
        return None
    factor = exact(MM_PER_INCH) if unit == "in" else exact(1)
    return plain(exact(width) * factor, 4), plain(exact(height) * factor, 4)


def _layout(part: Node, kind: str, size: Size | None, flat: Size | None) -> Intent:
    layout: Intent = {}
    if size is not None and kind == "carton":
        layout["Dimensions"] = [points_of(side) for side in size]
    elif size is not None:
        layout["FinishedDimensions"] = [*(points_of(side) for side in size), 0]
    if flat is not None:
        layout["Dimensions"] = [points_of(side) for side in flat]
    bleed = part.number("bleed_mm")
    if bleed is not None:
        layout["Bleed"] = points_of(bleed)
    pages = part.amount("pages")
    if pages is not None:
        layout["Pages"] = pages
    return layout


def _put_grain(
    part: Node, media: Intent, kind: str, size: Size | None, flat: Size | None
) -> None:
    grain = part.text("grain")
    if grain == "any":
        media["GrainDirection"] = "Any"
    elif grain is not None and size is not None:
        along = grain_along(kind, size, flat, part.value.get("pages") or 0)
        follows_width = along == (grain == "long")
        media["GrainDirection"] = "XDirection" if follows_width else "YDirection"


def _folding(part: Node) -> Intent:
    """Return the folds: by a name where it stands for so many, else one by one as well."""
    pages, folds = part.value.get("pages"), part.value.get("folds")
    if not isinstance(folds, int) or not folds:
        return {}
    part.number("folds")
    name = f"F{pages}-X"
    folding: Intent = {} if pages is None else {"FoldCatalog": name}
    panels = int(pages or 0) // 2
    if pages is None or FOLDS_BY_NAME.get(name, least_folds(panels)) != folds:
        folding["Fold"] = [{"From": "Left", "To": "Up"} for _ in range(folds)]
        detail = "Written fold by fold; which way each goes is not known, and made up."
        part.warn("folds", "assumed", detail)
    return folding


def _variable(part: Node) -> Intent | None:
    over, share = part.child("overprint"), part.number("variable_share")
    if over is None and not share:
        return None
    intent: Intent = {"VariableType": "Area", "VariableQuality": "Full"}
    if share:
        intent["Area"] = share
    if over is None:
        return intent
    return intent | _overprint(over)


def _overprint(over: Node) -> Intent:
    coverages = {each: kind for kind, each in reversed(list(VARIABLE_COVERAGE.items()))}
    quality = over.value.get("quality")
    intent: Intent = {"VariableType": "Area", "VariableQuality": "Imprint"}
    if quality == "draft":
        over.text("quality")
        intent["VariableQuality"] = "Simple"
    for name, member in (("front", "ColorsUsedFront"), ("back", "ColorsUsedBack")):
        side = over.child(name)
        if side is None:
            continue
        intent[member] = ink_tokens(side)
        coverage = side.value.get("coverage")
        if coverage in coverages:
            side.number("coverage")
            intent["VariableType"] = coverages[coverage]
    return intent
