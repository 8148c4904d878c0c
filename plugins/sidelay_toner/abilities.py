"""What a toner press can do, whatever the job."""

from __future__ import annotations

from sidelay.plugin import Abilities, SheetFeed, usual_abilities

from .limits import tones
from .press import TonerPress
from .running import MIN_PER_HOUR, at

# Long edge first, as the engine is rated.
A4_LENGTH_MM = 210.0
# What a station is called that holds no colour. Any other beside the process toners is a spot.
KINDS = {"white": "white", "clear": "varnish", "varnish": "varnish", "metallic": "metallic"}


def told_abilities(press: TonerPress) -> Abilities:
    """One toner a station, all in one go; rated in A4 sides an hour."""
    kinds = {KINDS.get(name, "spot") for name in press.extra_stations}
    sides = at(press.sides_per_minute_by_length, A4_LENGTH_MM)
    return usual_abilities(
        press,
        inks_in_one_pass=len(press.stations),
        two_sided=isinstance(press.feed, SheetFeed)
        and any(style != "one_side" for style in press.feed.work_styles),
        special_inks=kinds,
        tones=tones(press),
        rated_speed=None if sides is None else sides * MIN_PER_HOUR,
    )
