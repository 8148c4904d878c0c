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
# A Date of structured fields (RFC 9651, 3.3.7), as RFC 9745 has it.
_MOMENT = re.compile(r"@(-?[0-9]{1,11})")
_told: set[str] = set()


def tell_deprecation(operation: str, response: requests.Response) -> None:
    """Warn once for each operation and process where an answer says that the operation will go.

    operation: its method and path, without ids
    """
    since = response.headers.get("Deprecation")
    if since is None or operation in _told:
        return
    _told.add(operation)
    LOG.warning("%s", deprecation_text(operation, since, response.headers, response.links))


def deprecation_text(
    operation: str,
    since: str,
    fields: Mapping[str, str],
    links: Mapping[str, Mapping[str, str]],
) -> str:
    """Return what to tell, in one line. since: the field Deprecation; links: by their relation"""
    told = f"{operation} is deprecated{_day(since)}"
    if "Sunset" in fields:
        told += f" and goes on {fields['Sunset']}"
    named = (("successor-version", "instead"), ("deprecation", "see"))
    more = (f"; {word}: {links[rel]['url']}" for rel, word in named if rel in links)
    return told + "".join(more)


def _day(since: str) -> str:
    found = _MOMENT.fullmatch(since.strip())
    try:
        day = datetime.fromtimestamp(int(found[1]), UTC).date() if found else None
    except (OverflowError, ValueError, OSError):
        day = None
    return f" since {day}" if day else ""
