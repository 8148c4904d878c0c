"""Rows on a web that is rewound or cut row by row: across x around a repeat, gaps, matrix.

A repeat is the circumference of a printing cylinder: one of those in stock (gear teeth x pitch), or
any length in a range (sleeves, engraved bases); a plateless press prints row after row, a repeat of
one. Pieces on a cylinder of a given circumference spread evenly, so that their gap may be larger
than asked. What lies between pieces and at the edges is the matrix, and is wasted.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import product
from math import ceil, floor

from ..feeds import ReelFeed
from ..job import Part
from ..stock import Reel
from ..work import Delivery, Layout
from .pareto import unbeaten
from .pattern import Grid, Pattern, to_steps
from .webs import ways

MOST_LAYOUTS = 16
ROUNDING_MM = 1e-3


def reel_layouts(part: Part, feed: ReelFeed) -> tuple[Layout, ...]:
    """Return the layouts of labels, web panels or leaves on a reel, that can be cheapest.

    Left out is what another matches in everything that costs: stock a piece, web run a piece, area
    and width of the repeat, by which carriers are bought. Those that use least stock come first.
    """
    if len(part.sides) == 2 and not feed.both_sides:
        return ()
    bleed = 0.0 if part.kind == "web" else 2 * part.bleed_mm
    piece = part.flat_width_mm + bleed, part.flat_height_mm + bleed
    delivery: Delivery = "sheet" if part.kind == "leaf" else "reel"
    sides, turns = len(part.sides), ways(part)
    return _layouts(feed, part.stock.reels, piece, part.gutter_mm, sides, delivery, turns)


@lru_cache(maxsize=512)
def _layouts(
    feed: ReelFeed,
    reels: tuple[Reel, ...],
    piece: tuple[float, float],
    gap: float,
    sides: int,
    delivery: Delivery,
    turns: tuple[bool, ...],
) -> tuple[Layout, ...]:
    found = [
        _lay(feed, reel, piece, gap, turned, repeat, around, sides, delivery)
        for turned, reel in product(turns, reels)
        if feed.takes(reel)
        for repeat, around in _repeats(feed, piece[0 if turned else 1] + gap)
    ]
    layouts = sorted((layout for layout in found if layout), key=_burden)
    kept = unbeaten([_burden(layout) for layout in layouts])
    return tuple(layouts[number] for number in kept[:MOST_LAYOUTS])


def _repeats(feed: ReelFeed, step: float) -> Iterator[tuple[float, int]]:
    """Yield each repeat that holds at least one piece of length `step`, gap in, and how many."""
    if feed.repeats_mm:
        for repeat in feed.repeats_mm:
            around = floor((repeat + ROUNDING_MM) / step)
            if around:
                yield repeat, around
        return
    fewest = max(1, ceil((feed.min_repeat_mm - ROUNDING_MM) / step))
    for around in range(fewest, floor((feed.max_repeat_mm + ROUNDING_MM) / step) + 1):
        yield around * step, around
        if feed.min_repeat_mm <= step:
            return  # row by row: a longer repeat is the same rows again


def _lay(
    feed: ReelFeed,
    reel: Reel,
    piece: tuple[float, float],
    gap: float,
    turned: bool,
    repeat: float,
    around: int,
    sides: int,
    delivery: Delivery,
) -> Layout | None:
    wide, long = (piece[1], piece[0]) if turned else piece
    room = reel.width_mm - 2 * feed.side_mm
    across = floor((room + gap + ROUNDING_MM) / (wide + gap))
    if across < 1:
        return None
    up, gap_around = across * around, repeat / around - long
    used = up * wide * long / (reel.width_mm * repeat)
    grid = Grid(across, around, to_steps(wide + gap), to_steps(repeat / around))
    return Layout(
        width_mm=reel.width_mm,
        length_mm=round(repeat, 3),
        supply=reel,
        style="perfecting" if sides == 2 else "one_side",
        up=up,
        pattern=Pattern(up, grid, to_steps(gap), up),
        across=across,
        around=around,
        delivery=delivery,
        because=f"{across} across x {around} around on a repeat of {repeat:g} mm, reel "
        f"{reel.width_mm:g} mm, {gap_around:.2f} mm between pieces around; "
        f"{1 - used:.0%} of the web is edge and matrix",
    )


def _burden(layout: Layout) -> tuple[float, ...]:
    """Everything in which one layout can cost more than another: stock, web to run, carriers."""
    price = layout.supply.price_per_m2 if isinstance(layout.supply, Reel) else 0.0
    stock = layout.area_m2 / layout.up * price
    return stock, layout.length_mm / layout.up, layout.area_m2, layout.width_mm
