"""The feeds of a plant file as marshmallow schemas; each loads into its dataclass in `feeds`."""

from __future__ import annotations

from typing import Any, ClassVar

from marshmallow import (
    RAISE,
    Schema,
    ValidationError,
    fields,
    post_load,
    validate,
    validates_schema,
)

from .describe import PRACTICE, check_windows, figure, names, switch, whole
from .feeds import (
    FEED_KINDS,
    WORK_STYLES,
    Feed,
    FeedKind,
    PieceFeed,
    ReelFeed,
    SheetFeed,
    WebFeed,
)
from .fields import ExactInteger
from .reel import repeat_mm


def _optional_whole(unit: str, about: str) -> ExactInteger:
    metadata = {"description": about, "x-unit": unit}
    return ExactInteger(validate=validate.Range(1, 1000), metadata=metadata)


class _FeedSchema(Schema):
    """What all feeds have in common."""

    class Meta:
        """Refuse members that are not known."""

        unknown = RAISE

    makes: ClassVar[type[Any]]

    @validates_schema
    def _windows(self, data: dict[str, Any], **_: Any) -> None:
        """What is told from .. to must not be upside down."""
        check_windows(data)

    @post_load
    def make(self, data: dict[str, Any], **_: Any) -> Any:
        """Return the feed as the core knows it, lists made tuples."""
        frozen = {key: tuple(v) if isinstance(v, list) else v for key, v in data.items()}
        return self.makes(**frozen)


