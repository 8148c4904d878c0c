"""What the OpenAPI document says of keys, scopes and limits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from .callers import CHALLENGE, KEY_FIELD, POLICY, SCOPES
from .operations import GUARDED, UNGUARDED, Operation

SCHEME = "key"
SECURITY_SCHEME: Mapping[str, Any] = {
    "type": "apiKey",
    "in": "header",
    "name": KEY_FIELD,
    "description": "A key that the shop gave out, in this field and never in the URL. Each has "
    f"some of the scopes {', '.join(SCOPES)}; cost includes price, and an operation names the one "
    "that it needs. A service whose access file says so answers without a key too.",
}


def _text(about: str, pattern: str = "") -> dict[str, Any]:
    schema = {"type": "string"} | ({"pattern": pattern} if pattern else {})
    return {"description": about, "schema": schema}


LIMIT_FIELDS: Mapping[str, Any] = {
    "RateLimit-Policy": _text(
        "requests allowed (q) in each window of w seconds; absent where there is no limit",
        rf'^"{POLICY}";q=[0-9]+;w=[0-9]+$',
    ),
    "RateLimit": _text(
        "requests left (r) in this window, which ends in t seconds",
        rf'^"{POLICY}";r=[0-9]+;t=[0-9]+$',
    ),
}
# By status: the fields of the problems of the gate.
PROBLEM_FIELDS: Mapping[int, Mapping[str, Any]] = {
    401: {"WWW-Authenticate": _text(f"{CHALLENGE}: the key in the field {KEY_FIELD}")},
    429: {**LIMIT_FIELDS, "Retry-After": _text("seconds until the next window", "^[0-9]+$")},
}


def security(operation: Operation) -> list[dict[str, list[str]]]:
    """Return the security of an operation: a key with the scope, or none where none is needed."""
    return [{SCHEME: [operation.needs]}, {}] if operation.needs else []


def gate_problems(operation: Operation) -> tuple[str, ...]:
    """Return the ids of the problems that an operation can meet at the gate."""
    return UNGUARDED + (GUARDED if operation.needs else ())
