"""What a figure that can be changed is now, on the press that makes a part.

The factors are those of `what_if.WhatIf`; one that says nothing about a press has no figure there.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from .costing import Costs, CostTable, net_per_hour
from .job_table import JobTable, columns

MONEY_PER = "{currency}/"
STAGES = {"stock_price": "stock", "click_charge": "click", "carrier_price": "carrier"}


@dataclass(frozen=True, slots=True)
class PressFigure:
    """One figure of a press. unit: UCUM style; "{currency}" in it stands for the plant's."""

    press: str
    value: float
    unit: str


def figure_on(table: JobTable, way: int, quantity: int, factor: str) -> PressFigure | None:
    """Return what a factor acts on, for one way of the first part at one quantity.

    Of a part in several stretches, that of the leading one.
    """
    found = table.at(columns([quantity]))
    makeup = found.makeup(way, 0)
    part, costs = table.makeups[makeup].parts[0], found.makeups[makeup].parts[0]
    number = part.chosen(way, costs, 0)[0]
    value = _value(_Told(part.table, number, costs.costs), factor)
    return PressFigure(part.routes[number].press.id, *value) if value else None


class _Told(NamedTuple):
    """One route by its number, with its table and costs at one quantity."""

    table: CostTable
    number: int
    costs: Costs


def _value(told: _Told, factor: str) -> tuple[float, str] | None:
    if factor in STAGES:
        return _price(told, STAGES[factor])
    if factor == "hourly_rates":
        return _price(told, "run")
    table, number, costs = told
    route = table.routes[number]
    if factor == "make_ready_time":
        return route.run.make_ready_of(route.times), "min"
    if factor == "running_speed":
        return net_per_hour(table, costs, number, 0), "{cycle}/h"
    if factor == "waste":
        good, spoiled = float(costs.good[number, 0]), float(costs.running_waste[number, 0])
        return (spoiled + route.run.make_ready_cycles) / good, "1"
    raise KeyError(factor)


def _price(told: _Told, stage: str) -> tuple[float, str] | None:
    """Return what one unit of the first line of a stage costs, a price break counted in."""
    first_row = told.table.first_line(told.number)
    for row, line in enumerate(told.table.lines_of(told.number), first_row):
        if line.stage == stage and (stage != "run" or line.kind == "time"):
            paid = told.costs.paid.get(row)
            price = line.unit_cost if paid is None else float(paid[0])
            return price, MONEY_PER + line.per
    return None
