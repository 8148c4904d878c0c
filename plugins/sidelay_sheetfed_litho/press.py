"""The parameters of a sheetfed litho press: units, ranges, defaults and their sources."""

from __future__ import annotations

from dataclasses import dataclass

from sidelay.plugin import (
    QUALITIES,
    LimitedPress,
    PressSchema,
    Usual,
    choice,
    curve,
    feed,
    figure,
    names,
    switch,
    whole,
)

PRACTICE = "common practice, no source"
SPEED = Usual(2_000, 21_000, "from memory")
PLATE = Usual(1, 60, "from memory")
DRYING = ("oxidation", "uv")
COATERS = ("none", "aqueous", "uv")


@dataclass(frozen=True, kw_only=True)
class LithoPress(LimitedPress):
    """A sheetfed litho press; the units and meanings of its figures are in LithoPressSchema."""

    units: int
    perfecting_after_unit: int
    standing_inks: tuple[str, ...]
    drying: str
    coater: str
    max_passes_per_side: int
    nonabsorbent_grades: tuple[str, ...]
    plate_dpi: float
    quick_drying_coverage_pct: float
    rated_sheets_per_hour: float
    running_share: float
    thin_below_gsm: float
    thin_speed: float
    thick_above_gsm: float
    thick_speed: float
    perfecting_speed: float
    heavy_coverage_pct: float
    heavy_coverage_speed: float
    non_stop_feeder: bool
    pile_height_mm: float
    pile_change_min: float
    make_ready_min_per_form: float
    make_ready_min_per_plate: float
    stock_set_up_min: float
    make_ready_sheets_per_form: int
    make_ready_sheets_per_plate: int
    running_waste: tuple[tuple[float, float], ...]
    unit_wash_min: float
    light_after_dark_min: float
    blanket_wash_min: float
    wash_price_per_unit: float
    plate_price: float
    plate_life_impressions: float
    uv_plate_life_share: float
    process_ink_price_per_kg: float
    special_ink_price_per_kg: float
    special_ink_left_kg: float
    film_coated_gsm: float
    film_uncoated_gsm: float
    uv_ink_price_times: float
    varnish_price_per_kg: float
    aqueous_film_gsm: float
    uv_film_gsm: float
    coating_plate_price: float
    fount_ml_per_m2: float
    fount_price_per_l: float
    lamp_kw: float
    power_price_per_kwh: float
    drying_coated_h: float
    drying_uncoated_h: float
    drying_coating_h: float
    slow_drying_times: float


class _LimitFields(PressSchema):
    """Units, and what they print how finely."""

    feed = feed("sheet")
    units = whole("{unit}", 1, 12, "printing units, one ink each")
    perfecting_after_unit = whole(
        "{unit}", 0, 11, "unit that the reversing drum follows; 0 for none", default=0,
        source=PRACTICE,
    )  # fmt: skip
    standing_inks = names("inks that stay in the units from job to job", default=("black",))
    drying = choice(
        "how ink dries: by oxidation, or under UV or LED lamps", DRYING, default="oxidation"
    )
    coater = choice("what the unit behind the inking units lays on", COATERS, default="none")
    quality = choice("finest class of work the press is used for", QUALITIES, default="fine")
    max_passes_per_side = whole(
        "{pass}", 1, 6, "most passes for one side", default=2, source=PRACTICE
    )
    grades = names("stock grades that it prints on; none named for all", default=())
    nonabsorbent_grades = names(
        "stock grades on which only UV ink dries",
        default=("film", "foil", "vinyl", "plastic", "rigid"),
    )
    min_caliper_um = figure(
        "um", 10, 1000, "thinnest sheet", default=40, source="0.03 to 0.04 mm, from memory"
    )
    max_caliper_um = figure(
        "um", 50, 2000, "thickest sheet", default=600, source="0.6 to 0.8 mm, from memory"
    )
    min_grammage_gsm = figure("g/m2", 20, 500, "lightest sheet", default=60, source=PRACTICE)
    max_grammage_gsm = figure(
        "g/m2", 50, 1500, "heaviest sheet", default=400, source="40 to 450 g/m2, from memory"
    )
    max_ruling_lpi = figure(
        "/[in_i]",
        60,
        500,
        "finest halftone ruling",
        default=200,
        source="150 to 200 lpi; 48 to 80 lines/cm in ISO 12647-2, from memory",
    )
    max_total_coverage_pct = figure(
        "%",
        100,
        400,
        "most total area coverage",
        default=300,
        source="300 % profile limit, quoted 2024; 280 % advised for fast drying, 2016",
    )
    quick_drying_coverage_pct = figure(
        "%",
        100,
        400,
        "total area coverage above which sheets dry slowly",
        default=280,
        source="280 % advised for fast drying: US stationery printer, Jul 2016",
    )
    min_type_pt = figure("[pt_us]", 1, 40, "smallest type", default=4, source="from memory")
    min_reverse_type_pt = figure(
        "[pt_us]", 1, 60, "smallest reversed type", default=6, source="from memory"
    )
    min_line_pt = figure(
        "[pt_us]", 0.05, 10, "thinnest line", default=0.25, source="0.1 to 0.25 pt, from memory"
    )
    register_mm = figure(
        "mm",
        0.02,
        5,
        "closest fit of colour to colour",
        default=0.15,
        source="0.15 mm between two colours: secondary note on ISO 12647-2:2013",
    )
    plate_dpi = figure(
        "/[in_i]", 600, 5000, "addressability of the plates", default=2400, source=PRACTICE
    )


