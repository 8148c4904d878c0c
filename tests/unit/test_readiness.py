"""How soon an offer can be ready, worked out by hand.

Every run here is of 1,000 sheets, one up, at 1,000 an hour after half an hour of make-ready: 1.5
hours on the press, and another 0.2 to wash it up. A working day has 8 hours.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import pytest
from sidelay.readiness import Readiness, Schedule

from shop import job as job_of
from shop import leaf, plant, stock
from sidelay.assembly import BINDING, PACKING, Assembly
from sidelay.costing import CostTable, Route
from sidelay.job_table import JobTable, Makeup, columns
from sidelay.lines import route_lines
from sidelay.machines import Step
from sidelay.plant import Plant, Prepress
from sidelay.stock import ParentSheet
from sidelay.ways import PartTable, Way
from sidelay.work import Charge, Form, Layout, Run, Work

QUANTITY = 1000
PLATES = Charge("carrier", "plates", 10.0, "carrier", 4.0, lead_days=2)
DIES = Charge("die", "dies", 10.0, "job", lead_days=3)


@dataclass(frozen=True)
class Machine:
    """A press as the core reads it."""

    id: str = "press_a"
    name: str = "Press"
    cost_centre: str = "litho"
    feed: None = None
    sources: dict[str, str] = field(default_factory=dict)


def run(**figures) -> Run:
    return Run(**{"passes": 1, "make_ready_min": 30, "make_ready_cycles": 0} | figures | FIXED)


FIXED = {"cycles_per_hour": 1000, "running_waste": 0.0, "wash_up_min": 12}


def route(press="press_a", charges=(), steps=(), name="leaf", drying_h=0.0, **members) -> Route:
    part = leaf(name=name, kept_carriers=members.pop("kept", ()))
    sheet = ParentSheet(640, 900, "long", 0.1, "test")
    work = Work(part, Layout(640, 900, sheet, "one_side", 1), (Form("front", part.front.inks),))
    made = run(drying_h=drying_h)
    return Route("test", Machine(press), work, made, tuple(charges), tuple(steps), part, **members)


def step(name="fold", **figures) -> Step:
    """A step of 12 minutes to set, and 6 minutes for each hundred: 1.2 hours for a thousand."""
    given = {
        "unit": "piece",
        "cost_centre": "folding",
        "set_up_min": 12,
        "minutes": 6,
        "per": 100,
        "set_up_waste": 0,
        "running_waste": 0,
        "because": "test",
        "source": "test",
    }
    return Step(name, **given | figures)


def sent_out(name="varnish", lead_days=4.0, **figures) -> Step:
    given = {"cost_centre": "", "set_up_min": 0, "minutes": 0, "price": 0.1, "kind": "outwork"}
    return step(name, lead_days=lead_days, **given | figures)


def ready(*parts: Route | tuple[Route, ...], copies=(), shop: Plant | None = None, **wanted):
    """How soon 1,000 are ready whose parts are made by these routes, each on one way."""
    shop = shop or plant()
    job = job_of(**wanted)
    tables, taken = [], []
    for routes in (part if isinstance(part, tuple) else (part,) for part in parts):
        lines = [
            line for n, each in enumerate(routes) for line in route_lines(n, each, job, shop)
        ]
        way = Way("test", routes[0].press.id, tuple((n,) for n in range(len(routes))))
        tables.append(PartTable(CostTable(routes, lines, 2), [way]))
        taken.append(tuple(range(len(routes))))
    assembly = Assembly(copies, [BINDING, PACKING][: len(copies)], 0.0, shop)
    makeup = Makeup(tuple(tables), assembly)
    table = JobTable((makeup,), (1,) * len(parts), shop.price_policy, False)
    costs = table.at(columns([10, QUANTITY]))
    return Schedule(table, costs, shop.working_hours_per_day).of(0, taken, 1)


def figures(found: Readiness) -> tuple[float, float, float, float]:
    return found.lead_days, found.work_h, found.drying_h, found.working_days


def test_a_run_is_ready_before_its_wash_up():
    assert figures(ready(route())) == (0, 1.5, 0, 0.1875)


@pytest.mark.parametrize(("hours", "days"), [(24, 0.0625), (10, 0.15), (1, 1.5)])
def test_work_takes_the_hours_of_a_working_day(hours, days):
    assert ready(route(), shop=plant(working_hours_per_day=hours)).working_days == days


def test_sheets_dry_at_night_too():
    found = ready(route(drying_h=6))
    assert figures(found) == (0, 1.5, 6, 0.4375)  # 1.5 / 8 + 6 / 24
    assert "night" in found.because["working_days"]


def test_what_is_bought_for_the_run_is_waited_for_together():
    found = ready(route(charges=[PLATES, DIES]))
    assert figures(found) == (3, 1.5, 0, 3.1875)
    assert found.because["lead_days"] == "3 working days until what is bought for the run is there"


def test_what_is_kept_from_the_last_run_is_not_waited_for():
    kept = route(charges=[PLATES, DIES]).carriers_id
    found = ready(route(charges=[PLATES, DIES], kept=(kept,)))
    assert figures(found) == (0, 1.5, 0, 0.1875)
    assert found.because["lead_days"] == "nothing is waited for"


def test_carriers_that_wear_out_later_are_waited_for_when_they_do():
    kept = route().carriers_id
    wearing = replace(PLATES, life=500)  # two sets for a thousand, the first of them kept
    assert ready(route(charges=[wearing], kept=(kept,))).lead_days == 2
    lasting = replace(PLATES, life=5000)
    assert ready(route(charges=[lasting], kept=(kept,))).lead_days == 0


def test_finishing_comes_after_the_press():
    found = ready(route(steps=[step()]))
    assert figures(found) == (0, 2.7, 0, 0.3375)
    assert "1.50 h on the press" in found.because["work_h"]
    assert "1.20 h of finishing" in found.because["work_h"]


def test_the_die_of_a_machine_in_the_house_is_there_before_the_run():
    found = ready(route(charges=[PLATES], steps=[step(tool_price=90, lead_days=5)]))
    assert figures(found) == (5, 2.7, 0, 5.3375)


def test_what_is_sent_out_comes_back_with_its_die_made_there():
    found = ready(route(charges=[PLATES], steps=[sent_out(tool_price=90), sent_out("foil", 1.5)]))
    assert figures(found) == (7.5, 1.5, 0, 7.6875)  # 2 + 4 + 1.5 days
    assert "2 working days until what is bought" in found.because["lead_days"]
    assert "5.5 working days until what is sent out is back" in found.because["lead_days"]


def test_the_desk_and_the_proof_come_first():
    desk = Prepress("cutting", 15, 6, 0, 0, "test")
    found = ready(route(), shop=plant(prepress=desk), proof="contract")
    # 15 min for the artwork, 6 for its one form (no plates: one in any case), 8 a side for proofs
    assert found.work_h == round(1.5 + (15 + 6 + 2 * 8) / 60, 3)


def test_two_parts_on_one_press_go_one_after_the_other():
    both = ready(route(name="text"), route(name="cover"))
    assert figures(both) == (0, 3.2, 0, 0.4)  # 1.5, 0.2 of washing up, 1.5
    assert "parts that go first on it" in both.because["work_h"]
    assert both.because["working_days"].endswith("the cover is the last part ready")


def test_a_part_that_waits_for_the_press_does_not_wait_for_the_other_to_dry():
    both = ready(route(name="text", drying_h=6), route(name="cover"))
    assert figures(both) == (0, 1.5, 6, 0.4375)  # the text; the cover is there after 0.4 days
    assert both.because["working_days"].endswith("the text is the last part ready")
    dry = ready(route(name="text", drying_h=3), route(name="cover", drying_h=1.2))
    assert figures(dry) == (0, 3.2, 1.2, 0.45)


def test_a_part_takes_the_press_once_its_plates_are_there():
    both = ready(route(name="text"), route(name="cover", charges=[PLATES]))
    assert figures(both) == (2, 1.5, 0, 2.1875)  # the text is off the press long before
    held_up = ready(route(name="text", charges=[PLATES]), route(name="cover"))
    assert figures(held_up) == (2, 3.2, 0, 2.4)  # in the order of the job


def test_parts_on_two_presses_go_side_by_side():
    both = ready(route(name="text"), route("press_b", name="cover", steps=[step()]))
    assert figures(both) == (0, 2.7, 0, 0.3375)
    assert "go first" not in both.because["work_h"]


def test_copies_are_bound_after_the_last_part():
    packing = step("carton", unit="copy", set_up_min=0)  # 1 hour
    bound = ready(
        route(name="text", drying_h=6),
        route("press_b", name="cover"),
        copies=[sent_out("case", 12, unit="copy"), packing],
    )
    assert figures(bound) == (12, 2.5, 6, 12.5625)  # 1.5 / 8 + 6 / 24 + 12 + 1 / 8
    in_house = ready(route(), copies=[step("saddle_stitch", unit="copy")])
    assert figures(in_house) == (0, 2.7, 0, 0.3375)


def test_a_tool_for_the_copies_is_ordered_at_the_start():
    numbering = step("number", unit="copy", set_up_min=0, tool_price=50, lead_days=1)
    assert figures(ready(route(), copies=[numbering])) == (1, 1.0, 0, 1.125)
    slow = route(charges=[PLATES])
    assert figures(ready(slow, copies=[numbering])) == (2, 2.5, 0, 2.3125)


def test_sections_alike_are_made_ready_each_and_washed_up_once():
    assert figures(ready(route(times=3))) == (0, 4.5, 0, 0.5625)
    two_sizes = (route(times=2), route(leading=False, drying_h=6))
    assert figures(ready(two_sizes)) == (0, 4.5, 6, 0.8125)


def test_shells_are_printed_and_dry_before_they_are_overprinted():
    over = route("press_b", on_shells=True, drying_h=1)
    shells = route("press_a", feeds=0, drying_h=6)
    found = ready((over, shells))
    assert figures(found) == (0, 3.0, 7, round(3 / 8 + 7 / 24, 4))
    # Another part waits for the press of the shells, no longer.
    after = ready((over, shells), route("press_a", name="cover", drying_h=12))
    assert figures(after) == (0, 3.2, 12, 0.9)


def test_stock_that_has_to_be_ordered_would_be_waited_for():
    """No merchant of a plant file has lead days yet: the line that would bear them is read."""
    one, shop = route(), plant()
    lines = [
        line._replace(lead_days=2.0) if line.stage == "stock" else line
        for line in route_lines(0, one, job_of(), shop)
    ]
    table = PartTable(CostTable([one], lines, 2), [Way("test", "press_a", ((0,),))])
    job = JobTable((Makeup((table,), Assembly([], [], 0, shop)),), (1,), shop.price_policy, False)
    found = Schedule(job, job.at(columns([QUANTITY])), 8).of(0, [(0,)], 0)
    assert figures(found) == (2, 1.5, 0, 2.1875)
    assert stock().sheets  # the shop's stock is bought, so that the line is there at all
