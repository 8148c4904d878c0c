"""The gravure model: cylinders and their three lives, cells, solvent, speed of a web, units."""

from dataclasses import replace
from math import ceil, radians, tan

import pytest

from sidelay.imposition.works import works
from sidelay.job import PROCESS_INKS, Ink, Job, Part, Previous, Side
from sidelay.stock import Reel, Stock
from sidelay.work import Form, Layout, Work
from sidelay_gravure import constraints, cost, press_schema, process, speed
from sidelay_gravure.cylinders import (
    cell_volume_cm3_per_m2,
    cells,
    chrome_life_impressions,
    cycles_on_reel,
    engraving_h,
)
from sidelay_gravure.inking import max_voc_emitted_kg

CMYK = tuple(Ink(name) for name in PROCESS_INKS)
SPOT, WHITE, VARNISH = Ink("harbour blue", "spot"), Ink("white", "white"), Ink("gloss", "varnish")
REEL = Reel(820, 6000, 0.5, "test")
FILM = Stock("film", "Film", "film", "white", 90, 95, reels=(REEL,), treated=True)
PAPER = Stock("lwc", "LWC", "coated", "gloss", 60, 50, reels=(Reel(2480, 16_000, 0.06, "test"),))
RULING_LPI = 60 * 2.54  # 60 lines/cm
PACKAGING = {
    "kind": "reel",
    "min_width_mm": 400,
    "max_width_mm": 1100,
    "min_repeat_mm": 400,
    "max_repeat_mm": 900,
}
PUBLICATION = {
    "kind": "web",
    "min_width_mm": 1240,
    "max_width_mm": 2480,
    "min_cutoff_mm": 800,
    "max_cutoff_mm": 1300,
    "gap_mm": 0,
}


def press(feed=None, **figures):
    given = {
        "id": "gravure_one",
        "name": "Gravure",
        "cost_centre": "gravure",
        "units": 10,
        "rated_m_per_min": 300,
        "running_share": 0.5,
    }
    return press_schema()().load(given | figures | {"feed": feed or PACKAGING})


def pouch(inks=CMYK, coverage=0.3, **figures):
    given = {
        "name": "pouch",
        "kind": "web",
        "width_mm": 200,
        "height_mm": 300,
        "flat_width_mm": 200,
        "flat_height_mm": 300,
        "pages": 2,
        "folds": 0,
        "bleed_mm": 0.0,
        "stock": FILM,
        "grain": "any",
        "front": Side(inks, coverage),
        "back": Side(),
        "ruling_lpi": RULING_LPI,
        "variable_share": 0.0,
    }
    return Part(**given | figures)


def work(part=None, repeat=600.0, previous=None, up=8):
    part = part or pouch()
    layout = Layout(820, repeat, REEL, "one_side", up)
    return Work(part, layout, (Form("front", part.front.inks),), previous)


def charges(gravure, of):
    return {charge.label: charge for charge in cost(press=gravure, work=of)}


def codes(part=None, gravure=None, **job):
    part = part or pouch()
    found = constraints(press=gravure or press(), part=part, job=Job("t", (1000,), (part,), **job))
    return {finding.code: finding for finding in found}


# ---------------------------------------------------------------- cylinders


def test_cells_and_engraving_time():
    # 3.0 x 1.2 m at 70/cm on 12,000 cells a second: reference case gravure-engrave-time.
    assert cells(3.6, 70) == pytest.approx(176.4e6)
    assert engraving_h(176.4e6, 12_000) == pytest.approx(4.0833, rel=1e-4)
    assert engraving_h(176.4e6, 12_000, 16) * 60 == pytest.approx(15.3125)


def test_a_set_of_new_cylinders():
    gravure = press(
        base_price_per_m2=400,
        copper_price_per_m2=300,
        handling_price_per_cylinder=50,
        engraving_rate_per_hour=120,
        chrome_price_per_m2=100,
    )
    made = charges(gravure, work())
    face = 0.82 * 0.6
    hours = face * 1e4 * 60**2 / 12_000 / 3600
    assert made["cylinder bases"].unit_cost == pytest.approx(face * 400)
    assert made["cylinder engraving"].unit_cost == pytest.approx(50 + face * 300 + hours * 120)
    assert made["cylinder chrome"].unit_cost == pytest.approx(face * 100)
    carriers = [each for each in made.values() if each.stage == "carrier"]
    assert {each.amount for each in carriers} == {4}
    assert [each.label for each in carriers if each.per == "carrier"] == ["cylinder engraving"]
    assert {each.lead_days for each in carriers} == {8, 0}


