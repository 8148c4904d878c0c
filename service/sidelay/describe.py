"""How a figure of a plant file is described: unit, range, meaning, default and its source."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Any, Literal, NamedTuple

from marshmallow import ValidationError, fields, validate

from .curve import Curve
from .fields import ExactInteger, Number, TrueFalse

PRACTICE = "common practice, no source"


class Usual(NamedTuple):
    """Where a figure lies on nearly all presses that there are, in its unit; 0 may stand for none.

    A plant file may go beyond it, within the range of the figure: `sidelay plant check` warns.
    source: a published table, "common practice, no source" or "from memory"
    """

    low: float
    high: float
    source: str = PRACTICE


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
    usual: Usual | None = None,
) -> Number:
    """Describe a number of a press: its unit (UCUM style), range, meaning, default and source.

    Required unless it has a default or is optional. The source belongs to the default: a published
    table, "common practice, no source" or "from memory". An optional figure that a plant file
    leaves out is not set: give the press class a default for it. Raises ValueError for a default
    out of range or without a source, and for what is usual out of range.
    """
    _check_default(default, low, high, source)
    described = _described(unit, about, default, source)
    described["metadata"] |= _told_usual(usual, low, high)
    if optional:
        described["required"] = False
    return Number(validate=validate.Range(low, high), **described)


def whole(
    unit: str,
    low: int,
    high: int,
    about: str,
    *,
    default: int | None = None,
    source: str = "",
    usual: Usual | None = None,
) -> ExactInteger:
    """Describe a whole number of a press, like `figure`."""
    _check_default(default, low, high, source)
    described = _described(unit, about, default, source)
    described["metadata"] |= _told_usual(usual, low, high)
    return ExactInteger(validate=validate.Range(low, high), **described)


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
    usual: Usual | None = None,
) -> fields.List[Any]:
    """Describe a figure that changes in steps: a list of [up to, value] pairs, up to rising.

    usual: of each value
    """
    pair = fields.Tuple(
        (Number(validate=validate.Range(0, 1e9)), Number(validate=validate.Range(low, high)))
    )
    described = _described(unit, about, None, source)
    described["metadata"] |= {"x-key-unit": key_unit} | _told_usual(usual, low, high)
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


def _told_usual(usual: Usual | None, low: float, high: float) -> dict[str, Any]:
    if usual is None:
        return {}
    if not low <= usual.low <= usual.high <= high:
        raise ValueError(f"usual {usual.low:g} to {usual.high:g} is not in {low:g} to {high:g}")
    return {"x-usual": [usual.low, usual.high], "x-usual-source": usual.source}


def _described(unit: str, about: str, default: Any, source: str) -> dict[str, Any]:
    metadata: dict[str, Any] = {"description": about}
    if unit:
        metadata["x-unit"] = unit
    if source:
        metadata["x-source"] = source
    if default is None:
        return {"required": True, "metadata": metadata}
    return {"load_default": default, "metadata": metadata}
