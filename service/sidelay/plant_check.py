"""`sidelay plant check`: every fault of plant files and their catalogues."""

from __future__ import annotations

import argparse
import sys

from .http.catalogues import read_products
from .http.service import read_plants
from .processes import Processes
from .toml_file import PlantFileError

DONE, REFUSED = 0, 1


def run(options: argparse.Namespace) -> int:
    """Print the faults, or what was found in good order; return the exit status."""
    try:
        plants = read_plants(options.file, Processes.discover())
        products = read_products(plants)
    except PlantFileError as found:
        print(found, file=sys.stderr)
        return REFUSED
    for file, plant in plants:
        sold = sum(each.plant is plant for each in products.values())
        print(f"{file}: plant {plant.id}, revision {plant.revision}: no fault; {sold} product(s)")
    return DONE
