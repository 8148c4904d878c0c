"""Facts of the trade as ranges and directions, against the nine models and the demo plant.

Common practice, no source, throughout; what has a published source stands in tests/reference.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from shop import BLACK, CMYK, demo, job, leaf, processes, with_inks
from sidelay.feeds import SheetFeed
from sidelay.job import Ink
from sidelay.plan import Planner

PRESSES = {each.press.id: each.press for each in demo().presses}
ABOUT = processes().about
CARRIER = ("letterpress", "screen", "flexo", "gravure", "sheetfed_litho", "web_litho")
PLATELESS = ("toner", "dod_inkjet", "continuous_inkjet")
UM_PER_THOU = 25.4


def routes(part, process, **wishes):
    plan = Planner(processes()).plan(job(part, **wishes), demo(), only_processes=(process,))
    return plan.table.routes if plan.table else ()


def codes(part, press, **wishes):
    plan = Planner(processes()).plan(job(part, **wishes), demo(), only_presses=(press,))
    found = [f for each in plan.excluded for f in each.findings]
    return {f.code for f in found + [each.finding for each in plan.cautions]}


def test_production_litho_runs_at_18_to_20_thousand_small_near_10_webs_faster():
    large, small = PRESSES["litho_b1_five"], PRESSES["litho_b3_two"]
    assert 18_000 <= large.rated_sheets_per_hour <= 20_000
    assert 8_000 <= small.rated_sheets_per_hour <= 12_000
    for web in ("web_coldset_four", "web_heatset_16", "web_led_520"):
        assert PRESSES[web].rated_cutoffs_per_hour > large.rated_sheets_per_hour


def test_colour_toner_prints_about_60_letter_pages_a_minute_and_half_of_them_duplex():
    letter = dict(PRESSES["toner_colour_a3"].sides_per_minute_by_length)[216]
    assert 40 <= letter <= 100
    part = leaf(215.9, 279.4, bleed_mm=0.0, stock=demo().stocks["offset_80"])
    speeds = [
        max(
            route.run.cycles_per_hour
            for route in routes(wanted, "toner", quality="office")
            if route.press.id == "toner_colour_a3"
        )
        for wanted in (with_inks(part, CMYK), part)
    ]
    assert 0.35 <= speeds[1] / speeds[0] <= 0.55


def test_washing_up_a_press_of_several_rollers_by_hand_takes_30_to_45_minutes():
    part = with_inks(
        leaf(stock=demo().stocks["silk_130"]), (Ink("red", "spot"), Ink("green", "spot"))
    )
    washes = {
        route.run.wash_up_min
        for route in routes(part, "sheetfed_litho")
        if route.press.id == "litho_b3_two"
    }
    assert washes
    assert all(30 <= minutes <= 45 for minutes in washes)


@pytest.mark.parametrize("press", ["litho_b1_five", "litho_b3_two"])
def test_conventional_presses_take_3_or_4_thousandths_to_14_point_board(press):
    assert PRESSES[press].min_caliper_um <= 4 * UM_PER_THOU
    assert PRESSES[press].max_caliper_um >= 14 * UM_PER_THOU


def test_only_gravure_varies_the_film_of_ink_among_the_carrier_processes():
    for process in CARRIER:
        varies = "continuous" in ABOUT[process].tone_depth
        assert varies == (process == "gravure")
        assert varies or "prints or does not" in ABOUT[process].tone_depth
    for process in ("toner", "dod_inkjet"):
        assert "prints or does not" not in ABOUT[process].tone_depth


@pytest.mark.parametrize("process", sorted(ABOUT))
def test_a_carrier_prints_the_same_image_every_time_a_plateless_press_need_not(process):
    assert ABOUT[process].variable_data == (process in PLATELESS)
    for each in demo().presses:
        if each.process != process:
            continue
        kind = "leaf" if isinstance(each.press.feed, SheetFeed) else each.press.feed.makes[0]
        part = replace(leaf(variable_share=0.2), kind=kind)
        found = processes().constraints(process, each.press, part, job(part))
        assert ("variable_data" in {f.code for f in found}) == (process in CARRIER)


@pytest.mark.parametrize("kind", ["spot", "metallic", "fluorescent"])
def test_special_inks_run_on_carrier_presses_and_not_on_toner(kind):
    part = with_inks(leaf(stock=demo().stocks["silk_130"]), (Ink("special", kind),))
    assert routes(part, "sheetfed_litho")
    assert "ink_unavailable" in codes(part, "toner_colour_a3")


def test_toner_has_four_colours_and_sometimes_a_fifth():
    assert len(PRESSES["toner_colour_a3"].stations) == 4
    assert "fifth" in ABOUT["toner"].colours


def test_the_proof_of_a_plateless_job_is_its_first_copy():
    for process in ("toner", "dod_inkjet"):
        assert "first" in ABOUT[process].proof


def test_inkjet_on_coated_stock_may_need_pre_treatment():
    part = with_inks(leaf(stock=demo().stocks["silk_130"]), CMYK)
    labels = {c.label for route in routes(part, "dod_inkjet") for c in route.charges}
    assert "primer" in labels
    treated = with_inks(leaf(stock=demo().stocks["inkjet_treated_90"]), CMYK)
    sheets = [r for r in routes(treated, "dod_inkjet") if r.press.id == "inkjet_sheet_b2"]
    assert sheets
    assert "primer" not in {c.label for route in sheets for c in route.charges}


def test_a_plateless_job_can_leave_the_same_day_a_conventional_one_takes_days():
    assert ABOUT["toner"].turnaround == "same day"
    assert "hours" in ABOUT["dod_inkjet"].turnaround
    for process in ("letterpress", "flexo", "screen", "sheetfed_litho"):
        assert "days" in ABOUT[process].turnaround
    assert "weeks" in ABOUT["gravure"].turnaround


def test_carriers_of_flexo_and_gravure_keep_a_new_job_waiting_for_days():
    part = leaf(160, 380, kind="web", bleed_mm=0.0, ruling_lpi=133)
    part = with_inks(replace(part, stock=demo().stocks["pouch_film"]), CMYK, coverage=0.3)
    waits = {
        process: max(c.lead_days for c in routes(part, process)[0].charges)
        for process in ("flexo", "gravure")
    }
    assert 1 <= waits["flexo"] <= 3
    assert 5 <= waits["gravure"] <= 10


def test_a_contact_press_warns_of_delicate_pieces_and_a_non_contact_one_does_not():
    part = with_inks(leaf(stock=demo().stocks["silk_130"]), CMYK)
    assert any(
        "delicate" in code or "pressure" in code
        for code in codes(part, "litho_b1_five", uses=("delicate",))
    )
    assert not any(
        "delicate" in code or "pressure" in code
        for code in codes(part, "inkjet_sheet_b2", uses=("delicate",))
    )


def test_the_carrier_presses_print_one_black_page_cheaper_in_the_long_run():
    # Conventional cost per piece falls in a curve, a click charge stays flat.
    part = with_inks(leaf(stock=demo().stocks["offset_80"]), BLACK)
    falls = {}
    for process in ("sheetfed_litho", "toner"):
        plan = Planner(processes()).plan(job(part), demo(), only_processes=(process,))

        totals = plan.table.at(np.array([10_000, 100_000])).total.min(axis=0)
        falls[process] = (totals[1] / 100_000) / (totals[0] / 10_000)
    assert falls["sheetfed_litho"] < falls["toner"] <= 1
