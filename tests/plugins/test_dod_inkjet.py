"""The inkjet model: jetting, drying and passes; drops into ink; surfaces, white, hazards."""

from dataclasses import replace
from typing import Any

import pytest
from marshmallow import ValidationError

from shop import BLACK, CMYK, job, leaf, with_inks
from sidelay.imposition.works import works
from sidelay.job import Ink, Previous, Side
from sidelay.promises import checked_charges, checked_findings, checked_run
from sidelay.stock import Blank, ParentSheet, Reel, Stock
from sidelay.work import Form, Layout, Work
from sidelay_dod_inkjet import constraints, cost, press_schema, process, speed
from sidelay_dod_inkjet.heads import (
    jetting_m_per_min,
    largest_drop_pl,
    laydown_ml_per_m2,
    pages_per_min,
    scanning_m2_per_hour,
)

WHITE, VARNISH = Ink("white", "white"), Ink("gloss", "varnish")
SHEET = ParentSheet(500, 700, "long", 0.1, "test")
REEL = Reel(520, 6000, 0.05, "test")
SHIRT = Blank("shirt", 360, 420, 3.0, "test")
FEEDS: dict[str, dict[str, Any]] = {
    "sheet": {
        "kind": "sheet",
        "min_width_mm": 100,
        "max_width_mm": 750,
        "min_length_mm": 100,
        "max_length_mm": 530,
        "work_styles": ["one_side", "perfecting"],
    },
    "web": {
        "kind": "web",
        "min_width_mm": 200,
        "max_width_mm": 520,
        "min_cutoff_mm": 152,
        "max_cutoff_mm": 1400,
        "most_collected": 64,
    },
    "reel": {
        "kind": "reel",
        "min_width_mm": 100,
        "max_width_mm": 1625,
        "min_repeat_mm": 10,
        "max_repeat_mm": 5000,
        "cuts_off": True,
    },
    "piece": {"kind": "piece", "max_width_mm": 406, "max_length_mm": 508},
}


def inkjet(heads: str, ink: str, feed: str, **figures: Any) -> Any:
    given: dict[str, Any] = {
        "id": "inkjet",
        "name": "Inkjet",
        "cost_centre": "inkjet",
        "heads": heads,
        "ink": ink,
        "feed": FEEDS[feed],
        "dpi_across": 600,
        "dpi_along": 600,
        "base_drop_pl": 5,
        "ink_price_per_l": 40,
        "running_share": 1.0,
    }
    return press_schema()().load(given | figures)


def cut_sheet(**figures: Any) -> Any:
    rated = {"jetting_khz": 60, "rated_sheets_per_hour": 4000}
    return inkjet("single_pass", "aqueous", "sheet", **rated | figures)


def web(**figures: Any) -> Any:
    rated = {"jetting_khz": 60, "rated_m_per_min": 200}
    return inkjet("single_pass", "aqueous", "web", **rated | figures)


def label(**figures: Any) -> Any:
    rated = {"jetting_khz": 20, "rated_m_per_min": 75}
    return inkjet("single_pass", "uv", "reel", **rated | figures)


def flatbed(**figures: Any) -> Any:
    return inkjet("scanning", "uv", "sheet", **{"one_pass_m2_per_hour": 400} | figures)


def roll(**figures: Any) -> Any:
    return inkjet("scanning", "latex", "reel", **{"one_pass_m2_per_hour": 160} | figures)


def garment(**figures: Any) -> Any:
    given = {
        "one_pass_m2_per_hour": 20,
        "channels": ["cyan", "magenta", "yellow", "black", "white"],
    }
    return inkjet("scanning", "aqueous", "piece", **given | figures)


def paper(**figures: Any) -> Stock:
    given: dict[str, Any] = {
        "id": "paper",
        "name": "Paper",
        "grade": "uncoated",
        "finish": "inkjet",
        "grammage_gsm": 100.0,
        "caliper_um": 120.0,
        "sheets": (SHEET,),
        "treated": True,
    }
    return Stock(**given | figures)


