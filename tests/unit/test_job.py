"""Coverage of a side, ink by ink."""

from dataclasses import replace

import pytest

from shop import CMYK, leaf, stock, with_inks
from sidelay.feeds import SheetFeed
from sidelay.imposition.works import works
from sidelay.job import Ink, Side

BLACK, RED, GLOSS = Ink("black"), Ink("red", "spot"), Ink("gloss", "varnish")
FEED = SheetFeed(100, 1030, 100, 720, 10, 5, 5, 0, ("one_side", "sheetwise"))


def test_an_ink_covers_what_its_side_does_unless_it_tells_its_own():
    side = Side((BLACK, RED), 0.2, own_coverage=(("red", 0.6),))
    assert (side.covered(BLACK), side.covered(RED)) == (0.2, 0.6)
    assert side.average_coverage_pct == pytest.approx(80)
    assert side.total_coverage_pct == pytest.approx(80)


def test_a_varnish_floods_the_side_and_adds_no_colour():
    flood, spot = Side((BLACK, GLOSS), 0.2), Side((BLACK, GLOSS), 0.2, None, (("gloss", 0.1),))
    assert (flood.covered(GLOSS), spot.covered(GLOSS)) == (1.0, 0.1)
    assert flood.average_coverage_pct == pytest.approx(20)


def test_the_heaviest_spot_is_the_one_told():
    assert Side(CMYK, 0.2).total_coverage_pct == pytest.approx(80)
    assert Side(CMYK, 0.2, 310.0).total_coverage_pct == 310
    assert Side(CMYK, 0.2, 310.0).average_coverage_pct == pytest.approx(80)


def test_inked_area_adds_the_sides_each_at_its_own_share():
    part = with_inks(leaf(100, 200, bleed_mm=0.0, stock=stock()), (BLACK,), (BLACK,))
    front, back = Side((BLACK,), 0.5), Side((BLACK,), 0.5, None, (("black", 0.1),))
    part = replace(part, front=front, back=back)
    (first, *_) = works(part, FEED)
    assert first.inked_area_m2(BLACK) == pytest.approx(0.02 * (0.5 + 0.1) * first.layout.up)
