"""The toner model: speed by length, stock and duplex; clicks; spot colours."""

from dataclasses import replace

import pytest

from reference.of_process_toner_ep import (
    A4_MM,
    consumed_mg,
    sheets_per_min,
    toner_press,
    toner_work,
)
from shop import BLACK, CMYK, job, leaf, plant, press, processes, stock, with_inks
from sidelay.job import Ink, Previous
from sidelay.plan import Planner
from sidelay.promises import checked_charges, checked_run
from sidelay.stock import ParentSheet
from sidelay_toner import cost, process, speed

FEED = {
    "min_width_mm": 139,
    "max_width_mm": 331,
    "min_length_mm": 148,
    "max_length_mm": 488,
    "gripper_mm": 4,
    "tail_mm": 4,
    "side_mm": 4,
    "colour_bar_mm": 0,
    "work_styles": ["one_side", "perfecting"],
}
SRA3 = (ParentSheet(320, 450, "long", 0.03, "test"),)


def plan(part, wanted=None, **figures):
    shop = plant(press("toner", feed=FEED, **figures))
    return Planner(processes()).plan(replace(wanted or job(), parts=(part,)), shop)


def longest(part, **figures):
    """The route that feeds the whole sheet, short edge first."""
    table = plan(part, **figures).table
    return max(table.routes, key=lambda route: route.work.layout.length_mm)


def cautions(found):
    """Codes of what to know of this job; the hazard that every toner press has is left out."""
    codes = [each.finding.code for each in found.cautions]
    assert "safety_ozone" in codes
    return [code for code in codes if code != "safety_ozone"]


def a5(front=CMYK, back=CMYK, **figures):
    return with_inks(leaf(148, 210, stock=stock(sheets=SRA3, **figures)), front, back)


def test_turning_the_sheet_halves_the_sheets_an_hour():
    # 100 sides a minute are 50 duplex sheets: Romano, Sprinter, 2010s (process case ep-duplex).
    # On a sheet that is not alone in the duplex path.
    two_at_a_time = {"interleaved_by_length": [[488, 2]]}
    one, two = longest(a5(back=()), **two_at_a_time), longest(a5(), **two_at_a_time)
    assert one.run.cycles_per_hour == pytest.approx(2 * two.run.cycles_per_hour)


def test_a_press_that_prints_both_sides_at_once_keeps_its_speed():
    one, two = longest(a5(back=()), turns_the_sheet=False), longest(a5(), turns_the_sheet=False)
    assert one.run.cycles_per_hour == two.run.cycles_per_hour


def test_longer_sheets_come_more_slowly():
    table = plan(a5(back=()), sides_per_minute_by_length=[[216, 80], [330, 55], [488, 40]]).table
    speeds = {route.work.layout.length_mm: route.run.cycles_per_hour for route in table.routes}
    assert len(speeds) > 1
    lengths = sorted(speeds)
    assert [speeds[length] for length in lengths] == sorted(speeds.values(), reverse=True)
    assert speeds[lengths[0]] > speeds[lengths[-1]]


@pytest.mark.parametrize(
    ("gsm", "share"), [(130.0, 1.0), (220.0, 1.0), (221.0, 0.75), (301.0, 0.5)]
)
def test_heavy_stock_takes_longer_to_fuse(gsm, share):
    rated = 40 * 60 * 0.85
    assert longest(a5(back=(), grammage_gsm=gsm)).run.cycles_per_hour == pytest.approx(
        rated * share
    )


@pytest.mark.parametrize(
    ("front", "back", "clicks"),
    [
        (CMYK, (), {"colour clicks": 2}),
        (CMYK, CMYK, {"colour clicks": 4}),
        (CMYK, BLACK, {"colour clicks": 2, "mono clicks": 2}),
        (BLACK, BLACK, {"mono clicks": 4}),
    ],
)
def test_clicks_of_a_long_sheet_by_side_and_colour(front, back, clicks):
    charges = longest(a5(front, back)).charges
    assert {charge.label: charge.amount for charge in charges} == clicks


def test_there_are_no_carriers_and_no_wash_up():
    route = longest(a5())
    assert route.carriers == 0
    assert route.run.wash_up_min == 0


def test_a_spot_colour_is_refused_with_the_remedy_that_admits_it():
    spot = Ink("harbour blue", "spot")
    refused = plan(a5((*BLACK, spot), ()))
    ((finding,),) = [each.findings for each in refused.excluded]
    assert (finding.code, finding.asked) == ("ink_unavailable", "harbour blue")
    assert '"may_simulate": true' in finding.remedy
    allowed = plan(a5((*BLACK, replace(spot, may_simulate=True)), ()))
    assert allowed.excluded == ()
    assert cautions(allowed) == ["ink_simulated"]


