"""Everything a plug-in author needs; a plug-in imports nothing else of sidelay.

Start with the hooks (`sidelay.hookspecs`, same names), then the two dataclasses that they answer
with: `Run` and `Charge`. `PressSchema` and `figure` describe the parameters of a press.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, ClassVar, Literal

import pluggy
from marshmallow import RAISE, Schema, ValidationError, fields, post_load, validate

from .curve import Curve
from .feeds import WORK_STYLES, SheetFeed, WorkStyle
from .fields import ExactInteger, Number, TrueFalse
from .halftone import total_coverage_pct
from .ink import ink_mass_kg
from .job import PROCESS_INKS, QUALITIES, Ink, Job, Part, Side
from .stock import ParentSheet, Stock
from .work import Charge, Finding, Form, Layout, Press, Process, Run, Work

__all__ = [
    "PROCESS_INKS",
    "QUALITIES",
    "Charge",
    "Curve",
    "Finding",
    "Form",
    "Ink",
    "Job",
    "Layout",
    "ParentSheet",
    "Part",
    "Press",
    "PressBase",
    "PressSchema",
    "Process",
    "Run",
    "SheetFeed",
    "Side",
    "Stock",
    "Work",
    "WorkStyle",
    "choice",
    "curve",
    "figure",
    "hookimpl",
    "ink_mass_kg",
    "names",
    "steps",
    "switch",
    "total_coverage_pct",
    "whole",
]

hookimpl = pluggy.HookimplMarker("sidelay")


@dataclass(frozen=True, kw_only=True)
class PressBase:
    """What every press has; subclass it (frozen, kw_only) with the parameters of your process."""

    id: str
    name: str
    cost_centre: str
    feed: SheetFeed
    sources: Mapping[str, str]

    def source(self, parameter: str) -> str:
        """Where the figure of one parameter comes from."""
        return self.sources.get(parameter, "plant file")


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
    table, "common practice, no source" or "from memory".
    """
    described = _described(unit, about, default, source)
    if optional:
        described["required"] = False
    return Number(validate=validate.Range(low, high), **described)


def whole(
    unit: str, low: int, high: int, about: str, *, default: int | None = None, source: str = ""
) -> ExactInteger:
    """Describe a whole number of a press, like `figure`."""
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


def _described(unit: str, about: str, default: Any, source: str) -> dict[str, Any]:
    metadata: dict[str, Any] = {"description": about}
    if unit:
        metadata["x-unit"] = unit
    if source:
        metadata["x-source"] = source
    if default is None:
        return {"required": True, "metadata": metadata}
    return {"load_default": default, "metadata": metadata}


class SheetFeedSchema(Schema):
    """The feed of a press that takes cut sheets."""

    class Meta:
        """Refuse members that are not known."""

        unknown = RAISE

    min_width_mm = figure("mm", 1, 5000, "narrowest sheet, across the machine")
    max_width_mm = figure("mm", 1, 5000, "widest sheet, across the machine")
    min_length_mm = figure("mm", 1, 5000, "shortest sheet, in the direction of travel")
    max_length_mm = figure("mm", 1, 5000, "longest sheet, in the direction of travel")
    gripper_mm = figure(
        "mm",
        0,
        100,
        "strip that cannot print at the edge that goes in first",
        default=10,
        source="10 mm: Mediencommunity course LE04; up to 1 in elsewhere",
    )
    tail_mm = figure(
        "mm",
        0,
        100,
        "strip that cannot print at the far edge",
        default=5,
        source="common practice, no source",
    )
    side_mm = figure(
        "mm",
        0,
        100,
        "strip that cannot print at each side",
        default=5,
        source="common practice, no source",
    )
    colour_bar_mm = figure(
        "mm",
        0,
        50,
        "strip kept for the control bar",
        default=10,
        source="10 mm: Mediencommunity course LE04",
    )
    work_styles = names("ways to print the second side", WORK_STYLES, default=())

    @post_load
    def make(self, data: dict[str, Any], **_: Any) -> SheetFeed:
        """Return the feed as the core knows it."""
        return SheetFeed(**data | {"work_styles": tuple(data["work_styles"])})


class PressSchema(Schema):
    """What every press in a plant file has; subclass it with the parameters of your process."""

    class Meta:
        """Refuse members that are not known."""

        unknown = RAISE

    press_class: ClassVar[type[PressBase]] = PressBase

    id = fields.String(
        required=True,
        validate=validate.Regexp(r"[a-z][a-z0-9_]{0,62}\Z"),
        metadata={"description": "stable name, snake_case"},
    )
    name = fields.String(
        required=True, validate=validate.Length(1, 120), metadata={"description": "name to show"}
    )
    cost_centre = fields.String(required=True, metadata={"description": "id of its cost centre"})
    feed = fields.Nested(
        SheetFeedSchema,
        required=True,
        metadata={"description": "the sheets it takes and where it cannot print"},
    )
    sources = fields.Dict(
        keys=fields.String(),
        values=fields.String(),
        load_default=dict,
        metadata={"description": "where single figures come from, by field"},
    )

    @post_load(pass_original=True)
    def make(self, data: dict[str, Any], given: dict[str, Any], **_: Any) -> PressBase:
        """Return the press as the plug-in knows it, lists made tuples.

        A figure that the plant file leaves to the default has the default's source.
        """
        data["sources"] = self._default_sources(given) | data["sources"]
        return self.press_class(**{key: _frozen(value) for key, value in data.items()})

    def _default_sources(self, given: dict[str, Any]) -> dict[str, str]:
        return {
            name: f"default: {field.metadata['x-source']}"
            for name, field in self.fields.items()
            if name not in given and "x-source" in field.metadata
        }


def _frozen(value: Any) -> Any:
    return tuple(_frozen(item) for item in value) if isinstance(value, list) else value
