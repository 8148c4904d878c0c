"""Reads all files anew and makes the app that takes the place of one, or leaves it as it is.

All or nothing: one fault in a plant, a catalogue or the access file, and what was served before is
served on. The faults are told on the standard error; /readyz tells how many, and in which files.
"""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from flask import Flask

from ..catalogue_file import catalogue_path
from ..config import Settings
from ..toml_file import PlantFault, PlantFileError
from .metrics import count_reload
from .routes import EXTENSION
from .service import Reload, Service, start
from .still import Restless, read_when_still

# Stands before a fault that is in no file.
NO_FILE = "sidelay"

Make = Callable[[Service], Flask]


def successor_of(app: Flask, make: Make) -> Flask:
    """Return an app of the files as they are now; the old one where they have a fault.

    make: returns the app of a service. Raises nothing: whoever asks is the master of a server, and
    would take everything down with it.
    """
    service: Service = app.extensions[EXTENSION]
    at = int(service.clock())
    faults: Sequence[PlantFault]
    try:
        begun = _begun_anew(service)
        made = make(replace(begun, reload=Reload(at)))
    except PlantFileError as found:
        faults = found.faults
    except Restless as found:
        told = "was still being written; write beside it and rename"
        faults = [PlantFault(file.name, "", "", told) for file in found.files]
    except Exception:  # noqa: BLE001  (a plug-in may raise anything as its presses are read)
        traceback.print_exc()
        faults = [PlantFault(NO_FILE, "", "", "something went wrong; see above")]
    else:
        count_reload("done")
        _tell(["Reloaded.", *_changes(service, begun)])
        return made
    names = sorted({Path(fault.file).name for fault in faults} - {NO_FILE})
    app.extensions[EXTENSION] = replace(service, reload=Reload(at, len(faults), tuple(names)))
    count_reload("refused")
    head = f"Not reloaded, for {len(faults)} fault(s); what was served before is served on."
    _tell([head, *map(str, faults)])
    return app


def _begun_anew(service: Service) -> Service:
    settings = service.settings

    def files() -> list[Path]:
        return watched(settings)

    def read() -> Service:
        return start(settings, service.processes, service.clock)

    return read_when_still(files, read, settings.reload_still_s)


def watched(settings: Settings) -> list[Path]:
    """Return what a reload waits for: plants, catalogues, their folder and the access file."""
    where = settings.plants
    if where.is_dir():
        return [where, *sorted(where.glob("*.toml")), settings.access]
    return [where, catalogue_path(where), settings.access]


def _changes(before: Service, now: Service) -> Iterator[str]:
    """Tell the revision of each plant, and what it was."""
    for plant in now.plants.values():
        old = before.plants.get(plant.id)
        was = f"was {old.revision}" if old else "new"
        was = "as before" if old and old.revision == plant.revision else was
        yield f"plant {plant.id}: revision {plant.revision} ({was})"
    yield from (f"plant {gone}: gone" for gone in before.plants if gone not in now.plants)


def _tell(lines: Sequence[str]) -> None:
    print("\n".join(lines), file=sys.stderr, flush=True)
