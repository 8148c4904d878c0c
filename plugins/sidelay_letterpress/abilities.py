"""What a letterpress press can do, whatever the job."""

from __future__ import annotations

from sidelay.plugin import Abilities, usual_abilities

from .limits import tones
from .press import LetterpressPress


def told_abilities(press: LetterpressPress) -> Abilities:
    """One ink a unit, each side anew."""
    return usual_abilities(
        press,
        inks_in_one_pass=press.units,
        two_sided=False,
        special_inks=press.ink_kinds,
        tones=tones(press),
        rated_speed=press.rated_impressions_per_hour,
    )
