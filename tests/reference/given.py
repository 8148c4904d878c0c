"""Reads a case's inputs in whatever unit they were published.

A case names a length `roll_width_in` or `width_cm`, a mass `reel_kg` or `roll_weight_lb`: the unit
is the last word of the key. These functions find the key and convert; they do nothing else.
"""

from collections.abc import Mapping
from typing import Any

from sidelay.paper import KG_PER_LB, MM_PER_INCH, Basis, grammage_from_basis_weight
from sidelay.paper import caliper_um as bulky_caliper_um

Inputs = Mapping[str, Any]

MM_PER = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "um": 0.001,
    "in": MM_PER_INCH,
    "ft": 12 * MM_PER_INCH,
    "mil": MM_PER_INCH / 1000,
    "pt": MM_PER_INCH / 1000,  # the board trade's point, not the printer's
}
KG_PER = {"kg": 1.0, "g": 0.001, "t": 1000.0, "lb": KG_PER_LB}


def has(inputs: Inputs, *stems: str) -> bool:
    """Whether a length or a mass is given under one of the names, in any unit."""
    return any(f"{stem}_{unit}" in inputs for stem in stems for unit in (*MM_PER, *KG_PER))


def mm(inputs: Inputs, *stems: str) -> Any:
    """A length in mm, or a list of them (a size) in the same nesting."""
    return _converted(inputs, stems, MM_PER)


def kg(inputs: Inputs, *stems: str) -> Any:
    """A mass in kg."""
    return _converted(inputs, stems, KG_PER)


def inches(inputs: Inputs, *stems: str) -> Any:
    """A length in inches, or a list of them; a figure given in inches is passed on untouched."""
    return _converted(inputs, stems, {**{u: f / MM_PER_INCH for u, f in MM_PER.items()}, "in": 1.0})


def lb(inputs: Inputs, *stems: str) -> Any:
    """A mass in pounds; a figure given in pounds is passed on untouched."""
    return _converted(inputs, stems, {**{u: f / KG_PER_LB for u, f in KG_PER.items()}, "lb": 1.0})


def basis(inputs: Inputs) -> Basis:
    """The basic size: a grade's name, the size in inches, or its area (as a size one inch high)."""
    for key in ("basis", "grade"):
        if isinstance(inputs.get(key), str):
            return str(inputs[key])
    if "basic_area_in2" in inputs:
        return float(inputs["basic_area_in2"]), 1.0
    width, height = inches(inputs, "basic_size", "basic")
    return width, height


def gsm(inputs: Inputs) -> float:
    """The grammage, given outright or as a basis weight."""
    for key in ("gsm", "grammage_gsm"):
        if key in inputs:
            return float(inputs[key])
    return grammage_from_basis_weight(inputs["basis_lb"], basis(inputs))


def caliper_um(inputs: Inputs) -> float:
    """The caliper, given outright or as grammage and volume."""
    if has(inputs, "caliper", "thickness"):
        return float(mm(inputs, "caliper", "thickness") * 1000)
    return bulky_caliper_um(gsm(inputs), inputs["volume"])


def area_in2(inputs: Inputs, stem: str) -> float:
    """An area in square inches, given outright or as a size."""
    if f"{stem}_area_in2" in inputs:
        return float(inputs[f"{stem}_area_in2"])
    width, height = inches(inputs, stem)
    return float(width * height)


def share(inputs: Inputs, stem: str) -> float:
    """A share from 0 to 1, given as such or in per cent."""
    if f"{stem}_pct" in inputs:
        return float(inputs[f"{stem}_pct"]) / 100
    return float(inputs[stem])


def _converted(inputs: Inputs, stems: tuple[str, ...], factors: Mapping[str, float]) -> Any:
    for stem in stems:
        for unit, factor in factors.items():
            if f"{stem}_{unit}" in inputs:
                return _scaled(inputs[f"{stem}_{unit}"], factor)
    raise KeyError(f"none of {stems} is given in {sorted(factors)}; inputs: {sorted(inputs)}")


def _scaled(figure: Any, factor: float) -> Any:
    if isinstance(figure, list | tuple):
        return [_scaled(item, factor) for item in figure]
    return figure if factor == 1 else round(figure * factor, 9)
