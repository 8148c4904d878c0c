"""The document is valid, current, complete, and says what the service does."""

from __future__ import annotations

import ast
import json
import re
from pathlib import Path
from typing import Any

from apispec import APISpec
from flask import Flask
from marshmallow import Schema, validate
from openapi_spec_validator import validate as validate_document

import sidelay
from sidelay.http.faults import FAULT_CODES
from sidelay.http.openapi import document as write_document
from sidelay.http.openapi import read_examples
from sidelay.http.problems import PROBLEM_TYPES
from sidelay.http.schemas.answer_fields import money
from sidelay.http.schemas.answers import CORE_FINDINGS
from sidelay.http.schemas.fields import Between, Figure
from sidelay.http.schemas.published import FieldsPlugin
from sidelay.processes import Processes

OPENAPI = Path(__file__).parents[2] / "openapi"
PACKAGE = Path(sidelay.__file__).parent


def test_it_is_valid(document: dict[str, Any]) -> None:
    validate_document(document)


def test_the_file_is_current() -> None:
    """Mend with: python -m sidelay.http.openapi openapi/examples > openapi/openapi.json"""
    written = write_document(Processes.discover(), read_examples(OPENAPI / "examples"))
    text = json.dumps(written, indent=2, ensure_ascii=False) + "\n"
    assert (OPENAPI / "openapi.json").read_text(encoding="utf-8") == text


def test_the_served_document_is_the_file_without_the_examples(document: dict[str, Any]) -> None:
    file = json.loads((OPENAPI / "openapi.json").read_bytes())
    shown = set()
    for operation in (item["post"] for item in file["paths"].values() if "post" in item):
        content = operation["requestBody"]["content"].get("application/json", {})
        shown |= content.pop("examples", {}).keys()
    assert document == file
    examples = OPENAPI / "examples"
    files = [*examples.glob("*.json"), *examples.glob("xjdf/*.json")]
    assert shown == {path.stem for path in files}


def test_every_route_is_documented_and_every_operation_has_a_route(
    app: Flask, document: dict[str, Any]
) -> None:
    routed = {
        (method.lower(), re.sub(r"<(\w+)>", r"{\1}", rule.rule))
        for rule in app.url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
    }
    documented = {
        (method, path)
        for path, item in document["paths"].items()
        for method in item.keys() & {"get", "post", "put", "patch", "delete"}
    }
    assert routed == documented


def test_every_problem_and_every_fault_code_is_told(document: dict[str, Any]) -> None:
    responses = document["components"]["responses"]
    assert responses.keys() == PROBLEM_TYPES.keys()
    assert all(PROBLEM_TYPES[name].uri in responses[name]["description"] for name in responses)
    error = document["components"]["schemas"]["Error"]["properties"]
    assert set(error["code"]["x-extensible-enum"]) == set(FAULT_CODES)


def test_every_finding_of_the_core_is_told(document: dict[str, Any]) -> None:
    found = set()
    for file in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = getattr(node.func, "id", "")
            place = {"Finding": 1, "above": 0, "below": 0, "outside": 0}.get(name)
            if place is None or _is_passed_on(node.args[place], file):
                continue
            code = node.args[place]
            assert isinstance(code, ast.Constant), f"{file.name}: write the code out"
            found.add(code.value)
    assert found == set(CORE_FINDINGS)
    finding = document["components"]["schemas"]["Finding"]["properties"]
    assert set(finding["code"]["x-extensible-enum"]) == found


def _is_passed_on(code: ast.expr, file: Path) -> bool:
    """Whether the helpers of limits.py pass on the code that they were given."""
    return file.name == "limits.py" and isinstance(code, ast.Name)


def published(field: Any) -> dict[str, Any]:
    """How one field is published."""
    plugin = FieldsPlugin(schema_name_resolver=lambda _: "")
    APISpec("t", "1", "3.1.0", plugins=[plugin])
    schema: Any = plugin.json_schema(Schema.from_dict({"it": field})())
    return schema["properties"]["it"]


