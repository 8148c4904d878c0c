"""The answers of /estimate and /validate, and what /compare shares with them."""

from __future__ import annotations

from typing import Any

from marshmallow import fields

from .answer_dates import (
    ClockSchema,
    DueSchema,
    OtherwiseSchema,
    OvertimeSchema,
    ReadinessSchema,
    ScheduledOperationSchema,
    instant,
)
from .answer_fields import (
    Answer,
    Money,
    cost_only,
    figure_or_word,
    many,
    money,
    one,
    switch,
    text,
    texts,
    whole,
)
from .answer_job import BookSchema, CostCentreSchema, DeliverySchema, FinishingSafetySchema
from .answer_part import PRESS, PROCESS, CopyStepSchema, OfferPartSchema, RouteStepSchema
from .answer_quotes import QuoteTokenSchema
from .answer_trace import FigureSchema, ShapeSchema
from .answer_works import PurchaseSchema, WorksOperationSchema
from .job import JobSchema

# What is told of the members of a document; the list is open.
INTENT_WARNINGS = ("ignored", "assumed", "unknown_value", "rounded", "more")
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


class VersionsSchema(Answer):
    """What an answer depends on beside the job, the plant and the clock."""

    service = text("version of the service")
    plugins = fields.Dict(
        keys=fields.String(),
        values=fields.String(),
        required=True,
        metadata={
            "description": "distribution and version of each plug-in, by its name: that of a "
            "process is the id of the process"
        },
    )


class PriceSchema(Answer):
    """What the customer pays, net of tax."""

    net = money("for all pieces")
    per_piece = money("net divided by the pieces, four decimals more than the currency has")
    per_1000 = money("net for 1,000 pieces")
    run_on_per_1000 = money("for a further 1,000 on the same press in the same run")
    same_price_to = whole(
        "the largest quantity that costs no more, on whichever press; null where one more costs "
        "more, and on choices that are not the cheapest",
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


class PricedSchema(Answer):
    """What every offer tells, the best of all and the best of one press alike."""

    process = text(PROCESS)
    press = text(PRESS)
    route = many(RouteStepSchema, "the press of each part")
    price = one(PriceSchema, "what the customer pays")
    cost = cost_only(one(CostSchema, "what it costs the plant"))
    curve = cost_only(one(ShapeSchema, "how the cost of one copy falls over quantity"))
    ready_at = instant(
        "when the customer can collect it, or has it; null beyond the horizon", nullable=True
    )
    due = one(DueSchema, "how that stands to the due date; null without one", nullable=True)
    readiness = one(ReadinessSchema, "what it takes until then")
    overtime = one(OvertimeSchema, "what of it is overtime; null for none", nullable=True)
    quote = fields.Nested(
        QuoteTokenSchema,
        metadata={"description": "the price, signed; only where the request asks for quotes"},
    )
    schedule = many(
        ScheduledOperationSchema,
        'every operation on the clock, by its start; only with detail "lines" or "trace"',
        optional=True,
    )
    price_trace = cost_only(
        many(
            FigureSchema,
            "how the price comes about, the mark-ups and margins of the plant in it; only with "
            'detail "trace"',
            optional=True,
        )
    )


class OfferSchema(PricedSchema):
    """The best offer at one quantity: the cheapest; with a due date, the cheapest that holds.

    Where nothing holds it is the cheapest.
    """

    quantity = whole("finished pieces", "{piece}")
    delivery = one(DeliverySchema, "how many copies may be delivered")
    otherwise = one(OtherwiseSchema, "what else there is, where the cheapest is too late")
    parts = many(OfferPartSchema, "what each part is made on, and from what")
    operations = many(CopyStepSchema, "what is done to the copies: bound, packed, ...")
    works_order = cost_only(
        many(
            WorksOperationSchema,
            "every operation that someone does, in the order of production; only with detail "
            '"lines" or "trace"',
            optional=True,
        )
    )
    purchases = cost_only(
        many(
            PurchaseSchema,
            "what is bought or drawn from stock: with the hours of the works order, and the "
            'premium for overtime, all that it costs; only with detail "lines" or "trace"',
            optional=True,
        )
    )


class WarningSchema(Answer):
    """A member of an XJDF document that has no effect, or was read as it does not say outright."""

    pointer = text("where it stands in what was sent, a JSON Pointer as of a fault")
    code = text(
        "ignored: it has no bearing here; assumed: read so, though it does not say so; an open "
        "list",
        open_words=INTENT_WARNINGS,
    )
    detail = text("one sentence")


def _warnings() -> Any:
    return many(
        WarningSchema, "what to know of the XJDF document that was sent; only then", optional=True
    )


class PricingSchema(Answer):
    """What /estimate and /compare both tell of a job: the plant, who cannot, what to know."""

    title = text("title of the job")
    job_fingerprint = text("16 hexadecimal digits that tell one job from another")
    plant = one(PlantHeadSchema, "the plant that priced it")
    # No cost; but whoever may not see costs need not know what software a shop runs, either.
    versions = cost_only(one(VersionsSchema, "of the service and its plug-ins"))
    clock = one(ClockSchema, "the moment it is reckoned at")
    binding = one(BookSchema, "null where nothing is bound", nullable=True)
    findings = many(FindingSchema, "on binding and finishing copies, whatever the press")
    excluded = many(ExcludedSchema, "presses that cannot, and why")
    unavailable = many(UnavailableSchema, "presses whose plug-in failed")
    cautions = many(CautionSchema, "what to know")
    safety = many(SafetySchema, "what can hurt someone, for each process that can make the job")
    safety_finishing = many(
        FinishingSafetySchema, "what can hurt someone in finishing, for each operation offered"
    )
    rates = cost_only(
        many(
            CostCentreSchema,
            'cost centres and their hours; only with detail "trace"',
            optional=True,
        )
    )
    warnings = _warnings()


class EstimateSchema(PricingSchema):
    """The answer of /estimate."""

    estimates = many(
        OfferSchema, "one for each quantity in the order asked; none when no press can"
    )


class ValidSchema(Answer):
    """The answer of /validate when there is no fault."""

    valid = switch("true")
    job_fingerprint = text("16 hexadecimal digits that tell one job from another")
    job = fields.Nested(
        JobSchema,
        metadata={"description": "the job that an XJDF document was read as; only of one"},
    )
    warnings = _warnings()
