"""The screen model: meshes, under-base, heads of a carousel, screens, dryers, what it refuses."""

from dataclasses import replace

import pytest

from reference.of_process_screen import (
    AUTOMATIC,
    FLATBED,
    MANUAL,
    leaf_of,
    run_of,
    screen_press,
    screened,
    sheets,
    shirt,
    spots,
    tee,
)
from shop import CMYK, job
from sidelay.imposition.works import works
from sidelay.job import Ink, Previous
from sidelay.promises import checked_charges, checked_findings, checked_process, checked_run
from sidelay_screen import constraints, cost, process, speed
from sidelay_screen.limits import tones
from sidelay_screen.mesh import (
    UNDER_BASE,
    deposit_um,
    flashes,
    heads,
    is_picture,
    mesh_per_cm,
    screen_price,
)

BLACK, WHITE, SILVER = Ink("black"), Ink("white", "white"), Ink("silver", "metallic")
DARK = tee(tone="dark")
LASTING = {"stencil_life_pulls": 500_000, "dryer_places": 1000}


def codes(press, part, wanted=None):
    return {each.code: each for each in constraints(press, part, wanted or job())}


def charges(press, work):
    found = checked_charges(cost(press, work))
    assert all(charge.because and charge.source for charge in found)
    return {charge.label: charge for charge in found}


def net(press, work):
    return run_of(press, work).cycles_per_hour


@pytest.mark.parametrize(
    ("lpi", "mesh"),
    [(45, 77), (55, 90), (65, 120), (85, 140), (95, 150), (120, 150)],
)
def test_the_mesh_has_four_threads_or_more_for_each_line(lpi, mesh):
    # 45 lpi x 4 / 2.54 = 70.9 threads/cm; 120 lpi is more than the finest mesh in stock holds.
    part = leaf_of(CMYK, ruling_lpi=float(lpi))
    assert mesh_per_cm(screen_press(FLATBED), part, CMYK[0]) == mesh


def test_solids_and_opaque_inks_take_the_coarse_mesh_whatever_the_ruling():
    press, part = screen_press(), shirt((*CMYK, WHITE))
    meshes = {ink.name: mesh_per_cm(press, part, ink) for ink in part.inks}
    assert meshes["white"] == 55
    assert meshes["cyan"] == 77
    assert mesh_per_cm(press, shirt((BLACK,)), BLACK) == 55
    assert mesh_per_cm(press, shirt((BLACK,), tone_steps=20), BLACK) == 77
    assert mesh_per_cm(screen_press(solid_mesh_per_cm=60), part, WHITE) == 55


def test_line_work_is_no_picture():
    assert is_picture(leaf_of(CMYK))
    assert not is_picture(leaf_of(CMYK, ruling_lpi=0.0))
    assert not is_picture(leaf_of(spots(4)))
    assert is_picture(leaf_of((BLACK,), CMYK[:3]))
    assert not is_picture(leaf_of(CMYK[:2]))


def test_a_mesh_of_just_four_threads_a_line_will_do():
    part = leaf_of(CMYK, ruling_lpi=76.2)
    assert mesh_per_cm(screen_press(FLATBED), part, CMYK[0]) == 120


@pytest.mark.parametrize(
    ("mesh", "weave", "wet_um"),
    [
        (32, "plain", 1.82 * 90 * (1 - 32 * 90 / 10_000) ** 2),
        (43, "plain", 0.285 * 130),
        (120, "plain", 0.285 * 50),
        (140, "plain", 0.35 * 50),
        (120, "twill", 0.31 * 50),
    ],
)
def test_the_deposit_follows_the_mesh(mesh, weave, wet_um):
    press = screen_press(weave=weave)
    assert deposit_um(press, float(mesh)) == pytest.approx(wet_um)


