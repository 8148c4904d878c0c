"""What the demo plant is told to have of each process, against published ranges.

The sources stand with their cases in tests/reference/cases/process.json; a case is named in each
check. Not compared, since abilities have no such figure: least type and line (findings have them),
net speeds of whole jobs (of_process_sheetfed_litho), crossovers and with them run lengths
(test_crossovers, test_trade_practice), and ratios of quality, for which no source was found. Two
published figures are of other presses than the demo plant's:

- ij-web-ppm quotes 200 m/min of one press; the plant's web is rated at 150. Neither is a range.
- heatset-speed works 8.03 to 8.61 m/s from 50,000 cut-offs an hour; the plant's press is rated at
  45,000, which is 7.75 m/s at 620 mm.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from shop import CMYK, compared, demo, example, job, leaf, processes, with_inks
from sidelay.characteristics import PlantAbilities, characteristics, merged
from sidelay.feeds import SheetFeed
from sidelay.plan import Planner

CM_PER_INCH = 2.54
MM_PER_INCH = 25.4
CASES = {
    case["id"]: case
    for case in json.loads(
        (Path(__file__).parents[1] / "reference" / "cases" / "process.json").read_text()
    )
}


def here(process: str, *presses: str) -> PlantAbilities:
    """What the demo plant has of a process, or some of its presses."""
    told = Planner(processes()).abilities(demo())
    able = [
        told[each.press.id]
        for each in demo().presses
        if each.process == process and (not presses or each.press.id in presses)
    ]
    assert all(able)
    return merged([each for each in able if each])


def within(case: str, figure: str, *values: float) -> bool:
    """Whether figures lie in a published range, or at a published figure."""
    wanted: dict[str, Any] = CASES[case]["expected"][figure]
    low, high = (
        (wanted["low"], wanted["high"])
        if "low" in wanted
        else (wanted["value"] - wanted["tolerance"], wanted["value"] + wanted["tolerance"])
    )
    return all(low - 1e-9 <= value <= high + 1e-9 for value in values)


def at_most(case: str, figure: str, *values: float) -> bool:
    return max(values) <= CASES[case]["expected"][figure]["value"] + 1e-9


def rated(can: PlantAbilities, unit: str) -> tuple[float, float]:
    return next((slowest, fastest) for told, slowest, fastest in can.rated if told == unit)


def test_a_b1_press_is_rated_as_such_presses_are():
    """Published ratings, several makers, 2015 to 2024; Riell, Dec 2013, B2 to B1."""
    speeds = rated(here("sheetfed_litho", "litho_b1_five"), "{cycle}/h")
    assert within("sheetfed-B1-rated-now", "rated_sph", *speeds)
    assert within("sheetfed-rated-range", "rated_sph", *speeds)


def test_a_five_colour_press_runs_as_fast_as_was_counted():
    """Dickeson, Printing Impressions, Jun 2000: net sheets an hour while running."""
    answer = compared(demo(), quantities=[5000], parts=[LEAFLET])
    rows = {row["process"]: row for row in answer["characteristics"]}
    made = rows["sheetfed_litho"]["for_this_job"]
    assert made["press"] == "litho_b1_five"
    assert within("sheetfed-running-speed-2000", "running_iph", made["net_per_hour"])


LEAFLET = {
    "name": "leaflet",
    "size": "a4",
    "stock": {"grade": "coated", "finish": "silk", "grammage_gsm": 130},
    "front": {"inks": ["cyan", "magenta", "yellow", "black"]},
    "back": {"inks": ["cyan", "magenta", "yellow", "black"]},
}


def test_rulings_are_those_of_the_printing_conditions():
    """ISO 12647-2, -3, -4, from memory."""
    for process, figure, presses in (
        ("sheetfed_litho", "litho_lines_per_cm", ()),
        ("web_litho", "litho_lines_per_cm", ("web_heatset_16", "web_led_520")),
        ("web_litho", "coldset_lines_per_cm", ("web_coldset_four",)),
        ("gravure", "pub_gravure_lines_per_cm", ("gravure_publication",)),
    ):
        rulings = here(process, *presses).finest_ruling_lpi
        assert rulings is not None
        assert within("iso-screen-2", figure, *(round(lpi / CM_PER_INCH, 6) for lpi in rulings))


def test_screen_holds_no_finer_halftone_than_a_disc_printer_asks_for():
    """Disc printer's artwork specification: 85 lpi; garments are coarser."""
    rulings = here("screen").finest_ruling_lpi
    assert rulings is not None
    assert at_most("screen-disc-limits", "line_screen_lpi", *rulings)
    assert within("screen-disc-limits", "line_screen_lpi", rulings[1])


