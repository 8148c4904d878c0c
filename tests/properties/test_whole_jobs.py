"""Whole jobs against plain arithmetic: every count, every choice, every price; and the sums."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from functools import partial
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from scalar import Whole, finished, margin, price, value
from whole_strategies import shops_and_jobs

from shop import demo, job, plant, press, processes
from sidelay.estimate import PricedJob, estimate
from sidelay.http.faults import Faults
from sidelay.http.job_reader import read_job
from sidelay.http.schemas.request import load_request
from sidelay.job_table import columns
from sidelay.plan import Planner
from sidelay.pricing import PricePolicy, prices

JOBS = Path(__file__).parents[1] / "jobs"
quantities = st.lists(st.integers(1, 60_000), min_size=1, max_size=3, unique=True)
slow = settings(
    deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


def planned(shop, job):
    plan = Planner(processes()).plan(job, shop)
    assume(plan.job_table is not None)
    return plan


@settings(slow, max_examples=40)
@given(shops_and_jobs(), quantities)
def test_arrays_agree_with_plain_arithmetic(made, asked):
    shop, job = made
    plan = planned(shop, job)
    whole, found = Whole(plan, job, shop), plan.job_table.at(columns(asked))
    for column, quantity in enumerate(asked):
        expected = whole.copies(quantity)
        assert found.assembly.copies[::-1, column].tolist() == expected
        kinds = dict(zip(("material", "time", "outwork"), [0, 1, 2], strict=True))
        money = whole.assembly(quantity)
        got = found.assembly.bill.by_kind[0, :, column]
        assert [money[kind] for kind in kinds] == got.tolist()
        for number, part in enumerate(found.parts):
            for route in range(len(plan.job_table.parts[number].routes)):
                costs = whole.route(number, route, quantity)
                got = part.costs.by_kind[route, :, column]
                assert [costs[kind] for kind in kinds] == got.tolist(), (number, route)
            for way in range(len(part.value)):
                exact = whole.way_value(number, way, quantity)
                assert part.value[way, column] == pytest.approx(float(exact), rel=1e-12)


@settings(slow, max_examples=30)
@given(shops_and_jobs(), quantities)
def test_the_next_best_is_told_with_what_it_costs_more(made, asked):
    """Of all other ways on the press, and of all other routes of the way taken."""
    shop, job = made
    plan = planned(shop, job)
    whole, ways = Whole(plan, job, shop), plan.job_table.parts[0].ways
    for offers in PricedJob(plan.job_table, asked).ranked_offers():
        for offer in offers:
            quantity, taken = offer.quantity, offer.parts[0]
            own = whole.way_value(0, taken.way, quantity)
            others = [
                whole.way_value(0, number, quantity)
                for number, way in enumerate(ways)
                if way.press == ways[taken.way].press and number != taken.way
            ]
            for stretch, route in zip(ways[taken.way].stretches, taken.routes, strict=True):
                rest = [whole.route_value(0, each, quantity) for each in stretch if each != route]
                if rest:
                    others.append(own - whole.route_value(0, route, quantity) + min(rest))
            assert (offer.beaten is None) == (not others)
            if offer.beaten is None:
                continue
            worth = whole.job_value(taken.way, quantity) - own + min(others)
            value_at = partial(whole.job_value, taken.way)
            dearer = price(worth, quantity, whole.policy, value_at)
            assert offer.beaten[1] == max(0, dearer - offer.price)


@settings(slow, max_examples=20)
@given(shops_and_jobs(), quantities, st.data())
def test_kept_carriers_agree_too(made, asked, data):
    """The set that was kept is not paid again, until it is worn out."""
    shop, job = made
    tables = planned(shop, job).job_table.parts
    parts = []
    for part, table in zip(job.parts, tables, strict=True):
        named = sorted({route.carriers_id for route in table.routes})
        parts.append(replace(part, kept_carriers=(data.draw(st.sampled_from(named)),)))
    job = replace(job, parts=tuple(parts))
    plan = planned(shop, job)
    whole, found = Whole(plan, job, shop), plan.job_table.at(columns([*asked, 2_000_000]))
    for number, part in enumerate(found.parts):
        routes = plan.job_table.parts[number].routes
        assert any(route.keeps_carriers for route in routes)
        for route in range(len(routes)):
            for column, quantity in enumerate(asked):
                costs = sum(whole.route(number, route, quantity).values())
                assert part.costs.total[route, column] == costs, (number, route)


@settings(slow, max_examples=30)
@given(shops_and_jobs(), quantities)
def test_an_offer_is_the_least_there_is(made, asked):
    """Each part by its cheapest way, that by its cheapest routes; the price worked out plainly."""
    shop, job = made
    plan = planned(shop, job)
    whole = Whole(plan, job, shop)
    offers = estimate(replace(job, quantities=tuple(asked)), shop, Planner(processes())).offers
    for offer in offers:
        quantity = offer.quantity
        for number, part in enumerate(offer.parts):
            ways = plan.job_table.parts[number].ways
            for stretch, route in zip(ways[part.way].stretches, part.routes, strict=True):
                least = min(whole.route_value(number, each, quantity) for each in stretch)
                assert whole.route_value(number, route, quantity) == least
            if number:
                assert whole.way_value(number, part.way, quantity) == whole.least(number, quantity)
        ways = range(len(plan.job_table.parts[0].ways))
        prices_ = {way: whole.job_price(way, quantity) for way in ways}
        assert offer.price == prices_[offer.parts[0].way] == min(prices_.values())
        level = [way for way, asked_ in prices_.items() if asked_ == offer.price]
        least = min(whole.job_value(way, quantity) for way in level)
        assert whole.job_value(offer.parts[0].way, quantity) == least
        costs = [whole.assembly(quantity)] + [
            whole.route(number, route, quantity)
            for number, part in enumerate(offer.parts)
            for route in part.routes
        ]
        assert offer.cost == sum(sum(each.values()) for each in costs)
        nought = [whole.assembly(0)] + [
            whole.route(number, route, 0)
            for number, part in enumerate(offer.parts)
            for route in part.routes
        ]
        assert offer.fixed_cost == sum(sum(each.values()) for each in nought)
        assert offer.fixed_cost <= offer.cost
        press = plan.job_table.parts[0].ways[offer.parts[0].way].press
        further = [
            whole.job_price(way, quantity + 1000)
            for way, each in enumerate(plan.job_table.parts[0].ways)
            if each.press == press
        ]
        assert offer.run_on_price == min(further) - offer.price >= 0


@settings(slow, max_examples=25)
@given(shops_and_jobs())
def test_no_cost_value_or_price_falls_as_quantity_rises(made):
    shop, job = made
    table = planned(shop, job).job_table
    policy = shop.price_policy
    for first in (1, 490, 1_900, 8_900, 59_000):
        asked = np.arange(first, first + 400)
        found = table.at(np.concatenate([asked, columns(policy.thresholds)]))
        value_, n = found.value[:, : len(asked)], len(asked)
        for part in found.parts:
            assert (np.diff(part.costs.by_kind[:, :, :n], axis=2) >= 0).all()
            assert (np.diff(part.costs.lines[:, :n], axis=1) >= 0).all()
        assert (np.diff(found.assembly.bill.lines[:, :n], axis=1) >= 0).all()
        assert (np.diff(value_, axis=1) >= 0).all()
        asked_for = prices(value_, asked, policy, found.value[:, n:])
        assert (np.diff(asked_for, axis=1) >= 0).all()


@settings(slow, max_examples=30)
@given(shops_and_jobs(), st.integers(1, 20_000))
def test_more_at_the_same_price_is_told_to_the_last_copy(made, quantity):
    """Where a larger quantity costs no more, the largest such is told; nothing beyond it."""
    shop, job = made
    plan, policy = planned(shop, job), shop.price_policy
    whole = Whole(plan, job, shop)
    for offer in PricedJob(plan.job_table, [quantity]).ranked_offers()[0]:
        last, way = offer.same_price_to, offer.parts[0].way
        if last is None:
            # Then it is neither the minimum charge nor the price of a larger order.
            worth = whole.job_value(way, quantity)
            steps = policy.margins_by_value
            by_value = margin(steps, worth) if steps else None
            steps = policy.margins_by_quantity
            share = by_value or (margin(steps, quantity) if steps else Fraction(0))
            free = replace(policy, minimum_charge=0)
            assert offer.price == finished(worth, share, free)
            continue
        assert last >= quantity
        assert whole.job_price(way, last) == offer.price
        assert whole.job_price(way, last + 1) > offer.price


@pytest.mark.parametrize("name", ["programme", "paperback", "trifold", "pads", "cover", "cartons"])
def test_sample_jobs_on_the_demo_plant_agree_to_the_cent(name):
    data, found = load_request(json.loads((JOBS / f"{name}.json").read_text()))
    job = replace(read_job(data, demo(), Faults(found)), proof="contract", overs_share=0.03)
    asked = [1, 48, 777, 12_345]
    plan = Planner(processes()).plan(job, demo())
    whole, costs = Whole(plan, job, demo()), plan.job_table.at(columns(asked))
    for column, quantity in enumerate(asked):
        got = int(costs.assembly.bill.by_kind[0, :, column].sum())
        assert got == sum(whole.assembly(quantity).values())
        for number, part in enumerate(costs.parts):
            for route in range(len(plan.job_table.parts[number].routes)):
                expected = sum(whole.route(number, route, quantity).values())
                assert part.costs.total[route, column] == expected, (number, route, quantity)
    asked_job = replace(job, quantities=tuple(asked))
    for offer in estimate(asked_job, demo(), Planner(processes())).offers:
        assert offer.price == whole.least_price(offer.quantity)
        ways = plan.job_table.parts[0].ways
        press = ways[offer.parts[0].way].press
        further = [n for n, way in enumerate(ways) if way.press == press]
        more = min(whole.job_price(way, offer.quantity + 1000) for way in further)
        assert offer.run_on_price == more - offer.price


@pytest.mark.parametrize(
    ("policy", "told"),
    [
        (PricePolicy(0, 0, 0, 900_000, 1), True),
        (PricePolicy(0, 0, 0, 900_001, 1_000), True),  # a minimum that is rounded up itself
        (PricePolicy(0, 0, 0, 0, 1, margins_by_value=((0, 0.6), (5_000, 0.0))), True),
        (PricePolicy(0, 0, 0, 0, 1, margins_by_quantity=((1, 0.6), (120, 0.0))), True),
        (PricePolicy(0, 0, 0, 0, 1), False),
        (PricePolicy(0, 0, 0, 0, 1, margins_by_quantity=((1, 0.1), (120_000, 0.0))), False),
    ],
)
def test_where_the_policy_makes_more_as_cheap_it_is_told(policy, told):
    shop = plant(press("toner"), price_policy=policy)
    wanted = replace(job(), quantities=(100,))
    (offer,) = estimate(wanted, shop, Planner(processes())).offers
    assert (offer.same_price_to is not None) == told
    if told:
        whole = Whole(Planner(processes()).plan(wanted, shop), wanted, shop)
        assert offer.same_price_to > 100
        assert whole.job_price(offer.parts[0].way, offer.same_price_to) == offer.price
        assert whole.job_price(offer.parts[0].way, offer.same_price_to + 1) > offer.price


def test_values_are_marked_up_by_kind():
    policy = replace(plant().price_policy, rush_premium=0.5)
    costs = {"material": 100, "time": 200, "outwork": 40}
    assert value(costs, policy, rush=False) == 115 + 250 + 46
    assert value(costs, policy, rush=True) == 115 + 375 + 69

