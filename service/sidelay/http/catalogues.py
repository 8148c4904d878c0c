"""The products of all plants: read with the plants, and every choice tried before anyone asks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ..catalogue_file import SUFFIX, catalogue_path, read_catalogue
from ..choosing import Contradiction, settle
from ..job_template import NoSuchPlace, job_of
from ..plant import Plant
from ..products import Catalogue, Choice, Choices, NumberOption, Option, Product
from ..toml_file import PlantFault, PlantFileError, located
from .faults import Fault, Faults, InvalidRequest
from .job_reader import read_job
from .schemas.request import load_request


@dataclass(frozen=True)
class Sold:
    """A product, the catalogue it stands in, and the plant that makes it."""

    product: Product
    catalogue: Catalogue
    plant: Plant


def read_products(plants: Sequence[tuple[Path, Plant]]) -> dict[str, Sold]:
    """Return the products of all plants by id, in the order of plants and catalogues.

    plants: each with its file, beside which its catalogue is, if it has one. Raises
    PlantFileError with the faults of all catalogues together.
    """
    faults: list[PlantFault] = []
    found: dict[str, Sold] = {}
    for file, plant in plants:
        path = catalogue_path(file)
        if not path.exists():
            continue
        try:
            catalogue = read_catalogue(path, plant)
        except PlantFileError as fault:
            faults += fault.faults
            continue
        except OSError as fault:
            faults.append(PlantFault(str(path), "", "", f"cannot be read: {fault.strerror}"))
            continue
        of_file: list[PlantFault] = []
        for product in catalogue.products:
            of_file += _faults_of(product, plant, path.name)
            if product.id in found:
                told = f"{product.id!r} is sold by plant {found[product.id].plant.id!r} too"
                where, fix = f"products ({product.id})", "Give one of them another id."
                of_file.append(PlantFault(path.name, where, "id", told, fix=fix))
            found[product.id] = Sold(product, catalogue, plant)
        faults += located(path, of_file)
    if faults:
        raise PlantFileError(faults)
    return found


def strays(folder: Path) -> list[PlantFault]:
    """Return a fault for each catalogue in a folder that has no plant file beside it."""
    return [
        PlantFault(
            file.name,
            "",
            "",
            "no plant file of this name stands beside it",
            fix=f"Rename it after its plant file: NAME{SUFFIX} beside NAME.toml.",
        )
        for file in sorted(folder.glob(f"*{SUFFIX}"))
        if not file.with_name(file.name.removesuffix(SUFFIX) + ".toml").exists()
    ]


def request_for(
    product: Product, choices: Choices, quantities: Sequence[int]
) -> dict[str, Any]:
    """Return the body of a request for a price of a full choice.

    Raises InvalidRequest where one value is put into what another would have to bring: of all the
    choices there are, those with one value each are tried as the catalogue is read.
    """
    try:
        job = job_of(product, choices, quantities)
    except NoSuchPlace as fault:
        told = f"These choices make no job together: {fault}."
        raise InvalidRequest([Fault((), "options_conflict", told)]) from None
    body: dict[str, Any] = {"job": job, "plant": product.plant}
    if product.processes:
        body["processes"] = list(product.processes)
    return body


def _faults_of(product: Product, plant: Plant, file: str) -> Iterator[PlantFault]:
    """Yield what is wrong with the jobs that the values of a product make."""
    seen = set[str]()
    for option, value in _each_value(product):
        try:
            choices = settle(product, {option.id: value})
        except Contradiction:  # told of values where the file was read; of a number no fault
            continue
        try:
            data, found = load_request(request_for(product, choices, product.ladder))
            read_job(data, plant, Faults(found))
        except InvalidRequest as fault:
            told = [f"{each.pointer}: {each.detail}" for each in fault.faults]
        else:
            continue
        for each in told:
            if each not in seen:
                seen.add(each)
                where, key = f"products ({product.id}).options ({option.id})", str(value)
                if not isinstance(option, NumberOption):
                    where, key = f"{where}.values ({value})", ""
                fix = "Change what this value puts into the job, or the job of the product."
                yield PlantFault(file, where, key, each, fix=fix)


def _each_value(product: Product) -> Iterator[tuple[Option, Choice]]:
    for option in product.options:
        if isinstance(option, NumberOption):
            yield option, option.least
            yield option, option.most
        else:
            yield from ((option, value.id) for value in option.values)
