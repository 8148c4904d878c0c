"""The OpenAPI 3.1 document, written from the live schemas.

python -m sidelay.http.openapi openapi/examples > openapi/openapi.json
"""

from __future__ import annotations

import inspect
import json
import re
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from apispec import APISpec

from .. import __version__
from ..plant_time import QUEUE_WAYS
from ..processes import Processes
from .media_types import XJDF
from .openapi_gate import (
    LIMIT_FIELDS,
    PROBLEM_FIELDS,
    SCHEME,
    SECURITY_SCHEME,
    gate_problems,
    security,
)
from .openapi_intent import COMPONENTS, INTENT, reference
from .operations import OPERATIONS, Operation
from .press_schemas import press_schemas
from .problems import MEDIA_TYPE as PROBLEM_MEDIA_TYPE
from .problems import PROBLEM_TYPES, ProblemType
from .schemas.body import RequestSchema
from .schemas.catalogue import ProblemSchema
from .schemas.intent import DocumentRequestSchema
from .schemas.published import FieldsPlugin
from .shown import PARAMETERS

ABOUT = """\
Prices a printed piece on every press of a plant and says from which quantity each process wins.

- A length is in mm, a mass per area in g/m2, a share from 0 to 1; the unit is in the name of the
  member or in its x-unit (UCUM style).
- Money is a decimal string beside its ISO 4217 code. Each cost line is rounded once, half up, and
  totals are sums of rounded lines.
- null and absent mean the same in a request. Members that are not known are refused.
- Answers may gain members. Lists in x-extensible-enum are open: they may gain values.
- A moment is a date-time as RFC 3339 writes it, always with its offset from UTC.
- The same request on the same plant file gets the same bytes, if it tells its clock, as_of.
- Query parameters are ignored, but for those of POST /compare, POST /batch and products: there one
  that is not known, or given twice, is a fault. Its error has the member parameter, and # as
  pointer.
- Whoever asks is known by a key in the field X-API-Key. Its scopes say what it may see, its limits
  how often it may ask: RateLimit-Policy and RateLimit tell them, as
  draft-ietf-httpapi-ratelimit-headers-11 writes them.
- An operation that will go is deprecated first. Its answers then carry Deprecation (RFC 9745),
  Sunset (RFC 8594) once the day is set, and Link to what is written on it and what to call instead.
- Every answer carries X-Request-Id: the one sent, if it is 1 to 80 of A-Z a-z 0-9 . _ -, or a new
  one. Every error, those of the HTTP layer (404, 405 with Allow) included, is a problem (RFC 9457).
"""
_REQUEST_ID = {
    "X-Request-Id": {
        "description": "finds the request in the log",
        "schema": {"type": "string", "pattern": "^[A-Za-z0-9._-]{1,80}$"},
    }
}
_KEPT = {
    "ETag": {"description": "strong: the same bytes", "schema": {"type": "string"}},
    "Cache-Control": {
        "description": "for how long the answer may be kept, and by whom",
        "schema": {"type": "string"},
    },
    "Vary": {"description": "fields of the request that matter", "schema": {"type": "string"}},
}
_GOING = {
    "Deprecation": {
        "description": "since when it is deprecated: @ and seconds since 1970 (RFC 9745)",
        "schema": {"type": "string", "pattern": "^@[0-9]+$"},
    },
    "Sunset": {
        "description": "from when on it may be gone: an HTTP-date (RFC 8594)",
        "schema": {"type": "string"},
    },
    "Link": {
        "description": "what is written on it, and what to call instead (RFC 8288)",
        "schema": {"type": "string"},
    },
}
_UNCHANGED = {
    "description": "If-None-Match names the answer: it has not changed",
    "headers": _REQUEST_ID | _KEPT,
}
# What a schema says in code and marshmallow cannot publish.
_STOCK_WAYS = [
    {"required": ["id"]},
    {"required": ["grade", "grammage_gsm"]},
    {"required": ["grade", "basis_weight_lb", "basis"]},
]


def document(
    processes: Processes,
    examples: Mapping[str, Any] | None = None,
    operations: Sequence[Operation] = OPERATIONS,
) -> dict[str, Any]:
    """Return the OpenAPI document. examples: request bodies by name, shown with what takes them."""
    plugin = FieldsPlugin()
    spec = APISpec(
        title="sidelay",
        version=__version__,
        openapi_version="3.1.0",
        info={"description": ABOUT},
        servers=[{"url": "/"}],
        plugins=[plugin],
    )
    spec.components.security_scheme(SCHEME, dict(SECURITY_SCHEME))
    for kind in PROBLEM_TYPES.values():
        spec.components.response(kind.id, _problem_response(kind))
    for name, component in COMPONENTS.items():
        spec.components.schema(name, dict(component))
    for operation in operations:
        body = _operation(operation, examples or {})
        spec.path(
            operation.path,
            operations={operation.method: body},
            parameters=_parameters(operation),
        )
    for process_id, schema in press_schemas(processes).items():
        spec.components.schema(f"press_{process_id}", schema)
    written: dict[str, Any] = spec.to_dict()
    _describe(written["components"]["schemas"], plugin)
    return written


