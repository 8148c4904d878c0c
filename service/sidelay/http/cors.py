"""Lets pages of listed origins ask from a browser: CORS, as the Fetch standard (WHATWG) has it.

Never with credentials: a key is a field that the page's own script sets, and there are no cookies.
"""

from __future__ import annotations

from collections.abc import Collection

from flask import Response, current_app, request

from .problems import Problem

METHOD_ASKED = "Access-Control-Request-Method"
ALLOWED_FIELDS = "Content-Type, X-API-Key, X-Request-Id, If-None-Match"
EXPOSED_FIELDS = (
    "ETag, Retry-After, RateLimit, RateLimit-Policy, Server-Timing, Deprecation, Sunset, Link, "
    "X-Request-Id, Content-Language"
)
# For how long a browser need not ask again [s].
MAX_AGE_S = 600


def is_preflight() -> bool:
    """Whether the request is a browser's question whether a page may send another one."""
    fields = request.headers
    return request.method == "OPTIONS" and "Origin" in fields and METHOD_ASKED in fields


def preflight(origins: Collection[str]) -> Response:
    """Answer a preflight. Raises Problem for an origin that is not listed."""
    if request.headers["Origin"] not in origins:
        raise Problem(
            "origin_not_listed", "Pages of this origin may not ask; the shop keeps the list."
        )
    response = Response(status=204)
    del response.headers["Content-Type"]
    methods = sorted(current_app.make_default_options_response().allow)
    response.headers["Access-Control-Allow-Methods"] = ", ".join(methods)
    response.headers["Access-Control-Allow-Headers"] = ALLOWED_FIELDS
    response.headers["Access-Control-Max-Age"] = str(MAX_AGE_S)
    return response


def share(response: Response, origins: Collection[str]) -> None:
    """Let a page of a listed origin read an answer; caches are told that the origin matters."""
    if not origins:
        return
    response.vary.add("Origin")
    origin = request.headers.get("Origin", "")
    if origin not in origins:
        return
    response.headers["Access-Control-Allow-Origin"] = origin
    if not is_preflight():
        response.headers["Access-Control-Expose-Headers"] = EXPOSED_FIELDS
