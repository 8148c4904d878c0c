"""The answer of /compare."""

from __future__ import annotations

from marshmallow import fields

from .answer_dates import DatedSchema, DueBandSchema, OtherwiseSchema
from .answer_fields import Answer, cost_only, many, money, number, one, text, whole
from .answer_hanging import WhatItHangsOnSchema
from .answer_part import (
    PRESS,
    PROCESS,
    CopyStepSchema,
    OfferPartSchema,
    RouteStepSchema,
    SheetsSchema,
)
from .answer_process import CharacteristicSchema, StretchSchema
from .answer_ranking import SCORE, RankedBySchema, RatiosSchema
from .answer_remedies import RemedySchema
from .answers import PricedSchema, PricingSchema


class ChoiceSchema(PricedSchema):
    """The best offer of one press at one quantity: the cheapest, or by cost that of least cost."""

    rank = whole(
        "1 for the best by what ranked_by states; of equals the lower price is first, then the "
        "lesser value, then the fixed order of process and press"
    )
    ratio_to_best = number(
        "price divided by the cheapest price, four decimals; null where that is nothing",
        "1",
        nullable=True,
    )
    score = number(SCORE, "1", nullable=True)
    ratios = one(RatiosSchema, "its figures against the best of its quantity")
    sheets = one(SheetsSchema, "sheets of the first part")
    hours = number("press hours of the first part, make-ready and wash-up included", "h")
    parts = many(OfferPartSchema, 'only with detail "lines" or "trace"', optional=True)
    operations = many(CopyStepSchema, 'only with detail "lines" or "trace"', optional=True)


class QuantitySchema(Answer):
    """All presses at one quantity."""

    quantity = whole("finished pieces", "{piece}")
    choices = many(
        ChoiceSchema,
        "one a press, the best first, with a due date those that hold before all others; none when "
        "no press can",
    )
    trade_off = many(
        DatedSchema, "the choices that no other beats in price and in readiness, the cheapest first"
    )
    otherwise = one(OtherwiseSchema, "what else there is, where the cheapest is too late")


class BandSchema(StretchSchema):
    """Whole quantities, both ends included, at which the same presses are the cheapest."""

    process = text(PROCESS)
    press = text(PRESS)
    route = many(RouteStepSchema, "the press of each part")


class CrossoverSchema(Answer):
    """Where one process takes over a part from another."""

    part = text("name of the part")
    from_process = text(PROCESS)
    to_process = text(PROCESS)
    first_at = whole("the first quantity at which the second is cheaper", "{piece}")
    settled_at = whole(
        "from here to up_to the first never wins against the second again; null when it does",
        "{piece}",
        nullable=True,
    )


class PointSchema(Answer):
    """A press at one quantity."""

    quantity = whole("finished pieces", "{piece}")
    cost = cost_only(money("what it costs the plant"))
    price = money("what the customer pays")
    per_piece = money("price for one piece")


class CurveSchema(Answer):
    """Cost and price of one press over quantity."""

    process = text(PROCESS)
    press = text(PRESS)
    points = many(PointSchema, "at rising quantities between the bounds asked")


class ComparisonSchema(PricingSchema):
    """The answer of /compare."""

    ranked_by = one(RankedBySchema, "what the choices are ranked by")
    quantities = many(QuantitySchema, "one for each quantity in the order asked")
    bands = many(
        BandSchema, "by price, between the bounds asked, without a gap; none when no press can"
    )
    due_bands = fields.List(
        fields.Nested(DueBandSchema),
        required=True,
        allow_none=True,
        metadata={
            "description": "as bands, but by what holds the due date; null without one, and where "
            "overtime may be worked, since its premium may fall as quantity rises"
        },
    )
    crossovers = many(CrossoverSchema, "where processes take over from each other")
    characteristics = many(CharacteristicSchema, "one for each process of the plant")
    remedies = many(
        RemedySchema, "what would admit each press excluded; only when asked for", optional=True
    )
    cost_bands = cost_only(
        many(BandSchema, "which presses cost the plant least; only when asked for", optional=True)
    )
    cost_crossovers = cost_only(many(CrossoverSchema, "the same of these bands", optional=True))
    hangs_on = cost_only(
        fields.Nested(
            WhatItHangsOnSchema,
            metadata={
                "description": "what the crossovers and the answers hang on; only when asked for"
            },
        )
    )
    curves = many(CurveSchema, "only when asked for", optional=True)
