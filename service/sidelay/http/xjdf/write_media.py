"""A part's stock and inks as intents."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from ...paper import grammage_from_basis_weight
from ...stock import Stock
from .notes import Node, Notes
from .points import exact, plain
from .words import (
    ANY_SPOT,
    COATED_OFF_LINE,
    FINISHES,
    GRADES,
    INK_KINDS,
    NO_COATINGS,
    PROCESS_INKS,
    SPOT_UV,
    SURFACES,
    UV,
    VARNISH,
    VARNISHES,
)

Intent = dict[str, Any]
_COATINGS = {finish: word for word, finish in FINISHES.items()}
_MATERIALS = {grade: material for material, grade in GRADES.items()} | {"film": "Film"}
_NO_TOKEN = re.compile(r"[^A-Za-z0-9._:-]")
# Names that would be read as something else, of colours and of varnishes.
_COATING_WORDS = ((*COATED_OFF_LINE, *VARNISHES, ANY_SPOT), (*COATED_OFF_LINE, *NO_COATINGS))
_OFF_LINE = {finish: word for word, finish in COATED_OFF_LINE.items()}


def media_intent(stock: Node, stocks: Mapping[str, Stock]) -> Intent:
    """Return the MediaIntent of a stock. stocks: those of the plant, by id"""
    named = stock.text("id")
    if named is None:
        media = _described(stock.text("grade") or "", stock.text("finish") or "")
        weight = _grammage(stock)
        return media | ({} if weight is None else {"Weight": weight})
    if named in stocks:
        found = stocks[named]
        media = _described(found.grade, found.finish)
        return media | {"Weight": plain(exact(found.grammage_gsm), 4), "MediaQuality": named}
    stock.warn("id", "assumed", "Not a stock that is known: written as paper.")
    return {"MediaType": "Paper", "MediaQuality": named}


def _described(grade: str, finish: str) -> Intent:
    media: Intent = {"MediaType": _MATERIALS.get(grade, "Paper")}
    if grade == "coated":
        return media | _coated(finish)
    if grade == "uncoated":
        media["Coating"] = "None"
        return media | ({"Texture": finish} if finish else {})
    if grade == "newsprint":
        media["ISOPaperSubstrate"] = "SNP"
    elif grade not in _MATERIALS:
        media["MediaTypeDetails"] = grade
    if finish in _COATINGS and grade != "newsprint":
        media["Coating"] = _COATINGS[finish]
    elif finish:
        media["Texture"] = finish
    return media


def _coated(finish: str) -> Intent:
    if finish in _COATINGS:
        return {"Coating": _COATINGS[finish], "BackCoating": _COATINGS[finish]}
    coated = {"Coating": "Coated", "BackCoating": "Coated"}
    return coated | ({"Texture": finish} if finish else {})


def _grammage(stock: Node) -> int | float | None:
    weight = stock.number("grammage_gsm")
    pounds, basis = stock.number("basis_weight_lb"), stock.text("basis")
    if weight is None and pounds is not None and basis is not None:
        weight = grammage_from_basis_weight(float(pounds), basis)
        stock.warn("basis_weight_lb", "rounded", "Told in g/m2.")
        return plain(exact(weight), 2)
    return None if weight is None else plain(exact(weight), 4)


def colour_intent(part: Node, varnishes: list[Node]) -> tuple[Intent | None, str]:
    """Return the ColorIntent of a part, None without inks, and its Sides.

    varnishes: operations that put a coating on, which are told here
    """
    written: dict[str, Intent] = {}
    over = part.value.get("overprint")
    for surface, name in zip(SURFACES, ("front", "back"), strict=True):
        side = part.child(name)
        if side is not None and (inked := _surface(side)):
            written[surface] = inked
            _add_overprint(part, inked, over.get(name) if isinstance(over, dict) else None)
    for operation in varnishes:
        _put_coating(operation, written)
    surfaces = [{"Surface": each, **written[each]} for each in SURFACES if each in written]
    if not surfaces:
        return None, ""
    both = len(written) == len(SURFACES)
    one = "OneSided" if "Front" in written else "OneSidedBack"
    return {"SurfaceColor": surfaces}, "TwoSidedHeadToHead" if both else one


def _add_overprint(part: Node, surface: Intent, over: Any) -> None:
    """List inks of an overprint with those of its side, as the standard wants."""
    if not isinstance(over, dict):
        return
    apart = Node(over, (), Notes())
    missing = [each for each in ink_tokens(apart) if each not in surface.get("ColorsUsed", ())]
    if missing:
        detail = f"{', '.join(missing)}: listed with the inks that are the same on all."
        part.warn("overprint", "rounded", detail)
        surface["ColorsUsed"] = [*surface.get("ColorsUsed", ()), *missing]


def _surface(side: Node) -> Intent:
    """Return what a side prints; nothing where it stays blank."""
    if not side.value.get("inks"):
        side.notes.close(side.path)
        return {}
    colours: list[str] = []
    coatings: list[str] = []
    coverage = side.number("coverage")
    total = exact(0)
    for ink in side.named("inks"):
        token, kind = _token(ink)
        (coatings if kind == "varnish" else colours).append(token)
        own = ink.value.get("coverage", coverage)
        if kind != "varnish" and isinstance(own, int | float):
            total += exact(own)
    surface: Intent = {"ColorsUsed": colours} if colours else {}
    if coatings:
        surface["Coatings"] = coatings
    if coverage is not None and colours:
        surface["Coverage"] = plain(total * 100, 4)
    return surface


def _token(ink: Node) -> tuple[str, str]:
    """Return the word for an ink, and its kind."""
    name = ink.text("name") or ""
    if not ink.has("kind") and name in PROCESS_INKS:  # its name on its own
        ink.notes.close(ink.path)
        return PROCESS_INKS[name], "process"
    kind = ink.text("kind") or "spot"
    if ink.value.get("may_simulate") is False:
        ink.flag("may_simulate")
    if kind == "process" and name in PROCESS_INKS:
        return PROCESS_INKS[name], kind
    read_as = "varnish" if kind == "varnish" else INK_KINDS.get(name.casefold(), "spot")
    if read_as != kind or name in _COATING_WORDS[kind == "varnish"]:
        ink.warn("kind", "not_said", "A document tells the name of an ink, not its kind.")
    token = _NO_TOKEN.sub("_", name)
    if token != name:
        ink.warn("name", "rounded", f"Written as {token}: a name has no spaces there.")
    return token, kind


def ink_tokens(side: Node) -> list[str]:
    """Return the words for the inks of a side of an overprint."""
    return [_token(ink)[0] for ink in side.named("inks")]


def _put_coating(operation: Node, surfaces: dict[str, Intent]) -> None:
    """Tell a varnish done off line as a coating of the sides that it covers, of spots as an ink."""
    finish = operation.text("finish") or ""
    if finish not in _OFF_LINE:
        detail = f"A coating has no word for this finish of {VARNISH}."
        operation.notes.warn(operation.path, "not_said", detail, whole=True)
        return
    sides = operation.amount("sides") or 1
    covered = list(SURFACES) if sides > 1 else (sorted(surfaces, reverse=True) or ["Front"])[:1]
    member, word = ("ColorsUsed", UV) if finish == SPOT_UV else ("Coatings", _OFF_LINE[finish])
    for surface in covered:
        surfaces.setdefault(surface, {}).setdefault(member, []).append(word)
