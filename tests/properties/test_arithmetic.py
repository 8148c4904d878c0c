"""The arrays against a plain scalar estimate, and what must hold for every job."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scalar import needs, total
from strategies import jobs, shops

from shop import NOW, processes
from sidelay.compare import compare
from sidelay.costing import CostTable
from sidelay.curve import Curve
from sidelay.estimate import estimate
from sidelay.lines import route_lines
from sidelay.plan import Planner
from sidelay.pricing import prices, values

quantities = st.lists(st.integers(1, 3_000_000), min_size=1, max_size=6, unique=True)


@settings(max_examples=60, deadline=None)
@given(shops(), jobs(), quantities)
def test_arrays_agree_with_a_scalar_estimate(shop, job, asked):
    plan = Planner(processes()).plan(job, shop)
    assume(plan.table is not None)
    costs = plan.table.at(np.array(asked))
    for number, route in enumerate(plan.table.routes):
        for column, quantity in enumerate(asked):
            need = needs(route, quantity)
            assert costs.good[number, column] == need["good"]
            assert costs.parents[number, column] == need["parents"]
            # A line whose exact amount lies within noise of half a cent may go either way.
            difference = costs.total[number, column] - total(route, job, shop, quantity)
            assert abs(difference) <= (0 if quantity < 100_000 else 1)


@settings(max_examples=60, deadline=None)
@given(shops(), jobs(), quantities)
def test_an_estimate_adds_up_to_the_last_minor_unit(shop, job, asked):
    found = estimate(replace(job, quantities=tuple(asked)), shop, Planner(processes()), NOW)
    for offer in found.offers:
        lines = found.plan.table.lines
        (made,) = offer.parts
        rows = [number for number, line in enumerate(lines) if line.route in made.routes]
        costs = found.costs.makeups[offer.makeup].parts[0].costs
        assert sum(int(costs.lines[row, offer.column]) for row in rows) == offer.cost
        assert (
            0 <= offer.fixed_cost <= offer.cost <= offer.price
            or offer.price == shop.price_policy.minimum_charge
        )
        assert offer.run_on_price >= 0


@settings(max_examples=40, deadline=None)
@given(shops(), jobs())
def test_no_cost_and_no_price_falls_as_quantity_rises(shop, job):
    plan = Planner(processes()).plan(job, shop)
    assume(plan.table is not None)
    for first in (1, 1_000, 59_000, 999_000):
        costs = plan.table.at(np.arange(first, first + 2_000))
        assert (np.diff(costs.by_kind, axis=2) >= 0).all()
        value = values(costs.by_kind, shop.price_policy)
        assert (np.diff(value, axis=1) >= 0).all()
        asked = np.arange(first, first + 2_000)
        assert (np.diff(prices(value, asked, shop.price_policy), axis=1) >= 0).all()


@settings(max_examples=30, deadline=None)
@given(shops(), jobs(), quantities)
def test_estimate_and_compare_name_the_same_winner(shop, job, asked):
    job, planner = replace(job, quantities=tuple(asked)), Planner(processes())
    best = estimate(job, shop, planner, NOW)
    compared = compare(job, shop, planner, NOW, up_to=max(asked))
    assert [offer.parts for offer in best.offers] == [
        choices[0].parts for choices in compared.choices
    ]
    for offer in best.offers:
        (band,) = [b for b in compared.bands if b.first <= offer.quantity <= b.last]
        assert best.plan.table.routes[offer.parts[0].routes[0]].press.id == band.press


@settings(max_examples=30, deadline=None)
@given(shops(), jobs(), quantities)
def test_a_press_may_run_faster_the_longer_the_run(shop, job, asked):
    plan = Planner(processes()).plan(job, shop)
    assume(plan.table is not None)
    faster = Curve(((100, 2_000.0), (5_000, 5_000.0), (40_000, 9_000.0)))
    routes = [replace(r, run=replace(r.run, cycles_per_hour=faster)) for r in plan.table.routes]
    table = compiled(routes, job, shop)
    costs = table.at(np.array(asked))
    for number, route in enumerate(routes):
        for column, quantity in enumerate(asked):
            difference = costs.total[number, column] - total(route, job, shop, quantity)
            assert abs(difference) <= (0 if quantity < 100_000 else 1)


@settings(max_examples=30, deadline=None)
@given(shops(), jobs())
def test_what_has_the_same_arithmetic_costs_the_same(shop, job):
    """And a route with one figure changed that its lines do not show has another arithmetic."""
    plan = Planner(processes()).plan(job, shop)
    assume(plan.table is not None)
    route = plan.table.routes[0]
    more_cycles = replace(route.work.layout, cycles_per_piece=3)
    routes = [
        route,
        route,
        replace(route, work=replace(route.work, layout=more_cycles)),
        replace(route, times=2),
        replace(route, run=replace(route.run, make_ready_cycles=route.run.make_ready_cycles + 7)),
        replace(route, run=replace(route.run, passes=route.run.passes + 1)),
        replace(route, steps=tuple(replace(s, set_up_waste=90) for s in route.steps)),
    ]
    table = compiled(routes, job, shop)
    told, costs = (
        [table.arithmetic(number) for number in range(len(routes))],
        table.at(np.array([1, 99, 2_000, 70_000])).total,
    )
    for one in range(len(routes)):
        for other in range(one):
            if told[one] == told[other]:
                assert (costs[one] == costs[other]).all()
    assert told[0] == told[1]


def compiled(routes, job, shop):
    lines = [line for n, route in enumerate(routes) for line in route_lines(n, route, job, shop)]
    return CostTable(routes, lines, shop.digits)
