"""Answers to requests for XJDF and PrintTalk, as plain data."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from .answering import compared, estimated_with
from .asked import Asked
from .callers import Caller
from .faults import Fault, InvalidRequest
from .intent_documents import Intent, Json, intent_of
from .intent_production import priced_product, reasons_of, unpriced_product
from .media_types import JSON, XJDF
from .moments import moment_text
from .quotation import (
    Letterhead,
    Row,
    quotation,
    refusal,
    rows_of_comparison,
    rows_of_estimate,
)
from .service import Service


def product_answer(asked: Asked, service: Service, who: Caller) -> Json:
    """Return the document of a job with the production of its best offer filled in.

    Raises InvalidRequest where more than one quantity is asked, or signed quotes are.
    """
    _check_unsigned(asked)
    if len(asked.job.quantities) > 1:
        detail = f"A document of {XJDF} is about one quantity: ask for one, or accept another type."
        raise asked.given.told(
            InvalidRequest([Fault(("job", "quantities"), "too_many", detail)])
        )
    intent = _intent(asked, service)
    result, told = estimated_with(asked, service, who)
    if not result.dated:
        return unpriced_product(intent, asked.job.quantities[0], reasons_of(told))
    processes, zone = service.processes.about, asked.plant.time.zone
    schedule = result.dated[0].schedule
    return priced_product(intent, told["estimates"][0], schedule, processes, zone)


def estimate_quotation(asked: Asked, service: Service, who: Caller) -> Json:
    """Return the best offers as a quotation: one quote for each process that has one.

    Raises InvalidRequest where signed quotes are asked for.
    """
    _check_unsigned(asked)
    _, told = estimated_with(asked, service, who)
    return _quotation(rows_of_estimate(told), told, asked, service, who)


def comparison_quotation(asked: Asked, service: Service, who: Caller) -> Json:
    """Return a comparison as a quotation: one quote for each process that can make the job.

    Raises InvalidRequest where signed quotes are asked for.
    """
    _check_unsigned(asked)
    told = compared(asked, service, who)
    return _quotation(rows_of_comparison(told), told, asked, service, who)


def _quotation(
    rows: list[Row], told: Mapping[str, Any], asked: Asked, service: Service, who: Caller
) -> Json:
    zone, as_of, plant = asked.plant.time.zone, asked.timing.as_of, asked.plant
    # What an old plant file says is no promise.
    current = plant.revision == service.plants[plant.id].revision
    expires_at = service.expiry(plant, as_of) if current else as_of
    head = Letterhead(
        title=asked.job.title,
        sender=plant.id,
        receiver=who.client,
        stated_at=moment_text(as_of, zone),
        expires_at=moment_text(expires_at, zone),
        fingerprint=asked.fingerprint,
        revision=plant.revision,
    )
    if not rows:
        return refusal(head, reasons_of(told))
    return quotation(head, rows, _intent(asked, service), service.processes.about)


def _check_unsigned(asked: Asked) -> None:
    if asked.quotes is not None:
        detail = f"Nothing is signed in answers of this type: leave it out, or accept {JSON}."
        raise InvalidRequest([Fault(("quotes",), "conflicting_members", detail)])


def _intent(asked: Asked, service: Service) -> Intent:
    run_by = service.run_by(asked.plant)
    return intent_of(asked.given, run_by, asked.plant.stocks, asked.fingerprint)
