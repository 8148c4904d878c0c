"""The sheetfed litho model: passes, plates, make-ready, speed, ink, and what it refuses."""

from dataclasses import replace

import numpy as np
import pytest

from reference.of_process_sheetfed_litho import (
    OF_2004,
    TODAY,
    litho_press,
    litho_run,
    litho_work,
    middle,
    one_side,
    survey,
)
from shop import BLACK, CMYK, demo, job, leaf, plant, press, processes, stock, with_inks
from sidelay.job import Ink, Previous, Side
from sidelay.plan import Planner
from sidelay.promises import checked_charges, checked_run
from sidelay.stock import ParentSheet
from sidelay_sheetfed_litho import cost, process, speed

COPPER = Ink("copper", "metallic")
SPOT = Ink("harbour blue", "spot")
VARNISH = Ink("gloss", "varnish")
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
    feed = {"work_styles": [style]}
    route = routes(part_of(front, back), units=units, feed=feed)[style]
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
    special = routes(part_of((*BLACK, SPOT), ()), standing_inks=standing)["one_side"].run
    metallic = routes(part_of((*BLACK, COPPER), ()), standing_inks=standing)["one_side"].run
    assert special.wash_up_min == plain.wash_up_min + 5
    # Metallic inks take about twice a wash.
    assert metallic.wash_up_min == plain.wash_up_min + 10


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


def charges(press_of, work):
    return {each.label: each for each in checked_charges(cost(press_of, work))}


def test_minutes_and_sheets_of_a_four_colour_form():
    run = litho_run(litho_press(), one_side(CMYK))
    assert run.make_ready_min == 8 + 4 * 2
    assert run.make_ready_cycles == 80 + 4 * 25
    assert run.wash_up_min == 3


def test_the_same_stock_and_the_same_inks_save_set_up_and_wash():
    work = one_side((*BLACK, SPOT))
    stays = replace(work, previous=Previous("litho", work.part.inks, work.part.stock.id))
    for known, minutes in ((work, (8 + 2 * 2, 3 + 5)), (stays, (8 + 2 * 2 - 2, 3))):
        run = litho_run(litho_press(), known)
        assert (run.make_ready_min, run.wash_up_min) == minutes


def test_yellow_after_black_takes_the_long_wash():
    work = one_side((Ink("yellow"),))
    after = replace(work, previous=Previous("litho", BLACK, "another"))
    assert litho_run(litho_press(), after).wash_up_min == 3 + 5 + 20


def test_piles_stop_a_press_without_a_non_stop_feeder():
    # Sheets of 120 um: 8,333 to a pile of 1 m; 10,500 an hour run 47.6 min, then stand 10.
    run = litho_run(litho_press(non_stop_feeder=False), one_side(CMYK))
    sheets = 1000 / 0.120
    assert run.cycles_per_hour == pytest.approx(sheets / (sheets / 10_500 + 10 / 60))
    assert "every 8,333 sheets" in run.because["cycles_per_hour"]


def test_lamps_dry_at_once_wear_plates_and_take_dearer_ink():
    oil, uv = litho_press(), litho_press(drying="uv")
    work = one_side(CMYK)
    assert (litho_run(oil, work).drying_h, litho_run(uv, work).drying_h) == (24, 0)
    assert [charges(each, work)["plates"].life for each in (oil, uv)] == [150_000, 60_000]
    assert [charges(each, work)["process ink"].unit_cost for each in (oil, uv)] == [14, 28]
    assert charges(uv, work)["lamps"].amount == 20
    assert "lamps" not in charges(oil, work)


def test_a_varnish_counts_as_an_ink_where_no_coater_takes_it():
    work = one_side((*CMYK, VARNISH))
    plain, coater = litho_press(), litho_press(coater="aqueous")
    assert litho_run(plain, work).passes == 2
    assert charges(plain, work)["plates"].amount == 5
    assert litho_run(coater, work).passes == 1
    assert charges(coater, work)["plates"].amount == 4
    assert charges(coater, work)["coating plates"].amount == 1
    assert "coating plates" not in charges(plain, work)


@pytest.mark.parametrize(
    ("coater", "film_gsm", "drying_h"), [("none", 1.4, 24), ("aqueous", 3, 1), ("uv", 4, 0)]
)
def test_a_coating_covers_all_and_seals_the_sheet(coater, film_gsm, drying_h):
    work, made = one_side((*CMYK, VARNISH)), litho_press(coater=coater)
    area = 2 * 0.406 * 0.566
    assert charges(made, work)["varnish"].amount == pytest.approx(area * film_gsm / 1000)
    assert litho_run(made, work).drying_h == drying_h


def test_a_coating_on_one_side_leaves_the_other_to_dry():
    part = with_inks(leaf(400, 560), (*CMYK, VARNISH), CMYK)
    assert litho_run(litho_press(coater="aqueous"), litho_work(part, "sheetwise")).drying_h == 24


@pytest.mark.parametrize(("heaviest", "hours"), [(280.0, 24), (281.0, 36)])
def test_more_ink_than_280_per_cent_dries_slowly(heaviest, hours):
    part = leaf(400, 560, front=Side(CMYK, 0.2, heaviest), back=Side())
    assert litho_run(litho_press(), litho_work(part)).drying_h == hours
    assert ("slow_drying" in findings(part)) is (heaviest > 280)


