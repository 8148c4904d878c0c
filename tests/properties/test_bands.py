"""Bands against brute force over every whole quantity."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import jobs, shops

from shop import demo, example, job, leaf, processes
from sidelay.crossovers import find_bands, find_crossovers
from sidelay.plan import Planner
from sidelay.pricing import prices, values

MOST = 200_000
CHUNK = 4_000


def brute_force(table, policy, most: int) -> np.ndarray:
    """The cheapest route at each quantity from 1 to most, each looked at on its own.

    Cheapest by price, then by value, then the first: a plain sort, not the code under test.
    """
    winners = []
    for start in range(1, most + 1, CHUNK):
        asked = np.arange(start, min(start + CHUNK, most + 1))
        costs = table.at(asked)
        value, number = values(costs.by_kind, policy), np.arange(len(table.routes))
        price = prices(value, asked, policy)
        order = np.lexsort((np.broadcast_to(number[:, None], price.shape), value, price), axis=0)
        winners.append(order[0])
    return np.concatenate(winners)


def presses_by_brute_force(table, shop, most: int) -> np.ndarray:
    """The press of the cheapest route at each quantity from 1 to most."""
    presses = np.array([route.press.id for route in table.routes])
    return presses[brute_force(table, shop.price_policy, most)]


def expand(bands, most: int) -> np.ndarray:
    """The press of each quantity from 1 to most; checks that bands join without a gap."""
    assert bands[0].first == 1
    assert bands[-1].last == most
    for before, after in pairwise(bands):
        assert after.first == before.last + 1
        assert after.press != before.press
    return np.repeat([b.press for b in bands], [b.last - b.first + 1 for b in bands])


@settings(max_examples=12, deadline=None)
@given(shops(), jobs())
def test_bands_equal_brute_force_over_every_integer_to_200_000(shop, wanted):
    plan = Planner(processes()).plan(wanted, shop)
    table = plan.table
    assume(table is not None)
    found = expand(find_bands(plan.job_table, MOST), MOST)
    assert (found == presses_by_brute_force(table, shop, MOST)).all()


@settings(max_examples=60, deadline=None)
@given(shops(), jobs(), st.integers(1, 3_000))
def test_bands_equal_brute_force_to_small_maxima(shop, wanted, most):
    plan = Planner(processes()).plan(wanted, shop)
    table = plan.table
    assume(table is not None)
    found = expand(find_bands(plan.job_table, most), most)
    assert (found == presses_by_brute_force(table, shop, most)).all()


@pytest.mark.parametrize("size", [(215.9, 279.4, "text_100lb"), (162.55, 238.12, "silk_150")])
def test_demo_plant_jobs_equal_brute_force_to_200_000(size):
    shop = demo()
    wanted = job(leaf(*size[:2], stock=shop.stocks[size[2]]))
    plan = Planner(processes()).plan(wanted, shop)
    table = plan.table
    found = expand(find_bands(plan.job_table, MOST), MOST)
    assert (found == presses_by_brute_force(table, shop, MOST)).all()


@pytest.mark.parametrize(
    "name", ["weekly_newspaper", "bottle_labels", "pouches", "shirts", "posters", "invitation"]
)
def test_jobs_on_webs_reels_and_pieces_equal_brute_force_too(name):
    shop, wanted, most = demo(), example(name), 60_000
    plan = Planner(processes()).plan(wanted, shop)
    table = plan.table
    found = expand(find_bands(plan.job_table, most), most)
    assert (found == presses_by_brute_force(table, shop, most)).all()


@settings(max_examples=40, deadline=None)
@given(shops(), jobs())
def test_crossovers_tell_the_same_story_as_the_bands(shop, wanted):
    plan = Planner(processes()).plan(wanted, shop)
    table = plan.table
    assume(table is not None)
    bands = find_bands(plan.job_table, MOST)
    by_quantity = {band.first: band for band in bands}
    for crossover in find_crossovers(bands):
        start = by_quantity[crossover.first_at]
        assert start.process == crossover.to_process
        if crossover.settled_at is not None:
            later = [b.process for b in bands if b.first >= crossover.settled_at]
            pairs = set(pairwise(later))
            assert (crossover.to_process, crossover.from_process) not in pairs
