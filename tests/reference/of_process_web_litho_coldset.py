"""What the web litho model says to the coldset cases."""

from collections.abc import Callable, Mapping
from typing import Any

from reference.of_process_web_litho import run_of, spoiled_share, web_part, web_press, web_work
from reference.of_process_web_litho_heatset import ink_voc
from sidelay.halftone import total_coverage_pct

Inputs = Mapping[str, Any]

# The larger A2 press of Table 2: F and r through its 10,000 and 50,000 copies, 1+1 and then 2+1.
# Two points settle two figures, so that those rows test nothing but the arithmetic.
A2_PRESS = {
    "make_ready_copies": 975,
    "make_ready_copies_per_colour": 50,
    "running_waste": 0.0255,
    "running_waste_per_colour": 0.007,
    "feed": {"reel_waste": 0.02},
}
# A press of computers: under 300 copies at a start. Its plant file would say so.
PRESS_OF_2007 = {"make_ready_copies": 250, "make_ready_copies_per_colour": 60}


def news_waste_pct(inputs: Inputs) -> float:
    """Waste of a newspaper run on a press left to its defaults."""
    front, back = (int(count) for count in inputs["colours"].split("+"))
    return 100 * spoiled_share(web_press(), web_work(web_part(front, back)), inputs["run_copies"])


def news_waste_copies(inputs: Inputs) -> float:
    """The same in copies."""
    return news_waste_pct(inputs) / 100 * float(inputs["run_copies"])


def a2_waste_pct(colours: str) -> Callable[[Inputs], float]:
    """Waste of a run on the larger press."""
    front, back = (int(count) for count in colours.split("+"))

    def waste_pct(inputs: Inputs) -> float:
        press, work = web_press(**A2_PRESS), web_work(web_part(front, back))
        return 100 * spoiled_share(press, work, inputs["run_copies"])

    return waste_pct


def start_up(**figures: Any) -> Callable[[Inputs], float]:
    """Copies spoiled at a start, one ink a side."""
    return lambda _: run_of(web_press(**figures), web_work()).make_ready_cycles


def total_coverage(inputs: Inputs) -> float:
    """The inks of a spot added up."""
    return total_coverage_pct(pct / 100 for pct in inputs["CMYK"])


def running_share(_: Inputs) -> float:
    """What the press spoils of a run, one ink a side."""
    share = run_of(web_press(), web_work()).running_waste
    assert isinstance(share, float)
    return share


FIGURES: dict[str, Callable[[Inputs], Any]] = {
    "waste_pct": news_waste_pct,
    "waste_copies": news_waste_copies,
    "waste_pct_1p1": a2_waste_pct("1+1"),
    "waste_pct_2p1": a2_waste_pct("2+1"),
    "fixed_waste_copies": start_up(),
    "running_waste_fraction": running_share,
    "startup_waste_copies_old": start_up(),
    "startup_waste_copies_new": start_up(**PRESS_OF_2007),
    "TAC_pct": total_coverage,
    "min_type_pt": lambda _: web_press().min_type_pt,
    "min_reverse_1c_pt": lambda _: web_press().min_reverse_type_pt,
    "min_reverse_4c_pt": lambda _: web_press().min_reverse_colour_type_pt,
    "min_multicolour_type_pt": lambda _: web_press().min_colour_type_pt,
    "min_trap_mm": lambda _: web_press().register_mm,
    "voc_kg": ink_voc,
}
NOT_MODELLED: dict[str, str] = {
    "reel_prep_pct": "a feed has one share for reel preparation and core together",
    "core_remains_pct": "a feed has one share for reel preparation and core together",
    "TVI_pct": "tone value increase is made good by the plate curve and costs nothing",
    "printed_tone_pct": "tone value increase is made good by the plate curve and costs nothing",
    "dot_gain_pct": "tone value increase is made good by the plate curve and costs nothing",
    "solid_above_pct": "what a tone of the file becomes is prepress, not the estimate's",
    "lost_below_pct": "what a tone of the file becomes is prepress, not the estimate's",
    "secondary_dE76_max": "a tolerance of colour measurement; sidelay measures no colour",
    "retention_pct": "a measurement: the model takes a share that stays, and holds it at 1",
    "loss_pct": "a measurement: the model takes a share that stays, and holds it at 1",
    "uncertainty_pct": "the error of a measurement",
}
