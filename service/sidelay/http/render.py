"""Estimates and comparisons as JSON; the order of members and items is fixed, so bytes repeat."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import orjson

from ..bookwork import innermost_page_mm
from ..compare import Band, Characteristic, Comparison, PressCurve
from ..estimate import Estimate, Offer
from ..finishing_safety import safety_of
from ..money import decimal_text
from ..plan import Plan
from ..plant import Plant
from ..spoilage import begun, delivery_limits
from ..work import Finding, Process
from .asked import Asked
from .render_offer import LINE_DETAILS, OfferWriter
from .render_rates import write_cost_centre

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
    estimates = [
        {
            "quantity": offer.quantity,
            **writer.head(offer),
            "delivery": _delivery(offer.quantity, asked),
            "parts": writer.parts(offer),
            "operations": writer.operations(offer),
        }
        for offer in result.offers
    ]
    return {
        **_head(asked),
        "binding": _binding(result.plan),
        "estimates": estimates,
        **_left_out(result.plan),
        "safety_finishing": _finishing_safety(result.offers, writer, asked),
        **_rates(result.plant, asked),
    }


def write_comparison(result: Comparison, asked: Asked) -> dict[str, Any]:
    """Return the answer of /compare."""
    writer = OfferWriter(result.plan, result.costs, result.job, result.plant, asked.detail)
    choices = result.choices or ((),) * len(asked.job.quantities)
    answer = {
        **_head(asked),
        "binding": _binding(result.plan),
        "quantities": [
            {"quantity": quantity, "choices": _choices(offers, writer, asked)}
            for quantity, offers in zip(asked.job.quantities, choices, strict=True)
        ],
        "bands": [
            {
                **_stretch(band),
                "process": band.process,
                "press": band.press,
                "route": _route_of(band, asked),
            }
            for band in result.bands
        ],
        "crossovers": [
            {
                "from_process": swap.from_process,
                "to_process": swap.to_process,
                "first_at": swap.first_at,
                "settled_at": swap.settled_at,
            }
            for swap in result.crossovers
        ],
        "characteristics": [_characteristic(row, writer) for row in result.characteristics],
        **_left_out(result.plan),
        "safety_finishing": _finishing_safety(
            [offer for offers in choices for offer in offers], writer, asked
        ),
        **_rates(result.plant, asked),
    }
    if asked.curves:
        answer["curves"] = [_curve(curve, result.plant, writer) for curve in result.curves]
    return answer


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


def _head(asked: Asked) -> dict[str, Any]:
    return {
        "title": asked.job.title,
        "job_fingerprint": asked.fingerprint,
        "plant": write_plant_head(asked.plant),
    }


def _delivery(quantity: int, asked: Asked) -> dict[str, int]:
    """Return how many copies may be delivered: what is ordered, with the custom of the plant."""
    job, tolerance = asked.job, asked.plant.price_policy.overs_tolerance
    if job.overs_share:
        most = int(begun(quantity * (1.0 + job.overs_share)))
        return {"least": quantity, "most": most}
    least, most = delivery_limits(quantity, tolerance, no_fewer=False)
    return {"least": least, "most": most}


def _route_of(band: Band, asked: Asked) -> list[dict[str, str]]:
    return [
        {"part": part.name, "process": process, "press": press}
        for part, presses in zip(asked.job.parts, band.route, strict=True)
        for process, press in presses
    ]


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
    """Return what every answer ends with: presses that cannot, that failed, and what to know."""
    return {
        "findings": [_finding(finding) for finding in plan.findings],
        "excluded": [
            {
                "process": each.process,
                "press": each.press,
                "part": each.part,
                "findings": [_finding(finding) for finding in each.findings],
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
                **_finding(each.finding),
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


def _finding(finding: Finding) -> dict[str, Any]:
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


def _choices(offers: tuple[Offer, ...], writer: OfferWriter, asked: Asked) -> list[dict[str, Any]]:
    return [
        {
            "rank": rank,
            **writer.head(offer),
            "ratio_to_best": _ratio(offer.price, offers[0].price),
            "sheets": writer.first_writer(offer).sheets(offer.parts[0], offer.column),
            "hours": writer.first_writer(offer).hours(offer.parts[0], offer.column),
            **_made_of(offer, writer, asked),
        }
        for rank, offer in enumerate(offers, 1)
    ]


def _made_of(offer: Offer, writer: OfferWriter, asked: Asked) -> dict[str, Any]:
    if asked.detail not in LINE_DETAILS:
        return {}
    return {"parts": writer.parts(offer), "operations": writer.operations(offer)}


def _ratio(price: int, best: int) -> float | None:
    """Return how many times the best price this is; None where only the best is nothing."""
    if price == best:
        return 1.0
    return round(price / best, 4) if best else None


def _stretch(band: Band) -> dict[str, int]:
    return {"from": band.first, "to": band.last}


def _characteristic(row: Characteristic, writer: OfferWriter) -> dict[str, Any]:
    return {
        "process": row.process.id,
        **write_facts(row.process),
        "for_this_job": _for_this_job(row.offer, writer) if row.offer else None,
        "wins": [_stretch(band) for band in row.bands],
    }


def _for_this_job(offer: Offer, writer: OfferWriter) -> dict[str, Any]:
    first, made = writer.first_writer(offer), offer.parts[0]
    route, routes = first.route(made), first.routes(made)
    return {
        "quantity": offer.quantity,
        "press": route.press.id,
        "carriers": sum(each.carriers for each in routes),
        "make_ready_min": round(
            float(sum(each.run.make_ready_of(each.times) for each in routes)), 3
        ),
        "passes": int(route.run.passes),
        "work_style": route.work.layout.style,
        "up": route.work.layout.up,
        "drying_h": round(float(route.run.drying_h), 3),
        "sheets_per_hour": first.good_per_hour(made, offer.column),
    }


def _curve(curve: PressCurve, plant: Plant, writer: OfferWriter) -> dict[str, Any]:
    points = zip(curve.quantities, curve.cost, curve.price, strict=True)
    return {
        "process": curve.process,
        "press": curve.press,
        "points": [
            {
                "quantity": quantity,
                "cost": decimal_text(cost, plant.digits),
                "price": decimal_text(price, plant.digits),
                "per_piece": writer.per_piece(price, quantity),
            }
            for quantity, cost, price in points
        ],
    }
