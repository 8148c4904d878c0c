"""What a letterpress press can do, whatever the job."""

from __future__ import annotations

from dataclasses import replace

from sidelay.plugin import SPECIAL_INKS, Abilities, usual_abilities

from .limits import tones
from .press import LetterpressPress


def told_abilities(press: LetterpressPress) -> Abilities:
    """One ink a unit, each side anew."""
    return replace(
        usual_abilities(press),
        inks_in_one_pass=press.units,
        two_sided=False,
        special_inks=tuple(kind for kind in SPECIAL_INKS if kind in press.ink_kinds),
        tones=tones(press),
        rated_speed=press.rated_impressions_per_hour,
    )
