"""The flexo model: plates by area, sleeves, dies, anilox ink, speed of a web, decks."""

from dataclasses import replace
from math import ceil

import pytest

from sidelay.imposition.works import works
from sidelay.job import PROCESS_INKS, Ink, Job, Part, Previous, Side
from sidelay.stock import Reel, Stock
from sidelay.work import Form, Layout, Work
from sidelay_flexo import constraints, cost, press_schema, process, speed

CMYK = tuple(Ink(name) for name in PROCESS_INKS)
SPOT, WHITE, VARNISH = Ink("harbour blue", "spot"), Ink("white", "white"), Ink("gloss", "varnish")
REEL = Reel(330, 2000, 0.45, "test")
LABELSTOCK = Stock("label", "Label", "labelstock", "gloss", 155, 140, reels=(REEL,))
FEED = {
    "kind": "reel",
    "min_width_mm": 150,
    "max_width_mm": 330,
    "min_teeth": 64,
    "max_teeth": 160,
    "circular_pitch_mm": 3.175,
    "dies_in_line": True,
}
BCM = 1000 / 645.16  # a billion cubic microns to the square inch, in cm3/m2


def press(feed=(), **figures):
    given = {
        "id": "flexo",
        "name": "Flexo",
        "cost_centre": "flexo",
        "units": 8,
        "rated_m_per_min": 200,
        "running_share": 0.5,
        "make_ready_min_per_plate": 5,
        "splices": True,
    }
    return press_schema()().load(given | figures | {"feed": FEED | dict(feed)})


def label(inks=CMYK, coverage=0.2, **figures):
    given = {
        "name": "label",
        "kind": "label",
        "width_mm": 100,
        "height_mm": 70,
        "flat_width_mm": 100,
        "flat_height_mm": 70,
        "pages": 2,
        "folds": 0,
        "bleed_mm": 0.0,
        "stock": LABELSTOCK,
        "grain": "any",
        "front": Side(inks, coverage),
        "back": Side(),
        "ruling_lpi": 133,
        "variable_share": 0.0,
        "gutter_mm": 3.0,
    }
    return Part(**given | figures)


def work(part=None, repeat=250.0, previous=None, up=9):
    part = part or label()
    layout = Layout(330, repeat, REEL, "one_side", up)
    return Work(part, layout, (Form("front", part.front.inks),), previous)


def charges(flexo, of):
    return {charge.label: charge for charge in cost(press=flexo, work=of)}


def codes(part=None, flexo=None, **job):
    part = part or label()
    found = constraints(press=flexo or press(), part=part, job=Job("t", (1000,), (part,), **job))
    return {finding.code: finding for finding in found}


# ---------------------------------------------------------------- speed


def test_metres_a_minute_are_repeats_an_hour():
    # 200 x 0.5 = 100 m/min; 0.25 m a repeat; four plates of 5 min shared over a million repeats.
    run = speed(press=press(), work=work(label(kind="web")))
    assert run.cycles_per_hour == pytest.approx(60 / (0.25 / 100 + 4 * 5 / 1e6))
    assert run.passes == 1


@pytest.mark.parametrize(
    ("part", "factor"),
    [
        (label(kind="web", coverage=0.45), 1.0),  # 180 %, the step itself
        (label(kind="web", coverage=0.46), 0.8),
        (label(kind="web", stock=replace(LABELSTOCK, caliper_um=251.0)), 0.75),
        (label(kind="web", stock=replace(LABELSTOCK, caliper_um=250.0)), 1.0),
        (label(kind="web", stock=replace(LABELSTOCK, caliper_um=19.0)), 0.8),
        (label(kind="web", stock=replace(LABELSTOCK, caliper_um=20.0)), 1.0),
        (label(kind="web", register_mm=0.2), 0.85),
        (label(kind="web", register_mm=0.21), 1.0),
        (label(kind="web", register_mm=0.2, coverage=0.46), 0.8 * 0.85),
    ],
)
def test_what_slows_the_web(part, factor):
    endless = press(plate_life_repeats=20_000_000, make_ready_min_per_plate=0)
    per_hour = speed(press=endless, work=work(part)).cycles_per_hour
    assert per_hour == pytest.approx(100 * factor / 0.25 * 60)