def test_ink_is_area_times_deposit_times_density():
    work = screened(shirt((*spots(1), SILVER)))
    by_label = charges(screen_press(), work)
    solid = 0.2 * 0.25 * 0.3
    assert by_label["ink"].amount == pytest.approx(solid * 28.5 * 1.2 / 1000)
    assert (by_label["ink"].unit_cost, by_label["special ink"].unit_cost) == (15, 35)
    assert by_label["special ink"].amount == pytest.approx(solid * 28.5 * 1.2 / 1000)
    assert by_label["ink left over"].amount == 0.05
    both = charges(screen_press(), screened(shirt(spots(1), spots(1))))
    assert both["ink"].amount == pytest.approx(2 * solid * 28.5 * 1.2 / 1000)
    assert both["ink left over"].amount == 0.1


def test_light_inks_on_dark_stock_get_a_white_under_them():
    part, press = shirt(spots(3), stock=DARK), screen_press()
    by_label, plain = charges(press, screened(part)), charges(press, screened(shirt(spots(3))))
    assert by_label["screens"].amount == plain["screens"].amount + 1 == 4
    # The white lies under all three inks: 3 x 20 % of the print.
    area = 0.6 * 0.25 * 0.3
    extra = by_label["ink"].amount - plain["ink"].amount
    assert extra == pytest.approx(area * 28.5 * 1.2 / 1000)
    assert by_label["squeegee blades"].amount == 4
    assert by_label["cleaner"].amount == 4
    assert by_label["ink left over"].amount == pytest.approx(0.2)
    more = run_of(press, screened(part)).make_ready_min
    assert more - run_of(press, screened(shirt(spots(3)))).make_ready_min == 10
    assert codes(press, part)["white_under_base"].severity == "caution"


def test_the_white_lies_under_every_piece_on_a_sheet():
    part = leaf_of(spots(2), stock=sheets(tone="dark"))
    press = screen_press(FLATBED)
    one, two = (charges(press, screened(part, up=up))["ink"].amount for up in (1, 2))
    assert one == pytest.approx((0.4 + 0.4) * 0.25 * 0.3 * 14.25 * 1.2 / 1000)
    assert two == pytest.approx(2 * one)


def test_the_white_covers_at_most_the_whole_print():
    part = shirt(spots(3), coverage=0.5, stock=DARK)
    white = charges(screen_press(), screened(part))["ink"].amount
    colours = charges(screen_press(), screened(replace(part, stock=tee())))["ink"].amount
    assert white - colours == pytest.approx(0.25 * 0.3 * 28.5 * 1.2 / 1000)


@pytest.mark.parametrize(
    ("inks", "screens", "flashed"),
    [
        ((BLACK,), 1, 0),
        ((WHITE,), 1, 0),
        ((WHITE, *spots(2)), 3, 1),  # the white of the job is the under-base
        (spots(2), 3, 1),
        ((BLACK, *spots(1)), 3, 1),
    ],
)
def test_what_needs_white_and_flash_on_dark_stock(inks, screens, flashed):
    press, part = screen_press(AUTOMATIC), shirt(inks, stock=DARK)
    assert charges(press, screened(part))["screens"].amount == screens
    assert flashes(press, part, inks) == flashed
    assert flashes(press, replace(part, stock=tee()), inks) == 0
    assert heads(press, part, inks) == screens + 2 * flashed


def test_black_needs_no_share_of_the_white():
    part = shirt((BLACK, *spots(1)), stock=DARK)
    by_label = charges(screen_press(), screened(part))
    solid = 0.2 * 0.25 * 0.3
    assert by_label["ink"].amount == pytest.approx(3 * solid * 28.5 * 1.2 / 1000)


def test_six_colours_flash_and_cool_down_take_eight_heads_of_an_automatic_carousel():
    five = shirt(spots(5), stock=DARK)  # and the white
    eight, manual = screen_press(AUTOMATIC), screen_press(MANUAL)
    assert heads(eight, five, five.front.inks) == 8
    assert heads(manual, five, five.front.inks) == 6
    assert speed(eight, screened(five)) is not None
    assert "too_many_inks" not in codes(eight, five)
    six = shirt(spots(6), stock=DARK)
    refused = codes(eight, six)["too_many_inks"]
    assert (refused.severity, refused.asked, refused.limit) == ("limit", 9, 8)
    assert refused.remedy == "use at most 5 inks a side"
    assert speed(eight, screened(six)) is None
    assert speed(eight, screened(shirt(spots(8)))) is not None


