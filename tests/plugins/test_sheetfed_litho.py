"""The sheetfed litho model: passes, plates, make-ready, speed, ink, and what it refuses."""

from dataclasses import replace

import numpy as np
import pytest

from shop import BLACK, CMYK, demo, job, leaf, plant, press, processes, stock, with_inks
from sidelay.job import Ink
from sidelay.plan import Planner
from sidelay.stock import ParentSheet

COPPER = Ink("copper", "metallic")
SHEETS = (ParentSheet(640, 900, "long", 0.09, "test"), ParentSheet(720, 1020, "long", 0.12, "test"))


def routes(part, wanted=None, **figures):
    shop = plant(press("sheetfed_litho", **figures))
    plan = Planner(processes()).plan(wanted or job(part), shop)
    return {route.work.layout.style: route for route in plan.table.routes} if plan.table else {}


def findings(part, wanted=None, **figures):
    shop = plant(press("sheetfed_litho", **figures))
    plan = Planner(processes()).plan(replace(wanted or job(), parts=(part,)), shop)
    limits = [finding for each in plan.excluded for finding in each.findings]
    return {finding.code: finding for finding in limits + [each.finding for each in plan.cautions]}


def part_of(front=CMYK, back=CMYK, coverage=0.2, **figures):
    return with_inks(leaf(200, 280, stock=stock(sheets=SHEETS, **figures)), front, back, coverage)


@pytest.mark.parametrize(
    ("front", "back", "units", "style", "passes", "plates"),
    [
        (CMYK, CMYK, 4, "sheetwise", 2, 8),
        (CMYK, CMYK, 4, "work_and_turn", 2, 4),
        (CMYK, CMYK, 2, "sheetwise", 4, 8),
        (CMYK, CMYK, 2, "work_and_turn", 4, 4),
        (CMYK, BLACK, 2, "sheetwise", 3, 5),
        (CMYK, BLACK, 4, "work_and_turn", 2, 4),
        (CMYK, (), 4, "one_side", 1, 4),
        ((*CMYK, COPPER), (), 4, "one_side", 2, 5),
        (BLACK, BLACK, 1, "work_and_tumble", 2, 1),
    ],
)
def test_passes_and_plates(front, back, units, style, passes, plates):
    route = routes(part_of(front, back), units=units)[style]
    assert route.run.passes == passes
    assert route.carriers == plates


def test_a_sixteen_page_form_takes_eight_plates_and_two_make_readies_sheetwise():
    # Counting rule of K. Morris (paper case IM21): plates = 2 x colours, make-readies = 2.
    route = routes(part_of())["sheetwise"]
    assert (route.carriers, len(route.work.forms)) == (8, 2)


@pytest.mark.parametrize(
    ("front", "back", "perfects"),
    [(CMYK, BLACK, True), (BLACK, CMYK, True), (BLACK, BLACK, True), (CMYK, CMYK, False)],
)
def test_a_drum_behind_the_first_of_five_units_perfects_four_and_one(front, back, perfects):
    found = routes(part_of(front, back), units=5, perfecting_after_unit=1)
    assert ("perfecting" in found) is perfects
    if perfects:
        assert found["perfecting"].run.passes == 1
        assert found["perfecting"].run.cycles_per_hour < found["sheetwise"].run.cycles_per_hour


def test_a_straight_press_does_not_perfect():
    assert "perfecting" not in routes(part_of(CMYK, BLACK), units=5)


def test_plates_are_renewed_at_their_life():
    shop = plant(press("sheetfed_litho", plate_life_impressions=10_000))
    wanted = job(part_of(CMYK, ()), quantities=(1,))
    table = Planner(processes()).plan(wanted, shop).table
    (row,) = [n for n, line in enumerate(table.lines) if line.label == "plates" and line.route == 0]
    up = table.routes[0].work.layout.up
    few, many = table.at(np.array([up * 5_000, up * 15_000])).lines[row]
    assert (few, many) == (4 * 800, 8 * 800)


def test_work_and_turn_plates_last_half_as_many_sheets():
    found = routes(part_of(), plate_life_impressions=10_000)
    life = {
        style: [c.life for c in route.charges if c.label == "plates"]
        for style, route in found.items()
    }
    assert life["sheetwise"] == [10_000]
    assert life["work_and_turn"] == [5_000]