def test_letterpress_holds_the_halftone_and_speed_that_were_read():
    """Letterpress studios' artwork guides (four read); reference article on press types."""
    can = here("letterpress")
    assert can.finest_ruling_lpi is not None
    assert within("letterpress-min", "halftone_lpi_max", *can.finest_ruling_lpi)
    assert at_most("letterpress-speed", "vertical_cylinder_iph_max", *rated(can, "{cycle}/h"))


def test_platens_are_no_larger_than_the_largest_platen():
    """Reference article on letterpress press types: 18 x 24 in."""
    wanted, told = example("invitation"), Planner(processes()).abilities(demo())
    rows = {
        row.process.id: row for row in characteristics(wanted, demo(), processes().about, told)
    }
    largest = CASES["letterpress-speed"]["expected"]["platen_max_in"]["value"]
    for press in rows["letterpress"].here.presses:
        assert press.feed == SheetFeed.kind
        sides = sorted(mm / MM_PER_INCH for mm in press.largest_mm)
        assert all(side <= most for side, most in zip(sides, largest, strict=True))


def test_garment_carousels_are_rated_within_the_rates_that_shops_tell():
    """Images 2018; Graphics Pro Aug 2022: rates in practice, so a rating stands at their top."""
    manual = rated(here("screen", "carousel_manual"), "{cycle}/h")
    automatic = rated(here("screen", "carousel_automatic"), "{cycle}/h")
    assert within("screen-rates-range", "manual_per_h", *manual)
    assert within("screen-rates-range", "automatic_per_h", *automatic)
    assert at_most("screen-rates-range", "cylinder_sheets_per_h_max", *automatic)


def test_an_array_is_rated_at_the_web_speed_that_was_read():
    """Inkjet trends page of a printer maker (2002)."""
    assert within("cij-web", "m_per_min_max", *rated(here("continuous_inkjet"), "m/min"))


def test_fit_of_colour_to_colour_is_that_of_standard_and_newspapers():
    """Secondary note on ISO 12647-2:2013; newspaper publishers' specifications (the least trap)."""
    litho = here("sheetfed_litho").register_mm
    news = here("web_litho", "web_coldset_four").register_mm
    assert litho is not None
    assert news is not None
    assert within("register-litho", "max_between_two_colours_mm", *litho)
    assert within("news-type", "min_trap_mm", *news)


def test_newspaper_plates_show_the_tone_steps_of_their_dots():
    """102 lpi at 1,270 dpi (note of case news-type): (1,270 / 102)^2 + 1 = 156 steps."""
    can = here("web_litho", "web_coldset_four")
    assert can.finest_ruling_lpi == (102, 102)
    assert can.tone_steps == (156, 156)


def test_a_toner_engine_prints_half_as_many_sheets_on_both_sides():
    """Romano, Sprinter: 100 A4 sides a minute are 50 duplex sheets."""
    ratio = CASES["ep-duplex"]["expected"]["duplex_sheets_per_min"]["value"] / 100
    toner = {each.press.id: each.press for each in demo().presses}["toner_colour_a3"]
    a4 = demo().stocks["offset_80"]
    found = Planner(processes())
    speeds = []
    for back in ((), CMYK):
        part = with_inks(leaf(210, 297, bleed_mm=0.0, stock=a4), CMYK, back)
        plan = found.plan(job(part, quality="office"), demo(), only_presses=(toner.id,))
        assert plan.table is not None
        run = max((route.run for route in plan.table.routes), key=lambda run: run.cycles_per_hour)
        speeds.append(run.cycles_per_hour / run.rated_per_hour)
    assert speeds[1] / speeds[0] == pytest.approx(ratio, abs=0.1)
