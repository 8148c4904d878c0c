"""The parameters of a screen press: units, ranges, defaults and their sources."""

from __future__ import annotations

from sidelay.plugin import (
    QUALITIES,
    PressSchema,
    Usual,
    choice,
    feed,
    figure,
    names,
    steps,
    whole,
)

from .press import MACHINES, ScreenPress

PRACTICE = "common practice, no source"
DISC = "disc printer's artwork specification"
SHOPS = "Atkinson, Study the numbers, Images magazine, Aug 2018 p. 33"
GLOSSARIES = "screen printing glossaries (two garment printers)"
PNEAC = "PNEAC print process description: screen printing"
MOST_PER_HOUR = 6000  # cylinder presses: student design blog, 2010
INK_KINDS = ("process", "spot", "metallic", "fluorescent", "white", "varnish")
INKS = ("plastisol", "water", "solvent", "uv")

# Plain-weave polyester by threads/cm: thickness of the fabric, diameter of the thread [um]. From
# memory but for 120/cm, whose fabric is that of the article's own example (MESHES).
MESHES = (
    "120/cm: How Much Ink Do You Need?, Screen Printing magazine, Apr 2000; the others plain "
    "polyester, from memory"
)
FABRIC_UM = (
    (15.0, 380.0),
    (32.0, 165.0),
    (43.0, 130.0),
    (55.0, 100.0),
    (77.0, 85.0),
    (90.0, 75.0),
    (100.0, 65.0),
    (120.0, 50.0),
    (140.0, 50.0),
    (150.0, 48.0),
)
THREAD_UM = (
    (15.0, 200.0),
    (32.0, 90.0),
    (43.0, 80.0),
    (55.0, 64.0),
    (77.0, 55.0),
    (90.0, 48.0),
    (100.0, 40.0),
    (120.0, 34.0),
    (140.0, 31.0),
    (150.0, 31.0),
)


class _LimitFields(PressSchema):
    """What the press prints, and how finely."""

    feed = feed("sheet", "piece")
    machine = choice("class of press", MACHINES)
    stations = whole(
        "{station}", 1, 24, "print heads; on an automatic carousel a flash unit and a cool-down "
        "take one each",
    )  # fmt: skip
    ink = choice("kind of ink it runs", INKS)
    ink_kinds = names("inks it prints", INK_KINDS, default=INK_KINDS)
    dark_inks = names("inks that need no white under them on dark stock", default=("black",))
    standing_inks = names("inks that are not washed out after a job", default=())
    grades = names("stock grades that it prints on")
    quality = choice("finest class of work the press is used for", QUALITIES, default="commercial")
    max_passes_per_side = whole(
        "{pass}", 1, 12, "most passes for one side; on a carousel always one", default=6,
        source=PRACTICE,
    )  # fmt: skip
    min_caliper_um = figure("um", 10, 5000, "thinnest stock", default=50, source=PRACTICE)
    max_caliper_um = figure(
        "um", 50, 100_000, "thickest stock", default=30_000, source="any caliper, from memory"
    )
    min_grammage_gsm = figure("g/m2", 10, 500, "lightest stock", default=40, source=PRACTICE)
    max_grammage_gsm = figure("g/m2", 50, 50_000, "heaviest stock", default=20_000, source=PRACTICE)
    max_ruling_lpi = figure(
        "/[in_i]", 20, 200, "finest halftone ruling: 45 to 65 on garments", default=85,
        source=DISC,
    )  # fmt: skip
    min_type_pt = figure("[pt]", 1, 40, "smallest type", default=6, source=f"4 to 6 pt: {DISC}")
    min_reverse_type_pt = figure(
        "[pt]", 1, 60, "smallest type reversed out", default=6, source=DISC
    )
    min_line_pt = figure("[pt]", 0.1, 10, "finest line", default=1, source=DISC)
    min_tint_pct = figure("%", 0, 50, "lightest tint that holds", default=15, source=DISC)
    max_tint_pct = figure("%", 50, 100, "darkest tint that stays open", default=85, source=DISC)
    trap_pt = figure("[pt]", 0, 10, "overlap of colours that touch", default=0.5, source=DISC)
    register_mm = figure(
        "mm", 0.01, 5, "fit of colour to colour", default=0.3, source="0.2 to 0.5 mm, from memory"
    )
    max_total_coverage_pct = figure(
        "%", 20, 800, "total area coverage that still dries", default=300, source=PRACTICE
    )
    film_dpi = figure(
        "/[in_i]", 300, 5000, "spots an inch that stencils are imaged with", default=1270,
        source=PRACTICE,
    )  # fmt: skip


