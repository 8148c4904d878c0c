"""How equal pieces lie on a sheet: a tree of edge-to-edge cuts whose leaves are straight grids."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

# Lengths are held as whole steps of a hundred-thousandth of the caller's unit, fine enough for
# thirty-seconds of an inch in mm (0.79375), so that 8.5 in and 215.9 mm compare exactly and a piece
# of 210 mm fits twice into 420 mm.
STEPS_PER_UNIT = 100_000


def to_steps(length: float) -> int:
    """Return a length as a whole number of steps."""
    return round(length * STEPS_PER_UNIT)


class Placement(NamedTuple):
    """One piece on the sheet: corner nearest the origin and size, in the sheet's unit."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Grid:
    """A straight grid: columns x rows of pieces, each piece_width x piece_height [steps]."""

    columns: int
    rows: int
    piece_width: int
    piece_height: int

    @property
    def up(self) -> int:
        """Pieces in the grid."""
        return self.columns * self.rows


@dataclass(frozen=True, slots=True)
class Cut:
    """One edge-to-edge cut: `first` lies before `at` [steps] along the axis, `second` beyond it."""

    across_width: bool
    at: int
    first: Grid | Cut
    second: Grid | Cut

    @property
    def up(self) -> int:
        """Pieces on both sides of the cut."""
        return self.first.up + self.second.up


Block = Grid | Cut


@dataclass(frozen=True, slots=True)
class Pattern:
    """The most pieces found on a sheet, and the cuts that free them.

    up: pieces on the sheet
    block: the tree of cuts; its lengths include the gutter
    gutter: space left between neighbours [steps]
    most: an upper bound on any guillotine pattern; equal to `up` when the count is proved
    """

    up: int
    block: Block
    gutter: int
    most: int

    @property
    def proved(self) -> bool:
        """Whether no guillotine pattern can hold one piece more."""
        return self.up == self.most

    def placements(self) -> list[Placement]:
        """Every piece on the sheet, in the sheet's own unit, gutters left out."""
        return list(_placements(self.block, 0, 0, self.gutter))

    def printed_width(self) -> float:
        """From the first piece across to the last, in the sheet's own unit: all that prints."""
        return _right(self.block, self.gutter) / STEPS_PER_UNIT

    def cuts(self, *, gutter_between: bool) -> int:
        """Guillotine cuts that free all pieces of one lift.

        Four cuts square up the outside. A straight grid of c x r takes (c - 1) + (r - 1) further
        cuts, since the strips of one lift are turned and cut side by side; twice that when a
        gutter of bleed between neighbours has to be cut out. Common practice, no source.
        """
        return 4 + _inner_cuts(self.block) * (2 if gutter_between else 1)


def _placements(block: Block, x: int, y: int, gutter: int) -> Iterator[Placement]:
    if isinstance(block, Cut):
        yield from _placements(block.first, x, y, gutter)
        dx, dy = (block.at, 0) if block.across_width else (0, block.at)
        yield from _placements(block.second, x + dx, y + dy, gutter)
        return
    for column in range(block.columns):
        for row in range(block.rows):
            yield Placement(
                (x + column * block.piece_width) / STEPS_PER_UNIT,
                (y + row * block.piece_height) / STEPS_PER_UNIT,
                (block.piece_width - gutter) / STEPS_PER_UNIT,
                (block.piece_height - gutter) / STEPS_PER_UNIT,
            )


def _right(block: Block, gutter: int) -> int:
    """Where the last piece across ends [steps]; the first begins at 0."""
    if isinstance(block, Cut):
        moved = block.at if block.across_width else 0
        return max(_right(block.first, gutter), moved + _right(block.second, gutter))
    return block.columns * block.piece_width - gutter


def _inner_cuts(block: Block) -> int:
    if isinstance(block, Cut):
        return 1 + _inner_cuts(block.first) + _inner_cuts(block.second)
    return max(block.columns - 1, 0) + max(block.rows - 1, 0)
