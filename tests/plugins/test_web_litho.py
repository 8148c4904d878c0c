"""The web litho model: plates that fill cylinders, F + r x run, ovens, reels, what it refuses."""

from dataclasses import replace

import numpy as np
import pytest

from reference.of_process_web_litho import (
    HEATSET,
    NEWS,
    REEL,
    run_of,
    web_part,
    web_press,
    web_stock,
    web_work,
)
from shop import CMYK, job, with_inks
from sidelay.imposition.works import works
from sidelay.job import Ink, Previous
from sidelay.promises import checked_charges, checked_findings, checked_run
from sidelay_web_litho import constraints, cost, process, speed
from sidelay_web_litho.emission import voc_kg
from sidelay_web_litho.running import further_colours, web_m_per_s

# Waste [%] of a run [copies], Russian press ministry Order 155, 2002: what was read of it.
TABLE_6 = {
    "1+1": {5_000: 11.6, 20_000: 4.0, 50_000: 2.5, 100_000: 2.0},
    "2+1": {2_000: 39.3, 5_000: 16.8, 10_000: 9.3, 50_000: 3.1},
}
TABLE_2 = {"1+1": {10_000: 12.3, 50_000: 4.5}, "2+1": {10_000: 13.5, 50_000: 5.3}}
UV = HEATSET | {"drying": "uv"}
COATED = web_stock(grade="coated", grammage_gsm=90.0)


def fitted(points):
    """F [copies] and r [%] of waste % = 100 F / run + r, least squares of the relative error."""
    runs, wanted = np.array(list(points)), np.array(list(points.values()))
    lines = np.column_stack([100 / runs, np.ones_like(wanted)])
    (fixed, share), *_ = np.linalg.lstsq(lines / wanted[:, None], np.ones_like(wanted), rcond=None)
    worst = np.abs(lines @ [fixed, share] / wanted - 1).max()
    return fixed, share, worst


def codes(press, part, wanted=None):
    return {each.code: each for each in constraints(press, part, wanted or job(quality="office"))}


def charges(press, work):
    found = checked_charges(cost(press, work))
    assert all(charge.because and charge.source for charge in found)
    return {charge.label: charge for charge in found}


@pytest.mark.parametrize(("colours", "front"), [("1+1", 1), ("2+1", 2)])
def test_make_ready_and_running_waste_are_the_fit_of_the_newspaper_table(colours, front):
    fixed, share, worst = fitted(TABLE_6[colours])
    run = run_of(web_press(), web_work(web_part(front, 1)))
    assert worst < 0.05
    assert run.make_ready_cycles == pytest.approx(fixed, rel=0.02)
    # The defaults were fitted to every row; the four rows of 2+1 here alone give 1.59, not 1.67 %.
    assert 100 * run.running_waste == pytest.approx(share, rel=0.06)


@pytest.mark.parametrize("colours", list(TABLE_2))
def test_the_larger_press_of_the_same_order_is_the_same_model_with_other_figures(colours):
    # Its whole table was fitted to about 990 to 1,040 copies and 2.3 to 3.0 %, 8 to 9 % off at
    # worst. Its two rows that were read settle two figures and so lie a little beside that fit.
    fixed, share, _ = fitted(TABLE_2[colours])
    assert 0.91 * 990 <= fixed <= 1.09 * 1040
    assert 0.91 * 2.3 <= share <= 1.09 * 3.0


def test_the_web_with_most_inks_decides_the_start_and_further_webs_add_little():
    one, four = web_work(web_part(4, 4)), web_work(web_part(4, 4), webs=4)
    assert further_colours(one) == further_colours(four) == 6
    assert run_of(web_press(), one).make_ready_cycles == 505 + 6 * 255
    assert run_of(web_press(), four).make_ready_cycles == 505 + 6 * 255 + 3 * 100


@pytest.mark.parametrize(("across", "around"), [(1, 1), (2, 1), (2, 2)])
def test_plates_fill_the_cylinders(across, around):
    press = web_press(plates_across=across, plates_around=around)
    plates = charges(press, web_work(web_part(4, 4), webs=2))["plates"]
    assert plates.amount == 16 * across * around
    assert plates.life == 250_000 * around
    assert (plates.stage, plates.per) == ("carrier", "carrier")