class _RunFields(PressSchema):
    """Speed, make-ready, waste and washes."""

    rated_sheets_per_hour = figure(
        "{sheet}/h", 500, 25_000, "speed on the maker's plate", usual=SPEED
    )
    running_share = figure(
        "1",
        0.2,
        1,
        "share of the rated speed kept while running",
        default=0.70,
        source="10,820 an hour in practice: Dickeson, Printing Impressions, Jun 2000",
    )
    thin_below_gsm = figure(
        "g/m2", 20, 200, "lighter sheets run slower", default=70, source="from memory"
    )
    thin_speed = figure(
        "1", 0.2, 1, "share of speed kept on them", default=0.75, source="-20..40 %, from memory"
    )
    thick_above_gsm = figure(
        "g/m2", 100, 1000, "heavier sheets run slower", default=300, source="from memory"
    )
    thick_speed = figure(
        "1", 0.2, 1, "share of speed kept on them", default=0.75, source="-20..40 %, from memory"
    )
    perfecting_speed = figure(
        "1",
        0.2,
        1,
        "share of speed kept when perfecting",
        default=0.85,
        source="-10..20 %, from memory",
    )
    heavy_coverage_pct = figure(
        "%", 50, 400, "total coverage above which the press slows", default=200, source=PRACTICE
    )
    heavy_coverage_speed = figure(
        "1", 0.2, 1, "share of speed kept there", default=0.9, source="-10 %, from memory"
    )
    non_stop_feeder = switch(
        "whether piles change while the press runs", default=True, source=PRACTICE
    )
    pile_height_mm = figure(
        "mm",
        50,
        2000,
        "height of a feeder pile",
        default=1000,
        source="a pile of about 10,000 sheets forces a stop: UK print primer, early 2000s; 0.1 mm "
        "each",
    )
    pile_change_min = figure(
        "min",
        0,
        60,
        "stop for new piles at feeder and delivery",
        default=10,
        source="what brings 17,000 rated, 11,900 running, to 10,000 on the floor at 10,000 sheets "
        "a pile: worked from the UK print primer, early 2000s",
    )
    make_ready_min_per_form = figure("min", 0, 240, "make-ready for each form, plates apart")
    make_ready_min_per_plate = figure(
        "min", 0, 60, "hanging one plate and bringing it to register and colour"
    )
    stock_set_up_min = figure(
        "min",
        0,
        120,
        "part of the first form's make-ready that sets feeder and delivery for another stock",
        default=2,
        source=PRACTICE,
    )
    make_ready_sheets_per_form = whole(
        "{sheet}",
        0,
        5000,
        "spoiled sheets for each form",
        default=80,
        source="100 to 300 a form, from memory; best 250 in 2006 (insights4print 2016)",
    )
    make_ready_sheets_per_plate = whole(
        "{sheet}",
        0,
        2000,
        "spoiled sheets for each plate",
        default=25,
        source="100 to 300 a form, from memory; best 250 in 2006 (insights4print 2016)",
    )
    running_waste = curve(
        "1",
        "share of good sheets spoiled in one pass, over run length",
        low=0,
        high=1,
        rises="product",
        default=((2_500, 0.037), (25_000, 0.026)),
        source="two-colour press, American Printer, Jan 1996",
    )
    unit_wash_min = figure(
        "min",
        0,
        120,
        "washing one unit for another ink",
        default=5,
        source="2 to 5 min automatic, from memory",
    )
    light_after_dark_min = figure(
        "min",
        0,
        120,
        "more for a unit from dark to light ink",
        default=20,
        source="Russian inter-sector time norms for printing",
    )
    blanket_wash_min = figure(
        "min", 0, 60, "washing all blankets once", default=3, source="1 to 3 min, from memory"
    )
    wash_price_per_unit = figure(
        "{currency}",
        0,
        100,
        "wash for one unit",
        default=0.4,
        source="0.05 to 0.2 l a unit, from memory",
    )