@pytest.mark.parametrize(
    ("kind", "in_line", "metres"), [("label", True, 60), ("label", False, 100), ("web", True, 100)]
)
def test_the_die_holds_labels_back(kind, in_line, metres):
    flexo = press({"dies_in_line": in_line}, die_m_per_min=60, make_ready_min_per_plate=0)
    run = speed(press=flexo, work=work(label(kind=kind)))
    assert run.cycles_per_hour == pytest.approx(metres / 0.25 * 60)
    assert ("by the die" in run.because["cycles_per_hour"]) == (metres == 60)


def test_without_a_splicer_each_reel_is_a_stop():
    figures = {"make_ready_min_per_plate": 0, "reel_change_min": 6}
    whole = speed(press=press(**figures), work=work()).cycles_per_hour
    stopped = speed(press=press(splices=False, **figures), work=work()).cycles_per_hour
    # 2,000 m at 100 m/min run 20 min, then stand 6.
    assert stopped == pytest.approx(whole * 20 / 26)


def test_make_ready_by_plate_and_stock():
    run = speed(press=press(stock_change_min=8, mounting_min_per_plate=2), work=work())
    assert run.make_ready_min == 8 + 4 * (5 + 2)
    sleeves = press(stock_change_min=8, mounting_min_per_plate=2, plates="sleeves")
    assert speed(press=sleeves, work=work()).make_ready_min == 8 + 4 * 5


def test_the_same_stock_is_not_threaded_again():
    before = Previous("flexo", CMYK, "label")
    run = speed(press=press(stock_change_min=8), work=work(previous=before))
    assert run.make_ready_min == 4 * 5
    assert run.wash_up_min == 0


def test_spoiled_metres_are_begun_repeats():
    flexo = press(make_ready_m_per_job=40, make_ready_m_per_plate=30)
    assert speed(press=flexo, work=work(repeat=250.1)).make_ready_cycles == ceil(160 / 0.2501)
    assert speed(press=flexo, work=work(repeat=500)).make_ready_cycles == 320


def test_waste_while_running_and_at_each_reel():
    flexo = press(running_waste=0.02, reel_change_m=30)
    assert speed(press=flexo, work=work()).running_waste == pytest.approx(0.02 + 30 / 2000)


def test_decks_that_change_ink_are_washed():
    flexo = press(wash_min_per_deck=8, light_after_dark_min=5, standing_inks=list(PROCESS_INKS))
    inked = label((*CMYK, SPOT, WHITE))
    assert speed(press=flexo, work=work(inked)).wash_up_min == 8 + 2 * 8
    before = Previous("flexo", (Ink("black"),), "other")
    white = work(label((WHITE,)), previous=before)
    assert speed(press=flexo, work=white).wash_up_min == 8 + 5


def test_more_inks_than_decks_do_not_run():
    assert speed(press=press(units=4), work=work(label((*CMYK, SPOT)))) is None
    assert speed(press=press(units=5), work=work(label((*CMYK, SPOT)))) is not None


def test_washing_is_charged_by_deck_that_changes_ink():
    flexo = press(wash_price_per_deck=4, standing_inks=list(PROCESS_INKS))
    wash = charges(flexo, work(label((*CMYK, SPOT, WHITE))))["wash"]
    assert (wash.stage, wash.unit_cost * wash.amount) == ("wash_up", 8)
    assert "wash" not in charges(flexo, work())
    assert "wash" not in charges(press(wash_price_per_deck=0), work())


# ---------------------------------------------------------------- plates, sleeves, dies


def test_plates_by_area_of_the_repeat():
    # 33 - 2 x 0.5 cm wide, 25 cm long, 0.1 a cm2.
    plates = charges(press(plate_price_per_cm2=0.1, plate_life_repeats=500_000), work())["plates"]
    assert plates.unit_cost == pytest.approx(32 * 25 * 0.1)
    assert (plates.per, plates.amount, plates.life, plates.lead_days) == ("carrier", 4, 500_000, 2)
    assert plates.stage == "carrier"


def test_a_plate_is_as_wide_as_what_prints():
    (laid, *_) = works(label(), press().feed)
    assert (laid.layout.across, laid.layout.width_mm) == (3, 330)
    plates = charges(press(plate_price_per_cm2=0.1), laid)["plates"]
    # Across the width, pieces of 100 or of 70 with 3 mm between.
    width = {100.0: 306.0, 70.0: 216.0}[laid.layout.pattern.placements()[0].width]
    assert plates.unit_cost == pytest.approx(width * laid.layout.length_mm / 100 * 0.1, rel=1e-4)


