"""The search for the least change: what is tried, what is taken back, what is never offered."""

from dataclasses import replace
from itertools import count
from types import ModuleType

import pytest

import sidelay_toner as toner
from shop import (
    BLACK,
    CMYK,
    NOW,
    demo_of,
    example,
    job,
    leaf,
    plant,
    press,
    processes,
    stock,
    with_inks,
)
from sidelay import plugin
from sidelay.binder_limits import bound_parts
from sidelay.compare import compare
from sidelay.job import Ink, Side
from sidelay.offers import PricedJob
from sidelay.plan import Planner, chosen_of
from sidelay.processes import Processes
from sidelay.remedies import ROUNDS, remedies
from sidelay.stock import ParentSheet
from sidelay.trials import Trials

SHEET = (ParentSheet(640, 900, "long", 0.09, "test"),)


def paper(name, grammage_gsm, grade="coated", finish="silk", **figures):
    return stock(
        id=name, name=name, grade=grade, finish=finish, grammage_gsm=grammage_gsm, sheets=SHEET,
        **figures,
    )


def toners(constraints, *stocks):
    """A registry and a plant with one toner press that is kept out by these constraints."""
    fake = ModuleType("toner")
    for hook in ("process", "press_schema", "speed", "cost"):
        setattr(fake, hook, getattr(toner, hook))
    fake.constraints = plugin.hookimpl(constraints)
    registry = Processes()
    registry.add("toner", fake)
    own = paper("own", 130)
    return registry, plant(press("toner"), stocks={each.id: each for each in (own, *stocks)})


def cured(constraints, *stocks, of=None, **figures):
    registry, shop = toners(constraints, *stocks)
    wanted = job(of or leaf(148, 210, stock=shop.stocks["own"]), **figures)
    plan = Planner(registry).plan(wanted, shop)
    (remedy,) = remedies(wanted, shop, plan, registry, chosen_of(shop))
    return remedy


def limit(code, **change):
    return plugin.Finding("limit", code, f"{code} is in the way", change=change)


def told(remedy):
    return {change.member: change.after for change in remedy.changes}


def test_a_change_that_another_makes_needless_is_taken_back():
    def constraints(part):
        return [
            *([limit("fine", ruling_lpi=100)] if part.ruling_lpi > 100 else []),
            # Gone as soon as the ruling is coarse.
            *([limit("steps", tone_steps=2)] if part.ruling_lpi > 120 else []),
        ]

    remedy = cured(constraints, of=leaf(148, 210, stock=paper("own", 130), tone_steps=200))
    assert told(remedy) == {"ruling_lpi": 100}


def test_a_figure_that_hangs_on_another_change_is_as_little_as_that_leaves_it():
    def constraints(part):
        most = int(10_000 / part.ruling_lpi)
        return [
            *([limit("steps", tone_steps=most)] if part.tone_steps > most else []),
            *([limit("fine", ruling_lpi=100)] if part.ruling_lpi > 100 else []),
        ]

    remedy = cured(constraints, of=leaf(148, 210, stock=paper("own", 130), tone_steps=200))
    assert told(remedy) == {"tone_steps": 100, "ruling_lpi": 100}


def test_the_nearest_stock_of_the_grade_comes_before_nearer_ones_of_others():
    stocks = [
        paper("other_130", 130, grade="uncoated"),
        paper("silk_200", 200),
        paper("silk_170", 170),
        paper("gloss_170", 170, finish="gloss"),
    ]

    def constraints(part):
        return [] if part.stock.id != "own" else [limit("stock", **plugin.ANOTHER_STOCK)]

    (change,) = cured(constraints, *stocks).changes
    assert (change.before.id, change.after.id) == ("own", "silk_170")


def test_a_stock_that_brings_another_limit_is_passed_over():
    def constraints(part):
        found = {"own": "thin", "near": "wild", "far": None}[part.stock.id]
        change = plugin.ANOTHER_STOCK if found == "thin" else {}
        return [limit(found, **change)] if found else []

    remedy = cured(constraints, paper("near", 135), paper("far", 200))
    assert told(remedy)["stock"].id == "far"


@pytest.mark.parametrize(
    "other", [paper("heavy", 261), paper("light", 64), paper("black", 130, tone="dark")]
)
def test_a_stock_that_makes_another_piece_is_not_offered(other):
    def constraints(part):
        return [] if part.stock.id != "own" else [limit("stock", **plugin.ANOTHER_STOCK)]

    remedy = cured(constraints, other)
    assert remedy.changes == remedy.offers == ()
    assert [finding.code for finding in remedy.reasons] == ["stock"]


def test_the_reasons_are_what_no_change_clears():
    def constraints(part):
        fine = [limit("fine", ruling_lpi=100)] if part.ruling_lpi > 100 else []
        return [*fine, limit("delicate")]

    remedy = cured(constraints)
    assert remedy.changes == ()
    assert [finding.code for finding in remedy.reasons] == ["delicate"]


