"""What the service knows: its processes and its plants. Rates and margins are not shown."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..plant import InstalledPress, Plant
from ..processes import Processes
from ..stock import Stock
from ..work import Process
from .problems import Problem
from .render import write_facts, write_plant_head


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


def show_plant(plant_id: str, plants: Mapping[str, Plant]) -> dict[str, Any]:
    """Return one plant with its presses and its stocks. Raises Problem when not known."""
    plant = plants.get(plant_id)
    if plant is None:
        raise Problem("not_found", f"No such plant; there is {', '.join(plants)}.")
    return {
        **write_plant_head(plant),
        "presses": [_press(installed) for installed in plant.presses],
        "stocks": [_stock(stock) for stock in plant.stocks.values()],
    }


def _process(about: Process) -> dict[str, Any]:
    return {"id": about.id, "standard_token": about.standard_token, **write_facts(about)}


def _press(installed: InstalledPress) -> dict[str, Any]:
    press = installed.press
    feed = press.feed
    return {
        "id": press.id,
        "name": press.name,
        "process": installed.process,
        "cost_centre": press.cost_centre,
        "feed": {
            "min_width_mm": feed.min_width_mm,
            "max_width_mm": feed.max_width_mm,
            "min_length_mm": feed.min_length_mm,
            "max_length_mm": feed.max_length_mm,
            "gripper_mm": feed.gripper_mm,
            "tail_mm": feed.tail_mm,
            "side_mm": feed.side_mm,
            "colour_bar_mm": feed.colour_bar_mm,
            "work_styles": list(feed.work_styles),
        },
    }


def _stock(stock: Stock) -> dict[str, Any]:
    return {
        "id": stock.id,
        "name": stock.name,
        "grade": stock.grade,
        "finish": stock.finish,
        "grammage_gsm": stock.grammage_gsm,
        "caliper_um": round(stock.caliper_um, 1),
        "sheets": [
            {"width_mm": sheet.width_mm, "height_mm": sheet.height_mm, "grain": sheet.grain}
            for sheet in stock.sheets
        ],
    }
