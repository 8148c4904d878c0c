"""The parameters of a gravure press: units, ranges, defaults and their sources."""

from __future__ import annotations

from sidelay.plugin import (
    QUALITIES,
    PressSchema,
    Usual,
    choice,
    feed,
    figure,
    names,
    switch,
    whole,
)

from .press import GravurePress

PRACTICE = "common practice, no source"
SPEED = Usual(50, 1_100, "packaging 300 to 500 m/min, publication more, from memory")
ERA = "European Rotogravure Association, How gravure is done (cylinder imaging)"
WEAR = "solvent inks 0.8 to 1.2 um, water 0.4 to 0.6: a packaging supplier's tooling guide"


class GravurePressSchema(PressSchema):
    """Parameters of a gravure press."""

    press_class = GravurePress

    feed = feed("reel", "web")
    units = whole("{unit}", 1, 16, "units, one ink each; of each side where both sides print")
    ink = choice("what its inks are thinned with", ("ester", "toluene", "water"), default="ester")
    standing_inks = names("inks that stay in the units from job to job", default=())
    corona_treater = switch(
        "whether film is corona-treated on the press", default=False, source=PRACTICE
    )
    electrostatic_assist = switch(
        "whether a charge draws the ink out of the cells, for rough stock", default=False,
        source=PRACTICE,
    )  # fmt: skip
    grades = names("stock grades that it prints on; none given: all", default=())
    quality = choice("finest class of work the press is used for", QUALITIES, default="fine")

    # Limits of stock and image.
    min_caliper_um = figure(
        "um", 5, 1000, "thinnest stock", default=12, source="12 um film, from memory"
    )
    max_caliper_um = figure("um", 20, 2000, "thickest stock", default=500, source=PRACTICE)
    min_grammage_gsm = figure("g/m2", 5, 500, "lightest stock", default=12, source=PRACTICE)
    max_grammage_gsm = figure(
        "g/m2", 20, 1000, "heaviest stock", default=400, source="400 g/m2 board, from memory"
    )
    max_ruling_lpi = figure(
        "/[in_i]", 60, 400, "finest screen", default=254,
        source="60 to 100 lines/cm, ISO 12647-4, from memory",
    )  # fmt: skip
    min_type_pt = figure(
        "[pt]", 1, 40, "smallest type: its edges are screened", default=5,
        source="5 to 6 pt, from memory",
    )  # fmt: skip
    min_reverse_type_pt = figure(
        "[pt]", 1, 40, "smallest type reversed out", default=6, source="5 to 6 pt, from memory"
    )
    serrated_below_pt = figure(
        "[pt]", 1, 40, "smaller type shows the cells at its edges", default=8,
        source="fine type serrated, from memory; 8 pt: common practice, no source",
    )  # fmt: skip
    min_line_pt = figure("[pt]", 0.1, 5, "finest line", default=0.4, source=PRACTICE)
    register_mm = figure(
        "mm", 0.01, 5, "fit of colour to colour", default=0.15, source="0.1 to 0.2 mm, from memory"
    )
    max_total_coverage_pct = figure(
        "%", 100, 800, "total area coverage that still dries", default=330,
        source="300 to 360 %, from memory",
    )  # fmt: skip
    tone_levels = whole(
        "1", 2, 1024, "sizes of cell that the engraver cuts, paper white among them", default=256,
        source="tones by cell volume, from memory; eight bits: common practice, no source",
    )  # fmt: skip

    # Speed.
    rated_m_per_min = figure("m/min", 10, 1200, "speed on the maker's plate", usual=SPEED)
    running_share = figure(
        "1", 0.2, 1, "share of the rated speed kept while running", default=0.65,
        source="packaging 150 to 350 of 300 to 500 m/min, from memory",
    )  # fmt: skip
    heavy_coverage_pct = figure(
        "%", 50, 600, "total coverage above which the solvent load slows the press", default=200,
        source=PRACTICE,
    )  # fmt: skip
    heavy_coverage_speed = figure(
        "1", 0.2, 1, "share of speed kept there", default=0.85, source=PRACTICE
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
        "mm", 0, 5, "work that fits as closely as this, or closer, runs slower", default=0.15,
        source=PRACTICE,
    )  # fmt: skip
    tight_register_speed = figure(
        "1", 0.2, 1, "share of speed kept on it", default=0.85, source=PRACTICE
    )
    splices = switch("whether reels are spliced without a stop", default=True, source=PRACTICE)
    reel_change_min = figure(
        "min", 0, 60, "standing still for a new reel, without a splicer", default=8, source=PRACTICE
    )
    reel_change_m = figure("m", 0, 500, "web spoiled at each new reel", default=25, source=PRACTICE)

    # Make-ready, waste, wash-up.
    stock_change_min = figure(
        "min", 0, 240, "threading another stock, tension, ovens", default=20, source=PRACTICE
    )
    make_ready_min_per_cylinder = figure(
        "min", 0, 240, "hanging one cylinder, its doctor blade, ink and register", default=15,
        source="10 to 20 min with trolleys, 30 to 60 without, from memory",
    )  # fmt: skip
    make_ready_m_per_job = figure(
        "m", 0, 5000, "web spoiled to thread and settle, whatever the colours", default=100,
        source=PRACTICE,
    )  # fmt: skip
    make_ready_m_per_cylinder = figure(
        "m", 0, 2000, "web spoiled for each cylinder", default=120,
        source="100 to 200 m a colour, or 300 to 1,500 m a job, from memory",
    )  # fmt: skip
    running_waste = figure(
        "1", 0, 0.5, "share of good repeats spoiled while running", default=0.03, source=PRACTICE
    )
    wash_min_per_unit = figure(
        "min", 0, 120, "washing pan, pump and roller of one unit", default=10, source=PRACTICE
    )
    light_after_dark_min = figure(
        "min", 0, 120, "more for a light ink after a dark one", default=10, source=PRACTICE
    )
    wash_price_per_unit = figure(
        "{currency}", 0, 500, "solvent, rags and disposal for one unit", default=10, source=PRACTICE
    )
    drying_h = figure(
        "h", 0, 200, "hours before the next operation", default=0,
        source="dry at rewind, from memory",
    )  # fmt: skip

    # Cylinders.
    bases = choice(
        "steel bases: made new for the job, or kept by the plant and engraved again",
        ("new", "kept"),
        default="new",
    )
    base_price_per_m2 = figure(
        "{currency}/m2", 0, 10_000, "new steel base, by area of its face", default=400,
        source="packaging cylinders 500 to 1,500 in all, from memory; split: " + PRACTICE,
        usual=Usual(50, 3_000),
    )  # fmt: skip
    copper_price_per_m2 = figure(
        "{currency}/m2", 0, 10_000, "copper, ground and polished, by area of face", default=320,
        source=PRACTICE,
    )  # fmt: skip
    handling_price_per_cylinder = figure(
        "{currency}", 0, 10_000, "data, proof and freight of one cylinder", default=90,
        source=PRACTICE,
    )  # fmt: skip
    engraver = choice("how cells are made", ("stylus", "laser"), default="stylus")
    engraving_heads = whole(
        "{head}", 1, 16, "heads that engrave one cylinder together", default=1,
        source=f"to 16 heads: {ERA}",
    )  # fmt: skip
    stylus_cells_per_s = figure(
        "/s", 100, 100_000, "cells a second that one stylus cuts", default=12_000, source=ERA
    )
    laser_cells_per_s = figure(
        "/s", 100, 1_000_000, "cells a second of one laser head", default=70_000,
        source=f"140,000 with two heads: {ERA}",
    )  # fmt: skip
    engraving_rate_per_hour = figure(
        "{currency}/h", 0, 5000, "an hour of the engraver, all heads", default=160, source=PRACTICE
    )
    usual_lines_per_cm = figure(
        "/cm", 40, 120, "screen for line work, which asks for none", default=60,
        source="60 to 100 lines/cm: ISO 12647-4, from memory",
    )  # fmt: skip
    least_lines_per_cm = figure(
        "/cm", 20, 100, "coarsest screen that is engraved", default=40, source=PRACTICE
    )
    coarse_lines_per_cm = figure(
        "/cm", 20, 120, "screen for white, metallic and varnish, which want deep cells", default=50,
        source=PRACTICE,
    )  # fmt: skip
    cell_wall_um = figure(
        "um", 1, 60, "wall between the cells of a solid", default=8, source=PRACTICE
    )
    stylus_angle_deg = figure(
        "deg", 90, 160, "angle of the stylus; a cell 200 um wide is then 47 um deep", default=130,
        source="cells to 200 um wide and 50 um deep, read; source not recorded",
    )  # fmt: skip
    chrome_price_per_m2 = figure(
        "{currency}/m2", 0, 5000, "chrome by area of face, the old stripped", default=140,
        source=PRACTICE,
    )  # fmt: skip
    chrome_um = figure(
        "um", 1, 50, "thickness of new chrome", default=10, source=PRACTICE
    )
    chrome_reject_um = figure(
        "um", 0, 49, "thickness at which it is renewed", default=6,
        source="a packaging supplier's tooling guide",
    )  # fmt: skip
    chrome_wear_um_per_100k = figure(
        "um", 0.01, 20, "loss of chrome in 100,000 impressions", default=1.0, source=WEAR
    )
    chromings_per_engraving = whole(
        "1", 1, 20, "chrome layers that an engraving outlives, the first among them", default=3,
        source=PRACTICE,
    )  # fmt: skip
    new_cylinder_lead_days = figure(
        "d", 0, 90, "working days to new cylinders", default=8,
        source="5 to 10 days, read; source not recorded",
    )  # fmt: skip
    re_engraving_lead_days = figure(
        "d", 0, 90, "working days to engrave kept bases", default=4,
        source="3 to 5 days, read; source not recorded",
    )  # fmt: skip

    # Ink, solvent, energy.
    transfer_share = figure(
        "1", 0.1, 1, "share of the cells' volume that reaches the stock", default=0.6,
        source="such that a solid takes 4 to 8 g/m2 wet, from memory",
    )  # fmt: skip
    ink_density_g_per_cm3 = figure(
        "g/cm3", 0.7, 2, "ink ready to print", default=0.9, source=PRACTICE
    )
    solids_share = figure(
        "1", 0.05, 1, "share of the ink, ready to print, that stays", default=0.25,
        source="75 % solvent as applied, from memory",
    )  # fmt: skip
    supplied_solids_share = figure(
        "1", 0.05, 1, "the same of the ink as bought", default=0.40,
        source="50 to 75 % solvent as supplied, from memory",
    )  # fmt: skip
    solvent_make_up_share = figure(
        "kg/kg", 0, 2, "solvent lost from the pans and made up, to the ink printed", default=0.15,
        source=PRACTICE,
    )  # fmt: skip
    ink_left_kg = figure(
        "kg", 0, 100, "ink left in each unit that is washed out, and lost", default=2,
        source=PRACTICE,
    )  # fmt: skip
    process_ink_price_per_kg = figure(
        "{currency}/kg", 0, 500, "cyan, magenta, yellow, black", default=5.5, source=PRACTICE
    )
    special_ink_price_per_kg = figure(
        "{currency}/kg", 0, 1000, "spot, metallic, fluorescent", default=11, source=PRACTICE
    )
    white_ink_price_per_kg = figure(
        "{currency}/kg", 0, 500, "opaque white", default=6, source=PRACTICE
    )
    varnish_price_per_kg = figure("{currency}/kg", 0, 500, "varnish", default=6, source=PRACTICE)
    solvent_price_per_kg = figure(
        "{currency}/kg", 0, 100, "solvent, or water with its additives", default=1.6,
        source=PRACTICE,
    )  # fmt: skip
    solvent_recovered_share = figure(
        "1", 0, 1, "share of the solvent that comes back from the air and thins the next ink",
        default=0, source="packaging solvents are mixed and are burnt: common practice, no source",
    )  # fmt: skip
    solvent_controlled_share = figure(
        "1", 0, 1, "share of all solvent used that is recovered or burnt", default=0.9,
        source=PRACTICE,
    )  # fmt: skip
    max_voc_share = figure(
        "1", 0, 1, "most solvent that may leave, of all solvent and water used", default=0.16,
        source="publication gravure: 40 CFR 60.432 (Subpart QQ, 2008 edition)",
    )  # fmt: skip
    drying_energy_wh_per_m2 = figure(
        "W.h/m2", 0, 2000, "hot air and exhaust, for a square metre of web", default=150,
        source="packaging 50 to 350, publication 10 to 30 Wh/m2 printed, from memory",
    )  # fmt: skip
    energy_price_per_kwh = figure(
        "{currency}/kW.h", 0, 2, "gas and power", default=0.11, source=PRACTICE
    )
