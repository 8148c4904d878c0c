"""The answers of /estimate, /compare and /validate, member for member in the order written."""

from __future__ import annotations

from marshmallow import fields

from ...feeds import WORK_STYLES
from .answer_fields import (
    Answer,
    figure_or_word,
    many,
    money,
    number,
    one,
    pair,
    switch,
    text,
    texts,
    whole,
)

PROCESS = "id of a process"
PRESS = "id of a press of the plant"
CORE_FINDINGS = (
    "size_above",
    "no_sheet",
    "grain_unmet",
    "one_side_only",
    "no_way_to_run",
    "fold_size",
    "fold_count",
    "fold_grammage",
    "score_first",
)


class PlantHeadSchema(Answer):
    """Which plant priced it, and which state of its file."""

    id = text("id of the plant")
    name = text("name to show")
    revision = text("changes whenever the plant file does")
    currency = text("ISO 4217 code of all money of this plant")


class RouteStepSchema(Answer):
    """Which press makes a part."""

    part = text("name of the part")
    process = text(PROCESS)
    press = text(PRESS)


class PriceSchema(Answer):
    """What the customer pays, net of tax."""

    net = money("for all pieces")
    per_piece = money("net divided by the pieces, four decimals more than the currency has")
    per_1000 = money("net for 1,000 pieces")
    run_on_per_1000 = money("for a further 1,000 on the same press in the same run")
    currency = text("ISO 4217")


class CostSchema(Answer):
    """What it costs the plant: the sum of all lines."""

    total = money("all of it")
    fixed = money("the part that is there before the first copy")
    variable = money("the rest")
    currency = text("ISO 4217")


class SheetsSchema(Answer):
    """Press sheets, good and spoiled."""

    good = whole("sheets that come off the press sound", "{sheet}")
    make_ready = whole("spoiled before the first good one", "{sheet}")
    running_waste = whole("spoiled while running", "{sheet}")
    total = whole("all sheets through the press", "{sheet}")
    parents = whole("parent sheets bought for them", "{sheet}")


class PartStockSchema(Answer):
    """The stock that the plant would use."""

    id = text("id of the stock")
    name = text("name to show")
    grammage_gsm = number("mass per area", "g/m2")
    caliper_um = number("thickness", "um")


class BeatenLayoutSchema(Answer):
    """The next cheapest layout of the same press."""

    work_style = text("how the second side is printed", words=WORK_STYLES)
    up = whole("pieces on a press sheet", "{piece}")
    because = text("the layout in a sentence")
    dearer_by = money("how much more the price would be with it")


class LayoutSchema(Answer):
    """How the pieces lie on the press sheet."""

    press_sheet_mm = pair(
        fields.Float(), "across the machine, and in the direction of travel", "mm"
    )
    parent_sheet_mm = pair(fields.Float(), "short and long side of the sheet bought", "mm")
    press_sheets_per_parent = whole("press sheets cut from one parent", "{sheet}")
    work_style = text("how the second side is printed", words=WORK_STYLES)
    up = whole("pieces on a press sheet", "{piece}")
    forms = whole("forms that carriers are made for; 0 on a plateless press", "{form}")
    carriers = whole("image carriers of the first set: plates; 0 on a plateless press")
    because = text("the layout in a sentence")
    beat = one(BeatenLayoutSchema, "what it beat; null when there was no other", nullable=True)


class RunSchema(Answer):
    """How the press runs it."""

    passes = whole("how often each sheet goes through")
    make_ready_min = number("before the first good sheet, all forms together", "min")
    cycles_per_hour = number("net speed at this quantity", "/h")
    wash_up_min = number("cleaning after the run", "min")
    drying_h = number("before the next operation can touch the sheets", "h")


