"""Hourly rates against published problems, closed formulae and each other."""

from dataclasses import replace
from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop import demo
from sidelay.rates import (
    RateBasis,
    build_rate,
    capital_recovery_factor,
    capital_recovery_per_year,
    sinking_fund_factor,
    straight_line_per_year,
)

BASIS = RateBasis(
    investment=100_000,
    salvage=10_000,
    life_years=10,
    floor_m2=50,
    occupancy_per_m2=80,
    insurance_rate=0.01,
    crew=1,
    wage_per_hour=20,
    paid_hours=1800,
    on_cost_share=0.25,
    supervision=2_000,
    load_kw=10,
    load_factor=0.5,
    kwh_price=0.2,
    repairs=3_000,
    supplies=1_000,
    factory_overhead_share=0.1,
    admin_share=0.2,
    productivity=0.75,
)
interests = st.floats(0, 1)
lives = st.floats(0.5, 60)


def test_capital_recovery_of_two_machines_in_a_handout():
    # Engineering-economy handouts, problem 6-1 (reference case BE-01): capital at 25 %, and 12
    # months of maintenance at 200 and 220, make 25,391.80 and 28,051.46 a year.
    assert capital_recovery_per_year(50_000, 10_000, 3, 0.25) + 2400 == pytest.approx(
        25_391.80, abs=0.02
    )
    assert capital_recovery_per_year(75_000, 0, 6, 0.25) + 2640 == pytest.approx(
        28_051.46, abs=0.02
    )


@given(interests, st.integers(1, 60))
def test_payments_pay_the_principal_back_with_interest(interest, years):
    # The definition itself, year by year, in place of a table of factors.
    payment, owed = capital_recovery_factor(interest, years), 1.0
    for _ in range(years):
        owed = owed * (1 + interest) - payment
    assert abs(owed) <= 1e-8 * (1 + interest) ** years


@given(interests, st.integers(1, 60))
def test_the_factor_is_the_textbook_formula(interest, years):
    growth = (1 + interest) ** years
    if growth - 1 > 1e-6:  # below, the textbook form loses digits and proves nothing
        expected = interest * growth / (growth - 1)
        assert isclose(capital_recovery_factor(interest, years), expected, rel_tol=1e-8)


def test_the_factor_is_that_of_a_financial_library():
    library = pytest.importorskip(
        "numpy_financial", reason="numpy-financial is not installed: nothing to compare with"
    )
    for interest, years in ((0.1, 10), (0.1, 25), (0.075 / 12, 180), (0.25, 3)):
        expected = -library.pmt(interest, years, 1.0)
        assert isclose(capital_recovery_factor(interest, years), expected, rel_tol=1e-12)


@given(lives, st.floats(0, 1e6), st.floats(0, 1))
def test_recovery_without_interest_is_a_straight_line(life, investment, left):
    line = straight_line_per_year(investment, left * investment, life)
    recovered = capital_recovery_per_year(investment, left * investment, life, 0.0)
    assert isclose(line, recovered, rel_tol=1e-9, abs_tol=1e-9 * (1 + investment))


@given(interests, interests, lives)
def test_more_interest_never_lowers_the_yearly_sum(one, other, life):
    low, high = sorted((one, other))
    assert capital_recovery_factor(low, life) <= capital_recovery_factor(high, life) * (1 + 1e-9)
    if life >= 1:  # within the first year interest works against the fund: nothing has grown yet
        assert sinking_fund_factor(low, life) >= sinking_fund_factor(high, life) - 1e-9


def test_very_small_interest_and_very_long_lives_keep_their_digits():
    assert isclose(capital_recovery_factor(1e-12, 10), 0.1, rel_tol=1e-9)
    assert capital_recovery_factor(0.5, 10_000) == 0.5
    assert capital_recovery_factor(5e-324, 0.5) == 2


