"""What the finishing machines of a plant file, left to their defaults, say to published cases."""

from collections.abc import Callable, Mapping
from typing import Any

from sidelay.plant_schema import FolderSchema

Inputs = Mapping[str, Any]

COUNTS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}


def folds(inputs: Inputs) -> int:
    """How many folds a case has: a number, or words such as "two right-angle"."""
    told = inputs["folds"]
    return told if isinstance(told, int) else COUNTS[told.split()[0]]


def _default(name: str) -> float:
    return float(FolderSchema().fields[name].load_default)


FIGURES: dict[str, Callable[[Inputs], Any]] = {
    "setup_sheets": lambda inputs: folds(inputs) * _default("set_up_waste_pieces_per_fold"),
    "running_waste_pct": lambda _: 100 * _default("running_waste"),
}
NOT_MODELLED: dict[str, str] = {}