class LineSchema(Answer):
    """One line of the cost. With detail "trace", cost = unit_cost x amount x count, half up."""

    id = text("stable within the part: the stage, and a number within it")
    stage = text("what it belongs to; an open list, plug-ins add their own")
    label = text("what is paid for")
    cost = money("rounded once, so that lines add up to the total")
    because = text("why the figure is what it is")
    source = text("where the rate comes from")
    unit_cost = number("money for one unit of the amount; only in a trace", optional=True)
    amount = number("units for each thing counted; only in a trace", optional=True)
    per = fields.String(metadata={"description": "what is counted; only in a trace"})
    count = number("how many of them at this quantity; only in a trace", optional=True)


class OfferPartSchema(Answer):
    """One part of an offer: what it is made on, and from what."""

    part = text("name of the part")
    process = text(PROCESS)
    press = text(PRESS)
    stock = one(PartStockSchema, "the stock used")
    layout = one(LayoutSchema, "how it lies on the sheet")
    sheets = one(SheetsSchema, "sheets used")
    mass_kg = number("paper of the finished pieces, for carriage; ink left out", "kg")
    hours = number("press hours, make-ready and wash-up included", "h")
    run = one(RunSchema, "how the press runs it")
    lines = many(LineSchema, 'cost lines; only with detail "lines" or "trace"', optional=True)


class FindingSchema(Answer):
    """Why a press cannot make a part, or what to know when it can."""

    severity = text("limit: it cannot; caution: it can, but", words=("limit", "caution"))
    code = text(
        "stable name of the rule; an open list: these are the core's, plug-ins add their own",
        open_words=CORE_FINDINGS,
    )
    message = text("one sentence a printer would say")
    asked = figure_or_word("what the job wants")
    limit = figure_or_word("what the press can")
    unit = text('unit of both, UCUM style; "" for none')
    remedy = text("a change that would clear it")


class ExcludedSchema(Answer):
    """A press that cannot make the job, and every reason why."""

    process = text(PROCESS)
    press = text(PRESS)
    part = text("name of the part")
    findings = many(FindingSchema, "the limits met, at least one")


class UnavailableSchema(Answer):
    """A press whose plug-in failed; the others compete without it."""

    process = text(PROCESS)
    press = text(PRESS)
    reference = text("finds the fault in the log of the service")


class CautionSchema(FindingSchema):
    """Something to know about making the job on a press that can."""

    process = text(PROCESS)
    press = text(PRESS)


class OfferSchema(Answer):
    """The best offer at one quantity."""

    quantity = whole("finished pieces", "{piece}")
    process = text(PROCESS)
    press = text(PRESS)
    route = many(RouteStepSchema, "the press of each part")
    price = one(PriceSchema, "what the customer pays")
    cost = one(CostSchema, "what it costs the plant")
    parts = many(OfferPartSchema, "what each part is made on, and from what")


class EstimateSchema(Answer):
    """The answer of /estimate."""

    title = text("title of the job")
    job_fingerprint = text("16 hexadecimal digits that tell one job from another")
    plant = one(PlantHeadSchema, "the plant that priced it")
    estimates = many(
        OfferSchema, "one for each quantity in the order asked; none when no press can"
    )
    excluded = many(ExcludedSchema, "presses that cannot, and why")
    unavailable = many(UnavailableSchema, "presses whose plug-in failed")
    cautions = many(CautionSchema, "what to know")


class ChoiceSchema(Answer):
    """The best offer of one press at one quantity."""

    rank = whole("1 for the cheapest")
    process = text(PROCESS)
    press = text(PRESS)
    route = many(RouteStepSchema, "the press of each part")
    price = one(PriceSchema, "what the customer pays")
    cost = one(CostSchema, "what it costs the plant")
    ratio_to_best = number(
        "price divided by the cheapest price, four decimals; null where that is nothing",
        "1",
        nullable=True,
    )
    sheets = one(SheetsSchema, "sheets used")
    hours = number("press hours, make-ready and wash-up included", "h")
    parts = many(OfferPartSchema, 'only with detail "lines" or "trace"', optional=True)


class QuantitySchema(Answer):
    """All presses at one quantity."""

    quantity = whole("finished pieces", "{piece}")
    choices = many(ChoiceSchema, "one a press, the cheapest first; none when no press can")


