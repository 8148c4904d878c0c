"""The continuous inkjet model: drops and strokes, reach of the heads, drying, ink, limits."""

from dataclasses import replace
from typing import Any

import pytest

from shop import BLACK, CMYK, job, leaf, with_inks
from sidelay.imposition.works import works
from sidelay.job import Ink, Previous
from sidelay.promises import checked_charges, checked_findings, checked_run
from sidelay.stock import Blank, ParentSheet, Reel, Stock
from sidelay.work import Form, Layout, Work
from sidelay_continuous_inkjet import constraints, cost, press_schema, process, speed
from sidelay_continuous_inkjet.heads import laydown_ml_per_m2, stroke_limit_m_per_s

A6 = ParentSheet(105, 148, "long", 0.02, "test")
REEL = Reel(520, 12_000, 0.05, "test")
BOTTLE = Blank("carton", 300, 60, 0.0, "test")
FEEDS: dict[str, dict[str, Any]] = {
    "piece": {"kind": "piece", "max_width_mm": 500, "max_length_mm": 20},
    "sheet": {
        "kind": "sheet",
        "min_width_mm": 90,
        "max_width_mm": 356,
        "min_length_mm": 100,
        "max_length_mm": 510,
        "gripper_mm": 0,
        "tail_mm": 0,
        "side_mm": 0,
        "colour_bar_mm": 0,
        "work_styles": ["one_side"],
    },
    "web": {
        "kind": "web",
        "min_width_mm": 250,
        "max_width_mm": 520,
        "min_cutoff_mm": 140,
        "max_cutoff_mm": 760,
        "gap_mm": 3,
        "most_collected": 64,
    },
}


def cij(heads: str, feed: str, **figures: Any) -> Any:
    given = {
        "id": "cij",
        "name": "Inkjet",
        "cost_centre": "line",
        "heads": heads,
        "feed": FEEDS[feed],
        "max_ruling_lpi": 150,
        "quality": "commercial",
    }
    return press_schema()().load(given | figures)


def coder(**figures: Any) -> Any:
    return cij("coder", "piece", **{"resolution_dpi": 50.8} | figures)


def addressing(**figures: Any) -> Any:
    fitted = {"resolution_dpi": 120, "heads_fitted": 3, "head_height_mm": 25, "drop_pl": 150}
    return cij("addressing", "sheet", **fitted | {"max_m_per_min": 90} | figures)


def array(**figures: Any) -> Any:
    fitted = {"resolution_dpi": 300, "heads_fitted": 5, "head_height_mm": 104, "dryer_m": 12}
    return cij("array", "web", **fitted | figures)


def paper(**figures: Any) -> Stock:
    given: dict[str, Any] = {
        "id": "offset",
        "name": "Offset",
        "grade": "uncoated",
        "finish": "offset",
        "grammage_gsm": 80.0,
        "caliper_um": 100.0,
        "sheets": (A6,),
        "reels": (REEL,),
        "blanks": (BOTTLE,),
    }
    return Stock(**given | figures)


def code(width: float = 60, height: float = 3.5, inks: tuple[Ink, ...] = BLACK, **figures: Any):
    """A print on a single piece."""
    part = leaf(width, height, kind="piece", bleed_mm=0.0, stock=paper(**figures))
    return with_inks(part, inks, coverage=0.2)


def card(coverage: float = 0.05, inks: tuple[Ink, ...] = BLACK, **figures: Any):
    """A postcard with an address."""
    part = leaf(105, 148, bleed_mm=0.0, stock=paper(**figures), variable_share=0.2)
    return with_inks(part, inks, coverage=coverage)


def pages(coverage: float = 0.08, count: int = 32, **figures: Any):
    """Sections of A4 pages."""
    part = leaf(210, 297, kind="section", pages=count, bleed_mm=0.0, stock=paper(**figures))
    return with_inks(replace(part, flat_width_mm=420), BLACK, BLACK, coverage=coverage)


def laid(part: Any, press: Any, previous: Previous | None = None) -> Work:
    return works(part, press.feed, None, previous)[0]


def ran(part: Any, press: Any, previous: Previous | None = None) -> Any:
    found = speed(press, laid(part, press, previous))
    assert found is not None
    return checked_run(found)


