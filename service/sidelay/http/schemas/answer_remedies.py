"""What would let an excluded press make a part, and what the job would then cost."""

from __future__ import annotations

from marshmallow import fields

from .answer_fields import Answer, cost_only, many, number, one, text, texts, whole
from .answer_part import PRESS, PROCESS
from .answers import CostSchema, PriceSchema

_VALUES = ["number", "string", "boolean", "object"]


class ChangeSchema(Answer):
    """One member of the job that would have to be another; put `to` in its place, and ask again."""

    member = text("JSON Pointer into the job of the request, as a fragment: #/parts/0/ruling_lpi")
    name = text("name of the member")
    from_ = fields.Raw(
        required=True,
        data_key="from",
        metadata={"description": "what the job has, told or not", "type": _VALUES},
    )
    to = fields.Raw(
        required=True, metadata={"description": "what would do, as little off it", "type": _VALUES}
    )
    unit = text('unit of both; "" for none')


class RemedyPriceSchema(Answer):
    """The job at one quantity, the part changed and on this press, all else at its cheapest."""

    quantity = whole("finished pieces", "{piece}")
    price = one(PriceSchema, "what the customer pays; same_price_to is not looked for")
    cost = cost_only(one(CostSchema, "what it costs the plant"))
    ratio_to_best = number(
        "price divided by the cheapest price of the job as asked, four decimals: two jobs, so that "
        "another press may do the changed one for less, which shows when it is asked for; null "
        "where that is nothing, or where no press can make it",
        "1",
        nullable=True,
    )


class RemedySchema(Answer):
    """The least change of the job that lets an excluded press make a part."""

    process = text(PROCESS)
    press = text(PRESS)
    part = text("name of the part")
    changes = fields.List(
        fields.Nested(ChangeSchema),
        required=True,
        allow_none=True,
        metadata={
            "description": "all of them are needed; null where no change to the same piece helps"
        },
    )
    prices = many(
        RemedyPriceSchema,
        "one for each quantity in the order asked; none without a change, or where the job cannot "
        "be made for another reason",
    )
    reasons = texts("why no change helps; none where one does")
    message = text("the same in one sentence a printer would say")
