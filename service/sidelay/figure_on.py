"""What a figure that can be changed is now, on the press that makes a part.

The factors are those of `what_if.WhatIf`; one that says nothing about a press has no figure there.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from .costing import Costs, CostTable, net_per_hour
from .job_table import JobCosts, JobTable
from .line_table import paid_unit

MONEY_PER = "{currency}/"
STAGES = {"stock_price": "stock", "click_charge": "click", "carrier_price": "carrier"}


@dataclass(frozen=True, slots=True)
class PressFigure:
    """One figure of a press. unit: UCUM style; "{currency}" in it stands for the plant's."""

    press: str
    value: float
    unit: str


def figure_on(table: JobTable, found: JobCosts, way: int, factor: str) -> PressFigure | None:
    """Return what a factor acts on, for one way of the first part.

    found: what the job costs at the quantity in question, as the first column
    Of a part in several stretches, that of the leading one; of make-ready, the minutes of all, as
    the table of processes tells them.
    """
    makeup = found.makeup(way, 0)
    part, costs = table.makeups[makeup].parts[0], found.makeups[makeup].parts[0]
    numbers = part.chosen(way, costs, 0)
    press = part.routes[numbers[0]].press.id
    if factor == "make_ready_time":
        runs = [(part.routes[each].run, part.routes[each].times) for each in numbers]
        minutes = sum(run.make_ready_of(times) for run, times in runs)
        return PressFigure(press, float(minutes), "min")
    value = _value(_Told(part.table, numbers[0], costs.costs), factor)
    return PressFigure(press, *value) if value else None


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
            return price, MONEY_PER + paid_unit(line)
    return None
