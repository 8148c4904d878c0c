"""The most equal pieces that edge-to-edge cuts can free from a sheet, turned pieces allowed.

A branch and bound over guillotine cuts. A cut need only fall where whole pieces, lying either way,
end (the "normal" positions a x length + b x width); a rectangle is worth as much as the largest
one that ends on such positions; and two bounds stop the search early:

- below: the better of the two straight grids;
- above: the area, less the waste that no arrangement can avoid. A piece l x w is also w bars of
  1 x l, and bars of 1 x k leave at least min(r s, (k - r)(k - s)) of an X x Y rectangle empty,
  with r = X mod k and s = Y mod k (F. W. Barnes, "Packing the maximum number of m x n tiles in a
  large p x q rectangle", Discrete Mathematics 26, 1979; from memory).

A search stops at a budget of cuts tried, not of seconds, so that it always stops at the same place.
"""

from __future__ import annotations

from bisect import bisect_right

from .pattern import Block, Cut, Grid

# Cuts that one search may try before it settles for the best pattern in hand. Anything up to some
# hundreds of pieces is proved well inside it; Pattern.proved tells the rest.
CUT_BUDGET = 120_000
# What the searches of one piece on the sheets of one press may try, each and together, and what
# each may try even when the others have used that up. Several parts of tiny pieces have to be laid
# on every press in a second or two; it loses less than one in a hundred, of hundreds on a sheet.
SHEET_BUDGET = 30_000
SHARED_BUDGET = 60_000
LEAST_BUDGET = 1_500


class _Node:
    """A rectangle, long side first, with what is known of its count: lower <= count <= upper."""

    __slots__ = ("cut_side", "first", "lower", "second", "upper", "x", "y")

    def __init__(self, x: int, y: int, lower: int, upper: int) -> None:
        self.x, self.y, self.lower, self.upper = x, y, lower, upper
        self.cut_side = 0
        self.first: _Node | None = None
        self.second: _Node | None = None


class TurnedSearch:
    """Searches for one piece [steps] that may lie either way, on any number of sheets.

    What is learnt of a rectangle on one sheet serves the next, so that the same sheets in the same
    order always give the same patterns.

    tried: cuts tried so far
    """

    def __init__(self, piece: tuple[int, int], longest: int) -> None:
        """Prepare for sheets up to `longest` either way."""
        self._long, self._short = max(piece), min(piece)
        self._area = self._long * self._short
        self._nodes: dict[tuple[int, int], _Node] = {}
        self._ends = _piece_ends(longest, self._long, self._short)
        self._stop = 0
        self.tried = 0

    def run(self, sheet: tuple[int, int], budget: int = CUT_BUDGET) -> tuple[Block, int]:
        """Return the best pattern found on a sheet and an upper bound on its count.

        The two agree unless the budget of cuts to try ran out.
        """
        root = self._node(self._reduced(sheet[0]), self._reduced(sheet[1]))
        self._stop = self.tried + budget
        while root.lower < root.upper and self._reaches(root, root.lower + 1):
            pass
        return self._block(root, turned=sheet[0] < sheet[1]), root.upper

    def _reduced(self, length: int) -> int:
        return self._ends[bisect_right(self._ends, length) - 1]

    def _node(self, x: int, y: int) -> _Node:
        if x < y:
            x, y = y, x
        node = self._nodes.get((x, y))
        if node is None:
            node = self._nodes[x, y] = _Node(x, y, *self._bounds(x, y))
        return node

    def _bounds(self, x: int, y: int) -> tuple[int, int]:
        long, short = self._long, self._short
        lower = max((x // long) * (y // short), (x // short) * (y // long))
        if lower == 0:
            return 0, 0
        waste = max(_bar_waste(x, y, long), _bar_waste(x, y, short))
        return lower, (x * y - waste) // self._area

    def _reaches(self, node: _Node, need: int) -> bool:
        """Whether some pattern on the node holds `need` pieces; narrows the node's bounds."""
        if node.lower >= need:
            return True
        if node.upper < need or self.tried >= self._stop:
            return False
        for _, _, _, side, first, second in self._promising(node, need):
            if self._together(first, second, need):
                node.lower = first.lower + second.lower
                node.cut_side, node.first, node.second = side, first, second
                return True
        if self.tried < self._stop:
            node.upper = need - 1
        return False

    def _promising(self, node: _Node, need: int) -> list[tuple[int, int, int, int, _Node, _Node]]:
        """Cuts whose two sides might hold `need` together, the most hopeful first."""
        found = []
        ends, rectangle = self._ends, self._node
        sides = ((node.x, node.y),) if node.x == node.y else ((node.x, node.y), (node.y, node.x))
        for side, other in sides:
            positions = ends[1 : bisect_right(ends, side // 2)]
            self.tried += len(positions)
            least = need * self._area
            for at in positions:
                rest = ends[bisect_right(ends, side - at) - 1]
                if (at + rest) * other < least:
                    continue
                first = rectangle(at, other)
                second = rectangle(rest, other)
                upper = first.upper + second.upper
                if upper >= need:
                    lower = first.lower + second.lower
                    found.append((-lower, -upper, at, side, first, second))
        found.sort(key=lambda cut: cut[:4])
        return found

    def _together(self, first: _Node, second: _Node, need: int) -> bool:
        """Whether two rectangles together hold `need`, each searched no further than it must."""
        while first.upper + second.upper >= need:
            if first.lower + second.lower >= need:
                return True
            if not self._reaches(first, need - second.upper):
                return False
            if first.lower + second.lower >= need:
                return True
            before = second.upper
            if not self._reaches(second, need - first.lower) and second.upper == before:
                return False  # the budget ran out: no bound moved
        return False

    def _block(self, node: _Node, *, turned: bool) -> Block:
        """Lay the node's cuts out; `turned`: the node's long side runs along the height."""
        if node.first is None or node.second is None:
            return self._grid(node, turned=turned)
        # Both sides of a cut share the other side of the node's rectangle.
        other = node.y if node.cut_side == node.x else node.x
        across_width = (node.cut_side == node.x) != turned
        sides = []
        for child in (node.first, node.second):
            along = child.y if child.x == other else child.x
            width, height = (along, other) if across_width else (other, along)
            sides.append((along, self._block(child, turned=width < height)))
        (at, first), (_, second) = sides
        return Cut(across_width, at, first, second)

    def _grid(self, node: _Node, *, turned: bool) -> Grid:
        width, height = (node.y, node.x) if turned else (node.x, node.y)
        ways = ((self._long, self._short), (self._short, self._long))
        grids = [Grid(width // w, height // h, w, h) for w, h in ways]
        return max(grids, key=lambda grid: grid.up)


def _piece_ends(longest: int, long: int, short: int) -> list[int]:
    """Where whole pieces can end along a side: every a x long + b x short up to `longest`."""
    return sorted(
        {a + b for a in range(0, longest + 1, long) for b in range(0, longest - a + 1, short)}
    )


def _bar_waste(x: int, y: int, k: int) -> int:
    """Least area of an x by y rectangle that bars of 1 by k cannot cover."""
    r, s = x % k, y % k
    return min(r * s, (k - r) * (k - s))
