"""Fields of requests: each fault has a code, and what is taken is exactly what is published."""

from __future__ import annotations

import re
from abc import abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields, pre_load, validate

from ...fields import ExactInteger, Number, TrueFalse
from ..moments import instant, offset_of

# As RFC 3339 (section 5.6) writes it, in capitals; seconds may be left out, and so may the offset:
# whoever knows the zone can tell best what is missing.
_MOMENT = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})T((?:[01][0-9]|2[0-3]):[0-5][0-9])"
    r"(?::([0-5][0-9]|60)(?:\.[0-9]+)?)?(Z|[+-](?:[01][0-9]|2[0-3]):[0-5][0-9])?"
)
_LEAP_SECOND = "60"


@dataclass(frozen=True, slots=True)
class Told:
    """A fault as a field tells it: its code, and one sentence."""

    code: str
    detail: str


def told(code: str, detail: str) -> ValidationError:
    """Return the error that tells one fault."""
    return ValidationError([Told(code, detail)])


class Strict(Schema):
    """An object that refuses members it does not know; null counts as absent."""

    class Meta:
        """Refuse members that are not known."""

        unknown = RAISE

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        # As a request has them: from, where the field is from_.
        self._names = [field.data_key or name for name, field in self.fields.items()]
        messages: dict[str, Any] = self.error_messages
        messages["type"] = Told("not_an_object", "Expected an object.")
        messages["unknown"] = Told(
            "unknown_member", f"No such member; there is {', '.join(self._names)}."
        )

    @pre_load
    def drop_nulls(self, data: Any, **_: Any) -> Any:
        """Drop known members that are null; one that is not known stays, to be refused."""
        if not isinstance(data, dict):
            return data
        return {k: v for k, v in data.items() if v is not None or k not in self._names}


class Coded(fields.Field[Any]):
    """Mixin: a value that is missing is told as "required"; a null in a list as its type's code."""

    code, expected = "required", "This member must be given."

    def make_error(self, key: str, **_: Any) -> ValidationError:
        """Return the error for a key of marshmallow's own messages, with a code."""
        if key == "required":
            return told("required", "This member must be given.")
        return told(self.code, self.expected)


class _Scalar(Coded):
    def _deserialize(self, value: Any, *args: Any, **options: Any) -> Any:
        try:
            return super()._deserialize(value, *args, **options)
        except ValidationError:
            raise told(self.code, self.expected) from None


class Text(_Scalar, fields.String):
    """A string."""

    code, expected = "not_a_string", "Expected a string."


class Whole(_Scalar, ExactInteger):
    """A whole number, written as one."""

    code, expected = "not_an_integer", "Expected a whole number."


class Figure(_Scalar, Number):
    """A finite number."""

    code, expected = "not_a_number", "Expected a finite number."


class Switch(_Scalar, TrueFalse):
    """true or false."""

    code, expected = "not_a_boolean", "Expected true or false."


class Moment(Coded, fields.DateTime):
    """A date and a time of day; fractions of a second are dropped.

    Loads as whole seconds since 1970, UTC, or, where no offset is told, as the wall time that is.
    years: first and last one that are taken, as they are written
    """

    code, expected = "not_a_date_time", "Expected a date-time, as in 2026-12-01T12:00:00+00:00."

    def __init__(self, *, years: tuple[int, int] = (2000, 2199), **options: Any) -> None:
        super().__init__(**options)
        self.years = years

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        read = _MOMENT.fullmatch(value) if isinstance(value, str) else None
        if read is None:
            raise told(self.code, self.expected)
        day, time_of_day, second, offset = read.groups()
        if second == _LEAP_SECOND:
            raise told(self.code, "Leap seconds are not taken: tell the second before or after.")
        try:
            wall = datetime.fromisoformat(f"{day}T{time_of_day}:{second or '00'}")
        except ValueError:
            raise told(self.code, f"There is no day {day}.") from None
        first, last = self.years
        if not first <= wall.year <= last:
            raise told("out_of_range", f"Expected a year from {first} to {last}.")
        return wall if offset is None else instant(wall, offset_of(offset))


class Object(Coded, fields.Nested):
    """An object with a schema of its own."""

    code, expected = "not_an_object", "Expected an object."


