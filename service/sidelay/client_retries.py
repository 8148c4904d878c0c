"""When the client asks again, and how long it waits before.

No call changes anything on the service, so each may be sent again: where the service says that it
has no time now (429, 503), and where the connection was refused, or broke before the answer was
whole. What is wrong with the request itself (any other 4xx) stays wrong, and an answer that took
too long would take no less the second time: neither is asked for again.
"""

from __future__ import annotations

import random
import re
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime

import requests

TOO_MANY_REQUESTS, UNAVAILABLE = 429, 503
TRY_LATER = (TOO_MANY_REQUESTS, UNAVAILABLE)
RETRY_AFTER = "Retry-After"
_SECONDS = re.compile(r"[0-9]{1,10}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Retries:
    """How often a call is repeated, and how long is waited for it.

    Where the answer has Retry-After (RFC 9110, 10.2.3) no call is repeated sooner. Where it has
    none, and on top of it, a random share of a wait is waited that doubles with each repetition, so
    that callers refused together do not come back together. What would wait longer than the bounds
    allow is not waited for: the call fails at once, and `ProblemError.retry_after_s` says when to
    come back.

    most: repetitions of a call, not counting the first attempt; 0 for none
    first_wait_s: the longest wait before the first repetition where none is asked for [s]
    most_wait_s: the longest single wait [s]
    most_total_wait_s: the longest sum of the waits of a call [s]
    sleep, now, draw: wait some seconds; the time [s since 1970, UTC]; a random number from 0 to 1
    """

    most: int = 4
    first_wait_s: float = 0.5
    most_wait_s: float = 60.0
    most_total_wait_s: float = 120.0
    sleep: Callable[[float], object] = time.sleep
    now: Callable[[], float] = time.time
    draw: Callable[[], float] = random.random

    def __post_init__(self) -> None:
        bounds = (self.most, self.first_wait_s, self.most_wait_s, self.most_total_wait_s)
        if min(bounds) < 0:
            raise ValueError("the bounds of retries cannot be below 0")

    def answer(self, ask: Callable[[], requests.Response]) -> requests.Response:
        """Ask until there is an answer that stands, or time is up, and return the last answer.

        ask: sends the request once. Raises what it raised last.
        """
        repeated, waited_s = 0, 0.0
        while True:
            try:
                response = ask()
            except requests.RequestException as fault:
                wait_s = self.wait_s(repeated, waited_s) if was_broken(fault) else None
                if wait_s is None:
                    raise
            else:
                if response.status_code not in TRY_LATER:
                    return response
                told_s = retry_after_s(response.headers, self.now())
                wait_s = self.wait_s(repeated, waited_s, told_s)
                if wait_s is None:
                    return response
            self.sleep(wait_s)
            repeated, waited_s = repeated + 1, waited_s + wait_s

    def wait_s(
        self, repeated: int, waited_s: float, told_s: float | None = None
    ) -> float | None:
        """Return how long to wait before the next repetition [s], None to give up.

        repeated: repetitions so far
        waited_s: waited so far [s]
        told_s: what the service asks to be waited at least [s]; None for nothing
        """
        least_s = told_s or 0.0
        left_s = min(self.most_wait_s, self.most_total_wait_s - waited_s)
        if repeated >= self.most or least_s > left_s:
            return None
        # The exponent is bounded: beyond it every wait is cut anyway, and floats have an end.
        spread_s: float = self.first_wait_s * 2.0 ** min(repeated, 30)
        return min(left_s, least_s + self.draw() * spread_s)


# For whoever would rather be told at once.
NO_RETRIES = Retries(most=0)


def retry_after_s(fields: Mapping[str, str], now_s: float) -> float | None:
    """Return what Retry-After asks to be waited [s], None where it is missing or cannot be read.

    A date is reckoned from the Date of the same answer, so that a wrong clock here does no harm.

    fields: of the answer; now_s: for answers without Date [s since 1970, UTC]
    """
    text = fields.get(RETRY_AFTER, "").strip()
    if _SECONDS.fullmatch(text):
        return float(text)
    until_s = _instant_s(text)
    if until_s is None:
        return None
    from_s = _instant_s(fields.get("Date", ""))
    return max(0.0, until_s - (now_s if from_s is None else from_s))


def was_broken(fault: BaseException) -> bool:
    """Whether a connection was refused, or broke before the whole answer was there."""
    if isinstance(fault, requests.Timeout):
        return False  # though another address of the same host may have refused before
    if isinstance(fault, requests.exceptions.ChunkedEncodingError):
        return True
    cause: BaseException | None = fault
    while cause is not None:
        if isinstance(cause, ConnectionError):
            return True
        cause = cause.__cause__ or cause.__context__
    return False


def _instant_s(http_date: str) -> float | None:
    """Return an HTTP-date [s since 1970, UTC], None for what is none."""
    try:
        moment = parsedate_to_datetime(http_date)
    except ValueError:
        return None
    if moment.tzinfo is None:  # of "-0000" and of dates without a zone: HTTP knows only UTC
        moment = moment.replace(tzinfo=UTC)
    return (moment - datetime.fromtimestamp(0, UTC)).total_seconds()
