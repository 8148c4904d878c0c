"""A comparison as plain data."""

from __future__ import annotations

from typing import Any

from ..choices import Standing
from ..compare import Comparison, PressCurve
from ..crossovers import Band, Crossover, find_crossovers
from ..dated import IN_TIME
from ..money import decimal_text
from ..offers import Offer
from ..plant import Plant
from .asked import Asked
from .render import write_head, write_tail
from .render_dates import DateWriter
from .render_hanging import write_hanging
from .render_offer import LINE_DETAILS, OfferWriter, ratio
from .render_process import write_characteristic, write_stretch
from .render_ranking import write_ranked_by, write_standing
from .render_remedies import write_remedies


def write_comparison(result: Comparison, asked: Asked) -> dict[str, Any]:
    """Return the answer of /compare."""
    writer = OfferWriter(result.plan, result.costs, result.job, result.plant, asked.detail)
    nobody: tuple[tuple[()], ...] = ((),) * len(asked.job.quantities)
    choices, standings = result.choices or nobody, result.standings or nobody
    dates = DateWriter(result.plant)
    every = [offer for offers in choices for offer in offers]
    answer = {
        **write_head(asked, result.plan),
        "ranked_by": write_ranked_by(asked.rank_by),
        "quantities": [
            {
                "quantity": quantity,
                "choices": _choices(offers, standing, writer, asked),
                "trade_off": [dates.dated(each) for each in trade_off],
                "otherwise": dates.otherwise(otherwise, offers[0] if offers else None),
            }
            for quantity, offers, standing, trade_off, otherwise in zip(
                asked.job.quantities,
                choices,
                standings,
                result.trade_offs or nobody,
                result.otherwise or (IN_TIME,) * len(choices),
                strict=True,
            )
        ],
        "bands": [_band(band, asked) for band in result.bands],
        "due_bands": _due_bands(result, dates),
        "crossovers": [_crossover(swap, asked) for swap in result.crossovers],
        "characteristics": [write_characteristic(row) for row in result.characteristics],
        **write_tail(asked, result.plan, every, writer),
    }
    if result.remedies is not None:
        least = [min((offer.price for offer in offers), default=None) for offers in choices]
        answer["remedies"] = write_remedies(result.remedies, asked.job, least, writer)
    if result.cost_bands is not None:
        answer["cost_bands"] = [_band(band, asked) for band in result.cost_bands]
        swaps = find_crossovers(result.cost_bands)
        answer["cost_crossovers"] = [_crossover(swap, asked) for swap in swaps]
    if result.hanging is not None:
        answer["hangs_on"] = write_hanging(result.hanging, asked)
    if asked.curves:
        answer["curves"] = [_curve(curve, result.plant, writer) for curve in result.curves]
    return answer


def _due_bands(result: Comparison, dates: DateWriter) -> list[dict[str, Any]] | None:
    if result.due_bands is None:
        return None
    return [dates.due_band(band, result.job.parts[0].name) for band in result.due_bands]


def _band(band: Band, asked: Asked) -> dict[str, Any]:
    return {
        **write_stretch(band.first, band.last),
        "process": band.process,
        "press": band.press,
        "route": _route_of(band, asked),
    }


def _crossover(swap: Crossover, asked: Asked) -> dict[str, Any]:
    return {
        "part": asked.job.parts[swap.part].name,
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


def _choices(
    offers: tuple[Offer, ...], standings: tuple[Standing, ...], writer: OfferWriter, asked: Asked
) -> list[dict[str, Any]]:
    cheapest = min((offer.price for offer in offers), default=0)
    dates, lines = DateWriter(asked.plant), asked.detail in LINE_DETAILS
    return [
        {
            "rank": rank,
            **writer.head(offer),
            "ratio_to_best": ratio(offer.price, cheapest),
            **write_standing(standing),
            **dates.offer(offer, standing.schedule, standing.due, operations=lines),
            **asked.quote(offer.quantity, writer.net(offer)),
            "sheets": writer.first_writer(offer).sheets(offer.parts[0], offer.column),
            "hours": writer.first_writer(offer).hours(offer.parts[0], offer.column),
            **_made_of(offer, writer, asked),
        }
        for rank, (offer, standing) in enumerate(zip(offers, standings, strict=True), 1)
    ]


def _made_of(offer: Offer, writer: OfferWriter, asked: Asked) -> dict[str, Any]:
    if asked.detail not in LINE_DETAILS:
        return {}
    return {
        "parts": writer.parts(offer),
        "operations": writer.operations(offer),
        **writer.price_trace(offer),
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