def test_a_press_of_one_head_cannot_print_colours_on_dark_garments():
    refused = codes(screen_press(stations=1), shirt(spots(1), stock=DARK))["too_many_inks"]
    assert "light stock" in refused.remedy
    refused = codes(screen_press(stations=2), shirt(spots(2), stock=DARK))["too_many_inks"]
    assert refused.remedy == "use at most 1 inks a side"


def test_the_side_with_most_inks_decides():
    found = codes(screen_press(), shirt((BLACK,), spots(7)))
    assert found["too_many_inks"].asked == 7
    assert "trap" in codes(screen_press(), shirt((BLACK,), spots(2)))


def test_each_side_of_a_garment_is_loaded_anew():
    work = screened(shirt(spots(2), spots(1)))
    run = run_of(screen_press(), work)
    assert run.passes == 2
    assert run.running_waste == pytest.approx(0.04)
    assert run.make_ready_min == 3 * 10 + 5
    assert run.make_ready_cycles == 3
    assert run_of(screen_press(make_ready_pieces_per_screen=4), work).make_ready_cycles == 12
    assert charges(screen_press(), work)["screens"].amount == 3


def test_by_hand_a_piece_takes_loading_strokes_and_flash():
    press = screen_press(**LASTING)
    assert net(press, screened(shirt(spots(2)))) == pytest.approx(3600 / (25 + 2 * 15), rel=1e-3)
    dark = screened(shirt(spots(2), stock=DARK))
    assert net(press, dark) == pytest.approx(3600 / (25 + 3 * 15 + 6), rel=2e-3)
    # Two sides: as many seconds as both take, in two passes.
    both = net(press, screened(shirt(spots(2), spots(1))))
    assert both == pytest.approx(2 * 3600 / (55 + 40), rel=1e-3)


def test_an_automatic_carousel_turns_as_fast_as_its_slowest_head():
    press = screen_press(AUTOMATIC, **LASTING)
    light, dark = screened(shirt(spots(2))), screened(shirt(spots(2), stock=DARK))
    assert net(press, light) == pytest.approx(402, rel=0.005)
    assert net(press, light) == pytest.approx(net(press, screened(shirt(spots(1)))), rel=0.005)
    slow = screen_press(AUTOMATIC, **LASTING, flash_s=12)
    assert net(slow, dark) == pytest.approx(300, rel=0.005)
    assert net(slow, light) == pytest.approx(402, rel=0.005)


def test_the_dryer_takes_so_many_an_hour():
    held = {"dryer_places": 5, "dryer_s": 90, "stencil_life_pulls": 500_000}
    work = screened(shirt(spots(1)))
    assert net(screen_press(AUTOMATIC, **held), work) == pytest.approx(200, rel=1e-3)
    sheet = screened(leaf_of(spots(1)))
    for ink, rack_h, share in (("uv", 0.75, 420), ("solvent", 0.75, 420), ("solvent", 0, 200)):
        press = screen_press(FLATBED, **held, ink=ink, rack_h=rack_h)
        assert net(press, sheet) == pytest.approx(share, rel=3e-3), ink


@pytest.mark.parametrize(
    ("figures", "size_mm", "share"),
    [
        ({}, (500, 700), 1.0),
        ({"caliper_um": 90.0}, (500, 700), 0.85),
        ({"caliper_um": 100.0}, (500, 700), 1.0),
        ({"caliper_um": 1500.0}, (500, 700), 1.0),
        ({"caliper_um": 3000.0}, (500, 700), 0.7),
        ({}, (700, 1000), 1.0),
        ({}, (750, 1050), 0.75),
    ],
)
def test_stock_and_size_slow_a_flatbed(figures, size_mm, share):
    part = leaf_of(spots(1), stock=sheets(**figures))
    press = screen_press(FLATBED, **LASTING)
    assert net(press, screened(part, size_mm=size_mm)) == pytest.approx(420 * share, rel=2e-3)


