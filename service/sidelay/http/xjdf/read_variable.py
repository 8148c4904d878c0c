"""What differs from piece to piece: VariableIntent."""

from __future__ import annotations

from typing import Any

from ..faults import Path
from .draft import Draft
from .notes import Node
from .points import exact, mm_of, plain
from .product import Product
from .words import PROCESS_INKS, QUALITIES, VARIABLE_COVERAGE, VARIABLES

_OVERPRINTED = ("leaf", "insert")
_SIDES = (("front", "ColorsUsedFront"), ("back", "ColorsUsedBack"))


def read_variable(product: Product, part: Draft) -> None:
    """Put overprint and variable share of a part."""
    intent = product.own("VariableIntent")
    if intent is None:
        return
    kind = intent.word("VariableType", VARIABLES, required=True)
    share = _share(intent, part)
    full = intent.word("VariableQuality", QUALITIES) == "Full"
    if full or part.members.get("kind", "leaf") not in _OVERPRINTED:
        if share is None:
            share = 1 if full else VARIABLE_COVERAGE.get(kind or "", 0)
            detail = f"Read as {share:.3g} of the area that differs from piece to piece."
            intent.warn("VariableType", "assumed", detail)
        part.put("variable_share", share, intent.at("VariableType"))
        return
    if share is not None:
        part.put("variable_share", share, intent.at("Area"))
    _put_overprint(intent, part, VARIABLE_COVERAGE.get(kind or "", 0))


def _share(intent: Node, part: Draft) -> int | float | None:
    """Return the share of the piece that an area told covers."""
    area = intent.value.get("Area")
    size = part.members.get("size")
    if not isinstance(area, list) or not size:
        return None
    sides = intent.numbers("Area", 2)
    whole = exact(size["width"]) * exact(size["height"])
    if sides is None or not whole:
        return None
    return plain(exact(mm_of(sides[0])) * exact(mm_of(sides[1])) / whole, 4)


def _put_overprint(intent: Node, part: Draft, coverage: float) -> None:
    over = part.draft("overprint", intent.path)
    if intent.value.get("VariableQuality") == "Simple":
        over.put("quality", "draft", intent.at("VariableQuality"))
        intent.warn("VariableQuality", "assumed", "Read as draft: good enough for an address.")
    told = {side: intent.texts(member) for side, member in _SIDES if intent.has(member)}
    if not told:
        detail = "No inks are told: read as black on the front."
        intent.warn("VariableType", "assumed", detail)
        _put_side(over, "front", [("black", intent.at("VariableType"))], coverage, intent)
        return
    for side, member in _SIDES:
        if side in told:
            inks: list[tuple[Any, Path]] = [
                (_ink(token), intent.at(member, index)) for index, token in told[side]
            ]
            _put_side(over, side, inks, coverage, intent)


def _put_side(
    over: Draft, name: str, inks: list[tuple[Any, Path]], coverage: float, intent: Node
) -> None:
    where = intent.at("VariableType")
    source = next((path for _, path in inks), where)
    side = over.draft(name, source)
    side.put_each("inks", inks, source)
    side.put("coverage", coverage, where)
    detail = f"Read as covering {coverage:.3g} of the area, as is common."
    intent.warn("VariableType", "assumed", detail)


def _ink(token: str) -> Any:
    if token.casefold() in PROCESS_INKS:
        return token.casefold()
    return {"name": token, "kind": "spot"}
