"""Book arithmetic; published spines and masses are in tests/reference."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sidelay import bookwork
from sidelay.paper import caliper_um

calipers = st.floats(30, 600)
pages = st.integers(1, 2000)


def test_an_odd_page_takes_a_leaf_and_two_pages_more_a_sheet():
    assert [bookwork.leaves_of(n) for n in (1, 2, 3, 32)] == [1, 1, 2, 16]
    assert [bookwork.folded_sheets_of(n) for n in (4, 6, 8)] == [1, 2, 2]
    assert bookwork.folded_sheets_of(33, 16) == 3


def test_a_block_and_its_cover_as_the_course_reckons_them():
    # Mediencommunity LE05 3.1: 220 leaves of 90 g/m2 at volume 1.2, cover 250 g/m2 at 1.0.
    block = bookwork.block_mm(440, caliper_um(90, 1.2))
    assert block == pytest.approx(23.76)
    assert bookwork.spine_mm(block, cover_caliper_um=250) == pytest.approx(24.26)
    assert bookwork.spine_mm(block, cover_caliper_um=250, allowance_mm=1) == pytest.approx(25.26)


def test_a_spine_is_drawn_to_the_nearest_thirty_second():
    # Patterson Printing: 128 pages at .0039 in are .2496, drawn as 1/4 in.
    block = bookwork.block_mm(128, 0.0039 * 25_400)
    assert bookwork.spine_32nds_in(block) == 0.25


def test_the_innermost_of_sixteen_sheets_is_pushed_out_by_fifteen():
    assert bookwork.creep_mm(100, 16) == pytest.approx(1.5)
    assert bookwork.creep_mm(100, 16, factor=1.4) == pytest.approx(2.1)
    assert bookwork.creep_mm(100, 16, around_um=250) == pytest.approx(1.75)
    assert bookwork.creep_mm(100, 1) == 0
    assert bookwork.innermost_page_mm(210, 1.5) == pytest.approx(208.5)
    assert bookwork.innermost_page_mm(2, 2) == bookwork.innermost_page_mm(2, 3) == 0


def test_the_creep_of_a_thick_stitched_book_lies_in_the_guide_of_a_bindery():
    # Puget Bindery's guide: 3, 5 and 7 mm or more for thin, medium and thick books. What counts as
    # thick is not said; 30 sheets of 150 um, the most that staples hold, should not be below thin.
    assert 3 <= bookwork.creep_mm(150, 30) <= 7


def test_a_copy_weighs_its_leaves_and_its_cover():
    # Printprinz: 64 pages of A4 on 115 g/m2 are 229.52 g. Cover: 4 pages of 250 g/m2 are 31.185 g.
    assert bookwork.copy_mass_kg(64, 210, 297, 115) == pytest.approx(0.22952, abs=1e-5)
    covered = bookwork.copy_mass_kg(64, 210, 297, 115, cover_gsm=250)
    assert covered == pytest.approx(0.22952 + 0.031185, abs=1e-5)


def test_covers_lie_flat_around_the_pages():
    assert bookwork.stitched_cover_mm(148, 210) == (296, 210)
    assert bookwork.soft_cover_mm(148, 210, 12) == (308, 210)
    assert bookwork.soft_cover_mm(148, 210, 12, flap_mm=80) == (468, 210)


def test_a_case_has_squares_joints_and_a_turn_in():
    sizes = bookwork.case_sizes(
        148, 210, 20, square_mm=3, joint_mm=7, turn_in_mm=15, board_mm=2
    )
    assert (sizes.board_across, sizes.board_along) == (144, 216)
    assert sizes.strip_across == 24
    # Laid out from edge to edge: turn-in, board, joint, strip, joint, board, turn-in.
    assert sizes.material_across == 15 + 144 + 7 + 24 + 7 + 144 + 15
    assert sizes.material_along == 15 + 216 + 15
    with pytest.raises(ValueError, match="board_across_mm"):
        bookwork.case_sizes(3, 210, 20, square_mm=3, joint_mm=7, turn_in_mm=15, board_mm=2)


@pytest.mark.parametrize("figure", [0, -1, float("nan")])
def test_what_cannot_be_is_refused(figure):
    with pytest.raises(ValueError, match="pages"):
        bookwork.leaves_of(figure)
    with pytest.raises(ValueError, match="caliper_um"):
        bookwork.creep_mm(figure, 4)
    with pytest.raises(ValueError, match="spine_mm"):
        bookwork.soft_cover_mm(148, 210, figure)


@given(pages, pages, calipers)
def test_more_pages_never_make_a_thinner_or_lighter_book(one, other, caliper):
    few, many = sorted((one, other))
    assert bookwork.leaves_of(few) <= bookwork.leaves_of(many)
    assert bookwork.block_mm(few, caliper) <= bookwork.block_mm(many, caliper)
    assert bookwork.copy_mass_kg(few, 148, 210, 90) <= bookwork.copy_mass_kg(many, 148, 210, 90)
    sheets = [bookwork.folded_sheets_of(each) for each in (few, many)]
    assert bookwork.creep_mm(caliper, sheets[0]) <= bookwork.creep_mm(caliper, sheets[1])


@given(st.lists(st.integers(4, 200).map(lambda n: 4 * n), min_size=1, max_size=6), calipers)
def test_blocks_add_up(parts, caliper):
    together = bookwork.block_mm(sum(parts), caliper)
    assert sum(bookwork.block_mm(each, caliper) for each in parts) == pytest.approx(together)
