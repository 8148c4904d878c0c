"""The interval argument of bands.py on cost functions made to be awkward: ties, steps, swaps."""

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sidelay import bands
from sidelay.pricing import PricePolicy


class Steps:
    """Stands in for a CostTable: any costs that never fall, one row a route, from 0 upwards."""

    def __init__(self, material, time):
        self.material, self.time = np.array(material), np.array(time)
        self.routes = range(len(material))

    def at(self, quantities):
        kinds = [self.material[:, quantities], self.time[:, quantities]]
        by_kind = np.stack([*kinds, np.zeros_like(kinds[0])], axis=1)
        return SimpleNamespace(by_kind=by_kind, total=by_kind.sum(axis=1))

    def subset(self, keep):
        return Steps(self.material[keep], self.time[keep])


@st.composite
def awkward(draw):
    """A few routes over up to 120 quantities, whose costs rise by small steps, often by none."""
    most, routes = draw(st.integers(1, 120)), draw(st.integers(1, 5))
    rise = st.sampled_from([0, 0, 0, 0, 1, 1, 2, 5])
    rows = st.lists(rise, min_size=most + 1, max_size=most + 1).map(np.cumsum)
    both = [[draw(rows) + draw(st.integers(0, 20)) for _ in range(routes)] for _ in range(2)]
    policy = PricePolicy(
        draw(st.sampled_from([0.0, 1.0])), draw(st.sampled_from([0.0, 0.5])), 0.0,
        draw(st.integers(0, 60)), draw(st.sampled_from([1, 7, 20])),
    )  # fmt: skip
    return most, Steps(*both), policy


def one_by_one(table, policy, most):
    """The winner at each quantity by price, cost, order: written out, not the code under test."""
    winners = []
    for quantity in range(1, most + 1):
        costs = table.at(np.array([quantity]))
        keys = [
            (int(bands.prices(costs.by_kind, policy)[route, 0]), int(costs.total[route, 0]), route)
            for route in table.routes
        ]
        winners.append(min(keys)[2])
    return winners


@pytest.mark.parametrize("first_pass", [1, 2, 7])
@given(case=awkward())
def test_stretches_are_the_winners_one_by_one(first_pass, case):
    most, table, policy = case
    before, bands.FIRST_PASS = bands.FIRST_PASS, first_pass
    try:
        stretches = bands.cheapest_stretches(table, policy, most)
    finally:
        bands.FIRST_PASS = before
    found = [each.route for each in stretches for _ in range(each.first, each.last + 1)]
    assert found == one_by_one(table, policy, most)
    assert [each.first for each in stretches[1:]] == [each.last + 1 for each in stretches[:-1]]


@pytest.mark.parametrize("minimum_charge", [0, 1_000])
def test_a_route_that_wins_at_one_quantity_only_is_found(minimum_charge):
    # Route 1 is dearer everywhere but at 500,000, where route 0 has stepped up and route 1 not yet.
    # Under a minimum charge the prices are equal throughout, and cost decides.
    quantities = np.arange(1_000_001)
    first = np.where(quantities < 500_000, 100, 110)
    second = np.where(quantities < 500_001, 105, 120)
    assert winners([first, second], minimum_charge) == [
        (1, 499_999, 0),
        (500_000, 500_000, 1),
        (500_001, 1_000_000, 0),
    ]


def test_where_two_routes_come_level_the_first_in_order_wins():
    quantities = np.arange(1_001)
    level = np.full(1_001, 50)
    rising = np.where(quantities < 333, 49, 50)
    assert winners([level, rising]) == [(1, 332, 1), (333, 1_000, 0)]
    assert winners([rising, level]) == [(1, 1_000, 0)]


def winners(costs, minimum_charge=0):
    table = Steps(costs, np.zeros((len(costs), len(costs[0])), dtype=int))
    policy = PricePolicy(0, 0, 0, minimum_charge, 1)
    found = bands.cheapest_stretches(table, policy, len(costs[0]) - 1)
    return [(each.first, each.last, each.route) for each in found]
