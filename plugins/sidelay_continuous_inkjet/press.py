"""The parameters of a continuous inkjet press: units, ranges, defaults and their sources."""

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
MEMORY = "from memory"
HEADS = ("coder", "addressing", "array")
FLUIDS = ("ketone", "alcohol", "aqueous")
PIGMENTED_KINDS = ("process", "spot", "white", "metallic", "fluorescent")


@dataclass(frozen=True, kw_only=True)
class CijPress(LimitedPress):
    """A continuous inkjet press; the units and meanings of its figures are in CijPressSchema."""

    heads: str
    fluid: str
    food_grade_ink: bool
    pigmented_kinds: tuple[str, ...]
    standing_inks: tuple[str, ...]
    colours: int
    resolution_dpi: float
    drop_khz: float
    drops_per_dot: int
    dots_high: int
    dots_per_line: int
    heads_fitted: int
    head_height_mm: float
    min_height_mm: float
    band_coverage: float
    max_m_per_min: float
    rated_pieces_per_hour: float
    gap_mm: float
    piece_pitch_mm: float
    running_share: float
    thin_below_gsm: float
    thin_speed: float
    thick_above_um: float
    thick_speed: float
    dryer_m: float
    drying_porous_s: float
    drying_closed_s: float
    dried_coverage_pct: float
    splices: bool
    reel_change_min: float
    start_min: float
    set_up_min: float
    head_min: float
    data_min: float
    make_ready_pieces: int
    make_ready_m: float
    running_waste: float
    stop_min: float
    ink_change_min: float
    light_after_dark_min: float
    line_ul: float
    drop_pl: float
    ink_price_per_l: float
    special_ink_price_per_l: float
    ink_lost_ml: float
    make_up_price_per_l: float
    make_up_ml_per_hour: float
    flush_price_per_l: float
    flush_ml: float


