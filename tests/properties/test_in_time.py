"""The search for what is in time against brute force: every combination of routes, on the clock."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import prod

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from time_strategies import dated_shops_and_jobs
from whole_strategies import policies

from shop import processes
from sidelay.due_bands import find_due_bands
from sidelay.in_time import HoldMemo, InTime
from sidelay.job_table import columns
from sidelay.offers import PricedJob
from sidelay.plan import Planner
from sidelay.pricing import prices, values
from sidelay.scheduler import Combo, Scheduler

slow = settings(
    deadline=None,
    suppress_health_check=[
        HealthCheck.too_slow,
        HealthCheck.data_too_large,
        HealthCheck.filter_too_much,
    ],
)
MOST_COMBINATIONS = 2_000
tenths = st.integers(0, 10)


class Brute:
    """Every combination of routes of a job, with its value and when it is ready."""

    def __init__(self, table, scheduler, quantities) -> None:
        self.table, self.quantities = table, quantities
        asked = columns([*quantities, *table.policy.thresholds])
        self.costs = table.at(asked)
        self.on_clock = scheduler.at(table, self.costs)
        self.combos = [
            (makeup, ways, Combo(makeup, routes))
            for makeup, each in enumerate(table.makeups)
            for ways in product(*(range(len(part.ways)) for part in each.parts))
            if not any(part.ways[way].barred for part, way in zip(each.parts, ways, strict=True))
            for routes in product(
                *(
                    product(*part.ways[way].stretches)
                    for part, way in zip(each.parts, ways, strict=True)
                )
            )
        ]

    def value(self, combo, column) -> float:
        makeup = self.costs.makeups[combo.makeup]
        bill = makeup.assembly.bill.by_kind
        found = float(values(bill, self.table.policy, rush=self.table.rush)[0][column])
        own = [
            sum(float(part.route_value[route, column]) for route in routes)
            for part, routes in zip(makeup.parts, combo.routes, strict=True)
        ]
        for each in own[1:]:
            found = found + each
        return own[0] + found

    def due_at(self, column, tenth) -> int:
        """A due date that some combinations hold and others do not, where there are such."""
        ready = sorted(
            each
            for _, _, combo in self.combos
            for each in (self.on_clock.ready_at(combo, column),)
            if each is not None
        )
        assume(ready)
        return ready[(len(ready) - 1) * tenth // 10] - (tenth == 0)

    def in_time(self, column, due_at):
        """Value and combination of all that hold."""
        found = []
        for _, ways, combo in self.combos:
            ready = self.on_clock.ready_at(combo, column)
            if ready is not None and ready <= due_at:
                found.append((self.value(combo, column), ways, combo, ready))
        return found

    def price(self, combo, column) -> int:
        n, policy = len(self.quantities), self.table.policy
        at_steps = [self.value(combo, n + step) for step in range(len(policy.thresholds))]
        asked = columns([self.quantities[column]])
        value = np.array([[self.value(combo, column)]])
        return int(prices(value, asked, policy, np.array([at_steps]))[0, 0])


def combinations(table) -> int:
    return sum(
        prod(sum(prod(map(len, way.stretches)) for way in part.ways) for part in makeup.parts)
        for makeup in table.makeups
    )


def planned(shop, job):
    plan = Planner(processes()).plan(job, shop)
    assume(plan.job_table is not None)
    table = plan.job_table
    assume(combinations(table) <= MOST_COMBINATIONS)
    return table


@settings(slow, max_examples=30)
@given(dated_shops_and_jobs(), st.lists(st.integers(1, 5_000), min_size=1, max_size=2), tenths)
def test_the_cheapest_in_time_is_the_cheapest_of_all_that_hold(made, quantities, tenth):
    shop, job, timing = made
    table = planned(shop, job)
    scheduler = Scheduler(job, shop, timing)
    brute = Brute(table, scheduler, quantities)
    search = InTime(scheduler, table, brute.costs, quantities)
    due_at = brute.due_at(0, tenth)
    for column in range(len(quantities)):
        held = brute.in_time(column, due_at)
        found = search.cheapest(column, due_at)
        assert (found is None) == (not held)
        if found is not None:
            assert found.value == pytest.approx(min(each[0] for each in held), abs=1e-6)
            assert found.ready_at <= due_at
            assert brute.on_clock.ready_at(found.combo, column) == found.ready_at


@settings(slow, max_examples=20)
@given(dated_shops_and_jobs(), st.integers(1, 5_000))
def test_the_earliest_is_never_later_than_the_cheapest_and_of_one_part_the_first(made, quantity):
    shop, job, timing = made
    table = planned(shop, job)
    scheduler = Scheduler(job, shop, timing)
    brute = Brute(table, scheduler, [quantity])
    search = InTime(scheduler, table, brute.costs, [quantity])
    earliest = search.earliest(0)
    ready = [brute.on_clock.ready_at(combo, 0) for _, _, combo in brute.combos]
    on_time = [each for each in ready if each is not None]
    if not on_time:
        assert earliest.ready_at is None
    elif len(job.parts) == 1:
        assert earliest.ready_at == min(on_time)
    else:
        assert earliest.ready_at is None or earliest.ready_at >= min(on_time)


@settings(slow, max_examples=20)
@given(dated_shops_and_jobs(), st.lists(st.integers(1, 20_000), min_size=2, max_size=6))
def test_a_larger_quantity_is_never_ready_earlier(made, quantities):
    shop, job, timing = made
    table = planned(shop, job)
    quantities = sorted(set(quantities))
    brute = Brute(table, Scheduler(job, shop, timing), quantities)
    never = 10**12
    for _, _, combo in brute.combos[:60]:
        ready = [brute.on_clock.ready_at(combo, n) or never for n in range(len(quantities))]
        assert ready == sorted(ready)


@settings(slow, max_examples=12)
@given(dated_shops_and_jobs(), st.integers(2, 120), st.integers(0, 119), tenths)
def test_due_bands_equal_brute_force(made, most, middle, tenth):
    shop, job, timing = made
    table = planned(shop, job)
    assume(combinations(table) <= 120)
    quantities = list(range(1, most + 1))
    brute = Brute(table, Scheduler(job, shop, timing), quantities)
    timing = replace(timing, due_at=brute.due_at(middle % most, tenth))
    bands = find_due_bands(table, job, shop, timing, up_to=most)
    assert bands[0].first == 1
    assert bands[-1].last == most
    names = [way.presses for way in table.first.ways]
    for band in bands:
        for quantity in range(band.first, band.last + 1):
            held = brute.in_time(quantity - 1, timing.due_at)
            if band.press is None:
                assert not held
                continue
            ranked = sorted(
                (brute.price(combo, quantity - 1), round(value, 6), names[ways[0]] != band.route[0])
                for value, ways, combo, _ in held
            )
            assert ranked
            assert not ranked[0][2]


@settings(slow, max_examples=20)
@given(
    dated_shops_and_jobs(policies()),
    st.lists(st.integers(1, 9_000), min_size=2, max_size=5),
    tenths,
)
def test_a_memo_changes_no_answer(made, quantities, tenth):
    shop, job, timing = made
    table = planned(shop, job)
    scheduler, memo = Scheduler(job, shop, timing), HoldMemo()
    due_at = Brute(table, scheduler, quantities[:1]).due_at(0, tenth)
    for quantity in quantities:
        costs = table.at(columns([quantity, *table.policy.thresholds]))
        search = InTime(scheduler, table, costs, [quantity])
        fresh = search.cheapest(0, due_at)
        kept = InTime(scheduler, table, costs, [quantity]).cheapest(0, due_at, memo=memo)
        assert (fresh and fresh.value) == (kept and kept.value)


@settings(slow, max_examples=10)
@given(dated_shops_and_jobs(), st.integers(1, 3_000), tenths)
def test_price_of_what_is_in_time_is_that_of_its_costs(made, quantity, tenth):
    """Priced as the offer says, and never below the cheapest of all."""
    shop, job, timing = made
    table = planned(shop, job)
    priced, scheduler = PricedJob(table, (quantity,)), Scheduler(job, shop, timing)
    search = InTime(scheduler, table, priced.costs, (quantity,))
    found = search.cheapest(0, Brute(table, scheduler, [quantity]).due_at(0, tenth))
    assume(found is not None)
    offer = priced.made_so(found.makeup, found.parts, 0)
    assert offer.price >= priced.best_offers()[0].price
    assert offer.cost >= offer.fixed_cost > 0
    assert offer.run_on_price >= 0
