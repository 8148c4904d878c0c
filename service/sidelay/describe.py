"""How a figure of a plant file is described: unit, range, meaning, default and its source."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Any, Literal

from marshmallow import RAISE, Schema, ValidationError, fields, validate

from .curve import Curve
from .fields import ExactInteger, Number, TrueFalse

PRACTICE = "common practice, no source"
IDENTIFIER = validate.Regexp(
    r"[a-z][a-z0-9_]{0,62}\Z", error="expected a snake_case id: a-z, 0-9 and _, a letter first"
)
NAME = validate.Length(1, 120)


class Strict(Schema):
    """A table that refuses keys it does not know."""

    class Meta:
        """Refuse members that are not known."""

        unknown = RAISE


def identifier() -> fields.String:
    """Describe the id of a table, or of what it names."""
    return fields.String(required=True, validate=IDENTIFIER)


def shown_name() -> fields.String:
    """Describe a name to show."""
    return fields.String(required=True, validate=NAME)


def source_of_table() -> fields.String:
    """Describe where the figures of a table come from."""
    return fields.String(
        load_default="plant file",
        metadata={"description": "where the figures of this table come from"},
    )


def check_windows(data: Mapping[str, Any]) -> None:
    """Raise ValidationError where a figure called min_... is above its max_..."""
    for name, low in data.items():
        high = data.get(f"max_{name[4:]}") if name.startswith("min_") else None
        if isinstance(low, int | float) and isinstance(high, int | float) and low > high:
            raise ValidationError(f"Expected at most max_{name[4:]}, {high:g}.", name)


def figure(
    unit: str,
    low: float,
    high: float,
    about: str,
    *,
    default: float | None = None,
    source: str = "",
    optional: bool = False,
) -> Number:
    """Describe a number of a press: its unit (UCUM style), range, meaning, default and source.

    Required unless it has a default or is optional. The source belongs to the default: a published
    table, "common practice, no source" or "from memory". An optional figure that a plant file
    leaves out is not set: give the press class a default for it. Raises ValueError for a default
    out of range or without a source.
    """
    _check_default(default, low, high, source)
    described = _described(unit, about, default, source)
    if optional:
        described["required"] = False
    return Number(validate=validate.Range(low, high), **described)


def whole(
    unit: str, low: int, high: int, about: str, *, default: int | None = None, source: str = ""
) -> ExactInteger:
    """Describe a whole number of a press, like `figure`."""
    _check_default(default, low, high, source)
    return ExactInteger(
        validate=validate.Range(low, high), **_described(unit, about, default, source)
    )


def switch(about: str, *, default: bool | None = None, source: str = "") -> TrueFalse:
    """Describe a yes or no of a press."""
    return TrueFalse(**_described("", about, default, source))


def choice(about: str, options: tuple[str, ...], *, default: str | None = None) -> fields.String:
    """Describe a word of a press that must be one of several."""
    return fields.String(validate=validate.OneOf(options), **_described("", about, default, ""))


def names(
    about: str, options: tuple[str, ...] | None = None, *, default: tuple[str, ...] | None = None
) -> fields.List[Any]:
    """Describe a list of words of a press, each one of the options where there are any."""
    checks = validate.OneOf(options) if options else validate.Length(1, 80)
    described = _described("", about, None, "")
    if default is not None:
        described |= {"required": False, "load_default": lambda: list(default)}
    return fields.List(fields.String(validate=checks), **described)


def curve(
    unit: str,
    about: str,
    *,
    low: float,
    high: float,
    rises: Literal["product", "quotient"],
    default: tuple[tuple[float, float], ...] | None = None,
    source: str = "",
) -> fields.List[Any]:
    """Describe a figure that changes with run length: a list of [cycles, value] pairs for a Curve.

    rises: what must not fall as the run grows: "product" (cycles x waste) or "quotient"
        (cycles / speed). A plant file that breaks it is refused.
    """
    pair = fields.Tuple(
        (Number(validate=validate.Range(1, 1e9)), Number(validate=validate.Range(low, high)))
    )

    def keeps(points: list[tuple[float, float]]) -> None:
        try:
            line = Curve(tuple(points))
        except ValueError as fault:
            raise ValidationError(str(fault)) from None
        if not (line.product_rises() if rises == "product" else line.quotient_rises()):
            raise ValidationError(f"The {rises} of cycles and this figure must not fall anywhere.")

    described = _described(unit, about, None, source)
    if default is not None:
        described |= {"required": False, "load_default": lambda: list(default)}
    return fields.List(pair, validate=[validate.Length(1, 50), keeps], **described)


def steps(
    key_unit: str,
    unit: str,
    about: str,
    *,
    low: float,
    high: float,
    default: tuple[tuple[float, float], ...] | None = None,
    source: str = "",
) -> fields.List[Any]:
    """Describe a figure that changes in steps: a list of [up to, value] pairs, up to rising."""
    pair = fields.Tuple(
        (Number(validate=validate.Range(0, 1e9)), Number(validate=validate.Range(low, high)))
    )
    described = _described(unit, about, None, source)
    described["metadata"]["x-key-unit"] = key_unit
    if default is not None:
        described |= {"required": False, "load_default": lambda: list(default)}
    return fields.List(pair, validate=[validate.Length(1, 50), _rising], **described)


def _rising(points: list[tuple[float, float]]) -> None:
    if any(after[0] <= before[0] for before, after in pairwise(points)):
        raise ValidationError("The first figures of the pairs must rise.")


def _check_default(default: float | None, low: float, high: float, source: str) -> None:
    if default is None:
        return
    if not low <= default <= high:
        raise ValueError(f"the default {default:g} is outside {low:g} to {high:g}")
    if default and not source:  # nought is none: nothing that has a source
        raise ValueError(f"the default {default:g} has no source")


def _described(unit: str, about: str, default: Any, source: str) -> dict[str, Any]:
    metadata: dict[str, Any] = {"description": about}
    if unit:
        metadata["x-unit"] = unit
    if source:
        metadata["x-source"] = source
    if default is None:
        return {"required": True, "metadata": metadata}
    return {"load_default": default, "metadata": metadata}