def test_a_stencil_that_breaks_down_is_hung_anew():
    press = screen_press(FLATBED, stencil_life_pulls=1000)
    # 10 min every 1,000 pulls.
    assert 60 / net(press, screened(leaf_of(spots(1)))) == pytest.approx(60 / 420 + 0.01)
    # A turned sheet is pulled twice in as many passes.
    turned = screened(leaf_of(spots(1), spots(1)), turned=True)
    assert 60 / net(press, turned) == pytest.approx(60 / 420 + 0.01)


def test_a_flatbed_prints_one_ink_a_pass_and_a_turned_sheet_twice():
    press = screen_press(FLATBED)
    assert run_of(press, screened(leaf_of(spots(4)))).passes == 4
    turned = screened(leaf_of(spots(2), spots(2)), up=2, turned=True)
    run = run_of(press, turned)
    assert (run.passes, run.make_ready_min) == (4, 2 * 10 + 5)
    by_label = charges(press, turned)
    assert (by_label["screens"].amount, by_label["screens"].life) == (2, 5_000)
    assert by_label["squeegee blades"].amount == 4
    assert run_of(screen_press(FLATBED, stations=2), screened(leaf_of(spots(3)))).passes == 2


def test_dark_sheets_take_the_white_as_a_pass_of_its_own():
    part = leaf_of(spots(2), stock=sheets(tone="dark"))
    assert run_of(screen_press(FLATBED), screened(part)).passes == 3
    assert flashes(screen_press(FLATBED), part, part.front.inks) == 0


def test_a_screen_is_a_share_of_a_frame_a_stencil_and_labour():
    press = screen_press(
        screen_price=40,
        reused_share=0.95,
        stencil_price=8,
        screen_labour_min=15,
        screen_labour_rate_per_hour=36,
    )
    assert screen_price(press) == pytest.approx(0.05 * 40 + 8 + 9)
    assert screen_price(replace(press, reused_share=0.0)) == pytest.approx(40 + 8 + 9)
    screens = charges(press, screened(shirt(spots(3))))["screens"]
    assert screens.unit_cost == pytest.approx(19)
    assert (screens.stage, screens.per, screens.amount) == ("carrier", "carrier", 3)
    assert (screens.life, screens.lead_days) == (10_000, 1)


def test_blades_wear_and_the_dryer_burns_while_the_press_is_manned():
    by_label = charges(screen_press(), screened(shirt(spots(3))))
    blades = by_label["squeegee blades"]
    assert blades.unit_cost * blades.amount == pytest.approx(3 * 12 / 25_000)
    assert blades.per == "cycle"
    assert (by_label["dryer"].per, by_label["dryer"].amount) == ("hour", 12)
    assert "lamps" in charges(screen_press(FLATBED), screened(leaf_of(spots(1))))


def test_set_up_and_tear_down_by_what_the_press_held():
    part = shirt(spots(2))
    runs = {
        name: run_of(screen_press(), screened(part, previous=previous))
        for name, previous in {
            "unknown": None,
            "same": Previous("manual", spots(2), part.stock.id),
            "lighter": Previous("manual", (BLACK, Ink("blue", "spot")), "another"),
        }.items()
    }
    assert {name: run.make_ready_min for name, run in runs.items()} == {
        "unknown": 25,
        "same": 20,
        "lighter": 25,
    }
    # Each screen comes down anyway, 2 min; 2 min for each ink washed, 2 more for light after dark.
    assert {name: run.wash_up_min for name, run in runs.items()} == {
        "unknown": 8,
        "same": 4,
        "lighter": 10,
    }


def test_an_opaque_white_is_washed_twice_as_long():
    dark, light = (run_of(screen_press(), screened(shirt(spots(1), stock=stock)))
                   for stock in (DARK, tee()))  # fmt: skip
    assert dark.wash_up_min - light.wash_up_min == 2 + 2 * 2


