"""The part of an offer: what it is made on, from what, and what that costs, line by line."""

from __future__ import annotations

from typing import get_args

from marshmallow import fields, validate

from ...feeds import FEED_KINDS, WORK_STYLES
from ...machines import Unit
from ...trace.lines import Behaviour
from ...work import Delivery
from .answer_fields import (
    Answer,
    Money,
    cost_only,
    many,
    money,
    number,
    one,
    pair,
    switch,
    text,
    whole,
)
from .answer_trace import FigureSchema

PROCESS = "id of a process"
PRESS = "id of a press of the plant"


class RouteStepSchema(Answer):
    """Which press makes a part."""

    part = text("name of the part")
    process = text(PROCESS)
    press = text(PRESS)


class SheetsSchema(Answer):
    """Cycles of the press (sheets, cut-offs, repeats, pieces), good and spoiled."""

    net = whole("for the pieces delivered, nothing spoiled", "{sheet}")
    finishing_waste = whole("spoiled after the press: cutting, folding, binding", "{sheet}")
    good = whole("sheets that come off the press sound: net and finishing waste", "{sheet}")
    make_ready = whole("spoiled before the first good one", "{sheet}")
    running_waste = whole("spoiled while running", "{sheet}")
    total = whole("all sheets through the press", "{sheet}")
    parents = whole(
        "parent sheets bought for them; null where the stock is not bought in sheets",
        "{sheet}",
        nullable=True,
    )
    web_m = number("web run, all webs together; null where there is none", "m", nullable=True)


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
    dearer_by = cost_only(
        money(
            "how much more the price would be with it, or the cost where choices are ranked by cost"
        )
    )


class LayoutSchema(Answer):
    """How the pieces lie on the press sheet, the cut-off or the repeat of a web."""

    feed = text("what the press is fed with", words=FEED_KINDS)
    supply = text("what the stock is bought in: a size of sheet, a reel, a piece")
    delivery = text("what leaves the press", words=get_args(Delivery))
    press_sheet_mm = pair(
        fields.Float(),
        "sheet, cut-off, repeat or print: across the machine, and in the direction of travel",
        "mm",
    )
    parent_sheet_mm = fields.List(
        fields.Float(),
        required=True,
        allow_none=True,
        validate=validate.Length(equal=2),
        metadata={
            "description": "short and long side of the sheet bought; null where it is no sheet",
            "x-unit": "mm",
        },
    )
    press_sheets_per_parent = whole(
        "press sheets cut from one parent; null where there is none", "{sheet}", nullable=True
    )
    across = whole("rows of pieces or pages across a web; 1 elsewhere")
    around = whole("pieces or pages in the length of a cut-off or repeat; 1 elsewhere")
    webs = whole("webs that run into one copy")
    cycles_per_piece = whole("cut-offs gathered into one copy")
    work_style = text("how the second side is printed", words=WORK_STYLES)
    up = whole("pieces on a press sheet", "{piece}")
    forms = whole("forms that carriers are made for; 0 on a plateless press", "{form}")
    carriers = whole("image carriers of the first set: plates; 0 on a plateless press")
    carriers_id = text(
        "names the image carriers and dies of this layout: give it in kept_carriers of a reorder"
    )
    because = text("the layout in a sentence")
    beat = one(BeatenLayoutSchema, "what it beat; null when there was no other", nullable=True)


class RunSchema(Answer):
    """How the press runs it."""

    passes = whole("how often each sheet goes through")
    make_ready_min = number("before the first good sheet, all forms together", "min")
    once_min = number("of that, what further sections of the same size do not take again", "min")
    cycles_per_hour = number("net speed at this quantity", "/h")
    wash_up_min = number("cleaning after the run", "min")
    drying_h = number("before the next operation can touch the sheets", "h")
    carrier_lead_days = number("working days until the image carriers are there", "d")
    because = fields.Dict(
        keys=fields.String(),
        values=fields.String(),
        required=True,
        metadata={"description": "why figures of the run are what they are, by their names"},
    )