class _ScreenFields(PressSchema):
    """Frames, meshes and stencils."""

    frame_width_mm = figure("mm", 100, 5000, "inside of a frame, along the squeegee")
    frame_length_mm = figure("mm", 100, 6000, "inside of a frame, along the stroke")
    frame_margin_mm = figure(
        "mm", 0, 1000, "room between image and frame at each end of the squeegee", default=75,
        source=PRACTICE,
    )  # fmt: skip
    run_off_mm = figure(
        "mm", 0, 1000, "room before and behind the image for squeegee and ink", default=100,
        source=PRACTICE,
    )  # fmt: skip
    mesh_fabric_um = steps(
        "/cm", "um", "meshes in stock: threads/cm and thickness of the fabric", low=10, high=2000,
        default=FABRIC_UM, source=MESHES,
    )  # fmt: skip
    mesh_thread_um = steps(
        "/cm", "um", "their threads: threads/cm and diameter", low=5, high=1000,
        default=THREAD_UM, source="plain polyester, from memory",
    )  # fmt: skip
    weave = choice("weave of the meshes", ("plain", "twill"), default="plain")
    mesh_threads_per_line = figure(
        "1", 2, 10, "threads for each line of a halftone, at least", default=4,
        source="4 to 5, from memory",
    )  # fmt: skip
    solid_mesh_per_cm = figure(
        "/cm", 5, 200, "mesh for solids, lines and opaque ink; the finest not above it is taken",
        default=55, source=PRACTICE,
    )  # fmt: skip
    screen_price = figure(
        "{currency}", 0, 2000, "new frame, stretched", default=35,
        source="15 to 60, from memory", usual=Usual(5, 400, "from memory"),
    )  # fmt: skip
    reused_share = figure(
        "1", 0, 1, "share of screens made on frames that are re-used", default=0.98,
        source="reclaimed and used again 30 to 100 times, from memory",
    )  # fmt: skip
    stencil_price = figure(
        "{currency}", 0, 500, "emulsion, film and reclaiming chemicals of one screen", default=6,
        source="5 to 20 with labour, from memory",
    )  # fmt: skip
    screen_labour_min = figure(
        "min", 0, 240, "labour to coat, expose, wash and later reclaim one screen", default=20,
        source="15 to 30 min, from memory",
    )  # fmt: skip
    screen_labour_rate_per_hour = figure(
        "{currency}/h", 0, 300, "rate of the screen room", default=32, source=PRACTICE
    )
    screen_lead_days = figure(
        "d", 0, 30, "working days until a screen is ready", default=1,
        source="1.5 to 6 h with drying, from memory; 6 h drying, one shop's page",
    )  # fmt: skip
    stencil_life_pulls = figure(
        "{impression}", 100, 500_000, "pulls until a stencil breaks down", default=10_000,
        source="5,000 to 50,000, from memory",
    )  # fmt: skip
    squeegee_price = figure("{currency}", 0, 500, "one squeegee blade", default=12, source=PRACTICE)
    squeegee_life_impressions = figure(
        "{impression}", 100, 500_000, "impressions until a polyurethane blade is worn",
        default=25_000, source=f"to 25,000: {PNEAC}",
    )  # fmt: skip


