"""The stocks of a plant file as marshmallow schemas: what they are, sizes, prices, how sold."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from marshmallow import Schema, ValidationError, fields, validate, validates_schema

from .describe import PRACTICE, figure, switch
from .fields import Number, TrueFalse
from .paper import KG_PER_PRICE_UNIT, PRICE_UNITS
from .paper_sizes import SIZES_MM
from .schema_parts import Strict, identifier, shown_name, told_source

SQUARE_METRE = "square_metre"
REEL_PRICE_UNITS = (*KG_PER_PRICE_UNIT, SQUARE_METRE)
PRICE_OF_ITS_OWN = ("price", "price_unit")
COUNTED = (
    "counted in sheets; of reels in kilograms where they are priced by weight, else in square "
    "metres; of blanks in pieces"
)


def _one_price_each(breaks: list[tuple[float, float]]) -> None:
    if any(start <= 1 for start, _ in breaks):
        raise ValidationError("expected breaks from more than 1: from there on it is the price")
    if any(after[0] <= before[0] for before, after in pairwise(breaks)):
        raise ValidationError("expected [from, price] pairs, from rising")


def _price_breaks() -> fields.List[Any]:
    pair = fields.Tuple(
        (Number(validate=validate.Range(0, 1e9)), Number(validate=validate.Range(0, 1e6)))
    )
    about = f"[from, price] pairs, from rising: what a price_unit costs from so many on; {COUNTED}"
    return fields.List(
        pair,
        validate=[validate.Length(max=20), _one_price_each],
        metadata={"description": about, "x-unit": "{currency}"},
    )


class SoldSchema(Strict):
    """How the merchant sells it: of a stock, and of a sheet, reel or blank where that differs.

    A price of its own goes without the price breaks of the stock; so does price_breaks = [].
    """

    pack = figure("1", 0, 1e7, f"in a pack; none if left out; {COUNTED}", optional=True)
    breaks_packs = TrueFalse(
        metadata={
            "description": "whether packs are opened and any number is sold; true if left out",
            "x-source": PRACTICE,
        }
    )
    least_order = figure("1", 0, 1e7, f"least order; none if left out; {COUNTED}", optional=True)
    price_breaks = _price_breaks()


def sold_by(supply: Mapping[str, Any], stock: Mapping[str, Any], key: str) -> Any:
    """Return a key of SoldSchema for a sheet, reel or blank: its own, or its stock's, or None."""
    if key in supply:
        return supply[key]
    own_price = any(name in supply for name in PRICE_OF_ITS_OWN)
    return None if key == "price_breaks" and own_price else stock.get(key)


def _supplies(schema: type[Schema]) -> fields.List[Any]:
    return fields.List(fields.Nested(schema), load_default=list, validate=validate.Length(max=40))


class SheetSchema(SoldSchema):
    """[[stocks.sheets]]: a named size, or width and height."""

    size = fields.String(validate=validate.OneOf(sorted(SIZES_MM)))
    width_mm = figure("mm", 10, 5000, "either side", optional=True)
    height_mm = figure("mm", 10, 5000, "the other side", optional=True)
    grain = fields.String(
        required=True,
        validate=validate.OneOf(("long", "short")),
        metadata={"description": "the side that the machine direction runs along"},
    )
    price = figure("{currency}", 0, 1e6, "price of this size, where it differs", optional=True)
    price_unit = fields.String(validate=validate.OneOf(PRICE_UNITS))

    @validates_schema
    def _one_way(self, data: dict[str, Any], **_: Any) -> None:
        sides = ("width_mm" in data) + ("height_mm" in data)
        if sides != (0 if "size" in data else 2):
            raise ValidationError("expected either size, or width_mm and height_mm")


class ReelSchema(SoldSchema):
    """[[stocks.reels]]: width, and length or the diameters it follows from."""

    width_mm = figure("mm", 10, 10_000, "width of the web")
    length_m = figure("m", 1, 100_000, "length on a full reel", optional=True)
    diameter_mm = figure(
        "mm", 50, 3000, "of a full reel, where the length is not known", optional=True
    )
    core_mm = figure("mm", 10, 500, "outer diameter of the core", default=76, source="3 in cores")
    price = figure("{currency}", 0, 1e6, "price of this reel, where it differs", optional=True)
    price_unit = fields.String(validate=validate.OneOf(REEL_PRICE_UNITS))

    @validates_schema
    def _one_way(self, data: dict[str, Any], **_: Any) -> None:
        if ("length_m" in data) == ("diameter_mm" in data):
            raise ValidationError("expected either length_m or diameter_mm", "length_m")
        if data.get("diameter_mm", 1e9) <= data["core_mm"]:
            raise ValidationError("expected more than the core", "diameter_mm")


