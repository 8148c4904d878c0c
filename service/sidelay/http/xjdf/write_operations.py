"""Operations of a part or of the job as intents."""

from __future__ import annotations

from typing import Any

from .notes import Node
from .points import exact, plain, points_of
from .read_operations import CORNERS, Size
from .words import (
    CREASE,
    DIE_CUT,
    DRILL,
    EMBOSS,
    FILMS,
    FOIL,
    FOILS,
    GLUE,
    LAMINATE,
    OPERATION_ORDER,
    PERFORATE,
    ROUND_CORNERS,
    STRIP,
    SURFACES,
    VARNISH,
)

Intent = dict[str, Any]
Intents = list[tuple[str, Intent]]
HOLOGRAPHIC = "holographic"
_DEFAULTS = {"sides": 1, "count": 1, "area_share": 1}


class Written:
    """Operations as intents.

    intents: by name, in order; varnishes: operations that ColorIntent tells; folding: creases and
    perforations, which FoldingIntent tells
    """

    def __init__(self) -> None:
        self.intents: Intents = []
        self.varnishes: list[Node] = []
        self.folding: Intent = {}


def write_operations(
    operations: list[Node], size: Size | None, *, only: tuple[str, ...], folds: int = 0
) -> Written:
    """Return operations as intents.

    size: of the piece [mm]; only: operations that can be told; folds: of the piece
    """
    written = Written()
    _check_order(operations)
    items: dict[str, list[Intent]] = {}
    for operation in operations:
        name = operation.text("operation")
        _pass_defaults(operation)
        if name not in only:
            detail = "Product intent has no word for it here."
            operation.notes.warn(operation.path, "not_said", detail, whole=True)
        elif name == LAMINATE:
            written.intents += _films(operation)
        elif name == VARNISH:
            written.varnishes.append(operation)
        elif name in (EMBOSS, FOIL):
            items.setdefault("Embossing", []).append(_embossed(operation, size, foil=name == FOIL))
        elif name in (CREASE, PERFORATE):
            count = operation.amount("count") or 1
            if count == 1 and folds > 1:
                detail = "One that has no place is read as one at each fold."
                operation.warn("count", "not_said", detail)
            lines = written.folding.setdefault("Crease" if name == CREASE else "Perforate", [])
            lines += [{} for _ in range(count)]
        elif name == DRILL:
            items.setdefault("Hole", []).append({"HoleCount": operation.amount("count") or 1})
        else:
            items.setdefault("Shape", []).append(_cut(operation, name))
    for key, intent, member in (
        ("Embossing", "EmbossingIntent", "EmbossingItem"),
        ("Shape", "ShapeCuttingIntent", "ShapeCut"),
        ("Hole", "HoleMakingIntent", "HolePattern"),
    ):
        if key in items:
            written.intents.append((intent, {member: items[key]}))
    return written


def _check_order(operations: list[Node]) -> None:
    """Tell where a document would be read as another order of the operations."""
    known = [each for each in operations if each.value.get("operation") in OPERATION_ORDER]
    places = [OPERATION_ORDER.index(each.value["operation"]) for each in known]
    for before, after, operation in zip(places, places[1:], known[1:], strict=False):
        if after < before:
            detail = "A document does not tell in which order they are done."
            operation.notes.warn(operation.path, "not_said", detail)


def _pass_defaults(operation: Node) -> None:
    for name, default in _DEFAULTS.items():
        if operation.value.get(name) == default:
            operation.number(name)


def _films(operation: Node) -> Intents:
    finish = operation.text("finish")
    words = {name: word for word, name in FILMS.items()}
    told: Intent = {}
    if finish in words:
        told = {"Texture": words[finish]}
    elif finish is not None:
        operation.warn("finish", "not_said", "Product intent has no word for this film here.")
    sides = operation.amount("sides") or 1
    return [("LaminatingIntent", {"Surface": list(SURFACES[:sides]), **told})]


def _embossed(operation: Node, size: Size | None, *, foil: bool) -> Intent:
    item: Intent = {"EmbossingType": "FoilStamping" if foil else "BlindEmbossing"}
    finish = operation.text("finish") if foil else None
    words = {name: word for word, name in FOILS.items()}
    if finish == HOLOGRAPHIC:
        item |= {"FoilColor": "Silver", "FoilColorDetails": words[finish]}
    elif finish in words:
        item["FoilColor"] = words[finish]
    elif finish is not None:
        operation.warn("finish", "not_said", "Product intent has no word for this foil here.")
    share = operation.number("area_share")
    if share not in (None, 1) and size is not None:
        item["ImageSize"] = area(share or 0, size)
    return item


def area(share: int | float, size: Size) -> list[int | float]:
    """Return sides [pt] of an image that covers a share of a piece: as wide, and less high."""
    width, height = size
    return [points_of(width), plain(exact(height) * exact(share) * 720 / 254, 6)]


def _cut(operation: Node, name: str | None) -> Intent:
    if name == ROUND_CORNERS:
        if operation.amount("count") != CORNERS:
            operation.warn("count", "not_said", f"A rounded rectangle has {CORNERS} round corners.")
        return {"ShapeType": "RoundedRectangle"}
    return {"ShapeType": "Path"}


PART_OPERATIONS = tuple(name for name in OPERATION_ORDER if name not in (STRIP, GLUE))
COPY_OPERATIONS = (DRILL, DIE_CUT, ROUND_CORNERS)
