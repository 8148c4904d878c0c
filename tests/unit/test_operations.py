"""Finishing operations as data: every rate, every limit, packs, passes, and what never falls."""

from dataclasses import replace
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop import demo, leaf, stock
from sidelay.job import Operation
from sidelay.operation_choice import choose_machine, contradictions, machine_findings
from sidelay.operation_items import copy_item, flat_item, folded_item
from sidelay.operations import FinishingMachine, Item, known_operations, lots, operation_step

A4 = Item(210, 297, 100, 80, 0.005, "uncoated", "offset", 1, 210 * 297 / 1e6, 1014)
EIGHT_UP = replace(A4, width_mm=450, length_mm=640, mass_kg=0.023, pieces=8)
WISH = Operation("score")
OUT = {"bought_out": True, "sides_per_pass": 1}


def machine(**figures):
    if not figures.keys() & {"bought_out", "m_per_min", "lifts_per_hour", "packs_per_hour"}:
        figures = {"units_per_hour": 3000.0} | figures
    given = {"id": "one", "name": "One", "operation": "score", "unit": "flat", "cost_centre": "c"}
    return FinishingMachine(**given | figures)


def minutes_and_money(step, units):
    """All that a run takes: set-up and running minutes; tool, set-up and running money."""
    return (
        step.set_up_min + step.minutes * lots(step, units),
        step.tool_price + step.set_up_price + step.price * lots(step, units),
    )


# ---------------------------------------------------------------- rates


def test_units_an_hour():
    step = operation_step(machine(set_up_min=4, set_up_waste=5, running_waste=0.01), WISH, A4)
    assert step.minutes * 3000 == pytest.approx(60)
    assert (step.name, step.unit, step.machine, step.per) == ("score", "piece", "one", 1)
    assert (step.set_up_min, step.set_up_waste, step.running_waste) == (4, 5, 0.01)
    assert (step.kind, step.crew, step.least_min) == ("material", 1.0, 0.0)


def test_metres_a_minute_are_spent_on_length_and_gap():
    # 30 m/min over 0.297 m and a tenth of it behind: 91.8 a minute.
    step = operation_step(machine(m_per_min=30, gap_share=0.1), WISH, A4)
    assert 1 / step.minutes == pytest.approx(30 / (0.297 * 1.1))
    assert "5,510 an hour at 30 m/min" in step.because


def test_metres_a_minute_are_the_folding_form():
    """Bindagraphics, Estimating folding time (case FN02): 4,000 in/min, 35 in, a tenth: 6,233."""
    sheet = replace(A4, length_mm=35 * 25.4)
    made = machine(m_per_min=4000 * 0.0254, gap_share=0.1)
    assert made.hourly(WISH, sheet) == pytest.approx(6233, abs=1)


def test_a_lift_holds_whole_units_and_a_begun_lift_counts():
    drill = machine(lifts_per_hour=240, lift_mm=50.8, counts="hole", counts_per_pass=3)
    step = operation_step(drill, replace(WISH, count=9), A4)
    assert (step.per, step.minutes) == (508, pytest.approx(3 / 4))
    assert [lots(step, units) for units in (1, 508, 509)] == [1, 1, 2]
    assert step.because == "9 holes, 3 passes, 4 lifts of 508 a minute"


def test_what_is_thicker_than_a_lift_goes_one_at_a_time():
    step = operation_step(
        machine(lifts_per_hour=30, lift_mm=10), WISH, replace(A4, caliper_um=25_000)
    )
    assert (step.per, step.because) == (1, "30 lifts of 1 an hour")


def test_a_lift_by_height_and_by_whole_units_differ_by_less_than_one_unit():
    drill = machine(lifts_per_hour=240, lift_mm=50.8)
    thick = replace(A4, caliper_um=116.84)  # 434.78 to a lift
    step = operation_step(drill, WISH, thick)
    by_units = 60 * step.per / step.minutes
    assert 0 <= drill.hourly(WISH, thick) - by_units < 240


