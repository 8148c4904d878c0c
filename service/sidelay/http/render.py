"""Estimates and comparisons as JSON; the order of members and items is fixed, so bytes repeat."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import orjson

from ..compare import Band, Characteristic, Comparison, PressCurve
from ..estimate import Estimate, Offer
from ..money import decimal_text
from ..plan import Plan
from ..plant import Plant
from ..work import Finding, Process
from .asked import Asked
from .render_offer import LINE_DETAILS, OfferWriter

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
    writer = OfferWriter(result.plan, result.costs, result.plant, asked.detail)
    estimates = [
        {"quantity": offer.quantity, **writer.head(offer), "parts": [writer.part(offer)]}
        for offer in result.offers
    ]
    return {**_head(asked), "estimates": estimates, **_left_out(result.plan)}


def write_comparison(result: Comparison, asked: Asked) -> dict[str, Any]:
    """Return the answer of /compare."""
    writer = OfferWriter(result.plan, result.costs, result.plant, asked.detail)
    choices = result.choices or ((),) * len(asked.job.quantities)
    answer = {
        **_head(asked),
        "quantities": [
            {"quantity": quantity, "choices": _choices(offers, writer, asked)}
            for quantity, offers in zip(asked.job.quantities, choices, strict=True)
        ],
        "bands": [
            {**_stretch(band), "process": band.process, "press": band.press}
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


def _left_out(plan: Plan) -> dict[str, Any]:
    """Return what every answer ends with: presses that cannot, that failed, and what to know."""
    return {
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
            {"process": each.process, "press": each.press, **_finding(each.finding)}
            for each in plan.cautions
        ],
        "safety": [
            {"process": each.id, "cautions": list(each.cautions)} for each in plan.processes
        ],
    }


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
            "sheets": writer.sheets(offer),
            "hours": writer.hours(offer),
            **({"parts": [writer.part(offer)]} if asked.detail in LINE_DETAILS else {}),
        }
        for rank, offer in enumerate(offers, 1)
    ]


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
    route = writer.route(offer)
    return {
        "quantity": offer.quantity,
        "press": route.press.id,
        "carriers": route.carriers,
        "make_ready_min": round(float(route.run.make_ready_min), 3),
        "passes": int(route.run.passes),
        "work_style": route.work.layout.style,
        "up": route.work.layout.up,
        "drying_h": round(float(route.run.drying_h), 3),
        "sheets_per_hour": writer.good_per_hour(offer),
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
