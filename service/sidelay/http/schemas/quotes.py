"""The body of POST /quotes/check."""

from __future__ import annotations

from .fields import Between, Long, Strict, Text, Whole

MOST_TOKEN = 2_000


class QuoteCheckSchema(Strict):
    """A quote, and what was ordered on it where that is to be compared."""

    token = Text(
        required=True,
        validate=Long(1, MOST_TOKEN),
        metadata={"description": "the token of a quote, as it was given"},
    )
    job_fingerprint = Text(
        validate=Long(1, 64),
        metadata={"description": "of the job ordered; another than the quote's is told as altered"},
    )
    quantity = Whole(
        validate=Between(1, 100_000_000),
        metadata={"description": "ordered", "x-unit": "{piece}"},
    )
    net = Text(
        validate=Long(1, 30), metadata={"description": "price ordered at, as the quote writes it"}
    )
    currency = Text(validate=Long(3, 3), metadata={"description": "ISO 4217"})
