"""What a screen press can do, whatever the job."""

from __future__ import annotations

from sidelay.plugin import Abilities, usual_abilities

from .limits import tones
from .mesh import most_ruling_lpi
from .press import ScreenPress


def told_abilities(press: ScreenPress) -> Abilities:
    """One ink a station, each side anew; the mesh in stock may be too coarse for the ruling.

    White under light inks on dark stock, its flash and its cool-down take stations too.
    """
    return usual_abilities(
        press,
        inks_in_one_pass=press.stations,
        two_sided=False,
        special_inks=press.ink_kinds,
        finest_ruling_lpi=min(press.max_ruling_lpi, most_ruling_lpi(press)),
        tones=tones(press),
        rated_speed=press.rated_per_hour,
    )