def test_a_simulated_spot_colour_costs_a_colour_click():
    route = longest(a5((Ink("harbour blue", "spot", may_simulate=True),), ()))
    assert [charge.label for charge in route.charges] == ["colour clicks"]


@pytest.mark.parametrize(
    "ink", [Ink("white", "white"), Ink("cyan"), Ink("copper", "metallic", may_simulate=True)]
)
def test_a_mono_press_prints_black_only(ink):
    refused = plan(a5((ink,), ()), stations=["black"])
    ((finding,),) = [each.findings for each in refused.excluded]
    assert finding.code == "ink_unavailable"
    assert "may_simulate" not in finding.remedy


def test_several_missing_inks_are_one_finding():
    ((finding,),) = [each.findings for each in plan(a5(back=()), stations=["black"]).excluded]
    assert finding.asked == "cyan, magenta, yellow"


def test_a_fifth_station_prints_white():
    stations = ["cyan", "magenta", "yellow", "black", "white"]
    assert plan(a5((Ink("white", "white"),), ()), stations=stations).table is not None


def test_variable_data_is_no_obstacle():
    assert plan(replace(a5(), variable_share=1.0)).table is not None


@pytest.mark.parametrize(
    ("part", "wanted", "code"),
    [
        (a5(caliper_um=30.0), job(), "caliper_outside"),
        (a5(grammage_gsm=500.0), job(), "grammage_outside"),
        (replace(a5(), ruling_lpi=300.0), job(), "ruling_too_fine"),
        (a5(), job(quality="fine"), "quality_above"),
    ],
)
def test_a_limit_excludes_the_press(part, wanted, code):
    (excluded,) = plan(part, wanted).excluded
    assert code in {finding.code for finding in excluded.findings}
    assert all(finding.remedy for finding in excluded.findings)


def test_food_contact_is_a_caution():
    assert cautions(plan(a5(), job(uses=("food_contact",)))) == ["food_contact"]


def charges(press_of, work):
    return {each.label: each for each in checked_charges(cost(press_of, work))}


@pytest.mark.parametrize(
    ("length_mm", "share"),
    [(216, 0.5), (217, 0.5), (432, 0.5), (433, 0.5 * 0.75), (1300, 0.5 * 0.75)],
)
def test_one_sheet_alone_in_the_duplex_path_makes_the_engine_wait(length_mm, share):
    one, two = (
        sheets_per_min(toner_press(), toner_work(part, length_mm=length_mm))
        for part in (with_inks(leaf(), CMYK), leaf())
    )
    assert two / one == pytest.approx(share)


def test_a_sheet_longer_or_heavier_than_the_tables_does_not_run():
    assert speed(toner_press(), toner_work(length_mm=1301)) is None
    thick = leaf(stock=stock(grammage_gsm=401.0))
    assert speed(toner_press(), toner_work(thick)) is None


def test_a_fifth_station_halves_the_speed_and_costs_a_click_more():
    press_of = toner_press(stations=["cyan", "magenta", "yellow", "black", "white"])
    plain = toner_work(with_inks(leaf(), CMYK))
    white = toner_work(with_inks(leaf(), (*CMYK, Ink("white", "white"))))
    assert sheets_per_min(press_of, white) == pytest.approx(0.5 * sheets_per_min(press_of, plain))
    assert charges(press_of, white)["extra clicks"].amount == 1
    assert "extra clicks" not in charges(press_of, plain)


def test_make_ready_is_shorter_where_the_stock_stays():
    work = toner_work()
    stays = replace(work, previous=Previous("toner", (), work.part.stock.id))
    assert speed(toner_press(), work).make_ready_min == 6
    assert speed(toner_press(), stays).make_ready_min == 4


def test_toner_by_mass_with_what_is_lost():
    # 6 % of A4 takes 20 mg, of which 17 reach the sheet; below 3 % it takes 10: EP service manual.
    assert consumed_mg({"coverage_pct": 6}) == pytest.approx(20)
    assert consumed_mg({"coverage_pct": 3}) == pytest.approx(10)
    assert consumed_mg({"coverage_pct": 0.5}) == pytest.approx(10)


