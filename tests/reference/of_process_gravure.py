"""What the gravure model says where a published case of gravure asks."""

from collections.abc import Callable, Mapping
from typing import Any

from sidelay_gravure import press_schema
from sidelay_gravure.cylinders import cells, chrome_life_impressions, cycles_on_reel, engraving_h
from sidelay_gravure.inking import max_voc_emitted_kg

Inputs = Mapping[str, Any]
MOST_HEADS_TRIED = 64
PLAIN = {
    "id": "gravure",
    "name": "Gravure",
    "cost_centre": "gravure",
    "units": 8,
    "rated_m_per_min": 350,
    "feed": {"min_width_mm": 400, "max_width_mm": 1100, "min_repeat_mm": 400, "max_repeat_mm": 900},
}


def _press() -> Any:
    """A press with nothing but what must be given."""
    return press_schema()().load(PLAIN)


def _most_heads(_: Inputs) -> int:
    """The most heads that a press may have."""
    schema = press_schema()()
    tried = range(1, MOST_HEADS_TRIED + 1)
    return max(n for n in tried if not schema.validate(PLAIN | {"engraving_heads": n}))


def _impressions(inputs: Inputs) -> float:
    """Life of chrome, at the middle of the wear where that is a range."""
    wear = inputs["wear_um_per_100k"]
    middle = sum(wear) / len(wear) if isinstance(wear, list) else wear
    return chrome_life_impressions(inputs["start_um"], inputs["reject_um"], middle)


def _cells(inputs: Inputs) -> float:
    face_m2 = inputs["face_cm"] * inputs["circumference_cm"] / 1e4
    return cells(face_m2, inputs["lines_per_cm"])


def _hours(inputs: Inputs, heads: int) -> float:
    return engraving_h(_cells(inputs), inputs["cells_per_s_per_head"], heads)


FIGURES: dict[str, Callable[[Inputs], Any]] = {
    "max_voc_emitted_kg": lambda inputs: max_voc_emitted_kg(
        inputs["voc_plus_water_used_kg"], _press().max_voc_share
    ),
    "impressions_to_reject": _impressions,
    "stylus_cells_per_s": lambda _: _press().stylus_cells_per_s,
    "max_heads": _most_heads,
    "laser_cells_per_s_two_heads": lambda _: 2 * _press().laser_cells_per_s,
    "cells": _cells,
    "minutes_16_heads": lambda inputs: 60 * _hours(inputs, 16),
    "hours_1_head": lambda inputs: _hours(inputs, 1),
    "bags_from_one_reel": lambda inputs: cycles_on_reel(inputs["reel_m"], inputs["bag_length_m"]),
}

NOT_MODELLED: dict[str, str] = {
    "cny_per_colour": "what a cylinder costs is a parameter of the plant in its own currency; "
    "sidelay keeps no price list of other countries",
}