class SheetFeedSchema(_FeedSchema):
    """The feed of a press that takes cut sheets."""

    makes = SheetFeed

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
        source=PRACTICE,
    )
    side_mm = figure(
        "mm",
        0,
        100,
        "strip that cannot print at each side",
        default=5,
        source=PRACTICE,
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
    image_width_mm = figure(
        "mm", 1, 5000, "widest image that chase or frame holds, where less than the sheet",
        optional=True,
    )  # fmt: skip
    image_length_mm = figure(
        "mm", 1, 5000, "longest image that chase or frame holds, where less than the sheet",
        optional=True,
    )  # fmt: skip


def _side() -> fields.Field[Any]:
    about = "strip that cannot print at each edge of the web"
    return figure("mm", 0, 200, about, default=5, source=PRACTICE)


def _shortest_reel(default: float) -> fields.Field[Any]:
    about = "shortest reel that the stand is made for"
    return figure("m", 0, 1e5, about, default=default, source=PRACTICE)


def _longest_reel() -> fields.Field[Any]:
    about = "longest reel that the stand is made for"
    return figure("m", 1, 1e6, about, default=50_000, source=PRACTICE)


def _reel_waste(default: float, source: str) -> fields.Field[Any]:
    about = "share of a reel lost at its start and on its core"
    return figure("1", 0, 0.3, about, default=default, source=source)


class WebFeedSchema(_FeedSchema):
    """The feed of a press that prints a web and cuts it off."""

    makes = WebFeed

    min_width_mm = figure("mm", 1, 10_000, "narrowest web")
    max_width_mm = figure("mm", 1, 10_000, "widest web")
    min_cutoff_mm = figure("mm", 10, 10_000, "shortest cut-off")
    max_cutoff_mm = figure("mm", 10, 10_000, "longest cut-off; equal where it is fixed")
    side_mm = _side()
    gap_mm = figure(
        "mm", 0, 100, "strip lost on each cut-off: plate gap and cut", default=4, source=PRACTICE
    )
    webs = whole("{web}", 1, 24, "webs that run into one copy", default=1, source=PRACTICE)
    most_collected = whole(
        "1", 1, 1000, "cut-offs gathered into one copy; 1 runs straight only", default=1,
        source=PRACTICE,
    )  # fmt: skip
    both_sides = switch("whether both sides print in one pass", default=True)
    folds = switch("whether a folder in line delivers folded copies", default=True)
    reel_waste = _reel_waste(
        0.016,
        "reel preparation 1.2 % and core 0.4 %: Russian press ministry Order 155, 2002, Table 6",
    )
    min_reel_m = _shortest_reel(500)
    max_reel_m = _longest_reel()


class ReelFeedSchema(_FeedSchema):
    """The feed of a press that prints repeat after repeat from reel to reel.

    Its repeats are a list of lengths, or gear teeth (with a circular or a diametral pitch), or any
    length from .. to: sleeves, engraved bases, plateless rows.
    """

    min_width_mm = figure("mm", 1, 10_000, "narrowest web")
    max_width_mm = figure("mm", 1, 10_000, "widest web")
    repeats_mm = fields.List(
        figure("mm", 10, 10_000, "circumference"),
        metadata={"description": "circumferences of the cylinders in stock", "x-unit": "mm"},
        validate=validate.Length(1, 300),
    )
    min_teeth = _optional_whole("{tooth}", "fewest teeth of a cylinder in stock")
    max_teeth = _optional_whole("{tooth}", "most teeth of a cylinder in stock")
    circular_pitch_mm = figure(
        "mm", 0.5, 50, "circumference for each tooth (3.175 mm is 1/8 in CP)", optional=True
    )
    diametral_pitch = figure(
        "/[in_i]", 1, 64, "teeth to an inch of pitch diameter: repeat = teeth x pi x 1 in / DP",
        optional=True,
    )  # fmt: skip
    min_repeat_mm = figure("mm", 1, 10_000, "shortest repeat, where any can be had", optional=True)
    max_repeat_mm = figure("mm", 1, 50_000, "longest repeat, where any can be had", optional=True)
    side_mm = _side()
    both_sides = switch("whether the back prints in the same pass", default=False)
    dies_in_line = switch("whether labels are cut and stripped on the press", default=False)
    cuts_off = switch("whether rows can be cut off as sheets", default=False)
    reel_waste = _reel_waste(0.01, PRACTICE)
    min_reel_m = _shortest_reel(0)
    max_reel_m = _longest_reel()

    @validates_schema
    def _one_way(self, data: dict[str, Any], **_: Any) -> None:
        """Repeats are told in exactly one of three ways."""
        teeth = {"min_teeth", "max_teeth"} & set(data)
        pitch = {"circular_pitch_mm", "diametral_pitch"} & set(data)
        lengths = {"min_repeat_mm", "max_repeat_mm"} & set(data)
        ways = [
            bool(data.get("repeats_mm")),
            len(teeth) == 2 and len(pitch) == 1,
            len(lengths) == 2,
        ]
        if sum(ways) != 1 or (bool(teeth or pitch) != ways[1]) or (lengths and not ways[2]):
            raise ValidationError(
                "expected repeats_mm, or min_teeth, max_teeth and one pitch, or min_repeat_mm and "
                "max_repeat_mm",
                "repeats_mm",
            )

    @post_load
    def make(self, data: dict[str, Any], **_: Any) -> ReelFeed:
        """Return the feed as the core knows it, its repeats as lengths."""
        repeats = tuple(sorted(data.pop("repeats_mm", ())))
        fewest, most = data.pop("min_teeth", 0), data.pop("max_teeth", 0)
        circular, diametral = data.pop("circular_pitch_mm", 0), data.pop("diametral_pitch", 0)
        if most:
            repeats = tuple(
                repeat_mm(teeth, circular_pitch_mm=circular, diametral_pitch=diametral)
                for teeth in range(fewest, most + 1)
            )
        shortest = data.pop("min_repeat_mm", repeats[0] if repeats else 0.0)
        longest = data.pop("max_repeat_mm", repeats[-1] if repeats else 0.0)
        return ReelFeed(**data, repeats_mm=repeats, min_repeat_mm=shortest, max_repeat_mm=longest)


class PieceFeedSchema(_FeedSchema):
    """The feed of a press that takes single pieces."""

    makes = PieceFeed

    max_width_mm = figure("mm", 1, 10_000, "widest print on a piece")
    max_length_mm = figure("mm", 1, 10_000, "longest print on a piece")
    both_sides = switch("whether a piece can be loaded again for its other side", default=True)


FEED_SCHEMAS: dict[FeedKind, type[Schema]] = {
    "sheet": SheetFeedSchema,
    "web": WebFeedSchema,
    "reel": ReelFeedSchema,
    "piece": PieceFeedSchema,
}


class FeedField(fields.Field[Feed]):
    """The feed of a press: one of several kinds, told by its member `kind`."""

    def __init__(self, kinds: tuple[FeedKind, ...]) -> None:
        """Take these kinds; a feed without `kind` is of the first."""
        super().__init__(
            required=True,
            metadata={"description": "what the press takes, and what it prints of it"},
        )
        self.schemas = {kind: FEED_SCHEMAS[kind]() for kind in kinds}

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Feed:
        if not isinstance(value, dict):
            raise ValidationError("Expected a table.")
        kind = value.get("kind", next(iter(self.schemas)))
        if not isinstance(kind, str) or kind not in self.schemas:
            raise ValidationError({"kind": [f"Expected {' or '.join(map(repr, self.schemas))}."]})
        rest = {key: given for key, given in value.items() if key != "kind"}
        loaded: Feed = self.schemas[kind].load(rest)
        return loaded


def feed(*kinds: FeedKind) -> FeedField:
    """Describe what the presses of a process take: "sheet", "web", "reel", "piece".

    Raises ValueError for another word.
    """
    if unknown := set(kinds) - set(FEED_KINDS):
        raise ValueError(f"no feed is called {unknown}; there is {', '.join(FEED_KINDS)}")
    return FeedField(kinds or FEED_KINDS)
