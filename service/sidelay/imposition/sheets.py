"""Every way to lay a leaf on the sheets of a press, cut from the parents of its stock."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from ..feeds import SheetFeed, WorkStyle
from ..job import GrainWish, Part
from ..stock import Grain, ParentSheet
from ..work import Layout, sheet_cuts
from . import Imposer
from .pareto import unbeaten
from .pattern import Pattern, to_steps

# A parent is cut into at most this many press sheets along either side.
MOST_PARTS_ALONG_A_SIDE = 4
# Envelopes are made no more exactly than this, and ordered by their nominal size.
READY_MADE_TOLERANCE_MM = 2.0
# Styles that print both sides from one form compete with each other.
_ONE_FORM = dict.fromkeys(("work_and_turn", "work_and_tumble"), "one form")


@dataclass(frozen=True, slots=True)
class _Cell:
    """The room one piece needs, bleed included [mm]; its gutter, and the grain it must follow."""

    width: float
    height: float
    gutter: float
    grain: GrainWish

    @property
    def may_turn(self) -> bool:
        """Whether a piece may lie either way."""
        return self.grain == "any" or self.width == self.height

    def turned(self, grain: Grain) -> bool:
        """Whether the grain of a press sheet makes the piece lie turned."""
        along_height = (self.height > self.width) == (self.grain == "long")
        return along_height != (grain == "long")

    def fits(self, width: float, length: float, grain: Grain) -> bool:
        """Whether an area of a press sheet holds one piece."""
        if self.may_turn:
            return self._lies(width, length) or self._lies(length, width)
        return self._lies(length, width) if self.turned(grain) else self._lies(width, length)

    def _lies(self, width: float, length: float) -> bool:
        return to_steps(self.width) <= to_steps(width) and to_steps(self.height) <= to_steps(length)


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


class _Laid(NamedTuple):
    """So many pieces on a press sheet in one style; the pattern is that of one form."""

    sheet: _PressSheet
    style: WorkStyle
    up: int
    pattern: Pattern

    def burden(self, gutter_between: bool, dies: bool) -> tuple[float, ...]:
        """Everything in which it can cost more than another of its style; less is better.

        dies: whether each piece on the sheet takes a die of its own
        """
        sheet = self.sheet
        out = sheet.parts_across * sheet.parts_along
        halves = self.up // self.pattern.up
        return (
            -self.up,
            sheet.parent.price / out,
            sheet.length,
            sheet.width * sheet.length,
            sheet_cuts(self.pattern, halves, gutter_between=gutter_between),
            sheet.parts_across + sheet.parts_along,
            -out,
            self.up if dies else 0,
            # Turned rather than tumbled: the same edge stays in the gripper.
            self.style == "work_and_tumble",
        )

    def layout(self) -> Layout:
        """Return it as a layout."""
        sheet = self.sheet
        return Layout(
            width_mm=sheet.width,
            length_mm=sheet.length,
            supply=sheet.parent,
            parts_across=sheet.parts_across,
            parts_along=sheet.parts_along,
            style=self.style,
            up=self.up,
            pattern=self.pattern,
            because=self._because(),
        )

    def _because(self) -> str:
        """Say how many lie on the sheet and where it comes from."""
        sheet, most = self.sheet, self.pattern.most
        out = sheet.parts_across * sheet.parts_along
        cut = "whole" if out == 1 else f"cut {out} out of"
        unproved = f"; at most {most} on a half or whole sheet" if not self.pattern.proved else ""
        size = f"{sheet.width:g} x {sheet.length:g} mm"
        return f"{self.up} up on {size}, {cut} {sheet.parent.name}{unproved}"


def sheet_layouts(part: Part, feed: SheetFeed) -> tuple[Layout, ...]:
    """Return the layouts of a part on a sheet feed that can be cheapest, in a fixed order.

    A layout is left out only when another of the same style is no worse in anything that costs:
    as many pieces, paper no dearer, a sheet no larger and no longer in the direction of travel, no
    more cuts. Width alone makes no sheet dearer to run, so nothing that could win is lost. A sheet
    that is turned may leave out one that is tumbled, never the other way.
    """
    if part.ready_made:
        return _ready_made_layouts(part, feed)
    gutter_between = part.bleed_mm > 0 or part.gutter_mm > 0
    return _sheet_layouts(
        feed,
        part.stock.sheets,
        _cell(part),
        gutter_between,
        len(part.sides) == 2,
        part.kind == "carton",
    )


def holds_a_piece(part: Part, feed: SheetFeed) -> bool:
    """Whether there is any layout of a part on a sheet feed, without laying it out."""
    if part.ready_made:
        return bool(_ready_made_layouts(part, feed))
    cell, two_sided = _cell(part), len(part.sides) == 2
    return any(
        cell.fits(*_room(feed, sheet, style, cell.gutter), sheet.grain)
        for parent in part.stock.sheets
        for sheet in _press_sheets(parent, feed)
        for style in _styles(feed, two_sided)
    )


def _ready_made_layouts(part: Part, feed: SheetFeed) -> tuple[Layout, ...]:
    """A ready-made piece of the size wanted, one at a time, either edge first.

    Its print stays off the edges that the press holds; nothing is cut.
    """
    wanted = sorted((part.flat_width_mm, part.flat_height_mm))
    styles: tuple[WorkStyle, ...] = ("sheetwise",) if len(part.sides) == 2 else ("one_side",)
    found = []
    for parent in part.stock.sheets:
        size = parent.width_mm, parent.height_mm
        off = [abs(a - b) for a, b in zip(wanted, sorted(size), strict=True)]
        if max(off) > READY_MADE_TOLERANCE_MM:
            continue
        for width, length in dict.fromkeys((size, size[::-1])):
            if feed.takes(width, length):
                told = f"one up on a piece of {parent.name}, {width:g} mm across the press"
                found += [
                    Layout(width, length, parent, style, 1, because=told)
                    for style in styles
                    if style in (*feed.work_styles, "one_side")
                ]
    return tuple(found)


def rooms_on_sheets(part: Part, feed: SheetFeed) -> list[tuple[float, float]]:
    """Width and length [mm] that print on each press sheet of a part's stock, in one style each."""
    return [
        _room(feed, sheet, "sheetwise", part.gutter_mm)
        for parent in part.stock.sheets
        for sheet in _press_sheets(parent, feed)
    ]


