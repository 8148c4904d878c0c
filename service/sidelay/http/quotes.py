"""Quotes: prices that are signed, and hold for a while; checked without anything being stored.

A quote tells what was priced by the fingerprint of the job, how many, the price, and which state of
the plant file it was made by. It never tells a cost.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any, Literal

from itsdangerous import BadData, URLSafeSerializer

# Part of the key: a signature for anything else is none for a quote.
PURPOSE = "sidelay quote"
Status = Literal["valid", "expired", "altered", "superseded"]


@dataclass(frozen=True, slots=True)
class Quote:
    """A price that is promised.

    group: customer group that it is for, "" for everyone
    net: price without tax for all copies, a decimal text in the currency
    expires_at: instant from which it no longer holds [s since 1970, UTC]
    """

    plant: str
    revision: str
    group: str
    job_fingerprint: str
    quantity: int
    net: str
    currency: str
    expires_at: int


class Quotes:
    """Signs quotes with the first of some keys, and reads those that any of them signed."""

    def __init__(self, keys: Sequence[str]) -> None:
        """keys: the one that signs, and one before it whose quotes still hold; none, no quotes."""
        self._serializer = (
            URLSafeSerializer(
                list(reversed(keys)),  # the library signs with the last
                salt=PURPOSE,
                signer_kwargs={"key_derivation": "hmac", "digest_method": hashlib.sha256},
            )
            if keys
            else None
        )

    @property
    def are_signed(self) -> bool:
        """Whether there is a key to sign with."""
        return self._serializer is not None

    def sign(self, quote: Quote) -> str | None:
        """Return the token of a quote: the same for the same quote; None without a key."""
        if self._serializer is None:
            return None
        signed = self._serializer.dumps(list(asdict(quote).values()))
        return signed if isinstance(signed, str) else signed.decode("ascii")

    def read(self, token: str) -> Quote | None:
        """Return the quote of a token; None where none of the keys signed it as it stands."""
        if self._serializer is None:
            return None
        try:
            told: Any = self._serializer.loads(token)
        except BadData:
            return None
        wanted = list(Quote.__annotations__.values())
        kinds = [type(value).__name__ for value in told] if isinstance(told, list) else []
        return Quote(*told) if kinds == wanted else None


def checked(
    quote: Quote | None, revisions: dict[str, str], now: int, ordered: dict[str, Any]
) -> tuple[Status, str]:
    """Return what has become of a quote, and why.

    quote: None where its token was not signed as it stands
    revisions: of the plants now, by id
    ordered: members of Quote that an order has, as it has them
    """
    if quote is None:
        return "altered", "The token was not signed here as it stands: altered, cut, or foreign."
    for name, value in ordered.items():
        if getattr(quote, name) != value:
            told = name.replace("_", " ")
            return "altered", f"The order has another {told} than the quote."
    if quote.expires_at <= now:
        return "expired", "The quote held until it expired; ask for the price again."
    if revisions.get(quote.plant) != quote.revision:
        return "superseded", "The plant's figures have changed since; ask for the price again."
    return "valid", "The price holds."
