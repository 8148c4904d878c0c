"""What the trade says about litho and toner, against the models on the demo plant.

tests/reference/cases/process.json holds the published figures, each with its source. What is marked
"common practice, no source" comes from nobody's table: it is asserted as a range or a direction.
"""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from shop import BLACK, CMYK, NOW, demo, job, leaf, processes, with_inks
from sidelay.compare import compare
from sidelay.feeds import SheetFeed
from sidelay.halftone import total_coverage_pct
from sidelay.imposition import most_up, signature_pages
from sidelay.imposition.sheets import sheet_layouts
from sidelay.plan import Planner
from sidelay.stock import ParentSheet

REFERENCE = Path(__file__).parents[1] / "reference"
CASES = {
    case["id"]: case
    for case in json.loads((REFERENCE / "cases" / "process.json").read_text())
}
LETTER_IN, A4_MM = (8.5, 11), (210, 297)
B1 = next(each.press for each in demo().presses if each.press.id == "litho_b1_five")
COLOUR = next(each.press for each in demo().presses if each.press.id == "toner_colour_a3")


def expected(case_id):
    return CASES[case_id]["expected"]


def table(part):
    return Planner(processes()).plan(job(part), demo()).table


def letter(**figures):
    return leaf(215.9, 279.4, stock=demo().stocks["text_100lb"], **figures)


def pair(part, *names, up_to=1_000_000):
    """The part on the presses of two processes, whatever else the plant has."""
    return compare(job(part), demo(), Planner(processes()), NOW, up_to=up_to, only_processes=names)


def test_every_case_names_its_source():
    assert all(case["source"] for case in CASES.values())


@pytest.mark.parametrize(
    "part", [letter(), leaf(*A4_MM, stock=demo().stocks["silk_130"])], ids=["letter", "a4"]
)
def test_toner_below_litho_above_and_they_cross_in_the_hundreds_to_thousands(part):
    # Common practice, no source: high hundreds to low thousands, here 300 to 6,000.
    found = pair(part, "toner", "sheetfed_litho")
    (crossover,) = found.crossovers
    assert (crossover.from_process, crossover.to_process) == ("toner", "sheetfed_litho")
    assert 300 <= crossover.first_at <= crossover.settled_at <= 6_000
    assert found.bands[0].process == "toner"
    assert found.bands[-1].process == "sheetfed_litho"


def test_leaflets_cross_too_within_a_factor_of_ten_of_the_published_figure():
    # xo-toner-litho-uk: about 500, "depends on sheet size and ups"; surveys scatter x2 to x10.
    band = expected("xo-toner-litho-uk")["crossover_copies"]
    part = leaf(148, 210, stock=demo().stocks["silk_130"])
    (crossover,) = pair(part, "toner", "sheetfed_litho").crossovers
    assert band["low"] / 10 <= crossover.first_at <= band["high"] * 10
    assert crossover.from_process == "toner"


@pytest.mark.parametrize("sheet_in", [(28, 40), (23, 35)])
def test_a_forty_inch_press_takes_eight_letter_pages_a_side(sheet_in):
    # Common practice, no source: a 16-page signature, and margins to print it within.
    feed = B1.feed
    length, width = (25.4 * side for side in sheet_in)
    assert feed.takes(width, length)
    printable = (
        width - 2 * feed.side_mm,
        length - feed.gripper_mm - feed.tail_mm - feed.colour_bar_mm,
    )
    assert signature_pages(*printable, 215.9, 279.4) == 2 * 8


def test_single_leaves_need_not_fold_and_lie_at_least_as_many_up():
    part = with_inks(letter(bleed_mm=0), CMYK)
    layouts = sheet_layouts(part, B1.feed)
    assert max(layout.up for layout in layouts if layout.out == 1) >= 8


@pytest.mark.parametrize("sheet_in", [(12, 18), (13, 19)])
def test_a_digital_sheet_takes_two_letter_pages_a_side(sheet_in):
    # Common practice, no source.
    assert most_up(*sheet_in, *LETTER_IN).up == 2
    sheet = tuple(25.4 * side for side in sheet_in)
    part = letter(bleed_mm=0)
    part = replace(
        part, stock=replace(part.stock, sheets=(ParentSheet(*sheet, "long", 0.1, "test"),))
    )
    feed = SheetFeed(139, 331, 148, 488, 4, 3, 3, 0, ("one_side",))
    assert max(layout.up for layout in sheet_layouts(with_inks(part, CMYK), feed)) == 2