def _cell(part: Part) -> _Cell:
    bleed = 2 * part.bleed_mm
    return _Cell(
        part.flat_width_mm + bleed, part.flat_height_mm + bleed, part.gutter_mm, part.grain
    )


@lru_cache(maxsize=1_024)
def _sheet_layouts(
    feed: SheetFeed,
    parents: tuple[ParentSheet, ...],
    cell: _Cell,
    gutter_between: bool,
    two_sided: bool,
    dies: bool,
) -> tuple[Layout, ...]:
    longest = max(feed.max_width_mm, feed.max_length_mm)
    imposer = Imposer((cell.width, cell.height), longest, cell.gutter)
    found = [
        laid
        for parent in parents
        for sheet in _press_sheets(parent, feed)
        for style in _styles(feed, two_sided)
        if (laid := _lay(feed, sheet, cell, style, imposer))
    ]
    burdens = [laid.burden(gutter_between, dies) for laid in found]
    kept = unbeaten(burdens, [_ONE_FORM.get(laid.style, laid.style) for laid in found])
    return tuple(found[number].layout() for number in kept)


def _styles(feed: SheetFeed, two_sided: bool) -> tuple[WorkStyle, ...]:
    if not two_sided:
        return ("one_side",)
    return tuple(style for style in feed.work_styles if style != "one_side")


@lru_cache(maxsize=4_096)
def _press_sheets(parent: ParentSheet, feed: SheetFeed) -> tuple[_PressSheet, ...]:
    """Equal press sheets that a parent cuts into and the feed takes, either edge first."""
    return tuple(_cut_parent(parent, feed))


def _cut_parent(parent: ParentSheet, feed: SheetFeed) -> Iterator[_PressSheet]:
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
) -> _Laid | None:
    """Lay pieces on one press sheet in one style, or None when not one fits."""
    width, length = _room(feed, sheet, style, cell.gutter)
    if not cell.fits(width, length, sheet.grain):
        return None
    if cell.may_turn:
        pattern = imposer.most_up(width, length)
    else:
        pattern = imposer.straight(width, length, turned=cell.turned(sheet.grain))
    return _Laid(sheet, style, pattern.up * (2 if style in _ONE_FORM else 1), pattern)


def _room(
    feed: SheetFeed, sheet: _PressSheet, style: WorkStyle, gutter: float
) -> tuple[float, float]:
    """Width and length [mm] that one form prints on a press sheet: half of it where it turns."""
    # Tumbled sheets, and those that a reversing drum takes by the tail, need two gripper edges.
    two_grippers = style in ("work_and_tumble", "perfecting")
    width, length = feed.printable_mm(sheet.width, sheet.length, two_grippers=two_grippers)
    if style == "work_and_turn":
        return (width - gutter) / 2, length
    if style == "work_and_tumble":
        return width, (length - gutter) / 2
    return width, length
