"""The lines of a cost compiled to arrays: counts times prices, each line rounded once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .buying import Terms, TermsTable
from .curve import Array
from .money import Cents, to_minor
from .pricing import KINDS
from .spoilage import begun
from .what_if import AS_IT_IS, MONEY, WhatIf, factors_on
from .work import Kind


class Line(NamedTuple):
    """One line of a route's cost: unit_cost x amount x count [currency].

    meter: what is counted, one of METERS or a `step_meter`
    scale: counts for each unit of the meter (passes of a cycle, hours of a minute, ...)
    divisor: where above 1, the meter comes in lots of so many, begun ones whole
    least: the fewest counts (a set of plates is bought even for no sheet)
    held: counts that need not be paid for (the set of plates kept from the last run)
    lead_days: working days from order until it is there
    terms: how what is needed of it is bought, None for as much as is needed
    doing: what of the route it pays for: an operation ("artwork_check", "run", ...), or a step by
        its place, as `doing_step` names it
    because, source: why the figure is what it is
    """

    route: int
    stage: str
    label: str
    kind: Kind
    unit_cost: float
    amount: float
    per: str
    meter: str
    because: str
    source: str
    scale: float = 1.0
    divisor: float = 1.0
    least: float = 0.0
    held: float = 0.0
    lead_days: float = 0.0
    terms: Terms | None = None
    doing: str = ""


# Units that money is paid for, by what a line is charged per; the rest is a thing that is counted.
PAID_PER = {"hour": "h", "kilogram": "kg", "m2": "m2", "parent sheet": "{sheet}"}


def paid_unit(line: Line) -> str:
    """Return what one unit_cost of a line buys, UCUM style.

    Clicks are charged by the cycle, which has as many as the line's amount says.
    """
    if line.stage == "click" and line.per == "cycle":
        return "{click}"
    return PAID_PER.get(line.per, f"{{{line.per.replace(' ', '_')}}}")


_KIND_ROWS = {kind: row for row, kind in enumerate(KINDS)}


@dataclass(frozen=True)
class Bill:
    """Lines at all quantities; money in minor units.

    lines, counts [line, quantity]; by_kind [route, kind, quantity]
    paid: by line, what a unit of it costs at each quantity, where that is not always the same
    """

    lines: Cents
    counts: Array
    paid: Mapping[int, Array]
    by_kind: Cents


class LineTable:
    """Lines compiled for evaluation. Immutable once built.

    rows: number of each meter; routes: how many routes the lines belong to
    """

    def __init__(
        self, lines: Sequence[Line], rows: Mapping[str, int], routes: int, digits: int
    ) -> None:
        self._routes, self._digits = routes, digits
        self._all = lines
        self._route = np.array([line.route for line in lines], dtype=np.intp)
        self._meter = np.array([rows[line.meter] for line in lines], dtype=np.intp)
        self._scale = column([line.scale for line in lines])
        self._money = column([line.unit_cost * line.amount for line in lines])
        lots = [n for n, line in enumerate(lines) if line.divisor != 1.0 or line.least > 0]
        self._lots = np.array(lots, dtype=np.intp)
        self._lot_size = column([lines[i].divisor for i in lots])
        self._least = column([lines[i].least for i in lots])
        self._held = column([lines[i].held for i in lots])
        self._compile_purchases(lines)
        kinds = np.array([_KIND_ROWS[line.kind] for line in lines], dtype=np.intp)
        group = self._route * len(KINDS) + kinds
        self._by_group = np.argsort(group, kind="stable")
        self._group, self._group_start = np.unique(group[self._by_group], return_index=True)

    def _compile_purchases(self, lines: Sequence[Line]) -> None:
        bought = [(n, line.terms, line.amount) for n, line in enumerate(lines) if line.terms]
        self._bought = np.array([number for number, _, _ in bought], dtype=np.intp)
        self._needed_each = column([amount for _, _, amount in bought])
        self._terms = TermsTable([terms for _, terms, _ in bought])

    @cached_property
    def _borne(self) -> dict[str, NDArray[np.intp]]:
        """The rows that each factor on money acts on."""
        borne = [factors_on(line.stage, line.kind) for line in self._all]
        return {
            name: np.array([row for row, names in enumerate(borne) if name in names], dtype=np.intp)
            for name in MONEY
        }

    def at(self, meters: Array, given: WhatIf = AS_IT_IS) -> Bill:
        """Return the lines at the quantities of the meters [meter, route, quantity]."""
        if not len(self._route):
            return self._nothing(meters.shape[2])
        counts = meters[self._meter, self._route] * self._scale
        if self._lots.size:
            lots = begun(counts[self._lots] / self._lot_size)
            counts[self._lots] = np.maximum(lots, self._least) - self._held
        amounts, paid = self._money * counts, {}
        if self._bought.size:
            needed = counts[self._bought] * self._needed_each
            counts[self._bought], price, amounts[self._bought] = self._terms.money(needed)
            paid = dict(zip(self._bought.tolist(), price, strict=True))
        for name, factor in given.on_money():
            amounts[self._borne[name]] *= factor
        lines = to_minor(amounts, self._digits)
        groups = np.zeros((self._routes * len(KINDS), meters.shape[2]), dtype=np.int64)
        groups[self._group] = np.add.reduceat(lines[self._by_group], self._group_start, axis=0)
        by_kind = groups.reshape(self._routes, len(KINDS), meters.shape[2])
        return Bill(lines, counts, paid, by_kind)

    def _nothing(self, quantities: int) -> Bill:
        by_kind = np.zeros((self._routes, len(KINDS), quantities), dtype=np.int64)
        return Bill(by_kind[:0, 0], np.zeros((0, quantities)), {}, by_kind)


def doing_step(kind: str, place: int) -> str:
    """Name a step of a route by where it stands. kind: its "steps", or its "gathering"."""
    return f"{kind} {place}"


def column(values: Sequence[float]) -> Array:
    """Return figures as a column, one for each row of a table."""
    return np.array(values, dtype=np.float64).reshape(-1, 1)