class NameOrObject(Object):
    """Either a name on its own or an object; subclass it with what a name means.

    name_schema: how the name is published
    """

    code, expected = "wrong_type", "Expected a name or an object."
    name_schema: dict[str, Any] = {"type": "string"}  # noqa: RUF012  (never written)

    def _deserialize(self, value: Any, *args: Any, **options: Any) -> Any:
        if isinstance(value, str):
            return self.named(value)
        if not isinstance(value, dict):
            raise told(self.code, self.expected)
        return super()._deserialize(value, *args, **options)

    @abstractmethod
    def named(self, name: str) -> Any:
        """Return what a name stands for. Raises ValidationError."""


class ListOf(Coded, fields.List[Any]):
    """A list of `least` to `most` items; faults of the count and of the items are told together.

    Items that are faulty stand as None among the valid data, so that indices keep their meaning.
    above: the fault when there are too many, where it is not simply "too_many"
    """

    code, expected = "not_an_array", "Expected an array."
    # Of a list that is too long, only so many items are looked at: the count is fault enough.
    MOST_READ = 200

    def __init__(
        self,
        inner: fields.Field[Any],
        *,
        least: int = 0,
        most: int,
        above: Told | None = None,
        **options: Any,
    ) -> None:
        super().__init__(inner, validate=validate.Length(least or None, most), **options)
        self.least, self.most = least, most
        self.above = above or Told("too_many", f"Expected at most {most}.")

    def _deserialize(self, value: Any, *_: Any, **options: Any) -> list[Any]:
        if not isinstance(value, list):
            raise told(self.code, self.expected)
        messages: dict[str | int, Any] = {}
        if len(value) > self.most:
            messages["_schema"] = [self.above]
        if len(value) < self.least:
            messages["_schema"] = [Told("too_few", f"Expected at least {self.least}.")]
        found: list[Any] = []
        for index, item in enumerate(value[: self.MOST_READ]):
            try:
                found.append(self.inner.deserialize(item, **options))
            except ValidationError as fault:
                found.append(fault.valid_data)
                messages[index] = fault.messages
        if messages:
            raise ValidationError(messages, valid_data=found)
        return found


class Between(validate.Range):
    """A number from `low` to `high`, both included."""

    def __init__(self, low: float, high: float) -> None:
        super().__init__(low, high)
        self.expected = f"Expected {low:,} to {high:,}."

    def __call__(self, value: Any) -> Any:
        """Return the value. Raises ValidationError with the code "out_of_range"."""
        try:
            return super().__call__(value)
        except ValidationError:
            raise told("out_of_range", self.expected) from None


class Long(validate.Length):
    """A string of `least` to `most` characters."""

    def __call__(self, value: Any) -> Any:
        """Return the value. Raises ValidationError with the code "wrong_length"."""
        try:
            return super().__call__(value)
        except ValidationError:
            expected = f"Expected {self.min or 0} to {self.max} characters."
            raise told("wrong_length", expected) from None


class Among(validate.OneOf):
    """One of a closed list of words."""

    def __init__(self, words: Sequence[str]) -> None:
        super().__init__(tuple(words))

    def __call__(self, value: Any) -> Any:
        """Return the value. Raises ValidationError with the code "unknown_value"."""
        try:
            return super().__call__(value)
        except ValidationError:
            expected = f"Expected one of {', '.join(map(str, self.choices))}."
            raise told("unknown_value", expected) from None


def identifier(**options: Any) -> Text:
    """Return a field for an id of a plant, a process, a press or a stock."""
    return Text(validate=Long(1, 80), **options)


class _Revision(validate.Regexp):
    def __init__(self) -> None:
        super().__init__(r"[0-9a-f]{12}\Z")

    def __call__(self, value: Any) -> Any:
        """Return the value. Raises ValidationError with the code "not_a_revision"."""
        try:
            return super().__call__(value)
        except ValidationError:
            expected = "Expected 12 hexadecimal digits, a to f in lower case."
            raise told("not_a_revision", expected) from None


def revision(**options: Any) -> Text:
    """Return a field for the revision of a plant file."""
    return Text(validate=_Revision(), **options)