def test_packs_take_what_the_job_asks():
    wrap = machine(packs_per_hour=120, default_per=250, material_per_pack=0.06, unit="copy")
    step = operation_step(wrap, WISH, A4)
    assert (step.per, step.minutes, step.price, step.unit) == (250, 0.5, 0.06, "copy")
    assert operation_step(wrap, replace(WISH, per=40), A4).per == 40
    assert step.because == "2 packs of 250 a minute"


def test_bought_out_work_has_money_and_days_and_no_minutes():
    foil = machine(
        **OUT,
        cost_centre="",
        price_set_up=60,
        price_per_1000=45,
        price_per_m2=2,
        tool_price_per_cm2=0.5,
        least_tool_price=40,
        least_price=150,
        lead_days=5,
    )
    step = operation_step(foil, replace(WISH, area_share=0.25), A4)
    area = 0.21 * 0.297 * 0.25
    assert (step.set_up_min, step.minutes, step.per, step.kind) == (0, 0, 1, "outwork")
    assert (step.set_up_price, step.least_price, step.lead_days) == (60, 150, 5)
    assert step.price == pytest.approx(0.045 + 2 * area)
    assert step.tool_price == pytest.approx(0.5 * area * 10_000)
    assert step.because.startswith("bought out, back in 5 working days, tool 77.96")


# ---------------------------------------------------------------- passes, materials, tools


def test_two_sides_take_two_passes_on_a_one_side_machine_and_twice_the_film():
    film = machine(m_per_min=20, sides_per_pass=1, material_per_m2=0.2, set_up_waste=6)
    one, two = (operation_step(film, replace(WISH, sides=sides), A4) for sides in (1, 2))
    assert two.minutes == pytest.approx(2 * one.minutes)
    assert two.price == pytest.approx(2 * one.price) == pytest.approx(0.4 * A4.area_m2)
    assert (one.set_up_waste, two.set_up_waste) == (6, 12)
    both = operation_step(replace(film, sides_per_pass=2), replace(WISH, sides=2), A4)
    assert (both.minutes, both.price) == (pytest.approx(one.minutes), pytest.approx(two.price))


def test_four_corners_are_four_strokes_a_lift():
    knife = machine(lifts_per_hour=180, lift_mm=15, counts="corner", counts_per_pass=1)
    assert operation_step(knife, replace(WISH, count=4), A4).minutes == pytest.approx(4 / 3)


def test_numbers_on_a_sheet_are_those_of_all_its_pieces():
    boxes = machine(
        counts="number", counts_per_pass=8, set_up_min=10, set_up_min_per_count=2, unit="sheet"
    )
    step = operation_step(boxes, replace(WISH, count=2), EIGHT_UP)
    assert (step.set_up_min, step.unit) == (10 + 2 * 16, "sheet")
    assert step.minutes == pytest.approx(2 * 60 / 3000)
    assert step.because == "16 numbers, 2 passes, 1,500 an hour"


def test_a_die_follows_the_outline_of_all_pieces_and_has_a_least_price():
    die = machine(tool_price=40, tool_price_per_m=28, least_tool_price=95, unit="sheet")
    assert operation_step(die, WISH, EIGHT_UP).tool_price == pytest.approx(40 + 28 * 8 * 1.014)
    assert operation_step(die, WISH, A4).tool_price == 40 + 95
    assert operation_step(machine(tool_price=12), WISH, A4).tool_price == 12


def test_material_on_each_unit():
    assert operation_step(machine(material_per_unit=0.002), WISH, A4).price == 0.002


# ---------------------------------------------------------------- packs


def test_packs_by_weight():
    # 35 lb a carton at most (State of Missouri print solicitation), 5 g each: 3,175.
    carton = machine(packs_per_hour=30, max_pack_kg=35 * 0.45359237)
    assert operation_step(carton, WISH, A4).per == 3175


