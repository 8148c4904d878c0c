"""A comparison as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..compare import Characteristic, Comparison, PressCurve
from ..crossovers import Band, Crossover, find_crossovers
from ..estimate import Offer
from ..money import decimal_text
from ..plant import Plant
from .asked import Asked
from .render import write_facts, write_head, write_tail
from .render_offer import LINE_DETAILS, OfferWriter, ratio
from .render_remedies import write_remedies


def write_comparison(result: Comparison, asked: Asked) -> dict[str, Any]:
    """Return the answer of /compare."""
    writer = OfferWriter(result.plan, result.costs, result.job, result.plant, asked.detail)
    choices = result.choices or ((),) * len(asked.job.quantities)
    every = [offer for offers in choices for offer in offers]
    answer = {
        **write_head(asked, result.plan),
        "quantities": [
            {"quantity": quantity, "choices": _choices(offers, writer, asked)}
            for quantity, offers in zip(asked.job.quantities, choices, strict=True)
        ],
        "bands": [_band(band, asked) for band in result.bands],
        "crossovers": [_crossover(swap) for swap in result.crossovers],
        "characteristics": [_characteristic(row, writer) for row in result.characteristics],
        **_left_out(result, asked, every, writer),
    }
    if result.cost_bands is not None:
        answer["cost_bands"] = [_band(band, asked) for band in result.cost_bands]
        swaps = find_crossovers(result.cost_bands)
        answer["cost_crossovers"] = [_crossover(swap) for swap in swaps]
    if asked.curves:
        answer["curves"] = [_curve(curve, result.plant, writer) for curve in result.curves]
    return answer


def _left_out(
    result: Comparison, asked: Asked, every: Sequence[Offer], writer: OfferWriter
) -> dict[str, Any]:
    """Return what every answer ends with, and behind who cannot what would help, where asked."""
    tail = write_tail(asked, result.plan, every, writer)
    if result.remedies is None:
        return tail
    best = [offers[0].price if offers else None for offers in result.choices]
    best = best or [None] * len(asked.job.quantities)
    told: dict[str, Any] = {}
    for name, value in tail.items():
        told[name] = value
        if name == "excluded":
            told["remedies"] = write_remedies(result.remedies, asked.job, best, writer)
    return told


def _band(band: Band, asked: Asked) -> dict[str, Any]:
    return {
        **_stretch(band),
        "process": band.process,
        "press": band.press,
        "route": _route_of(band, asked),
    }


def _crossover(swap: Crossover) -> dict[str, Any]:
    return {
        "from_process": swap.from_process,
        "to_process": swap.to_process,
        "first_at": swap.first_at,
        "settled_at": swap.settled_at,
    }


def _route_of(band: Band, asked: Asked) -> list[dict[str, str]]:
    return [
        {"part": part.name, "process": process, "press": press}
        for part, presses in zip(asked.job.parts, band.route, strict=True)
        for process, press in presses
    ]


def _choices(offers: tuple[Offer, ...], writer: OfferWriter, asked: Asked) -> list[dict[str, Any]]:
    return [
        {
            "rank": rank,
            **writer.head(offer),
            "ratio_to_best": ratio(offer.price, offers[0].price),
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
