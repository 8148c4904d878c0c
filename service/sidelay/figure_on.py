"""What a figure that can be changed is now, on the press that makes a part.

The factors are those of `what_if.WhatIf`; one that says nothing about a press has no figure there.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from .costing import Route
from .job_table import JobTable, columns
from .line_table import Line, paid_unit
from .ways import PartCosts

MONEY_PER = "{currency}/"
STAGES = {"stock_price": "stock", "click_charge": "click", "carrier_price": "carrier"}


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a press. unit: UCUM style; "{currency}" in it stands for the plant's."""

    press: str
    value: float
    unit: str


def figure_on(table: JobTable, way: int, quantity: int, factor: str) -> Figure | None:
    """Return what a factor acts on, for one way of the first part at one quantity.

    Of a part in several stretches, that of the leading one; of make-ready, the minutes of all, as
    the table of processes tells them.
    """
    found = table.at(columns([quantity]))
    makeup = found.makeup(way, 0)
    part, costs = table.makeups[makeup].parts[0], found.makeups[makeup].parts[0]
    numbers = part.chosen(way, costs, 0)
    number = numbers[0]
    route, lines = part.routes[number], part.table.lines
    if factor == "make_ready_time":
        every = [part.routes[each] for each in numbers]
        minutes = sum(float(each.run.make_ready_of(each.times)) for each in every)
        return Figure(route.press.id, minutes, "min")
    value = _value(_Told(route, number, costs, lines, part.table.first_line(number)), factor)
    return Figure(route.press.id, *value) if value else None


class _Told(NamedTuple):
    """A route, its number, what it costs, all lines and the row of its first one."""

    route: Route
    number: int
    costs: PartCosts
    lines: tuple[Line, ...]
    first_row: int


def _value(told: _Told, factor: str) -> tuple[float, str] | None:
    if factor in STAGES:
        return _price(told, STAGES[factor])
    if factor == "hourly_rates":
        return _price(told, "run")
    run, costs = told.route.run, told.costs.costs
    good = float(costs.good[told.number, 0])
    spoiled = float(costs.running_waste[told.number, 0])
    if factor == "running_speed":
        cycles = (good + spoiled) * run.passes
        return cycles / float(costs.run_hours[told.number, 0]), "{cycle}/h"
    if factor == "waste":
        return (spoiled + run.make_ready_cycles) / good, "1"
    raise KeyError(factor)


def _price(told: _Told, stage: str) -> tuple[float, str] | None:
    """Return what one unit of the first line of a stage costs, a price break counted in."""
    for row, line in enumerate(told.lines[told.first_row :], told.first_row):
        if line.route != told.number:
            return None
        if line.stage == stage and (stage != "run" or line.kind == "time"):
            paid = told.costs.costs.paid.get(row)
            price = line.unit_cost if paid is None else float(paid[0])
            return price, MONEY_PER + paid_unit(line)
    return None
