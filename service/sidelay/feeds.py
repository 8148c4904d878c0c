"""How a press takes its substrate. The core lays work out for a feed; the press model need not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

WorkStyle = Literal["one_side", "sheetwise", "work_and_turn", "work_and_tumble", "perfecting"]
WORK_STYLES: tuple[WorkStyle, ...] = get_args(WorkStyle)


@dataclass(frozen=True, slots=True)
class SheetFeed:
    """A press fed with cut sheets. All lengths in mm.

    min_width_mm .. max_width_mm: across the machine, along the edge that goes in first
    min_length_mm .. max_length_mm: in the direction of travel
    gripper_mm: strip that cannot print at the edge that goes in first
    tail_mm: the same at the other end
    side_mm: the same at each side
    colour_bar_mm: strip kept for the control bar, beside the tail
    work_styles: ways to print the second side; "one_side" is always possible
    """

    min_width_mm: float
    max_width_mm: float
    min_length_mm: float
    max_length_mm: float
    gripper_mm: float
    tail_mm: float
    side_mm: float
    colour_bar_mm: float
    work_styles: tuple[WorkStyle, ...]

    def takes(self, width_mm: float, length_mm: float) -> bool:
        """Whether a sheet of this width and length runs through the press."""
        return (
            self.min_width_mm <= width_mm <= self.max_width_mm
            and self.min_length_mm <= length_mm <= self.max_length_mm
        )
