"""From cost to price: mark-ups by kind of cost, a minimum charge, rounding up. Net of tax."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .money import TIE, Cents

KINDS = ("material", "time", "outwork")


@dataclass(frozen=True, slots=True)
class PricePolicy:
    """What a plant asks on top of cost.

    material_markup, time_markup, outwork_markup: shares added to each kind of cost
    minimum_charge: least price of a job [minor units]
    round_up_to: prices are whole multiples of this [minor units], rounded up
    """

    material_markup: float
    time_markup: float
    outwork_markup: float
    minimum_charge: int
    round_up_to: int

    @property
    def markups(self) -> NDArray[np.float64]:
        """Mark-ups in the order of KINDS."""
        return np.array([self.material_markup, self.time_markup, self.outwork_markup])


def prices(cost_by_kind: Cents, policy: PricePolicy) -> Cents:
    """Price each cost [minor units].

    cost_by_kind: [route, kind in the order of KINDS, quantity]
    Returns [route, quantity]. Since no kind of cost falls as quantity rises and neither step below
    falls as its input rises, no price does: a customer never pays more for fewer.
    """
    marked_up = np.tensordot(1.0 + policy.markups, cost_by_kind.astype(np.float64), axes=(0, 1))
    steps = np.ceil(marked_up / policy.round_up_to - TIE).astype(np.int64)
    return np.maximum(steps * policy.round_up_to, policy.minimum_charge)
