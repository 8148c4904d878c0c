"""How a need becomes a purchase: whole packs, a least order, price breaks.

What is counted is what the merchant sells by: sheets, square metres of a reel, single pieces. A
break may make more cheaper than less, so the cheapest purchase that covers the need is taken. All
of it is arithmetic on terms; that merchants sell so is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .spoilage import begun

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Terms:
    """How a merchant sells one supply, counted in units: sheets, m2 or pieces.

    pack: units in a pack; 0 or 1 where there is none, and any number is sold
    least: least order [units]
    tiers: (from so many units, money for one); the first from 0, the counts rise, prices need not
        fall. Empty where only the supply knows its price
    breaks_packs: whether the merchant opens a pack, so that it rounds nothing

    Raises ValueError for a figure below 0 or not finite, or tiers out of order.
    """

    pack: float = 0.0
    least: float = 0.0
    tiers: tuple[tuple[float, float], ...] = ()
    breaks_packs: bool = False

    def __post_init__(self) -> None:
        """Refuse terms that mean nothing."""
        figures = (self.pack, self.least, *(figure for tier in self.tiers for figure in tier))
        if not all(0 <= figure < np.inf for figure in figures):
            raise ValueError(f"terms are figures of 0 or more, not {self}")
        if self.tiers and self.tiers[0][0] != 0:
            raise ValueError("the first price must hold from 0")
        if any(after[0] <= before[0] for before, after in pairwise(self.tiers)):
            raise ValueError("the counts that prices hold from must rise")

    @property
    def lot(self) -> float:
        """Units that are only sold together; 1 where any number is sold."""
        return self.pack if self.pack > 1 and not self.breaks_packs else 1.0

    def packed(self, units: float) -> float:
        """The units and what fills up their last pack, where packs are not opened."""
        return float(begun(units / self.lot)) * self.lot if self.lot > 1 else units


@lru_cache(maxsize=1024)
def _tier_starts(terms: Terms) -> tuple[float, ...]:
    """Units from which each price holds, packs filled up: a plan buys one stock in many routes."""
    return tuple(terms.packed(start) for start, _ in terms.tiers)


class TermsTable:
    """The terms of many supplies, ready to buy from all of them at many quantities at once.

    Raises ValueError where terms have no price.
    """

    def __init__(self, terms: Sequence[Terms]) -> None:
        self.terms = tuple(terms)
        if not all(each.tiers for each in self.terms):
            raise ValueError("terms without a price: tiers are missing")
        most = max((len(each.tiers) for each in self.terms), default=1)
        # A tier that is not there starts beyond every amount.
        none = np.full((most, len(self.terms), 1), np.inf)
        self._start, self._end, self._price = none, none.copy(), np.ones_like(none)
        for row, each in enumerate(self.terms):
            starts = _tier_starts(each)
            self._start[: len(starts), row, 0] = starts
            self._end[: len(starts) - 1, row, 0] = starts[1:]
            self._price[: len(starts), row, 0] = [price for _, price in each.tiers]
        self._lot = np.array([[each.lot] for each in self.terms]).reshape(-1, 1)
        self._least = np.array([[each.least] for each in self.terms]).reshape(-1, 1)
        self._in_lots = bool((self._lot > 1).any())

    def money(self, need: Array) -> tuple[Array, Array, Array]:
        """Return units bought, money for one of them, and money for all [supply, quantity].

        need: units [supply, quantity]; of what is not needed nothing is bought, though its price
            is told. As the need rises, neither what is bought nor its money falls.
        """
        least = np.maximum(need, self._least)
        if self._in_lots:
            np.copyto(least, begun(least / self._lot) * self._lot, where=self._lot > 1)
        bought = np.maximum(least, self._start[0])
        price = np.broadcast_to(self._price[0], bought.shape).copy()
        money = bought * price
        np.copyto(money, np.inf, where=bought >= self._end[0])
        for start, end, tier_price in zip(
            self._start[1:], self._end[1:], self._price[1:], strict=True
        ):
            units = np.maximum(least, start)
            asked = units * tier_price
            # Of two that cost the same the smaller purchase stands, which came first.
            better = (units < end) & (asked < money)
            np.copyto(bought, units, where=better)
            np.copyto(price, tier_price, where=better)
            np.copyto(money, asked, where=better)
        unwanted = need <= 0
        bought[unwanted] = money[unwanted] = 0.0
        return bought, price, money


def purchase(need: Array, terms: Terms) -> tuple[Array, Array, Array]:
    """Return units bought, money for one and for all, arrays of the shape of the need [units].

    The cheapest amount that covers the need, the least order and whole packs. Each price holds from
    its own count up to the next one's, so where a dearer one follows, nobody is sold the cheaper.
    Raises ValueError for terms without a price.
    """
    need = np.asarray(need, dtype=np.float64)
    found = TermsTable([terms]).money(need.reshape(1, -1))
    bought, price, money = (each.reshape(need.shape) for each in found)
    return bought, price, money


class Bought(NamedTuple):
    """One purchase: units, money for one and for all, and how a printer would say it."""

    units: float
    unit_price: float
    money: float
    words: str


def buy(need: float, terms: Terms, unit: str = "sheets") -> Bought:
    """Buy what is needed [units], and say it in words.

    They read "52 packs of 250, 13,000 sheets at 0.0711 from 10,000".
    unit: what is counted, as the words name it. Raises ValueError for terms without a price.
    """
    bought, price, money = (
        float(each) for each in purchase(np.array(need, dtype=np.float64), terms)
    )
    words = _in_words(need, bought, price, terms, unit)
    return Bought(bought, price, money, words)


def _in_words(need: float, bought: float, price: float, terms: Terms, unit: str) -> str:
    if bought == 0:
        return "nothing"
    counted = f"{_plain(bought)} {unit}"
    if terms.lot > 1:
        packs = round(bought / terms.lot)
        counted = f"{packs:,} pack{'s' * (packs > 1)} of {_plain(terms.lot)}, {counted}"
    start = max(start for start, _ in terms.tiers if terms.packed(start) <= bought)
    held = f" from {_plain(start)}" if start else ""
    ordered = max(need, terms.least)
    why = ", the least order" if terms.least > need else ""
    if bought > terms.packed(ordered):
        why = f", cheaper than {_plain(terms.packed(ordered))}"
    return f"{counted} at {_plain(price, 6)}{held}{why}"


def _plain(figure: float, digits: int = 2) -> str:
    """Write a number with thousands apart and no idle noughts."""
    text = f"{figure:,.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
