"""Counting sections, forms and carriers; published counts are in tests/reference."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sidelay.imposition.sections import bound_pages, count_forms, split_pages, splits


@given(st.integers(1, 500).map(lambda n: 4 * n))
def test_sections_hold_exactly_the_pages(pages):
    assert sum(size * count for size, count in split_pages(pages).items()) == pages


def test_two_hundred_pages_are_twelve_sixteens_and_an_eight():
    assert split_pages(200) == {16: 12, 8: 1, 4: 0}


@pytest.mark.parametrize("pages", [1, 2, 6, 18])
def test_pages_that_fill_no_section_are_refused(pages):
    with pytest.raises(ValueError, match="left over"):
        split_pages(pages)


@given(st.integers(1, 1000))
def test_bound_pages_are_the_next_multiple_of_four(content):
    assert 0 <= bound_pages(content) - content < 4
    assert bound_pages(content) % 4 == 0


def test_four_page_forms_take_four_times_the_plates_of_sixteen_page_forms():
    # The published comparison: 32 plates and 8 make-readies against 8 and 2.
    small, large = count_forms(16, 4, 4), count_forms(16, 16, 4)
    assert (small.carriers, small.forms) == (32, 8)
    assert (large.carriers, large.forms) == (8, 2)


def test_work_and_turn_halves_the_plates_and_keeps_the_passes():
    turned, sheetwise = count_forms(16, 16, 4, "work_and_turn"), count_forms(16, 16, 4)
    assert turned.carriers * 2 == sheetwise.carriers
    assert turned.passes == sheetwise.passes == 2
    assert count_forms(16, 16, 4, "perfecting").passes == 1


def test_a_split_of_twelves_stands_beside_the_one_that_halves():
    # Twelve A5 pages on one B1 sheet need one form where 8 + 4 need two.
    assert splits(12, (16, 12, 8, 4)) == [{12: 1}, {8: 1, 4: 1}, {4: 3}]
    assert splits(28, (16, 12, 8, 4)) == [
        {16: 1, 12: 1}, {12: 2, 4: 1}, {8: 3, 4: 1}, {4: 7}, {16: 1, 8: 1, 4: 1},
    ]
