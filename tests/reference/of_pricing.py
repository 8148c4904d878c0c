"""Adapters for margins, cash rounding and what may be delivered."""

from typing import Any

from reference.given import Inputs, share
from reference.register import Figures, answers
from sidelay.money import decimal_text
from sidelay.pricing import (
    PricePolicy,
    cash_price,
    margin_of_markup,
    markup_of_margin,
    price_of_margin,
)
from sidelay.spoilage import delivery_limits

DIGITS = 2


@answers("markup and margin")
def markup_and_margin(inputs: Inputs) -> Figures:
    """A cost with a mark-up or a margin, or a price with either."""
    given = {key.removesuffix("_pct") for key in inputs}
    if "margin" in given:
        margin = share(inputs, "margin")
    elif "markup" in given:
        margin = margin_of_markup(share(inputs, "markup"))
    else:
        margin = margin_of_markup(inputs["price"] / inputs["cost"] - 1)
    cost = inputs["cost"] if "cost" in given else inputs["price"] * (1 - margin)
    price, markup = price_of_margin(float(cost), margin), markup_of_margin(margin)
    return {
        "cost": cost,
        "price": price,
        "profit": price - cost,
        "margin": margin,
        "markup": markup,
        "margin_pct": 100 * margin,
        "markup_pct": 100 * markup,
    }


@answers("markup to margin table")
def markup_to_margin(inputs: Inputs) -> Figures:
    figures: dict[str, Any] = {}
    if "markup_pct" in inputs:
        figures["margin_pct"] = [100 * margin_of_markup(m / 100) for m in inputs["markup_pct"]]
    if "margin_pct" in inputs:
        figures["markup_pct"] = [100 * markup_of_margin(m / 100) for m in inputs["margin_pct"]]
    return figures


@answers("overs and unders", "overs and unders, no fewer than")
def overs_and_unders(inputs: Inputs) -> Figures:
    no_fewer = bool(inputs.get("guaranteed_minimum", False))
    least, most = delivery_limits(inputs["ordered"], share(inputs, "tolerance"), no_fewer)
    return {"min": least, "max": most}


@answers("cash rounding 0.05")
def cash_rounding(inputs: Inputs) -> Figures:
    return _payable(inputs, "0.05")


@answers("cash rounding 0.50 (Sweden 1992-2010)")
def cash_rounding_sweden(inputs: Inputs) -> Figures:
    return _payable(inputs, "0.50")


def _payable(inputs: Inputs, increment: str) -> Figures:
    step = _minor(str(inputs.get("increment", increment)))
    policy = PricePolicy(0, 0, 0, 0, 1, cash_step=step)
    payable = []
    for total in inputs["totals"]:
        amount, *how = str(total).split(" ", 1)
        minor = _minor(amount)
        paid = minor if how and "card" in how[0] else cash_price(minor, policy)
        payable.append(decimal_text(paid, DIGITS))
    return {"payable": payable}


def _minor(amount: str) -> int:
    whole, _, fraction = amount.partition(".")
    return int(whole + fraction.ljust(DIGITS, "0"))
