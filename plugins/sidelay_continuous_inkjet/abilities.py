"""What a continuous inkjet press can do, whatever the job."""

from __future__ import annotations

from sidelay.plugin import (
    SPECIAL_INKS,
    Abilities,
    Ink,
    WebFeed,
    both_sides_in_one_pass,
    usual_abilities,
)

from .limits import can_be_had, tones
from .press import CijPress


def told_abilities(press: CijPress) -> Abilities:
    """One ink a row of heads; an array is rated in metres of web a minute, a line in pieces."""
    web = isinstance(press.feed, WebFeed)
    return usual_abilities(
        press,
        inks_in_one_pass=press.colours,
        two_sided=both_sides_in_one_pass(press.feed),
        special_inks=tuple(kind for kind in SPECIAL_INKS if can_be_had(press, Ink(kind, kind))),
        tones=tones(press),
        rated_speed=press.max_m_per_min if web else press.rated_pieces_per_hour,
        rated_unit="m/min" if web else "{cycle}/h",
    )
