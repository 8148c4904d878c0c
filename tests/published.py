"""Answers against the published OpenAPI document, by a general library for JSON Schema.

`jsonschema` checks by the rules of JSON Schema 2020-12, which OpenAPI 3.1 describes bodies in, and
follows the references of the document itself. Beside what that prescribes, formats are checked, and
members of our own answers that the document does not name are refused.
"""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from jsonschema import Draft202012Validator, FormatChecker
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012
from werkzeug.test import TestResponse

from contracts.compatibility import reached
from sidelay.http.media_types import JSON, NDJSON
from sidelay.http.problems import MEDIA_TYPE as PROBLEM

BASE = "urn:sidelay:openapi"
# The library's own are many; of those the document uses, each has to be one that is checked.
FORMATS = FormatChecker(["date-time"])


@FORMATS.checks("decimal", InvalidOperation)
def is_decimal(value: object) -> bool:
    """Whether a string is a finite decimal; what is no string is not of the format's business."""
    return not isinstance(value, str) or Decimal(value).is_finite()


class Published:
    """The document as it is served, to hold answers against."""

    def __init__(self, document: Mapping[str, Any]) -> None:
        strict = copy.deepcopy(dict(document))
        for name in own_answers(document):
            strict["components"]["schemas"][name]["additionalProperties"] = False
        self.document = strict
        self._registry = Registry().with_resource(
            BASE, Resource(contents=strict, specification=DRAFT202012)
        )

    def operation(self, method: str, path: str) -> dict[str, Any]:
        """Return what the document says of an operation. path: with names in braces"""
        told: dict[str, Any] = self.document["paths"][path][method.lower()]
        return told

    def faults_of(self, value: Any, *place: str) -> list[str]:
        """Return what is wrong with a value by the schema that stands at a place."""
        pointer = "".join(f"/{step.replace('~', '~0').replace('/', '~1')}" for step in place)
        schema = {"$ref": f"{BASE}#{pointer.replace('{', '%7B').replace('}', '%7D')}"}
        check = Draft202012Validator(schema, registry=self._registry, format_checker=FORMATS)
        return [f"{fault.json_path}: {fault.message[:300]}" for fault in check.iter_errors(value)]

    def faults(self, method: str, path: str, response: TestResponse) -> list[str]:
        """Return what of a response is not as the document says: status, type, body, fields."""
        status, responses = str(response.status_code), self.operation(method, path)["responses"]
        if status not in responses:
            return [f"{status} is not told"]
        place = ["paths", path, method.lower(), "responses", status]
        told = responses[status]
        if "$ref" in told:
            place = told["$ref"].removeprefix("#/").split("/")
            told = self.document["components"]["responses"][place[-1]]
        found = self._faults_of_fields(response, told, place)
        if "content" not in told:
            return [*found, *(["there is a body"] if response.data else [])]
        kind = response.mimetype
        if kind not in told["content"]:
            return [*found, f"{kind} is not told"]
        place = [*place, "content", kind, "schema"]
        if kind == NDJSON and told["content"][kind]["schema"].get("type") != "string":
            # The schema is that of a line.
            lines = map(json.loads, response.data.splitlines())
            return found + [fault for line in lines for fault in self.faults_of(line, *place)]
        is_json = kind == JSON or kind.endswith("+json")
        body = json.loads(response.data) if is_json else response.text
        return found + self.faults_of(body, *place)

    def _faults_of_fields(
        self, response: TestResponse, told: Mapping[str, Any], place: list[str]
    ) -> list[str]:
        found = []
        for name in told.get("headers", {}):
            if name in response.headers:
                value = response.headers[name]
                faults = self.faults_of(value, *place, "headers", name, "schema")
                found += [f"{name}: {fault}" for fault in faults]
        return found


def own_answers(document: Mapping[str, Any]) -> set[str]:
    """Return the components that answers in JSON of our own lead to, not those of other standards.

    The latter are open: their standards say what else may stand in them.
    """
    told = [*document["components"]["responses"].values()]
    for item in document["paths"].values():
        for method in item.keys() & {"get", "post"}:
            told += item[method]["responses"].values()
    found: set[str] = set()
    for response in told:
        for kind in response.get("content", {}).keys() & {JSON, NDJSON, PROBLEM}:
            reached(response["content"][kind], document["components"]["schemas"], found)
    return found


def formats_in(schema: Any) -> set[str]:
    """Return every format that a document names."""
    if isinstance(schema, Mapping):
        own = {schema["format"]} if isinstance(schema.get("format"), str) else set()
        return own.union(*(formats_in(each) for each in schema.values()))
    return set().union(*map(formats_in, schema)) if isinstance(schema, list) else set()


def template_of(rule: str) -> str:
    """Return the path of a route as the document has it."""
    return re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule)