def test_make_ready_minutes_are_start_plates_folder_and_reels():
    press = web_press(plates_across=2)
    run = run_of(press, web_work(web_part(1, 1)))
    assert run.make_ready_min == 15 + 4 * 2 + 40 + 25
    assert run_of(press, web_work(web_part(1, 1), delivery="sheet")).make_ready_min == 15 + 8 + 25


def test_a_single_cylinder_round_cannot_collect_unlike_cut_offs():
    collected = web_work(web_part(pages=8), cycles_per_piece=2)
    assert speed(web_press(plates_around=1), collected) is None
    straight, collects = (
        run_of(web_press(plates_around=2), work) for work in (web_work(), collected)
    )
    assert collects.cycles_per_hour == straight.cycles_per_hour


def test_news_runs_at_its_share_of_the_rated_speed():
    assert run_of(web_press(), web_work()).cycles_per_hour == pytest.approx(30_000 * 0.75)


@pytest.mark.parametrize(
    ("figures", "share"),
    [
        ({"grammage_gsm": 115.0}, 1.0),
        ({"grammage_gsm": 150.0}, 115 / 150),
        ({"grammage_gsm": 42.0}, 1.0),
        ({"grammage_gsm": 40.0}, 0.9),
    ],
)
def test_an_oven_takes_so_many_kilograms_an_hour(figures, share):
    part = web_part(4, 4, stock=web_stock(grade="coated", **figures))
    run = run_of(web_press(HEATSET), web_work(part))
    assert run.cycles_per_hour == pytest.approx(50_000 * share)


def test_coverage_slows_the_oven():
    heavy, light = (web_part(4, 4, coverage, stock=COATED) for coverage in (0.6, 0.5))
    net = [run_of(web_press(HEATSET), web_work(part)).cycles_per_hour for part in (heavy, light)]
    assert net[0] == pytest.approx(0.9 * net[1])


def test_the_fastest_web_holds_long_cut_offs_back():
    press = web_press(HEATSET, max_web_m_per_min=300)
    net = run_of(press, web_work(web_part(stock=COATED), length_mm=620)).cycles_per_hour
    assert net == pytest.approx(300 * 60 / 0.620)
    assert web_m_per_s(net, 620) == pytest.approx(5.0)


def test_without_a_splicer_the_press_stops_for_every_reel_of_every_web():
    press, work = web_press(splicer=False), web_work(webs=2)
    # 10,000 m are 17,301 cut-offs of 578 mm: 46.1 min at 22,500 an hour, then 2 x 8 min.
    cutoffs = 10_000 / 0.578
    hours = cutoffs / 22_500 + 2 * 8 / 60
    assert run_of(press, work).cycles_per_hour == pytest.approx(cutoffs / hours)
    assert "reels every 17,301" in run_of(press, work).because["cycles_per_hour"]
    assert run_of(web_press(), work).cycles_per_hour == 22_500


def test_a_spot_ink_is_washed_out_of_every_unit_that_holds_it():
    part = web_part(5, 1)
    press = web_press(inks_per_side=5, all_units_wash_min=600)
    assert run_of(press, web_work(part)).wash_up_min == 5 + 2 * 30
    assert run_of(press, web_work(web_part(4, 4))).wash_up_min == 5
    assert run_of(
        web_press(inks_per_side=5, all_units_wash_min=50), web_work(part)
    ).wash_up_min == (5 + 50)


def test_light_after_dark_takes_longer_and_the_same_inks_need_no_wash():
    part = web_part(front=0, back=0)
    part = replace(part, front=replace(part.front, inks=(Ink("yellow"),), coverage=0.1))
    press = web_press(all_units_wash_min=600)
    after = {
        name: run_of(
            press, web_work(part, previous=Previous("news", (Ink(name),), part.stock.id))
        ).wash_up_min
        for name in ("black", "yellow")
    }
    assert after == {"black": 5 + 30 + 20, "yellow": 5}


def test_ink_is_area_times_coverage_times_film_of_the_stock():
    by_label = charges(web_press(), web_work(web_part(4, 4, 0.25)))
    solid = 2 * 0.25 * 0.8 * 0.578
    assert by_label["black ink"].amount == pytest.approx(solid * 2.1 / 1000)
    assert by_label["colour ink"].amount == pytest.approx(3 * solid * 2.1 / 1000)
    coated = charges(web_press(HEATSET), web_work(web_part(4, 4, 0.25, stock=COATED)))
    assert coated["black ink"].amount == pytest.approx(solid * 1.7 / 1000)


