"""Toner on cut sheets: no image carrier, a short make-ready, a click for every printed side.

The engine moves sheets at one speed, so that longer sheets come more slowly; turning a sheet to
print its back halves the sheets an hour, unless both sides print in one go, and more where only one
sheet fits the duplex path; heavy stock takes longer to fuse. Toner is paid by clicks of a contract
or by its mass.
"""

from __future__ import annotations

from sidelay.plugin import (
    Abilities,
    Charge,
    Finding,
    Job,
    Part,
    PressSchema,
    Process,
    Run,
    Side,
    Work,
    changeover,
    hookimpl,
)

from .abilities import told_abilities
from .limits import findings
from .press import TonerPress, TonerPressSchema
from .running import clicks, extra_inks, net_speed, toner_kg


@hookimpl
def process() -> Process:
    """Facts of toner printing."""
    return Process(
        id="toner",
        name="Toner electrophotography",
        image_carrier="none: the image is written anew for every sheet",
        contact="transfer and fusing nips, light pressure, heat",
        ink="dry toner, four process stations, on some presses a fifth for white or clear",
        drying="fused on the press, dry at once",
        tone_depth="a toner spot can be varied; tones mostly by halftone",
        make_ready="calibrate and load: minutes and a few sheets",
        wash_up="none",
        proof="the first copy",
        skill="trained operator, often one for several presses",
        turnaround="same day",
        variable_data=True,
        usual_run_length=(1, 1_500),
        standard_token="Electrophotography",  # noqa: S106  a word of the standard, not a secret
        cautions=(
            "The fuser is hot and covers are interlocked: let it cool, never defeat an interlock.",
            "Corona charging makes ozone and toner is a fine dust: ventilate, change filters, "
            "follow the maker's data sheets and local workplace limits.",
        ),
        quality=(0.8, 1.0),
        quality_basis="near sheetfed litho; large even tints and fit of back to front below it: "
        "opinion of the trade, from memory",
        crew=(0.5, 1),
        substrates="smooth or textured papers and board, 52 to 400 g/m2; films that stand heat",
        largest_format="330 x 488 mm, banners to 1,300 mm",
        speed="20 to 150 A4 sides a minute in colour, 300 in black; half as many sheets duplex",
        colours="4 process, a fifth or sixth station on some: white, clear, spot",
        sources={
            "speed": "20 to 110 in colour, duplex halves: Romano, Sprinter (2010s); above from "
            "memory",
            "usual_run_length": "from memory; crossovers of 500 to 1,500 against litho were read",
            "substrates": "from memory",
            "largest_format": "from memory",
            "crew": "from memory",
            "colours": "from memory",
        },
    )


@hookimpl
def press_schema() -> type[PressSchema]:
    """Describe a press."""
    return TonerPressSchema


@hookimpl
def constraints(press: TonerPress, part: Part, job: Job) -> list[Finding]:
    """What stands against a part on this press."""
    return findings(press, part, job)


@hookimpl
def speed(press: TonerPress, work: Work) -> Run | None:
    """Net sheets an hour from sheet length, stock, stations and duplex."""
    net = net_speed(press, work)
    if net is None or clicks(press, work) is None:
        return None
    rated, per_hour, speed_because = net
    ready, loads = press.make_ready_min, "load the stock"
    if changeover(work).same_stock:
        ready, loads = max(ready - press.stock_change_min, 0.0), "the stock stays"
    return Run(
        passes=1,
        make_ready_min=ready,
        make_ready_cycles=press.make_ready_sheets,
        cycles_per_hour=per_hour,
        running_waste=press.running_waste,
        because={
            "passes": "all stations print in one pass, both sides in one run",
            "make_ready_min": f"calibrate, {loads}, check the first copy",
            "make_ready_cycles": "until colour and register are right",
            "cycles_per_hour": speed_because,
            "running_waste": "jams and checks",
            "wash_up_min": "nothing to wash",
            "drying_h": "fused, dry at once",
        },
        rated_per_hour=rated,
    )


@hookimpl
def abilities(press: TonerPress) -> Abilities:
    """What this press can do, whatever the job."""
    return told_abilities(press)


@hookimpl
def cost(press: TonerPress, work: Work) -> list[Charge]:
    """Clicks, which cover toner and parts; or toner by its mass, and the kit of worn parts."""
    return (
        _click_charges(press, work) if press.priced_by == "click" else _toner_charges(press, work)
    )


def _click_charges(press: TonerPress, work: Work) -> list[Charge]:
    """Black-only sides at the mono rate; a station beside the process toners costs a click more."""
    each = clicks(press, work) or 0
    mono = sum(_is_mono(side) for side in work.sides)
    extra = sum(bool(extra_inks(press, side)) for side in work.sides)
    return [
        Charge(
            "click",
            label,
            getattr(press, field),
            "cycle",
            amount=sides * each,
            because=f"{sides} side(s) x {each:g} click(s), {work.layout.length_mm:g} mm long",
            source=press.source(field),
        )
        for label, sides, field in (
            ("mono clicks", mono, "click_mono_price"),
            ("colour clicks", len(work.sides) - mono, "click_colour_price"),
            ("extra clicks", extra, "click_extra_price"),
        )
        if sides
    ]


def _toner_charges(press: TonerPress, work: Work) -> list[Charge]:
    """Toner by mass with what is lost, at least the least coverage; drums and fuser by the side."""
    sides, each = len(work.sides), clicks(press, work) or 0
    charges = [
        Charge(
            "ink",
            label,
            getattr(press, field),
            "kilogram",
            amount=mass_kg,
            because=f"{1e6 * mass_kg:.0f} mg a sheet: at least {press.least_coverage:.0%} of each "
            f"side by every toner, {press.toner_gsm:.2f} g/m2, {press.toner_lost_share:.0%} lost",
            source=press.source(field),
        )
        for label, extra, field in (
            ("toner", False, "toner_price_per_kg"),
            ("special toner", True, "extra_toner_price_per_kg"),
        )
        if (mass_kg := toner_kg(press, work, extra=extra))
    ]
    return [
        *charges,
        # No click of a contract, though it is counted as one: what a click costs leaves it alone.
        Charge(
            "run",
            "drums and fuser",
            press.kit_price_per_side,
            "cycle",
            amount=sides * each,
            because=f"{sides} side(s) of {each:g} A4",
            source=press.source("kit_price_per_side"),
        ),
    ]


def _is_mono(side: Side) -> bool:
    return all(ink.name == "black" for ink in side.inks)
