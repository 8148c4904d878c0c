"""Answers that caches may keep: entity tags, 304, and for how long (RFC 9110, RFC 9111).

A tag is made of the canonical request and all that its answer rests on, so that whoever has the
answer is told so before anything is priced again.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import Any

import orjson
from flask import Response, request

from .exchange import UNCACHED
from .kept_answers import Kept, KeptAnswers
from .media_types import JSON

VARY = "Accept-Language, X-API-Key"


@dataclass(frozen=True, slots=True)
class Wanted:
    """A request, read far enough to name its answer.

    canonical: all that the answer rests on, as plain data
    language: of its texts
    make: works the answer out: its bytes, and whether they may be kept
    """

    canonical: Any
    language: str
    make: Callable[[], tuple[bytes, bool]]


@dataclass(frozen=True, slots=True)
class Keeping:
    """How an answer may be kept: by whom, and how long [s]; 0 is asked again each time."""

    public: bool
    max_age_s: int

    def __str__(self) -> str:
        """Write it as Cache-Control has it."""
        who = "public" if self.public else "private"
        if self.max_age_s <= 0:
            return f"{who}, no-cache"
        return f"{who}, max-age={self.max_age_s}, must-revalidate"


def tag_of(canonical: Any) -> str:
    """Return the strong entity tag of an answer, with its quotation marks."""
    written = orjson.dumps(canonical, option=orjson.OPT_SORT_KEYS)
    return f'"{hashlib.sha256(written).hexdigest()[:32]}"'


def answered(
    key: Hashable | None, kept: KeptAnswers, keeping: Keeping, read: Callable[[], Wanted]
) -> Response:
    """Return the answer of the request at hand: kept, 304, or worked out.

    key: tells requests apart that may have different answers; None where it would be too long
    read: reads the request where nothing is kept; it may raise what the request is refused with
    """
    found = None if key is None else kept.get(key)
    if found is None:
        wanted = read()
        tag = tag_of(wanted.canonical)
        if _has(tag):
            return _unchanged(tag, wanted.language, keeping)
        found = kept.get(tag)  # the same may have been asked in other words
        if found is None:
            body, may_be_kept = wanted.make()
            if not may_be_kept:
                return without_tag(Response(body, mimetype=JSON), wanted.language)
            found = Kept(body, tag, wanted.language)
            kept.keep(tag, found)
        if key is not None:
            kept.keep(key, found)
    elif _has(found.tag):
        return _unchanged(found.tag, found.language, keeping)
    response = Response(found.body, mimetype=JSON)
    response.headers["ETag"] = found.tag
    return _with_fields(response, found.language, str(keeping))


def unless_kept(tag: str, language: str, keeping: Keeping) -> Response | None:
    """Return 304 where the caller has the answer of this tag already, None where it has not."""
    return _unchanged(tag, language, keeping) if _has(tag) else None


def with_tag(response: Response, tag: str, language: str, keeping: Keeping) -> Response:
    """Return an answer with the fields that let caches keep it."""
    response.headers["ETag"] = tag
    return _with_fields(response, language, str(keeping))


def without_tag(response: Response, language: str) -> Response:
    """Return an answer that nobody may keep."""
    return _with_fields(response, language, UNCACHED)


def _has(tag: str) -> bool:
    """Whether If-None-Match names the tag: compared weakly (RFC 9110, 13.1.2)."""
    if "If-None-Match" not in request.headers:
        return False
    return request.if_none_match.contains_weak(tag[1:-1])


def _unchanged(tag: str, language: str, keeping: Keeping) -> Response:
    response = Response(status=304)
    del response.headers["Content-Type"]
    response.headers["ETag"] = tag
    return _with_fields(response, language, str(keeping))


def _with_fields(response: Response, language: str, cache_control: str) -> Response:
    response.headers["Cache-Control"] = cache_control
    response.headers["Vary"] = VARY
    if response.status_code != 304 and language:
        response.headers["Content-Language"] = language
    return response
