"""The trace of a price: every figure with its formula, what goes into it, its unit and source."""

from __future__ import annotations

from typing import Any

from marshmallow import fields

from .answer_fields import Answer, many, money, text, whole

SYNTAX = (
    "in names of the inputs, numbers, + - x / and parentheses; ceil(a): whole units, begun ones "
    "counted, less than a millionth of one being noise; max, min; round(a, digits): to so many "
    "decimals, half up, a millionth of the last digit below a tie being the tie; ln(a)"
)


def _value(about: str) -> Any:
    described = {"description": about, "type": ["number", "string"]}
    return fields.Raw(required=True, metadata=described)


class InputSchema(Answer):
    """What goes into a formula: a figure worked out before, or one given."""

    name = text("its name in the formula; a figure before it of this name and `of` is this one")
    value = _value("its value; money that is rounded is a decimal string")
    unit = text("unit of it, UCUM style; of money, the currency")


class FigureSchema(Answer):
    """One figure and how it comes about."""

    name = text("its name; later formulas take it by this name")
    of = text('which run of the part it belongs to, where there are several; "" elsewhere')
    value = _value("its value; money that is rounded is a decimal string")
    unit = text("unit of it, UCUM style; of money, the currency")
    formula = text(SYNTAX)
    inputs = many(InputSchema, "what the formula names")
    because = text("why it is what it is")
    source = text('where it comes from; "" where it is arithmetic alone')


class ShapeSchema(Answer):
    """The two lines that the cost of one copy nears over quantity, on scales of logarithms.

    At few copies it is nearly fixed / quantity, which halves as the quantity doubles; at many it
    is level.
    """

    fixed = money("cost before the first copy")
    long_run_unit_cost = money(
        "what one copy more costs in the long run, made as here: the cost of 500,000,000 further "
        "copies for each of them, stock at its lowest price; four decimals more than the currency"
    )
    balanced_at = whole(
        "copies at which fixed / quantity is the long-run unit cost; null where that is nothing",
        "{copy}",
        nullable=True,
    )
    currency = text("ISO 4217")