def shirt(tone: str = "dark", **figures: Any) -> Stock:
    given = {"grade": "garment", "tone": tone, "sheets": (), "blanks": (SHIRT,), "treated": False}
    return paper(**given | figures)


def sheet_work(
    *, front: Any = CMYK, back: Any = (), coverage: float = 0.05, **figures: Any
) -> Work:
    """One sheet of 700 x 500 mm with four A5 pieces, no bleed."""
    of_stock = figures.pop("stock", paper())
    part = with_inks(leaf(210, 148, stock=of_stock, bleed_mm=0.0, **figures), front, back, coverage)
    return laid(part, 700, 500, SHEET, 4)


def web_work(length_mm: float = 610, supply: Reel = REEL, **figures: Any) -> Work:
    return laid(sheet_work(**figures).part, 520, length_mm, supply, 8, across=2, around=2)


def laid(part: Any, width: float, length: float, supply: Any, up: int, **figures: Any) -> Work:
    style = "perfecting" if len(part.sides) == 2 else "one_side"
    layout = Layout(
        **{"width_mm": width, "length_mm": length, "supply": supply, "style": style, "up": up}
        | figures
    )
    pairs = (("front", part.front.inks), ("back", part.back.inks))
    return Work(part, layout, tuple(Form(prints, inks) for prints, inks in pairs if inks))


def shirt_work(
    tone: str = "dark", back: bool = False, coverage: float = 0.4, **figures: Any
) -> Work:
    """A print of 200 x 300 mm: 0.06 m2."""
    part = with_inks(
        leaf(200, 300, kind="piece", stock=shirt(tone, **figures), bleed_mm=0.0),
        CMYK,
        CMYK if back else (),
        coverage,
    )
    return laid(part, 200, 300, SHIRT, 1, style="sheetwise" if back else "one_side")


def charged(press: Any, work: Work) -> dict[str, Any]:
    return {charge.label: charge for charge in checked_charges(cost(press, work))}


def money(press: Any, work: Work) -> dict[str, float]:
    return {name: each.unit_cost * each.amount for name, each in charged(press, work).items()}


def codes(press: Any, part: Any, wanted: Any = None) -> dict[str, Any]:
    return {each.code: each for each in checked_findings(constraints(press, part, wanted or job()))}


def timed(press: Any, work: Work) -> Any:
    run = speed(press, work)
    assert run is not None
    return checked_run(run)


# ------------------------------------------------------------------ arithmetic


@pytest.mark.parametrize(
    ("khz", "dpi", "drops", "m_per_min"),
    [(60, 600, 1, 152.4), (60, 1200, 1, 76.2), (60, 600, 2, 76.2)],
)
def test_web_speed_is_frequency_over_addressability(khz, dpi, drops, m_per_min):
    assert jetting_m_per_min(khz, dpi, drops) == pytest.approx(m_per_min)


@pytest.mark.parametrize(
    ("dpi", "drop", "ml"), [(600, 5, 2.79), (600, 10, 5.58), (1200, 3.5, 7.81), (720, 14, 11.25)]
)
def test_laydown_is_pixels_times_drop(dpi, drop, ml):
    assert laydown_ml_per_m2(dpi, dpi, drop) == pytest.approx(ml, abs=0.005)
    assert laydown_ml_per_m2(dpi, dpi, drop, 0.3) == pytest.approx(0.3 * ml, abs=0.005)
    assert laydown_ml_per_m2(dpi, dpi / 2, drop) == pytest.approx(ml / 2, abs=0.005)


def test_pages_levels_and_passes():
    assert pages_per_min(200, 279.4, 2, 2) == pytest.approx(2863.3, abs=0.1)
    assert largest_drop_pl(14, 8) == 112
    assert scanning_m2_per_hour(160, 8) == 20


# ------------------------------------------------------------------ fixed heads


