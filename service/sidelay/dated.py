"""What a due date makes of a job: what is in time, what is not, and what would make it hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Literal

HoldKind = Literal[
    "overtime", "rush", "proof", "drying_aid", "another_press", "together", "split_run",
    "smaller_first",
]
Presses = tuple[tuple[str, str], ...]  # process and press of each press that a part runs through


@dataclass(frozen=True, slots=True)
class Dated:
    """A way to make the job at one quantity, in short: who, at what price, and when it is ready.

    price: net of tax [minor units]; ready_at: [s since 1970, UTC], None beyond the horizon
    """

    process: str
    press: str
    price: int
    ready_at: int | None


@dataclass(frozen=True, slots=True)
class Lot:
    """One of two lots that a quantity is made in, each ordered and priced by itself."""

    quantity: int
    dated: Dated
    holds: bool


@dataclass(frozen=True, slots=True)
class WouldHold:
    """What would make the due date hold, priced.

    changes: members of the request and what they would have to be, by their path ("job.rush")
    lots: of a split run both in time, of a smaller quantity first the first of them; the price of
        `dated` is then that of both together, and ready_at that of the last
    """

    kind: HoldKind
    dated: Dated
    because: str
    changes: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))
    lots: tuple[Lot, ...] = ()


@dataclass(frozen=True, slots=True)
class Otherwise:
    """What else there is at one quantity where the cheapest of all is too late.

    too_late: the cheapest of all, where something dearer holds and is the best offer
    earliest: where nothing holds, and the cheapest is the best offer nevertheless
    would_hold: where nothing holds, the cheapest first
    """

    too_late: Dated | None = None
    earliest: Dated | None = None
    would_hold: tuple[WouldHold, ...] = ()


IN_TIME = Otherwise()


@dataclass(frozen=True, slots=True)
class DueBand:
    """Whole quantities, both ends included, at which the same presses are the cheapest that hold.

    process, press, route: as of a band; None, None and () where nothing holds
    """

    first: int
    last: int
    process: str | None
    press: str | None
    route: tuple[Presses, ...]