@pytest.mark.parametrize(
    ("base", "ink", "rack_h", "hours"),
    [
        (MANUAL, "plastisol", 0.75, 0),
        (MANUAL, "water", 0.75, 0),
        (FLATBED, "uv", 0.75, 0),
        (FLATBED, "solvent", 0.75, 0.75),
        (FLATBED, "solvent", 0, 0),
    ],
)
def test_drying_before_the_next_operation(base, ink, rack_h, hours):
    press = screen_press(base, ink=ink, rack_h=rack_h)
    part = shirt(spots(1)) if base is MANUAL else leaf_of(spots(1))
    assert run_of(press, screened(part)).drying_h == hours


@pytest.mark.parametrize(
    ("base", "part", "code", "limit"),
    [
        (MANUAL, shirt((BLACK,), ruling_lpi=65.0), "ruling_too_fine", 55),
        (FLATBED, leaf_of((BLACK,), min_type_pt=5.5), "type_too_small", 6),
        (FLATBED, leaf_of((BLACK,), min_reverse_type_pt=5.5), "reverse_type_too_small", 6),
        (FLATBED, leaf_of((BLACK,), min_line_pt=0.9), "line_too_fine", 1),
        (FLATBED, leaf_of((BLACK, SILVER), register_mm=0.2), "register_too_tight", 0.3),
        (FLATBED, leaf_of((BLACK,), variable_share=0.1), "variable_data", 0),
        (MANUAL, shirt((BLACK,), stock=sheets()), "grade_unsuitable", "garment"),
        (FLATBED, leaf_of(spots(7)), "too_many_inks", 6),
        (FLATBED, leaf_of((BLACK,), stock=sheets(grade="film")), "stock_untreated", "treated"),
        # 70 % of (1,270 / 80)^2 + 1 = 253
        (FLATBED, leaf_of((BLACK,), ruling_lpi=80.0, tone_steps=200), "tone_steps_below", 177),
    ],
)
def test_a_limit_says_what_would_clear_it(base, part, code, limit):
    finding = codes(screen_press(base), part)[code]
    assert (finding.severity, finding.limit) == ("limit", limit)
    assert finding.remedy


def test_a_treated_film_takes_ink():
    part = leaf_of((BLACK,), stock=sheets(grade="film", treated=True))
    assert "stock_untreated" not in codes(screen_press(FLATBED), part)


def test_a_ruling_wants_a_mesh_in_stock():
    press = screen_press(FLATBED, mesh_fabric_um=[[55, 100], [120, 50]])
    assert "mesh_too_coarse" not in codes(press, leaf_of(CMYK, ruling_lpi=76.0))
    refused = codes(press, leaf_of(CMYK, ruling_lpi=80.0))["mesh_too_coarse"]
    assert (refused.limit, refused.remedy) == (120, "drop to 76.2 lpi")
    assert "mesh_too_coarse" not in codes(press, leaf_of(spots(4), ruling_lpi=80.0))


def test_tone_steps_are_those_between_the_tints_that_hold():
    assert tones(screen_press()).steps(80.0) == int(0.7 * 253)


def test_an_ink_kind_that_the_press_does_not_run_is_refused():
    press = screen_press(ink_kinds=["spot", "process"])
    assert codes(press, shirt((SILVER,)))["ink_unavailable"].severity == "limit"
    assert "ink_unavailable" not in codes(screen_press(), shirt((SILVER, WHITE)))


def test_cautions_for_overlaps_tints_and_polyester():
    picture = codes(screen_press(FLATBED), leaf_of(CMYK))
    assert picture["tint_range"].limit == "15 to 85"
    # As wide as colours wander: 0.3 mm are 0.85 pt.
    assert picture["trap"].limit == pytest.approx(0.3 / 25.4 * 72, abs=0.01)
    assert {"trap", "tint_range"}.isdisjoint(codes(screen_press(FLATBED), leaf_of((BLACK,))))
    synthetic = shirt((BLACK,), stock=tee(finish="polyester"))
    assert "dye_migration" in codes(screen_press(), synthetic)
    assert "dye_migration" not in codes(screen_press(ink="water"), synthetic)


