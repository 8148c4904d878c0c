"""What the sheetfed litho model says to the cases of its process.

Where a case tells of presses of its time, a press is described like them through the plug-in's
schema, from the figures of processes of that time; the model answers for it. The demo plant's
presses answer for presses of today.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import sqrt
from typing import Any

import numpy as np

from shop import BLACK, CMYK, demo, leaf, with_inks
from sidelay.curve import Curve
from sidelay.halftone import total_coverage_pct
from sidelay.job import Ink, Part, Side
from sidelay.stock import ParentSheet
from sidelay.work import Form, Layout, Run, Work
from sidelay_sheetfed_litho import press_schema, speed
from sidelay_sheetfed_litho.press import LithoPress

Inputs = Mapping[str, Any]
TODAY: dict[str, Any] = {
    "id": "litho",
    "name": "Litho",
    "cost_centre": "litho",
    "units": 4,
    "standing_inks": ["cyan", "magenta", "yellow", "black"],
    "rated_sheets_per_hour": 15_000,
    "make_ready_min_per_form": 8,
    "make_ready_min_per_plate": 2,
    "plate_price": 8.0,
    "feed": {
        "min_width_mm": 300,
        "max_width_mm": 1030,
        "min_length_mm": 300,
        "max_length_mm": 720,
    },
}
# Presses of the 2004 survey: plates hung by hand at 15 to 25 minutes a colour, units washed by hand
# at 15 to 25 (both from memory), piles changed standing, the 60 % of a rated speed that a UK primer
# of those years found on the floor (0.7 running, piles apart), 12,000 rated.
OF_2004 = TODAY | {
    "rated_sheets_per_hour": 12_000,
    "non_stop_feeder": False,
    "make_ready_min_per_form": 20,
    "make_ready_min_per_plate": 15,
    "unit_wash_min": 20,
}
# Presses of 1996: 60 sheets to settle a form and 80 to bring each colour to register.
OF_1996 = TODAY | {"make_ready_sheets_per_form": 60, "make_ready_sheets_per_plate": 80}
SPOT = Ink("harbour blue", "spot")
CLASSES = {"one_colour": BLACK, "spot": (*BLACK, SPOT), "process": CMYK}
# Half of the band's end where it is open below, and half as much again where it is open above.
OPEN_BELOW, OPEN_ABOVE = 0.5, 1.5


def litho_press(base: Mapping[str, Any] = TODAY, **figures: Any) -> LithoPress:
    """A press of the schema."""
    loaded = press_schema()().load({**base, **figures})
    assert isinstance(loaded, LithoPress)
    return loaded


def litho_work(part: Part, style: Any = "one_side") -> Work:
    """The part two up on a sheet of 640 x 900 mm, a form for each side, or one for both."""
    sheet = ParentSheet(640, 900, "long", 0.09, "test")
    layout = Layout(900, 640, sheet, style, 2)
    if style in ("work_and_turn", "work_and_tumble"):
        return Work(part, layout, (Form("both", part.inks),))
    sides = (("front", part.front.inks), ("back", part.back.inks))
    return Work(part, layout, tuple(Form(prints, inks) for prints, inks in sides if inks))  # type: ignore[arg-type]


def litho_run(press: LithoPress, work: Work) -> Run:
    """How the press runs a work that it can run."""
    run = speed(press, work)
    assert run is not None
    return run


def one_side(inks: tuple[Ink, ...], **figures: Any) -> Work:
    """A leaf printed on its front."""
    return litho_work(with_inks(leaf(400, 560, **figures), inks))


def net_speed(run: Run) -> float:
    """Sheets an hour of a run whose speed is one figure."""
    assert isinstance(run.cycles_per_hour, float)
    return run.cycles_per_hour


def running_waste(run: Run, sheets: float) -> float:
    """Share of good sheets spoiled at a run length."""
    assert isinstance(run.running_waste, Curve)
    return float(run.running_waste(np.array([sheets]))[0])


def whole_job_iph(press: LithoPress, work: Work, impressions: float) -> float:
    """Good impressions over all hours of the job, make-ready and wash-up with them."""
    run = litho_run(press, work)
    sheets = impressions * (1 + running_waste(run, impressions)) + run.make_ready_cycles
    hours = sheets / net_speed(run) + (run.make_ready_min + run.wash_up_min) / 60
    return impressions / hours


def middle(band: str) -> float:
    """Impressions in the middle of a band of the survey."""
    if band.startswith("<"):
        return OPEN_BELOW * float(band[1:])
    if band.startswith(">"):
        return OPEN_ABOVE * float(band[1:])
    low, high = (float(end) for end in band.split("-"))
    return sqrt(low * high)


def survey(inputs: Inputs) -> list[float]:
    """Whole-job output of the press of 2004 in each band."""
    work = one_side(CLASSES[inputs["colour_class"]])
    return [
        whole_job_iph(litho_press(OF_2004), work, middle(band))
        for band in inputs["impressions_band"]
    ]


def survey_rule(_: Inputs) -> str:
    """What the model's output does with run length and with colours, in the words of the case."""
    bands = ["<1500", "1501-5000", "5001-10000", "10001-20000", ">20000"]
    found = [survey({"colour_class": name, "impressions_band": bands}) for name in CLASSES]
    rises = all(list(row) == sorted(row) and len(set(row)) == len(row) for row in found)
    falls = all(one > spot > process for one, spot, process in zip(*found, strict=True))
    return (
        f"{'increases' if rises else 'does not increase'} with run length; "
        f"{'falls' if falls else 'does not fall'} from one colour to spot to process in every band"
    )


