"""Every operation of the service as the OpenAPI document tells it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from .deprecation import Deprecation, names_in
from .media_types import CSV, JSON, NDJSON, PTK, SVG, XJDF
from .openapi_intent import INTENT, QUOTATION
from .schemas import (
    answer_compare,
    answer_quotes,
    answers,
    batch,
    catalogue,
    health,
    products,
)
from .schemas.body import RequestSchema
from .schemas.quotes import QuoteCheckSchema
from .shown import PARAMETERS

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
LIST_TABLE = (
    "RFC 4180, in UTF-8, header present, a row for each price: the options by their ids, quantity, "
    "net, per_piece, currency; net and per_piece are empty where no press can make it."
)
LIST_LINES = "An object a line, for each price: the rows of the JSON form."
# What the gate answers, to whoever needs a scope and to everyone.
GUARDED = ("key_missing", "unknown_key", "scope_missing", "quota_exceeded")
UNGUARDED = ("key_in_url",)
PRICING = (
    "not_json",
    "not_acceptable",
    "body_too_large",
    "unsupported_media_type",
    "invalid_request",
    "internal",
)


CHOOSING = ("not_found", "not_acceptable", "invalid_request", "internal")


def _parameter(name: str, about: str, schema: Mapping[str, Any]) -> Mapping[str, Any]:
    return {"name": name, "in": "query", "description": about, "schema": dict(schema)}


OPTIONS: Mapping[str, Any] = {
    "name": "options",
    "in": "query",
    "style": "form",
    "explode": True,
    "description": "what is chosen, a parameter for each option by its id: size=a6&pages=16",
    "schema": {"type": "object", "additionalProperties": {"type": "string"}},
}
LANGUAGE = _parameter(
    "language", "a BCP 47 tag; without, Accept-Language decides", {"type": "string"}
)
QUANTITY = _parameter(
    "quantity", "how many; without, the whole ladder is priced", {"type": "integer", "minimum": 1}
)
QUANTITIES = _parameter(
    "quantity", "how many, several between commas; without, the ladder", {"type": "string"}
)
AS_OF = _parameter(
    "as_of",
    "the clock that dates are reckoned from, with its offset; without, the service's own, at its "
    "last full step",
    {"type": "string", "format": "date-time"},
)
REVISION = _parameter(
    "revision",
    "the state of the plant file to show: one of revisions; without, the current one",
    {"type": "string", "pattern": "^[0-9a-f]{12}$"},
)
CHOICE = (OPTIONS, QUANTITY, LANGUAGE, AS_OF)
AFTER = _parameter(
    "after",
    "id of the last line that is answered already: it and all before it are left out",
    {"type": "string", "minLength": 1, "maxLength": batch.LONGEST_ID},
)


@dataclass(frozen=True, slots=True)
class Operation:
    """One method on one path.

    answer, request: marshmallow schemas of the bodies; None where there is none of ours, several
        where the answer is one of them
    media_type: of both; of lines, the schemas are those of one
    problems: ids of the problem types it can answer with
    texts: what the answer can be beside JSON, by media type
    documents: the same for documents of other standards: their components by media type
    takes_intent: whether the request can hold an XJDF document in place of a job, or be one
    query: names of the query parameters it takes
    more_query: further ones, as OpenAPI writes them
    kept: whether the answer has an entity tag, and may be 304
    needs: the scope that a caller needs; None where anyone may ask, as often as it likes
    deprecated: since when it is not to be used in anything new; None where it may be
    """

    method: str
    path: str
    summary: str
    description: str
    answer: type | tuple[type, ...] | None
    problems: tuple[str, ...]
    request: type | None = None
    texts: Mapping[str, str] = field(default_factory=dict)
    documents: Mapping[str, str] = field(default_factory=dict)
    takes_intent: bool = False
    query: tuple[str, ...] = ()
    more_query: tuple[Mapping[str, Any], ...] = ()
    kept: bool = False
    needs: str | None = "price"
    media_type: str = JSON
    deprecated: Deprecation | None = None

    def __post_init__(self) -> None:
        told = self.deprecated
        if told and not set(names_in(told.successor)) <= set(names_in(self.path)):
            raise ValueError(f"{self.path} has not all the names of {told.successor}")

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
        "that no press can print is answered with 200, no estimates, and the reasons. Accept "
        "chooses between JSON, the XJDF document of one quantity with its production filled in, "
        "and a quotation.",
        answers.EstimateSchema,
        PRICING,
        RequestSchema,
        documents={XJDF: INTENT, PTK: QUOTATION},
        takes_intent=True,
    ),
    Operation(
        "post",
        "/compare",
        "Compare every press for a job",
        "For each quantity one choice a press, the best first by what rank_by states, by default "
        "the price; for every whole quantity between from and up_to the press that wins by price, "
        "whatever the choices are ranked by; and what each process is. Accept chooses between "
        "JSON, a chart, a table and a quotation; the parameters do nothing without it.",
        answer_compare.ComparisonSchema,
        PRICING,
        RequestSchema,
        {SVG: CHART, CSV: TABLE},
        {PTK: QUOTATION},
        takes_intent=True,
        query=tuple(PARAMETERS),
    ),
    Operation(
        "post",
        "/validate",
        "Check a request without pricing it",
        "The same faults as /estimate and /compare; of an XJDF document the job it is read as.",
        answers.ValidSchema,
        PRICING,
        RequestSchema,
        takes_intent=True,
    ),
    Operation(
        "post",
        "/batch",
        "Answer many requests, a line each",
        "Lines of JSON in and out, in order, streamed; the schemas are those of one line. Each "
        "line is answered as its request alone would be, and what is wrong with one stops no "
        "other. The whole batch is read before the first answer. Each line counts as a request.",
        (batch.BatchAnswerSchema, batch.BatchDoneSchema),
        PRICING,
        batch.BatchLineSchema,
        more_query=(AFTER,),
        media_type=NDJSON,
    ),
    Operation(
        "get",
        "/products",
        "List the products",
        "What can be bought by choosing, from the catalogues of all plants.",
        products.ProductsSchema,
        ("not_acceptable", "invalid_request", "internal"),
        more_query=(LANGUAGE,),
        kept=True,
    ),
    Operation(
        "get",
        "/products/{product_id}",
        "Show a product",
        "Its options, and of each which values go with what is chosen of the others.",
        products.ProductSchema,
        CHOOSING,
        more_query=CHOICE,
        kept=True,
    ),
    Operation(
        "get",
        "/products/{product_id}/price",
        "Price a product as it is chosen",
        "At one quantity or at each of the ladder. Options left out stand at their default, or at "
        "what goes with the rest. Price and job are those of /estimate for the body that "
        "/products/{product_id}/job returns.",
        products.ProductPricesSchema,
        CHOOSING,
        more_query=CHOICE,
        kept=True,
    ),
    Operation(
        "get",
        "/products/{product_id}/price-list",
        "Price every choice out of some",
        "Streamed. An option may name several values between commas; left out, a choice stands for "
        "all its values, and a number for its default. Choices that do not go together are left "
        "out.",
        products.PriceListSchema,
        CHOOSING,
        texts={CSV: LIST_TABLE, NDJSON: LIST_LINES},
        more_query=(OPTIONS, QUANTITIES, LANGUAGE),
        kept=True,
    ),
    Operation(
        "get",
        "/products/{product_id}/job",
        "Turn a choice into a job",
        "The body of a request to /estimate, /compare or /validate.",
        RequestSchema,
        CHOOSING,
        more_query=CHOICE,
        kept=True,
    ),
    Operation(
        "post",
        "/quotes/check",
        "Say whether a quoted price holds",
        "From what the quote says and what the service knows now; nothing is stored. What was "
        "ordered can be sent too, and is compared.",
        answer_quotes.QuoteCheckedSchema,
        PRICING,
        QuoteCheckSchema,
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
        "with their limits; neither prices nor margins. Without the scope cost, neither rates nor "
        "what costs could be reckoned from.",
        catalogue.PlantSchema,
        SHOWING,
        more_query=(REVISION,),
    ),
    Operation(
        "get",
        "/problems/{problem_id}",
        "Explain a type of problem",
        "What the `type` of a problem leads to.",
        catalogue.ProblemTypeSchema,
        SHOWING,
        needs=None,
    ),
    Operation(
        "get",
        "/openapi.json",
        "This document",
        "Written from the schemas that requests are checked with.",
        None,
        READING,
        needs=None,
    ),
    Operation(
        "get",
        "/metrics",
        "Tell what is counted",
        "For Prometheus: requests, and looks into what is kept. Never cached.",
        None,
        READING,
        texts={"text/plain": "The text format of Prometheus."},
        needs="admin",
    ),
    Operation(
        "get",
        "/livez",
        "Say that the process answers",
        "For probes. Never cached.",
        health.AliveSchema,
        READING,
        needs=None,
    ),
    Operation(
        "get",
        "/readyz",
        "Say what is loaded",
        "For probes. A service whose plants cannot be read does not start at all. Never cached.",
        health.ReadySchema,
        READING,
        needs=None,
    ),
)
