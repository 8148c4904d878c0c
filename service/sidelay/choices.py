"""The choices at each quantity: one offer a press, in the order that the caller states.

Ranked by price, by readiness or by weights, a press stands with its way of least price; ranked by
cost, with the way that costs the plant least, at the price asked for that. With a due date it
stands with its way of least price that holds instead, where that one is too late, and presses that
hold come before those that do not. Where two choices are equal, the lower price is first, then the
lesser value, then the fixed order.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .dated import Dated
from .dating import DatedOffer, Dating
from .offers import Offer, PricedJob
from .ranking import Figures, RankBy, Score, scores
from .schedule import Schedule
from .timing import Due


@dataclass(frozen=True, slots=True)
class Standing:
    """When a choice is ready, whether that holds, and where it stands among those beside it."""

    schedule: Schedule
    due: Due | None
    score: Score


@dataclass(frozen=True, slots=True)
class Choices:
    """The choices of one quantity, the best first, and where each of them stands.

    trade_off: those that no other beats in price and readiness, the cheapest first
    """

    offers: tuple[Offer, ...]
    standings: tuple[Standing, ...]
    trade_off: tuple[Dated, ...]


def ranked_choices(priced: PricedJob, dating: Dating, by: RankBy) -> tuple[Choices, ...]:
    """Return the choices of each quantity."""
    of_price = _least_cost_offers(priced) if by.alone == "cost" else priced.ranked_offers()
    found = []
    for offers in of_price:
        dated = [dating.of_press(each) for each in offers]
        found.append(_ranked(dated, by, _trade_off([dating.short(each) for each in dated])))
    return tuple(found)


def _ranked(dated: list[DatedOffer], by: RankBy, trade_off: tuple[Dated, ...]) -> Choices:
    figures = [
        Figures(each.offer.price, each.offer.cost, each.schedule.readiness.hours)
        for each in dated
    ]
    found = scores(figures, by)
    # Sorting keeps the order of price, value and ways among equals.
    order = sorted(
        range(len(dated)),
        key=lambda n: (not dated[n].holds, found[n].key, dated[n].offer.price),
    )
    return Choices(
        tuple(dated[n].offer for n in order),
        tuple(Standing(dated[n].schedule, dated[n].due, found[n]) for n in order),
        trade_off,
    )


def _trade_off(choices: Sequence[Dated]) -> tuple[Dated, ...]:
    """Return what is worth its price for being ready earlier: prices rise, ready falls."""
    kept: list[Dated] = []
    for each in sorted(choices, key=_by_price):
        earlier = each.ready_at is not None and (
            not kept or kept[-1].ready_at is None or each.ready_at < kept[-1].ready_at
        )
        if earlier or not kept:
            kept.append(each)
    return tuple(kept)


def _by_price(each: Dated) -> tuple[int, bool, int]:
    """The cheapest first, of equal prices the earliest."""
    return each.price, each.ready_at is None, each.ready_at or 0


def _least_cost_offers(priced: PricedJob) -> tuple[tuple[Offer, ...], ...]:
    """Return each press with what costs the plant least, at the price asked for it, cheapest first.

    What an offer beats on its press is told by cost as well.
    """
    at_cost = PricedJob(priced.table.at_cost(), priced.quantities)
    by_press = [
        [priced.asked_for(offer) for offer in at_cost.offers_of(ways)]
        for ways in priced.table.first.by_press().values()
    ]
    return priced.ranked(list(zip(*by_press, strict=True)), at_cost.decides)