def test_duplexing_halves_the_sheets_an_hour_where_the_press_turns_the_sheet():
    wanted = (
        expected("ep-duplex")["duplex_sheets_per_min"]["value"]
        / CASES["ep-duplex"]["inputs"]["simplex_a4_ppm"]
    )
    speeds = []
    for part in (with_inks(letter(), CMYK), letter()):
        on_toner = [r for r in table(part).routes if r.press.id == COLOUR.id]
        speeds.append(max(route.run.cycles_per_hour for route in on_toner))
    assert COLOUR.turns_the_sheet
    # Half, or less where only one sheet at a time finds room in the duplex path.
    assert speeds[1] / speeds[0] <= wanted


def test_the_b1_press_is_rated_as_b1_presses_are():
    rated = expected("sheetfed-B1-rated-now")["rated_sph"]
    assert rated["low"] <= B1.rated_sheets_per_hour <= rated["high"]


def test_the_b1_press_runs_as_fast_as_a_press_of_its_kind_was_seen_to():
    seen = expected("sheetfed-running-speed-2000")["running_iph"]
    assert seen["low"] <= B1.rated_sheets_per_hour * B1.running_share <= seen["high"]
    lost = expected("sheetfed-rated-vs-net")["net_fraction"]["value"]
    assert lost <= B1.running_share < 1


def test_a_four_colour_form_spoils_as_many_sheets_as_the_best_of_2006_or_fewer():
    best = expected("sheetfed-mr-sheets-2006")["best_makeready_sheets"]
    spoiled = B1.make_ready_sheets_per_form + 4 * B1.make_ready_sheets_per_plate
    assert 100 <= spoiled <= best["high"]


def test_default_running_waste_is_the_published_one_at_both_ends():
    share = expected("sheetfed-run-waste-1996")["running_waste_pct"]
    default = processes().press_schema("sheetfed_litho").fields["running_waste"].load_default()
    assert [100 * value for _, value in default] == pytest.approx([share["high"], share["low"]])


def test_infrared_drying_lies_in_the_published_range():
    hours = expected("litho-dry-short")["hours_to_finish"]
    assert hours["low"] <= B1.drying_coated_h <= hours["high"]


@pytest.mark.parametrize(
    ("case_id", "inks", "key"),
    [("litho-TAC-dry", "rich_black", "TAC_pct"), ("news-TAC-220", "CMYK", "TAC_pct")],
)
def test_total_coverage_adds_the_inks_up(case_id, inks, key):
    shares = [percent / 100 for percent in CASES[case_id]["inputs"][inks]]
    assert total_coverage_pct(shares) == pytest.approx(expected(case_id)[key]["value"])


def test_the_default_limit_of_total_coverage_is_a_profile_limit():
    limits = expected("tac-profile")
    default = (
        processes().press_schema("sheetfed_litho").fields["max_total_coverage_pct"].load_default
    )
    assert default in (limits["SWOP_pct"]["value"], limits["FOGRA39_300_profile_pct"]["value"])


def test_the_default_ruling_limit_is_the_finest_of_the_standard():
    finest = expected("iso-screen-2")["litho_lines_per_cm"]["high"] * 2.54
    default = processes().press_schema("sheetfed_litho").fields["max_ruling_lpi"].load_default
    assert default == pytest.approx(finest, abs=4)


def test_sheets_over_all_press_hours_rise_with_run_length_and_fall_with_colours():
    # sheetfed-net-rule: PIA/GATF 2004, quoted in Printing Impressions 2005.
    assert "increases with run length" in expected("sheetfed-net-rule")["net_iph"]["value"]
    nets = []
    for inks in (BLACK, CMYK):
        compiled = table(with_inks(leaf(*A4_MM, stock=demo().stocks["silk_130"]), inks))
        costs = compiled.at(np.array([4_000, 20_000, 60_000, 120_000, 400_000]))
        on_b1 = [n for n, route in enumerate(compiled.routes) if route.press.id == B1.id]
        net = (costs.good / costs.press_hours)[on_b1[0]]
        assert (np.diff(net) > 0).all()
        nets.append(net)
    assert (nets[0] > nets[1]).all()