def spoiled(colours: int) -> Callable[[Inputs], float]:
    """Make-ready sheets of so many colours on a press of 1996."""
    return lambda _: litho_run(litho_press(OF_1996), one_side(CMYK[:colours])).make_ready_cycles


def today(fmt: str) -> LithoPress:
    """The demo plant's press of a format."""
    wanted = "litho_b3_two" if "B3" in fmt else "litho_b1_five"
    found = next(each.press for each in demo().presses if each.press.id == wanted)
    assert isinstance(found, LithoPress)
    return found


def on_the_floor(inputs: Inputs) -> float:
    """Share of the rated speed left where a pile of 10,000 sheets of 0.1 mm forces a stop."""
    press = litho_press(rated_sheets_per_hour=inputs["rated_sph"], non_stop_feeder=False)
    work = one_side(CMYK)
    thin = Work(_of_caliper(work.part, 100.0), work.layout, work.forms)
    return net_speed(litho_run(press, thin)) / press.rated_sheets_per_hour


def _of_caliper(part: Part, caliper_um: float) -> Part:
    return replace(part, stock=replace(part.stock, caliper_um=caliper_um))


def waste_pct(inputs: Inputs) -> float:
    """Running waste by default, at the middle of the run lengths told."""
    low, high = min(inputs["run_sheets"]), max(inputs["run_sheets"])
    return 100 * running_waste(litho_run(litho_press(), one_side(CMYK[:2])), sqrt(low * high))


def rich_black(inputs: Inputs) -> float:
    """The inks of a spot added up."""
    return total_coverage_pct(pct / 100 for pct in inputs["rich_black"])


def infrared_h(_: Inputs) -> float:
    """Hours before a coated sheet of the demo plant's large press goes on."""
    return litho_run(today("B1"), one_side(CMYK)).drying_h


def quick_drying_pct(_: Inputs) -> float:
    """Coverage up to which sheets dry in their usual time: the last whole per cent that does."""
    hours = {
        pct: litho_run(litho_press(), _heaviest(float(pct))).drying_h for pct in range(200, 401)
    }
    return max(pct for pct, each in hours.items() if each == hours[200])


def _heaviest(pct: float) -> Work:
    return litho_work(leaf(400, 560, front=Side(CMYK, 0.2, pct), back=Side()))


FIGURES: dict[str, Callable[[Inputs], Any]] = {
    "TAC_pct": rich_black,
    "limit_TAC_pct": quick_drying_pct,
    "hours_to_finish": infrared_h,
    "max_between_two_colours_mm": lambda _: litho_press().register_mm,
    "rated_sph": lambda inputs: today(inputs["format"]).rated_sheets_per_hour,
    "running_iph": lambda _: net_speed(litho_run(today("B1"), one_side(CMYK))),
    "net_fraction": on_the_floor,
    "net_iph_median": survey,
    "net_iph": survey_rule,
    "makeready_sheets_2c": spoiled(2),
    "makeready_sheets_4c_max": spoiled(4),
    "running_waste_pct": waste_pct,
    "FOGRA39_300_profile_pct": lambda _: litho_press().max_total_coverage_pct,
}
SHOP_TIME = "how a shop spends its year, not how a press runs a job"
TRIM = "sheets are bought as the merchant cuts them; squaring them up first is not a step"
PROFILE = "the limit of one printing condition: a plant sets max_total_coverage_pct to its own"
BENCHMARK = "what a dozen plants of 2006 spoiled: a press's own figure stands in the plant file"
RUN_LENGTHS = "the run lengths are missing from the source, so there is nothing to compute from"
NOT_MODELLED: dict[str, str] = {
    "test_film_um": "the film of a laboratory test print, by which ink colour is defined",
    "workplace_service_min_per_shift_5c": SHOP_TIME,
    "workplace_service_min_per_shift_6c": SHOP_TIME,
    "rest_min": SHOP_TIME,
    "productive_pct": SHOP_TIME,
    "nonproductive_pct": SHOP_TIME,
    "makeready_per_running_hour": SHOP_TIME,
    "implied_gross_impressions_per_job": SHOP_TIME,
    "waste_4_sides_pct": TRIM,
    "waste_2_sides_pct": TRIM,
    "average_register_mm_max": "a press has one figure, the closest fit of two colours",
    "best_makeready_sheets": BENCHMARK,
    "worst_makeready_sheets": BENCHMARK,
    "ratio_long_to_short": "the ratio of two medians of different jobs, known to a factor of two",
    "running_waste_pct_shortest": RUN_LENGTHS,
    "running_waste_pct_longest": RUN_LENGTHS,
    "quoted": "an average of one press's years; the model gives the figure of a press and a job",
    "GRACoL_pct": PROFILE,
    "heatset_pct": "the limit of heatset printing, which is another process here",
    "SWOP_pct": PROFILE,
    "FOGRA39_profile_pct": PROFILE,
}