class StretchSchema(Answer):
    """Whole quantities, both ends included."""

    from_ = fields.Integer(
        required=True, data_key="from", metadata={"description": "first", "x-unit": "{piece}"}
    )
    to = whole("last", "{piece}")


class BandSchema(StretchSchema):
    """Whole quantities, both ends included, at which a press is the cheapest."""

    process = text(PROCESS)
    press = text(PRESS)


class CrossoverSchema(Answer):
    """Where one process takes over from another."""

    from_process = text(PROCESS)
    to_process = text(PROCESS)
    first_at = whole("the first quantity at which the second is cheaper", "{piece}")
    settled_at = whole(
        "from here to up_to the first never wins against the second again; null when it does",
        "{piece}",
        nullable=True,
    )


class ForThisJobSchema(Answer):
    """What the job makes of a process, at the asked quantity in the middle of the list."""

    quantity = whole("finished pieces", "{piece}")
    press = text(PRESS)
    carriers = whole("image carriers: plates; 0 on a plateless press")
    make_ready_min = number("before the first good sheet", "min")
    passes = whole("how often each sheet goes through")
    work_style = text("how the second side is printed", words=WORK_STYLES)
    up = whole("pieces on a press sheet", "{piece}")
    drying_h = number("before the next operation can touch the sheets", "h")
    sheets_per_hour = number("good sheets over all press hours", "{sheet}/h")


class FactsSchema(Answer):
    """What a process is, whatever the press."""

    name = text("as the trade says it")
    image_carrier = text("what holds the image")
    contact = text("how ink gets from carrier to stock")
    ink = text("what is printed with")
    drying = text("how it dries")
    tone_depth = text("how tones come about")
    make_ready = text("what it takes before the first good copy")
    wash_up = text("what it takes afterwards")
    proof = text("what a proof looks like")
    skill = text("what the operator has to know")
    turnaround = text("how soon work is ready")
    variable_data = switch("whether every copy can differ")
    usual_run_length = pair(fields.Integer(), "from and to, as the trade would say it", "{piece}")
    cautions = texts("what can hurt someone; local codes and licensed practice come first")
    source = text("where these facts come from")


class CharacteristicSchema(FactsSchema):
    """A process: what it is, what this job makes of it, and where it wins."""

    process = text(PROCESS)
    for_this_job = one(
        ForThisJobSchema, "null when no press of the process can make the job", nullable=True
    )
    wins = many(StretchSchema, "quantities at which one of its presses is the cheapest")


class PointSchema(Answer):
    """A press at one quantity."""

    quantity = whole("finished pieces", "{piece}")
    cost = money("what it costs the plant")
    price = money("what the customer pays")
    per_piece = money("price for one piece")


class CurveSchema(Answer):
    """Cost and price of one press over quantity."""

    process = text(PROCESS)
    press = text(PRESS)
    points = many(PointSchema, "at rising quantities from 1 to up_to")


class ComparisonSchema(Answer):
    """The answer of /compare."""

    title = text("title of the job")
    job_fingerprint = text("16 hexadecimal digits that tell one job from another")
    plant = one(PlantHeadSchema, "the plant that priced it")
    quantities = many(QuantitySchema, "one for each quantity in the order asked")
    bands = many(BandSchema, "from 1 to up_to without a gap; none when no press can")
    crossovers = many(CrossoverSchema, "where processes take over from each other")
    characteristics = many(CharacteristicSchema, "one for each process of the plant")
    excluded = many(ExcludedSchema, "presses that cannot, and why")
    unavailable = many(UnavailableSchema, "presses whose plug-in failed")
    cautions = many(CautionSchema, "what to know")
    curves = many(CurveSchema, "only when asked for", optional=True)


class ValidSchema(Answer):
    """The answer of /validate when there is no fault."""

    valid = switch("true")
    job_fingerprint = text("16 hexadecimal digits that tell one job from another")
