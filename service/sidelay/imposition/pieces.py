"""Single pieces: one print on one blank, loaded once for each side."""

from __future__ import annotations

from ..feeds import PieceFeed
from ..job import Part
from ..work import Layout

ROUNDING_MM = 1e-3


def piece_layouts(part: Part, feed: PieceFeed) -> tuple[Layout, ...]:
    """Return a layout for each blank of the stock whose printing area holds the print."""
    sides = len(part.sides)
    width, length = part.flat_width_mm, part.flat_height_mm
    if sides == 2 and not feed.both_sides:
        return ()
    if width > feed.max_width_mm + ROUNDING_MM or length > feed.max_length_mm + ROUNDING_MM:
        return ()
    return tuple(
        Layout(
            width_mm=width,
            length_mm=length,
            supply=blank,
            style="sheetwise" if sides == 2 else "one_side",
            up=1,
            delivery="piece",
            because=f"a print of {width:g} x {length:g} mm on each {blank.name}",
        )
        for blank in part.stock.blanks
        if width <= blank.width_mm + ROUNDING_MM and length <= blank.height_mm + ROUNDING_MM
    )