def test_speed_falls_with_thin_and_thick_stock_and_heavy_coverage():
    normal = routes(part_of())["sheetwise"].run.cycles_per_hour
    assert normal == pytest.approx(12_000 * 0.70)
    assert routes(part_of(grammage_gsm=60.0))["sheetwise"].run.cycles_per_hour < normal
    assert routes(part_of(grammage_gsm=350.0))["sheetwise"].run.cycles_per_hour < normal
    assert routes(part_of(coverage=0.6))["sheetwise"].run.cycles_per_hour < normal


def test_special_inks_are_washed_out_and_process_inks_stay():
    standing = ["cyan", "magenta", "yellow", "black"]
    plain = routes(part_of(CMYK, ()), standing_inks=standing)["one_side"].run
    special = routes(part_of((*BLACK, COPPER), ()), standing_inks=standing)["one_side"].run
    assert special.wash_up_min == plain.wash_up_min + 5


def test_ink_mass_is_area_times_coverage_times_film():
    # 80,000 x 7.85 m2 x 190 % at 1.4 g/m2 is 1,670 kg (paper case IK01): 1.4 g a m2 of solid.
    route = routes(part_of(CMYK, ()))["one_side"]
    (ink,) = [charge for charge in route.charges if charge.label == "process ink"]
    inked_m2 = 4 * 0.2 * 0.206 * 0.286 * route.work.layout.up
    assert ink.amount == pytest.approx(inked_m2 * 1.4 / 1000)


def test_uncoated_paper_takes_half_as_much_ink_again():
    # 45 lb against 30 lb for the same solid (paper case IK07).
    amounts = [
        sum(
            charge.amount
            for charge in routes(part_of(grade=grade))["sheetwise"].charges
            if charge.label == "process ink"
        )
        for grade in ("coated", "uncoated")
    ]
    assert amounts[1] / amounts[0] == pytest.approx(45 / 30)


@pytest.mark.parametrize(
    ("part", "wanted", "code"),
    [
        (part_of(caliper_um=900.0), job(), "caliper_outside"),
        (part_of(grammage_gsm=500.0), job(), "grammage_outside"),
        (part_of((Ink("white", "white"),), ()), job(), "ink_unavailable"),
        (
            part_of((*CMYK, *(Ink(f"spot {n}", "spot") for n in range(5))), ()),
            job(),
            "too_many_inks",
        ),
        (replace(part_of(), variable_share=0.1), job(), "variable_data"),
        (replace(part_of(), ruling_lpi=250.0), job(), "ruling_too_fine"),
    ],
)
def test_a_limit_excludes_the_press_and_says_what_would_help(part, wanted, code):
    finding = findings(part, wanted)[code]
    assert finding.severity == "limit"
    assert finding.remedy
    assert finding.message


def test_the_quality_asked_must_not_be_above_the_press():
    assert "quality_above" in findings(part_of(), job(quality="fine"), quality="commercial")
    assert "quality_above" not in findings(part_of(), job(quality="fine"))


@pytest.mark.parametrize(
    ("part", "wanted", "code"),
    [
        (part_of((*CMYK, COPPER), ()), job(), "several_passes"),
        (part_of(coverage=0.9), job(), "total_coverage"),
        (part_of(), job(uses=("food_contact",)), "food_contact"),
    ],
)
def test_a_caution_is_shown_and_the_press_still_competes(part, wanted, code):
    assert findings(part, wanted)[code].severity == "caution"


def test_every_figure_of_a_run_has_its_reason():
    for route in routes(part_of(CMYK, BLACK), units=5, perfecting_after_unit=1).values():
        told = set(route.run.because)
        assert {
            "passes",
            "make_ready_min",
            "make_ready_cycles",
            "cycles_per_hour",
            "running_waste",
            "wash_up_min",
            "drying_h",
        } <= told
        assert all(charge.because and charge.source for charge in route.charges)


def test_demo_presses_take_their_figures_from_the_plant_file():
    presses = {each.press.id: each.press for each in demo().presses}
    assert presses["litho_b1_five"].units == 5
    assert presses["litho_b1_five"].perfecting_after_unit == 1
    assert presses["litho_b3_two"].source("plate_price")
