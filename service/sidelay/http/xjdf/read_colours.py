"""The inks of a part: ColorIntent, beside what LayoutIntent says of its sides."""

from __future__ import annotations

from typing import Any

from ..faults import Path
from .draft import Draft, Wish
from .notes import Node
from .points import exact, plain
from .words import (
    ANY_SPOT,
    COATED_OFF_LINE,
    INK_KINDS,
    NO_COATINGS,
    PROCESS_INKS,
    SIDES,
    SPOT_UV,
    SURFACES,
    UV,
    UV_FINISHES,
    VARNISH,
    VARNISHES,
)

_BLANK_SIDE = {"OneSided": "Back", "OneSidedBack": "Front"}
Inks = list[tuple[Any, Path]]


def read_colours(colour: Node, layout: Node | None, part: Draft) -> list[Wish]:
    """Put front and back of a part; return the coatings that are operations of their own."""
    surfaces = _surfaces(colour)
    sides = layout.word("Sides", SIDES) if layout else None
    listed = colour.value.get("SurfaceColor")
    clean = isinstance(listed, list) and len(listed) == len(surfaces)
    if layout and sides and clean:
        _check_sides(surfaces, sides, layout)
    wishes: list[Wish] = []
    for surface, name in zip(SURFACES, ("front", "back"), strict=True):
        source = surfaces.get(surface)
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
    if blank is None and len(surfaces) == 1:
        detail = "Both sides are printed here, but ColorIntent tells the inks of one."
        layout.fault("Sides", "conflicting_members", detail)
    if sides == "TwoSidedHeadToFoot":
        layout.warn("Sides", "ignored", "Which way up the back stands has no bearing here.")


def _put_side(source: Node, side: Draft) -> list[Wish]:
    inks: Inks = []
    wishes: list[Wish] = []
    for index, token in source.texts("ColorsUsed"):
        where = source.at("ColorsUsed", index)
        if token in COATED_OFF_LINE:
            wishes.append(_off_line(source, where, SPOT_UV))
        elif token in VARNISHES:
            inks.append(_varnish(source, where, token))
        else:
            inks.append((_ink(source, where, token, inks), where))
    colours = sum(not _is_varnish(ink) for ink, _ in inks)
    coatings, coated = _coatings(source)
    wishes += coated
    side.put_each("inks", [*inks, *coatings], source.at("ColorsUsed"))
    _put_coverage(source, side, colours)
    return wishes


def _coatings(source: Node) -> tuple[Inks, list[Wish]]:
    """Return coatings of a whole side: those printed, and those that are operations."""
    told = source.texts("Coatings")
    words = [token for _, token in told]
    inks: Inks = []
    wishes: list[Wish] = []
    for index, token in told:
        where = source.at("Coatings", index)
        if token in COATED_OFF_LINE:
            finish = COATED_OFF_LINE[token]
            if token == UV:
                finish = next((UV_FINISHES[each] for each in words if each in UV_FINISHES), "")
            wishes.append(_off_line(source, where, finish))
        elif token in NO_COATINGS:
            source.notes.warn(where, "ignored", "It tells of an ink: no coating is read from it.")
        elif UV not in words or token not in UV_FINISHES:
            inks.append(_varnish(source, where, token))
    return inks, wishes


def _off_line(source: Node, where: Path, finish: str) -> Wish:
    detail = "Read as an operation of its own, done after printing."
    source.notes.warn(where, "assumed", detail)
    return Wish({"operation": VARNISH} | ({"finish": finish} if finish else {}), where)


def _varnish(source: Node, where: Path, token: str) -> tuple[Any, Path]:
    source.notes.warn(where, "assumed", "Read as a varnish printed like an ink.")
    return {"name": token, "kind": "varnish"}, where


def _ink(source: Node, where: Path, token: str, before: Inks) -> Any:
    if token.casefold() in PROCESS_INKS:
        return token.casefold()
    kind = INK_KINDS.get(token.casefold(), "spot")
    article = "a spot colour" if kind == "spot" else f"an ink of the kind {kind}"
    source.notes.warn(where, "assumed", f"Not a process ink: read as {article} of this name.")
    name = token
    if token == ANY_SPOT:
        others = sum(isinstance(ink, dict) and ink["name"].startswith(token) for ink, _ in before)
        name = f"{token} {others + 1}" if others else token
    return {"name": name, "kind": kind}


def _is_varnish(ink: Any) -> bool:
    return isinstance(ink, dict) and ink["kind"] == "varnish"


def _put_coverage(source: Node, side: Draft, colours: int) -> None:
    """Put the share that each ink covers; a document tells the sum of all, 400 for four solids."""
    coverage = source.number("Coverage")
    if coverage is None:
        return
    where = source.at("Coverage")
    if not colours:
        source.warn("Coverage", "ignored", "No colours are told that could cover anything.")
    elif not 0 <= coverage <= 100 * colours:
        detail = f"Expected 0 to {100 * colours}: up to 100 for each colour."
        source.fault("Coverage", "out_of_range", detail)
    else:
        side.put("coverage", plain(exact(coverage) / (100 * colours), 6), where)


def _merged(wishes: list[Wish]) -> list[Wish]:
    """Return the operations of both sides, what both have as one."""
    found: dict[str, Wish] = {}
    for wish in wishes:  # a coating that stands twice on one side is there once
        finish = wish.operation.get("finish", "")
        if finish in found and wish.source[:-2] != found[finish].source[:-2]:
            found[finish].operation["sides"] = 2
        elif finish in found:
            continue
        else:
            found[finish] = wish
    return list(found.values())
