"""What the service knows: its processes and its plants.

Hourly rates are shown with what they are made of; prices, mark-ups and margins are not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

import numpy as np

from ..feeds import Feed
from ..money import decimal_text, to_minor
from ..plant import CostCentre, InstalledPress, Plant
from ..processes import Processes
from ..rates import RateBuild
from ..stock import Stock
from ..work import Process
from .problems import Problem
from .render import write_facts, write_plant_head

# The unit of money in a press schema, and members of a press that are none of its figures.
MONEY = "{currency}"
NO_FIGURES = {"id", "name", "cost_centre", "feed", "sources"}


def list_processes(processes: Processes) -> dict[str, Any]:
    """Return every process and its facts."""
    return {"processes": [_process(about) for about in processes.about.values()]}


def show_process(
    process_id: str, processes: Processes, press_schemas: Mapping[str, Any]
) -> dict[str, Any]:
    """Return one process and the JSON Schema of its presses. Raises Problem when not known."""
    about = processes.about.get(process_id)
    if about is None:
        raise Problem("not_found", f"No such process; there is {', '.join(processes.about)}.")
    return {**_process(about), "press_schema": press_schemas[process_id]}


def list_plants(plants: Mapping[str, Plant]) -> dict[str, Any]:
    """Return every plant by name."""
    return {"plants": [write_plant_head(plant) for plant in plants.values()]}


def show_plant(plant_id: str, plants: Mapping[str, Plant], processes: Processes) -> dict[str, Any]:
    """Return one plant: cost centres, presses, stocks. Raises Problem when not known."""
    plant = plants.get(plant_id)
    if plant is None:
        raise Problem("not_found", f"No such plant; there is {', '.join(plants)}.")
    return {
        **write_plant_head(plant),
        "cost_centres": [
            _cost_centre(centre, plant.digits) for centre in plant.cost_centres.values()
        ],
        "presses": [_press(installed, processes) for installed in plant.presses],
        "stocks": [_stock(stock) for stock in plant.stocks.values()],
    }


def _process(about: Process) -> dict[str, Any]:
    return {"id": about.id, "standard_token": about.standard_token, **write_facts(about)}


def _cost_centre(centre: CostCentre, digits: int) -> dict[str, Any]:
    return {
        "id": centre.id,
        "name": centre.name,
        "rate_per_hour": decimal_text(_minor([centre.rate_per_hour], digits)[0], digits),
        "build": _build(centre.build, digits) if centre.build else None,
        "source": centre.source,
    }


def _build(build: RateBuild, digits: int) -> dict[str, Any]:
    """Return what a rate is made of; the total is the sum of the rounded items, as everywhere."""
    amounts = _minor([item.per_year for item in build.items], digits)
    return {
        "items": [
            {"item": item.name, "per_year": decimal_text(minor, digits), "because": item.because}
            for item, minor in zip(build.items, amounts, strict=True)
        ],
        "chargeable_hours": build.chargeable_hours,
        "total_per_year": decimal_text(sum(amounts), digits),
    }


def _minor(amounts: list[float], digits: int) -> list[int]:
    rounded: list[int] = to_minor(np.array(amounts, dtype=np.float64), digits).tolist()
    return rounded


def _press(installed: InstalledPress, processes: Processes) -> dict[str, Any]:
    """Return a press, its figures and where they come from; what is money stays in the house."""
    press, described = installed.press, processes.press_schema(installed.process).fields
    money = {name for name, field in described.items() if MONEY in field.metadata.get("x-unit", "")}
    own = sorted(set(described) - money - NO_FIGURES)
    return {
        "id": press.id,
        "name": press.name,
        "process": installed.process,
        "cost_centre": press.cost_centre,
        "feed": _feed(press.feed),
        "figures": {name: getattr(press, name) for name in own},
        "sources": {
            name: source for name, source in sorted(press.sources.items()) if name not in money
        },
    }


def _feed(feed: Feed) -> dict[str, Any]:
    """Return the kind of a feed and its own members."""
    members = {field.name: getattr(feed, field.name) for field in fields(feed)}
    return {"kind": feed.kind, "makes": list(feed.makes)} | {
        name: list(value) if isinstance(value, tuple) else value for name, value in members.items()
    }


def _stock(stock: Stock) -> dict[str, Any]:
    return {
        "id": stock.id,
        "name": stock.name,
        "grade": stock.grade,
        "finish": stock.finish,
        "grammage_gsm": stock.grammage_gsm,
        "caliper_um": round(stock.caliper_um, 1),
        "tone": stock.tone,
        "treated": stock.treated,
        "sheets": [
            {"width_mm": sheet.width_mm, "height_mm": sheet.height_mm, "grain": sheet.grain}
            for sheet in stock.sheets
        ],
        "reels": [{"width_mm": reel.width_mm, "length_m": reel.length_m} for reel in stock.reels],
        "blanks": [
            {"label": blank.label, "width_mm": blank.width_mm, "height_mm": blank.height_mm}
            for blank in stock.blanks
        ],
    }
