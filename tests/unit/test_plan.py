"""Why a press has no layout for a part: the true reason, and a remedy that clears it."""

from dataclasses import replace

import numpy as np
import pytest

from shop import CMYK, job, leaf, plant, press, processes, stock, with_inks
from sidelay.plan import Planner
from sidelay.stock import ParentSheet

WIDE = leaf(600, 300, bleed_mm=0, stock=stock(sheets=(ParentSheet(640, 900, "long", 0.1, "test"),)))
NARROW = {"max_width_mm": 700, "max_length_mm": 500, "colour_bar_mm": 0}


def plan(part, **feed):
    shop = plant(press("sheetfed_litho", feed=feed))
    return Planner(processes()).plan(job(part), shop)


def reason(part, **feed):
    (excluded,) = plan(part, **feed).excluded
    (finding,) = excluded.findings
    return finding.code


@pytest.mark.parametrize(
    ("part", "feed", "code", "mended"),
    [
        (leaf(200, 280), {"work_styles": ["one_side"]}, "one_side_only", with_inks(leaf(), CMYK)),
        (
            with_inks(replace(WIDE, grain="long"), CMYK),
            NARROW,
            "grain_unmet",
            with_inks(WIDE, CMYK),
        ),
        (leaf(800, 1100), {}, "size_above", leaf(300, 400)),
    ],
)
def test_the_remedy_clears_the_finding(part, feed, code, mended):
    assert reason(part, **feed) == code
    assert plan(mended, **feed).table is not None


def test_a_stock_in_too_small_a_sheet_is_told():
    small = stock(sheets=(ParentSheet(210, 297, "long", 0.01, "test"),))
    assert reason(leaf(200, 290, stock=small)) == "no_sheet"


def test_a_plan_is_kept_whatever_the_quantities_and_the_title():
    planner, shop = Planner(processes()), plant(press("sheetfed_litho"), press("toner"))
    wanted = job(leaf(200, 280))
    first = planner.plan(wanted, shop)
    again = planner.plan(replace(wanted, quantities=(7,), title="again"), shop)
    assert again.job_table is first.job_table
    assert planner.plan(replace(wanted, quantities=(8,)), shop) is again
    assert planner.plan(replace(wanted, quality="office"), shop) is not first
    assert planner.plan(wanted, shop, only_processes=["litho"]) is not first


def test_what_is_never_the_cheapest_is_left_out_of_a_job_that_is_asked_again():
    planner, shop = Planner(processes()), plant(press("sheetfed_litho"), press("toner"))
    wanted = job(leaf(200, 280))
    assert planner.plan(wanted, shop).lean is None
    plan = planner.plan(wanted, shop)
    quantities = np.unique(np.geomspace(1, 5_000_000, 3_000).astype(np.int64))
    least = plan.job_table.at(quantities).value.min(axis=0)
    assert (plan.lean.at(quantities).value.min(axis=0) == least).all()
    assert len(plan.lean.first.routes) < len(plan.job_table.first.routes)


def test_the_plan_asked_for_longest_ago_is_dropped_first(monkeypatch):
    monkeypatch.setattr("sidelay.plan.PLANS_KEPT", 2)
    planner, shop = Planner(processes()), plant(press("toner", id="toner", cost_centre="toner"))
    first, second, third = (job(leaf(width, 150)) for width in (100, 110, 120))
    kept = planner.plan(first, shop)
    dropped = planner.plan(second, shop)
    kept = planner.plan(first, shop)
    planner.plan(third, shop)
    assert planner.plan(first, shop).job_table is kept.job_table
    assert planner.plan(second, shop).job_table is not dropped.job_table
