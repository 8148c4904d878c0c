"""The tables of a catalogue file (TOML), as marshmallow schemas that load into `products`."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

from marshmallow import ValidationError, fields, post_load, validate, validates_schema

from .describe import PRACTICE, whole
from .fields import ExactInteger, Number, TrueFalse
from .products import ChoiceOption, Condition, NumberOption, Rule, Value
from .schema_parts import NAME, Strict, identifier

# BCP 47 as far as a shop needs it: a language, perhaps a script, perhaps a region.
_LANGUAGE = validate.Regexp(
    r"[a-z]{2,3}(-[A-Z][a-z]{3})?(-([A-Z]{2}|[0-9]{3}))?\Z",
    error="expected a language tag as BCP 47 writes it: en, de, pt-BR",
)
_POINTER = validate.Regexp(
    re.compile(r"(/[^/]+)+\Z"), error='expected a JSON Pointer into the job: "/parts/0/size"'
)
MOST_QUANTITY = 100_000_000
MOST_NUMBER = 1_000_000
MOST_OPTIONS, MOST_VALUES, MOST_RULES, MOST_LADDER = 30, 200, 100, 200


def _labels() -> fields.Dict:
    """Describe a text in each language."""
    return fields.Dict(
        keys=fields.String(validate=_LANGUAGE),
        values=fields.String(validate=NAME),
        required=True,
        validate=validate.Length(1),
    )


class CatalogueHeadSchema(Strict):
    """[catalogue]."""

    languages = fields.List(
        fields.String(validate=_LANGUAGE), required=True, validate=validate.Length(1, 50)
    )
    cache = fields.String(validate=validate.OneOf(("private", "public")), load_default="private")
    max_age_s = whole(
        "s",
        0,
        86_400,
        "how long a price may be kept; 0 is asked again each time",
        default=60,
        source=PRACTICE,
    )
    clock_step_min = ExactInteger(
        validate=validate.OneOf((1, 5, 10, 15, 30, 60)),
        load_default=15,
        metadata={
            "description": "dates are reckoned from the last full step of the clock",
            "x-unit": "min",
            "x-source": PRACTICE,
        },
    )
    quote_valid_h = whole(
        "h", 1, 8_760, "how long a quoted price holds", default=72, source=PRACTICE
    )


class ValueSchema(Strict):
    """[[products.options.values]]."""

    id = identifier()
    name = _labels()
    put = fields.Dict(
        keys=fields.String(validate=_POINTER), values=fields.Raw(), load_default=dict
    )
    facts = fields.Dict(
        keys=fields.String(validate=validate.Length(1, 63)), values=Number(), load_default=dict
    )

    @post_load
    def _value(self, data: dict[str, Any], **_: Any) -> Value:
        return Value(**data)


class OptionSchema(Strict):
    """[[products.options]]: named values, or a range of whole numbers."""

    id = identifier()
    name = _labels()
    default = fields.Raw()
    values = fields.List(fields.Nested(ValueSchema), validate=validate.Length(1, MOST_VALUES))
    unit = fields.String(validate=validate.Length(0, 40), load_default="")
    from_ = ExactInteger(data_key="from", validate=validate.Range(0, MOST_NUMBER))
    to = ExactInteger(validate=validate.Range(0, MOST_NUMBER))
    step = ExactInteger(validate=validate.Range(1, MOST_NUMBER), load_default=1)
    put = fields.List(fields.String(validate=_POINTER), validate=validate.Length(1, 20))

    @validates_schema
    def _one_kind(self, data: dict[str, Any], **_: Any) -> None:
        numbers = {"from_", "to", "put"} & set(data)
        if ("values" in data) == bool(numbers):
            raise ValidationError("expected either values, or from, to and put", "values")
        if numbers and len(numbers) < 3:
            raise ValidationError("expected from, to and put together", "from")
        if numbers and data["from_"] > data["to"]:
            raise ValidationError(f"expected at least from, {data['from_']}", "to")

    @post_load
    def _option(self, data: dict[str, Any], **_: Any) -> ChoiceOption | NumberOption:
        head, default = (data["id"], data["name"]), data.get("default")
        if "values" in data:
            return ChoiceOption(*head, tuple(data["values"]), default)
        least, step = data["from_"], data["step"]
        most = least + (data["to"] - least) // step * step
        return NumberOption(
            *head, data["unit"], least, most, step, default, tuple(data["put"])
        )


class ConditionSchema(Strict):
    """One item of `when` or `needs`."""

    option = identifier()
    one_of = fields.List(fields.String(), validate=validate.Length(1), load_default=list)
    fact = fields.String(validate=validate.Length(1, 63), load_default="")
    at_least = Number()
    at_most = Number()

    @validates_schema
    def _one_way(self, data: dict[str, Any], **_: Any) -> None:
        bounds = {"at_least", "at_most"} & set(data)
        if bool(data["one_of"]) == bool(bounds):
            raise ValidationError("expected either one_of, or at_least or at_most", "one_of")

    @post_load
    def _condition(self, data: dict[str, Any], **_: Any) -> Condition:
        return Condition(**data | {"one_of": tuple(data["one_of"])})


class RuleSchema(Strict):
    """[[products.rules]]."""

    when = fields.List(
        fields.Nested(ConditionSchema), required=True, validate=validate.Length(1, 10)
    )
    needs = fields.List(
        fields.Nested(ConditionSchema), required=True, validate=validate.Length(1, 10)
    )
    because = _labels()

    @post_load
    def _rule(self, data: dict[str, Any], **_: Any) -> Rule:
        return Rule(tuple(data["when"]), tuple(data["needs"]), data["because"])


def _rising(ladder: list[int]) -> None:
    if any(after <= before for before, after in pairwise(ladder)):
        raise ValidationError("the quantities must rise")


class ProductSchema(Strict):
    """[[products]]."""

    id = identifier()
    name = _labels()
    about = _labels()
    ladder = fields.List(
        ExactInteger(validate=validate.Range(1, MOST_QUANTITY)),
        required=True,
        validate=[validate.Length(1, MOST_LADDER), _rising],
    )
    between = TrueFalse(load_default=True)
    processes = fields.List(identifier(), load_default=list)
    job = fields.Dict(required=True)
    options = fields.List(
        fields.Nested(OptionSchema), required=True, validate=validate.Length(1, MOST_OPTIONS)
    )
    rules = fields.List(
        fields.Nested(RuleSchema), validate=validate.Length(max=MOST_RULES), load_default=list
    )


class CatalogueSchema(Strict):
    """A catalogue file."""

    catalogue = fields.Nested(CatalogueHeadSchema, required=True)
    products = fields.List(
        fields.Nested(ProductSchema), required=True, validate=validate.Length(1, 1_000)
    )
