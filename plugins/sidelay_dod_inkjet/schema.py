"""The parameters of an inkjet press: units, ranges, defaults and their sources."""

from __future__ import annotations

from typing import Any

from sidelay.plugin import (
    PROCESS_INKS,
    QUALITIES,
    PressSchema,
    SheetFeed,
    Usual,
    ValidationError,
    choice,
    feed,
    figure,
    names,
    steps,
    switch,
    validates_schema,
    whole,
)

from .press import InkjetPress

PRACTICE = "common practice, no source"
MEMORY = "from memory"
INK = Usual(5, 500, MEMORY)
HEADS = ("single_pass", "scanning")
INKS = ("aqueous", "uv", "latex", "solvent")
LAMPS = ("none", "led", "mercury")


class InkjetPressSchema(PressSchema):
    """Parameters of a drop-on-demand inkjet press.

    Two ways to print: single pass (cut sheets, webs, labels: the stock moves under fixed heads) and
    scanning (wide rolls, flatbeds, garments: a carriage crosses each spot several times). The feed
    tells the rest.
    """

    press_class = InkjetPress

    feed = feed("sheet", "web", "reel", "piece")
    heads = choice("single_pass: fixed heads, moving stock; scanning: heads on a carriage", HEADS)
    ink = choice("kind of ink it runs", INKS)
    lamps = choice("lamps that cure UV ink; mercury lamps make ozone", LAMPS, default="none")
    corona_treater = switch(
        "whether film is corona-treated on the press", default=False, source=PRACTICE
    )
    channels = names(
        "ink of each row of heads; white ink and varnish as white and varnish", default=PROCESS_INKS
    )
    grades = names("stock grades that it prints on; none given: all", default=())
    quality = choice("finest class of work the press is used for", QUALITIES, default="commercial")

    # Limits of stock and image.
    min_caliper_um = figure("um", 5, 1000, "thinnest stock", default=50, source=PRACTICE)
    max_caliper_um = figure(
        "um", 20, 100_000, "thickest stock", default=400,
        source="40 to 350 g/m2 on a web, UV to 50 mm rigid, from memory",
    )  # fmt: skip
    min_grammage_gsm = figure(
        "g/m2", 5, 500, "lightest stock", default=40, source="40 to 350 g/m2, from memory"
    )
    max_grammage_gsm = figure(
        "g/m2", 20, 100_000, "heaviest stock", default=350, source="40 to 350 g/m2, from memory"
    )
    max_ruling_lpi = figure(
        "/[in_i]", 20, 300, "finest halftone ruling that it stands in for", default=150,
        source=PRACTICE,
    )  # fmt: skip
    min_type_pt = figure(
        "[pt]", 1, 100, "smallest type", default=4, source="4 to 5 pt, from memory"
    )
    min_reverse_type_pt = figure(
        "[pt]", 1, 100, "smallest type reversed out", default=6, source=PRACTICE
    )
    min_line_pt = figure("[pt]", 0.1, 10, "finest line", default=0.25, source=PRACTICE)
    register_mm = figure(
        "mm", 0.01, 5, "fit of colour to colour", default=0.2, source="0.1 to 0.5 mm, from memory"
    )
    max_total_coverage_pct = figure(
        "%", 100, 800, "total area coverage that still dries", default=240,
        source="180 to 260 % aqueous, from memory",
    )  # fmt: skip

    # Drops.
    dpi_across = figure("/[in_i]", 50, 5000, "pixels an inch across the direction of travel")
    dpi_along = figure("/[in_i]", 50, 5000, "pixels an inch in the direction of travel")
    base_drop_pl = figure("pL", 0.5, 300, "smallest drop")
    grey_levels = whole(
        "1", 1, 16, "drop sizes beside no drop; 1 for a head with one size", default=1,
        source="one size, or 4 to 8 levels: an inkjet printer maker's note",
    )  # fmt: skip
    ink_limit_share = figure(
        "1", 0.1, 1, "share of the largest drop that the profile lays in a solid", default=1.0,
        source="no ink limit beyond the heads' own: common practice, no source",
    )  # fmt: skip

    # Speed of fixed heads.
    jetting_khz = figure(
        "kHz", 0, 500, "drops a second from one nozzle, in thousands; for single pass", default=0,
        source="none: a scanning press is timed by area",
    )  # fmt: skip
    drops_per_pixel = figure(
        "1", 1, 16, "drops fired one after another into one pixel at that frequency", default=1,
        source="jetting frequency told for whole pixels: common practice, no source",
    )  # fmt: skip
    rated_m_per_min = figure(
        "m/min", 0, 1000, "speed on the maker's plate; single pass on a web or reel", default=0,
        source="none: the press is not a single-pass web", usual=Usual(5, 350, "from memory"),
    )  # fmt: skip
    rated_sheets_per_hour = figure(
        "{sheet}/h", 0, 30_000, "speed on the maker's plate; single pass on sheets, one side",
        default=0, source="none: the press is not a single-pass sheet press",
        usual=Usual(100, 13_000, "from memory"),
    )  # fmt: skip
    second_side_speed = figure(
        "1", 0.2, 1, "share of sheets an hour kept when both sides print", default=0.5,
        source="the sheet turns and passes the same heads again: common practice, no source",
    )  # fmt: skip
    drying_speed_by_coverage = steps(
        "%", "1", "share of rated speed that the dryer keeps up with, up to each total coverage of "
        "the heavier side; aqueous, single pass", low=0.05, high=1,
        default=((30, 1.0), (60, 0.85), (120, 0.7), (1000, 0.5)),
        source="30 % is heavy: Miller/Schilling, Printing Impressions (2010s); shares common "
        "practice, no source",
    )  # fmt: skip
    speed_by_grammage = steps(
        "g/m2", "1", "share of speed kept on stock up to each grammage; single pass", low=0.05,
        high=1, default=((60, 0.8), (300, 1.0), (100_000, 0.8)), source=PRACTICE,
    )  # fmt: skip

    # Speed of a carriage.
    one_pass_m2_per_hour = figure(
        "m2/h", 0, 5000, "area an hour if each spot took one pass; for scanning", default=0,
        source="none: a single-pass press is timed by jetting and rated speed",
    )  # fmt: skip
    passes_by_ruling = steps(
        "/[in_i]", "{pass}", "passes of the carriage over each spot for rulings up to each: draft, "
        "production, quality", low=1, high=64, default=((75, 4), (120, 8), (300, 16)),
        source=PRACTICE,
    )  # fmt: skip
    white_speed = figure(
        "1", 0.05, 1, "share of speed kept when white is laid as well; for scanning", default=0.5,
        source="half the passes lay white: common practice, no source",
    )  # fmt: skip
    load_s = figure(
        "s", 0, 3600, "loading and unloading one sheet, board or piece by hand, one side",
        default=0, source="no hand loading",
    )  # fmt: skip

    # Stops, make-ready, waste, drying.
    running_share = figure(
        "1", 0.2, 1, "share of time that is not cleaning heads, checking and clearing",
        default=0.85, source=PRACTICE,
    )  # fmt: skip
    pile_mm = figure(
        "mm", 0, 2000, "height of the feed pile; 0 where it is hand-fed or never stops", default=0,
        source="no stop for piles",
    )  # fmt: skip
    pile_change_min = figure("min", 0, 60, "stop to change piles", default=3, source=PRACTICE)
    reel_change_min = figure(
        "min", 0, 120, "stop for each new reel; 0 with a splicer", default=0,
        source="no stop: a splicer",
    )  # fmt: skip
    make_ready_min = figure(
        "min", 0, 240, "load the file, purge, check nozzles and colour", default=8,
        source="2 to 15 min, from memory",
    )  # fmt: skip
    stock_change_min = figure(
        "min", 0, 120, "load another stock and its profile", default=4, source=PRACTICE
    )
    make_ready_cycles = whole(
        "{sheet}", 0, 500, "sheets or pieces until colour and place are right", default=3,
        source="1 to 5 sheets, from memory",
    )  # fmt: skip
    make_ready_m = figure(
        "m", 0, 1000, "web until colour and place are right", default=20,
        source="5 to 50 m, from memory",
    )  # fmt: skip
    running_waste = figure(
        "1", 0, 0.5, "share of good cycles spoiled in one pass: blocked nozzles, jams, checks",
        default=0.01, source=PRACTICE,
    )  # fmt: skip
    drying_h = figure(
        "h", 0, 240, "until the print can be worked on", default=0,
        source="aqueous on treated stock and UV at once, from memory",
    )  # fmt: skip
    drying_untreated_h = figure(
        "h", 0, 240, "the same for aqueous ink on stock neither treated nor primed", default=1,
        source=PRACTICE,
    )  # fmt: skip

    # Surfaces that take aqueous ink.
    untreated_coverage_pct = figure(
        "%", 0, 400, "total coverage above which aqueous ink needs treated paper", default=15,
        source="15 to 20 %: Miller/Schilling, Printing Impressions (2010s)",
    )  # fmt: skip
    heavy_coverage_pct = figure(
        "%", 0, 400, "total coverage that counts as heavy for aqueous ink on a web", default=30,
        source="30 %: Miller/Schilling, Printing Impressions (2010s); In-plant Impressions (2010s)",
    )  # fmt: skip
    primer_gsm = figure(
        "g/m2", 0, 20, "primer under aqueous ink on untreated stock; 0 without a priming unit",
        default=0, source="no priming unit",
    )  # fmt: skip
    primer_price_per_kg = figure("{currency}/kg", 0, 200, "primer", default=6, source=PRACTICE)
    pretreat_gsm = figure(
        "g/m2", 0, 1000, "pre-treatment sprayed on a dark garment", default=200,
        source="25 g on 14 x 14 in, the middle of 12, 25 and 40 g: DTG pretreatment trial, "
        "Graphics Pro 'Start Here', Oct 2020",
    )  # fmt: skip
    pretreat_price_per_kg = figure(
        "{currency}/kg", 0, 500, "pre-treatment", default=13.2,
        source="0.0132 USD/g, taken one for one: DTG pretreatment trial, Graphics Pro 'Start "
        "Here', Oct 2020",
    )  # fmt: skip

    # What ink, clicks and drying cost.
    ink_price_per_l = figure("{currency}/L", 0, 2000, "process and spot inks", usual=INK)
    white_ink_price_per_l = figure(
        "{currency}/L", 0, 2000, "white ink", default=150,
        source="upper end of UV inks at 50 to 150 a litre, from memory",
    )  # fmt: skip
    varnish_price_per_l = figure("{currency}/L", 0, 2000, "varnish", default=90, source=PRACTICE)
    white_times = figure(
        "1", 0.1, 20, "white laid for an opaque layer, in solids of one colour", default=1.5,
        source=PRACTICE,
    )  # fmt: skip
    purge_ml = figure(
        "mL", 0, 5000, "ink lost in purging at each start, all heads", default=30,
        source="10 to 100 ml, from memory",
    )  # fmt: skip
    click_price = figure(
        "{currency}", 0, 5, "one click: `click_area_m2` of a printed side; 0 for none", default=0,
        source="no click; or 0.002 to 0.01, from memory",
    )  # fmt: skip
    click_area_m2 = figure(
        "m2", 0.001, 10, "area that one click counts for", default=0.06237, source="A4"
    )
    click_covers_ink = switch(
        "whether the click pays for the ink as well", default=True, source=PRACTICE
    )
    dryer_kw = figure(
        "kW", 0, 500, "power that dryer or lamps draw while the press runs", default=0,
        source="in the hourly rate; presses draw 10 to 200 kW, from memory",
    )  # fmt: skip
    energy_price_per_kwh = figure(
        "{currency}/kW/h", 0, 5, "electricity", default=0.18, source=PRACTICE
    )

    @validates_schema
    def _timed(self, data: dict[str, Any], **_: Any) -> None:
        """Each way of printing needs the figures that its speed follows from."""
        if data["heads"] == "scanning":
            needed = ["one_pass_m2_per_hour"]
        else:
            sheets = isinstance(data["feed"], SheetFeed)
            needed = ["jetting_khz", "rated_sheets_per_hour" if sheets else "rated_m_per_min"]
        for name in needed:
            if not data[name]:
                raise ValidationError(f"Needed where heads is {data['heads']}.", name)
        if not data["channels"]:
            raise ValidationError("At least one ink.", "channels")
