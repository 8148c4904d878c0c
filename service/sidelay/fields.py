"""Marshmallow fields that take exactly what JSON and TOML mean, and publish what they take."""

from __future__ import annotations

import math
from typing import Any

from marshmallow import ValidationError, fields


class ExactInteger(fields.Integer):
    """A whole number: 7 and 7.0, but not 7.5, "7" or true."""

    def _validated(self, value: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValidationError("Not a whole number.")
        if isinstance(value, float) and not value.is_integer():
            raise ValidationError("Not a whole number.")
        return int(value)


class Number(fields.Float):
    """A finite number: not "1", not true, not NaN."""

    def _validated(self, value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValidationError("Not a number.")
        try:
            number = float(value)
        except OverflowError:
            raise ValidationError("Too large a number.") from None
        if not math.isfinite(number):
            raise ValidationError("Not a finite number.")
        return number


class TrueFalse(fields.Boolean):
    """true or false, and nothing that merely looks like it."""

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError("Neither true nor false.")
        return value
