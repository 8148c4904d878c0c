"""How often each caller has asked: in fixed windows of time, by one process or by all together.

Windows are aligned to the clock of the service, so that processes that share a count agree on them.
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from typing import Protocol

from ..config import BadSetting

# Callers counted at once; of more, those whose window began first are forgotten.
MOST_COUNTED = 50_000
# How long a request may wait for the shared count [s].
PATIENCE_S = 0.05
# After a failure the shared count is left alone for this long [s], and told of once in that [s].
PAUSE_S, TOLD_EVERY_S = 1.0, 60.0
_PREFIX = "sidelay:asked:"

log = logging.getLogger(__name__)


def window_at(now: float, window_s: int) -> tuple[int, int]:
    """Return the number of the window at an instant, and in how many seconds the next one begins.

    Whole seconds of the clock, so that whoever waits as told finds the next window open.
    """
    second = int(now)
    return second // window_s, window_s - second % window_s


class Counts(Protocol):
    """Counts requests."""

    def count(self, who: str, window_s: int, window: int) -> int:
        """Count one more request, and return how many there are now.

        who: whose request it is
        window_s: length of the window [s]
        window: its number, the clock divided by its length
        """


class OwnCounts:
    """Counts the requests of one process, in memory."""

    def __init__(self, most: int = MOST_COUNTED) -> None:
        self._most = most
        # In the order in which windows began, for a caller's entry is made anew with its window.
        self._counts: dict[str, tuple[int, int, int]] = {}
        self._lock = threading.Lock()

    def __len__(self) -> int:
        return len(self._counts)

    def count(self, who: str, window_s: int, window: int) -> int:
        """Count one more request, and return how many there are now."""
        with self._lock:
            known = self._counts.get(who)
            if known is not None and known[:2] == (window_s, window):
                counted = known[2] + 1
            else:
                counted = 1
                self._counts.pop(who, None)
                self._drop(window * window_s)
            self._counts[who] = window_s, window, counted
            return counted

    def _drop(self, now: int) -> None:
        """Forget windows that have ended, and the first of all where there are too many."""
        while self._counts:
            first = next(iter(self._counts))
            window_s, window, _ = self._counts[first]
            if (window + 1) * window_s > now and len(self._counts) < self._most:
                return
            del self._counts[first]


class SharedCounts:
    """Counts the requests of all processes together, in Redis; in memory while that fails.

    url: of the Redis server
    moments: returns seconds that only rise, for the pauses after a failure
    Raises BadSetting for a URL that is none, or where the client of Redis is not installed.
    """

    def __init__(self, url: str, moments: Callable[[], float] = time.monotonic) -> None:
        try:
            import redis
            from redis.backoff import NoBackoff
            from redis.retry import Retry
        except ImportError:
            raise BadSetting(
                "SIDELAY_REDIS_URL: a count in Redis needs its client; install sidelay[redis]"
            ) from None
        try:
            # The connection is made with the first request, and anew after a fork.
            self._redis = redis.Redis.from_url(
                url,
                socket_timeout=PATIENCE_S,
                socket_connect_timeout=PATIENCE_S,
                retry=Retry(NoBackoff(), 0),
            )
        except ValueError:
            # Neither the URL nor what it is told to be: there may be a password in it.
            raise BadSetting(
                "SIDELAY_REDIS_URL: expected a URL as redis://HOST:PORT/NUMBER"
            ) from None
        self._faults = (redis.RedisError, OSError)
        self._own = OwnCounts()
        self._moments = moments
        self._again_at = self._told_again_at = float("-inf")

    def count(self, who: str, window_s: int, window: int) -> int:
        """Count one more request, and return how many there are now. Never fails."""
        now = self._moments()
        if now >= self._again_at:
            try:
                return self._shared(f"{_PREFIX}{who}:{window_s}:{window}", window_s)
            except self._faults as fault:
                self._note(fault, now)
        return self._own.count(who, window_s, window)

    def _shared(self, name: str, window_s: int) -> int:
        with self._redis.pipeline() as both:
            both.incr(name)
            # Clocks of processes may differ a little, so that a window is kept beyond its end.
            both.expire(name, 2 * window_s)
            counted, _ = both.execute()
        return int(counted)

    def _note(self, fault: Exception, now: float) -> None:
        self._again_at = now + PAUSE_S
        if now >= self._told_again_at:
            self._told_again_at = now + TOLD_EVERY_S
            # Of what class it is, and no more: its message may have the URL with a password.
            kind = type(fault).__name__
            log.warning("the shared count cannot be reached (%s): each process counts alone", kind)


def counts_of(redis_url: str) -> Counts:
    """Return what counts requests: in Redis if there is a URL of it. Raises BadSetting."""
    return SharedCounts(redis_url) if redis_url else OwnCounts()
