"""The parameters of a cut-sheet toner press: units, ranges, defaults and their sources."""

from __future__ import annotations

from dataclasses import dataclass

from sidelay.plugin import (
    PROCESS_INKS,
    QUALITIES,
    LimitedPress,
    PressSchema,
    Usual,
    choice,
    feed,
    figure,
    names,
    steps,
    switch,
    whole,
)

PRACTICE = "common practice, no source"
MANUAL = "mono EP service manual"
PRICED_BY = ("click", "toner")
# 20 mg are developed and 17 mg stay on an A4 sheet that is covered to 6 % (mono EP service manual).
A4_M2 = 0.210 * 0.297
SOLID_GSM = 0.017 / (0.06 * A4_M2)
Steps = tuple[tuple[float, float], ...]


@dataclass(frozen=True, kw_only=True)
class TonerPress(LimitedPress):
    """A cut-sheet toner press; the units and meanings of its figures are in TonerPressSchema."""

    stations: tuple[str, ...]
    heat_sensitive_grades: tuple[str, ...]
    addressability_dpi: float
    grey_levels: int
    front_back_register_mm: float
    sides_per_minute_by_length: Steps
    speed_by_grammage: Steps
    turns_the_sheet: bool
    interleaved_by_length: Steps
    duplex_speed_by_interleaved: Steps
    extra_station_speed: float
    running_share: float
    make_ready_min: float
    stock_change_min: float
    make_ready_sheets: int
    running_waste: float
    priced_by: str
    click_mono_price: float
    click_colour_price: float
    click_extra_price: float
    clicks_by_length: Steps
    toner_gsm: float
    toner_lost_share: float
    least_coverage: float
    toner_price_per_kg: float
    extra_toner_price_per_kg: float
    kit_price_per_side: float

    @property
    def extra_stations(self) -> tuple[str, ...]:
        """Stations beside the process inks: white, clear, a spot colour."""
        return tuple(name for name in self.stations if name not in PROCESS_INKS)


class _LimitFields(PressSchema):
    """Stations, and what they print how finely."""

    feed = feed("sheet")
    stations = names("toner of each station, in printing order")
    quality = choice("finest class of work the press is used for", QUALITIES, default="commercial")
    grades = names("stock grades that it prints on; none named for all", default=())
    heat_sensitive_grades = names(
        "stock grades that the fuser shrinks or melts", default=("film", "vinyl", "plastic")
    )
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
    addressability_dpi = figure(
        "/[in_i]",
        300,
        5000,
        "spots an inch that the engine writes",
        default=1200,
        source="600 to 2,400 dpi, from memory",
    )
    grey_levels = whole(
        "1",
        1,
        1023,
        "levels of one spot beside blank",
        default=15,
        source="1 to 10 bit, from memory; 4 bit",
    )
    min_type_pt = figure("[pt_us]", 1, 40, "smallest type", default=4, source="from memory")
    min_reverse_type_pt = figure(
        "[pt_us]", 1, 60, "smallest reversed type", default=6, source=PRACTICE
    )
    min_line_pt = figure("[pt_us]", 0.05, 10, "thinnest line", default=0.25, source=PRACTICE)
    register_mm = figure(
        "mm", 0.02, 5, "closest fit of colour to colour", default=0.2, source=PRACTICE
    )
    front_back_register_mm = figure(
        "mm", 0.05, 10, "fit of back to front", default=0.75, source="0.5 to 1 mm, from memory"
    )
    max_total_coverage_pct = figure(
        "%", 100, 400, "most toner in one spot", default=280, source="240 to 300 %, from memory"
    )


class _RunFields(PressSchema):
    """Speed, make-ready and waste."""

    sides_per_minute_by_length = steps(
        "mm", "{side}/min", "printed sides a minute on sheets up to each length", low=1, high=1000,
        usual=Usual(5, 350, "from memory"),
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
    interleaved_by_length = steps(
        "mm",
        "{sheet}",
        "sheets in the duplex path at a time, by length",
        low=1,
        high=50,
        default=((216, 3), (432, 2), (10_000, 1)),
        source="3, 2, 1 sheets up to 215.9, 431.8 and 457.2 mm: office colour EP service manual",
    )
    duplex_speed_by_interleaved = steps(
        "{sheet}",
        "1",
        "share of duplex speed kept with so many sheets interleaved",
        low=0.05,
        high=1,
        default=((1, 0.75), (50, 1)),
        source=f"{PRACTICE}: a single sheet leaves the engine waiting while it turns",
    )
    extra_station_speed = figure(
        "1",
        0.05,
        1,
        "share of speed kept where a station beside the process toners prints",
        default=0.5,
        source="a fifth colour or white may halve it, from memory",
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
    stock_change_min = figure(
        "min", 0, 60, "part of that which loads another stock", default=2, source=PRACTICE
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


class TonerPressSchema(_LimitFields, _RunFields):
    """Parameters of a cut-sheet toner press."""

    press_class = TonerPress

    priced_by = choice("what toner and parts are paid by", PRICED_BY, default="click")
    click_mono_price = figure(
        "{currency}",
        0,
        1,
        "one click of a side in black only",
        default=0.006,
        source="0.003 to 0.01, from memory",
        usual=Usual(0.001, 0.05, "from memory"),
    )
    click_colour_price = figure(
        "{currency}",
        0,
        2,
        "one click of a side with colour",
        default=0.04,
        source="0.025 to 0.06 for A4, from memory",
        usual=Usual(0.005, 0.3, "from memory"),
    )
    click_extra_price = figure(
        "{currency}",
        0,
        2,
        "one more click where a station beside the process toners prints",
        default=0.03,
        source=PRACTICE,
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
    toner_gsm = figure(
        "g/m2",
        0.5,
        30,
        "toner on a solid; liquid toner 1 to 1.5",
        default=SOLID_GSM,
        source=f"17 mg on an A4 sheet at 6 %, 4.5 g/m2: {MANUAL}",
    )
    toner_lost_share = figure(
        "1",
        0,
        0.9,
        "share of the toner that misses the sheet",
        default=0.15,
        source=f"17 of 20 mg reach the sheet: {MANUAL}",
    )
    least_coverage = figure(
        "1", 0, 1, "coverage that every toner uses at least", default=0.03, source=f"3 %: {MANUAL}"
    )
    toner_price_per_kg = figure(
        "{currency}/kg", 0, 2000, "process toner", default=60, source=PRACTICE
    )
    extra_toner_price_per_kg = figure(
        "{currency}/kg", 0, 5000, "white, clear and spot toner", default=180, source=PRACTICE
    )
    kit_price_per_side = figure(
        "{currency}",
        0,
        1,
        "drums, belts, fuser and service for one side up to A4, by its clicks",
        default=0.008,
        source=PRACTICE,
    )
