"""Traces of random jobs in random shops: sections alike, terms of merchants, shells, margins."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from whole_strategies import shops_and_jobs

from shop import processes
from sidelay.http.render_offer import OfferWriter
from sidelay.http.render_trace import write_inputs
from sidelay.offers import PricedJob
from sidelay.plan import Planner
from sidelay.rates import RateBasis, build_rate
from trace_checks import check_offer, worked_out

quantities = st.lists(st.integers(1, 60_000), min_size=1, max_size=3, unique=True)
slow = settings(
    deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


@settings(slow, max_examples=60)
@given(shops_and_jobs(), quantities)
def test_every_figure_of_any_job_is_what_its_formula_says(made, asked):
    shop, job = made
    plan = Planner(processes()).plan(job, shop)
    assume(plan.job_table is not None)
    priced = PricedJob(plan.job_table, asked)
    writer = OfferWriter(plan, priced.costs, replace(job, quantities=tuple(asked)), shop, "trace")
    for offers in priced.ranked_offers():
        for offer in offers:
            check_offer(
                {
                    **writer.head(offer),
                    "parts": writer.parts(offer),
                    "operations": writer.operations(offer),
                    **writer.price_trace(offer),
                }
            )


figures = st.floats(0, 1e6, allow_nan=False)
shares = st.floats(0, 1, allow_nan=False)


@given(
    st.builds(
        RateBasis,
        investment=st.floats(1e5, 1e6),
        salvage=st.floats(0, 1e5),
        life_years=st.floats(1, 30),
        interest=st.one_of(st.none(), shares),
        floor_m2=figures,
        occupancy_per_m2=figures,
        insurance_rate=shares,
        crew=st.floats(0, 9),
        wage_per_hour=st.floats(0, 99),
        paid_hours=st.floats(1, 9000),
        on_cost_share=shares,
        supervision=figures,
        load_kw=figures,
        load_factor=shares,
        kwh_price=shares,
        repairs=figures,
        supplies=figures,
        factory_overhead_share=shares,
        admin_share=shares,
        productivity=st.floats(0.1, 1),
    )
)
def test_every_item_of_any_rate_is_what_its_formula_says(basis):
    for item in build_rate(basis).items:
        inputs = {given["name"]: given["value"] for given in write_inputs(item.inputs)}
        found = worked_out(item.formula, inputs)
        assert abs(found - item.per_year) <= 1e-9 * item.per_year
