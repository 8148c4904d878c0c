"""The answers about products, member for member."""

from __future__ import annotations

from typing import Any

from marshmallow import fields

from .answer_dates import ClockSchema, instant, name_or_null
from .answer_fields import Answer, many, money, one, switch, text, texts, whole
from .answer_quotes import QuoteTokenSchema
from .answers import PlantHeadSchema, PriceSchema

LANGUAGE = "language of the texts, a BCP 47 tag"


def _choice(about: str) -> Any:
    """Return a field for what may be chosen: the id of a value, a number, or nothing yet."""
    types = ["string", "integer", "null"]
    return fields.Raw(required=True, metadata={"description": about, "type": types})


def _choices() -> Any:
    described = {"description": "what the answer is of, by option: ids of values, and numbers"}
    return fields.Dict(keys=fields.String(), required=True, metadata=described)


class ProductInShortSchema(Answer):
    """A product."""

    id = text("id of the product")
    plant = text("id of the plant that makes it")
    name = text("name to show")
    about = text("what it is, in a sentence")


class ProductsSchema(Answer):
    """Every product that can be bought by choosing."""

    language = text(LANGUAGE)
    languages = texts("those that the texts come in, the default first")
    products = many(ProductInShortSchema, "in the order of the catalogues")


class OptionValueSchema(Answer):
    """A value of an option."""

    id = text("what a query names it by")
    name = text("name to show")
    legal = switch("whether it goes with what is chosen of the other options")
    because = name_or_null("why it does not; null where it does, or where no one rule says so")


class ProductOptionSchema(Answer):
    """An option: a choice of named values, or whole numbers from one to another."""

    id = text("the query parameter that chooses")
    name = text("name to show")
    kind = text("which members it has beside", words=("choice", "number"))
    default = _choice("null where one has to be chosen")
    chosen = _choice("what the query chose; null for nothing")
    settled = _choice(
        "what a price takes: what is chosen, else the default, else what comes first that goes "
        "with the rest; null where one has to be chosen"
    )
    values = many(OptionValueSchema, "of a choice", optional=True)
    unit = text("of a number, UCUM style", optional=True)
    from_ = fields.Integer(data_key="from", metadata={"description": "least number"})
    to = fields.Integer(metadata={"description": "largest number"})
    step = fields.Integer(metadata={"description": "how far numbers lie apart, from the least on"})
    legal_from = fields.Integer(
        allow_none=True,
        metadata={"description": "least number that goes with what else is chosen; null for none"},
    )
    legal_to = fields.Integer(allow_none=True, metadata={"description": "largest such number"})
    because = fields.String(
        allow_none=True,
        metadata={"description": "of a number: why not all go; null where they do"},
    )


class QuantitiesSchema(Answer):
    """How many can be bought."""

    ladder = fields.List(
        fields.Integer(),
        required=True,
        metadata={"description": "priced where no quantity is asked, rising", "x-unit": "{piece}"},
    )
    from_ = fields.Integer(data_key="from", required=True, metadata={"description": "fewest"})
    to = whole("most", "{piece}")
    between = switch("whether any whole number from the fewest to the most can be asked")


class ProductSchema(Answer):
    """A product, and what goes with what is chosen."""

    id = text("id of the product")
    plant = one(PlantHeadSchema, "the plant that makes it")
    name = text("name to show")
    about = text("what it is, in a sentence")
    language = text(LANGUAGE)
    languages = texts("those that the texts come in, the default first")
    options = many(ProductOptionSchema, "in the order to show them in")
    quantities = one(QuantitiesSchema, "how many")


class NextStepSchema(Answer):
    """The next larger quantity of the ladder at which each costs less."""

    quantity = whole("to buy instead", "{piece}")
    net = money("for all of them")
    per_piece = money("for each, four decimals more than the currency has")
    more = money("than the price it is the next step of")


class ProductPriceSchema(Answer):
    """The price at one quantity."""

    quantity = whole("how many", "{piece}")
    price = one(PriceSchema, "net of tax")
    ready_at = instant("when it can be collected; null beyond the horizon", nullable=True)
    next_step = one(NextStepSchema, "null where no larger step is cheaper each", nullable=True)
    quote = one(
        QuoteTokenSchema,
        "null where the service signs none, where the request gave the clock, and where a press "
        "could not be asked",
        nullable=True,
    )


class RefusalSchema(Answer):
    """A reason why no press can make it."""

    message = text("what stands against it")
    remedy = text("what would clear it; empty where nothing is known to")


class ProductPricesSchema(Answer):
    """The prices of a choice."""

    product = text("id of the product")
    name = text("name to show")
    language = text(LANGUAGE)
    plant = one(PlantHeadSchema, "the plant that makes it")
    options = _choices()
    job_fingerprint = name_or_null("of the job that the choice makes; null where it makes none")
    clock = one(ClockSchema, "what dates are reckoned from: a full step of the clock")
    prices = many(
        ProductPriceSchema, "of the quantity asked, or of each of the ladder; none if refused"
    )
    refusals = many(RefusalSchema, "why there are no prices; none where there are")


def _row() -> Any:
    """Return a field for a row of a price list: members of its own, and one for each option."""
    money_or_null = {"type": ["string", "null"], "format": "decimal"}
    members = {
        "quantity": {"type": "integer", "minimum": 1, "x-unit": "{piece}"},
        "net": money_or_null,
        "per_piece": money_or_null,
        "currency": {"type": "string"},
    }
    described = {"properties": members, "required": list(members)}
    # An option is chosen by the id of a value, or by a number.
    values = fields.Raw(metadata={"type": ["string", "integer"]})
    return fields.Dict(keys=fields.String(), values=values, metadata=described)


class PriceListSchema(Answer):
    """Prices of every legal choice out of some, at every quantity."""

    product = text("id of the product")
    plant = one(PlantHeadSchema, "the plant that makes it")
    options = texts("ids of the options, as rows have them")
    quantities = fields.List(
        fields.Integer(),
        required=True,
        metadata={"description": "as rows have them, rising", "x-unit": "{piece}"},
    )
    rows = fields.List(
        _row(),
        required=True,
        metadata={
            "description": "an object for each price: what is chosen of each option by its id, "
            "quantity, net, per_piece and currency; net and per_piece are null where no press can "
            "make it"
        },
    )
