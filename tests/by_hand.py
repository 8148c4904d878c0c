"""Offers made by hand, put on the clock: routes that are plain enough to work out on paper.

Every run is of 1,000 sheets, one up, at 1,000 an hour after half an hour of make-ready: 1.5 hours
on the press, and another 0.2 to wash it up. The plant works from 8 to 16 o'clock, Monday to
Friday, UTC, unless a test gives it another calendar.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from shop import NOW, leaf, plant
from shop import job as job_of
from sidelay.assembly import BINDING, PACKING, Assembly
from sidelay.costing import CostTable, Route
from sidelay.job_table import JobTable, Makeup, columns
from sidelay.lines import route_lines
from sidelay.machines import Step
from sidelay.op_list import Op
from sidelay.plant import Plant, Prepress
from sidelay.plant_time import PlantTime
from sidelay.schedule import Schedule, ScheduledOperation
from sidelay.scheduler import NO_OVERTIME, Combo, OnClock, Scheduler
from sidelay.stock import ParentSheet
from sidelay.timetable import scheduled
from sidelay.timing import Timing
from sidelay.ways import PartTable, Way
from sidelay.work import Charge, Form, Layout, Run, Work

QUANTITY = 1000
HOUR_S, DAY_S = 3600, 86_400
PLATES = Charge("carrier", "plates", 10.0, "carrier", 4.0, lead_days=2)
DIES = Charge("die", "dies", 10.0, "job", lead_days=3)
# 15 min for the artwork of a part, 6 for each form (where there are no carriers: one in any case).
DESK = Prepress("cutting", 15, 6, 0, 0, "test")


@dataclass(frozen=True)
class Machine:
    """A press as the core reads it."""

    id: str = "press_a"
    name: str = "Press"
    cost_centre: str = "litho"
    feed: None = None
    sources: Mapping[str, str] = field(default_factory=dict)


def route(press="press_a", charges=(), steps=(), name="leaf", *, run=None, **members) -> Route:
    """A route of 1,000 sheets. run: figures of its run; members: of the route, part, layout."""
    figures = {"passes": 1, "make_ready_min": 30, "make_ready_cycles": 0, "cycles_per_hour": 1000}
    figures |= {"running_waste": 0.0, "wash_up_min": 12, "drying_h": members.pop("drying_h", 0.0)}
    part = leaf(name=name, kept_carriers=members.pop("kept", ()))
    part = replace(part, **members.pop("part", {}))
    sheet = ParentSheet(640, 900, "long", 0.1, "test")
    layout = Layout(640, 900, sheet, members.pop("style", "one_side"), 1)
    work = Work(part, layout, (Form("front", part.front.inks),))
    made = Run(**figures | (run or {}))
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
    """A step that is bought out."""
    given = {"cost_centre": "", "set_up_min": 0, "minutes": 0, "price": 0.1, "kind": "outwork"}
    return step(name, lead_days=lead_days, **given | figures)


def timed(shop: Plant | None = None, **figures) -> Plant:
    """A plant with a calendar. figures: of its PlantTime."""
    return replace(shop or plant(), time=PlantTime(**figures))


def made(
    *parts: Route | tuple[Route, ...],
    copies=(),
    shop: Plant | None = None,
    timing: Timing = NOW,
    quantities=(QUANTITY,),
    **wanted,
) -> tuple[OnClock, Combo]:
    """A job whose parts are made by these routes, each all of its own. wanted: members of it."""
    shop = shop or plant()
    job = job_of(**wanted)
    tables, taken = [], []
    for routes in (part if isinstance(part, tuple) else (part,) for part in parts):
        lines = [line for n, each in enumerate(routes) for line in route_lines(n, each, job, shop)]
        way = Way("test", routes[0].press.id, tuple((n,) for n in range(len(routes))))
        tables.append(PartTable(CostTable(routes, lines, 2), [way]))
        taken.append(tuple(range(len(routes))))
    stages = [BINDING, *[PACKING] * len(copies)][: len(copies)]
    makeup = Makeup(tuple(tables), Assembly(copies, stages, 0.0, shop))
    table = JobTable((makeup,), (1,) * len(parts), shop.price_policy, False)
    costs = table.at(columns(quantities))
    return Scheduler(job, shop, timing).at(table, costs), Combo(0, tuple(taken))


def operations(*parts: Route | tuple[Route, ...], **asked) -> dict[str, Op]:
    """Operations of a job by their ids, in the order in which they are placed."""
    on_clock, combo = made(*parts, **asked)
    return {op.id: op for op in on_clock.sequences(combo)[0].ops}


def on_the_clock(
    *parts: Route | tuple[Route, ...], overtime: frozenset[str] = NO_OVERTIME, column=0, **asked
) -> Schedule:
    """The schedule of a job."""
    return scheduled(*made(*parts, **asked), column, overtime)


def by_id(schedule: Schedule) -> dict[str, ScheduledOperation]:
    """The operations of a schedule by their ids."""
    return {op.id: op for op in schedule.operations}


def hours(op: Op, column: int = 0) -> float:
    """Hours that an operation takes."""
    return op.amounts[column] / HOUR_S


def days(op: Op, column: int = 0) -> float:
    """Working days that an operation takes."""
    return op.amounts[column] / DAY_S


def at(text: str) -> int:
    """An instant of November or December 2026 from "24 09:00", UTC; "D01 09:00" in December."""
    month = 12 if text.startswith("D") else 11
    day, time = text.removeprefix("D").split()
    return int(np.datetime64(f"2026-{month}-{day}T{time}", "s").astype(np.int64))