def test_packs_by_height_and_by_what_stands_side_by_side():
    high = machine(packs_per_hour=30, max_pack_mm=300)
    assert high.per_pack(WISH, A4) == 3000
    box = replace(high, pack_width_mm=310, pack_length_mm=440)
    assert box.per_pack(WISH, replace(A4, width_mm=148, length_mm=210)) == 4 * 3000
    assert replace(box, max_pack_kg=15).per_pack(WISH, A4) == 3000


def test_a_usual_pack_is_made_smaller_where_it_would_be_too_heavy():
    wrap = machine(packs_per_hour=100, default_per=250, max_pack_kg=1)
    assert wrap.per_pack(WISH, A4) == 200
    assert not machine_findings(wrap, WISH, A4)


def test_a_pack_that_the_job_asks_too_large_is_a_limit():
    wrap = machine(packs_per_hour=100, default_per=250, max_pack_kg=1)
    (found,) = machine_findings(wrap, replace(WISH, per=201), A4)
    assert (found.code, found.asked, found.limit) == ("pack_too_large", 201, 200)
    assert found.remedy == "ask for at most 200 in a pack"
    assert not machine_findings(wrap, replace(WISH, per=200), A4)


def test_one_copy_too_heavy_for_a_pack_is_a_limit():
    wrap = machine(packs_per_hour=100, max_pack_kg=1)
    (found,) = machine_findings(wrap, WISH, replace(A4, mass_kg=1.2))
    assert (found.code, found.asked, found.limit, found.unit) == ("pack_too_heavy", 1.2, 1, "kg")
    assert wrap.per_pack(WISH, replace(A4, mass_kg=1.2)) == 1


# ---------------------------------------------------------------- limits


@pytest.mark.parametrize(
    ("figures", "wish", "item", "code", "asked", "limit", "unit"),
    [
        ({"max_width_mm": 200}, {}, {}, "operation_size", "210 x 297", "200 x any", "mm"),
        ({"max_length_mm": 200}, {}, {}, "operation_size", "210 x 297", "any x 200", "mm"),
        ({"min_width_mm": 300}, {}, {}, "operation_size", "210 x 297", "300 x any", "mm"),
        ({"min_length_mm": 300}, {}, {}, "operation_size", "210 x 297", "any x 300", "mm"),
        ({"min_grammage_gsm": 100}, {}, {}, "operation_grammage", 80, "at least 100", "g/m2"),
        ({"max_grammage_gsm": 70}, {}, {}, "operation_grammage", 80, "at most 70", "g/m2"),
        ({"min_caliper_um": 120}, {}, {}, "operation_caliper", 100, "at least 120", "um"),
        (
            {"min_caliper_um": 20, "max_caliper_um": 90},
            {},
            {},
            "operation_caliper",
            100,
            "20 to 90",
            "um",
        ),
        ({"max_count": 3, "counts": "line"}, {"count": 4}, {}, "operation_count", 4, 3, "lines"),
        ({"max_count": 7, "counts": "line"}, {}, {"pieces": 8}, "operation_count", 8, 7, "lines"),
        ({"grades": ("board",)}, {}, {}, "operation_grade", "uncoated", "board", ""),
        (
            {"excluded_grades": ("uncoated",)},
            {},
            {},
            "operation_grade",
            "uncoated",
            "not uncoated",
            "",
        ),
        (
            {"excluded_stock_finishes": ("offset",)},
            {},
            {},
            "operation_surface",
            "offset",
            "not offset",
            "",
        ),
        ({"flat_only": True}, {}, {"leaves": 4}, "not_flat", 4, 1, "leaves"),
        (
            {"finishes": ("gloss",)},
            {"finish": "matt"},
            {},
            "finish_not_offered",
            "matt",
            "gloss",
            "",
        ),
        ({}, {"finish": "matt"}, {}, "finish_not_offered", "matt", "none", ""),
    ],
)
def test_a_limit_says_what_is_asked_what_goes_and_what_to_do(
    figures, wish, item, code, asked, limit, unit
):
    (found,) = machine_findings(machine(**figures), replace(WISH, **wish), replace(A4, **item))
    assert (found.severity, found.code, found.asked, found.limit) == ("limit", code, asked, limit)
    assert found.unit == unit
    assert found.message
    assert found.remedy
    assert not machine_findings(machine(), WISH, A4)


