"""The parameters of a cut-sheet toner press: units, ranges, defaults and their sources."""

from __future__ import annotations

from dataclasses import dataclass

from sidelay.plugin import (
    QUALITIES,
    PressBase,
    PressSchema,
    choice,
    figure,
    names,
    steps,
    switch,
    whole,
)

PRACTICE = "common practice, no source"
Steps = tuple[tuple[float, float], ...]


@dataclass(frozen=True, kw_only=True)
class TonerPress(PressBase):
    """A cut-sheet toner press; the units and meanings of its figures are in TonerPressSchema."""

    stations: tuple[str, ...]
    quality: str
    min_caliper_um: float
    max_caliper_um: float
    min_grammage_gsm: float
    max_grammage_gsm: float
    max_ruling_lpi: float
    sides_per_minute_by_length: Steps
    speed_by_grammage: Steps
    turns_the_sheet: bool
    running_share: float
    make_ready_min: float
    make_ready_sheets: int
    running_waste: float
    click_mono_price: float
    click_colour_price: float
    clicks_by_length: Steps


class TonerPressSchema(PressSchema):
    """Parameters of a cut-sheet toner press."""

    press_class = TonerPress

    stations = names("toner of each station, in printing order")
    quality = choice("finest class of work the press is used for", QUALITIES, default="commercial")
    min_caliper_um = figure(
        "um", 10, 1000, "thinnest sheet", default=60, source="52 to 400 g/m2, from memory"
    )
    max_caliper_um = figure(
        "um", 50, 2000, "thickest sheet", default=400, source="52 to 400 g/m2, from memory"
    )
    min_grammage_gsm = figure(
        "g/m2", 20, 500, "lightest sheet", default=52, source="52 to 400 g/m2, from memory"
    )
    max_grammage_gsm = figure(
        "g/m2", 50, 1000, "heaviest sheet", default=350, source="52 to 400 g/m2, from memory"
    )
    max_ruling_lpi = figure(
        "/[in_i]", 60, 500, "finest halftone ruling", default=200, source="from memory"
    )
    sides_per_minute_by_length = steps(
        "mm", "{side}/min", "printed sides a minute on sheets up to each length", low=1, high=1000
    )
    speed_by_grammage = steps(
        "g/m2",
        "1",
        "share of speed kept on stock up to each grammage",
        low=0.05,
        high=1,
        default=((220, 1.0), (300, 0.75), (400, 0.5)),
        source="over 220 g often 50 to 75 %, from memory",
    )
    turns_the_sheet = switch(
        "whether the second side costs a second trip through the engine",
        default=True,
        source="Romano, Sprinter (2010s): 100 sides a minute are 50 duplex sheets",
    )
    running_share = figure(
        "1",
        0.2,
        1,
        "share of time that is not loading, clearing and checking",
        default=0.85,
        source=PRACTICE,
    )
    make_ready_min = figure(
        "min",
        0,
        240,
        "calibrate, load stock, first copy",
        default=6,
        source="1 to 10 min, from memory",
    )
    make_ready_sheets = whole(
        "{sheet}",
        0,
        500,
        "sheets until colour is right",
        default=4,
        source="1 to 10 sheets, from memory",
    )
    running_waste = figure(
        "1", 0, 0.5, "share of good sheets spoiled", default=0.01, source=PRACTICE
    )
    click_mono_price = figure(
        "{currency}",
        0,
        1,
        "one click of a side in black only",
        default=0.006,
        source="0.003 to 0.01, from memory",
    )
    click_colour_price = figure(
        "{currency}",
        0,
        2,
        "one click of a side with colour",
        default=0.04,
        source="0.025 to 0.06 for A4, from memory",
    )
    clicks_by_length = steps(
        "mm",
        "{click}",
        "clicks for a side of a sheet up to each length",
        low=1,
        high=20,
        default=((297, 1), (488, 2)),
        source="A3 counts as 1 or 2 clicks, from memory",
    )
