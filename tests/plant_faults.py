"""Faults of plant files as tests look at them."""

from dataclasses import replace
from pathlib import Path

import pytest

from shop import processes
from sidelay.plant_file import read_plant
from sidelay.toml_file import PlantFileError


def refused(folder: Path, text: str, *changes: tuple[str, str]) -> PlantFileError:
    """How a plant file is refused that differs from a text; each change is made once."""
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    path = folder / "shop.toml"
    path.write_text(text)
    with pytest.raises(PlantFileError) as caught:
        read_plant(path, processes())
    return caught.value


def plainly(error: PlantFileError) -> list[str]:
    """Each fault in one line, without the line of the file and without what to do about it."""
    return [str(replace(fault, line=None, fix="")) for fault in error.faults]