class LithoPressSchema(_LimitFields, _RunFields):
    """Parameters of a sheetfed litho press."""

    press_class = LithoPress

    plate_price = figure("{currency}", 0, 500, "one plate, exposed and ready to hang", usual=PLATE)
    plate_life_impressions = figure(
        "{impression}",
        500,
        2_000_000,
        "impressions until a plate is worn",
        default=150_000,
        source="100,000 to 300,000 unbaked, from memory",
    )
    uv_plate_life_share = figure(
        "1",
        0.05,
        1,
        "share of that life under UV ink",
        default=0.4,
        source="UV ink cuts it to 30 to 50 %, from memory",
    )
    process_ink_price_per_kg = figure(
        "{currency}/kg", 0, 500, "cyan, magenta, yellow, black", default=14, source=PRACTICE
    )
    special_ink_price_per_kg = figure(
        "{currency}/kg", 0, 1000, "spot, metallic, fluorescent", default=32, source=PRACTICE
    )
    special_ink_left_kg = figure(
        "kg", 0, 10, "special ink left in the duct and lost", default=0.3, source=PRACTICE
    )
    film_coated_gsm = figure(
        "g/m2",
        0.3,
        10,
        "ink on a coated solid",
        default=1.4,
        source="Mediencommunity course LE06 (tests/reference, case IK01)",
    )
    film_uncoated_gsm = figure(
        "g/m2",
        0.3,
        10,
        "ink on an uncoated solid",
        default=2.1,
        source="1.4 x 45/30, the ratio of the 45 and 30 lb rule (case IK07)",
    )
    uv_ink_price_times = figure(
        "1", 1, 10, "UV ink's price over oil ink's", default=2, source=PRACTICE
    )
    varnish_price_per_kg = figure(
        "{currency}/kg", 0, 200, "varnish, of a unit or a coater", default=6, source=PRACTICE
    )
    aqueous_film_gsm = figure(
        "g/m2", 0.3, 20, "aqueous coating as it dries", default=3, source="2 to 4, from memory"
    )
    uv_film_gsm = figure(
        "g/m2", 0.3, 30, "UV varnish of a coater", default=4, source="3 to 5, from memory"
    )
    coating_plate_price = figure(
        "{currency}", 0, 500, "coating plate or blanket", default=25, source=PRACTICE
    )
    fount_ml_per_m2 = figure(
        "mL/m2",
        0,
        20,
        "fount solution",
        default=0.8,
        source="0.3 to 1 l for 1,000 B1 sheets, from memory",
    )
    fount_price_per_l = figure(
        "{currency}/L", 0, 10, "fount solution, mixed", default=0.05, source=PRACTICE
    )
    lamp_kw = figure("kW", 0, 500, "UV or LED lamps", default=20, source=PRACTICE)
    power_price_per_kwh = figure("{currency}/kW.h", 0, 2, "power", default=0.2, source=PRACTICE)
    drying_coated_h = figure(
        "h",
        0,
        200,
        "until coated sheets can be cut",
        default=24,
        source="24 to 48 h, uncoated slowest, US printer 2016",
    )
    drying_uncoated_h = figure(
        "h",
        0,
        200,
        "until uncoated sheets can be cut",
        default=36,
        source="24 to 48 h, uncoated slowest, US printer 2016",
    )
    drying_coating_h = figure(
        "h",
        0,
        200,
        "until sheets under an aqueous coating can be cut",
        default=1,
        source="aqueous near instant: US stationery printer, Jul 2016; an hour, common practice",
    )
    slow_drying_times = figure(
        "1", 1, 10, "longer for coverage that dries slowly", default=1.5, source=PRACTICE
    )
