"""Prices of a product as it is chosen: the answer of /products/{id}/price, as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from ..dating import DatedOffer
from ..estimate import Estimate
from ..money import decimal_text
from ..plan import Plan
from ..products import Product
from .answering import estimate_of
from .asked import Asked, read_asked
from .callers import Caller
from .catalogues import Sold, request_for
from .faults import InvalidRequest
from .moments import moment_text
from .render import write_plant_head
from .render_dates import write_clock
from .render_offer import OfferWriter
from .selection import Selection
from .service import Service

UNREACHED = "A press could not be asked just now; ask again."


@dataclass(frozen=True, slots=True)
class Priced:
    """An answer, and whether it may be kept: not where a press could not be asked."""

    answer: dict[str, Any]
    may_be_kept: bool


def price_answer(
    sold: Sold, selection: Selection, as_of: int, service: Service, caller: Caller
) -> Priced:
    """Return the prices of a choice for a caller.

    as_of: instant that dates are reckoned from, and quotes run from
    """
    try:
        body = request_for(sold.product, selection.settled, selection.quantities)
        body["as_of"] = moment_text(as_of, "UTC")
        asked = read_asked(body, service, group=caller.group)
    except InvalidRequest as refused:
        return Priced(_refused(sold, selection, as_of, refused), may_be_kept=True)
    steps = _steps(sold.product, selection)
    result = estimate_of(asked, service, steps)
    if selection.as_of is None and not result.plan.unavailable:
        # Without a press that is usually there the price may be dearer: told, but not promised.
        quotes = service.quote_writer(asked.plant, caller.group, asked.fingerprint, as_of)
        asked = replace(asked, quotes=quotes)
    return Priced(
        {
            **_head(sold, selection, as_of),
            "job_fingerprint": asked.fingerprint,
            "prices": _PriceWriter(asked, result, steps).rows(),
            "refusals": _refusals(result.plan) if not result.offers else [],
        },
        may_be_kept=not result.plan.unavailable,
    )


def _steps(product: Product, selection: Selection) -> list[int]:
    """Return the quantities of the ladder that a step may lead to, but are not priced anyway."""
    first = selection.quantities[0]
    return [step for step in product.ladder if step > first and step not in selection.quantities]


def _head(sold: Sold, selection: Selection, as_of: int) -> dict[str, Any]:
    return {
        "product": sold.product.id,
        "name": sold.product.name[selection.language],
        "language": selection.language,
        "plant": write_plant_head(sold.plant),
        "options": dict(selection.settled),
        "clock": write_clock(as_of, sold.plant, given=selection.as_of is not None),
    }


def _refused(
    sold: Sold, selection: Selection, as_of: int, refused: InvalidRequest
) -> dict[str, Any]:
    """Return the answer for a choice that makes no job: numbers that do not go together, say."""
    return {
        **_head(sold, selection, as_of),
        "job_fingerprint": None,
        "prices": [],
        "refusals": [{"message": fault.detail, "remedy": ""} for fault in refused.faults],
    }


def _refusals(plan: Plan) -> list[dict[str, str]]:
    """Return why no press can make it, each reason once."""
    findings = [
        *(finding for finding in plan.findings if finding.severity == "limit"),
        *(finding for each in plan.excluded for finding in each.findings),
    ]
    told = dict.fromkeys((finding.message, finding.remedy) for finding in findings)
    if plan.unavailable:
        told[UNREACHED, ""] = None
    return [{"message": message, "remedy": remedy} for message, remedy in told]


class _PriceWriter:
    """Writes the prices of one answer."""

    def __init__(self, asked: Asked, result: Estimate, steps: Sequence[int]) -> None:
        self._asked, self._result = asked, result
        self._digits = asked.plant.digits
        self._offers = OfferWriter(result.plan, result.costs, asked.job, asked.plant, "price")
        known = {offer.quantity: offer.price for offer in result.offers}
        known |= dict(zip(steps, result.step_prices, strict=False))
        self._steps = dict(sorted(known.items()))

    def rows(self) -> list[dict[str, Any]]:
        """Return a row for each quantity."""
        return [self._row(dated) for dated in self._result.dated]

    def _row(self, dated: DatedOffer) -> dict[str, Any]:
        offer, ready_at = dated.offer, dated.schedule.readiness.ready_at
        price, zone = self._offers.price(offer), self._asked.plant.time.zone
        return {
            "quantity": offer.quantity,
            "price": price,
            "ready_at": None if ready_at is None else moment_text(ready_at, zone),
            "next_step": self._next_step(offer.quantity, offer.price),
            **({"quote": None} | self._asked.quote(offer.quantity, price["net"])),
        }

    def _next_step(self, quantity: int, price: int) -> dict[str, Any] | None:
        """Return the next quantity of the ladder at which each costs less."""
        for step, whole in self._steps.items():
            if step > quantity and whole * quantity < price * step:
                return {
                    "quantity": step,
                    "net": decimal_text(whole, self._digits),
                    "per_piece": self._offers.per_piece(whole, step),
                    "more": decimal_text(whole - price, self._digits),
                }
        return None
