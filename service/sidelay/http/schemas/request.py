"""Loads a request body and tells every fault with its path and code."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from marshmallow import ValidationError

from ..faults import Fault, Path
from .body import RequestSchema
from .fields import Told


@cache
def _request_schema() -> RequestSchema:
    return RequestSchema()


def load_request(body: Mapping[str, Any]) -> tuple[dict[str, Any], list[Fault]]:
    """Return what is valid of a body, defaults filled in, and every fault.

    A member with a fault may still stand in the data, in part: ask the faults before using it.
    """
    try:
        return _request_schema().load(body), []
    except ValidationError as found:
        valid = found.valid_data if isinstance(found.valid_data, dict) else {}
        return valid, list(faults_of(found))


def faults_of(found: ValidationError) -> Iterator[Fault]:
    """Yield every fault that a schema found."""
    return _faults(found.messages, ())


def _faults(messages: Any, path: Path) -> Iterator[Fault]:
    """Flatten marshmallow's nested messages; "_schema" stands for the object itself."""
    if isinstance(messages, dict):
        for key, inner in messages.items():
            yield from _faults(inner, path if key == "_schema" else (*path, key))
        return
    for message in messages:
        if isinstance(message, Told):
            yield Fault(path, message.code, message.detail)
        else:
            yield from _faults(message if isinstance(message, dict) else [], path)
