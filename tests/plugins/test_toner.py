"""The toner model: speed by length, stock and duplex; clicks; spot colours."""

from dataclasses import replace

import pytest

from shop import BLACK, CMYK, job, leaf, plant, press, processes, stock, with_inks
from sidelay.job import Ink
from sidelay.plan import Planner
from sidelay.stock import ParentSheet

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


def a5(front=CMYK, back=CMYK, **figures):
    return with_inks(leaf(148, 210, stock=stock(sheets=SRA3, **figures)), front, back)


def test_turning_the_sheet_halves_the_sheets_an_hour():
    # 100 sides a minute are 50 duplex sheets: Romano, Sprinter, 2010s (process case ep-duplex).
    one, two = longest(a5(back=())), longest(a5())
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
    assert [each.finding.code for each in allowed.cautions] == ["ink_simulated"]


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
    (caution,) = plan(a5(), job(uses=("food_contact",))).cautions
    assert caution.finding.code == "food_contact"
