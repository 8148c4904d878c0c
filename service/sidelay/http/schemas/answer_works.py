"""The works order and the purchases of an offer, member for member."""

from __future__ import annotations

from typing import Any, get_args

from marshmallow import fields, validate

from ...machines import Unit
from ...purchases import PurchaseKind
from ...stock import Grain
from .answer_dates import name_or_null
from .answer_fields import Answer, money, number, one, pair, switch, text, texts, whole

WORKS_UNITS = get_args(Unit)


def word_or_null(about: str, words: tuple[str, ...]) -> Any:
    """Return a field for one of some words, or null for none."""
    described = {"description": about}
    return fields.String(
        required=True, allow_none=True, validate=validate.OneOf(words), metadata=described
    )


class WorksSectionSchema(Answer):
    """The sections that an operation works on."""

    pages = whole("pages of one section", "{page}")
    times = whole("sections alike")


class HandedOnSchema(Answer):
    """What comes out sound, as the next operation counts it."""

    amount = whole("how many: of a sheet cut up, the pieces")
    unit = text("what is counted", words=WORKS_UNITS)


class SpoiledSchema(Answer):
    """What a press spoils."""

    make_ready = whole("before the first good one", "{sheet}")
    running = whole("while running, both sides together", "{sheet}")


class WorksCarriersSchema(Answer):
    """Image carriers that go on the press."""

    count = whole("how many, all sections together")
    carriers_id = text("names them, as in kept_carriers of a reorder")
    kept = switch("whether they are kept from the last run, so that none are made")


class WorksOperationSchema(Answer):
    """One operation that someone does; queues, drying and deliveries are in the schedule alone."""

    id = text("that of the schedule; what takes no time on its clock stands here alone")
    operation = text(
        "what is done: artwork_check, imposition, proof, make_ready, run, backing_up, wash_up, or "
        "a finishing step"
    )
    part = name_or_null("name of the part; null for what is done to copies")
    section = one(
        WorksSectionSchema, "of pages, which of them; null where all go together", nullable=True
    )
    machine = name_or_null(
        "id of the machine, one of machine_ids of the plant; null where there is none, and for "
        "work that is bought out"
    )
    name = text("what the machine is called, or what is bought out; else the cost centre")
    cost_centre = name_or_null("id of the cost centre; null where the work is bought out")
    bought_out = switch("whether another shop does it")
    crew = number("people at it; null where the plant file does not say", nullable=True)
    set_up_h = number("hours of setting up; of a make-ready and a wash-up all of them", "h")
    run_h = number("hours of running", "h")
    unit = word_or_null("what goes in; null at a desk and for a wash-up", WORKS_UNITS)
    into = whole("units that go in", nullable=True)
    out = whole("units that come out sound", nullable=True)
    per = whole("units done at once: a lift, a pack", nullable=True)
    lots = whole("lifts or packs, begun ones counted", nullable=True)
    handed_on = one(HandedOnSchema, "what comes out, for the next operation", nullable=True)
    spoiled = one(SpoiledSchema, "sheets spoiled at a press; null elsewhere", nullable=True)
    passes = whole("how often each sheet goes through the press; null elsewhere", nullable=True)
    carriers = one(
        WorksCarriersSchema,
        "on the first operation at a press that has them; null elsewhere",
        nullable=True,
    )
    lead_days = number("working days until bought-out work is back", "d")
    after = texts("ids of the operations of this works order that must have ended before")
    lines = texts("ids of the cost lines of its hours; each stands here or in purchases, once")
    because = text("why it takes so long")


class PacksSchema(Answer):
    """How it is sold, and how much of it is paid for."""

    pack = number("units in a pack; null where there is none", nullable=True)
    packs = whole("packs bought; null where any number of units is sold", nullable=True)
    least_order = number("the least that is sold; null for none", nullable=True)
    paid_for = number("units that money is paid for")


class ReelBoughtSchema(Answer):
    """A reel, and how much of it the job takes."""

    width_mm = number("width of the web", "mm")
    length_m = number("on a full reel", "m")
    run_m = number("length needed, all webs together, with what each reel loses", "m")
    reels = whole("full reels that hold it, a begun one counted", "{reel}")


class PurchaseSchema(Answer):
    """One thing that is bought, or drawn from stock."""

    id = text("unique in the offer: that of its first cost line")
    kind = text("what it is", words=get_args(PurchaseKind))
    part = name_or_null("name of the part; null for copies")
    for_operation = name_or_null("id of the operation of the works order that it is for")
    item = text(
        "id of the stock, of the machine that uses it, or of what is bought out; else a word that "
        "stays the same"
    )
    name = text("what it is called")
    size_mm = pair(
        fields.Float(),
        "short and long side of a sheet, width and height of a piece; null elsewhere",
        "mm",
        nullable=True,
    )
    grain = word_or_null(
        "side of the sheet that the grain runs along; null elsewhere", get_args(Grain)
    )
    reel = one(ReelBoughtSchema, "of what comes in reels; null elsewhere", nullable=True)
    amount = number("what is needed, in its unit")
    unit = text("what is counted, UCUM style: {sheet}, m2, kg, {carrier}, {pack}")
    packs = one(
        PacksSchema,
        "where it is sold in packs or from a least order on; null where what is needed is bought",
        nullable=True,
    )
    unit_price = number("money for one unit, not rounded")
    cost = money("unit_price x what is paid for, each of its lines rounded once")
    lead_days = number("working days from order until it is there", "d")
    lines = texts("ids of the cost lines of it; each stands here or in works_order, once")
    because = text("why so much, and how it is bought")