def test_a_web_runs_no_faster_than_its_nozzles_fire():
    # 152.4 m/min past a cut-off of 0.61 m; the maker's plate says 200 m/min.
    assert timed(web(), web_work()).cycles_per_hour == pytest.approx(152.4 * 60 / 0.61)
    assert timed(web(dpi_along=1200), web_work()).cycles_per_hour == pytest.approx(76.2 * 60 / 0.61)


def test_a_web_runs_no_faster_than_rated():
    run = timed(web(rated_m_per_min=100), web_work())
    assert run.cycles_per_hour == pytest.approx(100 * 60 / 0.61)
    assert "100.0 m/min" in run.because["cycles_per_hour"]
    # Two pages across, two around on 0.61 m: 100 / 0.305 x 2, one side.
    assert "656 pages" in run.because["cycles_per_hour"]


@pytest.mark.parametrize(
    ("coverage", "share"), [(0.07, 1.0), (0.075, 1.0), (0.08, 0.85), (0.16, 0.7), (0.5, 0.5)]
)
def test_drying_slows_an_aqueous_press_by_coverage(coverage, share):
    press = web(rated_m_per_min=100)
    run = timed(press, web_work(coverage=coverage))
    assert run.cycles_per_hour == pytest.approx(share * 100 * 60 / 0.61)


def test_the_heavier_side_sets_the_drying():
    work = web_work(back=BLACK, coverage=0.16)
    assert timed(web(rated_m_per_min=100), work).cycles_per_hour == pytest.approx(0.7 * 6000 / 0.61)


def test_uv_needs_no_drying_time():
    work = web_work(coverage=0.5)
    assert timed(label(), work).cycles_per_hour == pytest.approx(50.8 * 60 / 0.61)


def test_sheets_an_hour_are_rated_or_as_long_as_jetting_lets_them():
    assert timed(cut_sheet(), sheet_work()).cycles_per_hour == 4000
    slow = cut_sheet(jetting_khz=10)  # 25.4 m/min on sheets 0.5 m long
    assert timed(slow, sheet_work()).cycles_per_hour == pytest.approx(25.4 * 60 / 0.5)


def test_turning_the_sheet_halves_the_sheets_an_hour_but_not_the_web():
    one, two = sheet_work(), sheet_work(back=CMYK)
    assert timed(cut_sheet(), two).passes == 1
    assert timed(cut_sheet(), two).cycles_per_hour == timed(cut_sheet(), one).cycles_per_hour / 2
    both = cut_sheet(second_side_speed=1.0)
    assert timed(both, two).cycles_per_hour == 4000
    assert (
        timed(web(), web_work(back=CMYK)).cycles_per_hour
        == timed(web(), web_work()).cycles_per_hour
    )


@pytest.mark.parametrize(("gsm", "share"), [(60.0, 0.8), (61.0, 1), (300.0, 1), (301.0, 0.8)])
def test_thin_and_heavy_stock_run_slower(gsm, share):
    run = timed(cut_sheet(), sheet_work(stock=paper(grammage_gsm=gsm)))
    assert run.cycles_per_hour == pytest.approx(4000 * share)


def test_reel_and_pile_changes_take_their_minutes():
    # 6,000 m last 60 min at 100 m/min; 6 min for the next reel: a tenth more time.
    press = web(rated_m_per_min=100, reel_change_min=6)
    assert timed(press, web_work()).cycles_per_hour == pytest.approx(6000 / 0.61 / 1.1)
    # 480 mm of 120 um are 4,000 sheets: an hour, and 3 min.
    piles = cut_sheet(pile_mm=480)
    assert timed(piles, sheet_work()).cycles_per_hour == pytest.approx(4000 / 1.05)


def test_the_share_of_time_running_comes_off():
    run = timed(cut_sheet(running_share=0.8), sheet_work())
    assert run.cycles_per_hour == pytest.approx(3200)


# ------------------------------------------------------------------ carriage


