"""What has become of a quote: the answer of /quotes/check."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from marshmallow import ValidationError

from .callers import Caller
from .faults import InvalidRequest
from .moments import moment_text
from .quotes import Quote, checked
from .schemas.quotes import QuoteCheckSchema
from .schemas.request import faults_of
from .service import Service

ORDERED = ("job_fingerprint", "quantity", "net", "currency")
_SCHEMA = QuoteCheckSchema()


def check_quote(body: Mapping[str, Any], service: Service, caller: Caller) -> dict[str, Any]:
    """Return whether a quote holds, and what it is of where it was signed here.

    Raises InvalidRequest with every fault of the body.
    """
    try:
        data = _SCHEMA.load(body)
    except ValidationError as found:
        raise InvalidRequest(list(faults_of(found))) from None
    quote, now = service.quotes.read(data["token"]), int(service.clock())
    if quote is not None and not _may_see(quote, caller):
        quote = None
    revisions = {plant.id: plant.revision for plant in service.plants.values()}
    ordered = {name: data[name] for name in ORDERED if data.get(name) is not None}
    status, because = checked(quote, revisions, now, ordered)
    return {
        "status": status,
        "because": because,
        "checked_at": moment_text(now, "UTC"),
        "quote": None if quote is None else _written(quote, service),
    }


def _may_see(quote: Quote, caller: Caller) -> bool:
    """Whether a quote is one of the caller's own group; who sees costs may see all."""
    return caller.sees_costs or quote.group == caller.group


def _written(quote: Quote, service: Service) -> dict[str, Any]:
    plant = service.plants.get(quote.plant)
    zone = plant.time.zone if plant else "UTC"
    told = asdict(quote)
    return {**told, "expires_at": moment_text(quote.expires_at, zone)}