def test_a_spot_ink_leaves_some_behind():
    by_label = charges(web_press(inks_per_side=5), web_work(web_part(5, 1)))
    assert by_label["special ink left over"].amount == 1
    assert by_label["special ink"].unit_cost == 20
    two = charges(web_press(inks_per_side=6), web_work(web_part(6, 1)))
    assert two["special ink left over"].amount == 2


def test_fount_goes_on_every_printed_side_of_every_web():
    area = 0.813 * 0.578
    amounts = {
        (back, webs): charges(web_press(), web_work(web_part(1, back), webs))[
            "fount solution"
        ].amount
        for back in (0, 1)
        for webs in (1, 4)
    }
    assert amounts[0, 1] == pytest.approx(area * 2 / 1000)
    assert amounts[1, 4] == pytest.approx(8 * area * 2 / 1000)


def test_an_oven_burns_gas_by_the_kilogram_and_silicone_wets_both_sides():
    by_label = charges(web_press(HEATSET), web_work(web_part(4, 4, stock=COATED)))
    area = 0.813 * 0.578
    assert by_label["oven gas"].amount == pytest.approx(area * 0.090 * 0.45)
    assert by_label["silicone"].amount == pytest.approx(2 * area * 1.5 / 1000)
    # 1,000 x 8 inks x 0.2 x 0.4624 m2 at 1.7 g/m2 = 1.258 kg; x 0.36 x 0.8 x 0.05 = 0.018 kg.
    assert "42 g of paper" in by_label["oven gas"].because
    assert "0.018 kg of vapour" in by_label["oven gas"].because


def test_lamps_burn_while_the_press_is_manned_and_nothing_else_has_an_oven():
    lamps = charges(web_press(UV), web_work(web_part(4, 4, stock=COATED)))
    assert (lamps["lamps"].per, lamps["lamps"].amount) == ("hour", 30)
    assert {"oven gas", "silicone"}.isdisjoint(lamps)
    assert {"oven gas", "silicone", "lamps"}.isdisjoint(charges(web_press(), web_work()))


def test_vapour_is_oil_that_neither_stays_nor_burns():
    assert voc_kg(1000, 0.36, 0.2) == pytest.approx(288)
    assert voc_kg(1000, 0.36, 0.2, captured_share=1, destroyed_share=0.95) == pytest.approx(14.4)
    assert voc_kg(1000, 0.36, 0.2, captured_share=0.4, destroyed_share=0.5) == pytest.approx(230.4)
    # Recycled newsprint was measured to keep 100.55 %: nothing comes back out of the air.
    assert voc_kg(1000, 0.24, 1.0055) == 0


@pytest.mark.parametrize(
    ("part", "code", "limit"),
    [
        (web_part(stock=web_stock(grade="coated")), "grade_unsuitable", "newsprint, uncoated"),
        (web_part(stock=web_stock(grammage_gsm=90.0)), "grammage_outside", "40 to 80"),
        (web_part(stock=web_stock(caliper_um=300.0)), "caliper_outside", "35 to 200"),
        (web_part(ruling_lpi=133.0), "ruling_too_fine", 102),
        (web_part(min_type_pt=6.5), "type_too_small", 7),
        (web_part(min_reverse_type_pt=9), "reverse_type_too_small", 10),
        (web_part(min_line_pt=0.2), "line_too_fine", 0.25),
        (with_inks(web_part(register_mm=0.1), CMYK), "register_too_tight", 0.127),
        (web_part(variable_share=0.1), "variable_data", 0),
        # (1,270 / 85)^2 + 1 steps at 85 lines an inch
        (web_part(tone_steps=256), "tone_steps_below", 224),
        (web_part(5, 1), "too_many_inks", 4),
    ],
)
def test_a_limit_says_what_would_clear_it(part, code, limit):
    finding = codes(web_press(), part)[code]
    assert (finding.severity, finding.limit) == ("limit", limit)
    assert finding.remedy


