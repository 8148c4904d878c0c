"""What one process of the service holds: its processes, its plants and its planner."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ..config import Settings
from ..plan import Planner
from ..plant import Plant
from ..plant_file import read_plant
from ..processes import Processes
from ..toml_file import PlantFault, PlantFileError
from .openapi import document
from .press_schemas import press_schemas


@dataclass(frozen=True)
class Service:
    """Made once by the app factory; nothing in it changes but the plans that the planner keeps.

    plants: by id, in the order of ids, at least one
    default_plant: id of the plant for requests that name none
    press_schemas: JSON Schema of the presses of each process
    openapi: the OpenAPI document
    clock: returns what time it is [s since 1970, UTC], for requests that tell none
    """

    settings: Settings
    processes: Processes
    plants: Mapping[str, Plant]
    planner: Planner
    default_plant: str
    press_schemas: Mapping[str, Any]
    openapi: Mapping[str, Any]
    clock: Callable[[], float] = time.time


def start(
    settings: Settings, processes: Processes, clock: Callable[[], float] = time.time
) -> Service:
    """Read the plants and return the service. Raises PlantFileError."""
    plants = read_plants(settings.plants, processes)
    default = settings.default_plant or next(iter(plants))
    if default not in plants:
        known = ", ".join(plants)
        fault = f"SIDELAY_DEFAULT_PLANT names no plant: {default!r}; there is {known}"
        raise PlantFileError([PlantFault(settings.plants.name, "", "", fault)])
    return Service(
        settings=settings,
        processes=processes,
        plants=plants,
        planner=Planner(processes),
        default_plant=default,
        press_schemas=press_schemas(processes),
        openapi=document(processes),
        clock=clock,
    )


def read_plants(where: Path, processes: Processes) -> dict[str, Plant]:
    """Return the plants of a file, or of every *.toml in a folder, by id in the order of ids.

    Raises PlantFileError with the faults of all files together.
    """
    files = sorted(where.glob("*.toml")) if where.is_dir() else [where]
    faults: list[PlantFault] = []
    plants: dict[str, Plant] = {}
    for file in files:
        try:
            plant = read_plant(file, processes)
        except PlantFileError as found:
            faults += found.faults
        except OSError as found:
            faults.append(PlantFault(str(file), "", "", f"cannot be read: {found.strerror}"))
        else:
            if plant.id in plants:
                faults.append(PlantFault(file.name, "plant", "id", f"{plant.id!r} is taken"))
            plants[plant.id] = plant
    if not files:
        faults.append(PlantFault(str(where), "", "", "no plant file (*.toml) in this folder"))
    if faults:
        raise PlantFileError(faults)
    return dict(sorted(plants.items()))
