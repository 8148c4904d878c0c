"""Prices of the demo plant's products, whatever is chosen."""

from __future__ import annotations

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from shop import DEMO_FILE, demo, processes
from sidelay.choosing import Contradiction, settle
from sidelay.http.catalogues import read_products, request_for
from sidelay.http.faults import Faults
from sidelay.http.job_reader import read_job
from sidelay.http.schemas.request import load_request
from sidelay.least_prices import least_prices
from sidelay.plan import Planner
from sidelay.products import ChoiceOption

SOLD = read_products([(DEMO_FILE, demo())])
PLANNER = Planner(processes())


@st.composite
def chosen(draw):
    """A product, a full choice of its options, and the customer group that is priced."""
    product = draw(st.sampled_from(list(SOLD.values()))).product
    wish = {}
    for option in product.options:
        if isinstance(option, ChoiceOption):
            wish[option.id] = draw(st.sampled_from([value.id for value in option.values]))
        else:
            steps = (option.most - option.least) // option.step
            wish[option.id] = option.least + option.step * draw(st.integers(0, steps))
    try:
        return product, settle(product, wish), draw(st.sampled_from(["", "trade"]))
    except Contradiction:
        assume(False)
        raise


def prices_of(product, choices, group, quantities):
    plant = demo().for_group(group)
    data, found = load_request(request_for(product, choices, quantities))
    job = read_job(data, plant, Faults(found))
    table = PLANNER.plan(job, plant, only_processes=product.processes).job_table
    assert table is not None, "every choice of the demo catalogue can be made"
    return least_prices(table, quantities).tolist()


@settings(max_examples=80)
@given(chosen())
def test_along_the_ladder_the_price_rises_and_each_costs_no_more(made):
    product, choices, group = made
    ladder = product.ladder
    prices = prices_of(product, choices, group, ladder)
    for (fewer, less), (more, whole) in zip(
        zip(ladder, prices, strict=True), list(zip(ladder, prices, strict=True))[1:], strict=False
    ):
        assert less <= whole
        assert whole * fewer <= less * more, (choices, fewer, more)


@settings(max_examples=40)
@given(chosen(), st.data())
def test_more_never_cost_less(made, data):
    product, choices, group = made
    first, last = product.ladder[0], product.ladder[-1]
    asked = data.draw(st.lists(st.integers(first, last), min_size=2, max_size=30, unique=True))
    prices = prices_of(product, choices, group, sorted(asked))
    assert prices == sorted(prices)


@settings(max_examples=40)
@given(chosen(), st.data())
def test_the_trade_pays_no_more_than_everyone(made, data):
    """Every mark-up and the minimum charge of the group are lower, and so is every price."""
    product, choices, _ = made
    some = data.draw(st.integers(product.ladder[0], product.ladder[-1]))
    everyone, trade = (prices_of(product, choices, group, [some]) for group in ("", "trade"))
    assert trade <= everyone
