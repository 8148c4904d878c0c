"""What a flexo press can do, whatever the job."""

from __future__ import annotations

from sidelay.plugin import SPECIAL_INKS, Abilities, both_sides_in_one_pass, usual_abilities

from .plates import tones
from .press import FlexoPress


def told_abilities(press: FlexoPress) -> Abilities:
    """One ink a deck, of any kind; rated in metres of web a minute."""
    return usual_abilities(
        press,
        inks_in_one_pass=press.units,
        two_sided=both_sides_in_one_pass(press.feed),
        special_inks=SPECIAL_INKS,
        tones=tones(press),
        rated_speed=press.rated_m_per_min,
        rated_unit="m/min",
    )
