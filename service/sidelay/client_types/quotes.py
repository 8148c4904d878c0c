"""Types of answers: quotes.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Literal, TypedDict


class QuoteToken(TypedDict):
    """A price that is promised until it expires, or until the plant's figures change."""

    token: str
    expires_at: str


class Quoted(TypedDict):
    """What a quote was given for."""

    plant: str
    revision: str
    group: str
    job_fingerprint: str
    quantity: int
    net: str
    currency: str
    expires_at: str


class QuoteCheckedAnswer(TypedDict):
    """What has become of a quote."""

    status: Literal["valid", "expired", "altered", "superseded"]
    because: str
    checked_at: str
    quote: Quoted | None
