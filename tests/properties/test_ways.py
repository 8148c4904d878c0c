"""Ways of bound parts: every page is printed once, each section is gathered, and what is shared."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from whole_strategies import shops_and_jobs, whole_shops

from shop import BLACK, CMYK, bindery, job, leaf, plant, press, processes, with_inks
from sidelay.binders import Binder
from sidelay.http.faults import Faults
from sidelay.http.whole_job import bind
from sidelay.imposition.sections import section
from sidelay.job import LEAF_METHODS, Binding, Side
from sidelay.offers import PricedJob
from sidelay.plan import Planner

slow = settings(
    deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
METHODS = ("saddle_stitch", "perfect_bind", "thread_sewn", "wire")


@st.composite
def bound_pages(draw, *methods):
    """A shop, and pages of one part bound in it by some method."""
    shop, method = draw(whole_shops()), draw(st.sampled_from(methods or METHODS))
    least = 2 if method in LEAF_METHODS else 4
    pages = least * draw(st.integers(1, 60))
    part = leaf(148, 210, kind="section", pages=pages, stock=shop.stocks["text"])
    binding = Binding(method)
    parts = bind([(0, with_inks(part, CMYK, CMYK))], binding, shop, Faults())
    wanted = replace(job(proof="contract"), parts=parts, binding=binding)
    return Planner(processes()).plan(wanted, shop), method, pages


def routes_of(plan):
    """Every way on every binder, as a list of the routes of each of its stretches."""
    return [stretches for _, _, stretches in ways_of(plan)]


def ways_of(plan):
    """Every way on every binder: what is bound, the way, the routes of each of its stretches."""
    for bound, makeup in zip(plan.bound, plan.job_table.makeups, strict=True):
        table = makeup.parts[0]
        for way in table.ways:
            stretches = [[table.routes[number] for number in each] for each in way.stretches]
            yield bound, way, stretches


@settings(slow, max_examples=25)
@given(bound_pages())
def test_every_page_is_printed_once(made):
    plan, _, pages = made
    for stretches in routes_of(plan):
        assert sum(s[0].times * s[0].work.part.pages for s in stretches) == pages
        for stretch in stretches:
            assert len({(route.times, route.work.part.pages) for route in stretch}) == 1


@settings(slow, max_examples=25)
@given(bound_pages())
def test_a_part_pays_once_for_what_it_pays_for_once(made):
    """The first stretch leads, whichever of its routes is taken; no other does."""
    plan, _, _ = made
    for first, *others in routes_of(plan):
        assert all(route.leading for route in first)
        assert not any(route.leading for stretch in others for route in stretch)


@settings(slow, max_examples=25)
@given(bound_pages())
def test_every_section_or_leaf_is_gathered(made):
    """Set-up of the stations: as many as there are sections, sheets, or leaves collated.

    A plateless press delivers copies in order: nothing is gathered, but their sections are sewn.
    """
    plan, method, pages = made
    for bound, _, stretches in ways_of(plan):
        binder, book = bound.binder, bound.book
        steps = [step for stretch in stretches for step in stretch[0].gathering]
        if stretches[0][0].process == "toner":
            sections = -(-pages // 16) if binder.sews else 0
        elif method in LEAF_METHODS:
            leaves = sum(s[0].times * s[0].work.part.pages // 2 for s in stretches)
            assert leaves == pages // 2
            expected = binder.collate_step(leaves, book)
            assert sum(s.minutes for s in steps) == pytest.approx(
                expected.minutes if expected else 0
            )
            continue
        elif binder.folds_sheets:
            sections = pages // 4
        else:
            sections = sum(stretch[0].times for stretch in stretches)
        per_section = 0.0 if binder.bought_out else binder.set_up_min_per_section
        assert sum(s.set_up_min for s in steps) == pytest.approx(sections * per_section)
        price = sections * binder.price_per_1000_sections / 1000
        assert sum(s.price for s in steps) == pytest.approx(price)


@settings(slow, max_examples=25)
@given(bound_pages("saddle_stitch"))
def test_a_binder_that_folds_gets_flat_sheets_and_no_folded_copies(made):
    """What a press folds is barred there and nowhere else; what it does not is cut, not folded."""
    plan, _, _ = made
    for bound, way, stretches in ways_of(plan):
        folds = bound.binder.folds_sheets
        routes = [route for stretch in stretches for route in stretch]
        copies = any(route.work.layout.delivery == "copy" for route in routes)
        assert way.barred == (folds and copies)
        if folds:
            assert not any(step.name == "fold" for route in routes for step in route.steps)


@settings(slow, max_examples=25)
@given(bound_pages())
def test_a_copy_off_a_plateless_press_is_all_its_sheets(made):
    """So many cycles as a copy has sheets, shared by the copies that lie beside each other."""
    plan, method, pages = made
    in_leaves = method in LEAF_METHODS or method == "perfect_bind"
    sheets = pages // (2 if in_leaves else 4)
    for bound, _, stretches in ways_of(plan):
        for route in stretches[0]:
            if route.process != "toner":
                continue
            assert route.work.layout.cycles_per_piece == sheets
            assert route.work.part.pages == pages
            folds = [step for step in route.steps if step.name == "fold"]
            assert len(folds) == (not in_leaves and not bound.binder.folds_sheets)
            for step in folds:
                one = 60 / bindery().folder.pieces_per_hour(section(route.of, 4))
                assert step.minutes == pytest.approx(one * sheets)


@settings(slow, max_examples=25)
@given(bound_pages())
def test_leaves_lie_on_a_sheet_as_it_holds_them(made):
    """Different leaves side by side: as many as lie on a sheet, and the rest on one more."""
    plan, method, _ = made
    if method not in LEAF_METHODS:
        return
    for stretches in routes_of(plan):
        if stretches[0][0].process != "sheetfed_litho":
            continue
        leaves = [stretch[0].work.part.pages // 2 for stretch in stretches]
        for stretch, held in zip(stretches, leaves, strict=True):
            for route in stretch:
                layout = route.work.layout
                on_sheet = held * layout.up
                places = layout.pattern.up * (2 if layout.style.startswith("work_and") else 1)
                assert on_sheet <= places < on_sheet + held


@settings(slow, max_examples=25)
@given(bound_pages())
def test_setting_a_machine_spoils_once_for_sections_alike(made):
    """The set-up waste of all of them together is that of one machine setting, rounded up."""
    plan, _, _ = made
    guillotine, folder = bindery().guillotine, bindery().folder
    for stretches in routes_of(plan):
        for stretch in stretches:
            for route in stretch:
                for step in route.steps:
                    if step.name == "cut":
                        once = guillotine.set_up_waste_sheets
                    elif step.name == "fold":
                        once = route.work.part.folds * folder.set_up_waste_pieces_per_fold
                    else:
                        continue
                    if route.process != "toner":
                        assert once <= step.set_up_waste * route.times < once + route.times


@settings(slow, max_examples=40)
@given(shops_and_jobs())
def test_shells_are_proofed_and_collated_as_what_is_printed_in_one_go(made):
    """Every printed side is proofed once, and plies that differ are put in order, either way."""
    shop, wanted = made
    wanted = replace(wanted, proof="contract")
    plan = Planner(processes()).plan(wanted, shop)
    assume(plan.job_table is not None)
    for makeup in plan.job_table.makeups:
        for part in makeup.parts:
            proofs, collating = set(), set()
            for way in part.ways:
                lines = [
                    line
                    for stretch in way.stretches
                    for line in part.table.lines_of(stretch[0])
                    if line.stage == "proof"
                ]
                proofs.add(tuple(line.unit_cost * line.amount for line in lines))
                routes = [part.routes[stretch[0]] for stretch in way.stretches]
                if routes[0].of.kind == "leaf":
                    collating.add(sum(step.minutes for each in routes for step in each.gathering))
            assert len(proofs) == 1
            assert len(collating) <= 1


def test_plies_printed_on_shells_are_collated_and_proofed_on_both_sides():
    """The back is blank but for its numbers; two plies that differ are put in order."""
    pads = Binder("pads", "pads", "pad", "cutting", copies_per_hour=500, leaves_per_hour=5_000)
    shop = plant(press("toner"), press("sheetfed_litho"), binders=(pads,))
    numbers = Side(), Side(BLACK, 0.05)
    top = replace(with_inks(leaf(name="top"), CMYK), overprint=numbers, variable_share=0.05)
    plies = [(0, top), (1, with_inks(leaf(name="under"), CMYK))]
    binding = Binding("pad")
    wanted = replace(job(proof="contract"), parts=bind(plies, binding, shop, Faults()))
    wanted = replace(wanted, binding=binding)
    part = Planner(processes()).plan(wanted, shop).job_table.first
    assert [len(way.presses) for way in part.ways] == [1, 2]
    for way in part.ways:
        lines = [line for stretch in way.stretches for line in part.table.lines_of(stretch[0])]
        proofs = [line.amount for line in lines if line.label == "contract proof"]
        assert proofs == [2]
        assert [line.label for line in lines if line.stage == "binding"] == ["collate"]


@settings(slow, max_examples=25)
@given(bound_pages("wire"))
def test_the_run_on_is_what_the_press_asks_for_a_thousand_more(made):
    """Leaves have a way for each layout, so that the larger order may be made in another one."""
    plan, _, _ = made
    asked = [1, 20, 60, 150, 400, 900, 2_000]
    ways = plan.job_table.first.ways
    larger = PricedJob(plan.job_table, [quantity + 1000 for quantity in asked]).ranked_offers()
    now = PricedJob(plan.job_table, asked).ranked_offers()
    for offers, more in zip(now, larger, strict=True):
        price = {ways[offer.parts[0].way].press: offer.price for offer in more}
        for offer in offers:
            press = ways[offer.parts[0].way].press
            assert offer.price + offer.run_on_price == price[press]
