"""The tables of a plant file as marshmallow schemas: units, ranges, defaults, sources.

Stocks are in stock_schema.py; presses are described by each process's plug-in.
"""

from __future__ import annotations

from marshmallow import ValidationError, fields, validate

from .binder_schema import BinderSchema
from .describe import PRACTICE, figure, names, whole
from .money import UnknownCurrency, minor_digits
from .money_schema import CostCentreSchema, CustomerGroupSchema, PricePolicySchema
from .operation_schema import OperationSchema
from .schema_parts import Strict, identifier, shown_name, told_source
from .stock_schema import StockSchema
from .time_schema import TimeSchema


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
    source = told_source()


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
    max_fold_um = figure(
        "um",
        50,
        10_000,
        "thickness of all layers that the last fold bends",
        default=1050,
        source=PRACTICE,
    )
    source = told_source()


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
    source = told_source()


class TableCutterSchema(Strict):
    """[finishing.table_cutter]."""

    cost_centre = identifier()
    set_up_min = figure("min", 0, 600, "set-up of a job")
    m_per_min = figure("m/min", 0.1, 500, "cut")
    min_per_sheet = figure("min", 0, 60, "to lay a sheet and lift its pieces")
    source = told_source()


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
    source = told_source()


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
    source = told_source()


class ProofsSchema(Strict):
    """[proofs]."""

    soft = fields.Nested(ProofSchema, required=True)
    contract = fields.Nested(ProofSchema, required=True)
    press = fields.Nested(ProofSchema, required=True)


class PrepressSchema(Strict):
    """[prepress]: minutes before carriers are made or a plateless press is fed."""

    cost_centre = identifier()
    artwork_min_per_part = figure(
        "min", 0, 600, "to check the artwork of a part", default=5, source=PRACTICE
    )
    imposition_min_per_form = figure(
        "min", 0, 600, "to impose and send one form", default=2, source=PRACTICE
    )
    data_set_up_min = figure(
        "min", 0, 10_000, "to read and map the data of variable pieces", default=20, source=PRACTICE
    )
    data_min_per_1000 = figure(
        "min", 0, 600, "to compose 1,000 variable pieces", default=1, source=PRACTICE
    )
    source = told_source()


class PlantSchema(Strict):
    """A plant file without the parameters of its presses."""

    plant = fields.Nested(AboutSchema, required=True)
    price_policy = fields.Nested(PricePolicySchema, required=True)
    customer_groups = fields.List(fields.Nested(CustomerGroupSchema), load_default=list)
    cost_centres = fields.List(
        fields.Nested(CostCentreSchema), required=True, validate=validate.Length(1)
    )
    stocks = fields.List(fields.Nested(StockSchema), required=True, validate=validate.Length(1))
    finishing = fields.Nested(FinishingSchema, required=True)
    operations = fields.List(fields.Nested(OperationSchema), load_default=list)
    binders = fields.List(fields.Nested(BinderSchema), load_default=list)
    prepress = fields.Nested(PrepressSchema, load_default=None)
    proofs = fields.Nested(ProofsSchema, required=True)
    time = fields.Nested(TimeSchema, load_default=None)
    presses = fields.List(fields.Dict(), required=True, validate=validate.Length(1))
