"""The letterpress model: one ink a pass, washes within a job, blocks and dies, what it refuses."""

from dataclasses import replace

import pytest

from reference.of_process_letterpress import (
    BLACK,
    RED,
    card,
    cotton,
    on_sheets,
    platen,
    run_of,
)
from shop import job, with_inks
from sidelay.imposition.works import works
from sidelay.job import Ink, Previous
from sidelay.promises import checked_charges, checked_findings, checked_process, checked_run
from sidelay_letterpress import constraints, cost, process, speed
from sidelay_letterpress.relief import base_mm, block_cm2, solid_cm2, type_height_mm

DEEP = card((BLACK,), coverage=0.1, stock=cotton(), impression="deep")
COPPER = Ink("copper", "metallic")


def codes(press, part, wanted=None):
    return {each.code: each for each in constraints(press, part, wanted or job())}


def charges(press, work):
    found = checked_charges(cost(press, work))
    assert all(charge.because and charge.source for charge in found)
    return {charge.label: charge for charge in found}


@pytest.mark.parametrize(
    ("front", "back", "turned", "units", "passes", "set_ups"),
    [
        ((BLACK,), (), False, 1, 1, 1),
        ((BLACK, RED), (BLACK, RED), False, 1, 4, 4),
        # Both sides from one form: set up twice, and each sheet meets each ink twice.
        ((BLACK, RED), (BLACK, RED), True, 1, 4, 2),
        ((BLACK, RED), (BLACK,), False, 2, 2, 2),
    ],
)
def test_one_ink_a_pass_and_a_make_ready_for_each(front, back, turned, units, passes, set_ups):
    run = run_of(platen(units=units), on_sheets(card(front, back), turned=turned))
    assert run.passes == passes
    assert run.make_ready_min == 20 + 30 + (set_ups - 1) * 30
    assert run.make_ready_cycles == set_ups * 30
    assert run.running_waste == pytest.approx(0.03 * passes)


def test_a_deep_impression_takes_other_packing_for_each_ink():
    flat = on_sheets(replace(DEEP, impression="flat"))
    deep = on_sheets(replace(DEEP, front=replace(DEEP.front, inks=(BLACK, RED))))
    assert run_of(platen(), flat).make_ready_min == 20 + 30
    assert run_of(platen(), deep).make_ready_min == 20 + 30 + 30 + 2 * 25


def test_the_same_stock_needs_no_setting_of_the_feeder():
    part = card()
    same = on_sheets(part, previous=Previous("platen", (BLACK,), part.stock.id))
    other = on_sheets(part, previous=Previous("platen", (BLACK,), "another"))
    assert run_of(platen(), other).make_ready_min - run_of(platen(), same).make_ready_min == 20


@pytest.mark.parametrize(
    ("front", "previous", "minutes", "washes"),
    [
        ((BLACK,), None, 20, 1),
        # One set of rollers: out between the inks, and again at the end.
        ((BLACK, RED), None, 40, 2),
        ((BLACK, COPPER), None, 60, 2),
        ((BLACK,), (BLACK,), 0, 0),
        ((RED,), (BLACK,), 40, 1),  # light after dark, 20 min more
        ((BLACK,), (RED,), 20, 1),
        ((BLACK, RED), (BLACK,), 20, 1),
    ],
)
def test_rollers_are_washed_between_the_inks_of_a_job_as_between_jobs(
    front, previous, minutes, washes
):
    part = card(front)
    before = Previous("platen", previous, part.stock.id) if previous else None
    work = on_sheets(part, previous=before)
    assert run_of(platen(), work).wash_up_min == pytest.approx(minutes)
    solvent = charges(platen(), work).get("wash")
    assert (solvent.amount if solvent else 0) == washes


def test_an_ink_that_stands_is_washed_out_only_for_another():
    press = platen(standing_inks=["black"])
    assert run_of(press, on_sheets(card((BLACK,)))).wash_up_min == 0
    assert run_of(press, on_sheets(card((BLACK, RED)))).wash_up_min == 40


def test_solvent_by_the_wash():
    wash = charges(platen(), on_sheets(card((BLACK, RED))))["wash"]
    assert wash.unit_cost * wash.amount == pytest.approx(2 * 0.06 * 6)
    assert "wash" not in charges(platen(wash_ml_per_colour=0), on_sheets())


QUIET = {"pile_change_min": 0, "photopolymer_life_impressions": 2_000_000}


