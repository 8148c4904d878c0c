"""Bands against brute force over every whole quantity."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import jobs, shops

from shop import demo, job, leaf, processes
from sidelay.bands import cheapest_stretches
from sidelay.compare import find_crossovers, join_by_press
from sidelay.plan import Planner
from sidelay.pricing import prices

MOST = 200_000
CHUNK = 4_000


def brute_force(table, policy, most: int) -> np.ndarray:
    """The cheapest route at each quantity from 1 to most, each looked at on its own.

    Cheapest by price, then by cost, then the first: a plain sort, not the code under test.
    """
    winners = []
    for start in range(1, most + 1, CHUNK):
        asked = np.arange(start, min(start + CHUNK, most + 1))
        costs = table.at(asked)
        price, number = prices(costs.by_kind, policy), np.arange(len(table.routes))
        order = np.lexsort(
            (np.broadcast_to(number[:, None], price.shape), costs.total, price), axis=0
        )
        winners.append(order[0])
    return np.concatenate(winners)


def expand(stretches, most: int) -> np.ndarray:
    """The route of each quantity from 1 to most; checks that stretches join without a gap."""
    assert stretches[0].first == 1
    assert stretches[-1].last == most
    for before, after in pairwise(stretches):
        assert after.first == before.last + 1
        assert after.route != before.route
    return np.repeat([s.route for s in stretches], [s.last - s.first + 1 for s in stretches])


@settings(max_examples=12, deadline=None)
@given(shops(), jobs())
def test_bands_equal_brute_force_over_every_integer_to_200_000(shop, wanted):
    table = Planner(processes()).plan(wanted, shop).table
    assume(table is not None)
    stretches = cheapest_stretches(table, shop.price_policy, MOST)
    assert (expand(stretches, MOST) == brute_force(table, shop.price_policy, MOST)).all()


@settings(max_examples=60, deadline=None)
@given(shops(), jobs(), st.integers(1, 3_000))
def test_bands_equal_brute_force_to_small_maxima(shop, wanted, most):
    table = Planner(processes()).plan(wanted, shop).table
    assume(table is not None)
    stretches = cheapest_stretches(table, shop.price_policy, most)
    assert (expand(stretches, most) == brute_force(table, shop.price_policy, most)).all()


def test_demo_plant_letter_job_equals_brute_force_to_200_000():
    shop = demo()
    wanted = job(leaf(215.9, 279.4, stock=shop.stocks["text_100lb"]))
    table = Planner(processes()).plan(wanted, shop).table
    stretches = cheapest_stretches(table, shop.price_policy, MOST)
    assert (expand(stretches, MOST) == brute_force(table, shop.price_policy, MOST)).all()


@settings(max_examples=40, deadline=None)
@given(shops(), jobs())
def test_crossovers_tell_the_same_story_as_the_bands(shop, wanted):
    table = Planner(processes()).plan(wanted, shop).table
    assume(table is not None)
    bands = join_by_press(table, cheapest_stretches(table, shop.price_policy, MOST))
    by_quantity = {band.first: band for band in bands}
    for crossover in find_crossovers(bands):
        start = by_quantity[crossover.first_at]
        assert start.process == crossover.to_process
        if crossover.settled_at is not None:
            later = [b.process for b in bands if b.first >= crossover.settled_at]
            pairs = set(pairwise(later))
            assert (crossover.to_process, crossover.from_process) not in pairs