def test_a_press_without_a_contract_pays_toner_and_worn_parts():
    press_of = toner_press(priced_by="toner")
    work = toner_work(with_inks(leaf(*A4_MM, bleed_mm=0.0), CMYK, BLACK, coverage=0.06))
    by_label = charges(press_of, work)
    assert set(by_label) == {"toner", "drums and fuser"}
    assert by_label["toner"].amount == pytest.approx(5 * 20e-6)
    assert (by_label["toner"].per, by_label["toner"].unit_cost) == ("kilogram", 60)
    assert by_label["drums and fuser"].amount == 2
    assert charges(press_of, toner_work(length_mm=420))["drums and fuser"].amount == 2 * 2


def test_special_toner_has_its_own_price_and_a_simulated_ink_takes_all_four():
    press_of = toner_press(
        priced_by="toner", stations=["cyan", "magenta", "yellow", "black", "clear"]
    )
    a4 = leaf(*A4_MM, bleed_mm=0.0)
    clear = with_inks(a4, (*BLACK, Ink("clear", "varnish")), coverage=0.06)
    by_label = charges(press_of, toner_work(clear))
    assert by_label["special toner"].amount == by_label["toner"].amount == pytest.approx(20e-6)
    assert by_label["special toner"].unit_cost == 180
    spot = with_inks(a4, (Ink("harbour blue", "spot", may_simulate=True),), coverage=0.06)
    assert charges(press_of, toner_work(spot))["toner"].amount == pytest.approx(4 * 20e-6)


def test_clear_toner_is_not_built_from_process_toners():
    refused = plan(a5((*BLACK, Ink("gloss", "varnish", may_simulate=True)), ()))
    ((finding,),) = [each.findings for each in refused.excluded]
    assert finding.code == "ink_unavailable"


@pytest.mark.parametrize("grade", ["film", "vinyl", "plastic"])
def test_the_fuser_spoils_film(grade):
    ((finding,),) = [each.findings for each in plan(a5(grade=grade)).excluded]
    assert (finding.severity, finding.code) == ("limit", "heat_sensitive")
    assert plan(a5(grade=grade), heat_sensitive_grades=["other"]).table is not None


@pytest.mark.parametrize(
    ("figures", "code", "limit"),
    [
        ({"min_type_pt": 3.5}, "type_too_small", 4),
        ({"min_reverse_type_pt": 5.5}, "reverse_type_too_small", 6),
        ({"min_line_pt": 0.2}, "line_too_fine", 0.25),
        ({"register_mm": 0.15}, "register_too_tight", 0.2),
    ],
)
def test_what_the_engine_holds(figures, code, limit):
    ((finding,),) = [each.findings for each in plan(replace(a5(back=()), **figures)).excluded]
    assert (finding.code, finding.limit) == (code, limit)


def test_tone_steps_by_spots_to_a_cell_and_levels_to_a_spot():
    part = replace(a5(back=()), tone_steps=200, ruling_lpi=200.0)
    assert plan(part).table is not None
    # (600 / 200)^2 x 1 + 1
    ((finding,),) = [
        each.findings for each in plan(part, addressability_dpi=600, grey_levels=1).excluded
    ]
    assert (finding.code, finding.limit) == ("tone_steps_below", 10)


def test_the_back_fits_the_front_less_closely_than_colours_fit():
    assert cautions(plan(replace(a5(), register_mm=0.5))) == ["front_back_register"]
    assert cautions(plan(replace(a5(), register_mm=0.8))) == []
    assert cautions(plan(replace(a5(back=()), register_mm=0.5))) == []


def test_total_coverage_is_a_caution():
    assert cautions(plan(with_inks(a5(), CMYK, CMYK, 0.71))) == ["total_coverage"]
    assert cautions(plan(with_inks(a5(), CMYK, CMYK, 0.70))) == []


def test_outdoor_use_is_a_caution_and_a_delicate_piece_a_limit():
    assert cautions(plan(a5(), job(uses=("outdoor",)))) == ["outdoor"]
    ((finding,),) = [each.findings for each in plan(a5(), job(uses=("delicate",))).excluded]
    assert finding.code == "contact_pressure"


def test_ozone_is_warned_of():
    (caution,) = plan(a5()).cautions
    assert "local" in caution.finding.remedy


@pytest.mark.parametrize("priced_by", ["click", "toner"])
def test_answers_keep_the_promises(priced_by):
    press_of, work = toner_press(priced_by=priced_by), toner_work()
    run = checked_run(speed(press_of, work))
    assert (run.passes, run.wash_up_min, run.drying_h) == (1, 0, 0)
    assert all(each.because and each.source for each in charges(press_of, work).values())


def test_the_process_says_what_it_is():
    about = process()
    assert about.variable_data
    assert set(about.sources) <= set(about.__dataclass_fields__)