@pytest.mark.parametrize(
    ("part", "share"),
    [
        (card(), 1.0),
        (card(stock=cotton(grade="uncoated", caliper_um=90.0)), 0.8),
        (card(stock=cotton(grade="uncoated", caliper_um=100.0)), 1.0),
        (card(stock=cotton(caliper_um=500.0)), 1.0),
        (card(stock=cotton()), 0.7),
        (card(coverage=0.3), 0.7),
        (card(coverage=0.29), 1.0),
        (card(stock=cotton(), coverage=0.4), 0.7 * 0.7),
    ],
)
def test_stock_and_solids_slow_the_press(part, share):
    net = run_of(platen(**QUIET), on_sheets(part)).cycles_per_hour
    assert net == pytest.approx(4000 * 0.6 * share, rel=0.001)


def test_a_deep_impression_is_printed_more_slowly():
    press = platen(**QUIET, die_life_impressions=2_000_000)
    net = run_of(press, on_sheets(DEEP)).cycles_per_hour
    assert net == pytest.approx(4000 * 0.6 * 0.7 * 0.8, rel=0.001)


def test_thick_stock_makes_short_piles():
    # 400 mm of 320 um are 1,250 sheets: 31.25 min at 2,400 an hour, then 4 min.
    press = platen(photopolymer_life_impressions=2_000_000)
    net = run_of(press, on_sheets()).cycles_per_hour
    assert net == pytest.approx(1250 / (31.25 + 4 + 1250 * 30 / 2e6) * 60)
    assert "every 1,250 sheets" in run_of(press, on_sheets()).because["cycles_per_hour"]
    assert "every 421 sheets" in run_of(press, on_sheets(DEEP)).because["cycles_per_hour"]


def test_worn_blocks_are_locked_up_anew():
    press = platen(carrier="type", pile_change_min=0)
    net = run_of(press, on_sheets()).cycles_per_hour
    assert 60 / net == pytest.approx(60 / 2400 + 30 / 30_000)


def test_blocks_by_printed_area_with_a_least_charge():
    blocks = charges(platen(), on_sheets(card((BLACK, RED)), up=2))["blocks"]
    assert block_cm2(on_sheets(up=2)) == 300
    assert blocks.unit_cost == pytest.approx(300 * 0.12)
    assert (blocks.amount, blocks.stage, blocks.per) == (2, "carrier", "carrier")
    assert (blocks.kind, blocks.lead_days) == ("outwork", 2)
    assert charges(platen(), on_sheets(up=1))["blocks"].unit_cost == 20


def test_blocks_made_in_house_are_material_at_once():
    blocks = charges(platen(block_lead_days=0), on_sheets())["blocks"]
    assert (blocks.kind, blocks.lead_days) == ("material", 0)


def test_a_deep_impression_takes_dearer_dies():
    dies = charges(platen(), on_sheets(DEEP, up=2))["dies"]
    assert dies.unit_cost == pytest.approx(300 * 0.2)
    assert (dies.life, dies.lead_days) == (100_000, 3)
    assert charges(platen(), on_sheets(DEEP, up=1))["dies"].unit_cost == 35


@pytest.mark.parametrize(
    ("carrier", "label", "impressions"),
    [
        ("photopolymer", "blocks", 250_000),
        ("type", "set type", 30_000),
        ("electro", "electros", 75_000),
    ],
)
def test_each_carrier_has_its_life_and_a_turned_sheet_wears_it_twice(carrier, label, impressions):
    press, part = platen(carrier=carrier), card((BLACK,), (BLACK,))
    assert charges(press, on_sheets(part))[label].life == impressions
    assert charges(press, on_sheets(part, turned=True))[label].life == impressions / 2


def test_block_and_base_reach_the_height_of_type():
    assert type_height_mm(0.918) == pytest.approx(23.32, abs=0.01)
    assert base_mm(platen(block_thickness_mm=1.5)) == pytest.approx(21.82, abs=0.01)
    type_press = platen(carrier="type")
    assert "a base of 21.82 mm" in charges(platen(), on_sheets())["blocks"].because
    assert "a base of 21.82 mm" in charges(type_press, on_sheets(DEEP))["dies"].because
    assert "base" not in charges(type_press, on_sheets())["set type"].because


def test_ink_is_area_times_coverage_times_film():
    by_label = charges(platen(), on_sheets(card((BLACK, COPPER), coverage=0.1), up=2))
    solid = 2 * 0.1 * 0.1 * 0.15
    assert by_label["ink"].amount == pytest.approx(solid * 2.0 / 1000)
    assert by_label["ink"].unit_cost == 32
    assert by_label["special ink"].unit_cost == 55
    assert by_label["ink left over"].amount == by_label["special ink left over"].amount == 0.05
    coated = on_sheets(card(stock=cotton(grade="coated")), up=2)
    assert charges(platen(), coated)["ink"].amount == pytest.approx(solid * 1.2 / 1000)


