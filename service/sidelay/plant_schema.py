"""The tables of a plant file as marshmallow schemas: units, ranges, defaults, sources.

Presses are not here: each process's plug-in describes its own.
"""

from __future__ import annotations

from typing import Any

from marshmallow import Schema, ValidationError, fields, validate, validates_schema

from .describe import (
    PRACTICE,
    Strict,
    figure,
    identifier,
    names,
    shown_name,
    source_of_table,
    switch,
    whole,
)
from .money import UnknownCurrency, minor_digits
from .money_schema import CostCentreSchema, PricePolicySchema
from .paper import KG_PER_PRICE_UNIT, PRICE_UNITS
from .paper_sizes import SIZES_MM

SQUARE_METRE = "square_metre"
REEL_PRICE_UNITS = (*KG_PER_PRICE_UNIT, SQUARE_METRE)


def _currency(code: str) -> None:
    try:
        minor_digits(code)
    except UnknownCurrency as fault:
        raise ValidationError(str(fault)) from None


class AboutSchema(Strict):
    """[plant]."""

    id = identifier()
    name = shown_name()
    currency = fields.String(
        required=True, validate=_currency, metadata={"description": "ISO 4217"}
    )
    stock_tolerance = figure(
        "1",
        0,
        0.2,
        "how far the grammage of a stock may lie from the one asked",
        default=0.05,
        source="common practice, no source",
    )


def _supplies(schema: type[Schema]) -> fields.List[Any]:
    return fields.List(fields.Nested(schema), load_default=list, validate=validate.Length(max=40))


class SheetSchema(Strict):
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


class ReelSchema(Strict):
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


class BlankSchema(Strict):
    """[[stocks.blanks]]: a piece bought whole."""

    label = shown_name()
    width_mm = figure("mm", 1, 10_000, "width of the area that can print")
    height_mm = figure("mm", 1, 10_000, "height of the area that can print")
    price = figure("{currency}", 0, 1e6, "price of one")


class StockSchema(Strict):
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
    source = source_of_table()

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


class GuillotineSchema(Strict):
    """[finishing.guillotine]."""

    cost_centre = identifier()
    set_up_min = figure("min", 0, 600, "set-up for one programme of cuts")
    lift_mm = figure("mm", 1, 500, "height of a lift")
    first_two_cuts_min = figure(
        "min",
        0,
        60,
        "the first two cuts of a lift",
        default=5.0,
        source="bvdm training tables 2008, Mediencommunity course LE03",
    )
    further_cut_min = figure(
        "min",
        0,
        60,
        "each further cut of a lift",
        default=0.4,
        source="bvdm training tables 2008, Mediencommunity course LE03",
    )
    set_up_waste_sheets = whole(
        "{sheet}",
        0,
        1000,
        "sheets spoiled at set-up",
        default=2,
        source="common practice, no source",
    )
    running_waste = figure(
        "1", 0, 0.5, "share of sheets spoiled", default=0.002, source="common practice, no source"
    )
    max_width_mm = figure(
        "mm", 100, 5000, "widest sheet under the knife", default=1150, source=PRACTICE
    )
    max_caliper_um = figure(
        "um", 100, 5000, "thickest stock under the knife", default=1500, source=PRACTICE
    )
    source = source_of_table()


class FolderSchema(Strict):
    """[finishing.folder]."""

    cost_centre = identifier()
    set_up_min = figure("min", 0, 600, "set-up without the folds")
    set_up_min_per_fold = figure("min", 0, 600, "set-up for each fold")
    parallel_m_per_min = figure(
        "m/min",
        1,
        1000,
        "planning speed, parallel folds",
        default=139.7,
        source="5,500 in/min: Bindagraphics, Estimating folding time",
    )
    right_angle_m_per_min = figure(
        "m/min",
        1,
        1000,
        "planning speed, crossing folds",
        default=95.25,
        source="3,500 to 4,000 in/min: Bindagraphics, Estimating folding time",
    )
    gap_share = figure(
        "1",
        0,
        2,
        "gap between sheets, as a share of their length",
        default=0.10,
        source="Bindagraphics, Estimating folding time",
    )
    set_up_waste_pieces_per_fold = whole(
        "{piece}",
        0,
        1000,
        "pieces spoiled at set-up, each fold",
        default=20,
        source="40 for two right angles: American Printer, Jan 1996",
    )
    running_waste = figure(
        "1",
        0,
        0.5,
        "share of pieces spoiled",
        default=0.011,
        source="1.1 %: American Printer, Jan 1996",
    )
    max_length_mm = figure("mm", 10, 5000, "longest flat sheet")
    max_width_mm = figure("mm", 10, 5000, "widest flat sheet")
    max_grammage_gsm = figure("g/m2", 10, 1000, "heaviest stock")
    max_folds = whole("{fold}", 1, 10, "most folds in one pass")
    score_above_gsm = figure(
        "g/m2",
        10,
        1000,
        "heavier stock should be scored first",
        default=170,
        source="common practice, no source",
    )
    source = source_of_table()