def test_a_rate_is_made_of_its_items():
    build = build_rate(BASIS)
    assert {item.name: round(item.per_year, 6) for item in build.items} == {
        "depreciation": 9_000,
        "occupancy": 4_000,
        "insurance": 1_000,
        "wages": 45_000,
        "supervision": 2_000,
        "power": 1_350,  # 10 kW x 0.5 x 1,350 chargeable hours x 0.20: not the 1,800 paid ones
        "repairs": 3_000,
        "supplies": 1_000,
        "factory_overhead": 6_635,
        "administration": 14_597,
    }
    assert build.chargeable_hours == 1350
    assert build.rate_per_hour == pytest.approx(87_582 / 1350)
    assert build.rate_per_paid_hour == pytest.approx(87_582 / 1800)
    assert all(item.because for item in build.items)


def test_capital_is_written_off_or_recovered_and_never_both():
    names = [item.name for item in build_rate(replace(BASIS, interest=0.08)).items]
    assert "capital_recovery" in names
    assert "depreciation" not in names
    recovered = build_rate(replace(BASIS, interest=0.08)).per_year("capital_recovery")
    assert recovered == capital_recovery_per_year(100_000, 10_000, 10, 0.08)
    assert recovered > build_rate(BASIS).per_year("depreciation")


def test_hours_given_outright_are_the_hours():
    by_share = build_rate(BASIS)
    outright = build_rate(replace(BASIS, productivity=None, chargeable_hours=1350))
    assert outright == by_share


def test_items_of_nought_are_left_out_and_a_centre_may_have_no_crew():
    build = build_rate(RateBasis(5_000, 5, chargeable_hours=500))
    assert [item.name for item in build.items] == ["depreciation"]
    assert build.rate_per_hour == 2
    assert build.rate_per_paid_hour is None
    assert build.per_hour("wages") == 0


@given(st.floats(0.05, 1), st.floats(0.05, 1))
def test_the_more_of_the_paid_hours_is_charged_the_lower_the_rate(one, other):
    low, high = sorted((one, other))
    idle = build_rate(replace(BASIS, productivity=low)).rate_per_hour
    busy = build_rate(replace(BASIS, productivity=high)).rate_per_hour
    assert idle >= busy * (1 - 1e-12)


@pytest.mark.parametrize(
    "name",
    [
        "investment", "occupancy_per_m2", "insurance_rate", "crew", "wage_per_hour", "supervision",
        "load_kw", "kwh_price", "repairs", "supplies", "factory_overhead_share", "admin_share",
    ],
)  # fmt: skip
def test_more_of_any_cost_raises_the_rate(name):
    dearer = replace(BASIS, **{name: 1.1 * getattr(BASIS, name)})
    assert build_rate(dearer).rate_per_hour > build_rate(BASIS).rate_per_hour


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"life_years": 0}, "life must be more than 0"),
        ({"salvage": 100_001}, "salvage"),
        ({"wage_per_hour": -1}, "wage_per_hour"),
        ({"interest": float("nan")}, "interest"),
        ({"productivity": 0}, "no"),
        ({"paid_hours": 0}, "chargeable hours"),
        ({"productivity": None}, "either"),
        ({"chargeable_hours": 1350}, "either"),
    ],
)
def test_a_basis_that_gives_no_rate_is_refused(wrong, told):
    with pytest.raises(ValueError, match=told):
        replace(BASIS, **wrong)


def test_factors_without_a_life_or_with_negative_interest_are_refused():
    for wrong in ((0.1, 0), (-0.1, 10), (0.1, float("inf"))):
        with pytest.raises(ValueError, match="must be"):
            capital_recovery_factor(*wrong)


@pytest.mark.parametrize(
    ("centre", "rate"),
    [
        ("small_litho", 55),
        ("large_litho", 240),
        ("colour_toner", 42),
        ("folding", 46),
        ("cutting", 44),
    ],
)
def test_demo_rates_that_are_built_come_out_round(centre, rate):
    found = demo().cost_centres[centre]
    assert found.build is not None
    assert found.rate_per_hour == rate == found.build.rate_per_hour
