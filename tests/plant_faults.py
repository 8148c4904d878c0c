"""Faults of plant files as tests look at them."""

from dataclasses import replace

from sidelay.toml_file import PlantFileError


def plainly(error: PlantFileError) -> list[str]:
    """Each fault in one line, without the line of the file and without what to do about it."""
    return [str(replace(fault, line=None, fix="")) for fault in error.faults]
