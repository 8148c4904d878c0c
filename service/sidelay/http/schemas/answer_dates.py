"""When offers are ready and what a due date makes of them, member for member."""

from __future__ import annotations

from typing import Any, get_args

from marshmallow import fields

from ...dated import HoldKind
from ...schedule import ClockName
from .answer_fields import Answer, cost_only, many, money, number, one, switch, text, texts, whole
from .answer_part import PRESS, PROCESS, RouteStepSchema
from .answer_process import StretchSchema

MACHINE = "id of the machine, as queues name it; null where it takes none"


def instant(about: str, *, nullable: bool = False) -> Any:
    """Return a field for a moment: RFC 3339 with the offset of the plant's clocks."""
    described = {"description": about, "format": "date-time"}
    return fields.String(required=True, allow_none=nullable, metadata=described)


def hours(about: str, *, nullable: bool = False) -> Any:
    """Return a field for hours that can be less than nothing."""
    described = {"description": about, "x-unit": "h"}
    return fields.Float(required=True, allow_none=nullable, metadata=described)


def name_or_null(about: str) -> Any:
    """Return a field for a name, or null for none."""
    return fields.String(required=True, allow_none=True, metadata={"description": about})


class ClockSchema(Answer):
    """The moment that an answer is reckoned at.

    Sent as as_of it brings the same answer, but for `given`.
    """

    as_of = instant("work starts then at the earliest")
    given = switch("whether the request gave it; else it is when the request came")
    time_zone = text("IANA zone of the plant, by whose clocks moments are told")


class DueSchema(Answer):
    """How an offer stands to the due date."""

    asked_at = instant("when it is wanted")
    holds = switch("whether it is ready by then")
    slack_h = hours(
        "hours from ready to due, below 0 where it is late; null where it is never ready",
        nullable=True,
    )


class ReadyBecauseSchema(Answer):
    """Why each figure is what it is, a sentence each; some are missing where nothing is ready."""

    ready_at = text("the operations that decide, in order, or why there is no moment")
    work_h = text("where the hours go", optional=True)
    drying_h = text("whether drying decides", optional=True)
    waiting_h = text("the queues, and the rest", optional=True)
    lead_days = text("what is waited for from outside", optional=True)


class ReadinessSchema(Answer):
    """What it takes until the offer is ready, along the operations that decide when it is."""

    hours = number("from as_of until ready_at; of the horizon where it is never ready", "h")
    work_h = number("hours of work", "h")
    drying_h = number("hours of drying, which goes on day and night", "h")
    waiting_h = number("hours in queues, for busy machines and closed shifts", "h")
    lead_days = number("working days of others: approval, stock, carriers, work sent out", "d")
    because = one(ReadyBecauseSchema, "why")


class OvertimeHoursSchema(Answer):
    """Overtime at one machine."""

    machine = name_or_null("id of the machine; null for work by hand")
    hours = number("hours beyond its shifts", "h")


class OvertimeSchema(Answer):
    """Overtime that it takes to hold the due date."""

    hours = many(OvertimeHoursSchema, "by machine")
    cost = cost_only(money("its premium: part of the cost, and of the price with its mark-up"))
    currency = cost_only(text("ISO 4217, of the premium"))


class ScheduledOperationSchema(Answer):
    """One operation on the clock."""

    id = text("unique in the schedule, the same for the same job: text/run, copies/carton")
    operation = text(
        "what is done: artwork_check, imposition, proof, approval, carriers, dies, stock, queue, "
        "make_ready, run, drying, backing_up, wash_up, dispatch, delivery, or a finishing step"
    )
    part = name_or_null("name of the part; null for what is done to copies")
    machine = name_or_null(MACHINE)
    clock = text(
        "what its duration is counted on: shifts of the machine, time that passes day and night, "
        "working days of the plant",
        words=get_args(ClockName),
    )
    duration = number("in its unit")
    unit = text("h or d, UCUM")
    start_at = instant("when it begins")
    end_at = instant("when it ends; what is not done by the end of a shift goes on in the next")
    slack_h = hours(
        "by how much it can be later without the job being later, on its own clock; a working day "
        "is 24 of these hours"
    )
    critical = switch("whether it is among those that decide when the job is ready")
    after = texts("ids of the operations that it waits for")
    overtime_h = number("hours of it beyond the shifts", "h")
    # Of work that is bought out, and of tools, it says what they are bought at.
    because = cost_only(text("why it takes so long"))


class DatedSchema(Answer):
    """An offer in short."""

    process = text(PROCESS)
    press = text(PRESS)
    net = money("price, net of tax")
    currency = text("ISO 4217")
    ready_at = instant("when it is ready; null beyond the horizon", nullable=True)


class LotSchema(DatedSchema):
    """One of two lots, an order of its own."""

    quantity = whole("finished pieces", "{piece}")
    holds = switch("whether it is ready when it is wanted")


class WouldHoldSchema(DatedSchema):
    """What would make the due date hold, and what the customer would pay then."""

    kind = text("what is changed", open_words=get_args(HoldKind))
    more = fields.String(
        required=True,
        metadata={
            "description": "how much more than the best offer it costs; below 0 where less",
            "pattern": r"^-?[0-9]+(\.[0-9]+)?$",
        },
    )
    changes = fields.Dict(
        required=True,
        metadata={
            "description": "members of the request by their path, and what they would have to be"
        },
    )
    lots = many(LotSchema, "where it is made in two lots; net is then that of both")
    because = text("what it comes to")


class OtherwiseSchema(Answer):
    """What else there is at a quantity where the cheapest of all is too late."""

    too_late = one(
        DatedSchema, "the cheapest of all, where something dearer holds instead", nullable=True
    )
    earliest = one(DatedSchema, "what is ready first, where nothing holds", nullable=True)
    would_hold = many(
        WouldHoldSchema, "what would hold, where nothing does: the cheapest first, then in two lots"
    )


class DueBandSchema(StretchSchema):
    """Whole quantities, both ends included, at which one press is the cheapest that holds."""

    process = name_or_null("id of the process; null where nothing holds")
    press = name_or_null("id of the press; null where nothing holds")
    route = many(RouteStepSchema, "presses that the first part runs through; none where none holds")
