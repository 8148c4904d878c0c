"""The parameters of a letterpress press: units, ranges, defaults and their sources."""

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
    whole,
)

PRACTICE = "common practice, no source"
GUIDES = "letterpress studios' artwork guides (four read)"
PRESS_TYPES = "reference article on letterpress press types"
PACKAGING = "packaging printing methods guide (undated)"
NORMS = "Russian inter-sector time norms for printing"
MOTIONS = ("hand_platen", "platen", "cylinder")
CARRIERS = ("photopolymer", "type", "electro")
INK_KINDS = ("process", "spot", "metallic", "fluorescent", "varnish")

# The largest platens and cylinders [in], and the fastest cylinder [impressions/h]: PRESS_TYPES.
LARGEST_PLATEN_IN = (18, 24)
LARGEST_CYLINDER_IN = (42, 56)
MOST_IMPRESSIONS_PER_HOUR = 5000


@dataclass(frozen=True, kw_only=True)
class LetterpressPress(LimitedPress):
    """A letterpress press; the units and meanings of its figures are in its schema."""

    motion: str
    units: int
    ink_kinds: tuple[str, ...]
    standing_inks: tuple[str, ...]
    max_process_inks: int
    max_passes_per_side: int
    max_solid_cm2: float | None = None
    min_dot_pt: float
    max_ruling_soft_lpi: float
    soft_grades: tuple[str, ...]
    block_dpi: float
    large_solid_share: float
    fine_type_pt: float
    min_deep_caliper_um: float
    min_deep_two_sided_caliper_um: float
    carrier: str
    type_height_in: float
    block_thickness_mm: float
    block_price_per_cm2: float
    block_min_price: float
    block_lead_days: float
    photopolymer_life_impressions: float
    type_life_impressions: float
    electro_life_impressions: float
    die_price_per_cm2: float
    die_min_price: float
    die_lead_days: float
    die_life_impressions: float
    rated_impressions_per_hour: float
    running_share: float
    thin_below_um: float
    thin_speed: float
    thick_above_um: float
    thick_speed: float
    large_solid_speed: float
    deep_speed: float
    pile_height_mm: float
    pile_change_min: float
    feeder_set_up_min: float
    make_ready_min: float
    make_ready_min_per_further_pass: float
    deep_packing_min: float
    make_ready_sheets_per_pass: int
    running_waste: float
    wash_min_per_colour: float
    light_after_dark_min: float
    wash_ml_per_colour: float
    solvent_price_per_l: float
    film_coated_gsm: float
    film_uncoated_gsm: float
    ink_price_per_kg: float
    special_ink_price_per_kg: float
    ink_left_kg: float
    drying_h: float