def test_a_sleeve_costs_more_takes_longer_and_is_not_mounted():
    plate = charges(press(), work())
    sleeve = charges(press(plates="sleeves", sleeve_price_times=2.5), work())
    assert sleeve["sleeves"].unit_cost == pytest.approx(2.5 * plate["plates"].unit_cost)
    assert sleeve["sleeves"].lead_days == 15
    assert plate["plate mounting"].unit_cost * plate["plate mounting"].amount == 8 * 4
    assert plate["plate mounting"].stage == "make_ready"  # kept plates are mounted again
    assert "plate mounting" not in sleeve


def test_the_stretch_of_a_plate_is_told():
    # 2 pi x (1.14 - 0.18) / 250 = 2.41 %.
    assert "2.41% of stretch" in charges(press(), work())["plates"].because
    assert "stretch, " not in charges(press(plates="sleeves"), work())["sleeves"].because


def test_a_die_for_labels_cut_in_line():
    flexo = press(die_price_per_cm2=0.2, die_life_repeats=100_000)
    die = charges(flexo, work())["flexible die"]
    assert die.unit_cost == pytest.approx(32 * 25 * 0.2)
    assert (die.stage, die.per, die.amount, die.life) == ("die", "form", 1, 100_000)
    assert "flexible die" not in charges(flexo, work(label(kind="web")))
    assert "flexible die" not in charges(press(), work())
    elsewhere = press({"dies_in_line": False}, die_price_per_cm2=1)
    assert "flexible die" not in charges(elsewhere, work())


# ---------------------------------------------------------------- ink, energy


@pytest.mark.parametrize(
    ("ink", "name", "bcm"),
    [
        (Ink("black"), "process ink", 2.0),
        (SPOT, "special ink", 5.0),
        (VARNISH, "varnish", 5.0),
        (WHITE, "white ink", 8.0),
    ],
)
def test_ink_by_anilox_and_transfer(ink, name, bcm):
    flexo = press(anilox_process_bcm=2, anilox_solid_bcm=5, anilox_white_bcm=8, transfer_share=0.3)
    charge = charges(flexo, work(label((ink,), 0.5)))[name]
    coverage = 1.0 if ink is VARNISH else 0.5  # a varnish covers all unless it is told less
    solid_m2 = coverage * 0.1 * 0.07 * 9
    assert charge.amount == pytest.approx(solid_m2 * bcm * BCM * 0.3 * 1.1 / 1000)
    assert charge.per == "kilogram"


def test_solvent_ink_is_thinned_and_made_up():
    flexo = press(ink="solvent", anilox_process_bcm=2)
    made = charges(flexo, work(label((Ink("black"),), 0.5)))
    wet = 0.5 * 0.1 * 0.07 * 9 * 2 * BCM * 0.25 * 0.92 / 1000
    assert made["process ink"].amount == pytest.approx(wet * 0.30 / 0.40)
    assert made["solvent"].amount == pytest.approx(wet * (0.25 + 0.10))
    assert "solvent" not in charges(press(), work())


def test_ink_left_in_chambers_that_are_emptied():
    flexo = press(standing_inks=list(PROCESS_INKS), ink_left_kg=0.4, special_ink_price_per_kg=20)
    made = charges(flexo, work(label((*CMYK, SPOT))))
    assert made["special ink left over"].unit_cost * made["special ink left over"].amount == 8
    assert "process ink left over" not in made


def test_drying_energy_by_area_of_web():
    energy = charges(press(drying_energy_wh_per_m2=40), work())["drying energy"]
    assert energy.amount == pytest.approx(0.33 * 0.25 * 0.040)


# ---------------------------------------------------------------- limits


def test_an_easy_label_meets_cautions_only():
    assert {each.severity for each in codes().values()} == {"caution"}
    assert set(codes()) == {"light_tints", "safety_nips", "safety_uv"}


