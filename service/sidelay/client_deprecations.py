"""Tells in the log of the process that asks that an operation of the service will go.

A warning of logging and not of `warnings`: Python hides DeprecationWarning from all but the main
module, and what will go has to be seen where the process runs, in production.
"""

from __future__ import annotations

import logging
import re
from collections.abc import Mapping
from datetime import UTC, datetime

import requests

LOG = logging.getLogger("sidelay.client")
DEPRECATION, SUNSET = "Deprecation", "Sunset"
# A Date of structured fields (RFC 9651, 3.3.7), as RFC 9745 has it.
_MOMENT = re.compile(r"@(-?[0-9]{1,11})")
_told: set[str] = set()


def tell_deprecation(operation: str, response: requests.Response) -> None:
    """Warn once for each operation and process where an answer says that the operation will go.

    operation: its method and path, without ids
    """
    going = any(name in response.headers for name in (DEPRECATION, SUNSET))
    if going and operation not in _told:
        _told.add(operation)
        LOG.warning("%s", deprecation_text(operation, response.headers, response.links))


def deprecation_text(
    operation: str, fields: Mapping[str, str], links: Mapping[str, Mapping[str, str]]
) -> str:
    """Return what to tell, in one line. links: what the field Link names, by its relation"""
    going = []
    if DEPRECATION in fields:
        going.append(f"is deprecated{_day(fields[DEPRECATION])}")
    if SUNSET in fields:
        going.append(f"goes on {fields[SUNSET]}")
    named = (("successor-version", "instead"), ("deprecation", "see"))
    more = [f"; {word}: {links[rel]['url']}" for rel, word in named if rel in links]
    return f"{operation} {' and '.join(going)}{''.join(more)}"


def _day(since: str) -> str:
    found = _MOMENT.fullmatch(since.strip())
    try:
        day = datetime.fromtimestamp(int(found[1]), UTC).date() if found else None
    except (OverflowError, ValueError, OSError):
        day = None
    return f" since {day}" if day else ""
