"""How pieces lie on a sheet: most-up by guillotine cuts, press sheets from parents, work styles."""

from __future__ import annotations

from functools import lru_cache

from .guillotine import TurnedSearch
from .pattern import Block, Cut, Grid, Pattern, Placement, to_steps

__all__ = ["Block", "Cut", "Grid", "Pattern", "Placement", "grid_up", "most_up", "signature_pages"]


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


@lru_cache(maxsize=16_384)
def _most_up(sheet: tuple[int, int], piece: tuple[int, int], rotate: bool, gutter: int) -> Pattern:
    if not rotate or piece[0] == piece[1]:
        grid = Grid(sheet[0] // piece[0], sheet[1] // piece[1], *piece)
        return Pattern(grid.up, grid, gutter, grid.up)
    search = TurnedSearch(sheet, piece)
    up, most = search.run()
    return Pattern(up, search.block(sheet), gutter, most)