@pytest.mark.parametrize(
    ("part", "flexo", "code", "cleared"),
    [
        (label((*CMYK, SPOT)), press(units=4), "too_many_inks", label()),
        (label(ruling_lpi=151), None, "ruling_too_fine", label(ruling_lpi=150)),
        (label(min_type_pt=3.9), None, "type_too_small", label(min_type_pt=4)),
        (label(min_reverse_type_pt=5.9), None, "reverse_type_too_small", label()),
        (label(variable_share=0.1), None, "variable_data", label()),
        # (2540 / 133)^2 + 1 is over 256: 256 x 0.97 = 248.
        (label(tone_steps=249), None, "tone_steps_below", label(tone_steps=248)),
        # (2540 / 200)^2 + 1 = 162: 157 are left.
        (
            label(tone_steps=158, ruling_lpi=200),
            press(max_ruling_lpi=200),
            "tone_steps_below",
            label(tone_steps=157, ruling_lpi=200),
        ),
        (
            label(stock=replace(LABELSTOCK, grade="film")),
            None,
            "stock_untreated",
            label(stock=replace(LABELSTOCK, grade="film", treated=True)),
        ),
    ],
)
def test_a_limit_and_what_clears_it(part, flexo, code, cleared):
    finding = codes(part, flexo)[code]
    assert finding.severity == "limit"
    assert finding.remedy
    assert code not in codes(cleared, flexo)


def test_a_treater_treats_film():
    film = label(stock=replace(LABELSTOCK, grade="film"))
    assert "stock_untreated" not in codes(film, press(corona_treater=True))


@pytest.mark.parametrize(
    ("part", "code", "cleared"),
    [
        (label(gutter_mm=2.3), "plate_gap", label(gutter_mm=2.4)),
        (label(min_type_pt=6), "colours_in_type", label(CMYK[:3], min_type_pt=6)),
        (label(CMYK[:3]), "light_tints", label((*CMYK[:2], SPOT, VARNISH))),
        (label(kept_carriers=("flexo",)), "kept_plates", label(kept_carriers=("letterpress",))),
        (
            label(stock=replace(LABELSTOCK, tone="dark")),
            "no_white_under",
            label((WHITE, *CMYK), stock=replace(LABELSTOCK, tone="dark")),
        ),
    ],
)
def test_a_caution_and_what_clears_it(part, code, cleared):
    assert codes(part)[code].severity == "caution"
    assert code not in codes(cleared)


def test_sleeves_have_no_seam():
    assert "plate_gap" not in codes(label(gutter_mm=0.0), press(plates="sleeves"))


@pytest.mark.parametrize("use", ["delicate", "food_contact", "outdoor"])
def test_uses_are_cautions(use):
    assert codes(uses=(use,))[use].severity == "caution"
    assert use not in codes()


@pytest.mark.parametrize(
    ("ink", "hazards"),
    [
        ("uv", {"safety_nips", "safety_uv"}),
        ("solvent", {"safety_nips", "safety_solvent_vapour", "safety_oven"}),
        ("water", {"safety_nips", "safety_oven"}),
    ],
)
def test_only_the_hazards_of_this_press(ink, hazards):
    found = codes(flexo=press(ink=ink))
    assert {code for code in found if code.startswith("safety_")} == hazards
    assert all("local" in found[code].remedy for code in hazards)


# ---------------------------------------------------------------- schema, facts


def test_defaults_hang_on_web_and_ink():
    narrow, wide = press(), press(web="wide", ink="solvent")
    assert (narrow.min_type_pt, narrow.min_reverse_type_pt, narrow.solids_share) == (4, 6, 1)
    assert (wide.min_type_pt, wide.min_reverse_type_pt, wide.solids_share) == (6, 8, 0.3)
    assert press(web="wide", min_type_pt=5).min_type_pt == 5
    assert wide.source("min_type_pt").startswith("default: 4/6 pt narrow web, 6/8 pt wide web")


def test_repeats_are_teeth():
    # 64 teeth of 1/8 in are 8 in.
    assert press().feed.repeats_mm[0] == pytest.approx(203.2)


def test_every_default_has_a_source():
    silent = [
        name
        for name, field in press_schema()().fields.items()
        if isinstance(field.load_default, float | int) and not field.metadata.get("x-source")
    ]
    assert not silent


def test_facts():
    facts = process()
    assert (facts.id, facts.variable_data, facts.impresses) == ("flexo", False, False)
    assert facts.quality[0] < facts.quality[1] < 1.0
