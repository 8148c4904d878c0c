"""What a continuous inkjet work costs beside stock and hours: ink, make-up, cleaning fluid."""

from __future__ import annotations

from sidelay.plugin import Charge, Work, changeover

from .heads import (
    dots_in_stroke,
    heads_at_work,
    ink_l_per_cycle,
    laydown_ml_per_m2,
    lines_in_stroke,
)
from .press import CijPress

DYE, PIGMENTED = "ink_price_per_l", "special_ink_price_per_l"


def charges(press: CijPress, work: Work) -> list[Charge]:
    """Ink by the line or the solid, make-up by the hour, cleaning by the job."""
    return [*_ink(press, work), *_ink_lost(press, work), *_fluids(press, work)]


def _ink(press: CijPress, work: Work) -> list[Charge]:
    found = []
    for pigmented, label, field in ((False, "ink", DYE), (True, "pigmented ink", PIGMENTED)):
        litres = ink_l_per_cycle(press, work, pigmented=pigmented)
        if litres:
            found.append(
                Charge(
                    "ink",
                    label,
                    getattr(press, field),
                    "cycle",
                    amount=litres,
                    because=f"{litres * 1e6:.2f} ul on each: {_laid(press, work)}",
                    source=press.source(field),
                )
            )
    return found


def _laid(press: CijPress, work: Work) -> str:
    if press.heads == "coder":
        dots = dots_in_stroke(press, work.part)
        lines = lines_in_stroke(press, work.part)
        return f"{lines} line(s) a head in {dots} dots, {press.line_ul:g} ul a line"
    laydown = laydown_ml_per_m2(press.resolution_dpi, press.drop_pl)
    return f"{laydown:.2f} ml/m2 of solid at {press.resolution_dpi:g} dots an inch"


def _ink_lost(press: CijPress, work: Work) -> list[Charge]:
    change = changeover(work, press.standing_inks)
    counts = ((change.washed - change.heavy, DYE), (change.heavy, PIGMENTED))
    return [
        Charge(
            "ink",
            "ink lost in changing it",
            getattr(press, field),
            "job",
            amount=count * press.ink_lost_ml / 1000,
            because=f"{press.ink_lost_ml:g} ml in each of {count} ink system(s): {change.because}",
            source=press.source("ink_lost_ml"),
        )
        for count, field in counts
        if count and press.ink_lost_ml
    ]


def _fluids(press: CijPress, work: Work) -> list[Charge]:
    heads = heads_at_work(press, work)
    make_up, flush = press.make_up_ml_per_hour, press.flush_ml
    return [
        Charge(
            "run",
            "make-up fluid",
            press.make_up_price_per_l,
            "hour",
            amount=heads * make_up / 1000,
            because=f"{make_up:g} ml an hour evaporate from the ink that goes round each of "
            f"{heads} head(s)",
            source=press.source("make_up_ml_per_hour"),
        ),
        Charge(
            "wash_up",
            "cleaning fluid",
            press.flush_price_per_l,
            "job",
            amount=heads * flush / 1000,
            because=f"{flush:g} ml for each of {heads} head(s)",
            source=press.source("flush_ml"),
        ),
    ]
