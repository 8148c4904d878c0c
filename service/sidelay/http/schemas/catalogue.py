"""The answers of the paths that are only read, and problems."""

from __future__ import annotations

from marshmallow import fields

from ...feeds import WORK_STYLES
from ..faults import FAULT_CODES
from .answer_fields import Answer, many, number, one, text, texts, whole
from .answers import FactsSchema, PlantHeadSchema


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
            "(UCUM style), sources of defaults in x-source"
        },
    )


class ProcessesSchema(Answer):
    """All processes."""

    processes = many(ProcessSchema, "in the order of ids")


class PlantsSchema(Answer):
    """All plants."""

    plants = many(PlantHeadSchema, "in the order of ids")


class FeedSchema(Answer):
    """The sheets a press takes, and the strips it cannot print."""

    min_width_mm = number("narrowest sheet, across the machine", "mm")
    max_width_mm = number("widest sheet, across the machine", "mm")
    min_length_mm = number("shortest sheet, in the direction of travel", "mm")
    max_length_mm = number("longest sheet, in the direction of travel", "mm")
    gripper_mm = number("strip at the edge that goes in first", "mm")
    tail_mm = number("strip at the far edge", "mm")
    side_mm = number("strip at each side", "mm")
    colour_bar_mm = number("strip kept for the control bar", "mm")
    work_styles = fields.List(
        text("a way to print the second side", words=WORK_STYLES), required=True
    )


class PlantPressSchema(Answer):
    """A press of a plant."""

    id = text("id of the press")
    name = text("name to show")
    process = text("id of the process")
    cost_centre = text("id of its cost centre")
    feed = one(FeedSchema, "the sheets it takes")


class StockSheetSchema(Answer):
    """A sheet that a stock is sold in."""

    width_mm = number("short side", "mm")
    height_mm = number("long side", "mm")
    grain = text("side that the machine direction runs along", words=("long", "short"))


class PlantStockSchema(Answer):
    """A stock of a plant."""

    id = text("id of the stock")
    name = text("name to show")
    grade = text("what it is; an open list that the plant keeps")
    finish = text("its surface; an open list that the plant keeps")
    grammage_gsm = number("mass per area", "g/m2")
    caliper_um = number("thickness", "um")
    sheets = many(StockSheetSchema, "at least one")


class PlantSchema(PlantHeadSchema):
    """A plant: what it prints with and on."""

    presses = many(PlantPressSchema, "in the order of process and id")
    stocks = many(PlantStockSchema, "in the order of the plant file")


class ErrorSchema(Answer):
    """One fault of a request."""

    pointer = text("JSON Pointer (RFC 6901) as a URI fragment: where the fault stands")
    code = text("stable name of the fault; an open list", open_words=tuple(FAULT_CODES))
    detail = text("what was expected there")


class ProblemSchema(Answer):
    """What went wrong (RFC 9457)."""

    type = text("identifies the type of problem; a path here that explains it; an open list")
    title = text("the type in a few words")
    status = whole("HTTP status code")
    detail = text("what went wrong this time")
    errors = many(ErrorSchema, "every fault of an invalid request", optional=True)
    request_id = text("finds the request in the log")


class ProblemTypeSchema(Answer):
    """A type of problem, explained."""

    type = text("identifies the type")
    title = text("the type in a few words")
    status = whole("HTTP status code")
    about = text("what it means and what to do")


class AliveSchema(Answer):
    """The process answers."""

    status = text("always alive", words=("alive",))


class ReadySchema(Answer):
    """What is loaded."""

    status = text("always ready", words=("ready",))
    plants = texts("ids of the plants")
    processes = texts("ids of the processes")
    plugin_faults = texts("names of plug-ins that could not be used; the log tells why")