class BlankSchema(SoldSchema):
    """[[stocks.blanks]]: a piece bought whole."""

    label = shown_name()
    width_mm = figure("mm", 1, 10_000, "width of the area that can print")
    height_mm = figure("mm", 1, 10_000, "height of the area that can print")
    price = figure("{currency}", 0, 1e6, "price of one")


class StockSchema(SoldSchema):
    """[[stocks]]."""

    id = identifier()
    name = shown_name()
    grade = identifier()
    finish = identifier()
    grammage_gsm = figure("g/m2", 10, 2000, "mass of a square metre")
    caliper_um = figure("um", 5, 5000, "thickness, where known", optional=True)
    bulk_cm3_per_g = figure(
        "cm3/g", 0.3, 5, "specific volume, where the caliper is not known", optional=True
    )
    price = figure("{currency}", 0, 1e6, "price of one price_unit", optional=True)
    price_unit = fields.String(validate=validate.OneOf((*PRICE_UNITS, SQUARE_METRE)))
    sheets = _supplies(SheetSchema)
    reels = _supplies(ReelSchema)
    blanks = _supplies(BlankSchema)
    tone = fields.String(
        load_default="light",
        validate=validate.OneOf(("light", "dark")),
        metadata={"description": "dark where light ink needs a white under it"},
    )
    treated = switch(
        "whether its surface is made to take the ink of a plateless press", default=False
    )
    lead_days = figure(
        "d", 0, 200, "working days until it is in the house; 0 where it is kept there", default=0
    )
    source = told_source()

    @validates_schema
    def _bought(self, data: dict[str, Any], **_: Any) -> None:
        if not (data["sheets"] or data["reels"] or data["blanks"]):
            raise ValidationError("expected sheets, reels or blanks", "sheets")
        own = ("price" in data) + ("price_unit" in data)
        if own == 1 or (own == 0 and (data["sheets"] or data["reels"])):
            raise ValidationError("expected price and price_unit", "price")
        for forms, units in (("sheets", PRICE_UNITS), ("reels", REEL_PRICE_UNITS)):
            for each in data[forms]:
                unit = each.get("price_unit", data.get("price_unit"))
                if unit not in units:
                    known = ", ".join(units)
                    raise ValidationError(
                        f"{forms} are priced by {known}, not {unit}", "price_unit"
                    )

    @validates_schema
    def _thickness(self, data: dict[str, Any], **_: Any) -> None:
        if ("caliper_um" in data) == ("bulk_cm3_per_g" in data):
            raise ValidationError("expected either caliper_um or bulk_cm3_per_g", "caliper_um")

    @validates_schema
    def _sold(self, data: dict[str, Any], **_: Any) -> None:
        for key in ("pack", "least_order", "price_breaks"):
            counted = sorted({how for how, each in _counted(data) if _takes(each, data, key)})
            if len(counted) > 1:
                both = " and in ".join(counted)
                raise ValidationError(f"counted in {both} here: say it with each of them", key)
            if key == "price_breaks" and key in data and not counted:
                raise ValidationError("all that is bought here has a price of its own", key)
        for how, each in _counted(data):
            pack = sold_by(each, data, "pack") or 0
            if how in ("sheets", "pieces") and pack != int(pack):
                raise ValidationError(f"expected whole {how} in a pack", "pack")


def _counted(stock: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield all that a stock is bought in, and what each is counted in."""
    for sheet in stock["sheets"]:
        yield "sheets", sheet
    for reel in stock["reels"]:
        by_area = reel.get("price_unit", stock.get("price_unit")) == SQUARE_METRE
        yield "square metres" if by_area else "kilograms", reel
    for blank in stock["blanks"]:
        yield "pieces", blank


def _takes(supply: Mapping[str, Any], stock: Mapping[str, Any], key: str) -> bool:
    """Whether the figure of the stock holds for one of its sheets, reels or blanks."""
    return key not in supply and sold_by(supply, stock, key) is not None
