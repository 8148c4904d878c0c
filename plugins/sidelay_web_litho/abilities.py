"""What a web litho press can do, whatever the job."""

from __future__ import annotations

from sidelay.plugin import Abilities, both_sides_in_one_pass, usual_abilities

from .limits import tones
from .press import WebPress


def told_abilities(press: WebPress) -> Abilities:
    """All inks of a side in the one pass that a web takes; rated in cut-offs an hour."""
    return usual_abilities(
        press,
        inks_in_one_pass=press.inks_per_side,
        two_sided=both_sides_in_one_pass(press.feed),
        special_inks=press.ink_kinds,
        tones=tones(press),
        rated_speed=press.rated_cutoffs_per_hour,
    )
