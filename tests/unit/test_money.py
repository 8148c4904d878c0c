from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sidelay.money import UnknownCurrency, decimal_text, minor_digits, share_text, to_minor


@given(st.integers(0, 10**9), st.sampled_from([0, 2, 3, 4]))
def test_amounts_written_in_tenths_of_a_minor_unit_round_half_up(tenths, digits):
    amount = Decimal(tenths).scaleb(-digits - 1)
    assert to_minor(np.array([float(amount)]), digits)[0] == (tenths + 5) // 10


@given(st.lists(st.floats(0, 1e9), min_size=2, max_size=20))
def test_rounding_never_turns_two_amounts_round(amounts):
    rounded = to_minor(np.sort(np.array(amounts)), 2)
    assert (np.diff(rounded) >= 0).all()


def test_an_amount_too_large_is_refused_and_not_wrapped():
    with pytest.raises(OverflowError):
        to_minor(np.array([1e18]), 2)


@pytest.mark.parametrize(
    ("minor", "digits", "text"),
    [
        (0, 2, "0.00"),
        (5, 2, "0.05"),
        (123456, 2, "1234.56"),
        (7, 0, "7"),
        (1005, 3, "1.005"),
        (-250, 2, "-2.50"),
    ],
)
def test_decimal_text(minor, digits, text):
    assert decimal_text(minor, digits) == text


@given(st.integers(0, 10**12), st.integers(1, 10**8), st.sampled_from([0, 2, 3]))
def test_share_text_is_the_exact_quotient_rounded_half_up(minor, pieces, digits):
    exact = Decimal(minor) / Decimal(pieces)
    shown = Decimal(share_text(minor, pieces, digits)).scaleb(digits)
    assert abs(shown - exact) <= Decimal("0.00005")


@pytest.mark.parametrize("code", ["EURO", "eur", "XYZ", ""])
def test_a_code_that_is_no_currency_is_refused(code):
    with pytest.raises(UnknownCurrency):
        minor_digits(code)


def test_where_iso_4217_and_everyday_use_differ_iso_is_taken():
    # ISO 4217 table A.1, from memory: CLDR shows these with no decimals.
    assert [minor_digits(code) for code in ("IQD", "IRR", "RSD")] == [3, 2, 2]
