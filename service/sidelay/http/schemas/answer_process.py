"""A process in an answer: what it is, and what a job makes of it."""

from __future__ import annotations

from marshmallow import fields

from ...feeds import WORK_STYLES
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
