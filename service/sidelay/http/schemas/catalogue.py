"""The answers of the paths that are only read, and problems."""

from __future__ import annotations

from typing import Any, get_args

from marshmallow import fields, validate

from ...feeds import FEED_KINDS, WORK_STYLES
from ...job import BindingMethod, Kind
from ...operations import Stage
from ...time_fields import WEEKDAY_NAMES
from ..faults import FAULT_CODES
from .answer_fields import Answer, cost_only, many, number, one, switch, text, texts, whole
from .answer_job import CostCentreSchema
from .answer_process import FactsSchema
from .answers import PlantHeadSchema


class ProcessSchema(FactsSchema):
    """A process that a plug-in models."""

    id = text("id of the process")
    standard_token = text("the name that the open job description standard uses for it")


class ProcessDetailSchema(ProcessSchema):
    """A process, and what its presses are described by."""

    press_schema = fields.Dict(
        required=True,
        metadata={
            "description": "JSON Schema (2020-12) of a press in a plant file: units in x-unit "
            "(UCUM style), sources of defaults in x-source, where a figure usually lies in "
            "x-usual, and who says so in x-usual-source"
        },
    )


class ProcessesSchema(Answer):
    """All processes."""

    processes = many(ProcessSchema, "in the order of ids")


class PlantsSchema(Answer):
    """All plants."""

    plants = many(PlantHeadSchema, "in the order of ids")


def _figure(about: str, unit: str = "mm") -> Any:
    return number(about, unit, optional=True, nullable=True)


class FeedSchema(Answer):
    """What a press takes: its kind, and the members that this kind of feed has."""

    kind = text("sheet, web, reel or piece", words=FEED_KINDS)
    makes = fields.List(
        text("a kind of part that it delivers", words=get_args(Kind)), required=True
    )
    min_width_mm = _figure("narrowest sheet or web, across the machine")
    max_width_mm = _figure("widest sheet or web, across the machine; widest print on a piece")
    min_length_mm = _figure("shortest sheet, in the direction of travel")
    max_length_mm = _figure("longest sheet, in the direction of travel; longest print on a piece")
    gripper_mm = _figure("strip at the edge that goes in first")
    tail_mm = _figure("strip at the far edge")
    side_mm = _figure("strip at each side")
    colour_bar_mm = _figure("strip kept for the control bar")
    image_width_mm = _figure("widest image that chase or frame holds; null for the sheet's")
    image_length_mm = _figure("longest image that chase or frame holds; null for the sheet's")
    work_styles = fields.List(text("a way to print the second side", words=WORK_STYLES))
    min_cutoff_mm = _figure("shortest cut-off")
    max_cutoff_mm = _figure("longest cut-off")
    gap_mm = _figure("strip lost on each cut-off")
    webs = _figure("webs that run into one copy", "{web}")
    most_collected = _figure("cut-offs gathered into one copy", "1")
    repeats_mm = fields.List(
        fields.Float(), metadata={"description": "repeats in stock; none where any can be had"}
    )
    min_repeat_mm = _figure("shortest repeat")
    max_repeat_mm = _figure("longest repeat")
    reel_waste = _figure("share of a reel lost at its start and on its core", "1")
    min_reel_m = _figure("shortest reel that the stand is made for", "m")
    max_reel_m = _figure("longest reel that the stand is made for", "m")
    both_sides = fields.Boolean(metadata={"description": "whether both sides can be printed"})
    folds = fields.Boolean(metadata={"description": "whether a folder in line delivers copies"})
    dies_in_line = fields.Boolean(metadata={"description": "whether labels are cut on the press"})
    cuts_off = fields.Boolean(metadata={"description": "whether rows can be cut off as sheets"})


class PlantPressSchema(Answer):
    """A press of a plant."""

    id = text("id of the press")
    name = text("name to show")
    process = text("id of the process")
    cost_centre = cost_only(text("id of its cost centre"))
    feed = one(FeedSchema, "what it takes")
    # Speeds, waste and crews, whatever a plug-in describes its presses by: with wages and prices
    # that the trade knows, a cost is reckoned from them. What a press can take stands in its feed.
    figures = cost_only(
        fields.Dict(
            keys=fields.String(),
            required=True,
            metadata={
                "description": "its parameters, prices and rates left out; units and meanings "
                "stand in the press schema of its process"
            },
        )
    )
    sources = cost_only(
        fields.Dict(
            keys=fields.String(),
            values=fields.String(),
            required=True,
            metadata={
                "description": "where single figures come from, by the name of the parameter"
            },
        )
    )


