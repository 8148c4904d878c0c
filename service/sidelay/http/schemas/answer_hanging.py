"""What a comparison hangs on: its crossovers, and the answer at each quantity asked."""

from __future__ import annotations

from marshmallow import fields

from ...flips import COVERAGE
from ...what_if import FACTORS
from .answer_fields import Answer, many, number, one, text, whole
from .answer_part import PRESS, PROCESS

FIGURES = (*FACTORS, COVERAGE)
FACTOR = (
    "the figure that is changed, all others left as they are: stock_price, whatever the terms; "
    "click_charge; hourly_rates, of the cost centres of the plant; make_ready_time, minutes on "
    "presses; carrier_price, of plates, blocks, screens, cylinders and their making; "
    "running_speed; waste, "
    "of make-ready and running, on every machine; coverage, of each ink, the job planned anew"
)


def signed(about: str, unit: str = "", *, nullable: bool = False) -> fields.Float:
    """Return a field for a number that may be below 0. unit: UCUM style"""
    described = {"description": about} | ({"x-unit": unit} if unit else {})
    return fields.Float(required=True, allow_none=nullable, metadata=described)


class ShiftSchema(Answer):
    """A crossover when a figure has changed."""

    change = signed("of the figure, as a share of it", "1")
    first_at = whole(
        "where the second takes over from the first, the two alone compared; null where it does "
        "not between the bounds",
        "{piece}",
        nullable=True,
    )
    settled_at = whole(
        "from here on the first never wins against the second again; null when it does",
        "{piece}",
        nullable=True,
    )
    wins_there = text(
        'of all processes, the cheapest then where the crossover is now; "" when none can'
    )


class LeaningSchema(Answer):
    """How far a crossover leans on one figure."""

    factor = text(FACTOR, words=FIGURES)
    elasticity = signed(
        "per cent that the crossover moves for one per cent of the figure, between a tenth less "
        "and a tenth more of it; a crossover is a whole number, so that a small one moves in "
        "leaps; null where it is beyond the bounds on both sides",
        "1",
        nullable=True,
    )
    shifts = many(ShiftSchema, "a fifth and a tenth less, a tenth and a fifth more")


class SensitivitySchema(Answer):
    """What one crossover hangs on."""

    part = text("name of the part")
    from_process = text(PROCESS)
    to_process = text(PROCESS)
    first_at = whole("as it is now", "{piece}")
    factors = many(LeaningSchema, "figure by figure")


class PressFigureSchema(Answer):
    """A figure on one press."""

    press = text(PRESS)
    now = number(
        "what it is; of a part in several sizes of section, of the leading one, but make-ready of "
        "them all"
    )
    then = number("what it is where the answer changes")
    unit = text("unit of both, UCUM style")


class FlipSchema(Answer):
    """Where another process is the cheapest."""

    times = number("so many times the figure", "1")
    unchanged_to = number("the last tried before, which changes nothing: it flips in between", "1")
    process = text(f'{PROCESS}; "" where no press can make it any more')
    press = text(PRESS)
    figures = many(PressFigureSchema, "on the press that is the cheapest now, and on that one")


class HingeSchema(Answer):
    """What one figure would have to be for another answer."""

    factor = text(FACTOR, words=FIGURES)
    below = one(FlipSchema, "null where nothing changes down to a tenth of it", nullable=True)
    above = one(FlipSchema, "null where nothing changes up to ten times it", nullable=True)


class HangingSchema(Answer):
    """Who is the cheapest for a part at one quantity, and what would change that."""

    quantity = whole("finished pieces", "{piece}")
    part = text("name of the part")
    process = text(PROCESS)
    press = text(PRESS)
    factors = many(HingeSchema, "figure by figure")


class WhatItHangsOnSchema(Answer):
    """What the crossovers and the answers hang on."""

    crossovers = many(SensitivitySchema, "one for each crossover")
    answers = many(HangingSchema, "one for each quantity and part")