@pytest.mark.parametrize(("ruling", "passes"), [(75.0, 4), (76.0, 8), (120.0, 8), (150.0, 16)])
def test_the_ruling_chooses_the_passes_and_they_divide_the_speed(ruling, passes):
    work = laid(sheet_work(ruling_lpi=ruling).part, 1000, 2000, REEL, 8)
    assert timed(roll(), work).cycles_per_hour == pytest.approx(160 / passes / 2)


def test_loading_by_hand_adds_to_each_board():
    work = laid(sheet_work(ruling_lpi=100).part, 1250, 800, SHEET, 8)  # 1 m2 at 50 m2/h: 72 s
    assert timed(flatbed(), work).cycles_per_hour == pytest.approx(50)
    assert timed(flatbed(load_s=48), work).cycles_per_hour == pytest.approx(30)


def test_white_takes_passes_of_its_own():
    press = garment(white_speed=0.4, load_s=20, passes_by_ruling=[[150, 4]])
    light, dark = shirt_work("light"), shirt_work("dark")
    # 0.06 m2 at 5 m2/h are 43.2 s, with white 108 s.
    assert 3600 / timed(press, light).cycles_per_hour == pytest.approx(63.2)
    assert 3600 / timed(press, dark).cycles_per_hour == pytest.approx(128)


def test_white_of_the_jobs_own_counts_too():
    work = replace(
        shirt_work("light"), part=with_inks(shirt_work("light").part, (*CMYK, WHITE), coverage=0.4)
    )
    press = garment(white_speed=0.5)
    plain = timed(press, shirt_work("light")).cycles_per_hour
    assert timed(press, work).cycles_per_hour == pytest.approx(plain / 2)


def test_two_sides_of_a_garment_are_two_loads():
    run = timed(garment(make_ready_cycles=2, running_waste=0.02), shirt_work(back=True))
    assert run.passes == 2
    assert run.cycles_per_hour == timed(garment(), shirt_work()).cycles_per_hour
    assert run.make_ready_cycles == 4
    assert run.running_waste == pytest.approx(0.04)


def test_a_board_that_takes_over_an_hour_is_not_run():
    work = laid(sheet_work().part, 3000, 1600, SHEET, 8)
    assert speed(flatbed(one_pass_m2_per_hour=76), work) is None  # 4.8 m2 at 4.75 m2/h
    assert speed(flatbed(one_pass_m2_per_hour=78), work) is not None


# ------------------------------------------------------------------ make-ready, waste, drying


def test_make_ready_by_metres_on_a_web_and_by_sheets_on_sheets():
    assert timed(web(make_ready_m=40), web_work()).make_ready_cycles == 66  # 40 / 0.61 = 65.6
    assert timed(cut_sheet(make_ready_cycles=4), sheet_work()).make_ready_cycles == 4


def test_the_same_stock_again_saves_its_set_up_and_nothing_is_washed():
    press = cut_sheet(make_ready_min=8, stock_change_min=5)
    work = sheet_work()
    assert timed(press, work).make_ready_min == 13
    again = replace(work, previous=Previous("inkjet", CMYK, "paper"))
    other = replace(work, previous=Previous("inkjet", CMYK, "other"))
    assert timed(press, again).make_ready_min == 8
    assert timed(press, other).make_ready_min == 13
    assert timed(press, other).wash_up_min == 0


def test_drying_depends_on_the_surface():
    press = cut_sheet(drying_untreated_h=2)
    assert timed(press, sheet_work()).drying_h == 0
    assert timed(press, sheet_work(stock=paper(treated=False))).drying_h == 2
    coated = sheet_work(stock=paper(grade="coated", treated=False))
    assert timed(cut_sheet(drying_untreated_h=2, primer_gsm=1), coated).drying_h == 0
    assert timed(label(), sheet_work(stock=paper(treated=False))).drying_h == 0
    solvent = inkjet("scanning", "solvent", "reel", one_pass_m2_per_hour=100, drying_h=24)
    assert timed(solvent, web_work()).drying_h == 24
    assert timed(garment(), shirt_work()).drying_h == 0


