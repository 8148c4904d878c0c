"""Ink arithmetic: units, order, limits and errors; published figures are in reference."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sidelay import ink

positive = st.floats(0.01, 1e6)


@given(positive, st.floats(0, 4), st.floats(0.1, 100))
def test_mass_by_film_and_by_mileage_agree(area_m2, coverage, film_gsm):
    mass = ink.ink_mass_kg(area_m2, coverage, film_gsm)
    area_in2 = area_m2 / 0.0254**2
    pounds = ink.ink_mass_by_mileage_lb(
        ink.covered_area(area_in2, coverage), ink.mileage_from_film_gsm(film_gsm)
    )
    assert pounds * 0.45359237 == pytest.approx(mass)


@given(positive)
def test_mileage_goes_there_and_back(film_gsm):
    mileage = ink.mileage_from_film_gsm(film_gsm)
    assert ink.film_gsm_from_mileage(mileage) == pytest.approx(film_gsm)


def test_conversion_constant():
    assert ink.mileage_from_film_gsm(1) == pytest.approx(703_070, abs=1)


def test_offset_rule_in_grams():
    # 30 and 45 lb for 100,000 letter sheets (case IK07).
    assert ink.offset_film_gsm("coated") == pytest.approx(2.256, abs=1e-3)
    assert ink.offset_film_gsm("uncoated") == pytest.approx(3.384, abs=1e-3)
    with pytest.raises(ValueError, match=r"'kraft'.*coated"):
        ink.offset_film_gsm("kraft")


def test_catalogue_without_the_rounding_of_its_source():
    # Case IK01 goes on from 7.85 m2 and prints 1670.48 kg; 7.85376 m2 gives 0.8 kg more.
    area = ink.printed_area(0.303, 0.216, 120)
    assert area == pytest.approx(7.85376)
    mass = ink.ink_mass_kg(area * 80_000, 1.9, ink.CATALOGUE_FILM_GSM)
    assert mass == pytest.approx(1671.28, abs=0.005)


@given(positive, st.floats(0, 3), st.floats(0, 1))
def test_more_coverage_never_takes_less_ink(area, coverage, more):
    assert ink.ink_mass_kg(area, coverage, 1.4) <= ink.ink_mass_kg(area, coverage + more, 1.4)


def test_flexo_mileage_falls_as_the_cell_grows_and_stock_drinks():
    rows = ink.FLEXO_MILEAGE
    for row, next_row in pairwise(rows):
        assert row.least_bcm < next_row.least_bcm
        assert row.porous_in2_per_lb > next_row.porous_in2_per_lb
        assert row.film_in2_per_lb > next_row.film_in2_per_lb
    assert all(row.porous_in2_per_lb < row.film_in2_per_lb for row in rows)


def test_flexo_transfer():
    # Boaglio: 4 cm3/m2 of cell lays about 1 g/m2; 1 BCM is 1.55 cm3/m2.
    assert pytest.approx(1.55, abs=5e-4) == ink.CM3_PER_M2_PER_BCM
    assert ink.flexo_film_cm3_per_m2(4 / ink.CM3_PER_M2_PER_BCM) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("mesh", "figures", "deposit"),
    [
        # "How much ink do you need?", Screen Printing, Apr 2000, Table 1 and Figure 1.
        (39, {"thread_um": 55}, 61.76),
        (120, {"fabric_um": 50}, 14.25),
        (140, {"fabric_um": 50}, 17.5),
        (120, {"fabric_um": 50, "weave": "twill"}, 15.5),
    ],
)
def test_screen_deposits(mesh, figures, deposit):
    assert ink.screen_deposit_um(mesh, **figures) == pytest.approx(deposit, abs=0.005)


def test_a_screen_needs_the_figure_its_formula_uses():
    with pytest.raises(ValueError, match="thread_um"):
        ink.screen_deposit_um(39, fabric_um=90)
    with pytest.raises(ValueError, match="fabric_um"):
        ink.screen_deposit_um(120, thread_um=34)
    with pytest.raises(ValueError, match="open_share"):
        ink.screen_deposit_um(40, thread_um=250)


@given(st.floats(0.1, 10), st.floats(0.05, 1))
def test_liquid_ink_is_never_less_than_dry(dry, solids):
    assert ink.wet_film_gsm(dry, solids) >= dry


@pytest.mark.parametrize(
    "call",
    [
        lambda: ink.wet_film_gsm(1, 0),
        lambda: ink.wet_film_gsm(1, 1.01),
        lambda: ink.ink_mass_kg(-1, 0.3, 1.4),
        lambda: ink.ink_mass_kg(1, -0.3, 1.4),
        lambda: ink.ink_mass_kg(1, 0.3, 0),
        lambda: ink.ink_mass_by_mileage_lb(100, 0),
        lambda: ink.ink_mass_by_mileage_lb(100, 10, pan_lb=-1),
        lambda: ink.mileage_in2_per_lb(93.5, 100_000, 0),
        lambda: ink.printed_area(0, 11),
    ],
)
def test_impossible_figures_are_refused(call):
    with pytest.raises(ValueError, match="must be"):
        call()
