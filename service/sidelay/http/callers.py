"""Who asks: what a caller may see, whose prices hold for it, and how much it may ask."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from flask import Response, g

# price: what a customer may know; cost: what the plant knows beside it; admin: how the service is.
SCOPES = ("price", "cost", "admin")
KEY_FIELD = "X-API-Key"
# A 401 must carry a challenge (RFC 9110, 11.6.1); no registered scheme is a key in a field.
CHALLENGE = 'ApiKey realm="sidelay"'
# What the one quota of a caller is called in its fields.
POLICY = "client"
_NEEDED = "_sidelay_needed"

View = TypeVar("View", bound=Callable[..., Response])


@dataclass(frozen=True, slots=True)
class Allowance:
    """How much one caller may ask.

    requests: in each window of window_s seconds; None for any number
    quantities: in one request; prices: in one price list
    """

    requests: int | None = None
    window_s: int = 60
    quantities: int = 200
    prices: int = 200_000


@dataclass(frozen=True, slots=True)
class Caller:
    """Who a request comes from.

    client: id of the client, "" for one who came without a key
    group: customer group whose price policy holds, "" for the policy of the plant
    """

    client: str
    scopes: frozenset[str]
    group: str = ""
    allowance: Allowance = Allowance()

    @property
    def sees_costs(self) -> bool:
        """Whether cost lines, margins and rates may be in an answer."""
        return "cost" in self.scopes


def caller() -> Caller:
    """Return who the request that is being answered comes from."""
    found: Caller = g.caller
    return found


def needs(scope: str | None) -> Callable[[View], View]:
    """Say of a view which scope its callers need; without, price. None: anyone may ask."""

    def mark(view: View) -> View:
        setattr(view, _NEEDED, scope)
        return view

    return mark


def needed(view: object) -> str | None:
    """Return the scope that the callers of a view need."""
    found: str | None = getattr(view, _NEEDED, "price")
    return found
