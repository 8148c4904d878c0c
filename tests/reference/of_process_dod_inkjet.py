"""What the drop-on-demand inkjet model says to the cases of its process."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from shop import CMYK, leaf, stock
from sidelay.imposition.works import works
from sidelay.job import Side
from sidelay.stock import Blank
from sidelay.work import Charge, Work
from sidelay_dod_inkjet import cost, press_schema, speed
from sidelay_dod_inkjet.heads import (
    jetting_m_per_min,
    largest_drop_pl,
    laydown_ml_per_m2,
    pages_per_min,
)
from sidelay_dod_inkjet.press import InkjetPress

Inputs = Mapping[str, Any]

MM_PER_INCH = 25.4
# A garment press as a shop would describe it. The cases leave drops, prices and passes open; what
# white takes (white_times, white_speed) is set by the four times and 180 s that a case reports, so
# there the dark figures show only that the model can say them, and at other print sizes more.
GARMENT: dict[str, Any] = {
    "id": "garment",
    "name": "Garment",
    "cost_centre": "garment",
    "heads": "scanning",
    "ink": "aqueous",
    "channels": ["cyan", "magenta", "yellow", "black", "white"],
    "dpi_across": 1200,
    "dpi_along": 1200,
    "base_drop_pl": 7,
    "one_pass_m2_per_hour": 20,
    "passes_by_ruling": [[150, 4]],
    "white_speed": 0.36,
    "load_s": 15,
    "running_share": 0.9,
    "ink_price_per_l": 250,
    "white_ink_price_per_l": 280,
    "white_times": 4.5,
    "feed": {"kind": "piece", "max_width_mm": 406, "max_length_mm": 508},
}
# A full-colour picture; the cases do not say how much ink theirs takes.
PICTURE = Side(CMYK, 0.4)


def default(name: str) -> float:
    """The default of one figure of a press."""
    return float(press_schema()().fields[name].load_default)


def garment_work(inputs: Inputs, tone: str) -> tuple[InkjetPress, Work]:
    """A press and one print of the case's size [in] on a garment."""
    press = press_schema()().load(GARMENT)
    assert isinstance(press, InkjetPress)
    width, height = (side * MM_PER_INCH for side in inputs["print_in"])
    shirt = stock(
        grade="garment", sheets=(), blanks=(Blank("shirt", 406, 508, 0, "test"),), tone=tone
    )
    part = replace(
        leaf(width, height, kind="piece", stock=shirt, bleed_mm=0.0), front=PICTURE, back=Side()
    )
    (work,) = works(part, press.feed)
    return press, work


def charges(inputs: Inputs, tone: str, *, pretreatment: bool) -> list[Charge]:
    """What one garment takes of pre-treatment, or of ink."""
    return [
        charge
        for charge in cost(*garment_work(inputs, tone))
        if charge.stage == "ink" and (charge.label == "pre-treatment") == pretreatment
    ]


def ink_money(inputs: Inputs, tone: str) -> float:
    """Ink of one garment."""
    each = charges(inputs, tone, pretreatment=False)
    return sum(charge.unit_cost * charge.amount for charge in each)


def seconds(inputs: Inputs, tone: str) -> float:
    """Time for one garment [s]."""
    run = speed(*garment_work(inputs, tone))
    assert run is not None
    assert isinstance(run.cycles_per_hour, float)
    return 3600 / run.cycles_per_hour


def pretreatment(inputs: Inputs) -> Charge:
    """Pre-treatment of one dark garment, kilograms and the price of one."""
    (charge,) = charges(inputs, "dark", pretreatment=True)
    return charge


def pretreatment_money(inputs: Inputs) -> float:
    """Pre-treatment of one dark garment."""
    charge = pretreatment(inputs)
    return charge.unit_cost * charge.amount


FIGURES: dict[str, Callable[[Inputs], Any]] = {
    "m_per_min": lambda inputs: jetting_m_per_min(
        inputs["drop_kHz"], inputs["dpi_along_web"], inputs.get("drops_per_pixel", 1)
    ),
    "ml_per_m2": lambda inputs: laydown_ml_per_m2(
        *inputs["dpi"], inputs["drop_pl"], inputs.get("coverage", 1.0)
    ),
    "largest_drop_pl": lambda inputs: [
        largest_drop_pl(inputs["base_pl"], levels) for levels in inputs["levels"]
    ],
    "letter_ppm": lambda inputs: pages_per_min(
        inputs["m_per_min"], inputs["page_len_mm"], inputs["across"], inputs["sides"]
    ),
    "ink_usd_light": lambda inputs: ink_money(inputs, "light"),
    "ink_usd_dark": lambda inputs: ink_money(inputs, "dark"),
    "time_s_light": lambda inputs: seconds(inputs, "light"),
    "time_s_dark": lambda inputs: seconds(inputs, "dark"),
    "pretreat_usd": pretreatment_money,
    "pretreat_g": lambda inputs: pretreatment(inputs).amount * 1000,
    "usd_per_g": lambda inputs: pretreatment(inputs).unit_cost / 1000,
    "treated_paper_needed_above_coverage_pct": lambda _: default("untreated_coverage_pct"),
    "heavy_coverage_pct": lambda _: default("heavy_coverage_pct"),
    "recommended_coverage_pct_max": lambda _: default("heavy_coverage_pct"),
}

_MOISTURE = "water in the paper: the dryer is a share of speed by coverage, not a balance of water"
_VOLUME = "pages a month of a whole shop, at which a press pays; an estimate is of one job"

NOT_MODELLED: dict[str, str] = {
    "paper_moisture_before_pct": _MOISTURE,
    "after_drying_pct_min": _MOISTURE,
    "inkjet_tco_usd_per_page": "a published total cost of owning less a published percentage; an "
    "estimate adds up stock, hours and ink instead",
    "pages_per_month_to_beat_toner": _VOLUME,
    "pages_per_month_near_offset": _VOLUME,
}