class _LimitFields(PressSchema):
    """What the press prints, and how finely."""

    feed = feed("sheet")
    motion = choice("how it takes an impression, and who feeds it", MOTIONS)
    units = whole("{unit}", 1, 2, "inks in one pass", default=1, source=PRACTICE)
    ink_kinds = names("kinds of ink it runs", INK_KINDS, default=INK_KINDS)
    standing_inks = names("inks that stay on the rollers from job to job", default=())
    grades = names(
        "stock grades that it prints on", default=("cotton", "uncoated", "board", "coated")
    )
    quality = choice("finest class of work the press is used for", QUALITIES, default="fine")
    max_process_inks = whole(
        "{ink}", 1, 4, "most process inks on a side", default=2,
        source="no process colour in practice, from memory",
    )  # fmt: skip
    max_passes_per_side = whole(
        "{pass}", 1, 8, "most passes for one side", default=4, source=PRACTICE
    )
    min_caliper_um = figure(
        "um", 30, 2000, "thinnest sheet", default=80, source="60 g/m2 and up, from memory"
    )
    max_caliper_um = figure("um", 50, 4000, "thickest sheet", default=1200, source=PRACTICE)
    min_grammage_gsm = figure("g/m2", 20, 500, "lightest sheet", default=60, source="from memory")
    max_grammage_gsm = figure(
        "g/m2",
        50,
        2000,
        "heaviest sheet",
        default=700,
        source="60 to 600 g/m2 and more, from memory",
    )
    max_solid_cm2 = figure(
        "cm2", 1, 20_000, "most solid that one impression is strong enough for; a platen presses "
        "its whole form at once, a cylinder a line of it and needs no such figure",
        optional=True,
    )  # fmt: skip
    max_ruling_lpi = figure(
        "/[in_i]", 20, 200, "finest halftone ruling, on smooth paper", default=120, source=GUIDES
    )
    max_ruling_soft_lpi = figure(
        "/[in_i]", 20, 200, "ruling that soft, rough stock still shows", default=85,
        source="from memory",
    )  # fmt: skip
    soft_grades = names(
        "grades that are soft and rough: best for a deep impression", default=("cotton",)
    )
    min_type_pt = figure("[pt]", 1, 40, "smallest type", default=6, source=GUIDES)
    min_reverse_type_pt = figure(
        "[pt]", 1, 60, "smallest type reversed out", default=12, source=GUIDES
    )
    min_line_pt = figure(
        "[pt]", 0.1, 5, "finest line", default=0.25,
        source=f"{GUIDES}; one buyer's guide asks 0.75 pt",
    )  # fmt: skip
    min_dot_pt = figure(
        "[pt]", 0.1, 10, "smallest dot that stands alone on a block", default=1, source=GUIDES
    )
    register_mm = figure(
        "mm", 0.01, 5, "fit of colour to colour", default=0.3, source="0.2 to 0.4 mm, from memory"
    )
    max_total_coverage_pct = figure(
        "%", 20, 400, "total area coverage that still dries", default=150, source=PRACTICE
    )
    block_dpi = figure(
        "/[in_i]", 600, 10_000, "spots an inch that blocks are imaged with", default=2400,
        source=PRACTICE,
    )  # fmt: skip
    large_solid_share = figure(
        "1", 0.05, 1, "coverage of one ink from which a side counts as large solids", default=0.3,
        source=PRACTICE,
    )  # fmt: skip
    fine_type_pt = figure(
        "[pt]", 1, 40, "type below this is fine: it wants less ink than a solid", default=9,
        source=PRACTICE,
    )  # fmt: skip
    min_deep_caliper_um = figure(
        "um", 100, 3000, "thinnest sheet that takes a deep impression", default=400,
        source=PRACTICE,
    )  # fmt: skip
    min_deep_two_sided_caliper_um = figure(
        "um", 100, 3000, "thinnest sheet that takes one on both sides", default=800,
        source=PRACTICE,
    )  # fmt: skip


class _CarrierFields(PressSchema):
    """Blocks and type, and dies for a deep impression."""

    carrier = choice("what a flat impression is printed from", CARRIERS, default="photopolymer")
    type_height_in = figure(
        "[in_i]", 0.8, 1.1, "height of type, which block and base together must reach",
        default=0.918, source="letterpress printer's page",
    )  # fmt: skip
    block_thickness_mm = figure(
        "mm", 0.3, 23, "thickness of a block without its base", default=1.5, source="from memory"
    )
    block_price_per_cm2 = figure(
        "{currency}/cm2", 0, 10, "one block, by printed area", default=0.12,
        source="0.5 to 1.1 EUR/in2, from memory", usual=Usual(0.02, 1, "from memory"),
    )  # fmt: skip
    block_min_price = figure(
        "{currency}", 0, 500, "least charge for one block", default=20, source=PRACTICE
    )
    block_lead_days = figure(
        "d", 0, 60, "working days for blocks; 0 where they are made in house in 1 to 2 h",
        default=2, source="1 to 3 days bought, from memory",
    )  # fmt: skip
    photopolymer_life_impressions = figure(
        "{impression}", 1000, 2_000_000, "until a photopolymer block is worn", default=250_000,
        source="100,000 to 500,000, from memory",
    )  # fmt: skip
    type_life_impressions = figure(
        "{impression}", 1000, 1_000_000, "until lead type is worn", default=30_000,
        source=PACKAGING,
    )  # fmt: skip
    electro_life_impressions = figure(
        "{impression}", 1000, 1_000_000, "until a halftone electro is worn", default=75_000,
        source=f"70,000 to 80,000: {PACKAGING}",
    )  # fmt: skip
    die_price_per_cm2 = figure(
        "{currency}/cm2", 0, 10, "one magnesium or copper die for a deep impression", default=0.2,
        source="like a photopolymer block or dearer, from memory",
    )  # fmt: skip
    die_min_price = figure(
        "{currency}", 0, 500, "least charge for one die", default=35, source=PRACTICE
    )
    die_lead_days = figure(
        "d", 0, 60, "working days for dies", default=3, source="1 to 3 days bought, from memory"
    )
    die_life_impressions = figure(
        "{impression}", 1000, 2_000_000, "until a die is worn", default=100_000, source=PRACTICE
    )


