"""What sidelay says to cases that concern several processes: vapour, screens, crossovers.

The demo plant answers where the figure belongs to a kind of press.
"""

from collections.abc import Callable, Mapping
from typing import Any

import sidelay_gravure
import sidelay_sheetfed_litho
import sidelay_web_litho
from shop import demo
from sidelay_web_litho.emission import voc_kg

Inputs = Mapping[str, Any]

CM_PER_INCH = 2.54


def vapour(inputs: Inputs) -> float:
    """Vapour of an ink told by volume [kg]: E = I x S x d x (100 - P) / 10^4."""
    return voc_kg(
        inputs["ink_litres"] * inputs["density_kg_l"],
        inputs["solvent_vol_pct"] / 100,
        inputs["retained_pct"] / 100,
    )


def web_press(drying: str) -> Any:
    """The demo plant's web litho press of this drying."""
    presses = (each.press for each in demo().presses if each.process == "web_litho")
    return next(press for press in presses if press.drying == drying)  # type: ignore[attr-defined]


def default(schema: Any, name: str) -> float:
    """The default of one figure of a press."""
    return float(schema().fields[name].load_default)


def lines_per_cm(lpi: float) -> float:
    """Screen ruling [lines/cm]."""
    return round(lpi / CM_PER_INCH, 6)


FIGURES: dict[str, Callable[[Inputs], Any]] = {
    "voc_kg": vapour,
    "litho_lines_per_cm": lambda _: lines_per_cm(
        default(sidelay_sheetfed_litho.press_schema(), "max_ruling_lpi")
    ),
    "coldset_lines_per_cm": lambda _: lines_per_cm(web_press("coldset").max_ruling_lpi),
    "pub_gravure_lines_per_cm": lambda _: lines_per_cm(
        default(sidelay_gravure.press_schema(), "max_ruling_lpi")
    ),
    "TVS_heatset_pct_max": lambda _: web_press("heatset").max_total_coverage_pct,
    "heatset_retained": lambda _: default(sidelay_web_litho.press_schema(), "oil_retained_share"),
    "nonheatset_retained": lambda _: web_press("coldset").oil_retained_share,
}

_LAW = "a limit of one regulation; which law applies, its readers know"
_CONTROL = "the overall efficiency of a control; the estimate has a heatset oven's only"
_SURVEY = "a survey figure: asserted as direction and wide band in test_trade_practice"

NOT_MODELLED: dict[str, str] = {
    "incineration_web_offset_pct": "an overall efficiency of capture and destruction; the model "
    "takes the two apart, each with its own figure",
    "carbon_pub_gravure_pct": _CONTROL,
    "incineration_pack_gravure_pct": _CONTROL,
    "incineration_flexo_pct": _CONTROL,
    "processes_covered": "what one chapter of a handbook is about; no figure of a process",
    "excluded": "what one chapter of a handbook leaves out; no figure of a process",
    "TVS_sheetfed_pct_max": "the most that any printing condition of the standard allows; the "
    "limit of a press is its plant's, and lower by default",
    "heatset_alcohol_wt_pct": _LAW,
    "heatset_alcohol_refrigerated_wt_pct": _LAW,
    "coldset_web_voc_wt_pct_no_alcohol": _LAW,
    "dryer_reduction_pct": _LAW,
    "or_outlet_ppmv_C": _LAW,
    "retained_in_towels": "vapour of washes is not part of an estimate: only that of the ink is",
    "crossover_copies": _SURVEY,
    "crossover_impressions": _SURVEY,
    "dtg_best_below": _SURVEY,
    "screen_minimum": _SURVEY,
    "screen_wins_from_1colour": _SURVEY,
    "ratio": "the ratio of two published sums; that flexo plates cost less than gravure cylinders "
    "is asserted as a direction in test_trade_practice",
    "old_rule_copies": _SURVEY,
    "preferred_from_copies": _SURVEY,
}
