"""The gate: who asks, whether they may, and whether not too often. Nothing is read before it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from flask import Response, current_app, g, request

from .access import NOBODY, Access
from .addresses import asked_from, partition_of
from .callers import CHALLENGE, KEY_FIELD, POLICY, Allowance, Caller, needed
from .cors import is_preflight, preflight, share
from .counts import Counts, window_at
from .problems import Problem
from .service import Service

FORWARDED = "X-Forwarded-For"
KEY_PARAMETERS = frozenset(
    {"api_key", "apikey", "x-api-key", "key", "access_token", "authorization"}
)

_CHALLENGED = {"WWW-Authenticate": CHALLENGE}


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a caller stands in its window: requests left, and seconds until the next window."""

    requests: int
    window_s: int
    left: int
    ends_in_s: int

    def tell(self, response: Response) -> None:
        """Add the fields of draft-ietf-httpapi-ratelimit-headers-11."""
        fields = response.headers
        fields["RateLimit-Policy"] = f'"{POLICY}";q={self.requests};w={self.window_s}'
        fields["RateLimit"] = f'"{POLICY}";r={self.left};t={self.ends_in_s}'


class Meter:
    """Counts what one caller asks; where one request asks for many things, each of them.

    who: whose count it is; counts, clock: those of the gate
    """

    def __init__(
        self, who: str, allowance: Allowance, counts: Counts, clock: Callable[[], float]
    ) -> None:
        self._who, self._allowance = who, allowance
        self._counts, self._clock = counts, clock
        self._used_up: int | None = None
        self.standing: Standing | None = None

    def charge(self) -> None:
        """Count one thing more, and note how the caller stands. Raises Problem beyond its quota.

        Where a quota is used up nothing is counted until the next window, so that many refusals
        in a row ask no shared count.
        """
        most = self._allowance.requests
        if most is None:
            return
        window_s = self._allowance.window_s
        window, ends_in_s = window_at(self._clock(), window_s)
        asked = most + 1
        if window != self._used_up:
            asked = self._counts.count(self._who, window_s, window)
        self.standing = Standing(most, window_s, max(0, most - asked), ends_in_s)
        if asked > most:
            self._used_up = window
            raise _exceeded(self.standing)


class Gate:
    """Stands before every view of an app."""

    def __init__(self, service: Service, counts: Counts) -> None:
        self._access: Access = service.access
        self._clock = service.clock
        self._counts = counts

    def check(self) -> Response | None:
        """Let a request pass, its caller in `g`, or answer a preflight. Raises Problem."""
        g.caller, g.standing, g.guarded = NOBODY, None, False
        if request.routing_exception is not None:
            return None  # there is nothing here to guard, and the problem says so
        if request.method == "OPTIONS":
            return preflight(self._access.origins) if is_preflight() else None
        self._check_url()
        scope = needed(current_app.view_functions[request.endpoint or ""])
        if scope is None:
            return None
        g.guarded = True
        found = self._authenticated(scope)
        if scope not in found.scopes:
            if not found.client:
                raise _key_missing(scope)
            raise Problem("scope_missing", f"This key lacks the scope {scope}, needed here.")
        g.caller = found
        self._check_count(found)
        return None

    def tell(self, response: Response) -> Response:
        """Add to an answer what the gate has to say."""
        standing: Standing | None = g.get("standing")
        if standing is not None:
            standing.tell(response)
        if g.get("guarded", False) and _may_be_kept(response):
            response.vary.add(KEY_FIELD)  # so that it is never given to another caller
        share(response, self._access.origins)
        return response

    def _check_url(self) -> None:
        """Refuse a URL with a key in it: logs, histories and proxies keep URLs."""
        for name, value in request.args.items(multi=True):
            known = self._access.caller_of(value) if value else None
            if known is not None or name.lower() in KEY_PARAMETERS:
                raise Problem(
                    "key_in_url",
                    f"A key goes in the field {KEY_FIELD}, never in the URL. If this was a key, "
                    "have it revoked: whatever carried or logged the URL has seen it.",
                )

    def _authenticated(self, scope: str) -> Caller:
        key = request.headers.get(KEY_FIELD)
        found = self._access.caller_of(key)
        if found is not None:
            return found
        if key is None:
            raise _key_missing(scope)
        raise Problem("unknown_key", "The key is not known, or no longer.", _CHALLENGED)

    def _check_count(self, found: Caller) -> None:
        g.meter = Meter(self._who(found), found.allowance, self._counts, self._clock)
        try:
            g.meter.charge()
        finally:
            g.standing = g.meter.standing

    def _who(self, found: Caller) -> str:
        if found.client:
            return f"client:{found.client}"
        forwarded = request.headers.get(FORWARDED, "")
        address = asked_from(request.remote_addr, forwarded, self._access.proxies)
        return f"address:{partition_of(address)}"


def _exceeded(standing: Standing) -> Problem:
    return Problem(
        "quota_exceeded",
        f"{standing.requests:,} requests were answered in this window of {standing.window_s:,} s; "
        f"the next one begins in {standing.ends_in_s:,} s.",
        {"Retry-After": str(standing.ends_in_s)},
        {"violated-policies": [POLICY]},
    )


def _key_missing(scope: str) -> Problem:
    told = f"Send a key with the scope {scope} in the field {KEY_FIELD}."
    return Problem("key_missing", told, _CHALLENGED)


def _may_be_kept(response: Response) -> bool:
    """Whether a cache may keep an answer; one that says nothing of it is never kept here."""
    return "no-store" not in response.headers.get("Cache-Control", "no-store")