@pytest.mark.parametrize(
    ("base", "figures", "hazards"),
    [
        (MANUAL, {}, {"safety_oven"}),
        (AUTOMATIC, {}, {"safety_moving_parts", "safety_oven"}),
        (FLATBED, {}, {"safety_moving_parts", "safety_uv"}),
        (FLATBED, {"ink": "solvent"},
         {"safety_moving_parts", "safety_rack_vapour", "safety_solvent"}),
        (FLATBED, {"ink": "solvent", "rack_h": 0},
         {"safety_moving_parts", "safety_oven", "safety_solvent"}),
    ],
)  # fmt: skip
def test_a_press_warns_of_its_own_hazards(base, figures, hazards):
    found = codes(screen_press(base, **figures), shirt((BLACK,)))
    warned = {code for code in found if code.startswith("safety_")}
    assert warned == hazards
    assert all("local" in found[code].remedy for code in warned)


@pytest.mark.parametrize(
    ("base", "figures", "use", "code"),
    [
        (MANUAL, {}, "food_contact", "food_contact"),
        (MANUAL, {}, "delicate", "contact_pressure"),
        (FLATBED, {"ink": "water"}, "outdoor", "outdoor"),
    ],
)
def test_what_the_piece_is_for(base, figures, use, code):
    press, part = screen_press(base, **figures), shirt((BLACK,))
    assert codes(press, part, job(uses=(use,)))[code].severity == "caution"
    assert code not in codes(press, part)
    assert "outdoor" not in codes(screen_press(FLATBED), part, job(uses=("outdoor",)))


def test_the_frame_holds_the_image_within_its_margins():
    press = screen_press(frame_width_mm=500, frame_length_mm=600)
    assert (press.feed.max_width_mm, press.feed.max_length_mm) == (350, 400)
    roomy = screen_press(frame_width_mm=900, frame_length_mm=900)
    assert (roomy.feed.max_width_mm, roomy.feed.max_length_mm) == (380, 440)
    flat = screen_press(FLATBED)
    assert (flat.feed.image_width_mm, flat.feed.image_length_mm) == (740, 1050)
    told = screen_press(FLATBED, feed={"image_width_mm": 700})
    assert (told.feed.image_width_mm, told.feed.image_length_mm) == (700, 1050)


def test_a_frame_without_room_prints_nothing():
    press = screen_press(FLATBED, frame_width_mm=250)
    assert works(leaf_of((BLACK,)), press.feed) == ()


def test_through_the_core_a_shirt_is_one_piece_and_a_print_too_wide_is_none():
    part = shirt(spots(2), (BLACK,))
    (work,) = works(part, screen_press().feed)
    assert (work.layout.style, work.layout.up, run_of(screen_press(), work).passes) == (
        "sheetwise",
        1,
        2,
    )
    small = screen_press(frame_width_mm=380)
    assert works(part, small.feed) == ()
    found = works(leaf_of(spots(2)), screen_press(FLATBED).feed)
    assert max(each.layout.up for each in found) >= 2


@pytest.mark.parametrize(
    ("base", "part"),
    [
        (MANUAL, shirt(spots(3), (BLACK,), stock=DARK)),
        (AUTOMATIC, shirt(CMYK, stock=DARK)),
        (FLATBED, leaf_of(CMYK, (BLACK,))),
    ],
)
def test_answers_keep_the_promises_and_every_figure_has_its_reason(base, part):
    press, work = screen_press(base), screened(part)
    run = checked_run(speed(press, work))
    checked_findings(constraints(press, part, job()))
    assert charges(press, work)
    assert set(run.because) == {
        "passes",
        "make_ready_min",
        "make_ready_cycles",
        "cycles_per_hour",
        "running_waste",
        "wash_up_min",
        "drying_h",
    }


def test_the_process_says_what_it_is():
    about = checked_process(process())
    assert about.id == "screen"
    assert not about.variable_data
    assert "6,000" in about.speed
    assert set(about.sources) <= set(about.__dataclass_fields__)
    assert UNDER_BASE.kind == "white"
