"""What a comparison hangs on, as plain data."""

from __future__ import annotations

from typing import Any

from ..flips import Answer, Flip
from ..sensitivity import Hanging, Sensitivity
from .asked import Asked

DIGITS = 6


def write_hanging(hanging: Hanging, asked: Asked) -> dict[str, Any]:
    """Return what the crossovers and the answers hang on."""
    return {
        "crossovers": [_sensitivity(each, asked) for each in hanging.sensitivities],
        "answers": [_answer(each, asked) for each in hanging.answers],
    }


def _sensitivity(found: Sensitivity, asked: Asked) -> dict[str, Any]:
    crossover = found.crossover
    return {
        "part": asked.job.parts[crossover.part].name,
        "from_process": crossover.from_process,
        "to_process": crossover.to_process,
        "first_at": crossover.first_at,
        "factors": [
            {
                "factor": leaning.factor,
                "elasticity": None if leaning.elasticity is None else round(leaning.elasticity, 4),
                "shifts": [
                    {
                        "change": shift.change,
                        "first_at": shift.first_at,
                        "settled_at": shift.settled_at,
                        "wins_there": shift.wins_there,
                    }
                    for shift in leaning.shifts
                ],
            }
            for leaning in found.leanings
        ],
    }


def _answer(found: Answer, asked: Asked) -> dict[str, Any]:
    currency = asked.plant.currency
    return {
        "quantity": found.quantity,
        "part": asked.job.parts[found.part].name,
        "process": found.process,
        "press": found.press,
        "factors": [
            {
                "factor": hinge.factor,
                "below": _flip(hinge.below, currency),
                "above": _flip(hinge.above, currency),
            }
            for hinge in found.hinges
        ],
    }


def _flip(flip: Flip | None, currency: str) -> dict[str, Any] | None:
    if flip is None:
        return None
    return {
        "times": round(flip.times, DIGITS),
        "unchanged_to": round(flip.unchanged_to, DIGITS),
        "process": flip.process,
        "press": flip.press,
        "figures": [
            {
                "press": figure.press,
                "now": round(figure.value, DIGITS),
                "then": round(figure.value * flip.times, DIGITS),
                "unit": figure.unit.replace("{currency}", currency),
            }
            for figure in flip.figures
        ],
    }
