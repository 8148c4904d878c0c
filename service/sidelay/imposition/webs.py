"""Pages and leaves on a web that is cut off: how many across, around, and webs to a copy.

Pages of a section lie n across and m around each cut-off, on both sides of each web. A copy is one
cut-off of so many webs (straight), or several cut-offs gathered (collect: two on a press with fixed
cylinders; one after another on a plateless press). When one web holds more than a copy, copies lie
side by side. A leaf is laid as a grid on one web, and the press delivers sheets.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import product

from ..feeds import WebFeed, WorkStyle
from ..job import Part
from ..stock import Reel
from ..work import Layout
from .pareto import unbeaten
from .pattern import Grid, Pattern, to_steps

# More pages across or around than these no web is printed with.
MOST_ACROSS, MOST_AROUND = 12, 12
MOST_LAYOUTS = 40
ROUNDING_MM = 1e-3


def web_layouts(part: Part, feed: WebFeed) -> tuple[Layout, ...]:
    """Return the layouts of a section or a leaf on a web, those that use least stock first."""
    if len(part.sides) == 2 and not feed.both_sides:
        return ()
    if part.kind == "section":
        return _sections(
            feed,
            part.stock.reels,
            (part.width_mm, part.height_mm),
            part.bleed_mm,
            part.pages,
            len(part.sides),
        )
    cell = (
        part.flat_width_mm + 2 * part.bleed_mm + part.gutter_mm,
        part.flat_height_mm + 2 * part.bleed_mm + part.gutter_mm,
    )
    return _leaves(feed, part.stock.reels, cell, part.gutter_mm, len(part.sides), ways(part))


def ways(part: Part) -> tuple[bool, ...]:
    """Return how a piece may lie on a web, upright or turned: its grain runs along the web."""
    if part.grain == "any" or part.flat_width_mm == part.flat_height_mm:
        return False, True
    upright_is_long = part.flat_height_mm > part.flat_width_mm
    return ((part.grain == "long") != upright_is_long,)


def pages_span(count: int, side_mm: float, bleed_mm: float, *, spine: bool) -> float:
    """Length [mm] that `count` pages take in a row.

    spine: pages lie in pairs that share an untrimmed spine, as across the width of a page; along
        its height each page is trimmed at head and foot
    """
    if spine:
        return count * side_mm + max(count, 2) * bleed_mm
    return count * (side_mm + 2 * bleed_mm)


@lru_cache(maxsize=512)
def _sections(
    feed: WebFeed,
    reels: tuple[Reel, ...],
    page: tuple[float, float],
    bleed: float,
    pages: int,
    sides: int,
) -> tuple[Layout, ...]:
    found = [
        layout
        for turned, across, around in product((False, True), _to(MOST_ACROSS), _to(MOST_AROUND))
        for layout in _section(feed, reels, page, bleed, pages, sides, turned, across, around)
    ]
    return _best(found)


def _to(most: int) -> range:
    return range(1, most + 1)


def _section(
    feed: WebFeed,
    reels: tuple[Reel, ...],
    page: tuple[float, float],
    bleed: float,
    pages: int,
    sides: int,
    turned: bool,
    across: int,
    around: int,
) -> Iterator[Layout]:
    """Yield the layouts of one arrangement: for each number of webs that makes whole copies."""
    width, height = page
    wide = pages_span(across, height if turned else width, bleed, spine=not turned)
    long = pages_span(around, width if turned else height, bleed, spine=turned) + feed.gap_mm
    cutoff = max(long, feed.min_cutoff_mm)
    reel = _reel(feed, reels, wide + 2 * feed.side_mm)
    if reel is None or cutoff > feed.max_cutoff_mm + ROUNDING_MM:
        return
    for webs in _to(feed.webs):
        held = 2 * across * around * webs
        copies, rest = divmod(held, pages)
        gathered, over = divmod(pages, held)
        # Several webs fold together into one copy; copies lie side by side on one web only.
        fits = rest == 0 and (copies == 1 or (copies > 1 and webs == 1))
        collects = over == 0 and 2 <= gathered <= feed.most_collected
        if not (fits or collects):
            continue
        up, cycles = (copies, 1) if fits else (1, gathered)
        yield Layout(
            width_mm=reel.width_mm,
            length_mm=round(cutoff, 3),
            supply=reel,
            style=_style(sides),
            up=up,
            cycles_per_piece=cycles,
            webs=webs,
            across=across,
            around=around,
            delivery="copy" if feed.folds else "sheet",
            because=_told(reel, cutoff, across, around, webs, up, cycles, sides),
        )


def _told(
    reel: Reel,
    cutoff: float,
    across: int,
    around: int,
    webs: int,
    up: int,
    cycles: int,
    sides: int,
) -> str:
    gathered = f"{cycles} cut-offs gathered into a copy" if cycles > 1 else f"{up} copies a cut-off"
    printed = "both sides" if sides == 2 else "one side"
    if (up, cycles) == (1, 1):
        gathered = "a copy each cut-off"
    return (
        f"{across} pages across x {around} around, {printed} of {webs} web(s) of "
        f"{reel.width_mm:g} mm, cut off at {cutoff:g} mm: {gathered}"
    )


def _style(sides: int) -> WorkStyle:
    return "perfecting" if sides == 2 else "one_side"


def _reel(feed: WebFeed, reels: tuple[Reel, ...], wide: float) -> Reel | None:
    """Return the reel whose metre costs least of those that hold a row and run on the press."""
    fitting = [reel for reel in reels if wide <= reel.width_mm + ROUNDING_MM and feed.takes(reel)]
    return min(
        fitting, key=lambda reel: (reel.width_mm * reel.price_per_m2, reel.width_mm), default=None
    )


@lru_cache(maxsize=512)
def _leaves(
    feed: WebFeed,
    reels: tuple[Reel, ...],
    cell: tuple[float, float],
    gutter: float,
    sides: int,
    turns: tuple[bool, ...],
) -> tuple[Layout, ...]:
    found = []
    for turned, around, reel in product(turns, _to(MOST_AROUND), reels):
        wide, long = (cell[1], cell[0]) if turned else cell
        if not feed.takes(reel):
            continue
        room = reel.width_mm - 2 * feed.side_mm + gutter
        across = int((room + ROUNDING_MM) // wide)
        cutoff = max(around * long - gutter + feed.gap_mm, feed.min_cutoff_mm)
        # On fixed cylinders fewer around than fit would waste web for nothing.
        more_fit = (around + 1) * long - gutter + feed.gap_mm <= cutoff
        if across < 1 or more_fit or cutoff > feed.max_cutoff_mm + ROUNDING_MM:
            continue
        up = across * around
        grid = Grid(across, around, to_steps(wide), to_steps(long))
        found.append(
            Layout(
                width_mm=reel.width_mm,
                length_mm=round(cutoff, 3),
                supply=reel,
                style=_style(sides),
                up=up,
                pattern=Pattern(up, grid, to_steps(gutter), up),
                across=across,
                around=around,
                because=f"{across} across x {around} around on a web of {reel.width_mm:g} mm, "
                f"cut off at {cutoff:g} mm: {up} up",
            )
        )
    return _best(found)


def _best(layouts: list[Layout]) -> tuple[Layout, ...]:
    """Return the layouts that none matches in everything that costs, least stock first."""
    ranked = sorted(layouts, key=_burden)
    kept = unbeaten([_burden(layout) for layout in ranked])
    return tuple(ranked[number] for number in kept[:MOST_LAYOUTS])


def _burden(layout: Layout) -> tuple[float, ...]:
    """Stock, web and cycles a piece; gathering, webs and cuts; what carriers and waste count by."""
    price = layout.supply.price_per_m2 if isinstance(layout.supply, Reel) else 0.0
    return (
        round(layout.area_m2 / layout.pieces_per_cycle * price, 9),
        round(layout.length_mm / layout.pieces_per_cycle, 6),
        layout.cycles_per_piece,
        layout.webs,
        layout.area_m2,
        layout.length_mm,
        1 / layout.pieces_per_cycle,
        layout.pieces_per_cycle,  # what a spoiled cycle takes in ink and pages
        layout.cuts(gutter_between=True),
    )