# ------------------------------------------------------------------ money


def test_ink_by_drop_addressability_and_coverage():
    # Four inks at 25 % on 4 x 0.03108 m2: 0.12432 m2 of solid; 600 dpi of 4 x 5 x 0.5 pl: 5.58 ml.
    press = cut_sheet(grey_levels=4, ink_limit_share=0.5)
    ink = charged(press, sheet_work(coverage=0.25))["ink"]
    assert ink.per == "cycle"
    assert ink.amount * 1000 == pytest.approx(0.12432 * 5.58, rel=1e-3)
    assert ink.unit_cost == 40
    both = charged(press, sheet_work(back=CMYK, coverage=0.25))["ink"]
    assert both.amount == pytest.approx(2 * ink.amount)


def test_white_and_varnish_have_their_own_price_and_layer():
    press = flatbed(
        channels=[*(ink.name for ink in CMYK), "white", "varnish"],
        white_ink_price_per_l=100,
        varnish_price_per_l=60,
        white_times=2,
    )
    spent = money(press, sheet_work(front=(*CMYK, WHITE, VARNISH), coverage=0.5))
    solid_litres = 0.5 * 0.12432 * 2.79 / 1000
    assert spent["ink"] == pytest.approx(4 * solid_litres * 40, rel=1e-3)
    assert spent["white ink"] == pytest.approx(2 * solid_litres * 100, rel=1e-3)
    flood_litres = solid_litres / 0.5  # a varnish covers all unless it is told less
    assert spent["varnish"] == pytest.approx(flood_litres * 60, rel=1e-3)


@pytest.mark.parametrize(("coverage", "share"), [(0.1, 0.4), (0.25, 1.0), (0.4, 1.0)])
def test_white_goes_under_the_colours_on_dark_stock(coverage, share):
    press = garment(white_ink_price_per_l=100, white_times=4)
    spent = money(press, shirt_work(coverage=coverage))
    assert spent["white ink"] == pytest.approx(share * 0.06 * 2.79 * 4 / 10, rel=1e-3)
    assert "white ink" not in money(press, shirt_work("light", coverage=coverage))
    two = money(press, shirt_work(back=True, coverage=coverage))
    assert two["white ink"] == pytest.approx(2 * spent["white ink"])


def test_white_goes_under_every_piece_of_a_dark_sheet():
    press = flatbed(channels=["black", "white"], white_times=1, white_ink_price_per_l=100)
    spent = money(press, sheet_work(stock=paper(tone="dark"), front=BLACK, coverage=0.5))
    assert spent["white ink"] == pytest.approx(0.5 * 0.12432 * 2.79 / 10, rel=1e-3)


def test_no_second_white_under_a_side_that_has_it():
    work = shirt_work()
    listed = replace(work, part=with_inks(work.part, (*CMYK, WHITE), coverage=0.4))
    press = garment(white_times=1)
    assert charged(press, listed)["white ink"].amount == pytest.approx(
        0.4 * charged(press, work)["white ink"].amount
    )


def test_each_start_purges_ink():
    assert money(cut_sheet(purge_ml=50), sheet_work())["ink purged"] == pytest.approx(2.0)
    assert charged(garment(purge_ml=50), shirt_work(back=True))["ink purged"].amount == 0.1
    assert charged(cut_sheet(), sheet_work())["ink purged"].per == "job"
    assert "ink purged" not in charged(cut_sheet(purge_ml=0), sheet_work())


def test_a_click_counts_area_and_sides_and_may_pay_for_the_ink():
    press = web(click_price=0.004, click_area_m2=0.061)
    work = web_work(back=CMYK)  # 0.52 x 0.61 m: 5.2 clicks a side
    assert money(press, work).keys() == {"clicks"}
    assert money(press, work)["clicks"] == pytest.approx(2 * 5.2 * 0.004)
    apart = web(click_price=0.004, click_covers_ink=False)
    assert charged(apart, work).keys() == {"clicks", "ink", "ink purged"}
    assert "clicks" not in charged(web(), work)


