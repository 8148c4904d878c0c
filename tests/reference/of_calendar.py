"""Adapters for calendars: a case's shifts as days and hours in words, its holidays as dates."""

import re
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from reference.given import Inputs
from reference.register import Figures, answers
from sidelay.clocks import Clock, Elapsed, Worked
from sidelay.public_holidays import Holidays
from sidelay.working_time import Shift, periods

HOUR_S = 3600
HORIZON_DAYS = 730
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
EVERY_DAY = frozenset(range(7))
WEEKDAYS = frozenset(range(5))
WORDS = {"daily": EVERY_DAY, "every day": EVERY_DAY, "weekdays": WEEKDAYS}
# What a case may call an operation that takes its time whether or not anybody works.
ELAPSED = {"dry", "drying", "cure", "curing", "elapsed", "wait", "rest"}
WORK = {"work", "run", "print", "bind", "finish", "shift"}
TOKEN = re.compile(
    r"(?P<window>\d{1,2}(?::\d\d)?\s*[-\u2013]\s*\d{1,2}(?::\d\d)?)"
    r"|(?P<days>(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*"
    r"(?:\s*[-\u2013]\s*(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*)?)"
    r"|(?P<word>daily|every day|weekdays)"
    r"|(?P<between>[\s,;:/&+]+|and\b)",
    re.IGNORECASE,
)
REGIONS = {
    "England": ("GB", "ENG"),
    "England and Wales": ("GB", "ENG"),
    "Wales": ("GB", "WLS"),
    "Scotland": ("GB", "SCT"),
    "Northern Ireland": ("GB", "NIR"),
    "Ireland": ("IE", ""),
}
YEARS = range(2017, 2036)


def shifts_in_words(text: str) -> list[Shift]:
    """The shifts of "Mon-Thu 08:00-12:00, 13:00-17:00; Fri 08-12": days, then their hours."""
    shifts: list[Shift] = []
    days: set[int] = set()
    hours_told = False
    for kind, words in _tokens(text):
        if kind == "window":
            start, end = (_minutes(side) for side in re.split(r"[-\u2013]", words))
            if not days:
                raise ValueError(f"hours without days in {text!r}")
            shifts.append(Shift(frozenset(days), start, end))
            hours_told = True
        else:  # days after hours are those of the next hours
            named = WORDS[words.lower()] if kind == "word" else _days(words)
            days = set(named) if hours_told else days | named
            hours_told = False
    if not hours_told:
        raise ValueError(f"days without hours in {text!r}")
    return shifts


def _tokens(text: str) -> Iterator[tuple[str, str]]:
    at = 0
    while at < len(text):
        found = TOKEN.match(text, at)
        if not found or not found.lastgroup:
            raise ValueError(f"no shift is known in {text[at:]!r} of {text!r}")
        if found.lastgroup != "between":
            yield found.lastgroup, found.group().strip()
        at = found.end()


def _days(words: str) -> frozenset[int]:
    ends = [DAYS.index(word.strip()[:3].lower()) for word in re.split(r"[-\u2013]", words)]
    count = (ends[-1] - ends[0]) % 7 + 1
    return frozenset((ends[0] + ahead) % 7 for ahead in range(count))


def _minutes(clock_time: str) -> int:
    hours, _, minutes = clock_time.strip().partition(":")
    return int(hours) * 60 + int(minutes or 0)


@answers("completion over a shift calendar")
def completion(inputs: Inputs) -> Figures:
    """Operations one after another: work on the clock of the shifts, the rest on elapsed time."""
    zone = inputs.get("zone", inputs.get("timezone", "UTC"))
    start = datetime.fromisoformat(inputs["start"]).replace(tzinfo=ZoneInfo(zone))
    clocks = _clocks(inputs, zone, start.date())
    instant = int(start.timestamp())
    for kind, hours in inputs["ops"]:
        instant = clocks[kind].after(instant, round(hours * HOUR_S))
    finish = datetime.fromtimestamp(instant, ZoneInfo(zone)).replace(tzinfo=None)
    return {"finish": finish.isoformat()}


def _clocks(inputs: Inputs, zone: str, first: date) -> dict[str, Clock]:
    text = inputs["shift"] if "shift" in inputs else inputs["shifts"]
    shifts = shifts_in_words(text if isinstance(text, str) else "; ".join(text))
    closed = {date.fromisoformat(day) for day in inputs.get("holidays", ())}
    last = first + timedelta(days=HORIZON_DAYS)
    # From the day before: a night shift may be under way at the start.
    worked = periods(shifts, zone, closed, (), first - timedelta(days=1), last)
    horizon = int(datetime(last.year, last.month, last.day, tzinfo=UTC).timestamp())
    by_kind: dict[str, Any] = dict.fromkeys(ELAPSED, Elapsed(horizon))
    return by_kind | dict.fromkeys(WORK, Worked(worked))


def _topics() -> Iterable[str]:
    return (f"bank holidays {region} {year}" for region in REGIONS for year in YEARS)


@answers(*_topics())
def bank_holidays(inputs: Inputs) -> Figures:
    """The days off of those who work from Monday to Friday, as governments publish them.

    A holiday on a Saturday or Sunday is then only the weekday on which it is observed; the library
    lists both.
    """
    of_year = Holidays(*REGIONS[inputs["region"]]).of_year(inputs["year"])
    return {"dates": [day.isoformat() for day in of_year if day.weekday() in WEEKDAYS]}
