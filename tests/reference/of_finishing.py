"""Adapters for finishing rates."""

from dataclasses import replace

from reference.given import Inputs, mm, share
from reference.register import Figures, answers
from shop import bindery, leaf
from sidelay.paper import MM_PER_INCH


@answers("finishing.folding_rate")
def folding_rate(inputs: Inputs) -> Figures:
    speed = inputs["practical_in_per_min"] * MM_PER_INCH / 1000
    folder = replace(
        bindery().folder,
        parallel_m_per_min=speed,
        right_angle_m_per_min=speed,
        gap_share=share(inputs, "gap"),
    )
    length = mm(inputs, "sheet")
    flat = leaf(length / 2, length / 2, flat_width_mm=length / 2, flat_height_mm=length, folds=1)
    return {"per_hour": folder.pieces_per_hour(flat)}
