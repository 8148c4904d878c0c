"""Toner on cut sheets: no image carrier, a short make-ready, a click for every printed side.

The engine moves sheets at one speed, so that longer sheets come more slowly; turning a sheet to
print its back halves the sheets an hour, unless both sides print in one go; heavy stock takes
longer to fuse.
"""

from __future__ import annotations

from sidelay.plugin import (
    Charge,
    Finding,
    Job,
    Part,
    PressSchema,
    Process,
    Run,
    Side,
    Work,
    hookimpl,
)

from .limits import image_findings, ink_findings, stock_findings
from .press import Steps, TonerPress, TonerPressSchema


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
    )


@hookimpl
def press_schema() -> type[PressSchema]:
    """Describe a press."""
    return TonerPressSchema


@hookimpl
def constraints(press: TonerPress, part: Part, job: Job) -> list[Finding]:
    """What stands against a part on this press."""
    return [
        *stock_findings(press, part.stock),
        *ink_findings(press, part),
        *image_findings(press, part, job),
    ]


@hookimpl
def speed(press: TonerPress, work: Work) -> Run | None:
    """Net sheets an hour from sheet length, stock and duplex."""
    length, grammage = work.layout.length_mm, work.part.stock.grammage_gsm
    sides_per_minute = _at(press.sides_per_minute_by_length, length)
    clicks = _at(press.clicks_by_length, length)
    fusing = _at(press.speed_by_grammage, grammage)
    if sides_per_minute is None or clicks is None or fusing is None:
        return None
    turning = 2 if len(work.sides) == 2 and press.turns_the_sheet else 1
    per_hour = sides_per_minute * 60 * fusing * press.running_share / turning
    return Run(
        passes=1,
        make_ready_min=press.make_ready_min,
        make_ready_cycles=press.make_ready_sheets,
        cycles_per_hour=per_hour,
        running_waste=press.running_waste,
        because={
            "make_ready_min": "calibrate, load the stock, check the first copy",
            "make_ready_cycles": "until colour and register are right",
            "cycles_per_hour": f"{sides_per_minute:g} sides/min at {length:g} mm x {fusing:g} "
            f"({grammage:g} g/m2) x {press.running_share:g} (running)"
            f"{' / 2 (turns the sheet)' if turning == 2 else ''} = {per_hour:,.0f} sheets/h",
            "running_waste": "jams and checks",
        },
    )


@hookimpl
def cost(press: TonerPress, work: Work) -> list[Charge]:
    """Clicks, which cover toner and parts; black-only sides at the mono rate."""
    length = work.layout.length_mm
    clicks = _at(press.clicks_by_length, length) or 0
    mono = sum(_is_mono(side) for side in work.sides)
    charges = []
    for label, sides, price, field in (
        ("mono clicks", mono, press.click_mono_price, "click_mono_price"),
        ("colour clicks", len(work.sides) - mono, press.click_colour_price, "click_colour_price"),
    ):
        if sides:
            charges.append(
                Charge(
                    "click",
                    label,
                    price,
                    "cycle",
                    amount=sides * clicks,
                    because=f"{sides} side(s) x {clicks:g} click(s), {length:g} mm long",
                    source=press.source(field),
                )
            )
    return charges


def _is_mono(side: Side) -> bool:
    return all(ink.name == "black" for ink in side.inks)


def _at(table: Steps, value: float) -> float | None:
    """Return the entry of the first step that reaches the value, None beyond the last."""
    return next((figure for up_to, figure in table if value <= up_to), None)
