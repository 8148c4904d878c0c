"""The parameters of a sheetfed litho press: units, ranges, defaults and their sources."""

from __future__ import annotations

from dataclasses import dataclass

from sidelay.plugin import (
    QUALITIES,
    PressBase,
    PressSchema,
    choice,
    curve,
    figure,
    names,
    whole,
)

PRACTICE = "common practice, no source"


@dataclass(frozen=True, kw_only=True)
class LithoPress(PressBase):
    """A sheetfed litho press; the units and meanings of its figures are in LithoPressSchema."""

    units: int
    perfecting_after_unit: int
    standing_inks: tuple[str, ...]
    quality: str
    max_passes_per_side: int
    min_caliper_um: float
    max_caliper_um: float
    min_grammage_gsm: float
    max_grammage_gsm: float
    max_ruling_lpi: float
    max_total_coverage_pct: float
    rated_sheets_per_hour: float
    running_share: float
    thin_below_gsm: float
    thin_speed: float
    thick_above_gsm: float
    thick_speed: float
    perfecting_speed: float
    heavy_coverage_pct: float
    heavy_coverage_speed: float
    make_ready_min_per_form: float
    make_ready_min_per_plate: float
    make_ready_sheets_per_form: int
    make_ready_sheets_per_plate: int
    running_waste: tuple[tuple[float, float], ...]
    unit_wash_min: float
    blanket_wash_min: float
    wash_price_per_unit: float
    plate_price: float
    plate_life_impressions: float
    process_ink_price_per_kg: float
    special_ink_price_per_kg: float
    special_ink_left_kg: float
    film_coated_gsm: float
    film_uncoated_gsm: float
    drying_coated_h: float
    drying_uncoated_h: float


class LithoPressSchema(PressSchema):
    """Parameters of a sheetfed litho press."""

    press_class = LithoPress

    units = whole("{unit}", 1, 12, "printing units, one ink each")
    perfecting_after_unit = whole(
        "{unit}", 0, 11, "unit that the reversing drum follows; 0 for none", default=0
    )
    standing_inks = names("inks that stay in the units from job to job", default=("black",))
    quality = choice("finest class of work the press is used for", QUALITIES, default="fine")
    max_passes_per_side = whole(
        "{pass}", 1, 6, "most passes for one side", default=2, source=PRACTICE
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
        "total area coverage that still dries",
        default=300,
        source="300 % profile limit, quoted 2024; 280 % advised for fast drying, 2016",
    )
    rated_sheets_per_hour = figure("{sheet}/h", 500, 25_000, "speed on the maker's plate")
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
    make_ready_min_per_form = figure("min", 0, 240, "make-ready for each form, plates apart")
    make_ready_min_per_plate = figure(
        "min", 0, 60, "hanging one plate and bringing it to register and colour"
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
    plate_price = figure("{currency}", 0, 500, "one plate, exposed and ready to hang")
    plate_life_impressions = figure(
        "{impression}",
        500,
        2_000_000,
        "impressions until a plate is worn",
        default=150_000,
        source="100,000 to 300,000 unbaked, from memory",
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
