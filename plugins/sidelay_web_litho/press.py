"""The parameters of a web litho press: units, ranges, defaults and their sources.

What differs between coldset, heatset and UV (limits, speeds, plates, ink prices) has no default: a
plant says it for each press. Make-ready and running waste default to a published table.
"""

from __future__ import annotations

from dataclasses import dataclass

from sidelay.plugin import (
    QUALITIES,
    LimitedPress,
    PressSchema,
    Usual,
    choice,
    feed,
    figure,
    names,
    switch,
    whole,
)

PRACTICE = "common practice, no source"
SPEED = Usual(2_000, 110_000, "from memory")
PLATE = Usual(1, 60, "from memory")
INK = Usual(1, 60, "from memory")
NEWS_TABLE = "fitted to Russian press ministry Order 155, 2002, Table 6 (4-page A3, single width)"
NORMS = "Russian inter-sector time norms for printing, older manual web presses"
INK_KINDS = ("process", "spot", "metallic", "fluorescent", "varnish")
DRYING = ("coldset", "heatset", "uv")


@dataclass(frozen=True, kw_only=True)
class WebPress(LimitedPress):
    """A web litho press; the units and meanings of its figures are in WebPressSchema."""

    drying: str
    inks_per_side: int
    ink_kinds: tuple[str, ...]
    standing_inks: tuple[str, ...]
    min_colour_type_pt: float
    min_reverse_colour_type_pt: float
    plate_dpi: float
    plates_across: int
    plates_around: int
    plate_price: float
    plate_life_impressions: float
    rated_cutoffs_per_hour: float
    max_web_m_per_min: float
    running_share: float
    thin_below_gsm: float
    thin_speed: float
    heavy_above_gsm: float
    heavy_coverage_pct: float
    heavy_coverage_speed: float
    splicer: bool
    reel_change_min: float
    make_ready_min: float
    make_ready_min_per_plate: float
    fold_set_up_min: float
    reel_width_change_min: float
    make_ready_copies: float
    make_ready_copies_per_colour: float
    make_ready_copies_per_web: float
    running_waste: float
    running_waste_per_colour: float
    unit_wash_min: float
    all_units_wash_min: float
    light_after_dark_min: float
    blanket_wash_min: float
    wash_price_per_unit: float
    film_coated_gsm: float
    film_uncoated_gsm: float
    black_ink_price_per_kg: float
    process_ink_price_per_kg: float
    special_ink_price_per_kg: float
    special_ink_left_kg: float
    fount_ml_per_m2: float
    fount_price_per_l: float
    drying_h: float
    gas_kwh_per_kg: float
    gas_price_per_kwh: float
    silicone_gsm: float
    silicone_price_per_kg: float
    blister_above_gsm: float
    lamp_kw: float
    power_price_per_kwh: float
    ink_oil_share: float
    oil_retained_share: float
    oxidiser_destroys_share: float

    @property
    def plates_per_cylinder(self) -> int:
        """Plates that fill one plate cylinder."""
        return self.plates_across * self.plates_around


