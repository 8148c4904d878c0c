"""Which head row prints an ink, and where white goes under the colours by itself."""

from __future__ import annotations

from sidelay.plugin import PROCESS_INKS, Ink, Side, Stock, Work

from .press import InkjetPress

# Inks that are told by their kind: the row of heads is called after it.
BY_KIND = ("white", "varnish")
# Kinds that process inks can stand in for, more or less, where the customer allows it.
MAY_STAND_IN = ("spot",)


def holds(press: InkjetPress, ink: Ink) -> bool:
    """Whether a row of heads prints this very ink."""
    return ink.name in press.channels or (ink.kind in BY_KIND and ink.kind in press.channels)


def can_simulate(press: InkjetPress, ink: Ink) -> bool:
    """Whether process inks can stand in: for a spot colour, not for its lustre or its glow."""
    return ink.kind in MAY_STAND_IN and set(PROCESS_INKS) <= set(press.channels)


def needs_base(side: Side, stock: Stock) -> bool:
    """Whether white goes under a side's colours that the job did not list: on dark stock."""
    return (
        stock.tone == "dark"
        and bool(_colours(side))
        and not any(ink.kind == "white" for ink in side.inks)
    )


def base_area_m2(work: Work) -> float:
    """Area of white under-base on one cycle that the job did not list [m2].

    White lies wherever a colour does: as much as the colours' coverages together, at most all.
    """
    share = sum(
        min(1.0, sum(side.covered(ink) for ink in _colours(side)))
        for side in work.sides
        if needs_base(side, work.part.stock)
    )
    return share * work.part.printed_area_m2 * work.layout.pieces_per_cycle


def lays_white(work: Work) -> bool:
    """Whether white is printed, listed by the job or as an under-base."""
    return base_area_m2(work) > 0 or any(ink.kind == "white" for ink in work.part.inks)


def _colours(side: Side) -> list[Ink]:
    return [ink for ink in side.inks if ink.kind not in BY_KIND]
