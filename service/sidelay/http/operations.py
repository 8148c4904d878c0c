"""Every operation of the service as the OpenAPI document tells it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from .schemas import answer_compare, answers, catalogue
from .schemas.body import RequestSchema
from .shown import CSV, PARAMETERS, SVG

READING = ("not_acceptable", "internal")
SHOWING = ("not_found", *READING)
CHART = (
    "A picture with title and desc as its text alternative. Where no press can make the job it "
    "says so and why."
)
TABLE = (
    "RFC 4180, in UTF-8, header present, a point in decimals. Words that a spreadsheet would take "
    "for a formula begin with an apostrophe. Where no press can make the job there are no rows but "
    "those of characteristics."
)
PRICING = (
    "not_json",
    "not_acceptable",
    "body_too_large",
    "unsupported_media_type",
    "invalid_request",
    "internal",
)


@dataclass(frozen=True, slots=True)
class Operation:
    """One method on one path.

    answer, request: marshmallow schemas of the bodies; None where there is none of ours
    problems: ids of the problem types it can answer with
    texts: what the answer can be beside JSON, by media type
    query: names of the query parameters it takes
    """

    method: str
    path: str
    summary: str
    description: str
    answer: type | None
    problems: tuple[str, ...]
    request: type | None = None
    texts: Mapping[str, str] = field(default_factory=dict)
    query: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """The operationId: method and path as one word."""
        words = self.path.replace(".", "_").replace("{", "").replace("}", "").split("/")
        return "_".join([self.method, *filter(None, words)])


OPERATIONS = (
    Operation(
        "post",
        "/estimate",
        "Price a job",
        "For each quantity the best offer: price, cost, press, layout, sheets and hours. A job "
        "that no press can print is answered with 200, no estimates, and the reasons.",
        answers.EstimateSchema,
        PRICING,
        RequestSchema,
    ),
    Operation(
        "post",
        "/compare",
        "Compare every press for a job",
        "For each quantity one choice a press, the best first by what rank_by states, by default "
        "the price; for every whole quantity between from and up_to the press that wins by price, "
        "whatever the choices are ranked by; and what each process is. Accept chooses between "
        "JSON, a chart and a table; the parameters do nothing without it.",
        answer_compare.ComparisonSchema,
        PRICING,
        RequestSchema,
        {SVG: CHART, CSV: TABLE},
        tuple(PARAMETERS),
    ),
    Operation(
        "post",
        "/validate",
        "Check a request without pricing it",
        "The same faults as /estimate and /compare.",
        answers.ValidSchema,
        PRICING,
        RequestSchema,
    ),
    Operation(
        "get",
        "/processes",
        "List the processes",
        "Every process that a plug-in models: an open list.",
        catalogue.ProcessesSchema,
        READING,
    ),
    Operation(
        "get",
        "/processes/{process_id}",
        "Show a process",
        "What it is, and the JSON Schema of its presses.",
        catalogue.ProcessDetailSchema,
        SHOWING,
    ),
    Operation(
        "get",
        "/plants",
        "List the plants",
        "Every plant that jobs can be priced on.",
        catalogue.PlantsSchema,
        READING,
    ),
    Operation(
        "get",
        "/plants/{plant_id}",
        "Show a plant",
        "Its cost centres with their hourly rates, its presses, operations, binders and stocks, "
        "with their limits; neither prices nor margins.",
        catalogue.PlantSchema,
        SHOWING,
    ),
    Operation(
        "get",
        "/problems/{problem_id}",
        "Explain a type of problem",
        "What the `type` of a problem leads to.",
        catalogue.ProblemTypeSchema,
        SHOWING,
    ),
    Operation(
        "get",
        "/openapi.json",
        "This document",
        "Written from the schemas that requests are checked with.",
        None,
        READING,
    ),
    Operation(
        "get",
        "/livez",
        "Say that the process answers",
        "For probes. Never cached.",
        catalogue.AliveSchema,
        READING,
    ),
    Operation(
        "get",
        "/readyz",
        "Say what is loaded",
        "For probes. A service whose plants cannot be read does not start at all. Never cached.",
        catalogue.ReadySchema,
        READING,
    ),
)
