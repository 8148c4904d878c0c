"""What the flexo model says where a published case of flexography asks."""

from collections.abc import Callable, Mapping
from typing import Any

from sidelay.job import Ink, Part, Side
from sidelay.stock import Reel, Stock
from sidelay.work import Form, Layout, Work
from sidelay_flexo import cost, press_schema

Inputs = Mapping[str, Any]
WORKING_DAYS_PER_WEEK = 5
REEL = Reel(820, 6000, 0.5, "test")
FILM = Stock("film", "Film", "film", "white", 90, 95, reels=(REEL,), treated=True)
PLAIN = {
    "id": "flexo",
    "name": "Flexo",
    "cost_centre": "flexo",
    "units": 8,
    "rated_m_per_min": 400,
    "make_ready_min_per_plate": 12,
    "feed": {
        "min_width_mm": 400,
        "max_width_mm": 1300,
        "min_repeat_mm": 300,
        "max_repeat_mm": 1100,
    },
}


def _press(**figures: Any) -> Any:
    """A press with nothing but what must be given, and these figures."""
    return press_schema()().load(PLAIN | figures)


def _carrier(plates: str) -> Any:
    """The charge of one plate or sleeve for a bag."""
    inks = (Ink("black"),)
    bag = Part(
        "bag", "web", 200, 300, 200, 300, 2, 0, 0.0, FILM, "any", Side(inks, 0.2), Side(), 65.0, 0.0
    )
    work = Work(bag, Layout(820, 600, REEL, "one_side", 8), (Form("front", inks),))
    charges = cost(press=_press(web="wide", plates=plates), work=work)
    return next(charge for charge in charges if charge.stage == "carrier")


FIGURES: dict[str, Callable[[Inputs], Any]] = {
    "wide_positive_pt": lambda _: _press(web="wide").min_type_pt,
    "wide_reverse_pt": lambda _: _press(web="wide").min_reverse_type_pt,
    "narrow_positive_pt": lambda _: _press(web="narrow").min_type_pt,
    "narrow_reverse_pt": lambda _: _press(web="narrow").min_reverse_type_pt,
    "max_colours_in_type": lambda _: _press().max_colours_in_type,
    "runs_per_plate": lambda _: _press().plate_runs,
    "plate_gap_mm": lambda _: _press().plate_gap_mm,
    "sleeve_cost_ratio": lambda _: _carrier("sleeves").unit_cost / _carrier("plates").unit_cost,
    "sleeve_lead_weeks": lambda _: _carrier("sleeves").lead_days / WORKING_DAYS_PER_WEEK,
}

NOT_MODELLED: dict[str, str] = {}
