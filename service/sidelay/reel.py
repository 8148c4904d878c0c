"""Repeats of printing cylinders, plate stretch, and what lies across and around a web.

Case ids refer to tests/reference/cases, where each has its source.
"""

from __future__ import annotations

from math import pi

from .paper import require_positive
from .paper_sizes import MM_PER_INCH as MM_PER_INCH


def repeat_mm(teeth: int, *, circular_pitch_mm: float = 0.0, diametral_pitch: float = 0.0) -> float:
    """Printing repeat [mm] of a cylinder from the teeth of its gear.

    circular_pitch_mm: length of repeat for each tooth: repeat = teeth x pitch
    diametral_pitch: teeth to an inch of pitch diameter: repeat = teeth x pi x 25.4 / pitch
    Raises ValueError unless exactly one pitch is given. Source: definitions of circular and
    diametral pitch (cases of topic flexo.repeat_cp).
    """
    require_positive(teeth=teeth)
    if (circular_pitch_mm > 0) == (diametral_pitch > 0):
        raise ValueError("expected either circular_pitch_mm or diametral_pitch")
    if circular_pitch_mm > 0:
        return round(teeth * circular_pitch_mm, 4)
    return round(teeth * pi * MM_PER_INCH / diametral_pitch, 4)


def plate_elongation(repeat: float, plate_thickness: float, base_thickness: float = 0.0) -> float:
    """Share by which a flat-made flexo plate stretches when it is bent round its cylinder.

    K / R: K = 2 pi x (plate - base), the part of the plate above its unstretching base; R = repeat.
    Any one unit of length. The image is made shorter by as much (topic flexo.distortion).
    """
    require_positive(repeat=repeat, plate_thickness=plate_thickness)
    if not 0 <= base_thickness < plate_thickness:
        raise ValueError("base_thickness must be 0 or more and less than the plate")
    return 2 * pi * (plate_thickness - base_thickness) / repeat


def plate_length(repeat: float, plate_thickness: float, base_thickness: float = 0.0) -> float:
    """Length of the image on the flat plate that prints one repeat: repeat x (1 - K / R)."""
    return repeat * (1 - plate_elongation(repeat, plate_thickness, base_thickness))