def test_fount_goes_on_every_side():
    area = 0.900 * 0.640
    both = litho_work(with_inks(leaf(400, 560), CMYK, CMYK), "sheetwise")
    for sides, work in ((1, one_side(CMYK)), (2, both)):
        fount = charges(litho_press(), work)["fount solution"]
        assert fount.amount == pytest.approx(sides * area * 0.8 / 1000)


def test_film_needs_lamps_and_a_treated_surface():
    film = part_of(grade="film")
    assert findings(film)["ink_will_not_dry"].severity == "limit"
    assert findings(film, drying="uv")["surface_untreated"].severity == "caution"
    treated = findings(part_of(grade="film", treated=True), drying="uv")
    assert {"ink_will_not_dry", "surface_untreated"}.isdisjoint(treated)


@pytest.mark.parametrize(
    ("figures", "code", "limit"),
    [
        ({"min_type_pt": 3.5}, "type_too_small", 4),
        ({"min_reverse_type_pt": 5.5}, "reverse_type_too_small", 6),
        ({"min_line_pt": 0.2}, "line_too_fine", 0.25),
        ({"register_mm": 0.1}, "register_too_tight", 0.15),
        # (2,400 / 200)^2 + 1 steps at 200 lines an inch
        ({"ruling_lpi": 200.0, "tone_steps": 200}, "tone_steps_below", 145),
    ],
)
def test_what_a_plate_holds(figures, code, limit):
    finding = findings(replace(part_of(), **figures))[code]
    assert (finding.severity, finding.limit) == ("limit", limit)


def test_a_plant_may_name_the_grades_of_a_press():
    assert "grade_unsuitable" in findings(part_of(), grades=["board"])
    assert "grade_unsuitable" not in findings(part_of())


@pytest.mark.parametrize(
    ("use", "code"), [("outdoor", "outdoor"), ("delicate", "contact_pressure")]
)
def test_what_the_piece_is_for(use, code):
    assert code in findings(part_of(), job(uses=(use,)))
    assert code not in findings(part_of())


@pytest.mark.parametrize("figures", [{"drying": "uv"}, {"coater": "uv"}])
def test_lamps_are_warned_of_where_there_are_some(figures):
    assert "local" in findings(part_of(), **figures)["safety_uv"].remedy
    assert "safety_uv" not in findings(part_of(), coater="aqueous")


@pytest.mark.parametrize(
    ("colours", "medians"),
    [
        # Printing Impressions, 2005, citing a survey of 2004: impressions an hour of whole jobs.
        ("process", [325, 1235, 2043, 2584, 4734]),
        ("one_colour", [1333, 2788, 3196, 4000, 5105]),
    ],
)
def test_whole_jobs_come_within_a_factor_of_two_of_the_survey_of_2004(colours, medians):
    bands = ["<1500", "1501-5000", "5001-10000", "10001-20000", ">20000"]
    found = survey({"colour_class": colours, "impressions_band": bands})
    assert middle("1501-5000") == pytest.approx(2739.5, abs=0.5)
    for got, seen in zip(found, medians, strict=True):
        assert seen / 2 <= got <= seen * 2


@pytest.mark.parametrize("base", [TODAY, OF_2004, TODAY | {"drying": "uv", "coater": "uv"}])
def test_answers_keep_the_promises(base):
    made, work = litho_press(base), one_side((*CMYK, VARNISH, COPPER))
    checked_run(speed(made, work))
    assert all(each.because and each.source for each in charges(made, work).values())


def test_the_process_is_the_yardstick_of_quality():
    about = process()
    assert about.quality == (1.0, 1.0)
    assert set(about.sources) <= set(about.__dataclass_fields__)


def test_special_ink_left_in_each_duct_is_lost_and_dearer_under_lamps():
    work = one_side((*BLACK, SPOT, COPPER))
    for drying, price in (("oxidation", 32), ("uv", 64)):
        left = charges(litho_press(drying=drying), work)["special ink left over"]
        assert (left.amount, left.unit_cost) == (0.6, price)


def test_the_heavier_side_decides_how_long_sheets_dry():
    part = leaf(400, 560, front=Side(CMYK, 0.2, 300.0), back=Side(CMYK, 0.2, 80.0))
    assert litho_run(litho_press(), litho_work(part, "sheetwise")).drying_h == 36


BY_WEIGHT = [(70.0, 0.2, 1), (69.0, 0.2, 0.75), (300.0, 0.2, 1), (301.0, 0.2, 0.75)]


@pytest.mark.parametrize(
    ("grammage_gsm", "coverage", "share"), [*BY_WEIGHT, (130.0, 0.5, 1), (130.0, 0.51, 0.9)]
)
def test_where_the_derates_begin(grammage_gsm, coverage, share):
    part = with_inks(leaf(400, 560, stock=stock(grammage_gsm=grammage_gsm)), CMYK, (), coverage)
    net = litho_run(litho_press(), litho_work(part)).cycles_per_hour
    assert net == pytest.approx(10_500 * share)


@pytest.mark.parametrize(("units", "perfects"), [(6, True), (5, False)])
def test_both_sides_must_fit_beside_the_drum(units, perfects):
    part = with_inks(leaf(400, 560), CMYK[:3], CMYK[:3])
    made = litho_press(units=units, perfecting_after_unit=3)
    assert (speed(made, litho_work(part, "perfecting")) is not None) is perfects


@pytest.mark.parametrize(("inks", "units"), [(CMYK[:2], 2), ((*CMYK, SPOT), 4)])
def test_no_more_units_are_washed_than_there_are(inks, units):
    assert charges(litho_press(), one_side(inks))["wash"].amount == units
