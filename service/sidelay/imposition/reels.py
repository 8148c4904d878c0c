"""Rows on a web that is rewound or cut row by row: across x around a repeat, gaps, matrix.

A repeat is the circumference of a printing cylinder: one of those in stock (gear teeth x pitch), or
any length in a range (sleeves, engraved bases); a plateless press prints row after row, a repeat of
one. Pieces on a cylinder of a given circumference spread evenly, so that their gap may be larger
than asked. What lies between pieces and at the edges is the matrix, and is wasted.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from functools import lru_cache
from math import ceil, floor
from typing import NamedTuple

from ..feeds import ReelFeed
from ..job import Part
from ..stock import Reel
from ..work import Delivery, Layout
from .pareto import unbeaten
from .pattern import Grid, Pattern, to_steps
from .webs import ways

MOST_LAYOUTS = 40
ROUNDING_MM = 1e-3


class _Rows(NamedTuple):
    """Pieces of wide x long [mm] on one repeat of a reel: so many across and around."""

    reel: Reel
    wide: float
    long: float
    gap: float
    repeat: float
    across: int
    around: int

    def burden(self) -> tuple[float, ...]:
        """Everything in which these can cost more than others: stock, web to run, carriers."""
        up, area = self.across * self.around, self.reel.width_mm * self.repeat
        stock = area / up * self.reel.price_per_m2
        printed_width = self.across * (self.wide + self.gap) - self.gap
        return (
            round(stock, 6),
            self.repeat / up,
            area,
            printed_width * self.repeat,
            printed_width,
            self.reel.width_mm,
            1 / up,
        )

    def layout(self, sides: int, delivery: Delivery) -> Layout:
        """Return them as a layout."""
        up, step = self.across * self.around, self.repeat / self.around
        used = up * self.wide * self.long / (self.reel.width_mm * self.repeat)
        grid = Grid(self.across, self.around, to_steps(self.wide + self.gap), to_steps(step))
        return Layout(
            width_mm=self.reel.width_mm,
            length_mm=round(self.repeat, 3),
            supply=self.reel,
            style="perfecting" if sides == 2 else "one_side",
            up=up,
            pattern=Pattern(up, grid, to_steps(self.gap), up),
            across=self.across,
            around=self.around,
            delivery=delivery,
            because=f"{self.across} across x {self.around} around on a repeat of {self.repeat:g} "
            f"mm, reel {self.reel.width_mm:g} mm, {step - self.long:.2f} mm between pieces around; "
            f"{1 - used:.0%} of the web is waste at the edges and round the pieces",
        )


def reel_layouts(part: Part, feed: ReelFeed) -> tuple[Layout, ...]:
    """Return the layouts of labels, web panels or leaves on a reel, that can be cheapest.

    Left out is what another matches in everything that costs: stock, web and cycles a piece, area
    and width of the repeat, by which carriers are bought, of the web and of what prints. Those that
    use least stock come first.
    """
    if len(part.sides) == 2 and not feed.both_sides:
        return ()
    bleed = 0.0 if part.kind == "web" else 2 * part.bleed_mm
    piece = part.flat_width_mm + bleed, part.flat_height_mm + bleed
    delivery: Delivery = "sheet" if part.kind == "leaf" else "reel"
    # What a machine forms or fills takes the web one way: the height of a panel runs along it.
    sides, turns = len(part.sides), (False,) if part.kind == "web" else ways(part)
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
    found = []
    for turned in turns:
        wide, long = (piece[1], piece[0]) if turned else piece
        repeats = list(_repeats(feed, long + gap))
        for reel in filter(feed.takes, reels):
            across = _across(feed, reel, wide, gap)
            if across:
                found += [
                    _Rows(reel, wide, long, gap, repeat, across, around)
                    for repeat, around in repeats
                ]
    burdened = sorted(((rows.burden(), rows) for rows in found), key=lambda pair: pair[0])
    kept = unbeaten([burden for burden, _ in burdened])
    return tuple(burdened[number][1].layout(sides, delivery) for number in kept[:MOST_LAYOUTS])


def _across(feed: ReelFeed, reel: Reel, wide: float, gap: float) -> int:
    """How many pieces of a width lie side by side."""
    room = reel.width_mm - 2 * feed.side_mm
    return floor((room + gap + ROUNDING_MM) / (wide + gap))


def _repeats(feed: ReelFeed, step: float) -> Iterator[tuple[float, int]]:
    """Yield repeats, and how many pieces of length `step`, gap in, go round each.

    Of repeats that hold as many the shortest: the others only have more matrix.
    """
    if feed.repeats_mm:
        yield from _in_stock(_rising(feed.repeats_mm), step)
        return
    fewest = max(1, ceil((feed.min_repeat_mm - ROUNDING_MM) / step))
    for around in range(fewest, floor((feed.max_repeat_mm + ROUNDING_MM) / step) + 1):
        yield around * step, around
        if feed.min_repeat_mm <= step:
            return  # row by row: a longer repeat is the same rows again


def _in_stock(repeats: tuple[float, ...], step: float) -> Iterator[tuple[float, int]]:
    """Yield the shortest repeat for each number of pieces that some of them hold."""

    def around(repeat: float) -> int:
        return floor((repeat + ROUNDING_MM) / step)

    place = bisect_left(repeats, 1, key=around)
    while place < len(repeats):
        held = around(repeats[place])
        yield repeats[place], held
        place = bisect_left(repeats, held + 1, lo=place, key=around)


@lru_cache(maxsize=64)
def _rising(repeats: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(sorted(repeats))
