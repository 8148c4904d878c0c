"""Adapters for break-even and crossover: given lines of cost compete as presses do.

Each line becomes two lines of a cost table, one a job and one a piece, and `cheapest_stretches`
finds which is the cheapest at every whole quantity. A source gives the exact crossing, which may
lie between two whole quantities: there both lines are straight, and it is read off their values at
the quantities on either side of the swap. At a tie sidelay stays with the one before.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from reference.given import Inputs
from reference.register import Figures, answers
from sidelay.bands import cheapest_stretches
from sidelay.curve import Array
from sidelay.line_table import Line, LineTable
from sidelay.money import Cents
from sidelay.pricing import PricePolicy, prices, values
from sidelay.rates import RateBasis, build_rate

MOST = 10_000_000
MONTHS, SECONDS_PER_HOUR = 12, 3600
# Money is counted in millionths, so that rounding of lines moves no published crossing.
DIGITS = 6
AS_IT_COSTS = PricePolicy(0, 0, 0, 0, 1)
METERS = {"job": 0, "piece": 1}
Quantities = NDArray[np.int64]


@dataclass(frozen=True)
class Straight:
    """A fixed cost and one for each piece; rate x amount where it is work."""

    fixed: float
    unit: float
    amount: float = 1.0


@dataclass(frozen=True)
class Competing:
    """Lines in competition, in the order of the case; the first part of every contest."""

    options: tuple[Straight, ...]

    @property
    def presses(self) -> Sequence[int]:
        return range(len(self.options))

    @cached_property
    def table(self) -> LineTable:
        lines = []
        for number, each in enumerate(self.options):
            fixed = each.fixed, 1.0, "job", "job", "given", "case"
            unit = each.unit, each.amount, "piece", "piece", "given", "case"
            lines += [
                Line(number, "run", "fixed", "material", *fixed),
                Line(number, "run", "unit", "time", *unit),
            ]
        return LineTable(lines, METERS, len(self.options), DIGITS)

    def look(self, quantities: Quantities) -> tuple[Cents, Array]:
        shape = len(self.options), len(quantities)
        pieces = np.broadcast_to(quantities.astype(np.float64), shape)
        bill = self.table.at(np.stack([np.ones(shape), pieces]))
        value = values(bill.by_kind, AS_IT_COSTS)
        return prices(value, quantities, AS_IT_COSTS), value

    def subset(self, keep: Sequence[int]) -> Competing:
        return Competing(tuple(self.options[number] for number in keep))

    def arithmetic(self, way: int) -> Straight:
        return self.options[way]


@dataclass(frozen=True)
class Stepped(Competing):
    """The first option costs more by range: (from, to, and how much more)."""

    steps: tuple[tuple[int, int, float], ...] = ()

    def look(self, quantities: Quantities) -> tuple[Cents, Array]:
        _, value = super().look(quantities)
        value = value.copy()
        for first, last, more in self.steps:
            inside = (quantities >= first) & (quantities <= last)
            value[0] += np.where(inside, more * 10**DIGITS, 0.0)
        return prices(value, quantities, AS_IT_COSTS), value

    def subset(self, keep: Sequence[int]) -> Stepped:
        assert 0 in keep
        return Stepped(tuple(self.options[number] for number in keep), self.steps)


def cost(contest: Competing, option: int, quantity: float) -> float:
    """What an option costs; between two whole quantities on the straight line from one to other."""
    below = int(quantity)
    _, value = contest.look(np.array([below, below + 1]))
    one, other = (float(each) / 10**DIGITS for each in value[option])
    return one + (quantity - below) * (other - one)


def crossings(contest: Competing, most: int = MOST) -> list[tuple[int, float]]:
    """The options that are the cheapest one after the other, each with the exact start."""
    found: list[tuple[int, float]] = []
    for stretch in cheapest_stretches(contest, most):
        if not found:
            found.append((stretch.press, 0))
            continue
        before, last = found[-1][0], stretch.first - 1
        short, long = (
            cost(contest, before, q) - cost(contest, stretch.press, q) for q in (last, last + 1)
        )
        found.append((stretch.press, last + short / (short - long)))
    return found


def crossing(contest: Competing, most: int = MOST) -> float:
    """The one exact quantity at which one option takes over from another."""
    (_, (_, start)) = crossings(contest, most)
    return start


class Told(Mapping[str, Any]):
    """Figures of competing lines by the names that cases give them.

    "cheapest_from"; "crossover", "cost" (there), "saving" (at the quantity of the figure asked
    before); "A_B", a pair by the beginnings of their names; "A_8000", "A_at_8000", what one costs.
    """

    def __init__(self, options: dict[str, Straight]) -> None:
        self._names, self._options = list(options), tuple(options.values())
        self._all = Competing(self._options)
        self._asked = 0.0

    def __getitem__(self, key: str) -> Any:
        if key == "cheapest_from":
            return [[self._names[option], start] for option, start in crossings(self._all)]
        if key == "crossover":
            return crossing(self._all)
        if key in ("cost", "cost_at_crossover"):
            return cost(self._all, 0, crossing(self._all))
        if key == "saving":
            each = [cost(self._all, option, self._asked) for option in range(len(self._names))]
            return max(each) - min(each)
        if priced := re.fullmatch(r"(.+?)_(?:at_)?(\d+)", key):
            option, self._asked = self._number(priced[1]), int(priced[2])
            return cost(self._all, option, self._asked)
        one, _, other = key.partition("_")
        pair = Competing((self._options[self._number(one)], self._options[self._number(other)]))
        return crossing(pair)

    def _number(self, beginning: str) -> int:
        exact = [n for n, name in enumerate(self._names) if name == beginning]
        found = exact or [n for n, name in enumerate(self._names) if name.startswith(beginning)]
        if len(found) != 1:
            raise KeyError(beginning)
        return found[0]

    def __iter__(self) -> Iterator[str]:
        return iter(("cheapest_from", "crossover", "cost", "saving"))

    def __len__(self) -> int:
        return 4


@answers("process crossover / lower envelope")
def lower_envelope(inputs: Inputs) -> Figures:
    return Told(
        {
            name: Straight(float(line["fixed"]), float(line.get("unit", line.get("variable"))))
            for name, line in inputs.items()
            if isinstance(line, Mapping)
        }
    )


class Profit(Mapping[str, Any]):
    """Income against cost: "exact", where income takes over, and "profit_at_3000"."""

    def __init__(self, contest: Competing) -> None:
        self._contest = contest

    def __getitem__(self, key: str) -> Any:
        if key in ("exact", "units", "quantity", "break_even"):
            return crossing(self._contest)
        if key in ("first_whole", "whole", "first_profitable"):
            return int(crossing(self._contest)) + 1
        if at := re.fullmatch(r"profit_(?:at_)?(\d+)", key):
            quantity = int(at[1])
            return cost(self._contest, 1, quantity) - cost(self._contest, 0, quantity)
        raise KeyError(key)

    def __iter__(self) -> Iterator[str]:
        return iter(("exact", "first_whole"))

    def __len__(self) -> int:
        return 2


def _against_income(price: float, unit: float, fixed: float) -> tuple[Straight, Straight]:
    """What is spent, and what comes in: the lesser of the two is income until it breaks even."""
    return Straight(fixed, unit), Straight(0.0, price)


@answers("break-even")
def break_even(inputs: Inputs) -> Figures:
    unit = inputs["unit_cost"] if "unit_cost" in inputs else inputs["unit"]
    return Profit(Competing(_against_income(inputs["price"], unit, inputs["fixed"])))


@answers("stepped break-even")
def stepped_break_even(inputs: Inputs) -> Figures:
    """A candidate for each range, as if its step held throughout; the answer lies in its range."""
    price, unit, fixed = inputs["price"], inputs["unit"], inputs["fixed"]
    steps = tuple((first, last, more) for first, last, more in inputs["steps"])
    contest = Stepped(_against_income(price, unit, fixed), steps)
    # The lesser is income at first; where it comes to stay above cost, cost is the lesser.
    every = crossings(contest, steps[-1][1])
    return {
        "candidates": [
            crossing(Competing(_against_income(price, unit, fixed + more))) for _, _, more in steps
        ],
        "answer": every[-1][1] if len(every) > 1 else None,
    }


@answers("break-even of two machines with capital recovery")
def two_machines(inputs: Inputs) -> Figures:
    machines = {name: each for name, each in inputs.items() if isinstance(each, Mapping)}
    figures: dict[str, Any] = {}
    options = []
    for name, each in machines.items():
        basis = RateBasis(
            investment=each["cost"],
            life_years=each["life"],
            salvage=each.get("salvage", 0),
            interest=inputs["i"],
            repairs=each.get("maint_m", 0) * MONTHS,
            chargeable_hours=1,
        )
        fixed = build_rate(basis).total_per_year
        hours = each["sec_per_part"] / SECONDS_PER_HOUR
        options.append(Straight(fixed, each["op_per_h"], hours))
        alone = Competing((Straight(0.0, each["op_per_h"], hours),))
        figures |= {f"fixed_{name}": fixed, f"unit_{name}": cost(alone, 0, 1)}
    return figures | {"parts_per_year": crossing(Competing(tuple(options)))}