def _pack(unit: str) -> Any:
    return number("in a pack; null where there is none", unit, nullable=True)


def _breaks_packs() -> Any:
    return switch("whether packs are opened, so that any number is sold")


class StockSheetSchema(Answer):
    """A sheet that a stock is sold in."""

    width_mm = number("short side", "mm")
    height_mm = number("long side", "mm")
    grain = text("side that the machine direction runs along", words=("long", "short"))
    pack = _pack("{sheet}")
    breaks_packs = _breaks_packs()


class StockReelSchema(Answer):
    """A reel that a stock is sold in."""

    width_mm = number("width of the web", "mm")
    length_m = number("on a full reel", "m")
    pack = _pack("m2")
    breaks_packs = _breaks_packs()


class StockBlankSchema(Answer):
    """A piece that is bought whole."""

    label = text("what it is called")
    width_mm = number("width of the area that can print", "mm")
    height_mm = number("height of the area that can print", "mm")
    pack = _pack("{piece}")
    breaks_packs = _breaks_packs()


class PlantStockSchema(Answer):
    """A stock of a plant."""

    id = text("id of the stock")
    name = text("name to show")
    grade = text("what it is; an open list that the plant keeps")
    finish = text("its surface; an open list that the plant keeps")
    grammage_gsm = number("mass per area", "g/m2")
    caliper_um = number("thickness", "um")
    tone = text("dark where light ink needs a white under it", words=("light", "dark"))
    treated = switch("whether its surface is made to take the ink of a plateless press")
    lead_days = number("working days until it is in the house; 0 where it is kept there", "d")
    sheets = many(StockSheetSchema, "sheets it is bought in")
    reels = many(StockReelSchema, "reels it is bought in")
    blanks = many(StockBlankSchema, "pieces it is bought as")


def _figures() -> Any:
    return cost_only(
        fields.Dict(
            keys=fields.String(),
            required=True,
            metadata={
                "description": "times, rates, waste and limits by their names, units in them; "
                "money left out"
            },
        )
    )


def _clock(about: str) -> Any:
    pattern = r"^([01][0-9]|2[0-3]):[0-5][0-9]$|^24:00$"
    return fields.String(required=True, metadata={"description": about, "pattern": pattern})


def _days(about: str) -> Any:
    day = fields.String(validate=validate.OneOf(WEEKDAY_NAMES))
    return fields.List(day, required=True, metadata={"description": about})


def _code(about: str) -> Any:
    return fields.String(required=True, allow_none=True, metadata={"description": about})


class PlantOperationSchema(Answer):
    """A finishing machine, or work that is bought out."""

    id = text("id of the machine")
    name = text("name to show")
    operation = text("what a job asks for; an open list that the plant keeps")
    unit = text("what goes in", words=get_args(Stage))
    finishes = texts("what a job can choose from; none where there is no choice")
    bought_out = switch("whether another shop does it")
    figures = _figures()
    source = cost_only(text("where its figures come from"))


class PlantBinderSchema(Answer):
    """A binder, or a trade binder."""

    id = text("id of the binder")
    name = text("name to show")
    method = text("how it binds", words=get_args(BindingMethod))
    bought_out = switch("whether a trade binder does it")
    figures = _figures()
    source = cost_only(text("where its figures come from"))


class PlantShiftSchema(Answer):
    """Hours that are worked, by the clocks of the plant."""

    days = _days("on which it starts")
    starts = _clock("start")
    ends = _clock("end; where it is not after the start, on the next day")


class PlantClosedDaySchema(Answer):
    """A day on which nobody works, beside the public holidays."""

    date = text("the day: RFC 3339 full-date")
    reason = text("why nobody works then")


class PlantMaintenanceSchema(Answer):
    """A planned stoppage of a machine."""

    start_at = text("start: RFC 3339 date-time")
    end_at = text("end: RFC 3339 date-time")
    reason = text("what is done then")


class PlantQueueSchema(Answer):
    """What a job meets at a machine, unless its request says otherwise; all null for nothing."""

    busy_until = fields.String(
        required=True,
        allow_none=True,
        metadata={"description": "from when on it is free: RFC 3339 date-time"},
    )
    hours_ahead = number("work that stands before it, in hours of its shifts", "h", nullable=True)
    utilisation = number(
        "share of its time that it is busy: the queue to be expected then", "1", nullable=True
    )