def test_money_is_published_as_the_string_it_is() -> None:
    told = published(money("for all pieces"))
    assert (told["type"], told["format"]) == ("string", "decimal")
    assert re.fullmatch(told["pattern"], "1234.50")
    assert re.fullmatch(told["pattern"], "1234")
    assert not re.fullmatch(told["pattern"], "1e3")
    assert not re.fullmatch(told["pattern"], "-1.00")


def test_ranges_are_published_as_they_are_checked() -> None:
    told = published(Figure(validate=Between(0, 20)))
    assert (told["type"], told["minimum"], told["maximum"]) == ("number", 0, 20)
    assert "exclusiveMinimum" not in told


def test_no_range_excludes_its_ends() -> None:
    """A range that does would be published wrongly: it needs exclusiveMinimum as well."""
    schemas = our_schemas()
    assert len(schemas) > 20
    for schema in schemas:
        for field in schema().fields.values():
            for check in field.validators:
                if isinstance(check, validate.Range):
                    assert check.min_inclusive, (schema, field.name)
                    assert check.max_inclusive, (schema, field.name)


def our_schemas() -> list[type[Schema]]:
    """Every schema class of the service and its plug-ins."""
    found, todo = [], [Schema]
    while todo:
        for subclass in todo.pop().__subclasses__():
            todo.append(subclass)
            if subclass.__module__.startswith("sidelay"):
                found.append(subclass)
    return found


def test_every_component_and_every_member_is_described(document: dict[str, Any]) -> None:
    """Members of requests may be told by their schema; those of answers say what they are."""
    schemas = document["components"]["schemas"]
    assert all(schema.get("description") for schema in schemas.values())
    for name in ("Estimate", "Comparison", "Choice", "OfferPart", "Layout", "Line", "Problem"):
        for member, told in schemas[name]["properties"].items():
            assert told.get("description"), f"{name}.{member}"


def test_patterns_are_written_for_every_language(document: dict[str, Any]) -> None:
    patterns = re.findall(r'"pattern": "(.*?)"[,}]', json.dumps(document))
    assert len(patterns) > 5
    for pattern in patterns:
        assert pattern.startswith("^"), pattern
        assert pattern.endswith("$"), pattern
        assert r"\Z" not in pattern


def test_a_batch_is_told_by_its_lines(document: dict[str, Any]) -> None:
    told = document["paths"]["/batch"]["post"]
    component = "#/components/schemas/{}".format
    (sent,) = told["requestBody"]["content"].items()
    assert sent == ("application/x-ndjson", {"schema": {"$ref": component("BatchLine")}})
    (got,) = told["responses"]["200"]["content"].items()
    lines = [{"$ref": component(name)} for name in ("BatchAnswer", "BatchDone")]
    assert got == ("application/x-ndjson", {"schema": {"oneOf": lines}})
    line = document["components"]["schemas"]["BatchLine"]
    bodies = ("Request", "DocumentRequest", "ProductIntent")
    asked = [{"$ref": component(name)} for name in bodies]
    assert line["properties"]["request"]["anyOf"] == asked
    assert line["required"] == ["request"]
    assert line["additionalProperties"] is False


def test_operation_ids_differ(document: dict[str, Any]) -> None:
    ids = [
        o["operationId"]
        for item in document["paths"].values()
        for o in item.values()
        if isinstance(o, dict)
    ]
    assert len(set(ids)) == len(ids) == len(document["paths"])


def test_what_choices_are_ranked_by_is_a_word_or_weights(document: dict[str, Any]) -> None:
    schemas = document["components"]["schemas"]
    word, weights = schemas["Request"]["properties"]["rank_by"]["oneOf"]
    assert word == {"type": "string", "enum": ["price", "cost", "readiness"]}
    assert weights == {"$ref": "#/components/schemas/Weights"}
    members = schemas["Weights"]["properties"]
    assert list(members) == word["enum"]
    assert all((told["minimum"], told["maximum"]) == (0, 1) for told in members.values())