@pytest.mark.parametrize("kind", ["white", "metallic", "fluorescent", "varnish"])
def test_an_ink_without_a_unit_is_refused(kind):
    part = web_part()
    part = replace(part, front=replace(part.front, inks=(Ink("special", kind),)))
    assert codes(web_press(), part)["ink_unavailable"].severity == "limit"
    if kind != "white":
        assert "ink_unavailable" not in codes(web_press(ink_kinds=[kind, "process"]), part)


@pytest.mark.parametrize(
    ("part", "code", "limit"),
    [
        (web_part(4, 1, 0.6), "total_coverage", 220),
        (web_part(2, 1, min_type_pt=8), "colour_type_small", 10),
        (web_part(2, 1, min_reverse_type_pt=11), "colour_reverse_type_small", 12),
    ],
)
def test_a_caution_leaves_the_press_in(part, code, limit):
    finding = codes(web_press(), part)[code]
    assert (finding.severity, finding.limit) == ("caution", limit)


def test_type_in_one_ink_is_no_type_in_colours():
    found = codes(web_press(), web_part(1, 1, min_type_pt=8, min_reverse_type_pt=11))
    assert set(found) == {"safety_nips"}


def test_moist_coated_stock_blisters_in_an_oven_only():
    heavy = web_part(4, 4, stock=web_stock(grade="coated", grammage_gsm=130.0))
    assert codes(web_press(HEATSET), heavy)["blister"].limit == 115
    assert "blister" not in codes(web_press(HEATSET), web_part(4, 4, stock=COATED))
    assert "blister" not in codes(web_press(UV), heavy)
    uncoated = replace(heavy, stock=replace(heavy.stock, grade="uncoated"))
    assert "blister" not in codes(web_press(HEATSET), uncoated)


@pytest.mark.parametrize(
    ("base", "hazards"),
    [
        (NEWS, {"safety_nips"}),
        (HEATSET, {"safety_nips", "safety_oven"}),
        (UV, {"safety_nips", "safety_uv"}),
    ],
)
def test_a_press_warns_of_its_own_hazards(base, hazards):
    found = codes(web_press(base), web_part())
    warned = {code for code in found if code.startswith("safety_")}
    assert warned == hazards
    assert all("local" in found[code].remedy for code in warned)


@pytest.mark.parametrize(
    ("use", "code", "severity"),
    [
        ("food_contact", "food_contact", "caution"),
        ("outdoor", "outdoor", "caution"),
        ("delicate", "contact_pressure", "limit"),
    ],
)
def test_what_the_piece_is_for(use, code, severity):
    found = codes(web_press(), web_part(), job(quality="office", uses=(use,)))
    assert found[code].severity == severity
    assert code not in codes(web_press(), web_part())


@pytest.mark.parametrize("base", [NEWS, HEATSET, UV])
def test_answers_keep_the_promises_and_every_figure_has_its_reason(base):
    part = web_part(4, 4, stock=COATED)
    press, work = web_press(base), web_work(part)
    run = checked_run(speed(press, work))
    checked_findings(constraints(press, part, job()))
    assert charges(press, work)
    assert run.drying_h == 0
    assert {
        "passes",
        "make_ready_min",
        "make_ready_cycles",
        "cycles_per_hour",
        "running_waste",
        "wash_up_min",
        "drying_h",
    } <= set(run.because)


def test_sixteen_tabloid_pages_through_the_core_straight_and_collected():
    stock = web_stock(reels=(REEL,))
    part = web_part(
        4, 4, kind="section", width_mm=289, height_mm=380, pages=16, stock=stock, register_mm=None
    )
    press = web_press(plates_around=2, feed={"min_cutoff_mm": 578, "max_cutoff_mm": 578})
    found = [(work, speed(press, work)) for work in works(part, press.feed)]
    copies = {
        (work.layout.webs, work.layout.cycles_per_piece): run.cycles_per_hour
        * work.layout.pieces_per_cycle
        for work, run in found
    }
    # Two webs straight make the copy that one web makes collected, twice as fast.
    assert copies[2, 1] == 2 * copies[1, 2]
    plates = {work.layout.webs: cost(press, work)[0].amount for work, _ in found}
    assert plates[2] == 2 * plates[1]


def test_the_process_says_what_it_is():
    about = process()
    assert about.id == "web_litho"
    assert not about.impresses
    assert about.quality[0] < about.quality[1] <= 1.0
    assert set(about.sources) <= set(about.__dataclass_fields__)
