"""Marshmallow fields for days and times as TOML has them, or as strings in their form."""

from __future__ import annotations

import re
from datetime import date, datetime, time
from typing import Any

from marshmallow import ValidationError, fields

WEEKDAY_NAMES = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MIN_PER_HOUR = 60
_HOURS_AND_MINUTES = re.compile(r"([01][0-9]|2[0-3]):([0-5][0-9])\Z")
_YEARS = range(2000, 2200)


class ClockTime(fields.Field[int]):
    """A time of day, read as minutes after midnight: a local time, or "07:30".

    ends_day: whether "24:00" may be told, the midnight that ends the day
    """

    def __init__(self, *, ends_day: bool = False, **described: Any) -> None:
        super().__init__(**described)
        self._ends_day = ends_day

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> int:
        if self._ends_day and value == "24:00":
            return 24 * MIN_PER_HOUR
        if isinstance(value, time) and not (value.second or value.microsecond):
            return value.hour * MIN_PER_HOUR + value.minute
        if isinstance(value, str) and (told := _HOURS_AND_MINUTES.match(value)):
            return int(told[1]) * MIN_PER_HOUR + int(told[2])
        last = "24:00" if self._ends_day else "23:59"
        raise ValidationError(f"expected a time of day in whole minutes, 00:00 to {last}")


class Weekdays(fields.List[str]):
    """Days of the week, read as numbers: 0 for Monday to 6 for Sunday."""

    def __init__(self, **described: Any) -> None:
        super().__init__(fields.Raw(), **described)

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, list) or not value:
            raise ValidationError('expected at least one day of the week, as in ["mon", "tue"]')
        strange = [day for day in value if day not in WEEKDAY_NAMES]
        if strange:
            known = ", ".join(WEEKDAY_NAMES)
            raise ValidationError(f"{strange[0]!r} is no day of the week; there is {known}")
        if len(set(value)) < len(value):
            raise ValidationError("expected each day once")
        return frozenset(map(WEEKDAY_NAMES.index, value))


class Day(fields.Field[date]):
    """A date: a local date, or "2026-12-24"."""

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> date:
        found = value
        if isinstance(value, str):
            try:
                found = date.fromisoformat(value)
            except ValueError:
                found = None
        if not isinstance(found, date) or isinstance(found, datetime) or found.year not in _YEARS:
            raise ValidationError(f"expected a date, as in 2026-12-24, {_years()}")
        return found


class Moment(fields.Field[datetime]):
    """A date and a time in whole seconds, by a wall clock or with its offset from UTC.

    offset: whether it must have its offset
    """

    def __init__(self, *, offset: bool = False, **described: Any) -> None:
        super().__init__(**described)
        self._offset = offset

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> datetime:
        found = value
        if isinstance(value, str):
            try:  # a date alone is no moment
                found = datetime.fromisoformat(value) if ":" in value else None
            except ValueError:
                found = None
        if not isinstance(found, datetime) or found.microsecond or found.year not in _YEARS:
            shape = "2026-12-07T08:00:00+00:00" if self._offset else "2026-12-07T08:00:00"
            raise ValidationError(
                f"expected a date and a time in whole seconds, as in {shape}, {_years()}"
            )
        if self._offset and found.tzinfo is None:
            raise ValidationError(
                "expected a date and a time with its offset from UTC, as in "
                "2026-12-07T08:00:00+00:00"
            )
        return found


def _years() -> str:
    return f"from {_YEARS[0]} to {_YEARS[-1]}"
