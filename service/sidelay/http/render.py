"""Estimates as JSON, and what they share with comparisons.

The order of members and items is fixed, so that bytes repeat.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import orjson

from ..bookwork import innermost_page_mm
from ..estimate import Estimate
from ..finishing_safety import safety_of
from ..offers import Offer
from ..plan import Plan
from ..plant import Plant
from ..spoilage import begun, delivery_limits
from ..work import Finding, Process
from .asked import Asked
from .render_dates import DateWriter, write_clock
from .render_offer import LINE_DETAILS, OfferWriter
from .render_rates import write_cost_centre
from .render_works import WorksWriter

# Digits after the point of what a finding compares.
FIGURE_DIGITS = 3
FACTS = (
    "name",
    "image_carrier",
    "contact",
    "ink",
    "drying",
    "tone_depth",
    "make_ready",
    "wash_up",
    "proof",
    "skill",
    "turnaround",
    "variable_data",
    "usual_run_length",
    "cautions",
    "quality",
    "quality_basis",
    "crew",
    "substrates",
    "largest_format",
    "speed",
    "colours",
    "impresses",
    "sources",
    "source",
)


def to_json(answer: Mapping[str, Any]) -> bytes:
    """Return an answer as JSON in UTF-8; a plug-in's findings may hold NumPy's numbers."""
    return orjson.dumps(answer, option=orjson.OPT_SERIALIZE_NUMPY)


def write_estimate(result: Estimate, asked: Asked) -> dict[str, Any]:
    """Return the answer of /estimate."""
    writer = OfferWriter(result.plan, result.costs, result.job, result.plant, asked.detail)
    dates, lines = DateWriter(result.plant), asked.detail in LINE_DETAILS
    works = None
    if lines and result.costs is not None:
        works = WorksWriter(result.plan, result.costs, result.job, result.plant)
    estimates = [
        {
            "quantity": offer.quantity,
            **writer.head(offer),
            **dates.offer(offer, dated.schedule, dated.due, operations=lines),
            **asked.quote(offer.quantity, writer.net(offer)),
            "otherwise": dates.otherwise(dated.otherwise, offer),
            "delivery": _delivery(offer.quantity, asked),
            "parts": writer.parts(offer),
            "operations": writer.operations(offer),
            **(works.offer(offer, dated.schedule) if works else {}),
            **writer.price_trace(offer),
        }
        for dated in result.dated
        for offer in (dated.offer,)
    ]
    return {
        **write_head(asked, result.plan),
        "estimates": estimates,
        **write_tail(asked, result.plan, result.offers, writer),
    }


def write_facts(process: Process) -> dict[str, Any]:
    """Return what a process is, whatever the press."""
    return {name: getattr(process, name) for name in FACTS} | {"sources": dict(process.sources)}


def write_plant_head(plant: Plant) -> dict[str, Any]:
    """Return which plant it is, and which state of its file."""
    return {
        "id": plant.id,
        "name": plant.name,
        "revision": plant.revision,
        "currency": plant.currency,
    }


def write_head(asked: Asked, plan: Plan) -> dict[str, Any]:
    """Return what every answer begins with: the job, the plant, the book that the parts make."""
    return {
        "title": asked.job.title,
        "job_fingerprint": asked.fingerprint,
        "plant": write_plant_head(asked.plant),
        "versions": dict(asked.versions),
        "clock": write_clock(asked.timing.as_of, asked.plant, given=asked.clock_given),
        "binding": _binding(plan),
    }


def write_tail(
    asked: Asked, plan: Plan, offers: Sequence[Offer], writer: OfferWriter
) -> dict[str, Any]:
    """Return what every answer ends with: who cannot, what to know, what can hurt someone."""
    return {
        **_left_out(plan),
        "safety_finishing": _finishing_safety(offers, writer, asked),
        **_rates(asked.plant, asked),
    }


def _delivery(quantity: int, asked: Asked) -> dict[str, int]:
    """Return how many copies may be delivered: what is ordered, with the custom of the plant."""
    job, tolerance = asked.job, asked.plant.price_policy.overs_tolerance
    if job.overs_share:
        most = int(begun(quantity * (1.0 + job.overs_share)))
        return {"least": quantity, "most": most}
    least, most = delivery_limits(quantity, tolerance, no_fewer=False)
    return {"least": least, "most": most}


def _binding(plan: Plan) -> dict[str, Any] | None:
    """Return the book that the parts make, and who can bind it; None where nothing is bound."""
    if not plan.bound:
        return None
    binder, book = plan.bound[0].binder, plan.bound[0].book
    creep_mm = binder.creep_mm(book)
    cover = [round(side, 2) for side in binder.cover_flat_mm(book)] if book.has_cover else None
    return {
        "method": book.method,
        "edge": book.edge,
        "binders": [
            {
                "machine": each.binder.id,
                "name": each.binder.name,
                "bought_out": each.binder.bought_out,
                "lead_days": each.binder.lead_days,
            }
            for each in plan.bound
        ],
        "pages": book.pages,
        "leaves": book.leaves,
        "block_mm": round(book.block_mm, 3),
        "spine_mm": round(book.spine_mm, 3),
        "grind_off_mm": binder.grind_off_mm,
        "cover_flat_mm": cover,
        "creep_mm": round(creep_mm, 3),
        "innermost_page_mm": round(innermost_page_mm(book.across_mm, creep_mm), 3),
        "copy_kg": round(book.mass_kg, 5),
    }


def _rates(plant: Plant, asked: Asked) -> dict[str, Any]:
    """Return, in a trace, what each cost centre's hour is built from."""
    if asked.detail != "trace":
        return {}
    centres = plant.cost_centres.values()
    return {"rates": [write_cost_centre(each, plant.digits) for each in centres]}


def _left_out(plan: Plan) -> dict[str, Any]:
    """Return presses that cannot, that failed, and what to know."""
    return {
        "findings": [write_finding(finding) for finding in plan.findings],
        "excluded": [
            {
                "process": each.process,
                "press": each.press,
                "part": each.part,
                "findings": [write_finding(finding) for finding in each.findings],
            }
            for each in plan.excluded
        ],
        "unavailable": [
            {"process": each.process, "press": each.press, "reference": each.reference}
            for each in plan.unavailable
        ],
        "cautions": [
            {
                "process": each.process,
                "press": each.press,
                "part": each.part,
                **write_finding(each.finding),
            }
            for each in plan.cautions
        ],
        "safety": [
            {"process": each.id, "cautions": list(each.cautions)} for each in plan.processes
        ],
    }


def _finishing_safety(
    offers: Sequence[Offer], writer: OfferWriter, asked: Asked
) -> list[dict[str, Any]]:
    """Return what can hurt someone in finishing, for each operation that an offer has."""
    steps = (step for offer in offers for step in writer.steps(offer))
    return [
        {"operation": name, "cautions": list(cautions)}
        for name, cautions in safety_of(steps, uses=asked.job.uses)
    ]


def write_finding(finding: Finding) -> dict[str, Any]:
    """Return a finding, its figures without the noise of binary fractions."""
    return {
        "severity": finding.severity,
        "code": finding.code,
        "message": finding.message,
        "asked": _rounded(finding.asked),
        "limit": _rounded(finding.limit),
        "unit": finding.unit,
        "remedy": finding.remedy,
    }


def _rounded(value: float | str | None) -> float | str | None:
    """Return a figure without the noise of binary fractions."""
    return value if value is None or isinstance(value, str) else round(value, FIGURE_DIGITS)
