"""What a body asks, and the answers to it as plain data, whichever path it came by."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from ..bands import TooClose
from ..compare import Comparison, compare
from ..estimate import estimate
from .asked import Asked, read_asked
from .callers import Caller
from .faults import Fault, InvalidRequest
from .render import write_estimate
from .render_compare import write_comparison
from .schemas.answer_compare import ComparisonSchema
from .schemas.answers import EstimateSchema
from .scoped import check_asked, told_to
from .service import Service

Answered = Mapping[str, Any]


def understood(
    body: Mapping[str, Any], service: Service, who: Caller, of_query: Sequence[Fault] = ()
) -> Asked:
    """Return what a body asks. Raises InvalidRequest with every fault, Problem for the scope."""
    most = who.allowance.quantities
    asked = read_asked(body, service, of_query, who.group, most_quantities=most)
    return check_asked(asked, who)


def estimated(asked: Asked, service: Service, who: Caller) -> Answered:
    """Return the answer of /estimate: for each quantity the best offer."""
    result = estimate(
        asked.job,
        asked.plant,
        service.planner,
        asked.timing,
        only_processes=asked.processes,
        only_presses=asked.presses,
    )
    return told_to(who, EstimateSchema, write_estimate(result, asked))


def compared(asked: Asked, service: Service, who: Caller) -> Answered:
    """Return the answer of /compare. Raises InvalidRequest where two presses are too close."""
    result = comparison_of(asked, service, asked.explain)
    return told_to(who, ComparisonSchema, write_comparison(result, asked))


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
    """Return the answer of /validate."""
    return {"valid": True, "job_fingerprint": asked.fingerprint}
