"""On one press, one way and one layout, more of anything never costs less.

Pages are compared by the same sections more often: a count that fits larger sections may well cost
less than one that leaves small ones over (32 pages against 28), and that is how it should be.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from whole_strategies import policies, whole_shops

from shop import BLACK, CMYK, demo, job, leaf, processes, with_inks
from sidelay.http.faults import Faults
from sidelay.http.whole_job import bind
from sidelay.job import Binding, Ink
from sidelay.plan import Planner

QUANTITIES = np.array([1, 10, 250, 1_000, 12_345, 400_000])
SPOT, METALLIC = Ink("red", "spot"), Ink("copper", "metallic", may_simulate=False)
INKS = (BLACK, CMYK[2:], CMYK[1:], CMYK, (*CMYK, SPOT), (*CMYK, SPOT, METALLIC))
slow = settings(
    deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
STOCKS = {
    "leaf": ("silk_130", "silk_150", "offset_80", "silk_350", "offset_80_reel"),
    "section": ("gloss_90", "newsprint_45", "lwc_60"),
    "label": ("label_semi_gloss", "label_white_pp"),
    "web": ("pouch_film",),
    "piece": ("tee_white",),
}
sizes = st.tuples(st.integers(60, 297), st.integers(60, 297))


def costs(wanted, shop):
    """Cost of each route at the quantities, by what it is: press, pages, layout, bought sheet."""
    plan = Planner(processes()).plan(wanted, shop)
    if plan.job_table is None:
        return {}
    table = plan.job_table.first.table
    totals, found = table.at(QUANTITIES).total, {}
    for number, route in enumerate(table.routes):
        layout = route.work.layout
        sheet = layout.supply.name, layout.out, layout.width_mm, layout.webs, layout.delivery
        # A plateless press prints all sheets of a copy in turn: more pages are more cycles a copy.
        in_turn = processes().about[route.process].variable_data and route.of.bound_in
        pages = None if in_turn else route.work.part.pages
        key = (route.press.id, pages, route.leading, layout.image, sheet)
        found.setdefault(key, []).append(totals[number])
    # Routes alike in all of that are left out: which is which cannot be told.
    return {key: each[0] for key, each in found.items() if len(each) == 1}


def never_less(less, more, shop):
    """Compare two jobs route by route; return how many routes both have."""
    before, after = costs(less, shop), costs(more, shop)
    both = before.keys() & after.keys()
    for key in both:
        assert (before[key] <= after[key]).all(), (key, before[key], after[key])
    return len(both)


@st.composite
def demo_parts(draw):
    """A part for some press of the demo plant, one side printed or both."""
    kind = draw(st.sampled_from(sorted(STOCKS)))
    width, height = draw(sizes)
    part = leaf(
        width,
        height,
        kind=kind,
        stock=demo().stocks[draw(st.sampled_from(STOCKS[kind]))],
        bleed_mm=3.0 if kind in ("leaf", "section") else 0.0,
        ruling_lpi=85.0,
    )
    if kind == "section":
        part = replace(
            part, pages=8, folds=2, flat_width_mm=2 * width, flat_height_mm=2 * height + 6
        )
    return part, draw(st.booleans()) and kind in ("leaf", "section")


@settings(slow, max_examples=50)
@given(demo_parts(), st.data())
def test_more_colours_never_cost_less(made, data):
    part, both = made
    few = data.draw(st.integers(0, len(INKS) - 2))
    many = data.draw(st.integers(few + 1, len(INKS) - 1))
    fewer, more = (
        job(with_inks(part, INKS[n], INKS[n] if both else ()), quality="draft")
        for n in (few, many)
    )
    assume(never_less(fewer, more, demo()))


@settings(slow, max_examples=50)
@given(demo_parts(), st.data())
def test_more_coverage_never_costs_less(made, data):
    part, both = made
    inks = data.draw(st.sampled_from(INKS))
    light = data.draw(st.integers(1, 99))
    heavy = data.draw(st.integers(light + 1, 100))
    lighter, heavier = (
        job(with_inks(part, inks, inks if both else (), share / 100), quality="draft")
        for share in (light, heavy)
    )
    assume(never_less(lighter, heavier, demo()))


@settings(slow, max_examples=40)
@given(whole_shops(policies()), st.data())
def test_the_same_sections_more_often_never_cost_less(shop, data):
    method = data.draw(st.sampled_from(["saddle_stitch", "perfect_bind", "thread_sewn", "wire"]))
    size = data.draw(st.sampled_from([4, 8, 16, 32] if method != "wire" else [2]))
    few = data.draw(st.integers(1, 6))
    many = data.draw(st.integers(few + 1, 8))
    inks = data.draw(st.sampled_from([BLACK, CMYK]))

    def of(sections):
        part = leaf(148, 210, kind="section", pages=sections * size, stock=shop.stocks["text"])
        binding = Binding(method)
        parts = bind([(0, with_inks(part, inks, inks))], binding, shop, Faults())
        return replace(job(proof="contract"), parts=parts, binding=binding)

    assume(never_less(of(few), of(many), shop))


@settings(slow, max_examples=40)
@given(demo_parts(), st.integers(1, 200_000))
def test_more_copies_never_cost_less(made, first):
    part, both = made
    wanted = job(with_inks(part, CMYK, CMYK if both else ()), quality="draft")
    table = Planner(processes()).plan(wanted, demo()).table
    assume(table is not None)
    found = table.at(np.arange(first, first + 300))
    assert (np.diff(found.lines, axis=1) >= 0).all()
    assert (np.diff(found.press_hours, axis=1) >= 0).all()


def test_pages_that_fill_large_sections_may_cost_less_than_fewer():
    """28 pages are 16 + 8 + 4, three sets of plates; 32 are two sections of 16, or one of 32."""

    def least(pages):
        stock = demo().stocks["silk_130"]
        part = leaf(148, 210, kind="section", pages=pages, stock=stock)
        binding = Binding("saddle_stitch")
        parts = bind([(0, with_inks(part, CMYK, CMYK))], binding, demo(), Faults())
        wanted = replace(job(), parts=parts, binding=binding)
        plan = Planner(processes()).plan(wanted, demo(), only_presses=("litho_b1_five",))
        return plan.job_table.at(np.array([1_000])).value.min()

    assert least(32) < least(28)
    assert least(16) < least(32)