def test_bases_last_engraving_outlives_chrome():
    gravure = press(chrome_wear_um_per_100k=2.0, chromings_per_engraving=4)
    made = charges(gravure, work())
    assert made["cylinder bases"].life is None
    assert made["cylinder chrome"].life == 200_000
    assert made["cylinder engraving"].life == 800_000


def test_kept_bases_are_only_engraved_and_sooner():
    made = charges(press(bases="kept"), work())
    assert "cylinder bases" not in made
    assert made["cylinder engraving"].lead_days == 4
    assert made["cylinder engraving"].unit_cost == charges(press(), work())[
        "cylinder engraving"
    ].unit_cost


def test_a_finer_screen_or_fewer_heads_take_longer_to_engrave():
    def engraving(ruling=RULING_LPI, inks=CMYK, **figures):
        figures = {"copper_price_per_m2": 0, "handling_price_per_cylinder": 0} | figures
        of = work(pouch(inks, ruling_lpi=ruling))
        return charges(press(**figures), of)["cylinder engraving"].unit_cost

    assert engraving(2 * RULING_LPI) == pytest.approx(4 * engraving())
    assert engraving(engraving_heads=8) == pytest.approx(engraving() / 8)
    assert engraving(engraver="laser") == pytest.approx(engraving() * 12 / 70)
    assert engraving(inks=(WHITE,)) == pytest.approx(engraving(inks=(SPOT,)) * (50 / 60) ** 2)


def test_chrome_wears():
    assert chrome_life_impressions(10, 6, 0.8) == pytest.approx(500_000)
    assert chrome_life_impressions(10, 6, 1.2) == pytest.approx(333_333.3, rel=1e-6)
    assert chrome_life_impressions(6, 6, 1.0) == 0
    # A press described so is refused nothing: its chrome lasts one impression.
    assert charges(press(chrome_um=6), work())["cylinder chrome"].life == 1


# ---------------------------------------------------------------- ink, solvent, energy


def test_volume_of_cells():
    # Pitch 1/60 cm = 166.7 um, cells 158.7 um wide, 158.7 / (2 tan 65) = 37.0 um deep.
    depth = (1e4 / 60 - 8) / (2 * tan(radians(65)))
    volume = ((1e4 / 60 - 8) / (1e4 / 60)) ** 2 * depth / 3
    assert cell_volume_cm3_per_m2(60, 8, 130) == pytest.approx(volume)
    assert volume == pytest.approx(11.18, abs=0.01)
    assert cell_volume_cm3_per_m2(2000, 8, 130) == 0


@pytest.mark.parametrize(
    ("ink", "name", "screen"),
    [
        (Ink("black"), "process ink", 60),
        (SPOT, "special ink", 60),
        (WHITE, "white ink", 50),
        (VARNISH, "varnish", 50),
    ],
)
def test_ink_and_solvent_by_cell_volume(ink, name, screen):
    made = charges(press(transfer_share=0.5), work(pouch((ink,), 0.5)))
    coverage = 1.0 if ink is VARNISH else 0.5  # a varnish covers all unless it is told less
    solid_m2 = coverage * 0.2 * 0.3 * 8
    wet = solid_m2 * cell_volume_cm3_per_m2(screen, 8, 130) * 0.5 * 0.9 / 1000
    assert made[name].amount == pytest.approx(wet * 0.25 / 0.40)
    assert made["ester solvent"].amount == pytest.approx(wet * (1 - 0.625 + 0.15))


@pytest.mark.parametrize("lines_per_cm", [54, 60, 70])
def test_a_solid_takes_4_to_8_grams_wet(lines_per_cm):
    # From memory: 4 to 8 g/m2 wet, 1 to 3 dry.
    made = charges(press(), work(pouch((SPOT,), 1.0, ruling_lpi=lines_per_cm * 2.54)))
    wet_gsm = made["special ink"].amount / 0.625 * 1000 / (0.2 * 0.3 * 8)
    assert 4 < wet_gsm < 8
    assert 1 < wet_gsm * 0.25 < 3


