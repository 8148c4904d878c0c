"""Properties of the most-up search; published counts are in tests/reference."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sidelay.imposition import grid_up, most_up
from sidelay.imposition.pattern import to_steps

sides = st.integers(10, 120)
pieces = st.integers(4, 40)


def plain_most_up(sheet, piece, memo):
    """The same count by the plainest recursion: every cut at every whole unit, nothing pruned."""
    x, y = max(sheet), min(sheet)
    if (x, y) not in memo:
        long, short = piece
        found = 1 if (x >= long and y >= short) or (x >= short and y >= long) else 0
        if found:
            found = max(
                [found]
                + [
                    plain_most_up((at, y), piece, memo) + plain_most_up((x - at, y), piece, memo)
                    for at in range(1, x // 2 + 1)
                ]
                + [
                    plain_most_up((x, at), piece, memo) + plain_most_up((x, y - at), piece, memo)
                    for at in range(1, y // 2 + 1)
                ]
            )
        memo[x, y] = found
    return memo[x, y]


@given(st.integers(5, 34), st.integers(5, 34), st.integers(2, 11), st.integers(2, 11))
def test_equal_to_the_plainest_recursion(length, width, long, short):
    assert most_up(length, width, long, short).up == plain_most_up(
        (length, width), (long, short), {}
    )


@given(sides, sides, pieces, pieces)
def test_turning_sheet_or_piece_changes_nothing(length, width, long, short):
    up = most_up(length, width, long, short).up
    assert up == most_up(width, length, long, short).up == most_up(length, width, short, long).up


@given(sides, sides, pieces, pieces, st.sampled_from([2, 2.5, 10]))
def test_scaling_all_lengths_changes_nothing(length, width, long, short, k):
    assert (
        most_up(length, width, long, short).up
        == most_up(k * length, k * width, k * long, k * short).up
    )


@given(sides, sides, pieces, pieces, st.integers(0, 8))
def test_a_larger_sheet_never_holds_fewer(length, width, long, short, more):
    assert most_up(length, width, long, short).up <= most_up(length + more, width, long, short).up


@given(sides, sides, pieces, pieces)
def test_between_the_straight_grids_and_the_area(length, width, long, short):
    pattern = most_up(length, width, long, short)
    grids = max(grid_up(length, width, long, short), grid_up(length, width, short, long))
    assert grids <= pattern.up <= pattern.most <= length * width // (long * short)
    assert pattern.proved


def test_a_gutter_lies_between_neighbours_only():
    assert most_up(100, 10, 10, 10).up == 10
    assert most_up(100, 10, 10, 10, gutter=2).up == 8  # 8 x 10 + 7 x 2 = 94
    assert most_up(94, 10, 10, 10, gutter=2).up == 8
    assert most_up(93.9, 10, 10, 10, gutter=2).up == 7
    assert [round(p.x, 3) for p in most_up(94, 10, 10, 10, gutter=2).placements()] == [
        0,
        12,
        24,
        36,
        48,
        60,
        72,
        84,
    ]


def test_inches_and_millimetres_agree():
    assert most_up(23, 35, 8.5, 11).up == most_up(23 * 25.4, 35 * 25.4, 215.9, 279.4).up == 8


def test_a_search_that_runs_out_says_so_and_keeps_what_it_has():
    pattern = most_up(1010, 690, 25.37, 19.99)
    assert not pattern.proved
    assert pattern.up == len(pattern.placements()) <= pattern.most


def test_cuts_of_a_straight_grid():
    # 3 x 2 pieces: four outside, 2 + 1 between; with a gutter of bleed to cut out, two for each.
    pattern = most_up(300, 200, 100, 100)
    assert pattern.cuts(gutter_between=False) == 7
    assert pattern.cuts(gutter_between=True) == 10


@pytest.mark.parametrize("lengths", [(0, 1, 1, 1), (1, 1, -1, 1)])
def test_lengths_must_be_positive(lengths):
    with pytest.raises(ValueError, match="positive"):
        most_up(*lengths)


@given(sides, sides, pieces, pieces, st.sampled_from([0, 1]))
def test_what_prints_reaches_from_the_first_piece_to_the_last(length, width, long, short, gutter):
    """As the placements of all pieces have it, one by one; mixed cuts too."""
    pattern = replace(most_up(length, width, long, short), gutter=to_steps(gutter))
    if not pattern.up:
        return
    places = pattern.placements()
    edges = [place.x for place in places], [place.x + place.width for place in places]
    assert pattern.printed_width() == max(edges[1]) - min(edges[0])
