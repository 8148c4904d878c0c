"""Quotes, and the answer of /quotes/check, member for member."""

from __future__ import annotations

from typing import get_args

from ..quotes import Status
from .answer_dates import instant
from .answer_fields import Answer, Money, one, text, whole


class QuoteTokenSchema(Answer):
    """A price that is promised until it expires, or until the plant's figures change."""

    token = text("to be sent back to /quotes/check; signed, not secret")
    expires_at = instant("from when on it no longer holds")


class QuotedSchema(Answer):
    """What a quote was given for."""

    plant = text("id of the plant")
    revision = text("of the plant file that it was priced by")
    group = text("customer group that it was given to; empty for everyone")
    job_fingerprint = text("of the job")
    quantity = whole("how many", "{piece}")
    net = Money(required=True, metadata={"description": "price promised, net of tax"})
    currency = text("ISO 4217")
    expires_at = instant("from when on it no longer holds")


class QuoteCheckedSchema(Answer):
    """What has become of a quote."""

    status = text("only a valid one binds the shop", words=get_args(Status))
    because = text("one sentence")
    checked_at = instant("by the clock of the service, in UTC")
    quote = one(QuotedSchema, "null where it was not signed here for the caller", nullable=True)
