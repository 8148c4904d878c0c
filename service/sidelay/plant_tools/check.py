"""`sidelay plant check`: every fault of plant files and their catalogues, and what is unlikely."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from ..catalogue_file import SUFFIX, catalogue_path, read_tables
from ..http.catalogues import Sold, read_products
from ..http.service import read_plants
from ..plant import Plant
from ..processes import Processes
from ..toml_file import PlantFault, PlantFileError
from .warn import warnings_of

DONE, REFUSED, USAGE = 0, 1, 2
Read = list[tuple[Path, Plant]]


def run(options: argparse.Namespace, clock: Callable[[], float] = time.time) -> int:
    """Print the faults, or what was found in good order with its warnings; return the status.

    Faults go to the standard error, warnings to the standard output.
    """
    if not options.file.exists():
        print(f"{options.file} is not there.", file=sys.stderr)
        return USAGE
    if options.file.name.endswith(SUFFIX):
        of = options.file.name.removesuffix(SUFFIX)
        print(f"{options.file} is a catalogue: check its plant file, {of}.toml.", file=sys.stderr)
        return USAGE
    processes = Processes.discover()
    for left_out in processes.faults:
        print(f"warning: a plug-in is left out: {left_out.why}", file=sys.stderr)
    try:
        plants = read_plants(options.file, processes)
        products = read_products(plants)
    except PlantFileError as found:
        faults = dict.fromkeys([*found.faults, *_hidden(options.file, processes)])
        print("\n".join(map(str, faults)), file=sys.stderr)
        print(_count(len(faults), "fault"), file=sys.stderr)
        return REFUSED
    warned = _tell(plants, products, processes, int(clock()))
    return REFUSED if warned and options.strict else DONE


def _tell(
    plants: Read, products: dict[str, Sold], processes: Processes, now: int
) -> int:
    """Print each plant with its warnings; return how many there are."""
    warned = 0
    for file, plant in plants:
        sold = [each for each in products.values() if each.plant is plant]
        warnings = warnings_of(file, plant, sold, processes, now)
        warned += len(warnings)
        for warning in warnings:
            print(f"warning: {warning}")
        told = f"no fault, {_count(len(warnings), 'warning')}; {_count(len(sold), 'product')}"
        print(f"{file}: plant {plant.id}, revision {plant.revision}: {told}")
    return warned


def _count(number: int, word: str) -> str:
    return f"{number or 'no'} {word}{'' if number == 1 else 's'}"


# ---------------------------------------------------------------- what a fault would hide


def _hidden(where: Path, processes: Processes) -> Iterator[PlantFault]:
    """Yield the faults that a service would come to later, once those before them are mended.

    Of every catalogue: where its plant file is sound, all of its faults, else those of its tables.
    """
    for file in _files(where):
        try:
            read_products(read_plants(file, processes))
        except PlantFileError as found:
            yield from found.faults
        beside = catalogue_path(file)
        if beside.is_file():
            try:
                read_tables(beside)
            except PlantFileError as found:
                yield from found.faults
            except OSError as fault:
                yield PlantFault(str(beside), "", "", f"cannot be read: {fault.strerror}")


def _files(where: Path) -> list[Path]:
    if not where.is_dir():
        return [where]
    return [file for file in sorted(where.glob("*.toml")) if not file.name.endswith(SUFFIX)]
