"""The largest that a press takes, and how much of a part lies on one side of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..feeds import Feed, PieceFeed, ReelFeed, SheetFeed, WebFeed
from ..job import LEAF_METHODS, Part, Side
from ..paper import whole_down
from ..stock import Blank, Reel
from .sections import SHEET_SECTIONS, WEB_SECTIONS, leaf, section
from .works import layouts_for


def largest_mm(feed: Feed) -> tuple[float, float]:
    """Width and length [mm] of the largest sheet, cut-off, repeat or print that a feed takes."""
    match feed:
        case SheetFeed():
            return feed.max_width_mm, feed.max_length_mm
        case WebFeed():
            return feed.max_width_mm, feed.max_cutoff_mm
        case ReelFeed():
            return feed.max_width_mm, max(feed.repeats_mm, default=feed.max_repeat_mm)
        case PieceFeed():
            return feed.max_width_mm, feed.max_length_mm


def most_on(part: Part, feed: Feed) -> int | None:
    """Pieces of a part on one side of the largest that a feed takes, bleed and gutters kept.

    Of pages that are bound or folded together, pages. On a web those of one cut-off or repeat of
    one web: where rows may be cut off singly, of one row. 0 where not one fits; None where the
    press is fed with something else. The stock is taken as made in that size, its grain as wanted.
    """
    if part.kind not in feed.makes:
        return None
    if isinstance(feed, SheetFeed):
        return _on_sheet(part, feed)
    width, length = largest_mm(feed)
    reel_m = feed.max_reel_m if isinstance(feed, WebFeed | ReelFeed) else 0.0
    stock = replace(
        part.stock,
        sheets=(),
        reels=(Reel(width, reel_m, 1.0, ""),),
        blanks=(Blank("", width, length, 1.0, ""),),
    )
    one_sided = replace(part, stock=stock, front=next(iter(part.sides), part.front), back=Side())
    counts = (
        layout.across * layout.around
        for laid in _as_bound(one_sided, WEB_SECTIONS)
        for layout in layouts_for(laid, feed)
    )
    return max(counts, default=0)


def _as_bound(part: Part, sizes: Sequence[int]) -> list[Part]:
    """Return a part as it may be laid: whole, or its sections, or its single leaves."""
    if part.bound_in is None:
        return [part]
    if part.bound_in in LEAF_METHODS:
        return [leaf(part)]
    return [section(part, size) for size in sizes if size <= part.pages]


def _on_sheet(part: Part, feed: SheetFeed) -> int:
    if part.ready_made:
        ways = (part.flat_width_mm, part.flat_height_mm), (part.flat_height_mm, part.flat_width_mm)
        return int(any(feed.takes(*way) for way in ways))
    if part.kind != "section":
        return _up(part, feed)
    laid = _as_bound(part, SHEET_SECTIONS)
    return max((_up(each, feed) * each.pages // 2 for each in laid), default=0)


def _up(part: Part, feed: SheetFeed) -> int:
    """Pieces on the largest sheet in straight rows, all one way round.

    Mixed ways round may hold a few more. That is searched for on the sheets that the job can really
    lie on; for a figure that only tells how large a press is it would take too long.
    """
    room = feed.printable_mm(feed.max_width_mm, feed.max_length_mm, two_grippers=False)
    wide, long = (side + 2 * part.bleed_mm for side in (part.flat_width_mm, part.flat_height_mm))
    return max(_in_rows(room, way, part.gutter_mm) for way in ((wide, long), (long, wide)))


def _in_rows(room: tuple[float, float], piece: tuple[float, float], gutter: float) -> int:
    across, along = (
        whole_down((have + gutter) / (takes + gutter))
        for have, takes in zip(room, piece, strict=True)
    )
    return max(across, 0) * max(along, 0)
