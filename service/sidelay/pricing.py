"""From cost to price: mark-ups by kind of cost, margins, a minimum charge, rounding up. Net of tax.

    cost by kind -> marked-up value -> margin -> minimum charge -> rounded up -> bought up

Two promises hold whatever the tables of margins say: no price falls as the value of the job rises,
and none falls as its quantity rises. Where a margin falls at some quantity or value, whatever is
smaller never costs more than what stands there: the customer buys up.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from .money import TIE, Cents

KINDS = ("material", "time", "outwork")
Array = NDArray[np.float64]
Amount = TypeVar("Amount", float, NDArray[np.float64])
Margins = tuple[tuple[int, float], ...]

# A price beyond this does not fit an int64 safely.
MOST = 2.0**62


@dataclass(frozen=True, slots=True)
class PricePolicy:
    """What a plant asks on top of cost. Shares are 0..1, mark-ups may be more.

    material_markup, time_markup, outwork_markup: shares added to each kind of cost
    minimum_charge: least price of a job [minor units]
    round_up_to: prices are whole multiples of this [minor units], rounded up
    margins_by_quantity: (from this quantity, margin as a share of the price), from 1, rising
    margins_by_value: (from this marked-up value [minor units], margin), from 0, rising
    rush_premium: share added to time and outwork of rush work, their mark-ups included; material
        costs no more in a hurry
    cash_step: what a total paid in cash is rounded to [minor units], 0 for not at all
    overs_tolerance: how far a delivery may lie from the order either way, as a share
    Raises ValueError where margins go by quantity and by value at once.
    """

    material_markup: float
    time_markup: float
    outwork_markup: float
    minimum_charge: int
    round_up_to: int
    margins_by_quantity: Margins = ()
    margins_by_value: Margins = ()
    rush_premium: float = 0.0
    cash_step: int = 0
    overs_tolerance: float = 0.10

    def __post_init__(self) -> None:
        if self.margins_by_quantity and self.margins_by_value:
            raise ValueError("margins go by quantity or by value, not by both")

    def finished(self, value: float, margin: float) -> int:
        """Price of one marked-up value with a margin [minor units], nobody buying up."""
        return int(_finished(np.array([value]), np.array([margin]), self)[0])

    @property
    def thresholds(self) -> tuple[int, ...]:
        """Quantities at which a margin by quantity falls, rising."""
        return tuple(after[0] for after in margin_falls(self.margins_by_quantity))


# Asks what a job costs and no more.
AT_COST = PricePolicy(0.0, 0.0, 0.0, 0, 1)


def markup_of_margin(margin: Amount) -> Amount:
    """Share on top of cost that leaves a margin, a share of the price; margin/(1-margin).

    Raises ValueError for a margin of 1 or more. Source: retail pricing texts (PR-02, PR-03).
    """
    _require_margin(margin)
    return margin / (1.0 - margin)


def margin_of_markup(markup: Amount) -> Amount:
    """Share of the price that a share on top of cost leaves; markup/(1+markup).

    Source: retail pricing texts (PR-03).
    """
    return markup / (1.0 + markup)


def price_of_margin(cost: Amount, margin: Amount) -> Amount:
    """Price that leaves a margin over a cost, cost/(1-margin), in the unit of the cost.

    Raises ValueError for a margin of 1 or more. Source: retail pricing texts (PR-02).
    """
    _require_margin(margin)
    return cost / (1.0 - margin)


def _require_margin(margin: float | Array) -> None:
    if not np.all(np.asarray(margin) < 1):
        raise ValueError("a margin must be less than 1, the whole price")


def values(cost_by_kind: Cents, policy: PricePolicy, rush: bool = False) -> Array:
    """Mark up each cost [minor units], not rounded.

    cost_by_kind: [..., kind in the order of KINDS, quantity]; rush: whether the premium is asked
    Returns [..., quantity]. Equal costs give equal bits, whatever stands beside them, and the value
    never falls as a cost of any kind rises: each is multiplied and added on its own, in one order.
    """
    hurry = 1.0 + (policy.rush_premium if rush else 0.0)
    costs = cost_by_kind.astype(np.float64)
    material = (1.0 + policy.material_markup) * costs[..., 0, :]
    time = (1.0 + policy.time_markup) * hurry * costs[..., 1, :]
    outwork = (1.0 + policy.outwork_markup) * hurry * costs[..., 2, :]
    priced: Array = material + time + outwork
    return priced


def prices(
    value: Array,
    quantities: NDArray[np.int64],
    policy: PricePolicy,
    at_thresholds: Array | None = None,
) -> Cents:
    """Price each marked-up value [minor units].

    value: [..., quantity], as `values` gives it; quantities: [quantity], whole numbers
    at_thresholds: the value of the same job at each of policy.thresholds [..., threshold]; None
        only where there are none
    Returns [..., quantity]: the margin of the quantity or the value, then the minimum charge, then
    rounding up, and never more than the price at a larger quantity or value where a margin falls.
    So no price falls as the value rises, nor as quantity rises so long as no value falls.
    Raises ValueError where values at thresholds are missing, OverflowError for too large a price.
    """
    thresholds = policy.thresholds
    given = 0 if at_thresholds is None else at_thresholds.shape[-1]
    if given != len(thresholds):
        raise ValueError(f"expected the values at {len(thresholds)} quantities, not {given}")
    if policy.margins_by_value:
        return _priced_by_value(value, policy)
    price = own_prices(value, quantities, policy)
    if at_thresholds is None:
        return price
    for column, threshold in enumerate(thresholds):
        margin = _margin(policy.margins_by_quantity, np.array([threshold]))
        more = _finished(at_thresholds[..., column : column + 1], margin, policy)
        price = np.where(quantities < threshold, np.minimum(price, more), price)
    return price


def own_prices(value: Array, quantities: NDArray[np.int64], policy: PricePolicy) -> Cents:
    """Price as `prices` does, but for nobody that buys up: by its own margin alone."""
    margins, by_value = policy.margins_by_quantity, policy.margins_by_value
    margin = _margin(by_value, value) if by_value else _margin(margins, quantities)
    return _finished(value, margin, policy)


def _priced_by_value(value: Array, policy: PricePolicy) -> Cents:
    price = own_prices(value, np.zeros(0, dtype=np.int64), policy)
    for start, margin in margin_falls(policy.margins_by_value):
        more = _finished(np.array([float(start)]), np.array([margin]), policy)
        price = np.where(value < start, np.minimum(price, more), price)
    return price


def _finished(value: Array, margin: Array, policy: PricePolicy) -> Cents:
    """Add the margin, then the minimum charge, then round up; none falls as its input rises."""
    asked = np.maximum(price_of_margin(value, margin), float(policy.minimum_charge))
    if asked.size and not asked.max() < MOST:
        raise OverflowError("a price is too large to hold")
    steps: Cents = np.ceil(asked / policy.round_up_to - TIE).astype(np.int64)
    return steps * policy.round_up_to


def _margin(margins: Margins, at: Array | NDArray[np.int64]) -> Array:
    """Margin of each quantity or value: that of the last step it reaches, at least the first."""
    if not margins:
        return np.zeros(1)
    starts = np.array([start for start, _ in margins], dtype=np.float64)
    step = np.maximum(np.searchsorted(starts, at, side="right") - 1, 0)
    shares: Array = np.array([share for _, share in margins])[step]
    return shares


def margin_at(margins: Margins, at: float) -> float:
    """Margin of one quantity or value, 0 where there are none."""
    return float(_margin(margins, np.array([at]))[0])


def margin_falls(margins: Margins) -> Margins:
    """Return the steps whose margin is less than that of the step before."""
    return tuple(after for before, after in pairwise(margins) if after[1] < before[1])


def cash_price(price: int, policy: PricePolicy) -> int:
    """Total to pay in cash [minor units]: the nearest whole cash_step, half up.

    The price itself where cash_step is 0. Acts on the total of a bill and only where it is paid in
    cash. Source: encyclopedia article on cash rounding (PR-06, PR-07).
    """
    step = policy.cash_step
    return (2 * price + step) // (2 * step) * step if step else price
