"""Writes the quotes of one answer: each price signed, for how long the plant says."""

from __future__ import annotations

from dataclasses import dataclass

from ..plant import Plant
from .moments import moment_text
from .quotes import Quote, Quotes

HOUR_S = 3600


@dataclass(frozen=True, slots=True)
class QuoteWriter:
    """Signs prices of one job on one plant for one customer group.

    expires_at: instant from which they no longer hold [s since 1970, UTC]
    """

    quotes: Quotes
    plant: Plant
    group: str
    job_fingerprint: str
    expires_at: int

    def write(self, quantity: int, net: str) -> dict[str, str] | None:
        """Return the quote of a price; None where the service has no key."""
        quote = Quote(
            plant=self.plant.id,
            revision=self.plant.revision,
            group=self.group,
            job_fingerprint=self.job_fingerprint,
            quantity=quantity,
            net=net,
            currency=self.plant.currency,
            expires_at=self.expires_at,
        )
        token = self.quotes.sign(quote)
        if token is None:
            return None
        return {
            "token": token,
            "expires_at": moment_text(self.expires_at, self.plant.time.zone),
        }
