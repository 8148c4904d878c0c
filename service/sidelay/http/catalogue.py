"""What the service knows: its processes and its plants. Rates and margins are not shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from ..binders import Binder
from ..buying import Terms
from ..feeds import Feed
from ..operations import FinishingMachine
from ..plant import InstalledPress, Plant
from ..processes import Processes
from ..stock import Stock
from ..work import Process
from .moments import moment_text
from .problems import Problem
from .render import write_facts, write_plant_head
from .render_rates import write_cost_centre
from .render_time import write_time
from .revisions import NoSuchRevision
from .service import Reload, Service

# What names a finishing machine and a binder; whether it is bought out comes after that.
OPERATION_HEAD = ("id", "name", "operation", "unit", "finishes", "bought_out")
BINDER_HEAD = ("id", "name", "method")
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


def write_reload(reload: Reload) -> dict[str, Any]:
    """Return how a reload went; for anyone to see, so without what the faults are."""
    return {
        "at": moment_text(reload.at, "UTC"),
        "ok": not reload.faults,
        "faults": reload.faults,
        "files": list(reload.files),
    }


def show_plant(plant_id: str, service: Service, revision: str = "") -> dict[str, Any]:
    """Return one plant with its presses and its stocks. Raises Problem when not known.

    revision: of its file; "" for the current one
    """
    if plant_id not in service.plants:
        raise Problem("not_found", f"No such plant; there is {', '.join(service.plants)}.")
    try:
        plant = service.plant_at(plant_id, revision, "")
    except NoSuchRevision as fault:
        raise Problem("not_found", str(fault)) from None
    processes = service.processes
    return {
        **write_plant_head(plant),
        "revisions": service.revisions_of(plant_id),
        "cost_centres": [
            write_cost_centre(centre, plant.digits) for centre in plant.cost_centres.values()
        ],
        "presses": [_press(installed, processes) for installed in plant.presses],
        "operations": [_machine(machine, OPERATION_HEAD) for machine in plant.operations],
        "binders": [_machine(binder, BINDER_HEAD) for binder in plant.binders],
        "stocks": [_stock(stock) for stock in plant.stocks.values()],
        "time": write_time(plant),
    }


def _process(about: Process) -> dict[str, Any]:
    return {"id": about.id, "standard_token": about.standard_token, **write_facts(about)}


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


def _machine(machine: FinishingMachine | Binder, head: tuple[str, ...]) -> dict[str, Any]:
    """Return a machine, or what is bought out, and its figures; what is money stays in the house.

    head: what names it; the rest are its figures, those left out that say nothing
    """
    members = {field.name: getattr(machine, field.name) for field in fields(machine)}
    told = {
        name: list(members[name]) if isinstance(members[name], tuple) else members[name]
        for name in head
        if name in members
    }
    figures = {
        name: list(value) if isinstance(value, tuple) else value
        for name, value in members.items()
        if name not in (*head, "source") and not _is_money(name) and value not in (None, (), "")
    }
    return {**told, "bought_out": machine.bought_out, "figures": figures, "source": machine.source}


def _is_money(name: str) -> bool:
    return "price" in name or name.startswith("material_")


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
        "lead_days": stock.lead_days,
        "sheets": [
            {
                "width_mm": sheet.width_mm,
                "height_mm": sheet.height_mm,
                "grain": sheet.grain,
                **_pack(sheet.terms),
            }
            for sheet in stock.sheets
        ],
        "reels": [
            {"width_mm": reel.width_mm, "length_m": reel.length_m, **_pack(reel.terms)}
            for reel in stock.reels
        ],
        "blanks": [
            {
                "label": blank.label,
                "width_mm": blank.width_mm,
                "height_mm": blank.height_mm,
                **_pack(blank.terms),
            }
            for blank in stock.blanks
        ],
    }


def _pack(terms: Terms | None) -> dict[str, Any]:
    """Return how many are in a pack and whether it is opened; where there is none, any number."""
    if terms is None or not terms.pack:
        return {"pack": None, "breaks_packs": True}
    return {"pack": round(terms.pack, 1), "breaks_packs": terms.breaks_packs}
