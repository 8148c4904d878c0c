"""Repeats of cylinders and the stretch of plates on them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reference.register import answers
from sidelay.reel import MM_PER_INCH, plate_elongation, repeat_mm


@answers("flexo.repeat_cp")
def repeat_cp(given: Mapping[str, Any]) -> dict[str, Any]:
    pitch = given["circular_pitch_in"] * MM_PER_INCH
    return {"repeat_in": repeat_mm(given["teeth"], circular_pitch_mm=pitch) / MM_PER_INCH}


@answers("flexo.distortion")
def distortion(given: Mapping[str, Any]) -> dict[str, Any]:
    base = given.get("base_thickness_in", 0.0)
    stretch = plate_elongation(given["repeat_in"], given["plate_thickness_in"], base)
    return {"shrink_pct": 100 * stretch}
