"""The inks of a part: ColorIntent, beside what LayoutIntent says of its sides."""

from __future__ import annotations

from typing import Any

from ..faults import Path
from .draft import Draft, Wish
from .notes import Node
from .points import exact, plain
from .words import (
    COATED_OFF_LINE,
    INK_KINDS,
    PROCESS_INKS,
    SIDES,
    SURFACES,
    VARNISH,
)

_BLANK_SIDE = {"OneSided": "Back", "OneSidedBack": "Front"}
Inks = list[tuple[Any, Path]]


def read_colours(colour: Node, layout: Node | None, part: Draft) -> list[Wish]:
    """Put front and back of a part; return the coatings that are operations of their own."""
    surfaces = _surfaces(colour)
    sides = layout.word("Sides", SIDES) if layout else None
    if layout and sides:
        _check_sides(surfaces, sides, layout)
    wishes: list[Wish] = []
    for surface, name in zip(SURFACES, ("front", "back"), strict=True):
        source = surfaces.get(surface)
        if source is None and layout and sides and sides.startswith("TwoSided"):
            source = next(iter(surfaces.values()), None)
            detail = "Both sides are printed, and one is told: the other is taken to be the same."
            layout.warn("Sides", "assumed", detail)
        if source is not None:
            wishes += _put_side(source, part.draft(name, source.path))
        elif name == "front":
            part.put(name, {"inks": []}, colour.at("SurfaceColor"))
    return _merged(wishes)


def _surfaces(colour: Node) -> dict[str, Node]:
    found: dict[str, Node] = {}
    for each in colour.children("SurfaceColor"):
        surface = each.word("Surface", SURFACES, required=True)
        if surface in found:
            each.fault("Surface", "conflicting_members", "This side is told before.")
        elif surface:
            found[surface] = each
    return found


def _check_sides(surfaces: dict[str, Node], sides: str, layout: Node) -> None:
    """A side that is said to stay blank has no inks."""
    blank = _BLANK_SIDE.get(sides)
    if blank in surfaces and surfaces[blank].value.get("ColorsUsed"):
        detail = f"The {blank.lower()} stays blank here, but has inks in ColorIntent."
        layout.fault("Sides", "conflicting_members", detail)
    if sides == "TwoSidedHeadToFoot":
        layout.warn("Sides", "ignored", "Which way up the back stands has no bearing here.")


def _put_side(source: Node, side: Draft) -> list[Wish]:
    inks: Inks = [_ink(source, index, token) for index, token in source.texts("ColorsUsed")]
    wishes: list[Wish] = []
    for index, token in source.texts("Coatings"):
        where = source.at("Coatings", index)
        if token in COATED_OFF_LINE:
            wishes.append(Wish({"operation": VARNISH, "finish": COATED_OFF_LINE[token]}, where))
            detail = "Read as an operation of its own, done after printing."
        else:
            inks.append(({"name": token, "kind": "varnish"}, where))
            detail = "Read as a varnish printed like an ink."
        source.notes.warn(where, "assumed", detail)
    side.put_each("inks", inks, source.at("ColorsUsed"))
    coverage = source.number("Coverage")
    if coverage is not None:
        side.put("coverage", plain(exact(coverage) / 100, 6), source.at("Coverage"))
    return wishes


def _ink(source: Node, index: int, token: str) -> tuple[Any, Path]:
    where = source.at("ColorsUsed", index)
    if token.casefold() in PROCESS_INKS:
        return token.casefold(), where
    kind = INK_KINDS.get(token.casefold(), "spot")
    article = "a spot colour" if kind == "spot" else f"an ink of the kind {kind}"
    source.notes.warn(where, "assumed", f"Not a process ink: read as {article} of this name.")
    return {"name": token, "kind": kind}, where


def _merged(wishes: list[Wish]) -> list[Wish]:
    """Return the operations of both sides, what both have as one."""
    found: dict[str, Wish] = {}
    for wish in wishes:
        finish = wish.operation["finish"]
        if finish in found:
            found[finish].operation["sides"] = 2
        else:
            found[finish] = wish
    return list(found.values())