class _LimitFields(PressSchema):
    """What the press prints, and how finely."""

    feed = feed("web")
    drying = choice("how the ink sets: absorbed, in a hot-air oven, or under lamps", DRYING)
    inks_per_side = whole("{ink}", 1, 12, "inks that a web takes on each side in one pass")
    ink_kinds = names("kinds of ink it runs", INK_KINDS, default=("process", "spot"))
    standing_inks = names(
        "inks that stay in the units from job to job",
        default=("cyan", "magenta", "yellow", "black"),
    )
    grades = names("stock grades that it prints on")
    min_caliper_um = figure(
        "um", 10, 1000, "thinnest web", default=35, source="36 g/m2 and up, from memory"
    )
    max_caliper_um = figure(
        "um", 20, 2000, "thickest web that the folder takes", default=200, source=PRACTICE
    )
    min_grammage_gsm = figure(
        "g/m2", 20, 500, "lightest stock: 40 coldset, 36 heatset, from memory"
    )
    max_grammage_gsm = figure(
        "g/m2", 30, 500, "heaviest stock: 60 to 80 coldset, 135 to 170 heatset, from memory"
    )
    max_ruling_lpi = figure(
        "/[in_i]", 50, 300, "finest halftone ruling: 85 to 102 coldset, 133 to 175 heatset"
    )
    min_type_pt = figure("[pt_us]", 1, 40, "smallest type in one ink: 7 to 8 coldset")
    min_reverse_type_pt = figure("[pt_us]", 1, 60, "smallest reversed type, one ink: 10 coldset")
    min_colour_type_pt = figure("[pt_us]", 1, 60, "smallest type in several inks: 10 to 18 coldset")
    min_reverse_colour_type_pt = figure(
        "[pt_us]", 1, 60, "smallest type reversed out of several inks: 12 to 14 coldset"
    )
    min_line_pt = figure(
        "[pt_us]", 0.05, 10, "thinnest line", default=0.25, source="0.1 to 0.25 pt, from memory"
    )
    register_mm = figure("mm", 0.02, 5, "closest fit of colour to colour, the least trap")
    max_total_coverage_pct = figure("%", 100, 400, "total area coverage: 220 coldset, 300 heatset")
    quality = choice("finest class of work the press is used for", QUALITIES)
    plate_dpi = figure("/[in_i]", 600, 5000, "addressability of the plates: 1,270 news, 2,400")


class _RunFields(PressSchema):
    """Plates, speed, make-ready, waste and washes."""

    plates_across = whole(
        "{plate}", 1, 8, "plates side by side on one plate cylinder", default=1, source=PRACTICE
    )
    plates_around = whole(
        "{plate}", 1, 2, "plates round one plate cylinder; 2 to collect unlike cut-offs", default=1,
        source=PRACTICE,
    )  # fmt: skip
    plate_price = figure("{currency}", 0, 500, "one plate, exposed and bent", usual=PLATE)
    plate_life_impressions = figure("{impression}", 1000, 5e6, "impressions until it is worn")
    rated_cutoffs_per_hour = figure(
        "/h", 500, 120_000, "cut-offs an hour on the maker's plate", usual=SPEED
    )
    max_web_m_per_min = figure(
        "m/min", 20, 1500, "fastest web: 8.0 to 8.6 m/s heatset", default=900, source=PRACTICE
    )
    running_share = figure(
        "1", 0.2, 1, "share of the rated speed kept", default=0.75, source="70 to 80 %, from memory"
    )
    thin_below_gsm = figure("g/m2", 0, 200, "lighter webs run slower", default=42, source=PRACTICE)
    thin_speed = figure("1", 0.2, 1, "share of speed kept on them", default=0.9, source=PRACTICE)
    heavy_above_gsm = figure(
        "g/m2",
        20,
        500,
        "stock above this slows as its weight: oven and folder take so many kilograms an hour",
        default=115,
        source="heatset derates above 115 g/m2, from memory",
    )
    heavy_coverage_pct = figure(
        "%", 50, 400, "total coverage above which it slows", default=200, source=PRACTICE
    )
    heavy_coverage_speed = figure(
        "1", 0.2, 1, "share of speed kept there", default=0.9, source="-10 %, from memory"
    )
    splicer = switch("whether reels are spliced at speed", default=True)
    reel_change_min = figure(
        "min", 0, 60, "stop for each new reel without a splicer", default=8, source=PRACTICE
    )
    make_ready_min = figure("min", 0, 600, "web up, register, colour and fold, plates apart")
    make_ready_min_per_plate = figure("min", 0, 60, "changing one plate")
    fold_set_up_min = figure(
        "min", 0, 600, "re-setting the folder", default=40, source=f"3 to 4 folds: {NORMS}"
    )
    reel_width_change_min = figure(
        "min", 0, 240, "setting reelstands for another stock", default=25, source=NORMS
    )
    make_ready_copies = figure(
        "{copy}",
        0,
        50_000,
        "cut-offs spoiled at a start with one ink on each side of one web",
        default=505,
        source=NEWS_TABLE,
    )
    make_ready_copies_per_colour = figure(
        "{copy}",
        0,
        10_000,
        "more for each further ink on the web with most",
        default=255,
        source=NEWS_TABLE,
    )
    make_ready_copies_per_web = figure(
        "{copy}", 0, 10_000, "more for each further web", default=100, source=PRACTICE
    )
    running_waste = figure(
        "1",
        0,
        0.5,
        "share of good cut-offs spoiled, one ink on each side",
        default=0.0145,
        source=NEWS_TABLE,
    )
    running_waste_per_colour = figure(
        "1",
        0,
        0.1,
        "more for each further ink on the web with most",
        default=0.0022,
        source=NEWS_TABLE,
    )
    unit_wash_min = figure("min", 0, 240, "washing one inking unit", default=30, source=NORMS)
    all_units_wash_min = figure(
        "min", 0, 600, "washing all units together, the most", default=60, source=NORMS
    )
    light_after_dark_min = figure(
        "min", 0, 120, "more for a unit from dark to light ink", default=20, source=NORMS
    )
    blanket_wash_min = figure("min", 0, 60, "washing the blankets", default=5, source=PRACTICE)
    wash_price_per_unit = figure(
        "{currency}",
        0,
        100,
        "wash for one unit",
        default=0.5,
        source="0.05 to 0.2 l a unit, from memory",
    )


