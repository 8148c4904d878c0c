"""Choices that are equal stand in a fixed order: price, then value, then process and press."""

from __future__ import annotations

from typing import Any

import pytest

from shop import NOW, job, plant, press, processes
from sidelay.compare import compare
from sidelay.plan import Planner
from sidelay.pricing import PricePolicy
from sidelay.ranking import RankBy

EVERY_WAY = [
    RankBy(price=1.0),
    RankBy(cost=1.0),
    RankBy(readiness=1.0),
    RankBy(0.25, 0.25, 0.5),
]


def toner(name: str, cost_centre: str = "toner", **figures: Any):
    return press("toner", id=name, cost_centre=cost_centre, **figures)


def presses(shop, by, quantity=500):
    """The presses at one quantity, the best first."""
    wanted = job(quantities=(quantity,))
    found = compare(wanted, shop, Planner(processes()), NOW, up_to=1000, rank_by=by)
    ways = found.plan.job_table.first.ways
    return [ways[offer.parts[0].way].press for offer in found.choices[0]]


@pytest.mark.parametrize("by", EVERY_WAY)
def test_presses_alike_stand_in_the_order_of_their_ids(by):
    shop = plant(toner("c"), toner("a"), toner("b"))
    assert presses(shop, by) == ["a", "b", "c"]


@pytest.mark.parametrize("by", EVERY_WAY)
def test_of_those_ready_at_once_the_cheaper_is_first(by):
    shop = plant(toner("a", "dear"), toner("b"), rates={"dear": 90.0})
    assert presses(shop, by) == ["b", "a"]


@pytest.mark.parametrize("by", EVERY_WAY)
def test_under_one_minimum_charge_the_one_that_costs_less_is_first(by):
    shop = plant(
        toner("a", "dear"),
        toner("b"),
        rates={"dear": 90.0},
        price_policy=PricePolicy(0.15, 0.25, 0.15, 1_000_000, 1),
    )
    assert presses(shop, by) == ["b", "a"]


def test_the_sooner_is_first_where_that_is_asked():
    slow = [[216, 20], [488, 10], [1100, 5]]
    shop = plant(
        toner("a", sides_per_minute_by_length=slow),
        toner("b", "dear"),
        rates={"toner": 5.0, "dear": 300.0},
    )
    assert presses(shop, RankBy(price=1.0)) == ["a", "b"]
    assert presses(shop, RankBy(readiness=1.0)) == ["b", "a"]
