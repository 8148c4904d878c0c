"""How choices were ranked, member for member."""

from __future__ import annotations

from .answer_fields import Answer, cost_only, number


class RatiosSchema(Answer):
    """Figures of a choice against the best of its quantity: 1 is the best, six decimals."""

    price = number("against the least price; null where only that is nothing", "1", nullable=True)
    cost = cost_only(
        number("against the least cost; null where only that is nothing", "1", nullable=True)
    )
    readiness = number(
        "against the fewest hours until ready; null where only those are none", "1", nullable=True
    )


class RankedBySchema(Answer):
    """How much each criterion counted for the rank: as stated in rank_by, by default the price."""

    price = number("weight of the price", "1")
    cost = cost_only(number("weight of what it costs the plant", "1"))
    readiness = number("weight of the hours until it is ready", "1")


SCORE = (
    "sum of weight times ratio, which choices are ranked by, the least first, exact: 1 is the best "
    "in all that counts; six decimals; null where a ratio that counts is"
)
