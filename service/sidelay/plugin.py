"""Everything a plug-in author needs; a plug-in imports nothing else of sidelay.

Start with the hooks (`sidelay.hookspecs`, same names), then the two dataclasses that they answer
with: `Run` and `Charge`. `PressSchema` and `figure` describe the parameters of a press, `feed` what
it is fed with; marshmallow's `pre_load`, `post_load`, `validates_schema` and `ValidationError` are
here for what one parameter means for another.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

import pluggy
from marshmallow import (
    RAISE,
    Schema,
    ValidationError,
    fields,
    missing,
    post_load,
    pre_load,
    validate,
    validates_schema,
)

from .changeover import Changeover, changeover
from .curve import Curve
from .describe import Usual, check_windows, choice, curve, figure, names, steps, switch, whole
from .feed_schemas import feed
from .feeds import (
    Feed,
    PieceFeed,
    ReelFeed,
    SheetFeed,
    WebFeed,
    WorkStyle,
    both_sides_in_one_pass,
)
from .halftone import Tones, tone_steps, total_coverage_pct
from .ink import flexo_film_cm3_per_m2, ink_mass_kg, screen_deposit_um, wet_film_gsm
from .job import PROCESS_INKS, QUALITIES, SPECIAL_INKS, Ink, InkKind, Job, Part, Previous, Side
from .limits import (
    above,
    below,
    carrier_findings,
    heaviest_coverage_pct,
    outside,
    stock_findings,
    tone_findings,
    usual_abilities,
    usual_findings,
    white_findings,
)
from .reel import plate_elongation, repeat_mm
from .stock import Blank, ParentSheet, Reel, Stock
from .work import (
    ANOTHER_STOCK,
    Abilities,
    Charge,
    Finding,
    Form,
    Layout,
    Press,
    Process,
    RatedUnit,
    Run,
    Work,
)

__all__ = [
    "ANOTHER_STOCK",
    "PROCESS_INKS",
    "QUALITIES",
    "SPECIAL_INKS",
    "Abilities",
    "Blank",
    "Changeover",
    "Charge",
    "Curve",
    "Feed",
    "Finding",
    "Form",
    "Ink",
    "InkKind",
    "Job",
    "Layout",
    "LimitedPress",
    "ParentSheet",
    "Part",
    "PieceFeed",
    "Press",
    "PressBase",
    "PressSchema",
    "Previous",
    "Process",
    "RatedUnit",
    "Reel",
    "ReelFeed",
    "Run",
    "SheetFeed",
    "Side",
    "Stock",
    "Tones",
    "Usual",
    "ValidationError",
    "WebFeed",
    "Work",
    "WorkStyle",
    "above",
    "below",
    "both_sides_in_one_pass",
    "carrier_findings",
    "changeover",
    "choice",
    "curve",
    "feed",
    "figure",
    "flexo_film_cm3_per_m2",
    "heaviest_coverage_pct",
    "hookimpl",
    "ink_mass_kg",
    "names",
    "outside",
    "plate_elongation",
    "post_load",
    "pre_load",
    "repeat_mm",
    "screen_deposit_um",
    "steps",
    "stock_findings",
    "switch",
    "tone_findings",
    "tone_steps",
    "total_coverage_pct",
    "usual_abilities",
    "usual_findings",
    "validates_schema",
    "wet_film_gsm",
    "white_findings",
    "whole",
]

hookimpl = pluggy.HookimplMarker("sidelay")


@dataclass(frozen=True, kw_only=True)
class PressBase:
    """What every press has; subclass it (frozen, kw_only) with the parameters of your process."""

    id: str
    name: str
    cost_centre: str
    feed: Feed
    sources: Mapping[str, str]

    def source(self, parameter: str) -> str:
        """Where the figure of one parameter comes from."""
        return self.sources.get(parameter, "plant file")


@dataclass(frozen=True, kw_only=True)
class LimitedPress(PressBase):
    """A press with the parameters that `usual_findings` reads; meanings in your own schema.

    grades: stock grades that it prints on; empty for all
    """

    grades: tuple[str, ...]
    min_caliper_um: float
    max_caliper_um: float
    min_grammage_gsm: float
    max_grammage_gsm: float
    max_ruling_lpi: float
    min_type_pt: float
    min_reverse_type_pt: float
    min_line_pt: float
    register_mm: float
    max_total_coverage_pct: float
    quality: str


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
    feed = feed("sheet")
    sources = fields.Dict(
        keys=fields.String(),
        values=fields.String(),
        load_default=dict,
        metadata={"description": "where single figures come from, by field"},
    )

    @validates_schema
    def _windows(self, data: dict[str, Any], **_: Any) -> None:
        """What is told from .. to must not be upside down."""
        check_windows(data)

    @post_load(pass_original=True)
    def make(self, data: dict[str, Any], given: dict[str, Any], **_: Any) -> PressBase:
        """Return the press as the plug-in knows it, lists made tuples.

        A figure that the plant file leaves to the default has the default's source.
        """
        data["sources"] = self._default_sources(given) | data["sources"]
        return self.press_class(**{key: _frozen(value) for key, value in data.items()})

    def may_be_left_out(self) -> set[str]:
        """Return the parameters that a plant file may leave out and that have no default here."""
        return {
            name
            for name, field in self.fields.items()
            if not field.required and field.load_default is missing
        }

    def _default_sources(self, given: dict[str, Any]) -> dict[str, str]:
        return {
            name: f"default: {field.metadata['x-source']}"
            for name, field in self.fields.items()
            if name not in given and "x-source" in field.metadata
        }


def _frozen(value: Any) -> Any:
    return tuple(_frozen(item) for item in value) if isinstance(value, list) else value
