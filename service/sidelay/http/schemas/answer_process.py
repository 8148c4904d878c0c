"""A process in an answer: what it is, what the plant has of it, what a job makes of it."""

from __future__ import annotations

from typing import get_args

from marshmallow import fields, validate

from ...feeds import FEED_KINDS, WORK_STYLES
from ...job import QUALITIES, SPECIAL_INKS
from ...work import RatedUnit
from .answer_fields import Answer, many, number, one, pair, switch, text, texts, whole
from .answer_part import PRESS, PROCESS


class StretchSchema(Answer):
    """Whole quantities, both ends included."""

    from_ = fields.Integer(
        required=True, data_key="from", metadata={"description": "first", "x-unit": "{piece}"}
    )
    to = whole("last", "{piece}")


class ForThisJobSchema(Answer):
    """What the job makes of a process, at the asked quantity in the middle of the list."""

    quantity = whole("finished pieces", "{piece}")
    press = text(PRESS)
    carriers = whole("image carriers: plates; 0 on a plateless press")
    carrier_lead_days = number("working days until they are there; 0 where they are kept", "d")
    make_ready_min = number("before the first good sheet", "min")
    wash_up_min = number("after the run", "min")
    passes = whole("how often each sheet goes through")
    work_style = text("how the second side is printed", words=WORK_STYLES)
    up = whole("pieces on a press sheet", "{piece}")
    colours = pair(fields.Integer(), "inks on the front and on the back", "{ink}")
    ruling_lpi = number(
        "halftone ruling of the job, or the finest of the press where the job has none; null where "
        "the model tells of none",
        "/[in_i]",
        nullable=True,
    )
    tone_steps = whole(
        "tone steps at that ruling; null where the model tells of none", nullable=True
    )
    drying_h = number("before the next operation can touch the sheets", "h")
    dry_after_h = number(
        "press hours of make-ready and run, then the drying: from the start of make-ready until "
        "the next operation can touch the last sheet, without a break",
        "h",
    )
    rated_per_hour = number(
        "cycles of one pass that the press would do of this work if nothing slowed it; null where "
        "the model does not tell",
        "{cycle}/h",
        nullable=True,
    )
    net_per_hour = number("cycles of one pass at this length of run", "{cycle}/h")
    sheets_per_hour = number("good sheets over all press hours", "{sheet}/h")
    run_length_cycles = whole("cycles of the press, make-ready and waste included", "{cycle}")
    within_usual_run_length = switch("whether the quantity lies in usual_run_length")


class PressHereSchema(Answer):
    """A press of the plant, and the largest that it takes."""

    press = text(PRESS)
    name = text("name of the press in the plant file")
    feed = text("how it takes its substrate", words=FEED_KINDS)
    largest_mm = pair(
        fields.Float(),
        "width and length of the largest sheet, cut-off, repeat or single print",
        "mm",
    )
    pages_up = whole(
        "pieces of the first part on one side of that in straight rows, all one way round; pages "
        "where it is bound or folded of pages; 0 where not one fits, null where the press is fed "
        "with something else",
        "{piece}",
        nullable=True,
    )


class RatedSchema(Answer):
    """Speeds on the makers' plates, in one unit."""

    unit = text(
        "cycles of one pass an hour, metres of web a minute, or square metres an hour at the "
        "fewest crossings of a carriage",
        words=get_args(RatedUnit),
    )
    slowest = number("of the slowest press that is told in it")
    fastest = number("of the fastest")


class AbilitiesSchema(Answer):
    """What the presses of a process can do, each pair from the press with least to that with most.

    Null where the model tells of none.
    """

    inks_in_one_pass = pair(
        fields.Integer(), "most inks on one side in one pass, on light stock", "{ink}",
        nullable=True,
    )  # fmt: skip
    two_sided = switch("whether one of them prints both sides in one pass", nullable=True)
    special_inks = texts(
        f"kinds of ink beside process inks, of {', '.join(SPECIAL_INKS)}", nullable=True
    )
    grades = texts("stock grades that they print on; none named for all", nullable=True)
    caliper_um = pair(fields.Float(), "thinnest and thickest stock", "um", nullable=True)
    grammage_gsm = pair(fields.Float(), "lightest and heaviest stock", "g/m2", nullable=True)
    finest_ruling_lpi = pair(
        fields.Float(), "finest halftone ruling of each", "/[in_i]", nullable=True
    )
    tone_steps = pair(
        fields.Integer(), "tone steps of each at its finest ruling", nullable=True
    )
    quality = pair(
        fields.String(validate=validate.OneOf(QUALITIES)),
        "finest class of work that each is used for",
        nullable=True,
    )
    register_mm = pair(
        fields.Float(), "closest fit of colour to colour of each", "mm", nullable=True
    )
    rated = many(RatedSchema, "speeds on the makers' plates, by unit; none where none is told")


class HereSchema(Answer):
    """What this plant has of a process."""

    presses = many(PressHereSchema, "in the order of the plant file")
    largest_press = text("press that takes the largest of those that could take the first part")
    largest_mm = pair(fields.Float(), "the largest that it takes, width and length", "mm")
    pages_up = whole(
        "pieces of the first part on one side of that; null where no press of the process is fed "
        "with what the part is printed on",
        "{piece}",
        nullable=True,
    )
    abilities = one(
        AbilitiesSchema, "null where the model of the process tells of none", nullable=True
    )


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
    """A process: what it is, what the plant has of it, what the job makes of it, where it wins."""

    process = text(PROCESS)
    here = one(HereSchema, "what this plant has of it")
    for_this_job = one(
        ForThisJobSchema,
        "of its first part; null when no press of the process can make the job",
        nullable=True,
    )
    wins = many(
        StretchSchema,
        "quantities at which one of its presses is the cheapest for the first part, by price as in "
        "bands, those that follow one another as one",
    )