def charged(part: Any, press: Any, previous: Previous | None = None) -> dict[str, Any]:
    found = checked_charges(cost(press, laid(part, press, previous)))
    return {charge.label: charge for charge in found}


def codes(part: Any, press: Any, wanted: Any = None) -> dict[str, str]:
    """Findings beside those of safety: severity by code."""
    found = checked_findings(constraints(press, part, wanted or job()))
    assert all(finding.remedy for finding in found)
    return {each.code: each.severity for each in found if not each.code.startswith("safety_")}


# ---------------------------------------------------------------- arithmetic


def test_the_stroke_limit_is_frequency_over_drops_times_pitch():
    # The worked figure of the process reference: 64 kHz, 7 drops, 0.5 mm.
    assert stroke_limit_m_per_s(64, 7, 0.5) == pytest.approx(4.571, abs=0.001)


def test_laydown_is_places_for_dots_times_drop_volume():
    # 600 dots an inch of 5 pl: 2.79 ml/m2 (process reference, drop-on-demand).
    assert laydown_ml_per_m2(600, 5) == pytest.approx(2.79, abs=0.005)


# ---------------------------------------------------------------- the coder


@pytest.mark.parametrize(("height", "dots"), [(3.5, 7), (8, 16), (12, 24), (20, 24)])
def test_a_coder_runs_at_its_drops_a_stroke(height, dots):
    # 50.8 dots an inch are a pitch of 0.5 mm; a piece each 150 mm of line.
    press = coder(max_m_per_min=1000, rated_pieces_per_hour=1_000_000, dryer_m=200)
    per_second = 64_000 / dots * 0.5 / 150 * 0.85
    assert ran(code(height=height), press).cycles_per_hour == pytest.approx(3600 * per_second)


def test_guard_drops_halve_a_coders_speed():
    one, two = (
        ran(
            code(height=12),
            coder(drops_per_dot=drops, rated_pieces_per_hour=1_000_000, dryer_m=200),
        ).cycles_per_hour
        for drops in (1, 2)
    )
    assert one == pytest.approx(2 * two)


def test_the_line_sets_the_pace_of_an_easy_code():
    run = ran(code(), coder(max_m_per_min=120, rated_pieces_per_hour=12_000))
    assert run.cycles_per_hour == pytest.approx(12_000 * 0.85)
    assert "the most the line delivers" in run.because["cycles_per_hour"]
    slow = ran(code(width=250), coder(max_m_per_min=30, rated_pieces_per_hour=12_000))
    assert slow.cycles_per_hour == pytest.approx(30 * 60 / 0.3 * 0.85)


@pytest.mark.parametrize(("height", "lines"), [(3.5, 1), (8, 2), (12, 3)])
def test_a_coders_ink_goes_by_the_line(height, lines):
    (ink,) = [charge for label, charge in charged(code(height=height), coder()).items()
              if label == "ink"]  # fmt: skip
    assert (ink.per, ink.unit_cost) == ("cycle", 150)
    assert ink.amount == pytest.approx(lines * 1.5e-6)


def test_a_code_over_two_heads_takes_both():
    part, press = code(height=30), coder(heads_fitted=2)
    press = replace(press, feed=replace(press.feed, max_length_mm=60))
    run = ran(part, press)
    assert "2 head setting(s)" in run.because["make_ready_min"]
    assert charged(part, press)["ink"].amount == pytest.approx(2 * 3 * 1.5e-6)


def test_a_second_side_is_a_second_pass_with_the_same_head():
    press = coder()
    both = with_inks(code(), BLACK, BLACK)
    one, two = ran(code(), press), ran(both, press)
    assert (one.passes, two.passes) == (1, 2)
    assert two.make_ready_cycles == 2 * one.make_ready_cycles == 6
    assert two.make_ready_min == pytest.approx(8 + 2 * 8 + 2 * 3)
    assert two.running_waste == pytest.approx(2 * one.running_waste)
    assert charged(both, press)["make-up fluid"].amount == pytest.approx(0.005)
    assert charged(both, press)["ink"].amount == pytest.approx(2 * 1.5e-6)


