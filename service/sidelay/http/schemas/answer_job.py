"""What an answer says of a whole job: its binding, its delivery, and what hours cost."""

from __future__ import annotations

from typing import get_args

from marshmallow import fields, validate

from ...job import BindingEdge, BindingMethod
from .answer_fields import Answer, many, money, number, one, switch, text, texts, whole
from .answer_trace import InputSchema

# Items that an hourly rate may have, in their order.
RATE_ITEMS = (
    "depreciation",
    "capital_recovery",
    "occupancy",
    "insurance",
    "wages",
    "supervision",
    "power",
    "repairs",
    "supplies",
    "factory_overhead",
    "administration",
)


class BinderSchema(Answer):
    """A machine, or a trade binder, that takes the book."""

    machine = text("id of the binder")
    name = text("name to show")
    bought_out = switch("whether a trade binder does it")
    lead_days = number("working days until bought-out work is back", "d")


class BookSchema(Answer):
    """The book that the parts make, and who can bind it."""

    method = text("how it is bound", words=get_args(BindingMethod))
    edge = text("the edge of the page that is bound", words=get_args(BindingEdge))
    binders = many(
        BinderSchema, "who can bind it: at each quantity the cheapest does, and its operation tells"
    )
    pages = whole("pages without the cover", "{page}")
    leaves = whole("leaves without the cover")
    block_mm = number("thickness without the cover", "mm")
    spine_mm = number("thickness with the cover", "mm")
    grind_off_mm = number("milled off the spine", "mm")
    cover_flat_mm = fields.List(
        fields.Float(),
        required=True,
        allow_none=True,
        validate=validate.Length(equal=2),
        metadata={"description": "trimmed flat size of the cover; null without one"},
    )
    creep_mm = number("how far nesting pushes the innermost page out", "mm")
    innermost_page_mm = number("what the face trim leaves of the innermost page", "mm")
    copy_kg = number("paper of all that is bound", "kg")


class DeliverySchema(Answer):
    """How many copies may be delivered against the order; the count delivered is billed."""

    least = whole("fewest", "{piece}")
    most = whole("most: as the custom of the plant, or as overs were asked for", "{piece}")


class FinishingSafetySchema(Answer):
    """What can hurt someone in an operation that the offers of this answer use."""

    operation = text("an operation, a step of finishing or a method of binding")
    cautions = texts("the usual cautions; local codes and licensed practice come first")


class RateItemSchema(Answer):
    """One item of an hourly rate."""

    item = text("what it is for", open_words=RATE_ITEMS)
    per_year = money("for a year, in the plant's currency")
    because = text("how it was computed")
    formula = text("the same as a formula, in the syntax of a trace")
    inputs = many(InputSchema, "what the formula names; money in the plant's currency")


class RateBuildSchema(Answer):
    """What an hourly rate is made of."""

    items = many(RateItemSchema, "fixed, then direct, then overhead; items of nought left out")
    chargeable_hours = number("hours of a year that are charged, make-ready included", "h/a")
    total_per_year = money("the items together; over the chargeable hours it is the rate")


class CostCentreSchema(Answer):
    """A place where hours are spent."""

    id = text("id of the cost centre")
    name = text("name to show")
    rate_per_hour = money(
        "all-inclusive rate of a chargeable hour, in the plant's currency; a rate that is built "
        "is rounded here and not where jobs are costed"
    )
    crew = number("people at it; null where the plant does not say", "{person}", nullable=True)
    build = one(RateBuildSchema, "null where the rate is given outright", nullable=True)
    source = text("where its figures come from")