def test_ink_left_in_units_that_are_emptied():
    gravure = press(standing_inks=list(PROCESS_INKS), ink_left_kg=3, special_ink_price_per_kg=10)
    made = charges(gravure, work(pouch((*CMYK, SPOT))))
    left = made["special ink left over"]
    assert left.unit_cost * left.amount == 30
    assert "process ink left over" not in made


def test_heat_by_area_of_web():
    energy = charges(press(drying_energy_wh_per_m2=100), work())["drying energy"]
    assert energy.amount == pytest.approx(0.82 * 0.6 * 0.1)


def test_share_of_solvent_that_may_leave():
    # 40 CFR 60.432: 16 %.
    assert max_voc_emitted_kg(1000, press().max_voc_share) == 160


def test_a_screen_finer_than_its_walls_prints_nothing():
    made = charges(press(), work(pouch((SPOT,), ruling_lpi=2000 * 2.54)))
    assert made["special ink"].amount == 0
    assert "ester solvent" not in made


def test_washing_is_charged_by_unit_that_changes_ink():
    gravure = press(wash_price_per_unit=9, standing_inks=list(PROCESS_INKS))
    wash = charges(gravure, work(pouch((*CMYK, SPOT))))["wash"]
    assert (wash.stage, wash.unit_cost * wash.amount) == ("wash_up", 9)
    assert "wash" not in charges(gravure, work())
    assert "wash" not in charges(press(wash_price_per_unit=0), work())


# ---------------------------------------------------------------- speed


def test_metres_a_minute_are_turns_an_hour():
    # 150 m/min; 0.6 m a turn; four cylinders of 15 min each 400,000 impressions for chrome.
    run = speed(press=press(), work=work())
    assert run.cycles_per_hour == pytest.approx(60 / (0.6 / 150 + 4 * 15 / 400_000))


@pytest.mark.parametrize(
    ("part", "factor"),
    [
        (pouch(coverage=0.5), 1.0),  # 200 %, the step itself
        (pouch(coverage=0.51), 0.85),
        (pouch(stock=replace(FILM, caliper_um=19.0)), 0.8),
        (pouch(stock=replace(FILM, caliper_um=20.0)), 1.0),
        (pouch(stock=replace(FILM, caliper_um=251.0)), 0.75),
        (pouch(stock=replace(FILM, caliper_um=250.0)), 1.0),
        (pouch(register_mm=0.15), 0.85),
        (pouch(register_mm=0.16), 1.0),
    ],
)
def test_what_slows_the_web(part, factor):
    run = speed(press=press(make_ready_min_per_cylinder=0), work=work(part))
    assert run.cycles_per_hour == pytest.approx(150 * factor / 0.6 * 60)


def test_without_a_splicer_each_reel_is_a_stop():
    figures = {"make_ready_min_per_cylinder": 0, "reel_change_min": 10}
    whole = speed(press=press(**figures), work=work()).cycles_per_hour
    stopped = speed(press=press(splices=False, **figures), work=work()).cycles_per_hour
    # 6,000 m at 150 m/min run 40 min, then stand 10.
    assert stopped == pytest.approx(whole * 40 / 50)


def test_whole_repeats_on_a_reel():
    assert cycles_on_reel(6000, 0.18) == 33_333
    assert cycles_on_reel(6000, 0.6) == 10_000


def test_make_ready_waste_and_wash():
    gravure = press(
        stock_change_min=25,
        make_ready_m_per_job=90,
        make_ready_m_per_cylinder=110,
        running_waste=0.02,
        reel_change_m=30,
    )
    run = speed(press=gravure, work=work(repeat=601.0))
    assert run.make_ready_min == 25 + 4 * 15
    assert run.make_ready_cycles == ceil(530 / 0.601)
    assert run.running_waste == pytest.approx(0.02 + 30 / 6000)
    assert run.wash_up_min == 4 * 10


def test_what_the_last_job_left():
    before = Previous("gravure_one", CMYK, "film")
    run = speed(press=press(), work=work(previous=before))
    assert (run.make_ready_min, run.wash_up_min) == (4 * 15, 0)
    dark = Previous("gravure_one", (Ink("black"),), "film")
    yellow = work(pouch((Ink("yellow"),)), previous=dark)
    assert speed(press=press(light_after_dark_min=7), work=yellow).wash_up_min == 10 + 7


