"""What stays in a press, what is washed out, and what that takes."""

import pytest

from shop import BLACK, CMYK, leaf, stock, with_inks
from sidelay.changeover import changeover
from sidelay.feeds import SheetFeed
from sidelay.imposition.works import works
from sidelay.job import Ink, Previous

FEED = SheetFeed(100, 1030, 100, 720, 10, 5, 5, 0, ("one_side", "sheetwise"))
RED, COPPER, YELLOW = Ink("red", "spot"), Ink("copper", "metallic"), Ink("yellow")


def work(inks, previous=None):
    part = with_inks(leaf(stock=stock(id="silk")), inks)
    held = previous and Previous("press", tuple(previous), "silk")
    return works(part, FEED, previous=held)[0]


def test_of_an_unknown_last_job_only_standing_inks_stay():
    found = changeover(work((*CMYK, RED)), standing=("cyan", "magenta", "yellow", "black"))
    assert (found.kept, found.washed, found.heavy, found.same_stock) == (4, 1, 0, False)
    assert changeover(work(CMYK)).washed == 4


def test_the_same_colours_next_need_no_wash():
    found = changeover(work(CMYK, previous=CMYK))
    assert (found.kept, found.washed, found.same_stock) == (4, 0, True)
    assert found.wash_min(20, light_after_dark=20) == 0


def test_a_light_ink_after_a_dark_one_takes_longer():
    # Russian inter-sector time norms: 20 min over a normal wash.
    found = changeover(work((YELLOW,), previous=BLACK))
    assert (found.washed, found.light_after_dark) == (1, 1)
    assert found.wash_min(15, light_after_dark=20) == 35
    dark = changeover(work(BLACK, previous=(YELLOW,)))
    assert dark.wash_min(15, light_after_dark=20) == 15


def test_a_metallic_ink_takes_twice_the_wash():
    found = changeover(work(BLACK, previous=(COPPER,)))
    assert (found.washed, found.heavy) == (1, 1)
    assert found.wash_min(15) == 30


def test_units_that_the_job_does_not_need_are_left_dirty():
    found = changeover(work(BLACK, previous=(RED, COPPER)))
    assert found.washed == 1


def test_inks_go_where_the_next_darker_one_was():
    # Black goes where copper was, yellow where red was: one lighter, not two.
    found = changeover(work((YELLOW, *BLACK), previous=(COPPER, RED)))
    assert (found.washed, found.light_after_dark) == (2, 1)


@pytest.mark.parametrize(("stock_id", "same"), [("silk", True), ("gloss", False)])
def test_the_stock_stays_when_it_is_the_same(stock_id, same):
    part = with_inks(leaf(stock=stock(id="silk")), CMYK)
    (first, *_) = works(part, FEED, previous=Previous("press", CMYK, stock_id))
    assert changeover(first).same_stock is same