class CijPressSchema(PressSchema):
    """Parameters of a continuous inkjet press: coder in line, addressing line, array on a web."""

    press_class = CijPress

    feed = feed("piece", "sheet", "web")
    heads = choice(
        'what throws the drops: "coder", one deflected jet for all dots of a stroke; "addressing", '
        'heads with a jet for each dot, over a part of the piece; "array", the same over the '
        "whole width",
        HEADS,
    )
    quality = choice("finest class of work the press is used for", QUALITIES, default="draft")

    # ---------------------------------------------------------------- ink
    fluid = choice("what the ink is thinned with", FLUIDS, default="ketone")
    food_grade_ink = switch(
        "whether the ink set is one made for food contact", default=False, source=PRACTICE
    )
    pigmented_kinds = names(
        "kinds of ink that are pigmented here; the others are transparent dyes",
        PIGMENTED_KINDS,
        default=(),
    )
    standing_inks = names("inks that stay in the heads from job to job", default=("black",))
    colours = whole(
        "{ink}", 1, 8, "inks a side in one pass", default=1, source="mono mostly, from memory"
    )

    # ---------------------------------------------------------------- heads
    resolution_dpi = figure(
        "/[in_i]", 20, 1200, "dots an inch along the travel, and across it where each has a jet"
    )
    drop_khz = figure(
        "kHz",
        5,
        1000,
        "drops that one jet breaks into",
        default=64,
        source="64 to 96 kHz: industrial coder manual, print speed appendix",
    )
    drops_per_dot = whole(
        "1",
        1,
        8,
        "drops a jet spends on a place for a dot: 1 in draft, more with guard drops between",
        default=1,
        source=MEMORY,
    )
    dots_high = whole(
        "{dot}",
        5,
        64,
        "of a coder, most dots in one stroke",
        default=24,
        source="to 24 dots high: industrial coder manual, print speed appendix",
    )
    dots_per_line = whole(
        "{dot}",
        5,
        64,
        "of a coder, dots of the height of one line of characters",
        default=7,
        source="5 x 7 characters, from memory",
    )
    heads_fitted = whole("{head}", 1, 64, "heads for one ink on one side", default=1, source=MEMORY)
    head_height_mm = figure(
        "mm",
        1,
        1500,
        "height of the strip that one head prints, across the travel",
        default=20,
        source="coders 2 to 20 mm, from memory",
    )
    min_height_mm = figure(
        "mm", 0, 100, "lowest print", default=2, source="2 to 20 mm high type, from memory"
    )
    band_coverage = figure(
        "1",
        0.05,
        1,
        "ink share of a strip set full: bar codes; heavier images need a wider strip",
        default=0.5,
        source=PRACTICE,
    )

    # ---------------------------------------------------------------- what it prints on, how fine
    grades = names("stock grades that it prints on; empty for all", default=())
    min_caliper_um = figure("um", 1, 5000, "thinnest stock", default=10, source="film, from memory")
    max_caliper_um = figure(
        "um", 10, 50_000, "thickest stock", default=5000, source="1 to 15 mm gap, from memory"
    )
    min_grammage_gsm = figure("g/m2", 1, 2000, "lightest stock", default=10, source=MEMORY)
    max_grammage_gsm = figure("g/m2", 10, 5000, "heaviest stock", default=2000, source=MEMORY)
    max_ruling_lpi = figure(
        "/[in_i]",
        20,
        200,
        "finest halftone ruling; type alone has none: ask for the coarsest",
        default=20,
        source="a third of 60 dots an inch, ten steps of tone; common practice, no source",
    )
    min_type_pt = figure(
        "[pt]",
        1,
        100,
        "smallest type",
        default=12,
        source="7 dots of 60 an inch are 3 mm, the capital of 12 pt; from memory",
    )
    min_reverse_type_pt = figure(
        "[pt]", 1, 200, "smallest type reversed out of a solid", default=24, source=PRACTICE
    )
    min_line_pt = figure(
        "[pt]", 0.1, 20, "finest line", default=1.2, source="one dot of 60 an inch; from memory"
    )
    register_mm = figure("mm", 0.01, 20, "fit of one print to another", default=1, source=PRACTICE)
    max_total_coverage_pct = figure(
        "%", 5, 400, "ink in the heaviest spot that still dries", default=100, source=PRACTICE
    )

    # ---------------------------------------------------------------- speed
    max_m_per_min = figure(
        "m/min",
        0.5,
        1000,
        "fastest that line, transport or web runs under the heads",
        default=300,
        source="array on a full web to 300 m/min: inkjet trends page of a printer maker (2002)",
        usual=Usual(5, 600, "from memory"),
    )
    rated_pieces_per_hour = figure(
        "{piece}/h",
        10,
        1_000_000,
        "most pieces that feeder or line delivers; not used on a web",
        default=20_000,
        source=PRACTICE,
        usual=Usual(200, 200_000),
    )
    gap_mm = figure("mm", 0, 2000, "between two pieces on the belt", default=50, source=PRACTICE)
    piece_pitch_mm = figure(
        "mm",
        1,
        5000,
        "from one single piece (bottle, carton) to the next on the line, where the print and the "
        "gap are shorter",
        default=150,
        source=PRACTICE,
    )
    running_share = figure(
        "1",
        0.1,
        1,
        "share of time that is not loading, clearing and checking",
        default=0.85,
        source=PRACTICE,
    )
    thin_below_gsm = figure(
        "g/m2", 1, 500, "lighter sheets and webs run slower", default=60, source=PRACTICE
    )
    thin_speed = figure("1", 0.1, 1, "share of speed kept on them", default=0.8, source=PRACTICE)
    thick_above_um = figure(
        "um", 10, 50_000, "thicker sheets and webs run slower", default=1000, source=PRACTICE
    )
    thick_speed = figure("1", 0.1, 1, "share of speed kept on them", default=0.7, source=PRACTICE)
    dryer_m = figure(
        "m",
        0.1,
        200,
        "way from the heads to where the print is touched, dryer and all",
        default=5,
        source=PRACTICE,
    )
    drying_porous_s = figure(
        "s",
        0.05,
        120,
        "until a usual print is dry on stock that drinks the ink",
        default=1,
        source="solvent 1 to 2 s, from memory",
    )
    drying_closed_s = figure(
        "s",
        0.05,
        120,
        "the same on coated stock, film, foil, glass, metal",
        default=2,
        source="solvent 1 to 2 s, from memory",
    )
    dried_coverage_pct = figure(
        "%",
        5,
        400,
        "coverage of a usual print; a heavier one dries in proportion longer",
        default=20,
        source="type and codes; common practice, no source",
    )
    splices = switch("whether reels change without a stop", default=False, source=PRACTICE)
    reel_change_min = figure(
        "min", 0, 120, "standstill for a new reel without a splicer", default=10, source=PRACTICE
    )

    # ---------------------------------------------------------------- make-ready and waste
    start_min = figure(
        "min",
        0,
        120,
        "starting the jets and checking the first print",
        default=8,
        source="5 to 15 min start and flush together, from memory",
    )
    set_up_min = figure(
        "min",
        0,
        240,
        "guides, feeder and belt, or threading the web; not where the stock stays",
        default=8,
        source=PRACTICE,
    )
    head_min = figure("min", 0, 60, "bringing one head to its place", default=3, source=PRACTICE)
    data_min = figure(
        "min", 0, 600, "reading in and checking variable data", default=10, source=PRACTICE
    )
    make_ready_pieces = whole(
        "{piece}",
        0,
        1000,
        "pieces spoiled at set-up in one pass",
        default=3,
        source="nil, from memory; a few to place the print",
    )
    make_ready_m = figure(
        "m",
        0,
        1000,
        "web spoiled at set-up",
        default=30,
        source="the length threaded; common practice, no source",
    )
    running_waste = figure(
        "1",
        0,
        0.5,
        "share of good pieces spoiled in one pass",
        default=0.002,
        source="nil, from memory; misfeeds",
    )
    stop_min = figure(
        "min",
        0,
        120,
        "flushing and stopping the jets",
        default=4,
        source="5 to 15 min start and flush together, from memory",
    )
    ink_change_min = figure(
        "min", 0, 480, "changing one ink system to another ink", default=45, source=MEMORY
    )
    light_after_dark_min = figure(
        "min",
        0,
        240,
        "more where a light ink follows a dark one",
        default=20,
        source="20 min: Russian inter-sector time norms for printing",
    )

    # ---------------------------------------------------------------- ink and fluids
    line_ul = figure(
        "uL",
        0.01,
        100,
        "of a coder, ink for a line of characters",
        default=1.5,
        source="0.5 to 3 ul, from memory",
    )
    drop_pl = figure(
        "pL",
        1,
        5000,
        "volume of a drop, where each dot has its jet",
        default=35,
        source="gives 0.5 to 3 ml/m2 of page at 10 to 60 % coverage and 300 dots an inch, the "
        "usual use of an array; from memory",
    )
    ink_price_per_l = figure(
        "{currency}/L", 0, 2000, "dye ink", default=150, source="100 to 200, from memory",
        usual=Usual(10, 500, "from memory"),
    )
    special_ink_price_per_l = figure(
        "{currency}/L", 0, 5000, "pigmented ink", default=220, source=PRACTICE
    )
    ink_lost_ml = figure(
        "mL", 0, 20_000, "ink lost with each change of ink", default=500, source=PRACTICE
    )
    make_up_price_per_l = figure(
        "{currency}/L", 0, 1000, "make-up fluid", default=35, source="20 to 50, from memory"
    )
    make_up_ml_per_hour = figure(
        "mL/h",
        0,
        2000,
        "make-up fluid for what evaporates from the ink that goes round one head",
        default=5,
        source="2 to 10 ml/h, from memory",
    )
    flush_price_per_l = figure("{currency}/L", 0, 1000, "cleaning fluid", default=20, source=MEMORY)
    flush_ml = figure(
        "mL", 0, 5000, "cleaning fluid for one head, start and stop", default=50, source=PRACTICE
    )