def test_what_goes_in_one_way_is_turned():
    assert not machine_findings(machine(max_width_mm=300, max_length_mm=215), WISH, A4)


# ---------------------------------------------------------------- choice


def test_the_first_machine_in_plant_order_that_takes_it_does_it():
    small, large = machine(id="small", max_width_mm=150), machine(id="large")
    assert choose_machine((small, large), WISH, A4) == (large, [])
    assert choose_machine((large, small), WISH, A4) == (large, [])


def test_a_wish_for_a_finish_passes_over_machines_without_it():
    gloss, matt = (
        machine(id="gloss", finishes=("gloss",)),
        machine(id="matt", finishes=("matt",), max_width_mm=150),
    )
    assert choose_machine((gloss, matt), replace(WISH, finish="gloss"), A4)[0] is gloss
    chosen, (found,) = choose_machine((gloss, matt), replace(WISH, finish="matt"), A4)
    assert (chosen, found.code) == (None, "operation_size")
    chosen, (found,) = choose_machine((gloss, matt), replace(WISH, finish="silk"), A4)
    assert (found.asked, found.limit) == ("silk", "gloss, matt")
    assert found.remedy == "ask for one of these: gloss, matt"


def test_a_machine_that_is_named_is_kept_to_and_the_remedy_names_another():
    small, large = machine(id="small", max_width_mm=150), machine(id="large", name="The large one")
    chosen, (found,) = choose_machine((small, large), replace(WISH, machine="small"), A4)
    assert chosen is None
    assert found.remedy.endswith("or have it done on The large one")
    assert choose_machine((small, large), replace(WISH, machine="large"), A4)[0] is large
    _, (found,) = choose_machine((small, large), replace(WISH, machine="none"), A4)
    assert (found.code, found.limit) == ("operation_machine", "small, large")


def test_an_operation_that_the_plant_has_not():
    chosen, (found,) = choose_machine((machine(),), Operation("gild"), A4)
    assert (chosen, found.code, found.limit) == (None, "operation_unknown", "score")


# ---------------------------------------------------------------- contradictions

LAMINATES = (
    machine(id="gloss", operation="laminate", finishes=("gloss",)),
    machine(id="matt", operation="laminate", finishes=("matt",)),
)
FLOOD = machine(id="flood", operation="varnish", finishes=("flood",), excludes=("laminate",))
SPOT = machine(id="spot", operation="varnish", finishes=("spot",), one_finish=False)
SHOP = (*LAMINATES, FLOOD, SPOT, machine())


def asked(*wishes):
    return [Operation(name, finish=finish) for name, finish in wishes]


@pytest.mark.parametrize(
    ("wishes", "told"),
    [
        ([("laminate", "gloss"), ("laminate", "matt")], [1]),
        ([("laminate", "gloss"), ("laminate", "gloss")], []),
        ([("laminate", "gloss"), ("score", ""), ("varnish", "flood")], [2]),
        ([("varnish", "flood"), ("laminate", "")], [1]),
        ([("varnish", "spot"), ("laminate", "")], []),
        ([("varnish", ""), ("laminate", "")], [1]),
        ([("varnish", "spot"), ("varnish", "flood")], []),
        ([("gild", ""), ("gild", "gold")], []),
    ],
)
def test_contradictions(wishes, told):
    assert [at for at, _ in contradictions(asked(*wishes), SHOP)] == told


def test_a_contradiction_that_a_finish_would_clear_says_so():
    ((_, why),) = contradictions(asked(("varnish", ""), ("laminate", "")), SHOP)
    assert why.endswith("unless you name a finish or a machine that can")
    ((_, why),) = contradictions(asked(("varnish", "flood"), ("laminate", "")), SHOP)
    assert why == "laminate cannot be on the same part as varnish: leave one of them out"


