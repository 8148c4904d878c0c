"""Ranking by any weights is consistent; by cost, each press stands with what costs least."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from scalar import Whole, price, value
from whole_strategies import shops_and_jobs

from shop import NOW, processes
from sidelay.choices import ranked_choices
from sidelay.dating import Dating
from sidelay.offers import PricedJob
from sidelay.plan import Planner
from sidelay.pricing import AT_COST
from sidelay.ranking import CRITERIA, Figures, RankBy, scores

money = st.integers(0, 10**7)
some_figures = st.lists(
    st.builds(Figures, money, money, st.floats(0, 200).map(lambda days: round(days, 4))),
    min_size=1,
    max_size=12,
)
whole_weights = st.tuples(*[st.integers(0, 100)] * 3).filter(any)
quantities = st.lists(st.integers(1, 60_000), min_size=1, max_size=2, unique=True)
slow = settings(
    deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


def order(figures, by):
    keys = [score.key for score in scores(figures, by)]
    return sorted(range(len(figures)), key=lambda n: keys[n])


@given(some_figures, whole_weights)
def test_who_is_worse_in_nothing_is_not_behind(figures, weights):
    found = scores(figures, RankBy(*map(float, weights)))
    for one, own in zip(figures, found, strict=True):
        for other, theirs in zip(figures, found, strict=True):
            if all(a <= b for a, b in zip(one, other, strict=True)):
                assert own.key <= theirs.key
    for before, after in pairwise(order(figures, RankBy(*map(float, weights)))):
        if found[before].score is None:
            assert found[after].score is None
        elif found[after].score is not None:
            assert found[before].score <= found[after].score


@given(some_figures, whole_weights, st.integers(2, 1000))
def test_weights_scaled_alike_change_nothing(figures, weights, factor):
    scaled = [float(weight * factor) for weight in weights]
    assert order(figures, RankBy(*map(float, weights))) == order(figures, RankBy(*scaled))


@given(some_figures, st.sampled_from(range(3)))
def test_a_weight_alone_is_the_order_of_its_figure(figures, place):
    by = RankBy(**{CRITERIA[place]: 1.0})
    assert order(figures, by) == sorted(range(len(figures)), key=lambda n: figures[n][place])


def priced(made, asked):
    shop, job = made
    plan = Planner(processes()).plan(job, shop)
    assume(plan.job_table is not None)
    return PricedJob(plan.job_table, asked)


def ranked(made, priced_job, by):
    """Choices and standings of each quantity."""
    shop, job = made
    found = ranked_choices(priced_job, Dating(job, shop, NOW, priced_job), by)
    return tuple(each.offers for each in found), tuple(each.standings for each in found)


@settings(slow, max_examples=40)
@given(shops_and_jobs(), quantities)
def test_by_price_alone_it_is_the_order_of_offers(made, asked):
    job = priced(made, asked)
    choices, standings = ranked(made, job, RankBy(price=1.0))
    assert choices == job.ranked_offers()
    for offers, found in zip(choices, standings, strict=True):
        best = offers[0].price
        for offer, standing in zip(offers, found, strict=True):
            ratio = Fraction(offer.price, best) if best else None
            assert standing.score.score == (1 if offer.price == best else ratio)


@settings(slow, max_examples=40)
@given(shops_and_jobs(), quantities, whole_weights)
def test_choices_stand_in_the_order_of_their_scores(made, asked, weights):
    job = priced(made, asked)
    total = sum(weights)
    by = RankBy(*(weight / total for weight in weights))
    choices, standings = ranked(made, job, by)
    for offers, found in zip(choices, standings, strict=True):
        keys = [
            (*standing.score.key, offer.price)
            for offer, standing in zip(offers, found, strict=True)
        ]
        assert keys == sorted(keys)
        presses = [job.table.first.ways[offer.parts[0].way].press for offer in offers]
        assert len(set(presses)) == len(presses) == len(job.table.first.by_press())


@settings(slow, max_examples=40)
@given(shops_and_jobs(), quantities)
def test_by_cost_a_press_stands_with_what_costs_least(made, asked):
    job = priced(made, asked)
    at_cost = PricedJob(replace(job.table, policy=AT_COST, rush=False), asked)
    by_cost, _ = ranked(made, job, RankBy(cost=1.0))
    for column, (offers, cheapest) in enumerate(zip(by_cost, job.ranked_offers(), strict=True)):
        assert [o.cost for o in offers] == sorted(o.cost for o in offers)
        assert offers[0].cost == int(at_cost.price[:, column].min())
        press = {job.table.first.ways[o.parts[0].way].press: o for o in cheapest}
        for offer in offers:
            other = press[job.table.first.ways[offer.parts[0].way].press]
            assert offer.cost <= other.cost
            if not job.table.policy.thresholds:  # else the customer may buy up to another way
                assert offer.price >= other.price
            assert offer.run_on_price >= 0
        assert sum(offer.same_price_to is not None for offer in offers) <= 1


@settings(slow, max_examples=30)
@given(shops_and_jobs(), quantities)
def test_by_cost_the_price_is_what_is_asked_for_an_offer_made_so(made, asked):
    """Against plain arithmetic, at the quantity, for 1,000 more, and where margins fall."""
    shop, job = made
    plan = Planner(processes()).plan(job, shop)
    assume(plan.job_table is not None)
    whole, policy = Whole(plan, job, shop), shop.price_policy
    by_cost, _ = ranked(made, PricedJob(plan.job_table, asked), RankBy(cost=1.0))
    for offer in (offer for offers in by_cost for offer in offers):
        plain = whole.makeups[offer.makeup]

        def value_at(quantity, plain=plain, parts=offer.parts):
            copies = value(plain.assembly(quantity), policy, rush=job.rush)
            return copies + sum(
                plain.route_value(number, route, quantity)
                for number, part in enumerate(parts)
                for route in part.routes
            )

        now, more = (
            price(value_at(quantity), quantity, policy, value_at)
            for quantity in (offer.quantity, offer.quantity + 1000)
        )
        assert (offer.price, offer.run_on_price) == (now, more - now)


@settings(slow, max_examples=40)
@given(shops_and_jobs(), quantities)
def test_the_price_of_an_offer_as_it_is_made_is_its_price(made, asked):
    """Priced again from its own routes, an offer of least price costs the customer the same."""
    job = priced(made, asked)
    for offers in job.ranked_offers():
        for offer in offers:
            again = job.asked_for(offer)
            if job.table.policy.thresholds:
                assert again.price >= offer.price
            else:
                assert again.price == offer.price
            assert again.cost == offer.cost
