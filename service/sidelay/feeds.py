"""How a press takes its substrate. The core lays work out for a feed; the press model need not.

Four kinds: cut sheets; a web that is cut off into sheets or folded copies; a reel printed repeat by
repeat (labels, flexible packaging, wide-format rolls); single pieces on a platen or a pallet.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal, get_args

from .job import Kind
from .stock import Reel

WorkStyle = Literal["one_side", "sheetwise", "work_and_turn", "work_and_tumble", "perfecting"]
WORK_STYLES: tuple[WorkStyle, ...] = get_args(WorkStyle)
FeedKind = Literal["sheet", "web", "reel", "piece"]
FEED_KINDS: tuple[FeedKind, ...] = get_args(FeedKind)


@dataclass(frozen=True, slots=True)
class SheetFeed:
    """A press fed with cut sheets. All lengths in mm.

    min_width_mm .. max_width_mm: across the machine, along the edge that goes in first
    min_length_mm .. max_length_mm: in the direction of travel
    gripper_mm: strip that cannot print at the edge that goes in first
    tail_mm: the same at the other end
    side_mm: the same at each side
    colour_bar_mm: strip kept for the control bar, beside the tail
    image_width_mm, image_length_mm: the largest image that a chase or a frame holds, where that is
        less than the sheet
    work_styles: ways to print the second side; "one_side" is always possible
    """

    kind: ClassVar[FeedKind] = "sheet"
    makes: ClassVar[tuple[Kind, ...]] = (
        "leaf",
        "section",
        "cover",
        "insert",
        "envelope",
        "carton",
    )
    min_width_mm: float
    max_width_mm: float
    min_length_mm: float
    max_length_mm: float
    gripper_mm: float
    tail_mm: float
    side_mm: float
    colour_bar_mm: float
    work_styles: tuple[WorkStyle, ...]
    image_width_mm: float | None = None
    image_length_mm: float | None = None

    def takes(self, width_mm: float, length_mm: float) -> bool:
        """Whether a sheet of this width and length runs through the press."""
        return (
            self.min_width_mm <= width_mm <= self.max_width_mm
            and self.min_length_mm <= length_mm <= self.max_length_mm
        )

    def printable_mm(self, width_mm: float, length_mm: float, *, two_grippers: bool) -> Area:
        """Width and length that print on a sheet; two_grippers: the tail goes in first later."""
        tail = max(self.gripper_mm, self.tail_mm) if two_grippers else self.tail_mm
        width = width_mm - 2 * self.side_mm
        length = length_mm - self.gripper_mm - tail - self.colour_bar_mm
        return (
            min(width, self.image_width_mm or width),
            min(length, self.image_length_mm or length),
        )


Area = tuple[float, float]


@dataclass(frozen=True, slots=True)
class WebFeed:
    """A press fed with a web that is cut off into sheets or folded copies. All lengths in mm.

    min_width_mm .. max_width_mm: web
    min_cutoff_mm .. max_cutoff_mm: length of one cut-off; equal where the cylinders are fixed
    side_mm: strip that cannot print at each edge of the web
    gap_mm: strip lost on each cut-off (plate gap, cut)
    webs: webs that run together into one copy, one for each reelstand
    most_collected: cut-offs that the folder gathers into one copy: 1 runs straight only, 2 can
        collect; a plateless press that prints page after page gathers many
    both_sides: whether both sides of the web print in one pass
    folds: whether a folder in line delivers folded copies; without one sheets are delivered
    reel_waste: share of a reel lost at its start and on its core
    min_reel_m, max_reel_m: shortest and longest reel that its stand is made for
    """

    kind: ClassVar[FeedKind] = "web"
    makes: ClassVar[tuple[Kind, ...]] = ("leaf", "section", "insert")
    min_width_mm: float
    max_width_mm: float
    min_cutoff_mm: float
    max_cutoff_mm: float
    side_mm: float
    gap_mm: float
    webs: int
    most_collected: int
    both_sides: bool
    folds: bool
    reel_waste: float
    min_reel_m: float = 0.0
    max_reel_m: float = 1e6

    def takes(self, reel: Reel) -> bool:
        """Whether a reel goes onto the stand and its web through the press."""
        return _runs(self, reel)


@dataclass(frozen=True, slots=True)
class ReelFeed:
    """A press fed with a reel and printing repeat after repeat, rewound or cut off. Lengths in mm.

    min_width_mm .. max_width_mm: web
    repeats_mm: circumferences of the cylinders in stock; empty where any length can be had
    min_repeat_mm .. max_repeat_mm: shortest and longest repeat where any length can be had; a
        plateless press prints row by row
    side_mm: strip that cannot print at each edge
    both_sides: whether a turn bar or a second engine prints the back in the same pass
    dies_in_line: whether labels are cut and their matrix stripped on the press itself
    cuts_off: whether rows can be cut off as sheets: what a wide-format printer does
    reel_waste: share of a reel lost at its start and on its core
    min_reel_m, max_reel_m: shortest and longest reel that its stand is made for
    """

    kind: ClassVar[FeedKind] = "reel"
    min_width_mm: float
    max_width_mm: float
    repeats_mm: tuple[float, ...]
    min_repeat_mm: float
    max_repeat_mm: float
    side_mm: float
    both_sides: bool
    dies_in_line: bool
    cuts_off: bool
    reel_waste: float
    min_reel_m: float = 0.0
    max_reel_m: float = 1e6

    @property
    def makes(self) -> tuple[Kind, ...]:
        """Kinds of part that it delivers."""
        return ("label", "web", "leaf") if self.cuts_off else ("label", "web")

    def takes(self, reel: Reel) -> bool:
        """Whether a reel goes onto the stand and its web through the press."""
        return _runs(self, reel)


@dataclass(frozen=True, slots=True)
class PieceFeed:
    """A press that takes single pieces: garments on pallets, cartons or bottles on a belt.

    max_width_mm, max_length_mm: the largest print on one piece
    both_sides: whether a piece can be loaded a second time for its other side
    """

    kind: ClassVar[FeedKind] = "piece"
    makes: ClassVar[tuple[Kind, ...]] = ("piece",)
    max_width_mm: float
    max_length_mm: float
    both_sides: bool


def _runs(feed: WebFeed | ReelFeed, reel: Reel) -> bool:
    return (
        feed.min_width_mm <= reel.width_mm <= feed.max_width_mm
        and feed.min_reel_m <= reel.length_m <= feed.max_reel_m
    )


Feed = SheetFeed | WebFeed | ReelFeed | PieceFeed


def both_sides_in_one_pass(feed: Feed) -> bool:
    """Whether a feed lets a press print both sides before the stock leaves it."""
    match feed:
        case SheetFeed():
            return "perfecting" in feed.work_styles
        case WebFeed() | ReelFeed():
            return feed.both_sides
        case PieceFeed():
            return False