def test_a_platen_presses_its_whole_form_at_once():
    # 30 % of 150 cm2 are 45 cm2 a card.
    press, part = platen(max_solid_cm2=100), card(coverage=0.3)
    assert solid_cm2(on_sheets(part, up=2), on_sheets(part).forms[0]) == pytest.approx(90)
    assert speed(press, on_sheets(part, up=2)) is not None
    assert speed(press, on_sheets(part, up=3)) is None
    assert speed(platen(), on_sheets(part, up=3)) is not None
    assert "solid_too_large" not in codes(press, part)
    assert codes(press, card(coverage=0.7))["solid_too_large"].asked == pytest.approx(105)


def test_the_heavier_side_and_ink_decide_and_all_that_it_can_press_it_does():
    press = platen(max_solid_cm2=90)
    heavy_back = replace(card((BLACK,), (BLACK,)), back=replace(card().front, coverage=0.3))
    assert speed(press, on_sheets(heavy_back, up=2)) is not None
    assert speed(press, on_sheets(heavy_back, up=3)) is None
    assert codes(platen(max_solid_cm2=40), heavy_back)["solid_too_large"].asked == 45
    slow, fast = (run_of(platen(**QUIET), on_sheets(part)) for part in (heavy_back, card()))
    assert slow.cycles_per_hour == pytest.approx(0.7 * fast.cycles_per_hour, rel=1e-3)
    # In a form for both sides, black lies on both: 30 + 10 %, on half of the cards each.
    two = replace(heavy_back, front=replace(heavy_back.front, inks=(RED, BLACK)))
    work = on_sheets(two, up=2, turned=True)
    assert solid_cm2(work, work.forms[0]) == pytest.approx(0.4 * 150)


def test_a_form_for_both_sides_presses_each_side_on_half_of_its_pieces():
    part = card((BLACK,), (BLACK,), coverage=0.3)
    work = on_sheets(part, up=2, turned=True)
    assert solid_cm2(work, work.forms[0]) == pytest.approx(90)
    other = on_sheets(card((BLACK,), (RED,), coverage=0.3), up=2, turned=True)
    assert solid_cm2(other, other.forms[0]) == pytest.approx(45)


@pytest.mark.parametrize(
    ("part", "code", "limit"),
    [
        (card(ruling_lpi=133.0), "ruling_too_fine", 120),
        (card(min_type_pt=5), "type_too_small", 6),
        (card(min_reverse_type_pt=11), "reverse_type_too_small", 12),
        (card(min_line_pt=0.2), "line_too_fine", 0.25),
        (with_inks(card(register_mm=0.2), (Ink("black"), COPPER)), "register_too_tight", 0.3),
        (card(variable_share=0.1), "variable_data", 0),
        (card(stock=cotton(grammage_gsm=800.0)), "grammage_outside", "60 to 700"),
        (card(stock=cotton(caliper_um=70.0)), "caliper_outside", "80 to 1200"),
        (card(stock=cotton(grade="film")), "grade_unsuitable", "cotton, uncoated, board, coated"),
        (card(tone_steps=256, ruling_lpi=160.0), "tone_steps_below", 226),
        (card(tuple(Ink(f"spot {n}", "spot") for n in range(5))), "too_many_inks", 4),
        (card((Ink("snow", "white"),)), "ink_unavailable",
         "process, spot, metallic, fluorescent, varnish"),
        (card(tuple(map(Ink, ("cyan", "magenta", "yellow", "black")))), "process_colour", 2),
        (replace(DEEP, stock=cotton(caliper_um=350.0)), "stock_too_thin_for_impression", 400),
    ],
)  # fmt: skip
def test_a_limit_says_what_would_clear_it(part, code, limit):
    finding = codes(platen(), part)[code]
    assert (finding.severity, finding.limit) == ("limit", limit)
    assert finding.remedy


def test_the_side_with_most_inks_decides():
    five = tuple(Ink(f"spot {n}", "spot") for n in range(5))
    assert codes(platen(), card((BLACK,), five))["too_many_inks"].asked == 5
    three = tuple(map(Ink, ("cyan", "magenta", "yellow")))
    assert codes(platen(), card((BLACK,), three))["process_colour"].asked == 3