class _RunFields(PressSchema):
    """Speed, make-ready, waste and washing."""

    rated_impressions_per_hour = figure(
        "{impression}/h", 100, MOST_IMPRESSIONS_PER_HOUR,
        "speed on the maker's plate; of a hand-fed press, of a practised feeder",
        usual=Usual(150, 5_000, "from memory"),
    )  # fmt: skip
    running_share = figure(
        "1", 0.2, 1, "share of it kept while running", default=0.6,
        source="1,500 to 5,000 rated, 1,000 to 3,000 net, from memory",
    )  # fmt: skip
    thin_below_um = figure("um", 20, 500, "thinner sheets run slower", default=100, source=PRACTICE)
    thin_speed = figure("1", 0.2, 1, "share of speed kept on them", default=0.8, source=PRACTICE)
    thick_above_um = figure(
        "um", 100, 3000, "thicker sheets run slower", default=500, source=PRACTICE
    )
    thick_speed = figure(
        "1", 0.2, 1, "share of speed kept on them", default=0.7, source="-30..50 %, from memory"
    )
    large_solid_speed = figure(
        "1", 0.2, 1, "share of speed kept on large solids", default=0.7,
        source="-30..50 %, from memory",
    )  # fmt: skip
    deep_speed = figure(
        "1", 0.2, 1, "share of speed kept on a deep impression", default=0.8, source=PRACTICE
    )
    pile_height_mm = figure(
        "mm", 10, 2000, "height of a pile in the feeder or on the feed board", default=400,
        source=PRACTICE,
    )  # fmt: skip
    pile_change_min = figure(
        "min", 0, 60, "stop to load and unload a pile", default=4, source=PRACTICE
    )
    feeder_set_up_min = figure(
        "min", 0, 120, "setting feeder, gauges and delivery for another stock", default=20,
        source=f"feeder format: {NORMS}",
    )  # fmt: skip
    make_ready_min = figure(
        "min", 0, 240, "first pass: lock up, pack, ink and position, feeder apart", default=30,
        source="30 to 90 min with the feeder, from memory",
    )  # fmt: skip
    make_ready_min_per_further_pass = figure(
        "min", 0, 240, "each further pass: lock up, pack, ink and register", default=30,
        source="20 to 60 min, from memory",
    )  # fmt: skip
    deep_packing_min = figure(
        "min", 0, 240, "other packing for a deep impression, each pass", default=25,
        source=f"packing of a small press, 30 to 40 of a medium one: {NORMS}",
    )  # fmt: skip
    make_ready_sheets_per_pass = whole(
        "{sheet}", 0, 1000, "spoiled sheets for each make-ready", default=30,
        source="20 to 50 a colour, from memory",
    )  # fmt: skip
    running_waste = figure(
        "1", 0, 0.5, "share of good sheets spoiled in one pass", default=0.03,
        source="3 % a pass, a city college's print shop; 5 %, a Japanese paper merchant",
    )  # fmt: skip
    wash_min_per_colour = figure(
        "min", 0, 120, "washing rollers and disc for another ink", default=20,
        source="15 to 30 min, from memory",
    )  # fmt: skip
    light_after_dark_min = figure(
        "min", 0, 120, "more for a light ink after a dark one", default=20, source=NORMS
    )
    wash_ml_per_colour = figure(
        "mL", 0, 1000, "solvent for one wash", default=60, source="30 to 100 ml, from memory"
    )
    solvent_price_per_l = figure("{currency}/L", 0, 100, "solvent", default=6, source=PRACTICE)


class LetterpressPressSchema(_LimitFields, _CarrierFields, _RunFields):
    """Parameters of a letterpress press."""

    press_class = LetterpressPress

    film_coated_gsm = figure(
        "g/m2", 0.3, 10, "ink on a coated solid", default=1.2,
        source="1.0 to 2.5 g/m2 of solid, from memory",
    )  # fmt: skip
    film_uncoated_gsm = figure(
        "g/m2", 0.3, 10, "ink on an uncoated or cotton solid", default=2.0,
        source="1.0 to 2.5 g/m2 of solid, from memory",
    )  # fmt: skip
    ink_price_per_kg = figure(
        "{currency}/kg", 0, 500, "black, process and mixed spot ink", default=32, source=PRACTICE
    )
    special_ink_price_per_kg = figure(
        "{currency}/kg", 0, 1000, "metallic and fluorescent ink, varnish", default=55,
        source=PRACTICE,
    )  # fmt: skip
    ink_left_kg = figure(
        "kg", 0, 10, "ink left on rollers and disc and lost, each ink", default=0.05,
        source=PRACTICE,
    )  # fmt: skip
    drying_h = figure(
        "h", 0, 200, "until sheets can be cut or folded", default=24,
        source="oxidation and absorption, 12 to 48 h, from memory",
    )  # fmt: skip