@pytest.mark.parametrize(
    ("height", "code_"), [(1.5, "print_too_low"), (20.5, "print_too_high"), (10, None)]
)
def test_a_coder_prints_two_to_twenty_millimetres_high(height, code_):
    expected = {code_: "limit"} if code_ else {}
    assert codes(code(height=height), coder()) == expected


# ---------------------------------------------------------------- the addressing line


def test_an_addressing_line_feeds_pieces_singly_at_the_pace_of_its_belt():
    press = addressing(rated_pieces_per_hour=100_000)
    found = works(card(), press.feed)
    lengths = {work.layout.length_mm: speed(press, work).cycles_per_hour for work in found}
    for length, per_hour in lengths.items():
        assert per_hour == pytest.approx(90 * 60 / ((length + 50) / 1000) * 0.85)
    assert lengths


def test_pieces_do_not_run_several_up_past_addressing_heads():
    press = addressing()
    large = card(sheets=(ParentSheet(210, 297, "long", 0.05, "test"),))
    found = works(large, press.feed)
    assert {work.layout.up > 1 for work in found} == {True, False}
    assert all((speed(press, work) is None) == (work.layout.up > 1) for work in found)


@pytest.mark.parametrize(
    ("heads", "share", "fits"), [(1, 0.2, True), (1, 0.25, False), (2, 0.47, True)]
)
def test_what_varies_must_lie_within_reach(heads, share, fits):
    # 25 mm of 105 mm, the better way round, is 23.8 %.
    part = replace(card(), variable_share=share)
    assert ("band_too_narrow" in codes(part, addressing(heads_fitted=heads))) is not fits


def test_more_ink_than_a_full_strip_holds_needs_more_heads():
    # 13 % of the card at half ink is 26 % of it, and the strip is 23.8 %.
    assert codes(card(0.13), addressing(heads_fitted=1)) == {"band_too_narrow": "limit"}
    assert codes(card(0.13), addressing(heads_fitted=2)) == {}


def test_a_piece_is_turned_where_the_strip_reaches_only_so():
    # 50 mm is 47.6 % of 105 mm but 33.8 % of 148 mm: long edge first it travels 105 mm, else 148.
    press = addressing(heads_fitted=2, rated_pieces_per_hour=100_000)
    per_hour = {
        share: ran(replace(card(), variable_share=share), press).cycles_per_hour
        for share in (0.3, 0.4)
    }
    assert per_hour[0.3] == pytest.approx(90 * 60 / 0.155 * 0.85)
    assert per_hour[0.4] == pytest.approx(90 * 60 / 0.198 * 0.85)


def test_a_feed_that_takes_it_one_way_only_leaves_the_piece_out():
    press = addressing(heads_fitted=2)
    press = replace(press, feed=replace(press.feed, min_width_mm=120))
    assert speed(press, laid(replace(card(), variable_share=0.4), press)) is None


def test_several_up_must_lie_within_reach_across_the_whole_sheet():
    # 105 mm of heads reach half of 210 mm, where two cards of 105 mm lie side by side.
    press = cij("array", "sheet", resolution_dpi=300, heads_fitted=1, head_height_mm=105)
    layout = Layout(210, 148, ParentSheet(148, 210, "long", 0.03, "test"), "one_side", 2)
    for share, fits in ((0.5, True), (0.6, False)):
        work = Work(replace(card(), variable_share=share), layout, (Form("front", BLACK),))
        assert (speed(press, work) is not None) is fits


def test_an_array_need_not_reach_the_edges_of_the_web_that_never_print():
    # 480 mm of heads on 520 mm of web: 94 % of it between edges of 5 mm, all between 20 mm.
    for side_mm, fits in ((5, False), (20, True)):
        press = array(heads_fitted=4, head_height_mm=120)
        press = replace(press, feed=replace(press.feed, side_mm=side_mm))
        work = laid(pages(0.49), press)
        assert (speed(press, work) is not None) is fits