def _shifts(about: str, *, nullable: bool = False) -> Any:
    return fields.List(
        fields.Nested(PlantShiftSchema),
        required=True,
        allow_none=nullable,
        metadata={"description": about},
    )


class PlantMachineTimeSchema(Answer):
    """What is different at one machine."""

    id = text("id of the machine")
    shifts = _shifts("its own; null for those of the plant", nullable=True)
    overtime = _shifts("its own; null for that of the plant", nullable=True)
    maintenance = many(PlantMaintenanceSchema, "planned stoppages, in overtime too")
    queue = one(PlantQueueSchema, "what a job meets")
    mean_job_h = number("how long it is busy with a job on average", "h")
    variation = number("variability of arrivals and of jobs together, (ca2 + cs2) / 2", "1")
    source = text("where its figures come from")


class PlantApprovalSchema(Answer):
    """Working days that a customer takes to approve a proof, by kind of proof."""

    soft = number("of a soft proof", "d")
    contract = number("of a contract proof", "d")
    press = number("of a press proof", "d")


class PlantDispatchSchema(Answer):
    """How copies get to a customer who does not collect them."""

    cut_off = _clock("what is packed by then goes the same day")
    days = _days("on which the carrier comes and delivers, unless they are public holidays")
    delivery_days = whole("delivery days from dispatch to delivery", "d")
    delivered_by = _clock("time of delivery")
    source = text("where these figures come from")


class PlantTimeSchema(Answer):
    """When a plant works; times of day are by its clocks."""

    zone = text("IANA time zone")
    country = _code("whose public holidays are kept: ISO 3166-1 alpha-2; null for none")
    subdivision = _code("of the country, ISO 3166-2 without it; null for what holds everywhere")
    shifts = _shifts("the usual ones")
    overtime = _shifts("what can be worked beyond them")
    closed_days = many(PlantClosedDaySchema, "further days without work, the first first")
    horizon_days = whole("no schedule looks further ahead", "d")
    approval_days = one(PlantApprovalSchema, "how long a customer takes with a proof")
    drying_share = number(
        "share of the drying that is left where it is sped up; null where it cannot be",
        "1",
        nullable=True,
    )
    dispatch = one(PlantDispatchSchema, "how copies are sent")
    machine_ids = texts("all machines that jobs queue at, the desk included")
    machines = many(PlantMachineTimeSchema, "those that differ")
    source = text("where its figures come from")


class PlantSchema(PlantHeadSchema):
    """A plant: what it prints with and on, and what an hour costs."""

    revisions = texts(
        "that a request can name in plant_revision: the current one, then those kept, the file "
        "changed last first"
    )
    cost_centres = cost_only(many(CostCentreSchema, "in the order of the plant file"))
    presses = many(PlantPressSchema, "in the order of process and id")
    operations = many(
        PlantOperationSchema, "in the order of preference: the first that takes the work does it"
    )
    binders = many(PlantBinderSchema, "in the order of the plant file")
    stocks = many(PlantStockSchema, "in the order of the plant file")
    time = one(PlantTimeSchema, "when it works, and what jobs wait for there")


class ErrorSchema(Answer):
    """One fault of a request."""

    pointer = text(
        "JSON Pointer (RFC 6901) as a URI fragment: where the fault stands in the body; # for that "
        "of a query parameter"
    )
    parameter = text("the query parameter with the fault; only there", optional=True)
    code = text("stable name of the fault; an open list", open_words=tuple(FAULT_CODES))
    detail = text("what was expected there")


class ProblemSchema(Answer):
    """What went wrong (RFC 9457)."""

    type = text("identifies the type of problem; a path here that explains it; an open list")
    title = text("the type in a few words")
    status = whole("HTTP status code")
    detail = text("what went wrong this time")
    errors = many(ErrorSchema, "every fault of an invalid request", optional=True)
    violated_policies = fields.List(
        fields.String(),
        data_key="violated-policies",
        metadata={"description": "names of the quotas that are used up"},
    )
    request_id = text("finds the request in the log")


class ProblemTypeSchema(Answer):
    """A type of problem, explained."""

    type = text("identifies the type")
    title = text("the type in a few words")
    status = whole("HTTP status code")
    about = text("what it means and what to do")
