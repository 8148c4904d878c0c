"""The choices at each quantity: one offer a press, in the order that the caller states.

Ranked by price, by readiness or by weights, a press stands with its way of least price; ranked by
cost, with the way that costs the plant least, at the price asked for that. Where two choices are
equal, the lower price is first, then the lesser value, then the fixed order.
"""

from __future__ import annotations

from dataclasses import dataclass

from .estimate import Offer, PricedJob, readiness_of
from .plant import Plant
from .ranking import Figures, RankBy, Score, scores
from .readiness import Readiness, Schedule


@dataclass(frozen=True, slots=True)
class Standing:
    """How soon a choice can be ready, and where it stands among those of its quantity."""

    readiness: Readiness
    score: Score


Ranked = tuple[tuple[tuple[Offer, ...], ...], tuple[tuple[Standing, ...], ...]]


def ranked_choices(priced: PricedJob, plant: Plant, by: RankBy) -> Ranked:
    """Return the offers of each quantity, the best first, and where each of them stands."""
    of_price = _least_cost_offers(priced) if by.alone == "cost" else priced.ranked_offers()
    schedule = Schedule(priced.table, priced.costs, plant.working_hours_per_day)
    choices, standings = [], []
    for offers in of_price:
        ready = [readiness_of(offer, schedule) for offer in offers]
        figures = [
            Figures(offer.price, offer.cost, each.working_days)
            for offer, each in zip(offers, ready, strict=True)
        ]
        found = [Standing(*pair) for pair in zip(ready, scores(figures, by), strict=True)]
        # Sorting keeps the order of price, value and ways among equals.
        order = sorted(range(len(offers)), key=lambda n: found[n].score.key)
        choices.append(tuple(offers[n] for n in order))
        standings.append(tuple(found[n] for n in order))
    return tuple(choices), tuple(standings)


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
