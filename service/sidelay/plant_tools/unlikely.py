"""Figures of a plant file that are possible and yet hardly meant: outside of what is usual."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from ..plant import Plant
from ..processes import Processes
from ..stock import ParentSheet, Stock
from ..toml_file import FileFaults

USUAL_FILE = Path(__file__).with_name("usual_figures.toml")
FIX = "Check the figure and its unit."
Place = tuple[str, dict[str, Any]]


@dataclass(frozen=True, slots=True)
class Bounds:
    """Where a figure usually lies. unit: UCUM style; source: who says so"""

    low: float
    high: float
    unit: str
    source: str

    def holds(self, figure: float) -> bool:
        """Whether a figure is usual."""
        return self.low <= figure <= self.high

    def against(self, figure: float, plant: Plant) -> str:
        """Say that a figure is not usual."""
        unit = self.unit.replace("{currency}", plant.currency).replace("{", "").replace("}", "")
        shown = "" if unit == "1" else f" {unit}"
        told = f"{_shown(figure)} is unlikely; usual is {_shown(self.low)} to {_shown(self.high)}"
        return f"{told}{shown} ({self.source})"

    def speaks_of(self, plant: Plant) -> bool:
        """Whether it can be compared: money in the currencies that it was written in alone."""
        return "{currency}" not in self.unit or plant.currency in usual_figures()["currencies"]


@cache
def usual_figures() -> Mapping[str, Any]:
    """Return the packaged table of what is usual."""
    return tomllib.loads(USUAL_FILE.read_text(encoding="utf-8"))


def warn_of_figures(
    data: Mapping[str, Any], plant: Plant, processes: Processes, found: FileFaults
) -> None:
    """Add a warning for each figure that is given and not usual; defaults are.

    data: the plant file as it stands; plant: what was made of it
    """
    for each in usual_figures()["figures"]:
        bounds = _bounds(each)
        for table, values in _named(data, each["table"]):
            _compare(values.get(each["key"]), bounds, plant, (table, each["key"]), found)
    for number, table in enumerate(data["presses"]):
        _warn_of_press(number, table, plant, processes, found)
    _warn_of_built_rates(data, plant, found)
    for number, table in enumerate(data["stocks"]):
        _warn_of_stock(f"stocks[{number}]", table, plant, found)


def _bounds(table: Mapping[str, Any]) -> Bounds:
    return Bounds(table["low"], table["high"], table["unit"], table["source"])


def _named(data: Mapping[str, Any], name: str) -> Iterator[Place]:
    """Yield the tables of a name, each with what faults call it.

    A price policy is that of a customer group too, and a proof is of some kind.
    """
    steps = name.split(".")
    if name == "proofs":
        yield from ((f"proofs.{kind}", table) for kind, table in data["proofs"].items())
        return
    if name == "price_policy":
        yield from _within("", dict(data), ["customer_groups", "price_policy"])
    yield from _within("", dict(data), steps)


def _within(so_far: str, node: Any, steps: list[str]) -> Iterator[Place]:
    if isinstance(node, list):
        for number, each in enumerate(node):
            yield from _within(f"{so_far}[{number}]", each, steps)
    elif not steps:
        yield so_far, node
    elif steps[0] in node:
        inner = f"{so_far}.{steps[0]}" if so_far else steps[0]
        yield from _within(inner, node[steps[0]], steps[1:])


def _compare(
    figure: object, bounds: Bounds, plant: Plant, place: tuple[str, str], found: FileFaults
) -> None:
    if isinstance(figure, bool) or not isinstance(figure, int | float):
        return
    if bounds.speaks_of(plant) and not bounds.holds(figure):
        found.add(*place, bounds.against(figure, plant), FIX)


def _warn_of_press(
    number: int, table: Mapping[str, Any], plant: Plant, processes: Processes, found: FileFaults
) -> None:
    """Compare with what the plug-in says is usual; of pairs the second figures, 0 stands for none.

    What a plug-in tells otherwise than with `figure`, `whole` and `steps` is not looked at.
    """
    for name, field in processes.press_schema(table["process"]).fields.items():
        usual = field.metadata.get("x-usual")
        key = field.data_key or name
        if not usual or key not in table:
            continue
        unit, source = field.metadata.get("x-unit", "1"), field.metadata["x-usual-source"]
        low, high = usual
        bounds = Bounds(low, high, unit, source)
        given = table[key]
        figures = [pair[1] for pair in given] if isinstance(given, list) else [given]
        for figure in figures:
            if figure:
                _compare(figure, bounds, plant, (f"presses[{number}]", key), found)


def _warn_of_built_rates(data: Mapping[str, Any], plant: Plant, found: FileFaults) -> None:
    [each] = [
        each for each in usual_figures()["figures"] if each["key"] == "rate_per_hour"
    ]
    for number, table in enumerate(data["cost_centres"]):
        if "basis" in table:
            rate = plant.cost_centres[table["id"]].rate_per_hour
            place = f"cost_centres[{number}]", "basis"
            _compare(rate, _bounds(each), plant, place, found)


def _warn_of_stock(
    table: str, given: Mapping[str, Any], plant: Plant, found: FileFaults
) -> None:
    stock, usual = plant.stocks[given["id"]], usual_figures()
    if stock.grade not in usual["bulk"]["not_of_grades"]:
        key = "caliper_um" if "caliper_um" in given else "bulk_cm3_per_g"
        bounds = _bounds(usual["bulk"])
        bulk = stock.caliper_um / stock.grammage_gsm
        if not bounds.holds(bulk):
            told = f"thickness over mass: {bounds.against(bulk, plant)}"
            found.add(table, key, told, "Check the thickness and the grammage.")
    if stock.grade in usual["price_per_kg"]["not_of_grades"]:
        return
    bounds = _bounds(usual["price_per_kg"])
    for form, number, price in _prices_per_kg(stock):
        own = given[form][number]
        place = f"{table}.{form}[{number}]" if "price" in own else table
        if bounds.speaks_of(plant) and not bounds.holds(price):
            told = f"as money for a kilogram: {bounds.against(price, plant)}"
            found.add(place, "price", told, "Check the price and what unit it is for.")
            if place == table:
                return  # all that has the price of the stock would be told the same


def _prices_per_kg(stock: Stock) -> Iterator[tuple[str, int, float]]:
    """Yield what it is bought in, the number of it, and what a kilogram costs."""
    kg_per_m2 = stock.grammage_gsm / 1000
    for number, sheet in enumerate(stock.sheets):
        yield "sheets", number, sheet.price / (_area_m2(sheet) * kg_per_m2)
    for number, reel in enumerate(stock.reels):
        yield "reels", number, reel.price_per_m2 / kg_per_m2


def _area_m2(sheet: ParentSheet) -> float:
    return sheet.width_mm * sheet.height_mm / 1e6


def _shown(figure: float) -> str:
    return f"{figure:,.0f}" if abs(figure) >= 1000 else f"{figure:.3g}"
