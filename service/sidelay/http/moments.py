"""Wall times, their offsets from UTC, and instants as the clocks of a zone show them.

Instants are whole seconds since 1970, UTC.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from ..working_time import gap_end

_EPOCH = datetime(1970, 1, 1)
_SECOND = timedelta(seconds=1)


def offset_of(text: str) -> timedelta:
    """Return by how much clocks are ahead of UTC: of Z, +01:00, -03:30."""
    if text == "Z":
        return timedelta()
    ahead = timedelta(hours=int(text[1:3]), minutes=int(text[4:]))
    return -ahead if text[0] == "-" else ahead


def instant(wall: datetime, offset: timedelta) -> int:
    """Return when clocks that are so far ahead of UTC show a time."""
    return (wall - offset - _EPOCH) // _SECOND


def moment_text(at: int, zone: str) -> str:
    """Return an instant as RFC 3339 writes it, with the zone's offset."""
    return datetime.fromtimestamp(at, ZoneInfo(zone)).isoformat()


def clock_change(zone: str, missing: datetime) -> tuple[datetime, datetime]:
    """Return the wall times from which and to which clocks go where they pass over one.

    missing: a wall time that the clocks of the zone never show
    """
    # PEP 495: in a gap fold 0 has the offset before the change, and fold 1 the one after it.
    old, new = (_offset_in(missing.replace(tzinfo=ZoneInfo(zone), fold=fold)) for fold in (0, 1))
    change = _EPOCH + gap_end(zone, missing) * _SECOND
    return change + old, change + new


def _offset_in(wall: datetime) -> timedelta:
    return wall.utcoffset() or timedelta()
