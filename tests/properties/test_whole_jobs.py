"""Whole jobs against plain arithmetic: every count, every choice, every price; and the sums."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from scalar import KINDS, Whole, price, value
from whole_strategies import shops_and_jobs

from shop import NOW, demo, job, plant, press, processes
from sidelay.estimate import estimate
from sidelay.http.faults import Faults
from sidelay.http.job_reader import read_job
from sidelay.http.schemas.request import load_request
from sidelay.job_table import columns
from sidelay.offers import PricedJob
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
    whole, costs = Whole(plan, job, shop), plan.job_table.at(columns(asked))
    for plain, found in zip(whole.makeups, costs.makeups, strict=True):
        for column, quantity in enumerate(asked):
            assert found.assembly.copies[::-1, column].tolist() == plain.copies(quantity)
            money = plain.assembly(quantity)
            got = found.assembly.bill.by_kind[0, :, column]
            assert [money[kind] for kind in KINDS] == got.tolist()
            for number, part in enumerate(found.parts):
                for route in range(len(plain.parts[number].routes)):
                    money = plain.route(number, route, quantity)
                    got = part.costs.by_kind[route, :, column]
                    assert [money[kind] for kind in KINDS] == got.tolist(), (number, route)
                for way in range(len(part.value)):
                    exact = plain.way_value(number, way, quantity)
                    assert part.value[way, column] == pytest.approx(float(exact), rel=1e-12)
    for column, quantity in enumerate(asked):
        for way in whole.ways:
            exact = whole.job_value(way, quantity)
            assert costs.value[way, column] == pytest.approx(float(exact), rel=1e-12)


@settings(slow, max_examples=30)
@given(shops_and_jobs(), quantities)
def test_the_next_best_is_told_with_what_it_costs_more(made, asked):
    """Of all other ways on the press, and of all other routes of the way taken; bound alike."""
    shop, job = made
    plan = planned(shop, job)
    whole, ways = Whole(plan, job, shop), plan.job_table.first.ways
    for offers in PricedJob(plan.job_table, asked).ranked_offers():
        for offer in offers:
            quantity, taken, plain = offer.quantity, offer.parts[0], whole.makeups[offer.makeup]
            own = plain.way_value(0, taken.way, quantity)
            others = [
                plain.way_value(0, number, quantity)
                for number, way in enumerate(ways)
                if way.press == ways[taken.way].press
                and number != taken.way
                and plain.takes(0, number)
            ]
            for stretch, route in zip(ways[taken.way].stretches, taken.routes, strict=True):
                rest = [plain.route_value(0, each, quantity) for each in stretch if each != route]
                if rest:
                    others.append(own - plain.route_value(0, route, quantity) + min(rest))
            assert (offer.beaten is None) == (not others)
            if offer.beaten is None:
                continue
            worth = plain.others(quantity) + min(others)
            value_at = partial(whole.job_value, taken.way)
            dearer = price(worth, quantity, whole.policy, value_at)
            assert offer.beaten[1] == max(0, dearer - offer.price)


@settings(slow, max_examples=20)
@given(shops_and_jobs(), quantities, st.data())
def test_kept_carriers_agree_too(made, asked, data):
    """The set that was kept is not paid again, until it is worn out."""
    shop, job = made
    tables = planned(shop, job).job_table.makeups[0].parts
    parts = []
    for part, table in zip(job.parts, tables, strict=True):
        named = sorted({route.carriers_id for route in table.routes})
        parts.append(replace(part, kept_carriers=(data.draw(st.sampled_from(named)),)))
    job = replace(job, parts=tuple(parts))
    plan = planned(shop, job)
    whole, costs = Whole(plan, job, shop), plan.job_table.at(columns([*asked, 2_000_000]))
    for plain, found in zip(whole.makeups, costs.makeups, strict=True):
        for number, part in enumerate(found.parts):
            routes = plain.parts[number].routes
            assert any(route.keeps_carriers for route in routes)
            for route in range(len(routes)):
                for column, quantity in enumerate(asked):
                    money = sum(plain.route(number, route, quantity).values())
                    assert part.costs.total[route, column] == money, (number, route)


def plain_cost(plain, offer, quantity: int) -> int:
    """What a job costs at some quantity, made as in an offer."""
    costs = [plain.assembly(quantity)] + [
        plain.route(number, route, quantity)
        for number, part in enumerate(offer.parts)
        for route in part.routes
    ]
    return sum(sum(each.values()) for each in costs)


@settings(slow, max_examples=30)
@given(shops_and_jobs(), quantities)
def test_an_offer_is_the_least_there_is(made, asked):
    """On the cheapest binder, each part by its cheapest way, that by its cheapest routes."""
    shop, job = made
    plan = planned(shop, job)
    whole, ways = Whole(plan, job, shop), plan.job_table.first.ways
    for offers in PricedJob(plan.job_table, asked).ranked_offers():
        best, quantity = offers[0], offers[0].quantity
        asked_for = {way: whole.job_price(way, quantity) for way in whole.ways}
        assert best.price == min(asked_for.values())
        level = [way for way, money in asked_for.items() if money == best.price]
        least = min(whole.job_value(way, quantity) for way in level)
        assert whole.job_value(best.parts[0].way, quantity) == least
        for offer in offers:
            plain, way = whole.makeups[offer.makeup], offer.parts[0].way
            on_press = [n for n, each in enumerate(ways) if each.press == ways[way].press]
            assert offer.price == min(asked_for[n] for n in on_press) == asked_for[way]
            assert plain.job_value(way, quantity) == whole.job_value(way, quantity)
            for number, part in enumerate(offer.parts):
                assert plain.takes(number, part.way)
                if number:
                    taken = plain.way_value(number, part.way, quantity)
                    assert taken == plain.least(number, quantity)
                stretches = plain.parts[number].ways[part.way].stretches
                for stretch, route in zip(stretches, part.routes, strict=True):
                    values = [plain.route_value(number, each, quantity) for each in stretch]
                    assert plain.route_value(number, route, quantity) == min(values)
            assert offer.cost == plain_cost(plain, offer, quantity)
            assert offer.fixed_cost == plain_cost(plain, offer, 0) <= offer.cost
        press = ways[best.parts[0].way].press
        further = [
            whole.job_price(way, quantity + 1000)
            for way in whole.ways
            if ways[way].press == press
        ]
        assert best.run_on_price == min(further) - best.price >= 0


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
        for makeup in found.makeups:
            for part in makeup.parts:
                assert (np.diff(part.costs.by_kind[:, :, :n], axis=2) >= 0).all()
                assert (np.diff(part.costs.lines[:, :n], axis=1) >= 0).all()
            assert (np.diff(makeup.assembly.bill.lines[:, :n], axis=1) >= 0).all()
        assert (np.diff(value_, axis=1) >= 0).all()
        asked_for = prices(value_, asked, policy, found.value[:, n:])
        assert (np.diff(asked_for, axis=1) >= 0).all()


@settings(slow, max_examples=12)
@given(shops_and_jobs(), st.integers(1, 20_000))
def test_more_at_the_same_price_is_told_to_the_last_copy(made, quantity):
    """Of the best offer, by a plain search over the least price of all; nothing of the others."""
    shop, job = made
    plan = planned(shop, job)
    whole = Whole(plan, job, shop)
    ((best, *others),) = PricedJob(plan.job_table, [quantity]).ranked_offers()
    assert all(offer.same_price_to is None for offer in others)
    last = whole.same_price_to(quantity)
    assert best.same_price_to == (last if last > quantity else None)


@pytest.mark.parametrize("name", ["programme", "paperback", "trifold", "pads", "cover", "cartons"])
def test_sample_jobs_on_the_demo_plant_agree_to_the_cent(name):
    data, found = load_request(json.loads((JOBS / f"{name}.json").read_text()))
    job = replace(read_job(data, demo(), Faults(found)), proof="contract", overs_share=0.03)
    asked = [1, 48, 777, 12_345]
    plan = Planner(processes()).plan(job, demo())
    whole, costs = Whole(plan, job, demo()), plan.job_table.at(columns(asked))
    for plain, makeup in zip(whole.makeups, costs.makeups, strict=True):
        for column, quantity in enumerate(asked):
            got = int(makeup.assembly.bill.by_kind[0, :, column].sum())
            assert got == sum(plain.assembly(quantity).values())
            for number, part in enumerate(makeup.parts):
                for route in range(len(plain.parts[number].routes)):
                    expected = sum(plain.route(number, route, quantity).values())
                    assert part.costs.total[route, column] == expected, (number, route, quantity)
    asked_job = replace(job, quantities=tuple(asked))
    for offer in estimate(asked_job, demo(), Planner(processes()), NOW).offers:
        assert offer.price == whole.least_price(offer.quantity)
        ways = plan.job_table.first.ways
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
    """Begun sheets and lifts let a few copies more cost no more; a policy may let many."""
    shop = plant(press("toner"), price_policy=policy)
    wanted = replace(job(), quantities=(100,))
    (offer,) = estimate(wanted, shop, Planner(processes()), NOW).offers
    plan = Planner(processes()).plan(wanted, shop)
    assert offer.same_price_to == Whole(plan, wanted, shop).same_price_to(100)
    alone = replace(shop, price_policy=PricePolicy(0, 0, 0, 0, 1))
    by_cost = Whole(plan, wanted, alone).same_price_to(100)
    assert (offer.same_price_to > by_cost) == told
    assert offer.same_price_to >= by_cost


def test_values_are_marked_up_by_kind():
    policy = replace(plant().price_policy, rush_premium=0.5)
    costs = {"material": 100, "time": 200, "outwork": 40}
    assert value(costs, policy, rush=False) == 115 + 250 + 46
    assert value(costs, policy, rush=True) == 115 + 375 + 69

