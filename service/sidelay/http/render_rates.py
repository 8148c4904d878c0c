"""Hourly rates as plain data, with what they are made of."""

from __future__ import annotations

from typing import Any

import numpy as np

from ..money import decimal_text, to_minor
from ..plant import CostCentre
from ..rates import RateBuild
from .render_trace import write_inputs


def write_cost_centre(centre: CostCentre, digits: int) -> dict[str, Any]:
    """Return a cost centre with its rate, and the build-up of the rate where there is one."""
    return {
        "id": centre.id,
        "name": centre.name,
        "rate_per_hour": decimal_text(_minor([centre.rate_per_hour], digits)[0], digits),
        "crew": centre.crew,
        "build": _build(centre.build, digits) if centre.build else None,
        "source": centre.source,
    }


def _build(build: RateBuild, digits: int) -> dict[str, Any]:
    """Return what a rate is made of; the total is the sum of the rounded items, as everywhere."""
    amounts = _minor([item.per_year for item in build.items], digits)
    return {
        "items": [
            {
                "item": item.name,
                "per_year": decimal_text(minor, digits),
                "because": item.because,
                "formula": f"round({item.formula}, {digits})",
                "inputs": write_inputs(item.inputs),
            }
            for item, minor in zip(build.items, amounts, strict=True)
        ],
        "chargeable_hours": build.chargeable_hours,
        "total_per_year": decimal_text(sum(amounts), digits),
    }


def _minor(amounts: list[float], digits: int) -> list[int]:
    rounded: list[int] = to_minor(np.array(amounts, dtype=np.float64), digits).tolist()
    return rounded
