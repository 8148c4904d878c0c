"""The origins of pages that may ask, written exactly as browsers send them (RFC 6454, 6.2)."""

from __future__ import annotations

import re
from urllib.parse import SplitResult, urlsplit

from marshmallow import ValidationError

DEFAULT_PORTS = {"http": 80, "https": 443}
_HOST = re.compile(r"[a-z0-9]([a-z0-9.-]*[a-z0-9])?|\[[0-9a-f:.]+\]")
EXPECTED = "expected an origin, scheme://host or scheme://host:port, as https://shop.example"


def check_origin(text: str) -> None:
    """Raise ValidationError, saying what to write, unless this is what a browser would send.

    Origins are compared as texts, so that one written otherwise would never match.
    """
    if text == "*":
        raise ValidationError("* would let in every page: list the origins, each by itself")
    if text == "null":
        raise ValidationError(
            "null is the origin of files and sandboxed frames, whosever they are: serve the page "
            "over https and list where from"
        )
    written = _written(text)
    if written != text:
        raise ValidationError(f"{EXPECTED}; for this one write {written}")


def _written(text: str) -> str:
    """Return the origin of a URL as a browser writes it. Raises ValidationError if it has none."""
    try:
        parts = urlsplit(text)
        port = parts.port
    except ValueError:
        raise ValidationError(EXPECTED) from None
    host = _host(parts)
    if parts.scheme not in DEFAULT_PORTS or not _HOST.fullmatch(host):
        raise ValidationError(EXPECTED)
    told = "" if port in (None, DEFAULT_PORTS[parts.scheme]) else f":{port}"
    return f"{parts.scheme}://{host}{told}"


def _host(parts: SplitResult) -> str:
    """Return a host in lower case and ASCII, "" if it has no such form."""
    host = (parts.hostname or "").lower()
    if ":" in host:
        return f"[{host}]"
    try:
        return host if host.isascii() else host.encode("idna").decode()
    except UnicodeError:
        return ""
