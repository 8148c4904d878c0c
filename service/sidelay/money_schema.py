"""The tables of a plant file that are about money: cost centres and the price policy."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from marshmallow import ValidationError, fields, post_load, validate, validates_schema

from .describe import PRACTICE, figure
from .fields import ExactInteger, Number
from .rates import RateBasis, build_rate
from .schema_parts import Strict, identifier, shown_name, told_source

MOST_PER_HOUR = 100_000
HOURS_OF_A_YEAR = 8784
LEAST_HOURS = 1
MOST_MARGIN = 0.9
TRADE_CUSTOM = "10 % either way up to 10,000 copies: trade customs as printers quote them"


def _yearly(about: str) -> Number:
    return figure("{currency}/a", 0, 1e9, about, default=0)


class RateBasisSchema(Strict):
    """[cost_centres.basis]: what a cost centre costs in a year; loads into a RateBasis."""

    investment = figure("{currency}", 0, 1e9, "bought and installed for")
    salvage = figure("{currency}", 0, 1e9, "worth at the end of its life", default=0)
    life_years = figure("a", 0.1, 100, "years of use")
    interest = figure(
        "1",
        0,
        1,
        "interest a year: capital is recovered with it; left out, it is written off in a straight "
        "line",
        optional=True,
    )
    floor_m2 = figure("m2", 0, 1e6, "floor that it takes, aisles included", default=0)
    occupancy_per_m2 = figure(
        "{currency}/(m2.a)", 0, 1e5, "rent, rates, heat and light of a square metre", default=0
    )
    insurance_rate = figure(
        "1/a", 0, 0.5, "insurance and property tax, as a share of the investment", default=0
    )
    crew = figure("{person}", 0, 100, "people at it, paid by its rate", default=0)
    wage_per_hour = figure("{currency}/h", 0, 1e5, "wage of one, for a paid hour", default=0)
    paid_hours = figure("h/a", 0, HOURS_OF_A_YEAR, "paid hours of each", default=0)
    on_cost_share = figure("1", 0, 5, "social charges and leave, on top of wages", default=0)
    supervision = _yearly("its part of the foreman")
    load_kw = figure("kW", 0, 1e5, "connected load", default=0)
    load_factor = figure(
        "1", 0, 1, "share of the load that is drawn on average", default=1, source=PRACTICE
    )
    kwh_price = figure("{currency}/(kW.h)", 0, 1e4, "price of power", default=0)
    repairs = _yearly("repairs and service")
    supplies = _yearly("wipes, oil, blankets and the like; nothing that a job is charged for")
    factory_overhead_share = figure("1", 0, 5, "on top of fixed and direct cost", default=0)
    admin_share = figure("1", 0, 5, "office and selling, on top of factory cost", default=0)
    productivity = figure(
        "1", 0.01, 1, "chargeable hours as a share of paid hours, over a long time", optional=True
    )
    chargeable_hours = figure(
        "h/a", LEAST_HOURS, HOURS_OF_A_YEAR, "chargeable hours, make-ready included", optional=True
    )

    @validates_schema
    def _hours(self, data: dict[str, Any], **_: Any) -> None:
        if ("productivity" in data) == ("chargeable_hours" in data):
            raise ValidationError("expected either productivity or chargeable_hours")
        hours = data.get("chargeable_hours", data["paid_hours"] * data.get("productivity", 0))
        if hours < LEAST_HOURS:
            raise ValidationError(
                f"no chargeable hours: paid_hours x productivity is {hours:g}; expected at least "
                f"{LEAST_HOURS}",
                "paid_hours",
            )

    @validates_schema
    def _left_over(self, data: dict[str, Any], **_: Any) -> None:
        if data["salvage"] > data["investment"]:
            raise ValidationError("expected at most the investment", "salvage")
        if data["crew"] and data["wage_per_hour"] and not data["paid_hours"]:
            raise ValidationError("expected the paid hours of the crew", "paid_hours")

    @post_load
    def _basis(self, data: dict[str, Any], **_: Any) -> RateBasis:
        return RateBasis(**data)


class CostCentreSchema(Strict):
    """[[cost_centres]]: a rate, or the basis that it is built from."""

    id = identifier()
    name = shown_name()
    rate_per_hour = figure(
        "{currency}/h",
        0,
        MOST_PER_HOUR,
        "all-inclusive rate of a chargeable hour, where it is not built",
        optional=True,
    )
    basis = fields.Nested(
        RateBasisSchema, metadata={"description": "what a year costs; the rate is built from it"}
    )
    crew = figure(
        "{person}", 0, 100, "people at it, for works orders; of a basis its own", optional=True
    )
    source = told_source()

    @validates_schema
    def _one_rate(self, data: dict[str, Any], **_: Any) -> None:
        if ("rate_per_hour" in data) == ("basis" in data):
            raise ValidationError(
                "expected either rate_per_hour or a table [cost_centres.basis]", "rate_per_hour"
            )
        if {"crew", "basis"} <= data.keys():
            raise ValidationError("expected in [cost_centres.basis], which pays for it", "crew")
        if "basis" in data:
            rate = build_rate(data["basis"]).rate_per_hour
            if rate > MOST_PER_HOUR:
                raise ValidationError(
                    f"the rate comes to {rate:,.2f} an hour; expected at most {MOST_PER_HOUR:,}",
                    "basis",
                )


def _margins(start: fields.Field[Any], first: int, key_unit: str, about: str) -> fields.List[Any]:
    """Describe a table of margins: [from, margin] pairs, from rising and the first at `first`."""

    def stepped(points: list[tuple[float, float]]) -> None:
        if points and points[0][0] != first:
            raise ValidationError(f"The first step must start at {first}.")
        if any(after[0] <= before[0] for before, after in pairwise(points)):
            raise ValidationError("The first figures of the pairs must rise.")

    pair = fields.Tuple((start, Number(validate=validate.Range(0, MOST_MARGIN))))
    return fields.List(
        pair,
        validate=[validate.Length(max=50), stepped],
        load_default=list,
        metadata={"description": about, "x-unit": "1", "x-key-unit": key_unit},
    )


class PricePolicySchema(Strict):
    """[price_policy]."""

    material_markup = figure("1", 0, 10, "share on top of bought material")
    time_markup = figure("1", 0, 10, "share on top of hours")
    outwork_markup = figure("1", 0, 10, "share on top of bought-out work")
    minimum_charge = figure("{currency}", 0, 1e6, "least price of a job", default=0)
    round_up_to = figure("{currency}", 0, 1e4, "prices are whole multiples of this", default=0)
    margins_by_quantity = _margins(
        ExactInteger(validate=validate.Range(1, 1e9)),
        1,
        "{piece}",
        "margin as a share of the price, from each quantity on: [from, margin] pairs, the first "
        "from 1",
    )
    margins_by_value = _margins(
        Number(validate=validate.Range(0, 1e9)),
        0,
        "{currency}",
        "margin as a share of the price, from each marked-up value on: [from, margin] pairs, the "
        "first from 0; instead of margins_by_quantity",
    )
    rush_premium = figure(
        "1", 0, 10, "share added to time and outwork of rush work, not to material", default=0
    )
    cash_step = figure(
        "{currency}", 0, 1e4, "totals paid in cash are rounded to this; 0 for not", default=0
    )
    overs_tolerance = figure(
        "1",
        0,
        0.5,
        "how far a delivery may lie from the order either way",
        default=0.10,
        source=TRADE_CUSTOM,
    )

    @validates_schema
    def _one_table(self, data: dict[str, Any], **_: Any) -> None:
        if data["margins_by_quantity"] and data["margins_by_value"]:
            raise ValidationError(
                "expected either margins_by_quantity or margins_by_value, not both",
                "margins_by_value",
            )


class CustomerGroupSchema(Strict):
    """[[customer_groups]]: customers whose prices are made by a policy of their own."""

    id = identifier()
    name = shown_name()
    price_policy = fields.Nested(PricePolicySchema, required=True)