# ---------------------------------------------------------------- what goes in


def test_a_folded_piece_is_as_thick_as_its_leaves():
    folded = folded_item(leaf(148, 210, flat_width_mm=297, flat_height_mm=210, folds=1, pages=4))
    assert (folded.width_mm, folded.length_mm, folded.leaves) == (148, 210, 2)
    assert folded.caliper_um == 2 * 120
    flat = flat_item(leaf(148, 210, flat_width_mm=297, flat_height_mm=210, folds=1, pages=4))
    assert (flat.width_mm, flat.length_mm, flat.caliper_um) == (210, 297, 120)
    assert flat.mass_kg == folded.mass_kg


def test_a_copy_is_its_parts_on_top_of_one_another():
    cover = leaf(210, 297, stock=stock(grammage_gsm=300, caliper_um=330, grade="board"))
    inner = leaf(200, 290, per_copy=3)
    copy = copy_item((inner, cover))
    assert (copy.width_mm, copy.length_mm) == (210, 297)
    assert copy.caliper_um == 330 + 3 * 120
    assert copy.mass_kg == pytest.approx(cover.mass_kg + 3 * inner.mass_kg)
    assert (copy.grade, copy.grammage_gsm, copy.leaves) == ("board", 300, 4)
    with pytest.raises(ValueError, match="part"):
        copy_item(())


# ---------------------------------------------------------------- the demo plant

COMMON = {
    "crease", "score", "perforate", "number", "drill", "punch", "laminate", "varnish", "emboss",
    "foil", "die_cut", "strip", "glue", "round_corners", "hand_fold", "collate", "insert",
    "address", "shrink_wrap", "band", "carton", "pallet",
}  # fmt: skip


def test_the_demo_plant_does_the_common_operations():
    machines = demo().operations
    assert set(known_operations(machines)) == COMMON
    out = {each.operation for each in machines if each.bought_out}
    assert out == {"emboss", "foil", "varnish"}
    assert all(each.lead_days > 0 and not each.cost_centre for each in machines if each.bought_out)
    finishes = {f for each in machines if each.operation == "laminate" for f in each.finishes}
    assert finishes == {"gloss", "matt", "soft_touch"}


@pytest.mark.parametrize("each", demo().operations, ids=lambda each: each.id)
def test_each_demo_machine_says_where_its_figures_come_from_and_takes_something(each):
    assert "plant file" not in each.source
    copies = each.unit == "copy"
    thick = stock(grammage_gsm=200.0 if copies else 300.0, caliper_um=300.0, grade="board")
    item = flat_item(leaf(210 if copies else 280, 297 if copies else 400, stock=thick))
    wish = Operation(each.operation, finish=each.finishes[0] if each.finishes else "")
    assert not machine_findings(each, wish, item)
    step = operation_step(each, wish, item)
    assert step.minutes or step.price
    assert step.because


def test_the_demo_rates_lie_in_the_trade_s_ranges():
    """Drill 2-3 in at 4-6 lifts a minute, punch at most 7 in of paper a minute.

    Source: American Printer, "Punching & drilling", Mar 2005. Laminator 10-30 m/min and platen
    1,000-4,000 an hour: from memory.
    """
    by_id = {each.id: each for each in demo().operations}
    drill, punch = by_id["paper_drill"], by_id["paper_punch"]
    assert 2 * 25.4 <= drill.lift_mm <= 3 * 25.4
    assert 4 * 60 <= drill.lifts_per_hour <= 6 * 60
    assert punch.lifts_per_hour / 60 * punch.lift_mm <= 7 * 25.4
    assert all(10 <= m.m_per_min <= 30 for m in by_id.values() if m.operation == "laminate")
    assert 1000 <= by_id["platen_die_cut"].units_per_hour <= 4000
    assert 1000 <= by_id["numbering_heads"].units_per_hour <= 4000