def read_examples(folder: Path) -> dict[str, Any]:
    """Return the request bodies in a folder (*.json) by the names of their files.

    Those with a document of product intent stand in its folder xjdf, and come last.
    """
    files = [*sorted(folder.glob("*.json")), *sorted(folder.glob("xjdf/*.json"))]
    return {file.stem: json.loads(file.read_bytes()) for file in files}


def _problem_response(*kinds: ProblemType) -> dict[str, Any]:
    """Return the response of one status: of one type of problem, or of several."""
    return {
        "description": "\n\n".join(f"{kind.title} ({kind.uri}). {kind.about}" for kind in kinds),
        "headers": {**_REQUEST_ID, **PROBLEM_FIELDS.get(kinds[0].status, {})},
        "content": {PROBLEM_MEDIA_TYPE: {"schema": ProblemSchema}},
    }


def _problems(operation: Operation) -> dict[str, Any]:
    """Return the problems that an operation can answer with, by status."""
    by_status: dict[int, list[ProblemType]] = {}
    for name in (*gate_problems(operation), *operation.problems):
        kind = PROBLEM_TYPES[name]
        by_status.setdefault(kind.status, []).append(kind)
    return {
        str(status): kinds[0].id if len(kinds) == 1 else _problem_response(*kinds)
        for status, kinds in sorted(by_status.items())
    }


def _operation(operation: Operation, examples: Mapping[str, Any]) -> dict[str, Any]:
    body: dict[str, Any] = {
        "operationId": operation.id,
        "summary": operation.summary,
        "description": operation.description,
        **({"deprecated": True} if operation.deprecated else {}),
        "security": security(operation),
        "responses": {
            "200": {
                "description": "The answer",
                "headers": _fields(operation),
                "content": _answer_contents(operation),
            },
            **({"304": _UNCHANGED} if operation.kept else {}),
            **_problems(operation),
        },
    }
    if operation.query or operation.more_query:
        body["parameters"] = [*_query(operation), *map(dict, operation.more_query)]
    if operation.request:
        body["requestBody"] = {"required": True, "content": _contents(operation, examples)}
    return body


def _contents(operation: Operation, examples: Mapping[str, Any]) -> dict[str, Any]:
    """Return what a body can be, by media type."""
    content: dict[str, Any] = {"schema": operation.request}
    if examples and operation.request is RequestSchema:
        content["examples"] = {
            name: {"summary": _title(example), "value": example}
            for name, example in examples.items()
        }
    if not operation.takes_intent:
        return {operation.media_type: content}
    intent = reference(INTENT)
    content["schema"] = {"anyOf": [operation.request, DocumentRequestSchema, intent]}
    return {operation.media_type: content, XJDF: {"schema": intent}}


def _title(example: Mapping[str, Any]) -> str:
    if "job" in example:
        return str(example["job"]["title"])
    return f"XJDF: {example['xjdf']['ProductList']['Product'][0]['DescriptiveName']}"


def _fields(operation: Operation) -> dict[str, Any]:
    limits = LIMIT_FIELDS if operation.needs else {}
    going = _GOING if operation.deprecated else {}
    return {**_REQUEST_ID, **(_KEPT if operation.kept else {}), **limits, **going}


def _parameters(operation: Operation) -> list[dict[str, Any]]:
    return [
        {"name": name, "in": "path", "required": True, "schema": {"type": "string"}}
        for name in re.findall(r"{(\w+)}", operation.path)
    ]


def _answer_contents(operation: Operation) -> dict[str, Any]:
    """Return what the answer can be, by media type: JSON too, but for what is text alone."""
    schema: Any = operation.answer or {"type": "object"}
    if isinstance(schema, tuple):
        schema = {"oneOf": list(schema)}
    is_text = operation.texts and operation.answer is None
    texts = {
        media_type: {"schema": {"type": "string", "description": told}}
        for media_type, told in operation.texts.items()
    }
    documents = {
        media_type: {"schema": reference(component)}
        for media_type, component in operation.documents.items()
    }
    return ({} if is_text else {operation.media_type: {"schema": schema}}) | texts | documents


def _query(operation: Operation) -> list[dict[str, Any]]:
    return [
        {
            "name": name,
            "in": "query",
            "description": PARAMETERS[name].about,
            "schema": _words(PARAMETERS[name].words),
        }
        for name in operation.query
    ]


def _words(words: tuple[str, ...]) -> dict[str, Any]:
    if not words:
        return {"type": "integer", "minimum": 1}
    return {"type": "string", "enum": list(words), "default": words[0]}


def _describe(components: dict[str, Any], plugin: FieldsPlugin) -> None:
    """Add to each component what its schema class says about itself."""
    for schema_class, name in plugin.components().items():
        components[name]["description"] = inspect.getdoc(schema_class)
    components["StockWish"]["oneOf"] = _STOCK_WAYS
    components["QueueAhead"]["oneOf"] = [{"required": [way]} for way in QUEUE_WAYS]


def main() -> None:
    """Print the document, with the examples of the folder that the first argument names."""
    examples = read_examples(Path(sys.argv[1])) if len(sys.argv) > 1 else {}
    print(json.dumps(document(Processes.discover(), examples), indent=2, ensure_ascii=False))


if __name__ == "__main__":
    main()