def test_the_heads_at_work_follow_the_strip():
    # 15 % of 148 mm is 22 mm, one head; 40 % is 59 mm, three.
    one = ran(replace(card(), variable_share=0.15), addressing())
    three = ran(replace(card(), variable_share=0.4), addressing())
    assert one.make_ready_min == pytest.approx(8 + 8 + 3 + 10)
    assert three.make_ready_min == pytest.approx(8 + 8 + 3 * 3 + 10)


def test_what_does_not_vary_may_stand_anywhere_and_needs_heads_over_the_whole_piece():
    part = replace(card(), variable_share=0.0)
    assert "band_too_narrow" not in codes(card(), addressing())
    assert "band_too_narrow" in codes(part, addressing())
    wide = addressing(heads_fitted=8)
    assert "band_too_narrow" not in codes(part, wide)
    with_data = ran(card(), wide).make_ready_min
    assert ran(part, wide).make_ready_min - with_data == pytest.approx(
        (8 - 1) * wide.head_min - wide.data_min, abs=3 * wide.head_min
    )


def test_ink_of_a_jet_for_each_dot_goes_by_the_solid():
    # 5 % of 105 x 148 mm at (120 / 25.4 mm)^2 x 150 pl = 3.348 ml/m2.
    ink = charged(card(), addressing())["ink"]
    assert ink.amount == pytest.approx(0.05 * 0.105 * 0.148 * 3.348e-3, rel=1e-3)


@pytest.mark.parametrize(
    ("figures", "share"),
    [({"grammage_gsm": 50.0}, 0.8), ({"caliper_um": 1200.0}, 0.7), ({"grammage_gsm": 60.0}, 1.0)],
)
def test_thin_and_thick_pieces_run_slower(figures, share):
    usual = ran(card(), addressing()).cycles_per_hour
    assert ran(card(**figures), addressing()).cycles_per_hour == pytest.approx(share * usual)


# ---------------------------------------------------------------- the array


def test_an_array_runs_three_hundred_metres_a_minute_less_its_reel_changes():
    work = laid(pages(), array())
    run = checked_run(speed(array(), work))
    # A reel of 12,000 m lasts 40 min at 300 m/min, / 0.85 running; then ten minutes' stop.
    share = 40 / 0.85
    expected = 300 * 60 / work.layout.length_m * 0.85 * share / (share + 10)
    assert run.cycles_per_hour == pytest.approx(expected)
    spliced = ran(pages(), array(splices=True)).cycles_per_hour
    assert spliced == pytest.approx(300 * 60 / work.layout.length_m * 0.85)


def test_an_array_is_held_by_drops_where_dots_are_finer():
    # 64 kHz at 600 dots an inch: 2.709 m/s.
    press = array(resolution_dpi=600, splices=True)
    work = laid(pages(), press)
    assert speed(press, work).cycles_per_hour == pytest.approx(
        2.7093 * 3600 / work.layout.length_m * 0.85, rel=1e-4
    )


def test_coverage_slows_an_array_through_its_drying():
    # 40 % is twice a usual 20 %: 4 s on coated stock, 12 m of dryer, so 180 m/min.
    press = array(splices=True)
    work = laid(pages(0.4, grade="coated"), press)
    run = speed(press, work)
    assert run.cycles_per_hour == pytest.approx(180 * 60 / work.layout.length_m * 0.85)
    assert run.drying_h == pytest.approx(4 / 3600)
    assert "drying" in run.because["cycles_per_hour"]


@pytest.mark.parametrize(
    ("figures", "seconds"),
    [
        ({}, 1),
        ({"grade": "coated"}, 2),
        ({"grade": "coated", "treated": True}, 1),
        ({"grade": "film", "treated": True}, 2),
    ],
)
def test_ink_dries_faster_where_it_sinks_in(figures, seconds):
    assert ran(pages(**figures), array()).drying_h == pytest.approx(seconds / 3600)


