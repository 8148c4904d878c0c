"""The parameters of a flexo press: units, ranges, defaults and their sources."""

from __future__ import annotations

from typing import Any

from sidelay.plugin import (
    QUALITIES,
    PressSchema,
    Usual,
    choice,
    feed,
    figure,
    names,
    pre_load,
    switch,
    whole,
)

from .press import FlexoPress

PRACTICE = "common practice, no source"
SPEED = Usual(30, 800, "narrow 150 to 230, wide 300 to 600 m/min, from memory")
FTA = "4/6 pt narrow web, 6/8 pt wide web: Flexography: Principles and Practices vol. 1 (FTA, 1999)"
CONVERTER = "a film converter's art and plates page"
TRANSFER = "a quarter of the cell: Boaglio, flexo ink transfer; 20 to 40 %, from memory"

# Defaults that hang on another parameter: (parameter, its value) -> what is then the default. The
# defaults in the schema itself are those of a narrow web with UV ink.
CLASS_DEFAULTS: dict[tuple[str, str], dict[str, float]] = {
    ("web", "wide"): {"min_type_pt": 6.0, "min_reverse_type_pt": 8.0},
    ("ink", "solvent"): {
        "ink_density_g_per_cm3": 0.92,
        "solids_share": 0.30,
        "supplied_solids_share": 0.40,
        "solvent_make_up_share": 0.10,
        "drying_energy_wh_per_m2": 150.0,
    },
    ("ink", "water"): {
        "ink_density_g_per_cm3": 1.05,
        "solids_share": 0.35,
        "supplied_solids_share": 0.40,
        "drying_energy_wh_per_m2": 150.0,
    },
}


