"""Warnings on plant files and catalogues without fault: what is hardly meant, what is of no use."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from ..catalogue_file import catalogue_path
from ..http.catalogues import Sold
from ..plant import Plant
from ..processes import Processes
from ..toml_file import PlantFault, read_located
from .idle import warn_of_idle, warn_of_products
from .unlikely import warn_of_figures


def warnings_of(
    file: Path, plant: Plant, products: Collection[Sold], processes: Processes, now: int
) -> list[PlantFault]:
    """Return the warnings on a plant file and on the catalogue beside it, each by its lines.

    plant, products: as read from the two; now: the instant of asking [s since 1970, UTC]. Raises
    OSError where a file is gone, PlantFileError where it is no TOML any more.
    """
    data, _, found = read_located(file)
    warn_of_figures(data, plant, processes, found)
    warn_of_idle(data, plant, processes, now, found)
    told = found.found
    own = [sold for sold in products if sold.plant is plant]
    if own:
        _, _, of_catalogue = read_located(catalogue_path(file))
        warn_of_products(own, processes, of_catalogue)
        told += of_catalogue.found
    return told
