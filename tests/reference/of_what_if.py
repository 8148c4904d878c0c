"""Adapters for break-even when a figure changes: the factors of `what_if` act on the lines.

What is spent once stands as image carriers do, what is spent on each unit as clicks do, and what
comes in for each unit as stock does, so that a change of each goes through the factor that acts on
such lines in a comparison of presses. A source names the new figure; its factor is new over old.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from reference.given import Inputs
from reference.of_crossovers import (
    AS_IT_COSTS,
    DIGITS,
    METERS,
    Competing,
    Quantities,
    Straight,
    crossing,
)
from reference.register import Figures, answers
from sidelay.curve import Array
from sidelay.line_table import Line, LineTable
from sidelay.money import Cents
from sidelay.pricing import prices, values
from sidelay.what_if import AS_IT_IS, WhatIf

FACTOR_OF = {"fixed": "carrier_price", "unit": "click_charge", "price": "stock_price"}
SPENT, INCOME = ("carrier", "click"), ("carrier", "stock")


@dataclass(frozen=True)
class Changed(Competing):
    """Lines under a change. stages: of the fixed and of the unit line of each option."""

    stages: tuple[tuple[str, str], ...] = ()
    given: WhatIf = AS_IT_IS

    @cached_property
    def table(self) -> LineTable:
        lines = [
            Line(number, stage, stage, "material", money, 1.0, meter, meter, "given", "case")
            for number, (each, (once, often)) in enumerate(
                zip(self.options, self.stages, strict=True)
            )
            for stage, money, meter in ((once, each.fixed, "job"), (often, each.unit, "piece"))
        ]
        return LineTable(lines, METERS, len(self.options), DIGITS)

    def look(self, quantities: Quantities) -> tuple[Cents, Array]:
        shape = len(self.options), len(quantities)
        pieces = np.broadcast_to(quantities.astype(np.float64), shape)
        bill = self.table.at(np.stack([np.ones(shape), pieces]), self.given)
        value = values(bill.by_kind, AS_IT_COSTS)
        return prices(value, quantities, AS_IT_COSTS), value

    def subset(self, keep: Sequence[int]) -> Changed:
        options = tuple(self.options[number] for number in keep)
        return Changed(options, tuple(self.stages[number] for number in keep), self.given)


@answers("break-even when a figure changes")
def break_even_when_changed(inputs: Inputs) -> Figures:
    """The break-even as it is, "before", and under each change by the name that the case gives."""
    spent, income = Straight(inputs["fixed"], inputs["unit"]), Straight(0.0, inputs["price"])
    changes: Mapping[str, Mapping[str, float]] = {"before": {}, **inputs["changes"]}

    def exact(to: Mapping[str, float]) -> Any:
        given = WhatIf(**{FACTOR_OF[name]: new / inputs[name] for name, new in to.items()})
        return crossing(Changed((spent, income), (SPENT, INCOME), given))

    return {name: exact(to) for name, to in changes.items()}