class FlexoPressSchema(PressSchema):
    """Parameters of a flexo press."""

    press_class = FlexoPress

    @pre_load
    def fill(self, data: Any, **_: Any) -> Any:
        """Fill in the defaults that hang on the class of web and the kind of ink."""
        if not isinstance(data, dict):
            return data
        filled: dict[str, Any] = {}
        for (parameter, value), defaults in CLASS_DEFAULTS.items():
            if data.get(parameter) == value:
                filled |= defaults
        return filled | data

    feed = feed("reel")
    web = choice("class of press", ("narrow", "wide"), default="narrow")
    units = whole("{unit}", 1, 16, "printing units (decks), one ink each")
    ink = choice("kind of ink it runs", ("uv", "solvent", "water"), default="uv")
    plates = choice(
        "image carriers: photopolymer plates mounted on a cylinder, or seamless engraved sleeves",
        ("plates", "sleeves"),
        default="plates",
    )
    corona_treater = switch(
        "whether film is corona-treated on the press", default=False, source=PRACTICE
    )
    standing_inks = names("inks that stay in the decks from job to job", default=())
    grades = names("stock grades that it prints on; none given: all", default=())
    quality = choice("finest class of work the press is used for", QUALITIES, default="commercial")

    # Limits of stock and image.
    min_caliper_um = figure(
        "um", 5, 1000, "thinnest stock", default=10, source="10 um film, from memory"
    )
    max_caliper_um = figure(
        "um", 20, 5000, "thickest stock", default=600, source="600 um board, from memory"
    )
    min_grammage_gsm = figure("g/m2", 5, 500, "lightest stock", default=10, source=PRACTICE)
    max_grammage_gsm = figure("g/m2", 20, 2000, "heaviest stock", default=450, source=PRACTICE)
    max_ruling_lpi = figure(
        "/[in_i]", 40, 250, "finest halftone ruling", default=150,
        source="100 to 175 lpi on film and labels, from memory",
    )  # fmt: skip
    min_type_pt = figure(
        "[pt]", 1, 40, "smallest type; a wide web left to the default takes 6", default=4,
        source=FTA,
    )  # fmt: skip
    min_reverse_type_pt = figure(
        "[pt]", 1, 40, "smallest type reversed out; a wide web left to the default takes 8",
        default=6, source=FTA,
    )  # fmt: skip
    max_colours_in_type = whole(
        "{colour}", 1, 8, "most colours that small type is built from", default=3,
        source="Flexography: Principles and Practices vol. 1 (FTA, 1999)",
    )  # fmt: skip
    min_line_pt = figure("[pt]", 0.1, 5, "finest line", default=0.3, source=PRACTICE)
    register_mm = figure(
        "mm", 0.01, 5, "fit of colour to colour", default=0.2, source="0.1 to 0.25 mm, from memory"
    )
    max_total_coverage_pct = figure(
        "%", 100, 800, "total area coverage that still dries", default=300,
        source="260 to 300 %, from memory",
    )  # fmt: skip
    min_tint_pct = figure(
        "%", 0, 20, "lightest tint that holds", default=3,
        source="3 % on labels, read; source not recorded",
    )  # fmt: skip
    plate_dpi = figure(
        "/[in_i]", 1000, 10_000, "spots an inch that the plate is imaged with", default=2540,
        source=PRACTICE,
    )  # fmt: skip

    # Speed.
    rated_m_per_min = figure("m/min", 10, 1000, "speed on the maker's plate", usual=SPEED)
    running_share = figure(
        "1", 0.2, 1, "share of the rated speed kept while running", default=0.6,
        source="narrow 60 to 150 of 150 to 230, wide 250 to 450 of 300 to 600 m/min, from memory",
    )  # fmt: skip
    heavy_coverage_pct = figure(
        "%", 50, 600, "total coverage above which drying slows the press", default=180,
        source=PRACTICE,
    )  # fmt: skip
    heavy_coverage_speed = figure(
        "1", 0.2, 1, "share of speed kept there", default=0.8, source=PRACTICE
    )
    thin_below_um = figure(
        "um", 5, 500, "thinner stock stretches and runs slower", default=20, source=PRACTICE
    )
    thin_speed = figure("1", 0.2, 1, "share of speed kept on it", default=0.8, source=PRACTICE)
    thick_above_um = figure(
        "um", 20, 3000, "thicker stock runs slower", default=250, source=PRACTICE
    )
    thick_speed = figure("1", 0.2, 1, "share of speed kept on it", default=0.75, source=PRACTICE)
    tight_register_mm = figure(
        "mm", 0, 5, "work that fits as closely as this, or closer, runs slower", default=0.2,
        source=PRACTICE,
    )  # fmt: skip
    tight_register_speed = figure(
        "1", 0.2, 1, "share of speed kept on it", default=0.85, source=PRACTICE
    )
    die_m_per_min = figure(
        "m/min", 5, 1000, "most while labels are cut and stripped in line", default=100,
        source=PRACTICE,
    )  # fmt: skip
    splices = switch(
        "whether reels are spliced without a stop", default=False, source=PRACTICE
    )
    reel_change_min = figure(
        "min", 0, 60, "standing still for a new reel, without a splicer", default=5, source=PRACTICE
    )
    reel_change_m = figure(
        "m", 0, 500, "web spoiled at each new reel", default=20, source=PRACTICE
    )

    # Make-ready, waste, wash-up.
    stock_change_min = figure(
        "min", 0, 240, "threading another stock, tension, edge guide, treater", default=10,
        source=PRACTICE,
    )  # fmt: skip
    make_ready_min_per_plate = figure(
        "min", 0, 120, "hanging one plate cylinder or sleeve, its anilox, pressure and register"
    )
    mounting_min_per_plate = figure(
        "min", 0, 120, "mounting one plate while the press waits; 0 with a mounting bench",
        default=0, source=PRACTICE,
    )  # fmt: skip
    mounting_price_per_plate = figure(
        "{currency}", 0, 1000, "mounting one plate on a bench: tape and time", default=8,
        source=PRACTICE,
    )  # fmt: skip
    make_ready_m_per_job = figure(
        "m", 0, 5000, "web spoiled to thread and settle, whatever the colours", default=40,
        source=PRACTICE,
    )  # fmt: skip
    make_ready_m_per_plate = figure(
        "m", 0, 2000, "web spoiled for each plate", default=30,
        source="narrow 100 to 300 m a job, wide 50 to 150 m a deck, from memory",
    )  # fmt: skip
    running_waste = figure(
        "1", 0, 0.5, "share of good repeats spoiled while running", default=0.025, source=PRACTICE
    )
    wash_min_per_deck = figure(
        "min", 0, 120, "washing anilox and chamber of one deck", default=10,
        source="5 to 20 min, from memory",
    )  # fmt: skip
    light_after_dark_min = figure(
        "min", 0, 120, "more for a light ink after a dark one", default=10, source=PRACTICE
    )
    wash_price_per_deck = figure(
        "{currency}", 0, 200, "cleaner and disposal for one deck", default=3, source=PRACTICE
    )
    drying_h = figure(
        "h", 0, 200, "hours before the next operation", default=0,
        source="dried between decks, rewound at once, from memory",
    )  # fmt: skip

    # Plates, sleeves, dies.
    plate_price_per_cm2 = figure(
        "{currency}/cm2", 0, 2, "photopolymer plate, imaged", default=0.08,
        source="0.05 to 0.12 EUR/cm2, from memory", usual=Usual(0.01, 0.5, "from memory"),
    )  # fmt: skip
    plate_life_repeats = figure(
        "{repeat}", 1000, 20_000_000, "repeats until plate or sleeve is worn", default=1_000_000,
        source="0.5 to 3 million, from memory",
    )  # fmt: skip
    plate_lead_days = figure(
        "d", 0, 60, "working days from order to plates", default=2,
        source="1 to 3 days, from memory",
    )  # fmt: skip
    plate_runs = whole(
        "{run}", 1, 500, "runs that a stored plate is good for", default=20,
        source="20 and more on bags: a bag supplier's plate cost page",
    )  # fmt: skip
    plate_gap_mm = figure(
        "mm", 0, 20, "seam between the ends of a plate on its cylinder", default=2.4,
        source=f"1.6 to 3.2 mm: {CONVERTER}",
    )  # fmt: skip
    plate_thickness_mm = figure(
        "mm", 0.5, 7, "plate with its base", default=1.14,
        source="0.045 in, the usual thin plate: common practice, no source",
    )  # fmt: skip
    plate_base_mm = figure(
        "mm", 0, 0.4, "polyester base, which does not stretch", default=0.18, source=PRACTICE
    )
    sleeve_price_times = figure(
        "1", 1, 10, "price of a seamless sleeve over that of a plate", default=2,
        source=f"about twice: {CONVERTER}",
    )  # fmt: skip
    sleeve_lead_days = figure(
        "d", 0, 90, "working days from order to sleeves", default=15,
        source=f"2 to 4 weeks: {CONVERTER}",
    )  # fmt: skip
    die_price_per_cm2 = figure(
        "{currency}/cm2", 0, 10, "flexible die by area of its sheet; 0 for none charged", default=0,
        source=PRACTICE,
    )  # fmt: skip
    die_life_repeats = figure(
        "{repeat}", 1000, 20_000_000, "repeats until a flexible die is blunt", default=300_000,
        source=PRACTICE,
    )  # fmt: skip
    die_lead_days = figure("d", 0, 60, "working days from order to die", default=3, source=PRACTICE)

    # Ink, solvent, energy.
    anilox_process_bcm = figure(
        "{BCM}/[in_i]2", 0.5, 30, "cell volume of the rolls for process inks", default=2.3,
        source="2 to 4 cm3/m2, which is 1.3 to 2.6 BCM, from memory",
    )  # fmt: skip
    anilox_solid_bcm = figure(
        "{BCM}/[in_i]2", 0.5, 30, "for spot, metallic, fluorescent and varnish", default=5,
        source="6 to 12 cm3/m2, which is 3.9 to 7.7 BCM, from memory",
    )  # fmt: skip
    anilox_white_bcm = figure(
        "{BCM}/[in_i]2", 0.5, 30, "for opaque white", default=7.5,
        source="6 to 12 cm3/m2, which is 3.9 to 7.7 BCM, from memory",
    )  # fmt: skip
    transfer_share = figure(
        "1", 0.05, 0.8, "share of the cell's volume that reaches the stock", default=0.25,
        source=TRANSFER,
    )  # fmt: skip
    ink_density_g_per_cm3 = figure(
        "g/cm3", 0.7, 2, "ink ready to print; default 1.1 UV, 0.92 solvent, 1.05 water",
        default=1.1, source=PRACTICE,
    )  # fmt: skip
    solids_share = figure(
        "1", 0.05, 1, "share of the ink, ready to print, that stays; default 1 UV, 0.3 solvent, "
        "0.35 water", default=1, source="solvent ink 20 to 40 %, from memory",
    )  # fmt: skip
    supplied_solids_share = figure(
        "1", 0.05, 1, "the same of the ink as bought, before it is thinned; default 1 UV, 0.4 "
        "solvent and water", default=1, source="solvent ink 20 to 40 %, from memory",
    )  # fmt: skip
    solvent_make_up_share = figure(
        "kg/kg", 0, 2, "solvent lost from chambers and made up, to the ink printed; default 0.1 "
        "for solvent ink", default=0, source=PRACTICE,
    )  # fmt: skip
    ink_left_kg = figure(
        "kg", 0, 20, "ink left in each chamber that is washed out, and lost", default=0.3,
        source=PRACTICE,
    )  # fmt: skip
    process_ink_price_per_kg = figure(
        "{currency}/kg", 0, 500, "cyan, magenta, yellow, black", default=14, source=PRACTICE
    )
    special_ink_price_per_kg = figure(
        "{currency}/kg", 0, 1000, "spot, metallic, fluorescent", default=22, source=PRACTICE
    )
    white_ink_price_per_kg = figure(
        "{currency}/kg", 0, 500, "opaque white", default=12, source=PRACTICE
    )
    varnish_price_per_kg = figure("{currency}/kg", 0, 500, "varnish", default=8, source=PRACTICE)
    solvent_price_per_kg = figure(
        "{currency}/kg", 0, 100, "solvent, or water with its additives", default=1.8,
        source=PRACTICE,
    )  # fmt: skip
    drying_energy_wh_per_m2 = figure(
        "W.h/m2", 0, 2000, "lamps or hot air, for a square metre of web; default 30 UV, 150 "
        "solvent and water", default=30,
        source="50 to 350 Wh/m2 printed in the EU best-practice document 2020/2009, from memory; "
        "eight lamps of 6 kW on 0.33 m x 90 m/min are 27",
    )  # fmt: skip
    energy_price_per_kwh = figure(
        "{currency}/kW.h", 0, 2, "power or gas", default=0.15, source=PRACTICE
    )
