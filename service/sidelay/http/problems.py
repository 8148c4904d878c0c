"""Every error as a problem (RFC 9457): one shape, stable types, all faults at once, no leaks."""

from __future__ import annotations

import json
import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from flask import Flask, Response, g
from werkzeug.exceptions import HTTPException

from .faults import Fault, InvalidRequest

MEDIA_TYPE = "application/problem+json"
# More faults than this are counted, not listed.
MOST_LISTED = 100

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class ProblemType:
    """One kind of problem. Its `type` is the path /problems/<id>, which tells what is said here.

    registered: a `type` of the registry of problem types (RFC 9457, 4.2) to use in its place
    """

    id: str
    status: int
    title: str
    about: str
    registered: str = ""

    @property
    def uri(self) -> str:
        """The `type` member of such a problem: a path on this service, or a registered one."""
        return self.registered or f"/problems/{self.id}"


PROBLEM_TYPES: Mapping[str, ProblemType] = MappingProxyType(
    {
        kind.id: kind
        for kind in (
            ProblemType(
                "not_json",
                400,
                "The body is not strict JSON",
                "The body must be one JSON object in UTF-8 without a byte order mark, no member "
                "twice, no NaN, at most 32 levels deep. The detail says where it is not.",
            ),
            ProblemType(
                "bad_request",
                400,
                "The request is malformed",
                "The request could not be read as HTTP.",
            ),
            ProblemType(
                "key_in_url",
                400,
                "A key stands in the URL",
                "A key goes in the field X-API-Key. URLs are kept in logs and histories: have a "
                "key that was in one revoked.",
            ),
            ProblemType(
                "key_missing",
                401,
                "A key is needed",
                "Send the key that the shop gave you in the field X-API-Key.",
            ),
            ProblemType(
                "unknown_key",
                401,
                "The key is not known",
                "It was never given out, or is revoked; or the field X-API-Key was sent twice. Ask "
                "the shop for a new one.",
            ),
            ProblemType(
                "scope_missing",
                403,
                "The key lacks a scope that this needs",
                "The detail names the scope. The shop decides which scopes a key has.",
            ),
            ProblemType(
                "origin_not_listed",
                403,
                "Pages of this origin may not ask",
                "A browser asked whether a page of another origin may send a request. The shop "
                "lists the origins whose pages may.",
            ),
            ProblemType(
                "not_found",
                404,
                "There is nothing here",
                "The path, or the id in it, is not known.",
            ),
            ProblemType(
                "method_not_allowed",
                405,
                "The method is not allowed here",
                "The Allow field lists the methods that are.",
            ),
            ProblemType(
                "not_acceptable",
                406,
                "The answer has none of the types accepted",
                "Answers are application/json; some paths have other types too, and the detail "
                "lists them. Whatever is accepted, an error is application/problem+json.",
            ),
            ProblemType(
                "body_too_large",
                413,
                "The body is too large",
                "The detail says how large it may be, or of how many lines.",
            ),
            ProblemType(
                "unsupported_media_type",
                415,
                "The body has a type that is not read here",
                "Send application/json, with charset=utf-8 or none, and not compressed. Some paths "
                "take other types too: the Accept field lists them.",
            ),
            ProblemType(
                "invalid_request",
                422,
                "The request cannot be met as it stands",
                "errors lists every fault with a JSON Pointer into the body or the name of a query "
                "parameter, a code and what was expected. Nothing was priced.",
            ),
            ProblemType(
                "quota_exceeded",
                429,
                "Too many requests",
                "violated-policies names the quota that is used up, RateLimit-Policy tells it, and "
                "Retry-After says in how many seconds to ask again. Nothing was priced.",
                "https://iana.org/assignments/http-problem-types#quota-exceeded",
            ),
            ProblemType(
                "internal",
                500,
                "Something went wrong on our side",
                "The request may be sent again. request_id finds the cause in the log.",
            ),
        )
    }
)
_BY_STATUS = MappingProxyType(
    {
        400: "bad_request",
        404: "not_found",
        405: "method_not_allowed",
        406: "not_acceptable",
        413: "body_too_large",
        415: "unsupported_media_type",
    }
)


class Problem(Exception):  # noqa: N818  (an answer to the caller, not a fault)
    """Ends a request with a problem of a known type.

    headers: further fields of the answer
    members: further members of the problem
    """

    def __init__(
        self,
        type_id: str,
        detail: str,
        headers: Mapping[str, str] | None = None,
        members: Mapping[str, Any] | None = None,
    ) -> None:
        super().__init__(detail)
        self.kind = PROBLEM_TYPES[type_id]
        self.detail = detail
        self.headers = dict(headers or {})
        self.members = dict(members or {})


def handle_problems(app: Flask) -> None:
    """Make every error of an app a problem."""
    app.register_error_handler(Problem, _problem)
    app.register_error_handler(InvalidRequest, _invalid)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(Exception, _internal)


def problem_of(fault: Exception) -> dict[str, Any]:
    """Return the problem that an error is answered with, but for its request_id.

    Of an error that is neither a Problem nor an InvalidRequest nothing is told.
    """
    if isinstance(fault, Problem):
        return _body(fault.kind, fault.detail, members=fault.members)
    if isinstance(fault, InvalidRequest):
        count = len(fault.faults)
        listed = fault.faults[:MOST_LISTED]
        more = f", the first {MOST_LISTED} of them listed" if count > MOST_LISTED else ""
        detail = f"{count} fault{'' if count == 1 else 's'} found{more}."
        return _body(PROBLEM_TYPES["invalid_request"], detail, listed)
    return _body(PROBLEM_TYPES["internal"], "The log tells more under this request_id.")


def _problem(problem: Problem) -> Response:
    return _json(problem_of(problem), problem.headers)


def _invalid(invalid: InvalidRequest) -> Response:
    return _json(problem_of(invalid))


def _http(fault: HTTPException) -> Response:
    """Answer a fault that Flask found itself, its further fields (Allow) kept."""
    headers = {
        name: value
        for name, value in fault.get_headers()
        if name.lower() not in ("content-type", "content-length")
    }
    status = fault.code or 500
    if status not in _BY_STATUS:
        body = {"type": "about:blank", "title": fault.name, "status": status, "detail": fault.name}
        return _json(body, headers)
    kind = PROBLEM_TYPES[_BY_STATUS[status]]
    return _json(_body(kind, _DETAILS.get(status, kind.about)), headers)


_DETAILS = {404: "No resource has this path."}


def _internal(fault: Exception) -> Response:
    log.error("request %s failed", g.request_id, exc_info=fault)
    return _json(problem_of(fault))


def _body(
    kind: ProblemType,
    detail: str,
    faults: Sequence[Fault] = (),
    members: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    body: dict[str, Any] = {
        "type": kind.uri,
        "title": kind.title,
        "status": kind.status,
        "detail": detail,
        **(members or {}),
    }
    if faults:
        body["errors"] = [_error(fault) for fault in faults]
    return body


def _error(fault: Fault) -> dict[str, str]:
    named = {"parameter": fault.parameter} if fault.parameter else {}
    return {"pointer": fault.pointer, **named, "code": fault.code, "detail": fault.detail}


def _json(body: dict[str, Any], headers: Mapping[str, str] | None = None) -> Response:
    text = json.dumps(body | {"request_id": g.request_id}, ensure_ascii=False, allow_nan=False)
    return Response(text, status=body["status"], mimetype=MEDIA_TYPE, headers=dict(headers or {}))
