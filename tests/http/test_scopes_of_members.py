"""Of every member of every answer it is decided whether it tells a cost; here all is pinned."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from marshmallow import Schema, fields

from cost_watch import COST_NAME, INNOCENT
from sidelay.http.operations import OPERATIONS
from sidelay.http.schemas.answer_fields import Money, is_told_with
from sidelay.http.schemas.body import RequestSchema
from sidelay.http.schemas.job import JobSchema

# Money that whoever may ask is told: prices all of it, and differences of prices.
PRICES = {
    "Price.net",
    "Price.per_piece",
    "Price.per_1000",
    "Price.run_on_per_1000",
    "Price.cash",
    "Dated.net",
    "WouldHold.net",
    "Lot.net",
    "Point.price",
    "Point.per_piece",
    "NextStep.net",
    "NextStep.per_piece",
    "NextStep.more",
    "Quoted.net",
}
# Members whose inside no schema tells: each was looked at, and none is filled with money of costs.
OPEN = {
    "Run.because": "by a plug-in, why figures of a run are what they are: minutes and speeds",
    "Characteristic.sources": "by a plug-in, whatever the plant",
    "Process.sources": "by a plug-in, whatever the plant",
    "ProcessDetail.sources": "by a plug-in, whatever the plant",
    "ProcessDetail.press_schema": "by a plug-in, whatever the plant; the document has it too",
    "WouldHold.changes": "members of the request",
    "Change.from_": "a member of the request",
    "Change.to": "a member of the request",
    "Finding.asked": "a figure of the job",
    "Finding.limit": "a figure of a machine that no money is compared with",
    "Caution.asked": "a figure of the job",
    "Caution.limit": "a figure of a machine that no money is compared with",
    "ProductOption.default": "the id of a value, or a number of pages",
    "ProductOption.chosen": "the same",
    "ProductOption.settled": "the same",
    "ProductPrices.options": "the same",
    "PriceList.rows": "options, and prices",
    "Ready.revisions": "the hash of a plant file, by id of the plant",
    "BatchAnswer.answer": "cut by the schema of what the line asks",
}
# Words that make a member look as if it told a cost; "bought" alone is said of sheets and reels.
COST_WORDS = re.compile(r"\b(costs?|rates?|margins?|mark-?ups?|premiums?|hourly|wages?|money)\b")
# Members that these words are said of, and that tell none all the same.
LOOKED_AT = {
    "Price.same_price_to": "a quantity: what it costs the customer",
    "PlantHead.currency": "a code",
    "Plant.currency": "a code",
    "Comparison.due_bands": "presses, and the word why they are not told with overtime",
    "WouldHold.more": "a difference of prices",
}


def members(*, costs: bool) -> dict[str, Any]:
    """Every member of every answer, by schema and name.

    costs: those that only the scope cost is told, or else those that every caller can see
    """
    found: dict[str, Any] = {}
    answers = [each.answer for each in OPERATIONS if each.answer not in (None, RequestSchema)]
    todo = [each for told in answers for each in (told if isinstance(told, tuple) else (told,))]
    # What a request says is the caller's own, and no answer of ours.
    seen: set[type] = {JobSchema}
    while todo:
        schema = todo.pop()
        if schema is None or schema in seen:
            continue
        seen.add(schema)
        for name, field in schema().fields.items():
            if bool(is_told_with(field)) == costs:
                found[f"{schema.__name__.removesuffix('Schema')}.{name}"] = field
            if not is_told_with(field):
                todo += nested(field)
    return found


def nested(field: Any) -> Iterator[type[Schema]]:
    inner = field.inner if isinstance(field, fields.List) else field
    if isinstance(inner, fields.Nested):
        yield type(inner.schema)


def test_money_that_everyone_is_told_is_a_price() -> None:
    seen = members(costs=False)
    assert {name for name, field in seen.items() if isinstance(field, Money)} == PRICES


def test_members_that_no_schema_looks_into_are_few_and_known() -> None:
    def is_open(field: Any) -> bool:
        return type(field) in (fields.Raw, fields.Dict) or (
            isinstance(field, fields.List) and is_open(field.inner)
        )

    seen = members(costs=False)
    assert {name for name, field in seen.items() if is_open(field)} == set(OPEN)


def test_no_member_that_everyone_is_told_is_named_as_a_cost_is() -> None:
    told = members(costs=False).keys() - {"BatchDone.lines"}  # how many lines the batch has
    names = {name.partition(".")[2] for name in told}
    assert {name for name in names if COST_NAME.search(name)} <= INNOCENT


def test_members_that_costs_are_said_of_were_looked_at() -> None:
    seen = members(costs=False)
    about = {name: each.metadata.get("description", "") for name, each in seen.items()}
    said = {name for name, words in about.items() if COST_WORDS.search(words)}
    assert said == set(LOOKED_AT)


def test_what_only_the_scope_is_told() -> None:
    assert set(members(costs=True)) == {
        f"{schema}.{name}"
        for schema, names in {
            "Offer": "cost curve price_trace works_order purchases",
            "Choice": "cost curve price_trace",
            "Estimate": "rates versions",
            "Comparison": "rates versions cost_bands cost_crossovers hangs_on",
            "Point": "cost",
            "Overtime": "cost currency",
            "ScheduledOperation": "because",
            "BeatenLayout": "dearer_by",
            "Step": "because",
            "CopyStep": "because lines trace",
            "OfferPart": "lines trace",
            "Ratios": "cost",
            "RankedBy": "cost",
            "RemedyPrice": "cost",
            "Plant": "cost_centres",
            "PlantPress": "cost_centre figures sources",
            "PlantOperation": "figures source",
            "PlantBinder": "figures source",
        }.items()
        for name in names.split()
    }


def test_the_document_says_so_and_never_promises_them(document: dict[str, Any]) -> None:
    told = 0
    for component in document["components"]["schemas"].values():
        for name, member in component.get("properties", {}).items():
            if "x-scope" in member:
                told += 1
                assert member["x-scope"] == "cost"
                assert member["description"].endswith("absent without the scope cost")
                assert name not in component.get("required", ())
    assert told == len(members(costs=True))


def test_what_everyone_is_told_is_promised(document: dict[str, Any]) -> None:
    components = document["components"]["schemas"]
    assert "price" in components["Choice"]["required"]
    assert "net" in components["Price"]["required"]
    assert components["RateItem"]["required"]  # inside what the scope is told all is there
