"""What one process of the service holds: its processes, its plants and its planner."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from .. import __version__
from ..catalogue_file import SUFFIX
from ..config import Settings
from ..plan import Planner
from ..plant import Plant
from ..plant_file import read_plant
from ..processes import Processes
from ..toml_file import PlantFault, PlantFileError, located
from ..toml_fixes import near
from ..work import Process
from .access import Access, read_access
from .catalogues import Sold, read_products, strays
from .kept_answers import KeptAnswers, KeptLists, kept_answers, kept_lists
from .metrics import looks_into
from .openapi import document
from .press_schemas import press_schemas
from .quote_writer import HOUR_S, QuoteWriter
from .quotes import Quotes
from .revisions import Revisions

# How long a price of a plant without a catalogue is held: common practice, no source.
QUOTE_VALID_H = 72

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Reload:
    """How a reload went.

    at: when it was asked for [s since 1970, UTC]
    faults: how many stood in its way; with none it was done
    files: names of the files that they stand in
    """

    at: int
    faults: int = 0
    files: tuple[str, ...] = ()


@dataclass(frozen=True)
class Service:
    """Made once by the app factory; nothing in it changes but the plans and answers it keeps.

    plants: by id, in the order of ids, at least one
    default_plant: id of the plant for requests that name none
    products: by id, in the order of plants and catalogues
    press_schemas: JSON Schema of the presses of each process
    openapi: the OpenAPI document
    access: who may ask
    quotes: signs prices, and checks them
    kept, kept_lists: answers and listed prices that may be given again
    revisions: plant files of old that are kept
    reload: how the last reload went, None before the first
    version: one word that changes with the service, its plug-ins or its keys of quotes
    clock: returns what time it is [s since 1970, UTC], for requests that tell none
    """

    settings: Settings
    processes: Processes
    plants: Mapping[str, Plant]
    planner: Planner
    default_plant: str
    products: Mapping[str, Sold]
    press_schemas: Mapping[str, Any]
    openapi: Mapping[str, Any]
    access: Access
    quotes: Quotes
    kept: KeptAnswers
    kept_lists: KeptLists
    version: str
    revisions: Revisions
    clock: Callable[[], float] = time.time
    reload: Reload | None = None
    _by_group: dict[tuple[str, str], Plant] = field(default_factory=dict, init=False)

    def quote_writer(
        self, plant: Plant, group: str, job_fingerprint: str, as_of: int
    ) -> QuoteWriter:
        """Return what signs prices of a job, to be held from an instant on as the plant says."""
        expires_at = self.expiry(plant, as_of)
        return QuoteWriter(self.quotes, plant, group, job_fingerprint, expires_at)

    def expiry(self, plant: Plant, as_of: int) -> int:
        """Return until when a price told at an instant is held [s since 1970, UTC]."""
        own = (each.catalogue for each in self.products.values() if each.plant.id == plant.id)
        valid_h = next((catalogue.quote_valid_h for catalogue in own), QUOTE_VALID_H)
        return as_of + valid_h * HOUR_S

    def run_by(self, plant: Plant) -> dict[str, Process]:
        """Return the processes that presses of a plant run, by id."""
        return {each.process: self.processes.about[each.process] for each in plant.presses}

    @property
    def versions(self) -> dict[str, Any]:
        """What answers depend on beside plants and requests, as they tell it."""
        return {"service": __version__, "plugins": dict(sorted(self.processes.versions.items()))}

    def plant_of(self, plant_id: str, group: str) -> Plant:
        """Return a plant as a customer group is priced, always the same object. Raises KeyError."""
        key = plant_id, group
        if key not in self._by_group:
            self._by_group[key] = self.plants[plant_id].for_group(group)
        return self._by_group[key]

    def is_old(self, plant: Plant) -> bool:
        """Whether a plant is as a file had it that was replaced since."""
        return plant.revision != self.plants[plant.id].revision

    def plant_at(self, plant_id: str, revision: str, group: str) -> Plant:
        """Return a plant as one of its revisions has it, for a customer group.

        revision: "" for the current one. Raises KeyError for the plant, NoSuchRevision.
        """
        if revision in ("", self.plants[plant_id].revision):
            return self.plant_of(plant_id, group)
        return self.revisions.plant(plant_id, revision, group)

    def revisions_of(self, plant_id: str) -> list[str]:
        """Return the revisions of a plant that can be asked for: the current one, then the newest.

        Raises KeyError.
        """
        current = self.plants[plant_id].revision
        return [current, *(each for each in self.revisions.of(plant_id) if each != current)]


def start(
    settings: Settings, processes: Processes, clock: Callable[[], float] = time.time
) -> Service:
    """Read the plants, their products and who may ask, and return the service.

    Raises PlantFileError with the faults of all files together, the access file among them.
    """
    faults: list[PlantFault] = []
    read = _tried(lambda: read_plants(settings.plants, processes), faults) or []
    plants = {plant.id: plant for _, plant in read}
    default = settings.default_plant or next(iter(plants), "")
    if plants and default not in plants:
        told = f"SIDELAY_DEFAULT_PLANT names no plant: {default!r}; there is {', '.join(plants)}"
        fix = near(default, plants)
        faults.append(PlantFault(settings.plants.name, "", "", told, fix=fix))
    products = _tried(lambda: read_products(read), faults)
    # Where a plant cannot be read nobody knows its customer groups.
    groups = _groups(plants.values()) if plants else None
    access = _tried(lambda: read_access(settings.access, groups), faults)
    revisions = _tried(lambda: Revisions(settings.revisions, processes), faults)
    if faults or products is None or access is None or revisions is None:
        raise PlantFileError(faults)
    return Service(
        settings=settings,
        processes=processes,
        plants=plants,
        planner=Planner(processes, looks_into("plans")),
        default_plant=default,
        products=products,
        press_schemas=press_schemas(processes),
        openapi=document(processes),
        access=access,
        quotes=Quotes(settings.quote_keys),
        kept=kept_answers(),
        kept_lists=kept_lists(),
        version=_version(processes, settings.quote_keys),
        revisions=revisions,
        clock=clock,
    )


def _tried(read: Callable[[], T], faults: list[PlantFault]) -> T | None:
    """Return what a function reads; None where it finds faults, which are added."""
    try:
        return read()
    except PlantFileError as found:
        faults += found.faults
        return None


def read_plants(where: Path, processes: Processes) -> list[tuple[Path, Plant]]:
    """Return the plant of a file, or of every *.toml in a folder, each with its file, by their ids.

    Catalogues are no plants. Raises PlantFileError with the faults of all files together.
    """
    files = [where]
    faults: list[PlantFault] = []
    if where.is_dir():
        files = [file for file in sorted(where.glob("*.toml")) if not file.name.endswith(SUFFIX)]
        faults += strays(where)
    read: dict[str, tuple[Path, Plant]] = {}
    for file in files:
        try:
            plant = read_plant(file, processes)
        except PlantFileError as found:
            faults += found.faults
        except OSError as found:
            faults.append(PlantFault(str(file), "", "", f"cannot be read: {found.strerror}"))
        else:
            if plant.id in read:
                fault = PlantFault(
                    file.name,
                    "plant",
                    "id",
                    f"{plant.id!r} is taken",
                    fix=f"Give it another id: {read[plant.id][0].name} has this one.",
                )
                faults += located(file, [fault])
            read[plant.id] = file, plant
    if not files:
        faults.append(PlantFault(str(where), "", "", "no plant file (*.toml) in this folder"))
    if faults:
        raise PlantFileError(faults)
    return [read[plant_id] for plant_id in sorted(read)]


def _groups(plants: Iterable[Plant]) -> frozenset[str]:
    """Return the customer groups that some plant has prices for."""
    return frozenset(group for plant in plants for group in plant.group_policies)


def _version(processes: Processes, quote_keys: Sequence[str]) -> str:
    """Return 16 hexadecimal digits of all that answers depend on beside plants and requests.

    The plug-ins as installed; the key that signs too, for it decides the bytes of a quote.
    """
    parts = [__version__, *(f"{name}={told}" for name, told in sorted(processes.versions.items()))]
    parts += [f"{name}={about!r}" for name, about in processes.about.items()]
    signing = hashlib.sha256("".join(quote_keys[:1]).encode()).hexdigest()
    return hashlib.sha256("\n".join([*parts, signing]).encode()).hexdigest()[:16]
