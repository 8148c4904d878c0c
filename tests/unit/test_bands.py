"""The interval argument of bands.py on cost functions made to be awkward: ties, steps, swaps."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sidelay import bands
from sidelay.pricing import PricePolicy, prices, values

POLICY = PricePolicy(0, 0, 0, 0, 1)


class Steps:
    """A contest of any costs that never fall, one row a way, from 0 upwards."""

    def __init__(self, material, time, presses=None, policy=POLICY):
        self.material, self.time = np.array(material), np.array(time)
        self.presses = list(range(len(material))) if presses is None else list(presses)
        self.policy = policy

    def look(self, quantities):
        kinds = [self.material[:, quantities], self.time[:, quantities]]
        by_kind = np.stack([*kinds, np.zeros_like(kinds[0])], axis=1)
        value = values(by_kind, self.policy)
        return prices(value, quantities, self.policy), value

    def subset(self, keep):
        presses = [self.presses[way] for way in keep]
        return Steps(self.material[keep], self.time[keep], presses, self.policy)

    def arithmetic(self, way):
        return tuple(self.material[way]), tuple(self.time[way])


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
    presses = np.cumsum([0, *(draw(st.booleans()) for _ in range(routes - 1))]).tolist()
    return most, Steps(*both, presses, policy)


def one_by_one(contest, most):
    """The winner at each quantity by price, value, order: written out plainly."""
    winners = []
    for quantity in range(1, most + 1):
        price, value = contest.look(np.array([quantity]))
        keys = [(int(price[way, 0]), float(value[way, 0]), way) for way in range(len(price))]
        winners.append(contest.presses[min(keys)[2]])
    return winners


@pytest.mark.parametrize("first_pass", [1, 2, 7])
@given(case=awkward())
def test_stretches_are_the_winners_one_by_one(first_pass, case):
    most, contest = case
    before, bands.FIRST_PASS = bands.FIRST_PASS, first_pass
    try:
        stretches = bands.cheapest_stretches(contest, most)
    finally:
        bands.FIRST_PASS = before
    found = [each.press for each in stretches for _ in range(each.first, each.last + 1)]
    assert found == one_by_one(contest, most)
    assert [each.first for each in stretches[1:]] == [each.last + 1 for each in stretches[:-1]]


@pytest.mark.parametrize("minimum_charge", [0, 1_000])
def test_a_route_that_wins_at_one_quantity_only_is_found(minimum_charge):
    # Route 1 is dearer everywhere but at 500,000, where route 0 has stepped up and route 1 not yet.
    # Under a minimum charge the prices are equal throughout, and value decides.
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
    nothing = np.zeros((len(costs), len(costs[0])), dtype=int)
    contest = Steps(costs, nothing, policy=PricePolicy(0, 0, 0, minimum_charge, 1))
    found = bands.cheapest_stretches(contest, len(costs[0]) - 1)
    return [(each.first, each.last, each.press) for each in found]


def looks(contest, most):
    """How many quantities a search looks at."""
    seen = []
    subset = contest.subset
    _counted(contest, seen)
    contest.subset = lambda keep: _counted(subset(keep), seen)
    bands.cheapest_stretches(contest, most)
    return sum(seen)


def _counted(contest, seen):
    look = contest.look
    contest.look = lambda quantities: seen.append(len(quantities)) or look(quantities)
    return contest


def test_twin_presses_and_routes_that_swap_are_decided_from_afar():
    quantities = np.arange(1_000_001)
    odd, even = (quantities + 1) // 2 * 2, quantities // 2 * 2 + 1
    nothing = np.zeros((4, 1_000_001), dtype=int)
    # Two routes of one press that take turns at every quantity, and a press that is their twin.
    assert looks(Steps([odd, even, odd, even], nothing, [0, 0, 1, 1]), 1_000_000) < 200


def test_presses_too_close_to_tell_apart_are_refused(monkeypatch):
    monkeypatch.setattr(bands, "MOST_LOOKS", 5_000)
    quantities = np.arange(1_000_001)
    contest = Steps(
        [(quantities + 1) // 2 * 2, quantities // 2 * 2 + 1], np.zeros((2, 1_000_001), int)
    )
    with pytest.raises(bands.TooClose):
        bands.cheapest_stretches(contest, 1_000_000)