def test_a_publication_press_prints_both_sides_in_one_pass():
    section = pouch(
        kind="section",
        width_mm=210,
        height_mm=280,
        flat_width_mm=1680,
        flat_height_mm=1120,
        pages=64,
        bleed_mm=3.0,
        stock=PAPER,
        back=Side(CMYK, 0.3),
    )
    gravure = press(PUBLICATION, units=4, ink="toluene", bases="kept", rated_m_per_min=900)
    (first, *_) = works(section, gravure.feed)
    run, made = speed(press=gravure, work=first), charges(gravure, first)
    assert run.passes == 1
    assert 800 <= first.layout.length_mm <= 1300
    assert made["cylinder engraving"].amount == 8
    assert "toluene solvent" in made
    five = replace(section, front=Side((*CMYK, SPOT), 0.3))
    (first, *_) = works(five, gravure.feed)
    assert speed(press=gravure, work=first) is None
    assert codes(five, gravure)["too_many_inks"].limit == 4


# ---------------------------------------------------------------- limits


def test_an_easy_pouch_meets_hazards_only():
    assert set(codes()) == {"safety_nips", "safety_oven", "safety_solvent_vapour"}
    assert all("local" in finding.remedy for finding in codes().values())
    assert "safety_solvent_vapour" not in codes(gravure=press(ink="water"))


@pytest.mark.parametrize(
    ("part", "gravure", "code", "cleared"),
    [
        (pouch((*CMYK, SPOT)), press(units=4), "too_many_inks", pouch()),
        (pouch(ruling_lpi=255), None, "ruling_too_fine", pouch(ruling_lpi=254)),
        (pouch(min_type_pt=4.9), None, "type_too_small", pouch(min_type_pt=5)),
        (pouch(min_reverse_type_pt=5), None, "reverse_type_too_small", pouch()),
        (pouch(variable_share=0.1), None, "variable_data", pouch()),
        (pouch(tone_steps=257), None, "tone_steps_below", pouch(tone_steps=256)),
        (pouch(stock=replace(FILM, treated=False)), None, "stock_untreated", pouch()),
    ],
)
def test_a_limit_and_what_clears_it(part, gravure, code, cleared):
    finding = codes(part, gravure)[code]
    assert finding.severity == "limit"
    assert finding.remedy
    assert code not in codes(cleared, gravure)


ROUGH = replace(FILM, grade="uncoated")
DARK = replace(FILM, tone="dark")


@pytest.mark.parametrize(
    ("part", "code", "cleared"),
    [
        (pouch(min_type_pt=7.9), "serrated_type", pouch(min_type_pt=8)),
        (pouch(min_type_pt=5), "serrated_type", pouch(min_type_pt=4)),  # that is refused instead
        (
            pouch(kept_carriers=("gravure_one:one_side:1x1:400:1x1",)),
            "kept_cylinders",
            pouch(kept_carriers=("flexo_one:one_side:1x1:400:1x1",)),
        ),
        (pouch(stock=ROUGH), "rough_stock", pouch()),
        (pouch(stock=DARK), "no_white_under", pouch((WHITE, *CMYK), stock=DARK)),
    ],
)
def test_a_caution_and_what_clears_it(part, code, cleared):
    assert codes(part)[code].severity == "caution"
    assert code not in codes(cleared)


def test_electrostatic_assist_prints_rough_stock():
    assert "rough_stock" not in codes(pouch(stock=ROUGH), press(electrostatic_assist=True))


def test_solvent_that_leaves():
    assert "voc_emitted" not in codes(gravure=press(solvent_controlled_share=0.84))
    finding = codes(gravure=press(solvent_controlled_share=0.83))["voc_emitted"]
    assert (finding.asked, finding.limit, finding.severity) == (0.17, 0.16, "caution")
    assert "84%" in finding.remedy
    assert "voc_emitted" not in codes(gravure=press(solvent_controlled_share=0, ink="water"))


@pytest.mark.parametrize("use", ["delicate", "food_contact", "outdoor"])
def test_uses_are_cautions(use):
    assert codes(uses=(use,))[use].severity == "caution"
    assert use not in codes()


# ---------------------------------------------------------------- schema, facts


def test_every_default_has_a_source():
    silent = [
        name
        for name, field in press_schema()().fields.items()
        if isinstance(field.load_default, float | int) and not field.metadata.get("x-source")
    ]
    assert not silent


def test_facts():
    facts = process()
    assert (facts.id, facts.variable_data) == ("gravure", False)
    assert facts.quality[0] < 1.0 < facts.quality[1]
