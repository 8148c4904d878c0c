"""Every way to lay a leaf on the sheets of a press, cut from the parents of its stock."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from ..feeds import SheetFeed, WorkStyle
from ..job import GrainWish, Part
from ..stock import Grain, ParentSheet
from ..work import Layout
from . import Imposer
from .pareto import unbeaten
from .pattern import Pattern

# A parent is cut into at most this many press sheets along either side.
MOST_PARTS_ALONG_A_SIDE = 4
ROUNDING_MM = 1e-3
# Styles that print both sides from one form compete with each other.
_ONE_FORM = dict.fromkeys(("work_and_turn", "work_and_tumble"), "one form")


@dataclass(frozen=True, slots=True)
class _Cell:
    """The room one piece needs, bleed included [mm]; its gutter, and the grain it must follow."""

    width: float
    height: float
    gutter: float
    grain: GrainWish

    def fits(self, width: float, length: float) -> bool:
        """Whether an area may hold one piece; the search settles what lies within rounding."""
        room = (width, length) if width <= length else (length, width)
        sides = (
            (self.width, self.height) if self.width <= self.height else (self.height, self.width)
        )
        return sides[0] <= room[0] + ROUNDING_MM and sides[1] <= room[1] + ROUNDING_MM


@dataclass(frozen=True, slots=True)
class _PressSheet:
    """An equal share of a parent, fed one edge or the other first.

    grain: "long" for grain in the direction of travel, "short" for grain across the machine
    """

    parent: ParentSheet
    parts_across: int
    parts_along: int
    width: float
    length: float
    grain: Grain

    def because(self, up: int, pattern: Pattern) -> str:
        """Say how many lie on the sheet and where it comes from."""
        out = self.parts_across * self.parts_along
        cut = "whole" if out == 1 else f"cut {out} out of"
        unproved = (
            f"; at most {pattern.most} on a half or whole sheet" if not pattern.proved else ""
        )
        size = f"{self.width:g} x {self.length:g} mm"
        return f"{up} up on {size}, {cut} {self.parent.name}{unproved}"


def sheet_layouts(part: Part, feed: SheetFeed) -> tuple[Layout, ...]:
    """Return the layouts of a part on a sheet feed that can be cheapest, in a fixed order.

    A layout is left out only when another of the same style is no worse in anything that costs:
    as many pieces, paper no dearer, a sheet no larger and no longer in the direction of travel, no
    more cuts. Width alone makes no sheet dearer to run, so nothing that could win is lost. A sheet
    that is turned may leave out one that is tumbled, never the other way.
    """
    cell = _Cell(
        part.flat_width_mm + 2 * part.bleed_mm,
        part.flat_height_mm + 2 * part.bleed_mm,
        part.gutter_mm,
        part.grain,
    )
    gutter_between = part.bleed_mm > 0 or part.gutter_mm > 0
    return _sheet_layouts(feed, part.stock.sheets, cell, gutter_between, len(part.sides) == 2)


@lru_cache(maxsize=1_024)
def _sheet_layouts(
    feed: SheetFeed,
    parents: tuple[ParentSheet, ...],
    cell: _Cell,
    gutter_between: bool,
    two_sided: bool,
) -> tuple[Layout, ...]:
    longest = max(feed.max_width_mm, feed.max_length_mm)
    imposer = Imposer((cell.width, cell.height), longest, cell.gutter)
    found = [
        layout
        for parent in parents
        for sheet in _press_sheets(parent, feed)
        for style in _styles(feed, two_sided)
        if (layout := _lay(feed, sheet, cell, style, imposer))
    ]
    burdens = [_burden(layout, layout.sheet, gutter_between) for layout in found]
    kept = unbeaten(burdens, [_ONE_FORM.get(layout.style, layout.style) for layout in found])
    return tuple(found[number] for number in kept)


def _styles(feed: SheetFeed, two_sided: bool) -> tuple[WorkStyle, ...]:
    if not two_sided:
        return ("one_side",)
    return tuple(style for style in feed.work_styles if style != "one_side")


def _press_sheets(parent: ParentSheet, feed: SheetFeed) -> Iterator[_PressSheet]:
    """Equal press sheets that a parent cuts into and the feed takes, either edge first."""
    turned: Grain = "short" if parent.grain == "long" else "long"
    for across in range(1, MOST_PARTS_ALONG_A_SIDE + 1):
        for along in range(1, MOST_PARTS_ALONG_A_SIDE + 1):
            short = round(parent.width_mm / across, 3)
            long = round(parent.height_mm / along, 3)
            if feed.takes(long, short):
                yield _PressSheet(parent, across, along, long, short, turned)
            if short != long and feed.takes(short, long):
                yield _PressSheet(parent, across, along, short, long, parent.grain)


def _lay(
    feed: SheetFeed, sheet: _PressSheet, cell: _Cell, style: WorkStyle, imposer: Imposer
) -> Layout | None:
    """Lay pieces on one press sheet in one style, or None when not one fits."""
    # Tumbled sheets, and those that a reversing drum takes by the tail, need two gripper edges.
    two_grippers = style in ("work_and_tumble", "perfecting")
    width, length = feed.printable_mm(sheet.width, sheet.length, two_grippers=two_grippers)
    halves = 1
    if style == "work_and_turn":
        width, halves = (width - cell.gutter) / 2, 2
    elif style == "work_and_tumble":
        length, halves = (length - cell.gutter) / 2, 2
    if not cell.fits(width, length):
        return None
    pattern = _most_up(width, length, cell, sheet.grain, imposer)
    if pattern.up == 0:
        return None
    up = pattern.up * halves
    return Layout(
        width_mm=sheet.width,
        length_mm=sheet.length,
        supply=sheet.parent,
        parts_across=sheet.parts_across,
        parts_along=sheet.parts_along,
        style=style,
        up=up,
        pattern=pattern,
        because=sheet.because(up, pattern),
    )


def _most_up(width: float, length: float, cell: _Cell, grain: Grain, imposer: Imposer) -> Pattern:
    """The most pieces on an area, turned freely or as the grain makes them lie."""
    if cell.grain == "any" or cell.width == cell.height:
        return imposer.most_up(width, length)
    along_height = (cell.height > cell.width) == (cell.grain == "long")
    return imposer.straight(width, length, turned=along_height != (grain == "long"))


def _burden(layout: Layout, parent: ParentSheet | None, gutter_between: bool) -> tuple[float, ...]:
    """Everything in which one layout can cost more than another of its style; less is better."""
    return (
        -layout.up,
        (parent.price if parent else 0.0) / layout.out,
        layout.length_mm,
        layout.area_m2,
        layout.cuts(gutter_between=gutter_between),
        layout.parts_across + layout.parts_along,
        -layout.out,
        # Turned rather than tumbled: the same edge stays in the gripper.
        layout.style == "work_and_tumble",
    )