class _SpeedFields(PressSchema):
    """How fast it runs, and what holds it back."""

    rated_per_hour = figure(
        "/h", 10, MOST_PER_HOUR, "pieces or sheets an hour at best, one side or colour",
        usual=Usual(20, 4_000, "from memory"),
    )
    running_share = figure(
        "1", 0.1, 1, "share of it kept while running", default=0.67,
        source=f"400 an hour where 600 and more are claimed: {SHOPS}",
    )  # fmt: skip
    load_s = figure(
        "s", 0, 600, "on a manual carousel: load and unload one piece", default=25,
        source=f"with the stroke, 65 an hour with two screens: {SHOPS}",
    )  # fmt: skip
    stroke_s = figure(
        "s", 0, 120, "on a manual carousel: flood and print one colour", default=15,
        source=f"with the loading, 65 an hour with two screens: {SHOPS}",
    )  # fmt: skip
    flash_s = figure(
        "s", 0, 120, "gelling one layer under a flash unit", default=6, source="from memory"
    )
    flash_stations = whole(
        "{station}", 0, 4, "print heads that a flash unit takes on an automatic carousel",
        default=1, source=GLOSSARIES,
    )  # fmt: skip
    cool_down_stations = whole(
        "{station}", 0, 4, "print heads left empty behind it to cool down", default=1,
        source=GLOSSARIES,
    )  # fmt: skip
    thin_below_um = figure("um", 10, 1000, "thinner stock runs slower", default=100,
                           source=PRACTICE)  # fmt: skip
    thin_speed = figure("1", 0.1, 1, "share of speed kept on it", default=0.85, source=PRACTICE)
    thick_above_um = figure(
        "um", 100, 20_000, "thicker stock runs slower", default=1500, source=PRACTICE
    )
    thick_speed = figure("1", 0.1, 1, "share of speed kept on it", default=0.7, source=PRACTICE)
    large_above_m2 = figure(
        "m2", 0.01, 10, "larger sheets run slower", default=0.7, source=PRACTICE
    )
    large_speed = figure("1", 0.1, 1, "share of speed kept on them", default=0.75, source=PRACTICE)
    dryer_s = figure(
        "s", 0, 3600, "time in a tunnel or jet dryer", default=90,
        source="plastisol about 160 C for 60 to 90 s, from memory",
    )  # fmt: skip
    dryer_places = figure(
        "1", 0.1, 1000, "pieces or sheets that lie in the dryer at a time", default=15,
        source=PRACTICE,
    )  # fmt: skip
    rack_h = figure(
        "h", 0, 48, "drying of solvent ink on racks; 0 where it goes through a jet dryer",
        default=0.75, source="20 to 60 min, from memory",
    )  # fmt: skip


class ScreenPressSchema(_LimitFields, _ScreenFields, _SpeedFields):
    """Parameters of a screen press."""

    press_class = ScreenPress

    stock_set_up_min = figure(
        "min", 0, 120, "other pallets, or bed and stops, for another stock", default=5,
        source=PRACTICE,
    )  # fmt: skip
    make_ready_min_per_screen = figure(
        "min", 0, 240, "hanging, registering and testing one screen: 9 on an automatic carousel, "
        "15 to 30 on a graphic press",
        default=10, source=f"manual carousel: {SHOPS}",
    )  # fmt: skip
    make_ready_pieces_per_screen = whole(
        "1", 0, 500, "spoiled pieces or sheets for each screen", default=1, source=PRACTICE
    )
    running_waste = figure(
        "1", 0, 0.5, "share of good pieces spoiled in one pass", default=0.02,
        source="1 to 3 % misprints, from memory",
    )  # fmt: skip
    tear_down_min_per_screen = figure(
        "min", 0, 120, "taking one screen down and scraping its ink back", default=2,
        source="3 to 5 min with the wash, from memory",
    )  # fmt: skip
    ink_wash_min = figure(
        "min", 0, 120, "washing squeegee and flood bar for another ink", default=2,
        source="3 to 5 min with the tear-down, from memory",
    )  # fmt: skip
    light_after_dark_min = figure(
        "min", 0, 120, "more for a light ink after a dark one", default=2, source=PRACTICE
    )
    wash_price_per_screen = figure(
        "{currency}", 0, 100, "cleaner for one screen and its squeegee", default=1,
        source=PRACTICE,
    )  # fmt: skip
    ink_density_g_per_cm3 = figure(
        "g/cm3", 0.5, 4, "density of the ink", default=1.2, source=PRACTICE
    )
    ink_price_per_kg = figure(
        "{currency}/kg", 0, 500, "process, spot and white ink", default=15,
        source="about 15 USD/kg, Images magazine 2018",
    )  # fmt: skip
    special_ink_price_per_kg = figure(
        "{currency}/kg", 0, 1000, "metallic and fluorescent ink, varnish", default=35,
        source=PRACTICE,
    )  # fmt: skip
    ink_left_kg = figure(
        "kg", 0, 10, "ink left in each screen and lost", default=0.05, source=PRACTICE
    )
    dryer_kw = figure(
        "kW", 0, 200, "power of dryer, flash units or lamps", default=12,
        source="5 to 60 kW with the press, from memory",
    )  # fmt: skip
    power_price_per_kwh = figure(
        "{currency}/kW.h", 0, 5, "electricity", default=0.2, source=PRACTICE
    )
