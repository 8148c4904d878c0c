"""Every sensible way to lay a leaf on the sheets of a press, cut from its stock's parents."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Literal

from ..feeds import SheetFeed, WorkStyle
from ..job import Ink, Part
from ..stock import Grain, ParentSheet
from ..work import Form, Layout, Work
from . import most_up
from .pattern import Pattern

# A parent is cut into at most this many press sheets along either side.
MOST_PARTS_ALONG_A_SIDE = 6

Cell = tuple[float, float]


def works(
    part: Part, feed: SheetFeed, layouts: tuple[Layout, ...] | None = None
) -> tuple[Work, ...]:
    """Return the works to cost for a part on a feed; none when no sheet can hold it.

    layouts: those of the press model where it brings its own, else the core's
    """
    found = sheet_layouts(part, feed) if layouts is None else layouts
    return tuple(Work(part, layout, forms(part, layout.style)) for layout in found)


def forms(part: Part, style: WorkStyle) -> tuple[Form, ...]:
    """Return the forms that a work style needs: what is on each set of image carriers."""
    if style in ("work_and_turn", "work_and_tumble"):
        return (Form("both", part.inks),)
    pairs: tuple[tuple[Literal["front", "back"], tuple[Ink, ...]], ...] = (
        ("front", part.front.inks),
        ("back", part.back.inks),
    )
    return tuple(Form(prints, inks) for prints, inks in pairs if inks)


def sheet_layouts(part: Part, feed: SheetFeed) -> tuple[Layout, ...]:
    """Return the layouts of a part on a sheet feed that can be cheapest, in a fixed order.

    A layout is left out only when another of the same style holds at least as many pieces, costs
    no more for its paper, and runs a sheet that is no larger either way: no press runs that dearer.
    """
    return _sheet_layouts(
        feed,
        part.stock.sheets,
        (part.flat_width_mm, part.flat_height_mm),
        part.bleed_mm,
        part.grain,
        len(part.sides) == 2,
    )


@lru_cache(maxsize=8_192)
def _sheet_layouts(
    feed: SheetFeed,
    parents: tuple[ParentSheet, ...],
    trimmed: Cell,
    bleed_mm: float,
    grain: str,
    two_sided: bool,
) -> tuple[Layout, ...]:
    cell = (trimmed[0] + 2 * bleed_mm, trimmed[1] + 2 * bleed_mm)
    styles = _styles(feed, two_sided)
    found = [
        layout
        for parent in parents
        for across, along, width, length, runs in _press_sheets(parent, feed)
        for style in styles
        if (layout := _lay(feed, parent, across, along, (width, length), runs, cell, grain, style))
    ]
    return tuple(layout for layout in found if not _beaten(layout, found))


def _styles(feed: SheetFeed, two_sided: bool) -> tuple[WorkStyle, ...]:
    if not two_sided:
        return ("one_side",)
    return tuple(style for style in feed.work_styles if style != "one_side")


def _press_sheets(
    parent: ParentSheet, feed: SheetFeed
) -> Iterator[tuple[int, int, float, float, Grain]]:
    """Equal press sheets that a parent cuts into and the feed takes, either edge first.

    Yields parts along the parent's short and long side, width, length, and which way the grain
    runs: "long" for along the direction of travel, "short" for across the machine.
    """
    for across in range(1, MOST_PARTS_ALONG_A_SIDE + 1):
        for along in range(1, MOST_PARTS_ALONG_A_SIDE + 1):
            short = round(parent.width_mm / across, 3)
            long = round(parent.height_mm / along, 3)
            if feed.takes(long, short):
                yield across, along, long, short, "short" if parent.grain == "long" else "long"
            if short != long and feed.takes(short, long):
                yield across, along, short, long, parent.grain


def _lay(
    feed: SheetFeed,
    parent: ParentSheet,
    across: int,
    along: int,
    sheet: Cell,
    runs: Grain,
    cell: Cell,
    grain: str,
    style: WorkStyle,
) -> Layout | None:
    """Lay pieces on one press sheet in one style, or None when not one fits."""
    width, length = sheet[0] - 2 * feed.side_mm, sheet[1] - _ends_mm(feed, style)
    halves = 1
    if style == "work_and_turn":
        width, halves = width / 2, 2
    elif style == "work_and_tumble":
        length, halves = length / 2, 2
    if width <= 0 or length <= 0:
        return None
    pattern = _most_up(width, length, cell, _piece_turned(cell, grain, runs))
    if pattern.up == 0:
        return None
    up = pattern.up * halves
    return Layout(
        *sheet,
        parent,
        across,
        along,
        style,
        up,
        pattern,
        _because(sheet, parent, across * along, up, pattern),
    )


def _ends_mm(feed: SheetFeed, style: WorkStyle) -> float:
    """Unprintable length of a sheet: gripper, tail and colour bar; two grippers when tumbled."""
    tail = max(feed.gripper_mm, feed.tail_mm) if style == "work_and_tumble" else feed.tail_mm
    return feed.gripper_mm + tail + feed.colour_bar_mm


def _piece_turned(cell: Cell, grain: str, runs: Grain) -> bool | None:
    """Whether the grain makes a piece lie turned on the sheet; None when either way will do."""
    if grain == "any" or cell[0] == cell[1]:
        return None
    grain_along_height = (cell[1] > cell[0]) == (grain == "long")
    return grain_along_height != (runs == "long")


def _most_up(width: float, length: float, cell: Cell, turned: bool | None) -> Pattern:
    if turned is None:
        return most_up(width, length, *cell)
    piece = (cell[1], cell[0]) if turned else cell
    return most_up(width, length, *piece, rotate=False)


def _because(sheet: Cell, parent: ParentSheet, out: int, up: int, pattern: Pattern) -> str:
    cut = "whole" if out == 1 else f"cut {out} out of"
    proved = "" if pattern.proved else f"; at most {pattern.most} could be cut from the same area"
    return f"{up} up on {sheet[0]:g} x {sheet[1]:g} mm, {cut} {parent.name}{proved}"


def _beaten(layout: Layout, others: list[Layout]) -> bool:
    return any(_beats(other, layout) for other in others if other is not layout)


def _beats(other: Layout, layout: Layout) -> bool:
    if other.style != layout.style or other.up < layout.up:
        return False
    theirs, ours = _paper_cost(other), _paper_cost(layout)
    if theirs > ours or other.width_mm > layout.width_mm or other.length_mm > layout.length_mm:
        return False
    same = (theirs, other.up, other.width_mm, other.length_mm) == (
        ours,
        layout.up,
        layout.width_mm,
        layout.length_mm,
    )
    return not same or (other.parent.name, other.out) < (layout.parent.name, layout.out)


def _paper_cost(layout: Layout) -> float:
    """Money for the paper of one press sheet; a fixed comparison for make-ready sheets as well."""
    return layout.parent.price / layout.out
