"""Where the money goes: the stages of an offer are its cost, to the cent."""

from __future__ import annotations

import pytest

from shop import NOW, demo, example, processes
from sidelay.compare import compare
from sidelay.lines import STAGES
from sidelay.plan import Planner
from sidelay.stages import stage_costs


def compared(name):
    return compare(example(name), demo(), Planner(processes()), NOW, up_to=1000)


@pytest.mark.parametrize(
    "name",
    ["a6_flyer", "paperback_novel", "carbonless_pads", "bottle_labels", "programme_with_insert"],
)
def test_stages_are_the_cost_of_an_offer(name):
    result = compared(name)
    offers = [offer for ranked in result.choices for offer in ranked]
    assert len(offers) > 3
    for offer in offers:
        stages = stage_costs(offer, result.costs, result.plan.job_table)
        assert sum(stages.values()) == offer.cost
        assert all(stages.values())


def test_stages_come_in_the_order_of_production():
    result = compared("paperback_novel")
    stages = stage_costs(result.choices[0][0], result.costs, result.plan.job_table)
    assert {"stock", "run", "binding", "packing"} <= stages.keys()
    assert list(stages) == [stage for stage in STAGES if stage in stages]


def test_a_stage_of_a_plug_in_comes_with_the_run(monkeypatch):
    result = compared("a6_flyer")
    ranked = result.choices[0]
    offer = next(o for o in ranked if "ink" in stage_costs(o, result.costs, result.plan.job_table))
    before = stage_costs(offer, result.costs, result.plan.job_table)
    table = result.plan.job_table.makeups[offer.makeup].parts[0].table
    renamed = tuple(
        line._replace(stage="varnish") if line.stage == "ink" else line for line in table.lines
    )
    monkeypatch.setattr(table, "lines", renamed)
    after = stage_costs(offer, result.costs, result.plan.job_table)
    assert after["varnish"] == before["ink"]
    assert list(after).index("varnish") == list(after).index("run") + 1
