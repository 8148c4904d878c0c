"""How soon an offer is ready and how choices were ranked, member for member."""

from __future__ import annotations

from .answer_fields import Answer, number, one, text


class ReadinessBecauseSchema(Answer):
    """Why each figure is what it is, a sentence each."""

    lead_days = text("what is waited for")
    work_h = text("where the hours go")
    drying_h = text("what dries")
    working_days = text("how the others become days, and which part is the last one ready")


class ReadinessSchema(Answer):
    """How soon the last copy can be ready if work starts at once, without calendar and queue.

    Parts are made side by side where their presses differ; the figures are those of the last one
    ready, and of the work on copies.
    """

    working_days = number("working days of all that follows, four decimals", "d")
    lead_days = number("working days in which bought or bought-out things are waited for", "d")
    work_h = number("hours of work, one after the other", "h")
    drying_h = number("hours of drying, which go on at night", "h")
    because = one(ReadinessBecauseSchema, "why each figure is what it is")


class RatiosSchema(Answer):
    """Figures of a choice against the best of its quantity: 1 is the best, six decimals."""

    price = number("against the least price; null where only that is nothing", "1", nullable=True)
    cost = number("against the least cost; null where only that is nothing", "1", nullable=True)
    readiness = number(
        "against the fewest working days; null where only those are nothing", "1", nullable=True
    )


class RankedBySchema(Answer):
    """How much each criterion counted for the rank: as stated in rank_by, by default the price."""

    price = number("weight of the price", "1")
    cost = number("weight of what it costs the plant", "1")
    readiness = number("weight of the working days until it is ready", "1")


SCORE = (
    "sum of weight times ratio, which choices are ranked by, the least first, exact: 1 is the best "
    "in all that counts; six decimals; null where a ratio that counts is"
)