def test_primer_lies_on_untreated_coated_stock():
    press = cut_sheet(primer_gsm=1.2, primer_price_per_kg=6)
    coated = paper(grade="coated", treated=False)
    primer = charged(press, sheet_work(stock=coated, back=CMYK))["primer"]
    assert (primer.per, primer.unit_cost) == ("kilogram", 6)
    assert primer.amount == pytest.approx(2 * 0.35 * 1.2 / 1000)
    assert "primer" not in charged(press, sheet_work(stock=replace(coated, treated=True)))
    assert "primer" not in charged(cut_sheet(), sheet_work(stock=coated))
    uncoated = paper(treated=False)
    assert "primer" not in charged(press, sheet_work(stock=uncoated, coverage=0.0375))
    assert "primer" in charged(press, sheet_work(stock=uncoated, coverage=0.038))


def test_a_dark_garment_is_pre_treated():
    spray = charged(garment(), shirt_work())["pre-treatment"]
    assert spray.amount == pytest.approx(0.06 * 0.2)
    assert spray.unit_cost == pytest.approx(13.2)
    assert "default: 0.0132 USD/g" in spray.source
    for work in (shirt_work("light"), shirt_work(treated=True)):
        assert "pre-treatment" not in charged(garment(), work)


def test_the_dryer_draws_power_by_the_hour():
    power = charged(web(dryer_kw=50), web_work())["power of dryer or lamps"]
    assert (power.per, power.amount, power.unit_cost) == ("hour", 50, 0.18)


def test_nothing_is_a_carrier():
    assert all(charge.stage != "carrier" for charge in cost(web(), web_work()))


# ------------------------------------------------------------------ limits


def test_spot_inks_are_simulated_only_where_the_job_allows_it():
    spot = Ink("harbour blue", "spot")
    refused = codes(cut_sheet(), sheet_work(front=(spot,)).part)["ink_unavailable"]
    assert refused.severity == "limit"
    assert '"may_simulate": true' in refused.remedy
    allowed = codes(cut_sheet(), sheet_work(front=(replace(spot, may_simulate=True),)).part)
    assert allowed["ink_simulated"].severity == "caution"
    assert "ink_unavailable" not in allowed
    held = cut_sheet(channels=["cyan", "magenta", "yellow", "black", "harbour blue"])
    assert (
        not {"ink_unavailable", "ink_simulated"}
        & codes(held, sheet_work(front=(spot,)).part).keys()
    )


@pytest.mark.parametrize("ink", [WHITE, VARNISH])
def test_white_and_varnish_need_their_heads(ink):
    refused = codes(flatbed(), sheet_work(front=(replace(ink, may_simulate=True),)).part)
    assert "may_simulate" not in refused["ink_unavailable"].remedy
    has = flatbed(channels=["black", ink.kind])
    assert "ink_unavailable" not in codes(has, sheet_work(front=(ink,)).part)


def test_a_mono_press_has_nothing_to_simulate_with():
    spot = Ink("harbour blue", "spot", may_simulate=True)
    found = codes(cut_sheet(channels=["black"]), sheet_work(front=(spot,)).part)
    assert found["ink_unavailable"].asked == "harbour blue"


def test_dark_stock_needs_white():
    press = garment(channels=["cyan", "magenta", "yellow", "black"])
    assert codes(press, shirt_work().part)["no_white_on_dark"].severity == "limit"
    assert "no_white_on_dark" not in codes(press, shirt_work("light").part)
    assert "no_white_on_dark" not in codes(garment(), shirt_work().part)


def test_clear_film_is_better_with_white():
    clear = paper(grade="film", finish="clear")
    bare = codes(label(), sheet_work(stock=clear).part)
    assert bare["no_white_on_clear"].severity == "caution"
    backed = sheet_work(stock=clear, front=(*CMYK, WHITE)).part
    assert "no_white_on_clear" not in codes(label(), backed)
    assert "no_white_on_clear" not in codes(label(), sheet_work().part)