def test_process_colour_on_a_platen_goes_by_spot_colours():
    four = card(tuple(map(Ink, ("cyan", "magenta", "yellow", "black"))))
    assert codes(platen(), four)["process_colour"].remedy == "use spot colours"
    two = codes(platen(), card(tuple(map(Ink, ("cyan", "black")))))
    assert two["process_inks_over_each_other"].severity == "caution"
    assert "process_colour" not in two
    assert not {code for code in codes(platen(), card()) if code.startswith("process")}


@pytest.mark.parametrize(
    ("part", "code"),
    [
        (card((COPPER,)), "metallic_dull"),
        (card(stock=cotton(tone="dark")), "dark_stock"),
        (card(min_line_pt=0.5), "dots_too_fine"),
        (card(stock=cotton(), ruling_lpi=100.0), "ruling_fine_for_stock"),
        (card(coverage=0.4, min_type_pt=8), "solid_with_fine_type"),
        (replace(DEEP, stock=cotton(caliper_um=600.0)), "impression_shows_through"),
        (replace(DEEP, stock=cotton(caliper_um=600.0), back=DEEP.front),
         "impression_on_both_sides"),
        (replace(DEEP, stock=cotton(grade="coated")), "stock_hard_for_impression"),
        (card((BLACK, RED), coverage=0.8), "total_coverage"),
    ],
)  # fmt: skip
def test_a_caution_leaves_the_press_in(part, code):
    found = codes(platen(), part)
    assert found[code].severity == "caution"
    assert found[code].remedy
    assert not [each for each in found.values() if each.severity == "limit"]
    assert code not in codes(platen(), DEEP)


def test_fine_type_beside_solids_wants_both():
    assert "solid_with_fine_type" not in codes(platen(), card(coverage=0.4, min_type_pt=9))
    assert "solid_with_fine_type" not in codes(platen(), card(coverage=0.2, min_type_pt=8))
    assert "solid_with_fine_type" in codes(platen(), card(coverage=0.3, min_type_pt=8))


def test_stock_of_the_least_caliper_for_two_sides_shows_nothing_through():
    assert "impression_shows_through" not in codes(
        platen(), replace(DEEP, stock=cotton(caliper_um=800.0))
    )


def test_soft_thick_cotton_takes_a_deep_impression_without_a_word():
    assert set(codes(platen(), DEEP)) == {"safety_platen", "safety_solvent"}


@pytest.mark.parametrize(
    ("motion", "code", "word"),
    [
        ("hand_platen", "safety_platen", "hand that feeds"),
        ("platen", "safety_platen", "gripper arms"),
        ("cylinder", "safety_nips", "draw in"),
    ],
)
def test_a_press_warns_of_its_own_hazards(motion, code, word):
    found = codes(platen(motion=motion), card())
    assert set(found) == {code, "safety_solvent"}
    assert word in found[code].message
    assert all("local" in each.remedy for each in found.values())


@pytest.mark.parametrize(
    ("use", "code", "severity"),
    [
        ("food_contact", "food_contact", "caution"),
        ("outdoor", "outdoor", "caution"),
        ("delicate", "contact_pressure", "limit"),
    ],
)
def test_what_the_piece_is_for(use, code, severity):
    assert codes(platen(), card(), job(uses=(use,)))[code].severity == severity
    assert code not in codes(platen(), card())


@pytest.mark.parametrize("part", [card((BLACK, RED), (BLACK,)), DEEP])
def test_answers_keep_the_promises_and_every_figure_has_its_reason(part):
    work = on_sheets(part)
    run = checked_run(speed(platen(), work))
    checked_findings(constraints(platen(), part, job()))
    assert charges(platen(), work)
    assert run.drying_h == 24
    assert set(run.because) == {
        "passes",
        "make_ready_min",
        "make_ready_cycles",
        "cycles_per_hour",
        "running_waste",
        "wash_up_min",
        "drying_h",
    }


def test_through_the_core_the_chase_limits_the_image():
    part, wide = card(), {"image_width_mm": 110, "image_length_mm": 160}
    free, held = platen(), platen(feed=wide)
    most = [max(w.layout.up for w in works(part, press.feed)) for press in (held, free)]
    assert most[0] == 1 < most[1]
    styles = {w.layout.style for w in works(card((BLACK,), (BLACK,)), free.feed)}
    assert styles == {"sheetwise", "work_and_turn"}


def test_the_process_says_what_it_is():
    about = checked_process(process())
    assert about.id == "letterpress"
    assert about.impresses
    assert not about.variable_data
    assert "18 x 24 in" in about.largest_format
    assert set(about.sources) <= set(about.__dataclass_fields__)
