"""What a body asks, and the answers to it as plain data, whichever path it came by."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import Any

from ..bands import TooClose
from ..compare import Comparison, compare
from ..estimate import Estimate, estimate
from .asked import Asked, read_asked
from .callers import Caller
from .faults import Fault, InvalidRequest
from .product_intent import pointed_at, read_given
from .render import write_estimate
from .render_compare import write_comparison
from .schemas.answer_compare import ComparisonSchema
from .schemas.answers import EstimateSchema
from .scoped import check_asked, told_to
from .service import Service

Answered = Mapping[str, Any]


def understood(
    body: Mapping[str, Any],
    service: Service,
    who: Caller,
    of_query: Sequence[Fault] = (),
    *,
    document: bool = False,
) -> Asked:
    """Return what a body asks. Raises InvalidRequest with every fault, Problem for the scope.

    document: whether the body was sent as an XJDF document, whatever it says of itself
    """
    most = who.allowance.quantities
    given = read_given(body, service, of_query, whole=document)
    try:
        asked = read_asked(given.body, service, of_query, who.group, most_quantities=most)
    except InvalidRequest as found:
        raise given.told(found) from None
    return check_asked(replace(asked, given=given), who)


def estimated(asked: Asked, service: Service, who: Caller) -> Answered:
    """Return the answer of /estimate: for each quantity the best offer."""
    return estimated_with(asked, service, who)[1]


def estimated_with(asked: Asked, service: Service, who: Caller) -> tuple[Estimate, Answered]:
    """Return the estimate asked for, and the answer that tells it to a caller."""
    result = estimate_of(asked, service)
    return result, told_to(who, EstimateSchema, write_estimate(result, asked) | _warnings(asked))


def estimate_of(asked: Asked, service: Service, further: Sequence[int] = ()) -> Estimate:
    """Return the estimate asked for. further: quantities of which only the price is wanted"""
    return estimate(
        asked.job,
        asked.plant,
        service.planner,
        asked.timing,
        only_processes=asked.processes,
        only_presses=asked.presses,
        further=further,
    )


def compared(asked: Asked, service: Service, who: Caller) -> Answered:
    """Return the answer of /compare. Raises InvalidRequest where two presses are too close."""
    result = comparison_of(asked, service, asked.explain)
    return told_to(who, ComparisonSchema, write_comparison(result, asked) | _warnings(asked))


def comparison_of(asked: Asked, service: Service, explain: Collection[str] = ()) -> Comparison:
    """Return the comparison asked for. explain: what to add to it"""
    try:
        return compare(
            asked.job,
            asked.plant,
            service.planner,
            asked.timing,
            up_to=asked.up_to,
            start=asked.start,
            with_curves=asked.curves,
            rank_by=asked.rank_by,
            explain=explain,
            only_processes=asked.processes,
            only_presses=asked.presses,
        )
    except TooClose as fault:
        raise InvalidRequest([Fault(("up_to",), "too_close", f"{fault}.")]) from None


def validated(asked: Asked) -> Answered:
    """Return the answer of /validate: of a document the job that it was read as, too."""
    read = {} if asked.given.document is None else {"job": asked.given.body["job"]}
    return {"valid": True, "job_fingerprint": asked.fingerprint, **read, **_warnings(asked)}


def _warnings(asked: Asked) -> dict[str, Any]:
    """Return what of a document has no effect, or was assumed; no member for a job."""
    if asked.given.document is None:
        return {}
    return {
        "warnings": [
            {"pointer": pointed_at(each), "code": each.code, "detail": each.detail}
            for each in asked.given.warnings
        ]
    }