def test_film_must_hold_the_ink():
    film = sheet_work(stock=paper(grade="film", treated=False)).part
    assert codes(label(), film)["adhesion"].severity == "caution"
    assert "adhesion" not in codes(label(corona_treater=True), film)
    assert "adhesion" not in codes(label(), sheet_work(stock=paper(grade="film")).part)


def test_coated_stock_needs_treatment_or_primer():
    coated = sheet_work(stock=paper(grade="coated", treated=False)).part
    assert codes(cut_sheet(), coated)["coating_untreated"].severity == "limit"
    primed = codes(cut_sheet(primer_gsm=1), coated)
    assert primed["primed"].severity == "caution"
    assert "coating_untreated" not in primed
    assert not {"coating_untreated", "primed"} & codes(label(), coated).keys()
    treated = sheet_work(stock=paper(grade="coated")).part
    assert not {"coating_untreated", "primed"} & codes(cut_sheet(primer_gsm=1), treated).keys()


def test_uncoated_paper_takes_little_aqueous_ink_untreated():
    plain = paper(treated=False)
    assert "coverage_untreated" not in codes(web(), sheet_work(stock=plain, coverage=0.0375).part)
    found = codes(web(), sheet_work(stock=plain, coverage=0.05).part)["coverage_untreated"]
    assert (found.severity, found.asked, found.limit) == ("caution", pytest.approx(20), 15)
    assert "coverage_untreated" not in codes(web(), sheet_work(coverage=0.05).part)
    assert "coverage_untreated" not in codes(label(), sheet_work(stock=plain, coverage=0.05).part)


def test_heavy_coverage_is_told_on_aqueous_presses():
    heavy, light = sheet_work(coverage=0.08).part, sheet_work(coverage=0.075).part
    assert codes(web(), heavy)["coverage_heavy"].limit == 30
    assert "coverage_heavy" not in codes(web(), light)
    assert "coverage_heavy" not in codes(label(), heavy)
    assert "coverage_heavy" not in codes(garment(), shirt_work().part)


def test_a_pre_treated_garment_is_told():
    assert codes(garment(), shirt_work().part)["pretreated"].severity == "caution"
    assert "pretreated" not in codes(garment(), shirt_work("light").part)


def test_only_vapour_of_solvents_burns():
    solvent = inkjet("scanning", "solvent", "reel", one_pass_m2_per_hour=100)
    part = sheet_work().part
    assert "can burn" in codes(solvent, part)["safety_fumes"].message
    assert "can burn" not in codes(roll(), part)["safety_fumes"].message


def test_out_of_doors_aqueous_ink_is_refused():
    outdoor = job(uses=("outdoor",))
    refused = codes(cut_sheet(), sheet_work().part, outdoor)["outdoor"]
    assert refused.severity == "limit"
    assert "UV, latex or solvent" in refused.remedy
    for press in (roll(), flatbed()):
        assert "outdoor" not in codes(press, sheet_work().part, outdoor)
    assert "outdoor" not in codes(cut_sheet(), sheet_work().part)


def test_food_contact_and_tone_steps():
    wanted = job(uses=("food_contact",))
    assert codes(flatbed(), sheet_work().part, wanted)["food_contact"].severity == "caution"
    # (600 / 150)^2 cells of one level: 17 steps; of four levels: 65.
    part = sheet_work(tone_steps=40).part
    assert codes(web(), part)["tone_steps_below"].limit == 17
    assert "tone_steps_below" not in codes(web(grey_levels=4), part)
    assert codes(web(dpi_across=300), part)["tone_steps_below"].limit == 5