class LineSchema(Answer):
    """One line of the cost. With detail "trace", cost = unit_cost x amount x count, half up."""

    id = text(
        "unique in the offer, the same for the same job: what it belongs to, the stage, the label"
    )
    stage = text("what it belongs to; an open list, plug-ins add their own")
    label = text("what is paid for")
    cost = money("rounded once, so that lines add up to the total")
    because = text("why the figure is what it is")
    source = text("where the rate comes from")
    lead_days = number(
        "working days from order until it is there; only where it takes any", "d", optional=True
    )
    unit_cost = number("money for one unit of the amount; only in a trace", optional=True)
    amount = number("units for each thing counted; only in a trace", optional=True)
    per = fields.String(metadata={"description": "what is counted; only in a trace"})
    count = number("how many of them at this quantity; only in a trace", optional=True)
    behaviour = fields.String(
        validate=validate.OneOf(get_args(Behaviour)),
        metadata={
            "description": "fixed: there whatever the quantity; variable: rises with it from "
            "nothing; both: rises with it from at_no_copies; only in a trace"
        },
    )
    at_no_copies = Money(
        metadata={"description": "what the line comes to at no copies; only in a trace"}
    )


class StepSchema(Answer):
    """One operation after the press, in the order of production."""

    operation = text("what is done; an open list that the plant keeps")
    machine = text('id of the machine, or of what is bought out; "" where the plant has but one')
    bought_out = switch("whether another shop does it")
    unit = text("what goes in", words=get_args(Unit))
    into = whole("units that go in")
    out = whole("units that come out sound")
    per = whole("units that are done at once: a lift, a pack")
    lots = whole("lifts or packs, begun ones counted")
    set_up_min = number("set-up", "min")
    run_min = number("running, a least charge included", "min")
    crew = number("people at it")
    lead_days = number("working days until bought-out work is back, or its tool is there", "d")
    # Of work that is bought out, of tools and of materials, it says what they are bought at.
    because = cost_only(text("how the rate came about"))


class CopyStepSchema(StepSchema):
    """One operation on finished copies."""

    lines = cost_only(
        many(LineSchema, 'cost lines; only with detail "lines" or "trace"', optional=True)
    )
    trace = cost_only(
        many(
            FigureSchema, 'how copies and cost come about; only with detail "trace"', optional=True
        )
    )


class SectionSchema(Answer):
    """Sections of one size, each printed from forms of its own; or one press of several."""

    process = text(PROCESS)
    press = text(PRESS)
    pages = whole("pages of one section; of a plateless press, of the copy", "{page}")
    times = whole("sections alike")
    layout = one(LayoutSchema, "how one lies on the sheet; carriers of all of them")
    sheets = one(SheetsSchema, "sheets of all of them")
    hours = number("press hours of all of them", "h")
    run = one(RunSchema, "how the press runs one of them")


class OfferPartSchema(Answer):
    """One part of an offer: what it is made on, and from what."""

    part = text("name of the part")
    process = text(PROCESS)
    press = text(PRESS)
    per_copy = whole("how many of it a copy has", "{piece}")
    split = text('how its pages are split, "" where there is nothing to split')
    stock = one(PartStockSchema, "the stock used")
    layout = one(LayoutSchema, "how it lies on the sheet; of several sections, the leading ones")
    sheets = one(SheetsSchema, "sheets used, all sections together")
    mass_kg = number("paper of the finished pieces, for carriage; ink left out", "kg")
    hours = number("press hours, make-ready and wash-up included", "h")
    run = one(RunSchema, "how the press runs it; of several sections, the leading ones")
    sections = many(SectionSchema, "of pages that are bound; none elsewhere")
    operations = many(StepSchema, "what is done after the press, in the order of production")
    lines = cost_only(
        many(LineSchema, 'cost lines; only with detail "lines" or "trace"', optional=True)
    )
    trace = cost_only(
        many(
            FigureSchema,
            'how it comes about, from the copies to its cost; only with detail "trace"',
            optional=True,
        )
    )
