"""What a drop-on-demand press can do, whatever the job."""

from __future__ import annotations

from sidelay.plugin import (
    PROCESS_INKS,
    Abilities,
    RatedUnit,
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
    speed, unit = _rated(press)
    own = [name for name in press.channels if name not in PROCESS_INKS]
    return usual_abilities(
        press,
        inks_in_one_pass=len(press.channels),
        two_sided=both_sides_in_one_pass(press.feed),
        special_inks={name if name in BY_KIND else "spot" for name in own},
        tones=tones(press),
        rated_speed=speed,
        rated_unit=unit,
    )


def _rated(press: InkjetPress) -> tuple[float, RatedUnit]:
    if not press.single_pass:
        return scanning_m2_per_hour(press.one_pass_m2_per_hour, fewest_head_passes(press)), "m2/h"
    if press.takes_sheets:
        return press.rated_sheets_per_hour, "{cycle}/h"
    return press.rated_m_per_min, "m/min"
