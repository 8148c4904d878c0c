"""Public holidays by country and subdivision, from the library `holidays`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from holidays import HolidayBase

YEARS_KEPT = 1024


class NoSuchCountry(LookupError):  # noqa: N818  (an answer to who wrote it, not a fault)
    """A country or subdivision that the library does not know; the message lists what it does."""


@dataclass(frozen=True, slots=True)
class Holidays:
    """The public holidays of a country (ISO 3166-1) or one subdivision of it (ISO 3166-2 suffix).

    country: two letters, GB say; subdivision: ENG say, "" for what holds in the whole country
    Raises NoSuchCountry where it is made of codes that are not known.
    """

    country: str
    subdivision: str = ""

    def __post_init__(self) -> None:
        _known(self.country, self.subdivision)

    def of_year(self, year: int) -> Mapping[date, str]:
        """Return the holidays of a year by date, with their English names where there are any.

        A holiday that is observed on another day because of a weekend is there on both. Years for
        which the library has no rules have none.
        """
        return _of_year(self.country, self.subdivision, year)


@lru_cache(YEARS_KEPT)
def _of_year(country: str, subdivision: str, year: int) -> Mapping[date, str]:
    # Imported when it is first asked: every command starts without it, and most need none of it.
    import holidays

    of_year = holidays.country_holidays(
        country,
        subdiv=subdivision or None,
        years=year,
        expand=False,
        language=_english(country),
    )
    return MappingProxyType(dict(sorted(of_year.items())))


def _english(country: str) -> str | None:
    """The English of the country itself, else that of the United States, else what there is.

    It is always told: the library would take the language of the machine it runs on.
    """
    library = _country(country)
    own = library.default_language
    if own is None or own.startswith("en"):
        return own
    return "en_US" if "en_US" in library.supported_languages else own


def _known(country: str, subdivision: str) -> None:
    subdivisions = _country(country).subdivisions
    if subdivision and subdivision not in subdivisions:
        known = f"only {', '.join(subdivisions)}" if subdivisions else "nor any other"
        raise NoSuchCountry(f"{country} has no subdivision {subdivision!r} here, {known}")


@lru_cache(YEARS_KEPT)
def _country(country: str) -> HolidayBase:
    import holidays

    try:
        library = holidays.country_holidays(country, expand=False)
    except NotImplementedError:
        library = None
    # It also knows codes of three letters and other aliases; here each country has one code.
    if library is None or library.country != country:
        # This loads every country, so it is left until somebody has to be told.
        known = ", ".join(sorted(holidays.list_supported_countries(include_aliases=False)))
        raise NoSuchCountry(f"no public holidays of {country!r} are known, only of {known}")
    return library
