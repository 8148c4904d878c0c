"""Public holidays by country and subdivision, from the library `holidays`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date


class NoSuchCountry(LookupError):  # noqa: N818  (an answer to who wrote it, not a fault)
    """A country or subdivision that the library does not know; the message lists what it does."""


@dataclass(frozen=True, slots=True)
class Holidays:
    """The public holidays of a country (ISO 3166-1) or one subdivision of it (ISO 3166-2 suffix).

    Raises NoSuchCountry where it is made of codes that are not known.
    """

    country: str
    subdivision: str = ""

    def of_year(self, year: int) -> Mapping[date, str]:
        """Return the holidays of a year by date, with their English names where there are any."""
        raise NotImplementedError
