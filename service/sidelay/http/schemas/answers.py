"""The answers of /estimate, /compare and /validate, member for member in the order written."""

from __future__ import annotations

from marshmallow import fields

from ...feeds import WORK_STYLES
from .answer_fields import (
    Answer,
    Money,
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
from .answer_job import BookSchema, CostCentreSchema, DeliverySchema, FinishingSafetySchema
from .answer_part import PRESS, PROCESS, CopyStepSchema, OfferPartSchema, SheetsSchema

CORE_FINDINGS = (
    "size_above",
    "no_sheet",
    "grain_unmet",
    "one_side_only",
    "no_way_to_run",
    "kind_not_made",
    "kept_carriers_unfit",
    "stock_form",
    "no_reel",
    "pages_unfit",
    "no_slitter",
    "flat_print",
    "debossed_after",
    "grade_unsuitable",
    "caliper_outside",
    "grammage_outside",
    "ruling_too_fine",
    "type_too_small",
    "reverse_type_too_small",
    "line_too_fine",
    "register_too_tight",
    "total_coverage",
    "quality_above",
    "variable_data",
    "tone_steps_below",
    "no_white_under",
    "fold_size",
    "fold_count",
    "fold_grammage",
    "fold_thickness",
    "score_first",
    "no_cutter",
    "pages_left_over",
    "sections_folded",
    "operation_needs_sheets",
    "operation_on_copies",
    "operation_on_pages",
    "operation_on_parts",
    "operation_unknown",
    "operation_machine",
    "finish_not_offered",
    "operation_size",
    "operation_grade",
    "operation_surface",
    "operation_grammage",
    "operation_caliper",
    "operation_count",
    "pack_too_heavy",
    "pack_too_large",
    "not_flat",
    "bind_method",
    "bind_too_many_pages",
    "bind_too_few_pages",
    "bind_block_thick",
    "bind_block_thin",
    "bind_size_large",
    "bind_size_small",
    "bind_no_cover",
    "bind_cover_unscored",
    "bind_creep",
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
    same_price_to = whole(
        "the largest quantity that costs no more, on whichever press; null where one more costs "
        "more, and on choices that are not the first",
        "{piece}",
        nullable=True,
    )
    cash = Money(
        required=True,
        allow_none=True,
        metadata={"description": "to pay in cash; null where the plant rounds no cash"},
    )
    currency = text("ISO 4217")


class CostSchema(Answer):
    """What it costs the plant: the sum of all lines."""

    total = money("all of it")
    fixed = money("the part that is there before the first copy")
    variable = money("the rest")
    currency = text("ISO 4217")


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
    """Something to know about making a part on a press that can."""

    process = text(PROCESS)
    press = text(PRESS)
    part = text("name of the part")


class SafetySchema(Answer):
    """What can hurt someone in a process that can make the job."""

    process = text(PROCESS)
    cautions = texts("the usual cautions; local codes and licensed practice come first")


class OfferSchema(Answer):
    """The best offer at one quantity."""

    quantity = whole("finished pieces", "{piece}")
    process = text(PROCESS)
    press = text(PRESS)
    route = many(RouteStepSchema, "the press of each part")
    price = one(PriceSchema, "what the customer pays")
    cost = one(CostSchema, "what it costs the plant")
    delivery = one(DeliverySchema, "how many copies may be delivered")
    parts = many(OfferPartSchema, "what each part is made on, and from what")
    operations = many(CopyStepSchema, "what is done to the copies: bound, packed, ...")


class EstimateSchema(Answer):
    """The answer of /estimate."""

    title = text("title of the job")
    job_fingerprint = text("16 hexadecimal digits that tell one job from another")
    plant = one(PlantHeadSchema, "the plant that priced it")
    binding = one(BookSchema, "null where nothing is bound", nullable=True)
    estimates = many(
        OfferSchema, "one for each quantity in the order asked; none when no press can"
    )
    findings = many(FindingSchema, "on binding and finishing copies, whatever the press")
    excluded = many(ExcludedSchema, "presses that cannot, and why")
    unavailable = many(UnavailableSchema, "presses whose plug-in failed")
    cautions = many(CautionSchema, "what to know")
    safety = many(SafetySchema, "what can hurt someone, for each process that can make the job")
    safety_finishing = many(
        FinishingSafetySchema, "what can hurt someone in finishing, for each operation offered"
    )
    rates = many(
        CostCentreSchema, 'cost centres and their hours; only with detail "trace"', optional=True
    )


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
    sheets = one(SheetsSchema, "sheets of the first part")
    hours = number("press hours of the first part, make-ready and wash-up included", "h")
    parts = many(OfferPartSchema, 'only with detail "lines" or "trace"', optional=True)
    operations = many(CopyStepSchema, 'only with detail "lines" or "trace"', optional=True)


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
    """Whole quantities, both ends included, at which the same presses are the cheapest."""

    process = text(PROCESS)
    press = text(PRESS)
    route = many(RouteStepSchema, "the press of each part")


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
    quality = pair(
        fields.Float(), "where its work stands beside sheetfed litho (1), from and to", "1"
    )
    quality_basis = text("what that range rests on")
    crew = pair(fields.Float(), "people at one press, from and to")
    substrates = text("what it prints on")
    largest_format = text("how large its presses are")
    speed = text("how fast its presses run")
    colours = text("how many colours, and which special inks")
    impresses = switch("whether it presses the image into the stock where that is wanted")
    sources = fields.Dict(
        keys=fields.String(),
        values=fields.String(),
        required=True,
        metadata={"description": "where single facts come from, by their names"},
    )
    source = text("where the other facts come from")


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
    binding = one(BookSchema, "null where nothing is bound", nullable=True)
    quantities = many(QuantitySchema, "one for each quantity in the order asked")
    bands = many(BandSchema, "from 1 to up_to without a gap; none when no press can")
    crossovers = many(CrossoverSchema, "where processes take over from each other")
    characteristics = many(CharacteristicSchema, "one for each process of the plant")
    findings = many(FindingSchema, "on binding and finishing copies, whatever the press")
    excluded = many(ExcludedSchema, "presses that cannot, and why")
    unavailable = many(UnavailableSchema, "presses whose plug-in failed")
    cautions = many(CautionSchema, "what to know")
    safety = many(SafetySchema, "what can hurt someone, for each process that can make the job")
    safety_finishing = many(
        FinishingSafetySchema, "what can hurt someone in finishing, for each operation offered"
    )
    rates = many(
        CostCentreSchema, 'cost centres and their hours; only with detail "trace"', optional=True
    )
    curves = many(CurveSchema, "only when asked for", optional=True)


class ValidSchema(Answer):
    """The answer of /validate when there is no fault."""

    valid = switch("true")
    job_fingerprint = text("16 hexadecimal digits that tell one job from another")
