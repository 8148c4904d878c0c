"""What differs from piece to piece: VariableIntent."""

from __future__ import annotations

from typing import Any

from ..faults import Path
from .draft import Draft
from .notes import Node
from .points import exact, plain
from .product import Product
from .words import PROCESS_INKS, QUALITIES, VARIABLE_COVERAGE, VARIABLES

_OVERPRINTED = ("leaf", "insert")
_SIDES = (("front", "ColorsUsedFront"), ("back", "ColorsUsedBack"))


def read_variable(product: Product, part: Draft) -> None:
    """Put overprint and variable share of a part.

    What may look as if printed by other means goes onto what is the same on all; where all of it
    is to look alike, or nothing can be printed over, only the share that differs is told.
    """
    intent = product.own("VariableIntent")
    if intent is None:
        return
    kind = intent.word("VariableType", VARIABLES, required=True)
    share = intent.number("Area")
    if share is not None:
        part.put("variable_share", plain(exact(share), 6), intent.at("Area"))
    full = intent.word("VariableQuality", QUALITIES) == "Full"
    usual = VARIABLE_COVERAGE.get(kind or "", 0)
    if not full and part.members.get("kind", "leaf") in _OVERPRINTED:
        _put_overprint(intent, part, usual)
    elif share is None:
        detail = f"Read as {usual:.3g} of the area that differs from piece to piece."
        intent.warn("VariableType", "assumed", detail)
        part.put("variable_share", usual, intent.at("VariableType"))


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
