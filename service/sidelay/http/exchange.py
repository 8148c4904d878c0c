"""What holds for every exchange: request ids, headers, media types in and out."""

from __future__ import annotations

import re
import uuid
from typing import Any

from flask import Flask, Request, Response, current_app, g, request
from werkzeug.exceptions import RequestEntityTooLarge

from .json_reader import NotJson, read_json
from .problems import Problem

MEDIA_TYPE = "application/json"
REQUEST_ID = "X-Request-Id"
MOST_BYTES = "SIDELAY_MAX_BODY_BYTES"
# Prices are between the shop and the caller, and may change with the next plant file.
UNCACHED = "private, no-store"

_SANE_ID = re.compile(r"[A-Za-z0-9._-]{1,80}")


def prepare_exchanges(app: Flask, most_bytes: int) -> None:
    """Check every request before its route, and complete every answer after it.

    most_bytes: largest body that is read
    """
    app.config[MOST_BYTES] = most_bytes
    app.config["MAX_CONTENT_LENGTH"] = most_bytes + 1
    app.before_request(_name_request)
    app.before_request(_check_accept)
    app.after_request(_complete)


def read_body(incoming: Request) -> dict[str, Any]:
    """Return the JSON object of a request's body. Raises Problem."""
    _check_media_type(incoming)
    try:
        return read_json(_bytes(incoming))
    except NotJson as fault:
        raise Problem("not_json", str(fault)) from None


def _bytes(incoming: Request) -> bytes:
    """Return the body. A chunked one is cut at the limit in silence: one byte more tells."""
    most = current_app.config[MOST_BYTES]
    try:
        body = incoming.get_data(cache=False)
    except RequestEntityTooLarge:
        body = None
    if body is None or len(body) > most:
        raise Problem("body_too_large", f"A body of at most {most:,} bytes is read.")
    return body


def _name_request() -> None:
    given = request.headers.get(REQUEST_ID, "")
    g.request_id = given if _SANE_ID.fullmatch(given) else uuid.uuid4().hex


def _check_accept() -> None:
    accepted = request.accept_mimetypes
    if accepted and not accepted[MEDIA_TYPE]:
        raise Problem("not_acceptable", f"Answers here come as {MEDIA_TYPE} only.")


def _check_media_type(incoming: Request) -> None:
    charset = incoming.mimetype_params.get("charset", "utf-8").lower()
    encoding = incoming.headers.get("Content-Encoding", "identity").lower()
    if incoming.mimetype != MEDIA_TYPE or charset != "utf-8" or encoding != "identity":
        given = incoming.headers.get("Content-Type") or "no Content-Type"
        raise Problem(
            "unsupported_media_type",
            f"Send {MEDIA_TYPE}, with charset=utf-8 or none and not compressed; got {given[:200]}.",
            {"Accept": MEDIA_TYPE},
        )


def _complete(response: Response) -> Response:
    response.headers[REQUEST_ID] = g.request_id
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers.setdefault("Cache-Control", UNCACHED)
    return response