def test_the_usual_limits_and_no_limit_on_variable_data():
    part = sheet_work(
        stock=paper(caliper_um=900.0, grammage_gsm=500.0),
        ruling_lpi=175.0,
        min_type_pt=3.0,
        min_reverse_type_pt=5.0,
        min_line_pt=0.2,
        register_mm=0.1,
        variable_share=1.0,
    ).part
    found = codes(cut_sheet(), replace(part, front=Side(CMYK, 0.05, 250.0)), job(quality="fine"))
    assert {
        "caliper_outside",
        "grammage_outside",
        "ruling_too_fine",
        "type_too_small",
        "reverse_type_too_small",
        "line_too_fine",
        "register_too_tight",
        "quality_above",
        "total_coverage",
    } == found.keys() - {"safety_heat"}


def test_a_delicate_piece_is_not_touched():
    part = sheet_work().part
    assert codes(cut_sheet(), part, job(uses=("delicate",))) == codes(cut_sheet(), part)


@pytest.mark.parametrize(
    ("press", "part", "hazards"),
    [
        (cut_sheet(), sheet_work().part, {"heat"}),
        (web(), sheet_work().part, {"heat", "nips"}),
        (label(lamps="led"), sheet_work().part, {"uv", "nips"}),
        (label(lamps="mercury"), sheet_work().part, {"uv", "nips", "ozone"}),
        (label(corona_treater=True), sheet_work().part, {"uv", "nips", "ozone"}),
        (roll(), sheet_work().part, {"fumes", "heat", "carriage"}),
        (flatbed(), sheet_work().part, {"uv", "carriage"}),
        (garment(), shirt_work("light").part, {"heat", "carriage"}),
        (garment(), shirt_work().part, {"heat", "carriage", "mist"}),
    ],
)
def test_each_press_tells_its_own_hazards(press, part, hazards):
    found = [each for code, each in codes(press, part).items() if code.startswith("safety_")]
    assert {each.code for each in found} == {f"safety_{hazard}" for hazard in hazards}
    assert all(each.severity == "caution" for each in found)
    assert all("local codes and licensed practice" in each.remedy for each in found)


# ------------------------------------------------------------------ schema, process, core


@pytest.mark.parametrize(
    ("make", "missing"),
    [
        (cut_sheet, "jetting_khz"),
        (cut_sheet, "rated_sheets_per_hour"),
        (web, "rated_m_per_min"),
        (roll, "one_pass_m2_per_hour"),
    ],
)
def test_a_press_must_say_what_its_speed_follows_from(make, missing):
    with pytest.raises(ValidationError) as fault:
        make(**{missing: 0})
    assert set(fault.value.messages) == {missing}


def test_a_press_has_at_least_one_ink():
    with pytest.raises(ValidationError, match="At least one ink"):
        cut_sheet(channels=[])


def test_every_default_has_a_unit_and_a_source():
    for name, field in press_schema()().fields.items():
        if isinstance(field.load_default, int | float):
            assert field.metadata["x-source"], name
            assert isinstance(field.load_default, bool) or field.metadata["x-unit"], name


def test_the_facts_of_the_process():
    about = process()
    assert (about.id, about.variable_data, about.impresses) == ("dod_inkjet", True, False)
    assert about.quality == (0.85, 1.0)


@pytest.mark.parametrize(
    ("press", "part"),
    [
        (cut_sheet(), leaf(stock=paper())),
        (web(), leaf(210, 297, kind="section", pages=32, flat_width_mm=840, flat_height_mm=1188,
                     stock=paper(sheets=(), reels=(REEL,)))),
        (roll(), replace(leaf(stock=paper(sheets=(), reels=(REEL,))), back=Side())),
        (label(), replace(leaf(60, 80, kind="label", stock=paper(sheets=(), reels=(REEL,))),
                          back=Side())),
        (garment(), leaf(200, 300, kind="piece", stock=shirt())),
    ],
)  # fmt: skip
def test_the_core_lays_work_out_for_every_feed(press, part):
    laid_out = works(part, press.feed)
    assert laid_out
    for work in laid_out:
        timed(press, work)
        assert "ink" in charged(press, work)
