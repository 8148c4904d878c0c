"""Bands of whole jobs against brute force: every combination of ways at every whole quantity.

Everything is a whole number here: costs in minor units times mark-ups in ten-thousandths.
"""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import pairwise, product
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from whole_strategies import shops_and_jobs

from shop import demo, job, leaf, plant, press, processes
from sidelay.binders import Binder
from sidelay.crossovers import _Contest, find_bands
from sidelay.http.faults import Faults
from sidelay.http.job_reader import read_job
from sidelay.http.schemas.request import load_request
from sidelay.http.whole_job import bind
from sidelay.job import Binding
from sidelay.offers import PricedJob
from sidelay.plan import Planner
from sidelay.pricing import PricePolicy

CHUNK = 3_000
# A margin that falls so far that much larger orders cost less.
BUYING_UP = PricePolicy(0.1, 0.1, 0.1, 0, 1, margins_by_quantity=((1, 0.8), (2_000, 0.05)))
JOBS = Path(__file__).parents[1] / "jobs"
slow = settings(
    deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


def worth(by_kind, policy: PricePolicy, rush: bool) -> np.ndarray:
    """Marked-up costs in ten-thousandths of a minor unit, exactly [..., quantity]."""
    hurry = 100 + (round(policy.rush_premium * 100) if rush else 0)
    shares = [policy.material_markup, policy.time_markup, policy.outwork_markup]
    material, time, outwork = (100 + round(share * 100) for share in shares)
    weights = np.array([material * 100, time * hurry, outwork * hurry], dtype=np.int64)
    return np.tensordot(by_kind, weights, axes=([-2], [0]))


def priced(value, quantities, policy: PricePolicy, value_at) -> np.ndarray:
    """The price of whole values, in whole numbers; value_at: the value at another quantity."""

    def step(margins, at):
        starts = np.array([start for start, _ in margins])
        place = np.maximum(np.searchsorted(starts, at, side="right") - 1, 0)
        return np.array([round(share * 100) for _, share in margins])[place]

    def finished(of, percent):
        # value / 10,000 / (1 - margin), at least the minimum, begun steps of rounding whole
        under = 10_000 * (100 - percent) * policy.round_up_to
        whole, rest = np.divmod(of * 100, under)
        steps = whole + (rest * 1_000_000 > under)
        least = -(-policy.minimum_charge // policy.round_up_to)
        return np.maximum(steps, least) * policy.round_up_to

    if policy.margins_by_value:
        margins = policy.margins_by_value
        found = finished(value, step(margins, value // 10_000))
        for (_, before), (start, share) in pairwise(margins):
            if share < before:
                more = finished(np.int64(start) * 10_000, round(share * 100))
                found = np.where(value < start * 10_000, np.minimum(found, more), found)
        return found
    margins = policy.margins_by_quantity
    found = finished(value, step(margins, quantities) if margins else 0)
    for (_, before), (start, share) in pairwise(margins):
        if share < before:
            more = finished(value_at(start), round(share * 100))
            found = np.where(quantities < start, np.minimum(found, more), found)
    return found


class Brute:
    """Every way of each part with every other, on every binder, priced at each quantity alone.

    A combination is a makeup and a way of each part; those with a barred way are left out.
    """

    def __init__(self, job_table) -> None:
        self.table, self.policy = job_table, job_table.policy
        self.combinations = [
            np.array(
                list(
                    product(
                        *(
                            [n for n, way in enumerate(part.ways) if not way.barred]
                            for part in makeup.parts
                        )
                    )
                ),
                dtype=np.intp,
            ).reshape(-1, len(makeup.parts))
            for makeup in job_table.makeups
        ]
        self.first = np.concatenate([each[:, 0] for each in self.combinations])

    def presses(self) -> list[tuple[tuple[tuple[str, str], ...], ...]]:
        """Of each combination, process and press of each press that each part runs through."""
        return [
            tuple(
                part.ways[number].presses for part, number in zip(makeup.parts, chosen, strict=True)
            )
            for makeup, combinations in zip(self.table.makeups, self.combinations, strict=True)
            for chosen in combinations
        ]

    def values(self, quantities) -> np.ndarray:
        """Value of each combination [combination, quantity]."""
        return np.concatenate(
            [
                self.of_makeup(makeup, combinations, quantities)
                for makeup, combinations in zip(
                    self.table.makeups, self.combinations, strict=True
                )
            ]
        )

    def of_makeup(self, makeup, combinations, quantities) -> np.ndarray:
        """The same of the combinations of one makeup."""
        table = self.table
        copies = makeup.assembly.needed(quantities)
        bill = makeup.assembly.at(quantities).bill
        found = worth(bill.by_kind[0], self.policy, table.rush)[None]
        for number, (part, each) in enumerate(zip(makeup.parts, table.per_copy, strict=True)):
            routes = worth(part.table.at(copies * each).by_kind, self.policy, table.rush)
            ways = np.array(
                [
                    sum(routes[list(stretch)].min(axis=0) for stretch in way.stretches)
                    for way in part.ways
                ]
            )
            found = found + ways[combinations[:, number]]
        return found

    def larger(self, quantity: int) -> np.ndarray:
        """Value of a larger order, its other parts made as is cheapest then [combination, 1]."""
        found = self.values(np.array([quantity]))
        least = [
            found[self.first == way].min() if (self.first == way).any() else 0
            for way in range(len(self.table.first.ways))
        ]
        return np.array(least)[self.first][:, None]

    def check(self, bands, most: int) -> None:
        """Every quantity: the band's presses have the least price, and the least value at it."""
        assert bands[0].first == 1
        assert bands[-1].last == most
        for before, after in pairwise(bands):
            assert after.first == before.last + 1
            assert after.route != before.route
        at = {start: self.larger(start) for start, _ in self.policy.margins_by_quantity}
        fits = np.array([[on == band.route for band in bands] for on in self.presses()])
        lasts = np.array([band.last for band in bands])
        for start in range(1, most + 1, CHUNK):
            asked = np.arange(start, min(start + CHUNK, most + 1))
            value = self.values(asked)
            price = priced(value, asked, self.policy, at.get)
            band = np.searchsorted(lasts, asked)
            mine = fits[:, band]
            least = price.min(axis=0)
            best = np.where(price == least, value, np.iinfo(np.int64).max).min(axis=0)
            own = np.where((price == least) & mine, value, np.iinfo(np.int64).max).min(axis=0)
            assert (own == best).all(), asked[(own != best)][:5]


def planned(shop, job):
    plan = Planner(processes()).plan(job, shop)
    assume(plan.job_table is not None)
    return plan


def buys_up_on_binders(table) -> bool:
    """Whether what test_buying_up_with_two_binders shows to fail could stand in the way."""
    return bool(table.policy.thresholds) and len(table.makeups) > 1 and len(table.per_copy) > 1


@settings(slow, max_examples=50)
@given(shops_and_jobs(), st.integers(1, 3_000))
def test_bands_of_whole_jobs_equal_brute_force(made, most):
    shop, job = made
    table = planned(shop, job).job_table
    brute = Brute(table)
    assume(len(brute.first) <= 2_000 and not buys_up_on_binders(table))
    brute.check(find_bands(table, most), most)


@settings(slow, max_examples=3)
@given(shops_and_jobs())
def test_bands_of_whole_jobs_equal_brute_force_to_60_000(made):
    shop, job = made
    table = planned(shop, job).job_table
    brute = Brute(table)
    assume(len(brute.first) <= 200 and not buys_up_on_binders(table))
    brute.check(find_bands(table, 60_000), 60_000)


@settings(slow, max_examples=50)
@given(shops_and_jobs(), st.lists(st.integers(1, 60_000), min_size=1, max_size=6))
def test_an_offer_is_made_on_the_presses_of_its_band(made, asked):
    shop, job = made
    table = planned(shop, job).job_table
    assume(not buys_up_on_binders(table))
    bands = find_bands(table, 60_000)
    for offers in PricedJob(table, asked).ranked_offers():
        offer = offers[0]
        (band,) = [each for each in bands if each.first <= offer.quantity <= each.last]
        parts = table.makeups[offer.makeup].parts
        for part, made_, route in zip(parts, offer.parts, band.route, strict=True):
            assert part.ways[made_.way].presses == route


@pytest.mark.xfail(
    strict=True,
    reason="the first part is chosen by price, the others by value: where buying up makes a dearer "
    "value the least price, its binder may not be the one that the others are chosen on",
)
def test_buying_up_with_two_binders():
    """One binder spoils much and is cheap, which suits litho; the other is neither.

    At 322 copies the text is on litho, for the price of a larger order, and so is the cover, bound
    by the binder that spoils much. Without buying up both would be on toner, bound by the other.
    """
    trade = {"method": "saddle_stitch", "price_set_up": 10.0}
    binders = (
        Binder("wasteful", "wasteful", set_up_waste_copies=800, price_per_1000=20.0, **trade),
        Binder("careful", "careful", price_per_1000=400.0, **trade),
    )
    presses = [
        press("toner", click_colour_price=0.15),
        press("sheetfed_litho", make_ready_min_per_form=10),
    ]
    shop = plant(*presses, binders=binders, price_policy=BUYING_UP)
    text = leaf(148, 210, kind="section", name="text", pages=8)
    parts = [(0, text), (1, leaf(148, 210, kind="cover", name="cover", pages=4))]
    binding = Binding("saddle_stitch")
    wanted = replace(job(), parts=bind(parts, binding, shop, Faults()), binding=binding)
    table = planned(shop, wanted).job_table
    Brute(table).check(find_bands(table, 1_000), 1_000)


@pytest.mark.parametrize(
    ("name", "most"),
    [
        ("programme", 60_000),
        ("paperback", 6_000),
        ("trifold", 60_000),
        ("pads", 30_000),
        ("cover", 60_000),
        ("cartons", 60_000),
    ],
)
def test_bands_of_the_demo_plant_equal_brute_force(name, most):
    data, found = load_request(json.loads((JOBS / f"{name}.json").read_text()))
    table = Planner(processes()).plan(read_job(data, demo(), Faults(found)), demo()).job_table
    Brute(table).check(find_bands(table, most), most)


@settings(slow, max_examples=60)
@given(shops_and_jobs(st.just(BUYING_UP)), st.integers(100, 1_500))
def test_leaving_out_routes_changes_no_price(made, most):
    """Routes that win nowhere up to the maximum may win at a larger order, whose price counts."""
    shop, job = made
    contest = _Contest(planned(shop, job).job_table)
    points = np.unique(np.geomspace(1, most, 48).round().astype(np.int64))
    contest.look(points)
    every = list(range(len(contest.presses)))
    asked = np.unique(np.linspace(1, most, 100).astype(np.int64))
    whole = contest.look(asked)
    contest.look(points)
    fewer = contest.subset(every).look(asked)
    assert (whole[0].min(axis=0) == fewer[0].min(axis=0)).all()
    assert (whole[0] == fewer[0]).all()
    assert (whole[1] == fewer[1]).all()