class WebPressSchema(_LimitFields, _RunFields):
    """Parameters of a web litho press."""

    press_class = WebPress

    film_coated_gsm = figure(
        "g/m2", 0.3, 10, "ink on a coated solid", default=1.7, source="1.5 to 2.2, from memory"
    )
    film_uncoated_gsm = figure(
        "g/m2", 0.3, 10, "ink on an uncoated solid", default=2.1, source="1.8 to 2.5, from memory"
    )
    black_ink_price_per_kg = figure("{currency}/kg", 0, 500, "black ink")
    process_ink_price_per_kg = figure("{currency}/kg", 0, 500, "cyan, magenta, yellow", usual=INK)
    special_ink_price_per_kg = figure(
        "{currency}/kg", 0, 1000, "spot and other inks", default=20, source=PRACTICE
    )
    special_ink_left_kg = figure(
        "kg", 0, 50, "special ink left in each duct and lost", default=1, source=PRACTICE
    )
    fount_ml_per_m2 = figure(
        "mL/m2", 0, 20, "fount solution", default=2, source="1 to 3 ml/m2, from memory"
    )
    fount_price_per_l = figure(
        "{currency}/L", 0, 10, "fount solution, mixed", default=0.04, source=PRACTICE
    )
    drying_h = figure(
        "h",
        0,
        200,
        "until the next operation",
        default=0,
        source="coldset folds at once, heatset is chilled, UV is cured: from memory",
    )
    gas_kwh_per_kg = figure(
        "kW.h/kg", 0, 3, "oven gas for the paper", default=0.45, source="0.3 to 0.6, from memory"
    )
    gas_price_per_kwh = figure("{currency}/kW.h", 0, 2, "gas", default=0.06, source=PRACTICE)
    silicone_gsm = figure(
        "g/m2", 0, 10, "silicone after the oven, each side", default=1.5,
        source="1 to 3 g/m2, from memory",
    )  # fmt: skip
    silicone_price_per_kg = figure(
        "{currency}/kg", 0, 100, "silicone, mixed", default=0.25, source=PRACTICE
    )
    blister_above_gsm = figure(
        "g/m2", 50, 500, "coated stock that may blister", default=115, source="from memory"
    )
    lamp_kw = figure("kW", 0, 500, "UV or LED lamps", default=30, source=PRACTICE)
    power_price_per_kwh = figure("{currency}/kW.h", 0, 2, "power", default=0.2, source=PRACTICE)
    ink_oil_share = figure(
        "1",
        0,
        1,
        "oil that may evaporate in the ink; not of UV ink",
        default=0.36,
        source="heatset 32 to 40 %: Adrian, PNEAC, 17 Nov 1997",
    )
    oil_retained_share = figure(
        "1",
        0,
        1,
        "share of that oil which stays in heatset paper; 0.95 in coldset",
        default=0.20,
        source="South Coast AQMD with PIA, Jun 2001",
    )
    oxidiser_destroys_share = figure(
        "1",
        0,
        1,
        "share of what the oven captures that is burnt",
        default=0.95,
        source="worked case after South Coast AQMD with PIA, Jun 2001",
    )