def test_an_array_spoils_the_web_it_is_threaded_with():
    work = laid(pages(), array())
    assert speed(array(), work).make_ready_cycles == -(-30_000 // work.layout.length_mm)


def test_the_array_reaches_across_both_sides():
    # 520 mm at 104 mm a head are five, on each side.
    press = array()
    work = laid(pages(), press)
    assert work.layout.width_mm == 520
    assert speed(press, work).make_ready_min == pytest.approx(8 + 8 + 10 * 3)
    assert charged(pages(), press)["make-up fluid"].amount == pytest.approx(10 * 5 / 1000)
    assert charged(pages(), press)["cleaning fluid"].amount == pytest.approx(10 * 50 / 1000)


@pytest.mark.parametrize(("coverage", "low", "high"), [(0.1, 0.45, 0.55), (0.6, 2.8, 3.0)])
def test_array_ink_a_page_is_the_trades_half_to_three_millilitres(coverage, low, high):
    press = array()
    work = laid(pages(coverage), press)
    sides_m2 = 2 * 0.42 * 0.297 * work.layout.pieces_per_cycle
    assert low < charged(pages(coverage), press)["ink"].amount * 1000 / sides_m2 < high


def test_pages_are_collected_without_limit_of_a_cylinder():
    work = laid(pages(count=64), array())
    assert work.layout.cycles_per_piece > 2
    assert speed(array(), work).passes == 1


def test_a_layout_built_by_hand_is_timed_alike():
    press = array(splices=True)
    layout = Layout(500, 600, REEL, "one_side", 2, delivery="copy")
    work = Work(pages(), layout, (Form("front", BLACK),))
    assert speed(press, work).cycles_per_hour == pytest.approx(300 * 60 / 0.6 * 0.85)


# ---------------------------------------------------------------- inks and what changes them


def test_a_spot_ink_is_flushed_in_and_out():
    spot = (Ink("signal red", "spot"),)
    run = ran(code(inks=spot), coder())
    assert run.wash_up_min == pytest.approx(4 + 45)
    assert charged(code(inks=spot), coder())["ink lost in changing it"].amount == pytest.approx(0.5)
    assert ran(code(), coder()).wash_up_min == 4
    assert "ink lost in changing it" not in charged(code(), coder())


def test_a_light_ink_after_black_takes_longer_and_the_same_bottle_saves_setting():
    white, press = (Ink("white", "white"),), coder(pigmented_kinds=["white"])
    before = Previous("cij", BLACK, "offset")
    run = ran(code(inks=white), press, before)
    assert run.wash_up_min == pytest.approx(4 + 45 + 20)
    assert run.make_ready_min == pytest.approx(8 + 3)
    assert ran(code(), press, before).wash_up_min == 4
    other = ran(code(), press, Previous("cij", BLACK, "another"))
    assert other.make_ready_min == pytest.approx(8 + 8 + 3)


def test_pigmented_ink_is_dearer_and_its_loss_too():
    white, press = (Ink("white", "white"),), coder(pigmented_kinds=["white"])
    found = charged(code(inks=white), press)
    assert "ink" not in found
    assert found["pigmented ink"].unit_cost == 220
    assert found["ink lost in changing it"].unit_cost == 220
    assert ran(code(inks=white), press).wash_up_min == pytest.approx(4 + 2 * 45)


@pytest.mark.parametrize(
    ("ink", "expected"),
    [
        (Ink("black"), {}),
        (Ink("signal red", "spot"), {}),
        (Ink("cyan"), {"ink_unavailable": "limit"}),
        (Ink("white", "white"), {"ink_unavailable": "limit"}),
        (Ink("copper", "metallic"), {"ink_unavailable": "limit"}),
        (Ink("day-glow", "fluorescent"), {"ink_unavailable": "limit"}),
        (Ink("gloss", "varnish"), {"ink_unavailable": "limit"}),
    ],
)
def test_a_jet_throws_thin_dyes(ink, expected):
    assert codes(code(inks=(ink,)), coder()) == expected


def test_black_can_always_be_had():
    assert codes(code(), coder(standing_inks=["signal red"])) == {}
    assert codes(code(inks=(Ink("cyan"),)), coder(standing_inks=["cyan"])) == {}


def test_an_array_prints_as_many_inks_as_it_has_rows():
    part = with_inks(pages(), CMYK, CMYK)
    assert codes(part, array()) == {"too_many_inks": "limit", "ink_unavailable": "limit"}
    colour = array(colours=4, standing_inks=["cyan", "magenta", "yellow", "black"])
    assert codes(part, colour) == {}


@pytest.mark.parametrize(("kinds", "expected"), [([], {"dye_on_dark": "limit"}), (["spot"], {})])
def test_a_dye_does_not_show_on_a_dark_piece(kinds, expected):
    part = code(inks=(Ink("yellow ochre", "spot"),), tone="dark")
    assert codes(part, coder(pigmented_kinds=kinds)) == expected


@pytest.mark.parametrize(
    ("fluid", "grade", "expected"),
    [
        ("aqueous", "film", {"ink_will_not_dry": "limit"}),
        ("aqueous", "uncoated", {}),
        ("alcohol", "film", {}),
        ("ketone", "film", {}),
        ("ketone", "rigid", {"ink_softens_plastic": "caution"}),
        ("alcohol", "rigid", {}),
    ],
)
def test_ink_and_surface_must_suit_each_other(fluid, grade, expected):
    assert codes(code(grade=grade), coder(fluid=fluid)) == expected


# ---------------------------------------------------------------- uses, tones, safety


@pytest.mark.parametrize(("switch", "severity"), [(False, "limit"), (True, "caution")])
def test_only_a_food_grade_ink_set_touches_food(switch, severity):
    wanted = job(uses=("food_contact",))
    assert codes(code(), coder(food_grade_ink=switch), wanted) == {"food_contact": severity}


def test_dyes_fade_outdoors_and_pigments_do_not():
    wanted = job(uses=("outdoor",))
    assert codes(code(), coder(), wanted) == {"fades_outdoors": "caution"}
    assert codes(code(), coder(pigmented_kinds=["process"]), wanted) == {}


def test_nothing_touches_a_delicate_piece_and_every_piece_may_differ():
    part = replace(card(), variable_share=0.2)
    assert codes(part, addressing(), job(uses=("delicate",))) == {}
    assert codes(replace(code(), variable_share=1.0), coder()) == {}


@pytest.mark.parametrize(
    ("press", "part", "steps"),
    [(coder(), code(), 2), (addressing(), card(), 10), (array(), pages(), 26)],
)
def test_tones_are_cells_of_one_bit_dots_and_a_coder_has_none(press, part, steps):
    # (120 / 40)^2 + 1 = 10; (300 / 60)^2 + 1 = 26.
    ruling = {2: 60.0, 10: 40.0, 26: 60.0}[steps]
    part = replace(part, ruling_lpi=ruling)
    assert codes(replace(part, tone_steps=steps), press) == {}
    assert codes(replace(part, tone_steps=steps + 1), press) == {"tone_steps_below": "limit"}


@pytest.mark.parametrize(
    ("change", "code_"),
    [
        ({"ruling_lpi": 21.0}, "ruling_too_fine"),
        ({"min_type_pt": 8.0}, "type_too_small"),
        ({"min_reverse_type_pt": 20.0}, "reverse_type_too_small"),
        ({"min_line_pt": 1.0}, "line_too_fine"),
    ],
)
def test_a_coder_left_to_its_defaults_prints_coarse_type(change, code_):
    press = coder(max_ruling_lpi=20)
    part = replace(code(), ruling_lpi=20.0)
    assert codes(part, press) == {}
    assert codes(replace(part, **change), press) == {code_: "limit"}


def test_marking_grade_is_the_default_class():
    press = replace(coder(), quality="draft")
    assert codes(code(), press, job(quality="office")) == {"quality_above": "limit"}


@pytest.mark.parametrize(
    ("press", "expected"),
    [
        (coder(), {"safety_high_voltage", "safety_solvent_vapour", "safety_moving_parts"}),
        (array(fluid="aqueous"), {"safety_high_voltage", "safety_moving_parts"}),
    ],
)
def test_the_hazards_of_the_press_at_hand_are_told(press, expected):
    found = [each for each in constraints(press, pages(), job()) if "safety_" in each.code]
    assert {each.code for each in found} == expected
    assert {each.severity for each in found} == {"caution"}


def test_the_facts_tell_no_carrier_and_variable_data():
    facts = process()
    assert facts.id == "continuous_inkjet"
    assert facts.variable_data
    assert not facts.impresses
    assert 0 < facts.quality[0] < facts.quality[1] < 1
    assert "64 to 96" in facts.speed
