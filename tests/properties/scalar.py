"""The same estimate in plain Python, one route and quantity at a time: the oracle of the arrays.

Written apart from costing.py: fractions instead of floats, loops instead of arrays.
"""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

from sidelay.costing import Route
from sidelay.curve import Curve
from sidelay.job import Job
from sidelay.plant import Plant
from sidelay.stock import Blank, ParentSheet

NOISE = Fraction(1, 1_000_000)


def exact(value: float) -> Fraction:
    """A figure as it was written (0.011 is eleven thousandths), not as binary stores it."""
    return Fraction(str(float(value)))


def begun(amount: Fraction) -> int:
    """Whole units, begun ones counted."""
    return math.ceil(amount - NOISE)


def figure(value: float | Curve, cycles: int) -> Fraction:
    if not isinstance(value, Curve):
        return exact(value)
    x = math.log(max(cycles, 1))
    points = [(math.log(c), v) for c, v in value.points]
    if x <= points[0][0]:
        return Fraction(points[0][1])
    for (x0, v0), (x1, v1) in pairwise(points):
        if x <= x1:
            return Fraction(v0 + (v1 - v0) * (x - x0) / (x1 - x0))
    return Fraction(points[-1][1])


def needs(route: Route, quantity: int) -> dict[str, object]:
    """Units into every step, press sheets, parents and hours, walking backwards."""
    into: dict[int, int] = {}
    amount = quantity
    for unit in ("piece", "sheet"):
        for number in reversed(range(len(route.steps))):
            step = route.steps[number]
            if step.unit == unit:
                amount = amount + begun(amount * exact(step.running_waste)) + step.set_up_waste
                into[number] = amount
        if unit == "piece":
            layout = route.work.layout
            amount = begun(Fraction(amount * layout.cycles_per_piece, layout.up))
    good = amount
    waste = begun(good * figure(route.run.running_waste, good))
    sheets = good + waste + route.run.make_ready_cycles
    parents = begun(Fraction(sheets, route.work.layout.out))
    for number, step in enumerate(route.steps):
        if step.unit == "parent":
            into[number] = parents
    run_h = (good + waste) * route.run.passes / figure(route.run.cycles_per_hour, good + waste)
    fixed_h = (exact(route.run.make_ready_min) + exact(route.run.wash_up_min)) / 60
    return {
        "into": into,
        "good": good,
        "waste": waste,
        "sheets": sheets,
        "parents": parents,
        "run_h": run_h,
        "press_h": run_h + fixed_h,
    }


def total(route: Route, job: Job, plant: Plant, quantity: int) -> int:
    """Cost in minor units: every line rounded half up, then added."""
    return sum(minor(amount, plant.digits) for amount in amounts(route, job, plant, quantity))


def minor(amount: Fraction, digits: int) -> int:
    """Half up; what lies within a millionth of a minor unit of the tie counts as the tie."""
    return math.floor(amount * 10**digits + Fraction(1, 2) + NOISE)


def amounts(route: Route, job: Job, plant: Plant, quantity: int) -> list[Fraction]:
    need = needs(route, quantity)
    rate = exact(plant.rate(route.press.cost_centre))
    found = [
        stock(route, need),
        rate * exact(route.run.make_ready_min) / 60,
        rate * need["run_h"],
        rate * exact(route.run.wash_up_min) / 60,
    ]
    if job.proof != "none":
        proof, sides, part = plant.proofs[job.proof], len(route.work.sides), route.work.part
        if part.kind == "section":
            sides = part.pages * sides // 2
        centre = proof.cost_centre or route.press.cost_centre
        found += [
            exact(proof.material) * sides,
            exact(plant.rate(centre)) * exact(proof.minutes) * sides / 60,
        ]
    for number, step in enumerate(route.steps):
        hourly = exact(plant.rate(step.cost_centre)) if step.cost_centre else Fraction(0)
        lots = begun(Fraction(need["into"][number], step.per))
        found += [hourly * exact(step.set_up_min) / 60, hourly * exact(step.minutes) / 60 * lots]
        tool = 0 if route.carriers_id in route.work.part.kept_carriers else exact(step.tool_price)
        found += [tool, exact(step.set_up_price), exact(step.price) * lots]
    for charge in route.charges:
        found.append(
            exact(charge.unit_cost) * exact(charge.amount) * count(charge, route, need, quantity)
        )
    return found


def stock(route: Route, need) -> Fraction:
    layout = route.work.layout
    if isinstance(layout.supply, ParentSheet):
        return exact(layout.supply.price) * need["parents"]
    if isinstance(layout.supply, Blank):
        return exact(layout.supply.price) * need["sheets"]
    area = exact(layout.width_mm) * exact(layout.length_mm) * layout.webs / 1_000_000
    bought = area / (1 - exact(route.press.feed.reel_waste))
    return exact(layout.supply.price_per_m2) * bought * need["sheets"]


def count(charge, route: Route, need, quantity: int) -> Fraction | int:
    kept = route.carriers_id in route.work.part.kept_carriers
    first = 0 if kept and charge.stage in ("carrier", "die") else 1
    if charge.per in ("job",):
        return first
    if charge.per in ("form", "carrier"):
        sets = 1 if charge.life is None else max(1, begun(need["sheets"] / exact(charge.life)))
        return sets - 1 + first
    return {
        "cycle": need["sheets"],
        "kilogram": need["sheets"],
        "piece": quantity,
        "impression": need["sheets"] * route.run.passes,
        "hour": need["press_h"],
    }[charge.per]
