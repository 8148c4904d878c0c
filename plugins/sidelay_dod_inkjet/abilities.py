"""What a drop-on-demand press can do, whatever the job."""

from __future__ import annotations

from dataclasses import replace

from sidelay.plugin import (
    PROCESS_INKS,
    SPECIAL_INKS,
    Abilities,
    both_sides_in_one_pass,
    usual_abilities,
)

from .heads import scanning_m2_per_hour
from .inks import BY_KIND
from .limits import tones
from .press import InkjetPress
from .timing import fewest_head_passes


def told_abilities(press: InkjetPress) -> Abilities:
    """One ink a row of heads; rated in sheets or metres, a carriage in square metres an hour."""
    kinds = {c if c in BY_KIND else "spot" for c in press.channels if c not in PROCESS_INKS}
    told = replace(
        usual_abilities(press),
        inks_in_one_pass=len(press.channels),
        two_sided=both_sides_in_one_pass(press.feed),
        special_inks=tuple(kind for kind in SPECIAL_INKS if kind in kinds),
        tones=tones(press),
    )
    if not press.single_pass:
        area = scanning_m2_per_hour(press.one_pass_m2_per_hour, fewest_head_passes(press))
        return replace(told, rated_speed=area, rated_unit="m2/h")
    if press.takes_sheets:
        return replace(told, rated_speed=press.rated_sheets_per_hour)
    return replace(told, rated_speed=press.rated_m_per_min, rated_unit="m/min")
