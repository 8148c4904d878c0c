"""What a sheetfed litho press can do, whatever the job."""

from __future__ import annotations

from sidelay.plugin import (
    Abilities,
    both_sides_in_one_pass,
    usual_abilities,
)

from .limits import INK_KINDS, tones
from .press import LithoPress


def told_abilities(press: LithoPress) -> Abilities:
    """One ink a unit, a varnish beside them where there is a coater; both sides round the drum."""
    return usual_abilities(
        press,
        inks_in_one_pass=press.units,
        two_sided=press.perfecting_after_unit > 0 and both_sides_in_one_pass(press.feed),
        special_inks=INK_KINDS,
        tones=tones(press),
        rated_speed=press.rated_sheets_per_hour,
    )