class SlitterSchema(Strict):
    """[finishing.slitter]."""

    cost_centre = identifier()
    set_up_min = figure("min", 0, 600, "set-up for one width of lane")
    die_set_up_min = figure(
        "min", 0, 600, "further set-up to cut labels", default=10, source=PRACTICE
    )
    m_per_min = figure("m/min", 1, 2000, "web speed, slitting and winding")
    die_m_per_min = figure(
        "m/min", 1, 500, "web speed, cutting labels too", default=40, source=PRACTICE
    )
    min_per_reel = figure("min", 0, 60, "to change a finished reel", default=0.5, source=PRACTICE)
    core_price = figure("{currency}", 0, 100, "one core", default=0.25, source=PRACTICE)
    die_price = figure("{currency}", 0, 10_000, "die of a job", default=140, source=PRACTICE)
    set_up_waste_m = figure("m", 0, 1000, "web spoiled at set-up", default=10, source=PRACTICE)
    running_waste = figure("1", 0, 0.5, "share of repeats spoiled", default=0.005, source=PRACTICE)
    source = source_of_table()


class TableCutterSchema(Strict):
    """[finishing.table_cutter]."""

    cost_centre = identifier()
    set_up_min = figure("min", 0, 600, "set-up of a job")
    m_per_min = figure("m/min", 0.1, 500, "cut")
    min_per_sheet = figure("min", 0, 60, "to lay a sheet and lift its pieces")
    source = source_of_table()


class DebossSchema(Strict):
    """[finishing.deboss]: bought out."""

    die_price_per_cm2 = figure("{currency}/cm2", 0, 100, "die, by its area")
    least_die_price = figure("{currency}", 0, 10_000, "least price of a die")
    die_share = figure(
        "1", 0.01, 1, "share of the piece that the die covers", default=0.4, source=PRACTICE
    )
    price_set_up = figure("{currency}", 0, 10_000, "set-up of a job")
    price_per_1000 = figure("{currency}", 0, 100_000, "for 1,000 pieces")
    running_waste = figure("1", 0, 0.5, "share of pieces spoiled", default=0.02, source=PRACTICE)
    grades = names(
        "stock grades that hold a deep impression",
        default=("cotton", "uncoated", "board", "coated"),
    )
    min_caliper_um = figure(
        "um", 50, 5000, "thinnest stock that holds one", default=250, source=PRACTICE
    )
    source = source_of_table()


class FinishingSchema(Strict):
    """[finishing]."""

    guillotine = fields.Nested(GuillotineSchema, required=True)
    folder = fields.Nested(FolderSchema, required=True)
    slitter = fields.Nested(SlitterSchema, load_default=None)
    deboss = fields.Nested(DebossSchema, load_default=None)
    table_cutter = fields.Nested(TableCutterSchema, load_default=None)


class ProofSchema(Strict):
    """[proofs.KIND]: for each printed side."""

    material = figure("{currency}", 0, 10_000, "bought material for one side", default=0)
    minutes = figure("min", 0, 10_000, "minutes for one side", default=0)
    cost_centre = fields.String(
        load_default="",
        metadata={"description": "where the minutes are spent; the press if left out"},
    )
    source = source_of_table()


class ProofsSchema(Strict):
    """[proofs]."""

    soft = fields.Nested(ProofSchema, required=True)
    contract = fields.Nested(ProofSchema, required=True)
    press = fields.Nested(ProofSchema, required=True)


class PlantSchema(Strict):
    """A plant file without the parameters of its presses."""

    plant = fields.Nested(AboutSchema, required=True)
    price_policy = fields.Nested(PricePolicySchema, required=True)
    cost_centres = fields.List(
        fields.Nested(CostCentreSchema), required=True, validate=validate.Length(1)
    )
    stocks = fields.List(fields.Nested(StockSchema), required=True, validate=validate.Length(1))
    finishing = fields.Nested(FinishingSchema, required=True)
    proofs = fields.Nested(ProofsSchema, required=True)
    presses = fields.List(fields.Dict(), required=True, validate=validate.Length(1))
