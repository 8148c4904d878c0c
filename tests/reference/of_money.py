"""Adapters for money."""

from decimal import ROUND_HALF_EVEN, Decimal

from reference.given import Inputs
from reference.register import Figures, answers
from sidelay.money import minor_digits, round_half_up


@answers("ISO 4217 minor units")
def iso_4217_minor_units(inputs: Inputs) -> Figures:
    return {"decimals": [minor_digits(currency) for currency in inputs["currencies"]]}


@answers("half-up against half-even")
def half_up_against_half_even(inputs: Inputs) -> Figures:
    pairs = list(zip(inputs["values"], inputs["quantum"], strict=True))
    # sidelay never rounds half to even; the second list only shows that the ties are real ties.
    even = [Decimal(value).quantize(Decimal(q), ROUND_HALF_EVEN) for value, q in pairs]
    return {"half_up": [round_half_up(value, q) for value, q in pairs], "half_even": even}
