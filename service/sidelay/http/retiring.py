"""Tells whoever calls an operation that will go, in every answer of it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from flask import Flask, Response, request

from .deprecation import LINK, Deprecation, response_fields
from .operations import OPERATIONS, Operation

_NAMED = re.compile(r"<(?:\w+:)?(\w+)>")


def tell_deprecations(app: Flask, operations: Iterable[Operation] = OPERATIONS) -> None:
    """Let every answer of a deprecated operation say so, problems included.

    HEAD is told as GET. A browser's preflight asks of no operation, and is told nothing.
    """
    going: Mapping[tuple[str, str], Deprecation] = {
        (each.method.upper(), each.path): each.deprecated for each in operations if each.deprecated
    }

    def tell(response: Response) -> Response:
        if request.url_rule is None:
            return response
        method = "GET" if request.method == "HEAD" else request.method
        told = going.get((method, _NAMED.sub(r"{\1}", request.url_rule.rule)))
        if told is None:
            return response
        fields = response_fields(told, request.view_args or {})
        response.headers.add(LINK, fields.pop(LINK))  # an answer may have links of its own
        response.headers.update(fields)
        return response

    if going:
        app.after_request(tell)
