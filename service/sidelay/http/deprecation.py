"""What is said of an operation that will go: since when, until when, and what to call instead."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from urllib.parse import quote

from werkzeug.http import http_date

DEPRECATION, SUNSET, LINK = "Deprecation", "Sunset", "Link"
_NAME = re.compile(r"{(\w+)}")


@dataclass(frozen=True, slots=True)
class Deprecation:
    """An operation that is not to be used in anything new.

    since: from when on, with its offset
    docs: URL of what is written on it: why, and what to do
    sunset: from when on it may be gone, not before `since`; None where that is not known
    successor: path of the operation to call instead, with the same names in it; "" for none

    Raises ValueError for moments without an offset, or in the wrong order.
    """

    since: datetime
    docs: str
    sunset: datetime | None = None
    successor: str = ""

    def __post_init__(self) -> None:
        if any(at is not None and at.tzinfo is None for at in (self.since, self.sunset)):
            raise ValueError("a moment needs its offset")
        if self.sunset is not None and self.sunset < self.since:
            raise ValueError("nothing goes before it is deprecated (RFC 9745, 4)")


def response_fields(told: Deprecation, chosen: Mapping[str, str]) -> dict[str, str]:
    """Return the fields that an answer says it with.

    Deprecation: RFC 9745, a Date of structured fields; Sunset: RFC 8594, an HTTP-date. Both in
    whole seconds, as they are written. Link (RFC 8288): the relations of the two, both to what is
    written on it, and successor-version (RFC 5829).

    chosen: values of the names in the path that was asked
    """
    links = [f'<{told.docs}>; rel="deprecation"']
    fields = {DEPRECATION: f"@{int(told.since.timestamp())}"}
    if told.sunset is not None:
        fields[SUNSET] = http_date(told.sunset)
        links.append(f'<{told.docs}>; rel="sunset"')
    if told.successor:
        links.append(f'<{_filled(told.successor, chosen)}>; rel="successor-version"')
    return {**fields, LINK: ", ".join(links)}


def names_in(path: str) -> list[str]:
    """Return the names in braces that stand for values in a path."""
    return _NAME.findall(path)


def _filled(path: str, chosen: Mapping[str, str]) -> str:
    return _NAME.sub(lambda found: quote(str(chosen[found[1]]), safe=""), path)