def test_changes_that_never_end_are_given_up():
    asked = count()

    def constraints(part):
        next(asked)
        return [limit("fine", ruling_lpi=part.ruling_lpi / 2)]

    remedy = cured(constraints)
    assert remedy.changes == ()
    # Once for the plan, then once a round.
    assert next(asked) == 1 + ROUNDS


def test_a_change_that_changes_nothing_is_given_up_at_once():
    asked = count()

    def constraints(part):
        next(asked)
        return [limit("fine", ruling_lpi=part.ruling_lpi)]

    assert cured(constraints).changes == ()
    assert next(asked) == 1


def test_a_press_whose_model_fails_on_the_mended_job_has_no_remedy(caplog):
    caplog.set_level("CRITICAL")

    def constraints(part):
        if part.ruling_lpi > 100:
            return [limit("fine", ruling_lpi=100)]
        raise RuntimeError

    remedy = cured(constraints)
    assert remedy.changes == ()
    assert [finding.code for finding in remedy.reasons] == ["fine"]


def test_a_caution_is_no_reason_to_change_anything():
    def constraints(part):
        sure = plugin.Finding("caution", "beware", "mind it", change={"impression": "flat"})
        return [sure, *([limit("fine", ruling_lpi=100)] if part.ruling_lpi > 100 else [])]

    assert told(cured(constraints)) == {"ruling_lpi": 100}


def test_the_price_is_that_of_the_job_as_changed_on_that_press():
    shop = plant(press("sheetfed_litho"), press("toner", quality="office"))
    wanted = job(leaf(148, 210))
    found = compare(wanted, shop, Planner(processes()), NOW, up_to=10, explain=["remedies"])
    (remedy,) = found.remedies
    assert (remedy.press, told(remedy)) == ("toner", {"quality": "office"})
    after = Planner(processes()).plan(replace(wanted, quality="office"), shop)
    ways = after.job_table.first.by_press()["toner"]
    wholly = PricedJob(after.job_table, wanted.quantities).offers_of(ways)
    for offer, same in zip(remedy.offers, wholly, strict=True):
        # Ways are numbered by plan; all else is the same.
        assert offer.price == same.price
        assert (offer.cost, offer.fixed_cost) == (same.cost, same.fixed_cost)
        assert offer.run_on_price == same.run_on_price


def test_a_job_that_is_not_to_be_explained_has_no_remedies():
    shop = plant(press("sheetfed_litho"), press("toner", quality="office"))
    assert compare(job(), shop, Planner(processes()), NOW, up_to=10).remedies is None


def test_another_stock_of_a_bound_part_refits_the_cover():
    """A thicker block wants a wider cover: the job is bound anew before it is asked about."""
    shop, novel = demo_of("sheetfed_litho", "dod_inkjet"), example("paperback_novel")
    plan = Planner(processes()).plan(novel, shop)
    found = remedies(novel, shop, plan, processes(), chosen_of(shop))
    mended = [each for each in found if told(each).keys() == {"stock"}]
    for remedy in mended:
        parts = [
            replace(part, stock=told(remedy)["stock"]) if number == remedy.number else part
            for number, part in enumerate(novel.parts)
        ]
        wanted = replace(novel, parts=bound_parts(parts, novel.binding, shop.binders))
        assert wanted.parts[1].flat_width_mm != novel.parts[1].flat_width_mm
        table = Planner(processes()).plan(wanted, shop).job_table.led_by(remedy.number)
        wholly = PricedJob(table, novel.quantities).offers_of(table.first.by_press()[remedy.press])
        assert [o.price for o in remedy.offers] == [o.price for o in wholly]
    assert mended


def test_parts_are_bound_again_as_they_were():
    novel, shop = example("paperback_novel"), demo_of("toner")
    assert bound_parts(novel.parts, novel.binding, shop.binders) == novel.parts


# Toner can print the second only on shells: the spot ink is on them before.
@pytest.mark.parametrize("overprint", [None, (Side(BLACK, 0.02), Side())])
def test_a_trial_says_of_every_press_what_its_plan_says(overprint):
    shop = demo_of("toner", "sheetfed_litho", "letterpress")
    inks = (Ink("reflex blue", "spot"),) if overprint else CMYK
    part = with_inks(leaf(148, 210, stock=shop.stocks["silk_130"]), inks, BLACK)
    wanted = job(replace(part, overprint=overprint, variable_share=0.02 if overprint else 0.0))
    plan = Planner(processes()).plan(wanted, shop)
    trials = Trials(shop, processes(), shop.presses)
    out = {each.press: each.findings for each in plan.excluded}
    assert out
    assert "toner_colour_a3" not in out
    for each in shop.presses:
        assert trials.against(wanted, 0, each) == out.get(each.press.id, ())