def test_flood_varnish_and_film_contradict_each_other_in_the_demo_plant():
    wishes = asked(("laminate", "matt"), ("varnish", "gloss"))
    assert [at for at, _ in contradictions(wishes, demo().operations)] == [1]
    wishes = asked(("laminate", "soft_touch"), ("varnish", "spot_uv"))
    assert not contradictions(wishes, demo().operations)


# ---------------------------------------------------------------- what never falls


machines = st.one_of(
    st.builds(
        machine,
        units_per_hour=st.floats(10, 20_000),
        counts_per_pass=st.none() | st.integers(1, 9),
        sides_per_pass=st.integers(1, 2),
        set_up_min_per_count=st.floats(0, 9),
        material_per_m2=st.floats(0, 3),
        material_per_unit=st.floats(0, 1),
        tool_price_per_m=st.floats(0, 90),
        least_tool_price=st.floats(0, 90),
    ),
    st.builds(
        machine,
        m_per_min=st.floats(1, 90),
        gap_share=st.floats(0, 1),
        sides_per_pass=st.integers(1, 2),
        counts_per_pass=st.none() | st.integers(1, 9),
        material_per_m2=st.floats(0, 3),
    ),
    st.builds(
        machine,
        lifts_per_hour=st.floats(1, 900),
        lift_mm=st.floats(0.05, 90),
        counts_per_pass=st.none() | st.integers(1, 9),
    ),
    st.builds(
        machine,
        packs_per_hour=st.floats(1, 900),
        default_per=st.none() | st.integers(1, 5000),
        max_pack_kg=st.none() | st.floats(0.001, 40),
        max_pack_mm=st.none() | st.floats(0.05, 900),
        material_per_pack=st.floats(0, 9),
    ),
    st.builds(
        machine,
        bought_out=st.just(True),
        sides_per_pass=st.integers(1, 2),
        counts_per_pass=st.none() | st.integers(1, 9),
        price_set_up=st.floats(0, 90),
        price_per_1000=st.floats(0, 900),
        price_per_m2=st.floats(0, 9),
        tool_price_per_cm2=st.floats(0, 9),
        least_tool_price=st.floats(0, 90),
    ),
)
wishes = st.builds(
    Operation,
    st.just("score"),
    sides=st.just(1),
    count=st.integers(1, 20),
    per=st.none() | st.integers(1, 900),
    area_share=st.floats(0, 0.5),
)


@given(machines, wishes, st.integers(0, 200_000), st.integers(0, 50_000), st.integers(1, 9))
def test_time_and_money_never_fall_as_more_is_asked(made, wish, units, more, times):
    step = operation_step(made, wish, A4)
    minutes, money = minutes_and_money(step, units)
    assert lots(step, units) == ceil(units / step.per)
    asks = [
        (wish, A4, units + more),
        (replace(wish, count=wish.count + times), A4, units),
        (replace(wish, sides=2), A4, units),
        (replace(wish, area_share=wish.area_share * 2), A4, units),
        (wish, _larger(A4, times), units),
        (wish, replace(A4, caliper_um=100.0 * times, mass_kg=0.005 * times), units),
    ]
    for other_wish, item, count in asks:
        other = operation_step(made, other_wish, item)
        after = minutes_and_money(other, count)
        assert after[0] >= minutes * (1 - 1e-12)
        assert after[1] >= money * (1 - 1e-12)
        assert other.set_up_waste >= step.set_up_waste
        assert other.running_waste >= step.running_waste


def _larger(item, times):
    share = 1 + times / 10
    return replace(
        item,
        width_mm=item.width_mm * share,
        length_mm=item.length_mm * share,
        mass_kg=item.mass_kg * share**2,
        piece_area_m2=item.piece_area_m2 * share**2,
        piece_perimeter_mm=item.piece_perimeter_mm * share,
    )
