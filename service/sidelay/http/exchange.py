"""What holds for every exchange: request ids, headers, media types in and out."""

from __future__ import annotations

import re
import uuid
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from flask import Flask, Request, Response, current_app, g, request
from werkzeug.datastructures import MIMEAccept
from werkzeug.exceptions import RequestEntityTooLarge

from .json_reader import NotJson, read_json
from .media_types import JSON
from .problems import Problem

REQUEST_ID = "X-Request-Id"
MOST_BYTES = "SIDELAY_MAX_BODY_BYTES"
# Prices are between the shop and the caller, and may change with the next plant file.
UNCACHED = "private, no-store"

_SANE_ID = re.compile(r"[A-Za-z0-9._-]{1,80}")
_OFFERED = "_sidelay_offered"

View = TypeVar("View", bound=Callable[..., Response])


def offers(*media_types: str) -> Callable[[View], View]:
    """Say of a view which types its answer can have, the default first; without, JSON alone."""

    def mark(view: View) -> View:
        setattr(view, _OFFERED, media_types)
        return view

    return mark


def prepare_exchanges(
    app: Flask, most_bytes: int, gate: Callable[[], Response | None]
) -> None:
    """Check every request before its route, and complete every answer after it.

    most_bytes: largest body that is read
    gate: says who asks, once the request has its id and before anything else of it is looked at
    """
    app.config[MOST_BYTES] = most_bytes
    app.config["MAX_CONTENT_LENGTH"] = most_bytes + 1
    app.before_request(_name_request)
    app.before_request(gate)
    app.before_request(_check_accept)
    app.after_request(_complete)


def read_body(incoming: Request, *also: str) -> dict[str, Any]:
    """Return the JSON object of a request's body. Raises Problem.

    also: media types that are read beside that of JSON
    """
    check_media_type(incoming, (JSON, *also))
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
    """Choose the type of the answer. What leads nowhere is a problem of its own, and says so."""
    if request.routing_exception is not None:
        return
    offered = _offered()
    g.media_type = negotiated(request.accept_mimetypes, offered)
    if g.media_type is None:
        only = " only" if len(offered) == 1 else ""
        raise Problem("not_acceptable", f"Answers here come as {' or '.join(offered)}{only}.")


def _offered() -> tuple[str, ...]:
    view = current_app.view_functions.get(request.endpoint or "")
    found: tuple[str, ...] = getattr(view, _OFFERED, (JSON,))
    return found


def negotiated(accepted: MIMEAccept, offered: Sequence[str]) -> str | None:
    """Return the type offered that is wanted most, None where none is wanted (RFC 9110, 12.5.1).

    The most specific range that matches a type says how much it is wanted. Of types wanted alike
    the one named beats the one that a range with * lets in, and then the first offered wins.
    Parameters of a range are not looked at.
    """
    if not accepted:
        return offered[0]
    best = max(offered, key=lambda media_type: _wanted(accepted, media_type))
    return best if _wanted(accepted, best)[0] > 0 else None


def _wanted(accepted: MIMEAccept, media_type: str) -> tuple[float, int]:
    """Return quality and specificity of the most specific range that matches a type."""
    ranges = ("*/*", f"{media_type.partition('/')[0]}/*", media_type)
    named = ((value.partition(";")[0].strip().lower(), quality) for value, quality in accepted)
    found = [(ranges.index(name), quality) for name, quality in named if name in ranges]
    specificity, quality = max(found, default=(0, 0.0))
    return quality, specificity


def check_media_type(incoming: Request, taken: Sequence[str]) -> None:
    """Raise Problem for a body of none of the media types taken, not in UTF-8, or compressed."""
    charset = incoming.mimetype_params.get("charset", "utf-8").lower()
    encoding = incoming.headers.get("Content-Encoding", "identity").lower()
    if incoming.mimetype not in taken or charset != "utf-8" or encoding != "identity":
        given = incoming.headers.get("Content-Type") or "no Content-Type"
        raise Problem(
            "unsupported_media_type",
            f"Send {' or '.join(taken)}, with charset=utf-8 or none and not compressed; "
            f"got {given[:200]}.",
            {"Accept": ", ".join(taken)},
        )


def _complete(response: Response) -> Response:
    response.headers[REQUEST_ID] = g.request_id
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers.setdefault("Cache-Control", UNCACHED)
    if len(_offered()) > 1:
        response.vary.add("Accept")
    return response
