"""How pieces lie on a sheet: most-up by guillotine cuts, press sheets from parents, work styles."""

from __future__ import annotations

from functools import lru_cache

from .guillotine import CUT_BUDGET, LEAST_BUDGET, SHARED_BUDGET, SHEET_BUDGET, TurnedSearch
from .pattern import Block, Cut, Grid, Pattern, Placement, to_steps

__all__ = [
    "Block",
    "Cut",
    "Grid",
    "Imposer",
    "Pattern",
    "Placement",
    "grid_up",
    "most_up",
    "signature_pages",
]


def grid_up(
    sheet_width: float, sheet_height: float, piece_width: float, piece_height: float
) -> int:
    """Pieces of a straight grid, all as given; any one unit of length throughout.

    Division both ways and the product of the whole parts, as handbooks teach it.
    """
    columns = to_steps(sheet_width) // to_steps(piece_width)
    rows = to_steps(sheet_height) // to_steps(piece_height)
    return columns * rows


def most_up(
    sheet_width: float,
    sheet_height: float,
    piece_width: float,
    piece_height: float,
    *,
    rotate: bool = True,
    gutter: float = 0.0,
) -> Pattern:
    """The most pieces that a guillotine can cut from a sheet; any one unit of length throughout.

    rotate: whether a piece may lie turned (not when the grain is fixed)
    gutter: space between neighbours; none is needed at the outside. A sheet of L x W with gutter
        g holds what a sheet of (L + g) x (W + g) holds of pieces (l + g) x (w + g).
    Raises ValueError for a length that is not positive.
    """
    if min(sheet_width, sheet_height, piece_width, piece_height) <= 0 or gutter < 0:
        raise ValueError("lengths must be positive and the gutter must not be negative")
    space = to_steps(gutter)
    return _most_up(
        (to_steps(sheet_width) + space, to_steps(sheet_height) + space),
        (to_steps(piece_width) + space, to_steps(piece_height) + space),
        rotate,
        space,
    )


def signature_pages(
    sheet_width: float, sheet_height: float, page_width: float, page_height: float
) -> int:
    """Pages on both sides of a sheet that folds down to the page: a power of two each way.

    A 40-inch press holds eight letter pages a side, a 16-page signature: common practice, no
    source.
    """
    ways = ((page_width, page_height), (page_height, page_width))
    grids = [
        _power_of_two(to_steps(sheet_width) // to_steps(width))
        * _power_of_two(to_steps(sheet_height) // to_steps(height))
        for width, height in ways
    ]
    return 2 * max(grids)


def _power_of_two(count: int) -> int:
    """Return the largest power of two that is not above the count; 0 for 0."""
    return 1 << (count.bit_length() - 1) if count else 0


@lru_cache(maxsize=1_024)
def _most_up(sheet: tuple[int, int], piece: tuple[int, int], rotate: bool, gutter: int) -> Pattern:
    if not rotate or piece[0] == piece[1]:
        return _straight(sheet, piece, gutter)
    return _searched(TurnedSearch(piece, max(sheet)), sheet, gutter, CUT_BUDGET)


class Imposer:
    """`most_up` for one piece on many sheets, all searches within one shared budget.

    Made anew for each list of sheets, so that the same list always gives the same patterns.
    """

    def __init__(self, piece: tuple[float, float], longest: float, gutter: float) -> None:
        """Prepare for sheets up to `longest` either way; the unit is that of `most_up`."""
        self._gutter = to_steps(gutter)
        self._piece = (to_steps(piece[0]) + self._gutter, to_steps(piece[1]) + self._gutter)
        self._search = TurnedSearch(self._piece, to_steps(longest) + self._gutter)
        self._found: dict[tuple[int, int], Pattern] = {}

    def most_up(self, sheet_width: float, sheet_height: float) -> Pattern:
        """Return the most pieces found on a sheet, turned freely."""
        sheet = to_steps(sheet_width) + self._gutter, to_steps(sheet_height) + self._gutter
        if self._piece[0] == self._piece[1]:
            return _straight(sheet, self._piece, self._gutter)
        if sheet not in self._found:
            budget = max(min(SHEET_BUDGET, SHARED_BUDGET - self._search.tried), LEAST_BUDGET)
            self._found[sheet] = _searched(self._search, sheet, self._gutter, budget)
        return self._found[sheet]

    def straight(self, sheet_width: float, sheet_height: float, *, turned: bool) -> Pattern:
        """Return the straight grid on a sheet, all pieces as given or all turned."""
        sheet = to_steps(sheet_width) + self._gutter, to_steps(sheet_height) + self._gutter
        width, height = self._piece
        return _straight(sheet, (height, width) if turned else (width, height), self._gutter)


def _straight(sheet: tuple[int, int], piece: tuple[int, int], gutter: int) -> Pattern:
    grid = Grid(sheet[0] // piece[0], sheet[1] // piece[1], *piece)
    return Pattern(grid.up, grid, gutter, grid.up)


def _searched(search: TurnedSearch, sheet: tuple[int, int], gutter: int, budget: int) -> Pattern:
    block, most = search.run(sheet, budget)
    return Pattern(block.up, block, gutter, most)
