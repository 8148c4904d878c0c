"""Paper arithmetic: round trips, order, limits and errors; published figures are in reference."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sidelay import paper, paper_reams, paper_rolls, paper_sizes, spoilage

grammages = st.floats(20, 600)
lengths_mm = st.floats(10, 2000)
weights = st.floats(0.1, 5000)
grades = st.sampled_from(sorted(paper.BASIS_SIZES_IN))


# Sizes


def test_every_named_size_is_portrait_and_positive():
    assert all(0 < width <= height for width, height in paper.SIZES_MM.values())


@pytest.mark.parametrize("series", ["a", "b"])
def test_each_iso_size_is_half_the_one_before(series):
    sizes = [paper.named_size(f"{series}{step}") for step in range(11)]
    for (width, height), (next_width, next_height) in pairwise(sizes):
        assert next_height == width
        assert next_width == pytest.approx(height / 2, abs=0.5)


@pytest.mark.parametrize("series", ["ra", "sra"])
def test_untrimmed_sheets_hold_the_a_size(series):
    for step in range(5):
        width, height = paper.named_size(f"a{step}")
        untrimmed = paper.named_size(f"{series}{step}")
        assert untrimmed[0] > width
        assert untrimmed[1] > height


@pytest.mark.parametrize(
    ("name", "size"),
    [
        ("A4", (210, 297)),
        (" SRA3 ", (320, 450)),
        ("Half letter", (139.7, 215.9)),
        ("half-letter", (139.7, 215.9)),
        ("us_business_card", (50.8, 88.9)),
        ("dl", (110, 220)),
        ("ledger", (279.4, 431.8)),
    ],
)
def test_names_are_read_in_any_case(name, size):
    assert paper.named_size(name) == pytest.approx(size)


def test_an_unknown_size_lists_those_that_exist():
    with pytest.raises(paper.UnknownSize, match=r"'a11'.*a4.*letter"):
        paper.named_size("a11")
    with pytest.raises(ValueError, match="no size"):
        paper.named_size("")


def test_sizes_cannot_be_changed():
    with pytest.raises(TypeError):
        paper.SIZES_MM["a4"] = (1, 1)


def test_offcut_share():
    assert paper_sizes.offcut_share(420, 594, 210, 297, 4) == 0
    assert paper_sizes.offcut_share(420, 594, 210, 297, 3) == pytest.approx(0.25)
    with pytest.raises(ValueError, match="do not fit"):
        paper_sizes.offcut_share(420, 594, 210, 297, 5)
    with pytest.raises(ValueError, match="greater than 0"):
        paper_sizes.area_ratio(420, 594, 0, 297)


# Grammage and basis weight


@given(grammages, grades, st.sampled_from([480, 500]))
def test_basis_weight_goes_there_and_back(grammage, grade, ream):
    weight = paper.basis_weight_from_grammage(grammage, grade, ream_sheets=ream)
    back = paper.grammage_from_basis_weight(weight, grade, ream_sheets=ream)
    assert back == pytest.approx(grammage)


@pytest.mark.parametrize(
    ("grade", "factor"),
    [
        ("bond", 3.7597),
        ("cover", 2.7041),
        ("bristol", 2.1928),
        ("index", 1.8080),
        ("tag", 1.6275),
        ("text", 1.4801),
    ],
)
def test_exact_factors(grade, factor):
    assert paper.grammage_from_basis_weight(1, grade) == pytest.approx(factor, abs=5e-5)
    size = paper.BASIS_SIZES_IN[grade]
    assert paper.grammage_from_basis_weight(1, size) == paper.grammage_from_basis_weight(1, grade)


def test_board_factor_is_4_882_not_the_4_831_once_printed():
    assert paper.board_grammage_gsm(1) == pytest.approx(4.8824, abs=5e-5)


def test_trade_constant_is_within_0_03_per_cent():
    excess = 1406.5 / paper.GSM_IN2_PER_LB - 1
    assert 0.0002 < excess < 0.0003


def test_an_unknown_grade_lists_those_that_exist():
    with pytest.raises(paper.UnknownBasis, match=r"'vellum'.*cover"):
        paper.grammage_from_basis_weight(60, "vellum")


@given(grammages, lengths_mm, lengths_mm, st.integers(1, 100_000))
def test_grammage_is_found_again_from_the_mass(grammage, width, height, sheets):
    mass = sheets * paper.sheet_mass_kg(width, height, grammage)
    assert paper.grammage_from_sheets(mass, sheets, width, height) == pytest.approx(grammage)


# Caliper and thickness


@given(grammages, st.floats(0.6, 2.5))
def test_bulk_goes_there_and_back(grammage, bulk):
    caliper = paper.caliper_um(grammage, bulk)
    assert paper.bulk_cm3_per_g(grammage, caliper) == pytest.approx(bulk)


@given(st.integers(1, 100_000), st.floats(30, 800))
def test_a_stack_holds_what_was_piled_on_it(sheets, caliper):
    assert paper.sheets_in_stack(paper.stack_thickness_mm(sheets, caliper), caliper) == sheets


@pytest.mark.parametrize(("caliper_in", "ppi"), [(0.0039, 515), (0.0046, 435), (0.0056, 360)])
def test_pages_per_inch_is_near_the_printed_table(caliper_in, ppi):
    # Patterson Printing; its figures are rounded to the nearest 5.
    assert paper.pages_per_inch(caliper_in * 25_400) == pytest.approx(ppi, abs=3)


def test_spine_with_cover_and_score():
    block = paper.spine_mm(200, 100)
    assert block == pytest.approx(10)
    bound = paper.spine_mm(200, 100, cover_caliper_um=300, score_allowance_mm=1)
    assert bound == pytest.approx(11.6)


def test_nearest_32nd_rounds_ties_up():
    assert paper.nearest_32nd_in(25.4 * 3.5 / 32) == 4 / 32
    assert paper.nearest_32nd_in(25.4 * 3.4 / 32) == 3 / 32


# Mass


@given(lengths_mm, lengths_mm, grammages)
def test_sheet_order_and_ream(width, height, grammage):
    mass = paper.sheet_mass_kg(width, height, grammage)
    assert paper.sheet_mass_kg(height, width, grammage) == pytest.approx(mass)
    assert paper.ream_mass_kg(width, height, grammage) == pytest.approx(500 * mass)
    per_1000 = paper.mass_per_1000_kg(width, height, grammage)
    assert paper.order_weight(per_1000, 2500) == pytest.approx(2500 * mass)


@given(st.integers(1, 10**7), lengths_mm, lengths_mm, grammages)
def test_sheets_are_found_again_from_the_mass(sheets, width, height, grammage):
    mass = sheets * paper.sheet_mass_kg(width, height, grammage)
    assert paper.sheets_from_mass(mass, width, height, grammage) == sheets


def test_a_ream_of_letter_in_the_handbook_form():
    assert paper.ream_mass_kg(8.5 * 25.4, 11 * 25.4, 75) == pytest.approx(
        8.5 * 11 * 75 / 3100, rel=1e-3
    )


@pytest.mark.parametrize("wrong", [0, -1, math.nan, math.inf])
@pytest.mark.parametrize("place", range(3))
def test_a_sheet_without_size_or_grammage_is_refused(wrong, place):
    figures = [210, 297, 80]
    figures[place] = wrong
    name = ("width_mm", "height_mm", "grammage_gsm")[place]
    with pytest.raises(ValueError, match=name):
        paper.sheet_mass_kg(*figures)


# Reams and M weights


@given(st.floats(5, 60), st.floats(5, 60), st.floats(10, 200), grades)
def test_m_weight_agrees_with_metric_mass(width, height, weight, grade):
    grammage = paper.grammage_from_basis_weight(weight, grade)
    mass = paper.mass_per_1000_kg(width * 25.4, height * 25.4, grammage)
    m_weight = paper_reams.m_weight_lb(width, height, weight, grade)
    assert m_weight * paper.KG_PER_LB == pytest.approx(mass)


@pytest.mark.parametrize(
    ("size", "step"),
    [((24, 36), 1), ((24, 35.9), 0.5), ((16, 21), 0.5), ((15, 22), 0.01)],
)
def test_reams_are_rounded_by_area(size, step):
    exact = paper_reams.ream_weight_lb(*size, 60, "text")
    ruled = paper_reams.ream_weight_lb(*size, 60, "text", rounding="by_area")
    assert abs(ruled - exact) <= step / 2
    assert ruled / step == pytest.approx(round(ruled / step))


@given(weights, st.floats(50, 5000), st.floats(50, 5000))
def test_equivalent_ream_goes_there_and_back(weight, area, other):
    there = paper_reams.equivalent_ream_weight(weight, area, other, sheets=480)
    back = paper_reams.equivalent_ream_weight(there, other, area, known_sheets=480)
    assert back == pytest.approx(weight)


@pytest.mark.parametrize(("ream", "quires"), [(480, 20), (500, 20), (504, 21)])
def test_quires_make_a_ream(ream, quires):
    assert paper_reams.sheets_counted(0, quires, 0, ream_sheets=ream) == ream
    assert paper_reams.reams(ream, ream_sheets=ream) == 1


def test_a_perfect_ream_is_21_quires_and_a_half():
    assert paper_reams.sheets_counted(0, 21, 12, ream_sheets=516) == 516
    with pytest.raises(ValueError, match="480"):
        paper_reams.sheets_counted(1, 0, 0, ream_sheets=490)


# Price


@given(st.floats(0.01, 10_000), lengths_mm, lengths_mm, grammages)
def test_price_units_agree_with_each_other(price, width, height, grammage):
    def per_sheet(amount, unit):
        return paper.price_per_sheet(amount, unit, width, height, grammage)

    tonne = per_sheet(price, "tonne")
    assert per_sheet(price / 1000, "kilogram") == pytest.approx(tonne)
    assert per_sheet(price * 0.045359237, "hundredweight") == pytest.approx(tonne)
    assert per_sheet(tonne, "sheet") == tonne
    assert per_sheet(tonne * 1000, "thousand_sheets") == pytest.approx(tonne)
    per_1000 = paper.mass_per_1000_kg(width, height, grammage)
    assert paper.cost_by_weight(per_1000, 700, price / 1000) == pytest.approx(700 * tonne)


def test_every_price_unit_is_known():
    assert all(paper.price_per_sheet(1, unit, 700, 1000, 100) > 0 for unit in paper.PRICE_UNITS)


def test_other_price_units_and_negative_prices_are_refused():
    with pytest.raises(ValueError, match=r"'ream'.*tonne"):
        paper.price_per_sheet(1, "ream", 700, 1000, 100)
    with pytest.raises(ValueError, match="price"):
        paper.price_per_sheet(-1, "sheet", 700, 1000, 100)
    assert paper.price_per_sheet(0, "tonne", 700, 1000, 100) == 0


# Rolls


@given(st.floats(200, 1500), st.floats(50, 150), lengths_mm, grammages, st.floats(0.7, 1.8))
def test_roll_by_diameter_and_by_mass_have_one_length(outer, core, width, grammage, bulk):
    caliper = paper.caliper_um(grammage, bulk)
    mass = paper_rolls.roll_mass_from_caliper_kg(outer, core, width, grammage, caliper)
    length = paper_rolls.roll_length_from_diameter_m(outer, core, caliper)
    assert paper_rolls.roll_length_m(mass, width, grammage) == pytest.approx(length)


@given(weights, st.floats(5, 80), st.floats(10, 200), grades)
def test_roll_length_in_feet_and_metres_agree(weight, width, basis_weight, grade):
    feet = paper_rolls.roll_length_ft(weight, width, basis_weight, grade)
    grammage = paper.grammage_from_basis_weight(basis_weight, grade)
    metres = paper_rolls.roll_length_m(weight * paper.KG_PER_LB, width * 25.4, grammage)
    assert feet * 0.3048 == pytest.approx(metres)
    msi = paper_rolls.roll_area_msi(weight, basis_weight, grade)
    assert msi * 1000 == pytest.approx(feet * 12 * width)


def test_a_core_must_be_smaller_than_its_roll():
    with pytest.raises(ValueError, match="core"):
        paper_rolls.roll_length_from_diameter_m(76, 76, 100)
    with pytest.raises(ValueError, match="core"):
        paper_rolls.roll_weight_by_factor_lb(3, 30, 0.018, core_in=3)


def test_sheets_from_length_leaves_the_tail():
    assert paper_rolls.sheets_from_length(100, 630) == 158
    assert paper_rolls.sheets_from_length(100, 630, across=2) == 316


def test_web_use_in_an_hour_is_an_hour_of_roll():
    mass = paper_rolls.web_mass_kg_per_hour(900, 500, 60)
    assert paper_rolls.roll_length_m(mass, 900, 60) == pytest.approx(500 * 60)


# Spoilage


@given(st.integers(1, 10**7), st.floats(0, 0.5), st.integers(0, 2000))
def test_gross_sheets_never_fall_and_always_cover(good, running, set_up):
    gross = spoilage.gross_sheets(good, set_up_sheets=set_up, running_share=running)
    more = spoilage.gross_sheets(good + 1, set_up_sheets=set_up, running_share=running)
    assert good + set_up <= gross <= more
    assert gross - set_up >= good * (1 + running) * (1 - 1e-8)


def test_whole_shares_give_whole_sheets():
    # 2500 x 1.01 is a hair above 2525 in binary fractions.
    assert spoilage.gross_sheets(2500, running_share=0.01) == 2525
    assert spoilage.gross_sheets(2501, running_share=0.01) == 2527


@given(st.integers(1, 10**7), st.integers(1, 64))
def test_sheets_for_copies_are_just_enough(copies, up):
    sheets = spoilage.sheets_for_copies(copies, up)
    assert (sheets - 1) * up < copies <= sheets * up


def test_the_least_allowance_holds_until_the_share_passes_it():
    assert spoilage.spoiled_sheets(500, 0.1, at_least=50) == 50
    assert spoilage.spoiled_sheets(501, 0.1, at_least=50) == 51


@pytest.mark.parametrize(
    "call",
    [
        lambda: spoilage.gross_sheets(100, running_share=-0.01),
        lambda: spoilage.gross_sheets(-1),
        lambda: spoilage.gross_sheets(100, set_up_sheets=math.nan),
        lambda: spoilage.sheets_for_copies(0, 4),
        lambda: spoilage.edition_sheets(100, 0, 16),
        lambda: spoilage.most_copies_accepted(100, -0.1),
        lambda: spoilage.overs_share(10, 0),
    ],
)
def test_negative_spoilage_is_refused(call):
    with pytest.raises(ValueError, match="must be"):
        call()
