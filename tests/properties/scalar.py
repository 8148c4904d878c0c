"""The same estimate in plain Python, one route and one quantity at a time: the oracle.

Written apart from the code under test: fractions instead of floats, loops instead of arrays. It
takes what a planner found (routes with their layouts, runs, charges and steps; the steps on copies)
and works out every count, every amount of money, every choice and the price again.

    copies delivered -> copies that the parts are made for -> pieces of a part -> press sheets
    -> parent sheets bought, or shells printed -> money, line by line -> values
    -> the least of each part, on each binder -> the least binder -> the price
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from itertools import pairwise

from sidelay.costing import Route
from sidelay.curve import Curve
from sidelay.job import Job
from sidelay.machines import Step
from sidelay.plant import Plant
from sidelay.pricing import PricePolicy
from sidelay.stock import Blank, ParentSheet, Reel

NOISE = Fraction(1, 1_000_000)
KINDS = ("material", "time", "outwork")
Amount = tuple[str, Fraction]  # kind of cost, money
Amounted = Fraction | float  # a value; infinite where it cannot be done


@cache
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


def through(step: Step, out: int) -> int:
    """Units into a step so that so many come out sound."""
    return out + begun(out * exact(step.running_waste)) + step.set_up_waste


# One part on one press -----------------------------------------------------------------------


def needs(route: Route, quantity: int) -> dict[str, object]:
    """Units into every step, press sheets, parents and hours of ONE section, walking backwards.

    press_h: of all sections alike, make-ready and wash-up included
    """
    into: dict[int, int] = {}
    amount = quantity
    for unit in ("piece", "sheet"):
        for number in reversed(range(len(route.steps))):
            step = route.steps[number]
            if step.unit == unit:
                amount = into[number] = through(step, amount)
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
    wash_h = exact(route.run.wash_up_min) / 60 if route.leading else Fraction(0)
    return {
        "into": into,
        "good": good,
        "waste": waste,
        "sheets": sheets,
        "parents": parents,
        "run_h": run_h,
        "press_h": route.times * run_h + made_ready_min(route) / 60 + wash_h,
    }


def pieces_from(routes: Sequence[Route], number: int, quantity: int) -> int:
    """Pieces that a route has to deliver: shells are as many as the overprint takes in."""
    fed = routes[number].feeds
    return quantity if fed is None else needs(routes[fed], quantity)["parents"]


def made_ready_min(route: Route) -> Fraction:
    """Minutes before the first good cycle of each section alike; some of them only once."""
    run, further = route.run, route.times - 1
    again = exact(run.make_ready_min) - exact(run.once_min)
    return exact(run.make_ready_min) + further * again


def total(route: Route, job: Job, plant: Plant, quantity: int) -> int:
    """Cost in minor units: every line rounded half up, then added."""
    return sum(by_kind(amounts(route, job, plant, quantity), plant.digits).values())


def by_kind(found: Sequence[Amount], digits: int) -> dict[str, int]:
    """Money by kind of cost, every line rounded on its own."""
    summed = dict.fromkeys(KINDS, 0)
    for kind, amount in found:
        summed[kind] += minor(amount, digits)
    return summed


def minor(amount: Fraction, digits: int) -> int:
    """Half up; what lies within a millionth of a minor unit of the tie counts as the tie."""
    return math.floor(amount * 10**digits + Fraction(1, 2) + NOISE)


def amounts(route: Route, job: Job, plant: Plant, quantity: int) -> list[Amount]:
    """Every line of a route: sections alike each printed and finished, set up and washed up once.

    What a part pays for once (proof, charges a job, wash-up) stands on its leading route alone.
    """
    need, times, run = needs(route, quantity), route.times, route.run
    rate = exact(plant.rate(route.press.cost_centre))
    found = [
        ("material", Fraction(0) if route.on_shells else stock(route, need)),
        ("time", rate * made_ready_min(route) / 60),
        ("time", rate * need["run_h"] * times),
    ]
    if route.leading:
        found.append(("time", rate * exact(run.wash_up_min) / 60))
        found += proofs(route, job, plant)
    found += prepress(route, plant, quantity)
    for number, step in enumerate(route.steps):
        kept = route.carriers_id in route.of.kept_carriers
        found += step_amounts(step, need["into"][number], plant, times=times, tool_kept=kept)
    for step in route.gathering:
        found += step_amounts(step, quantity, plant)
    for charge in route.charges:
        if charge.per == "job" and not route.leading:
            continue
        money = exact(charge.unit_cost) * exact(charge.amount)
        found.append((charge.kind, money * count(charge, route, need, quantity)))
    return found


def proofs(route: Route, job: Job, plant: Plant) -> list[Amount]:
    """A proof of each printed side of a piece, of each printed page of a section."""
    if job.proof == "none" or route.feeds is not None:
        return []  # the piece is proofed once, not its shell too
    proof, part = plant.proofs[job.proof], route.of
    number = sum(bool(side.inks) for side in (part.front, part.back))
    if part.kind == "section":
        number = part.pages * number // 2
    rate = exact(plant.rate(proof.cost_centre or route.press.cost_centre))
    return [
        ("material", exact(proof.material) * number),
        ("time", rate * exact(proof.minutes) * number / 60),
    ]


def prepress(route: Route, plant: Plant, quantity: int) -> list[Amount]:
    """Artwork and data once for a part, imposition for each form of carriers that is not kept."""
    desk = plant.prepress
    if desk is None:
        return []
    minutes = []
    plates = any(c.per == "carrier" and c.stage == "carrier" for c in route.charges)
    if route.leading and route.feeds is None:
        minutes.append(exact(desk.artwork_min_per_part))
        if route.of.variable_share:
            minutes.append(exact(desk.data_set_up_min))
            minutes.append(exact(desk.data_min_per_1000) * quantity / 1000)
    if route.carriers_id not in route.of.kept_carriers:
        forms = len(route.work.forms) * route.times if plates else 1
        minutes.append(exact(desk.imposition_min_per_form) * forms)
    return [("time", exact(plant.rate(desk.cost_centre)) * each / 60) for each in minutes]


def step_amounts(
    step: Step, into: int, plant: Plant, *, times: int = 1, tool_kept: bool = False
) -> list[Amount]:
    """The lines of one step: set up once, run for each of `times` sections, each with its die.

    The least minutes and the least money are for all that runs through the machine together.
    """
    hourly = exact(plant.rate(step.cost_centre)) if step.cost_centre else Fraction(0)
    lots = begun(Fraction(into, step.per)) * times
    minutes, price = exact(step.minutes) * lots, exact(step.price) * lots
    if step.minutes:
        minutes = max(minutes, exact(step.least_min))
    if step.price:
        # The least for a job has its set-up in it, whose line stands by itself.
        price = max(price, exact(step.least_price) - exact(step.set_up_price))
    return [
        (step.kind, Fraction(0) if tool_kept else exact(step.tool_price) * times),
        ("time", hourly * exact(step.set_up_min) / 60),
        ("time", hourly * minutes / 60),
        (step.kind, exact(step.set_up_price)),
        (step.kind, price),
    ]


def stock(route: Route, need) -> Fraction:
    """What is bought to print on; a merchant's terms hold for the leading route alone."""
    layout, times = route.work.layout, route.times
    supply = layout.supply
    if isinstance(supply, ParentSheet):
        price, units = supply.price, Fraction(need["parents"])
    elif isinstance(supply, Blank):
        price, units = supply.price, Fraction(need["sheets"])
    else:
        assert isinstance(supply, Reel)
        area = exact(layout.width_mm) * exact(layout.length_mm) * layout.webs / 1_000_000
        lost = exact(route.press.feed.reel_waste)
        price, units = supply.price_per_m2, area / (1 - lost) * need["sheets"]
    if supply.terms is None or not route.leading:
        return exact(price) * units * times
    tiers = supply.terms.tiers or ((0.0, price),)
    return bought(units * times, supply.terms, tiers)


def bought(need: Fraction, terms, tiers) -> Fraction:
    """The cheapest purchase of at least so many units: now, or as few as reach a price break."""
    if need <= 0:
        return Fraction(0)
    pack = exact(terms.pack) if terms.pack > 1 and not terms.breaks_packs else None

    def packed(units: Fraction) -> Fraction:
        return units if pack is None else begun(units / pack) * pack

    least = packed(max(need, exact(terms.least)))
    starts = [(packed(exact(start)), exact(price)) for start, price in tiers]
    asked = [least, *(start for start, _ in starts if start > least)]
    return min(units * [price for start, price in starts if start <= units][-1] for units in asked)


def count(charge, route: Route, need, quantity: int) -> Fraction | int:
    """What a charge counts, all sections alike together."""
    times, sets = route.times, charge.per in ("form", "carrier")
    kept = route.carriers_id in route.of.kept_carriers and charge.stage in ("carrier", "die")
    if kept and not (sets and charge.life):
        return 0
    if charge.per == "job":
        return 1
    if sets:
        made = 1 if charge.life is None else max(1, begun(need["sheets"] / exact(charge.life)))
        return (made - kept) * times
    return {
        "cycle": need["sheets"] * times,
        "kilogram": need["sheets"] * times,
        "piece": quantity * times,
        "impression": need["sheets"] * route.run.passes * times,
        "hour": need["press_h"],
    }[charge.per]


# The whole job -------------------------------------------------------------------------------


def delivered(quantity: int, overs_share: float) -> int:
    """Copies to deliver, the overs asked for among them."""
    return begun(quantity * (1 + exact(overs_share)))


def into_copy_steps(steps: Sequence[Step], copies: int) -> list[int]:
    """Copies into each step, in the order of production."""
    found = []
    for step in reversed(steps):
        copies = through(step, copies)
        found.insert(0, copies)
    return found


def value(costs: dict[str, int], policy: PricePolicy, *, rush: bool) -> Fraction:
    """Marked up by kind of cost; time and outwork cost more in a hurry."""
    hurry = 1 + (exact(policy.rush_premium) if rush else 0)
    return (
        (1 + exact(policy.material_markup)) * costs["material"]
        + (1 + exact(policy.time_markup)) * hurry * costs["time"]
        + (1 + exact(policy.outwork_markup)) * hurry * costs["outwork"]
    )


def margin(margins, at) -> Fraction:
    """The margin of the last step reached, none where there are no steps."""
    reached = [share for start, share in margins if start <= at] or [margins[0][1]]
    return exact(reached[-1])


def finished(marked_up: Fraction, share: Fraction, policy: PricePolicy) -> int:
    """The margin on top, at least the minimum charge, in whole steps of rounding."""
    asked = max(marked_up / (1 - share), Fraction(policy.minimum_charge))
    return begun(asked / policy.round_up_to) * policy.round_up_to


def price(marked_up: Fraction, quantity: int, policy: PricePolicy, value_at) -> int:
    """The price; nobody pays more than for a larger order whose margin is lower.

    value_at: the value of the same job made in the same way at another quantity
    """
    if policy.margins_by_value:
        own = finished(marked_up, margin(policy.margins_by_value, marked_up), policy)
        larger = [
            finished(Fraction(start), exact(share), policy)
            for (_, before), (start, share) in pairwise(policy.margins_by_value)
            if share < before and marked_up < start
        ]
        return min([own, *larger])
    steps = policy.margins_by_quantity
    own = finished(marked_up, margin(steps, quantity) if steps else Fraction(0), policy)
    larger = [
        finished(value_at(start), exact(share), policy)
        for (_, before), (start, share) in pairwise(steps)
        if share < before and quantity < start
    ]
    return min([own, *larger])


class OnBinder:
    """A whole job on one binder, every way of every part worked out on its own.

    makeup: its parts and its steps on copies; folds: whether the binder folds flat sheets itself
    """

    def __init__(self, makeup, job: Job, plant: Plant, *, folds: bool) -> None:
        self.job, self.plant, self.parts, self.folds = job, plant, makeup.parts, folds
        self.steps, self.policy = makeup.assembly.steps, plant.price_policy
        self._values: dict[tuple[int, int, int], Fraction] = {}

    def copies(self, quantity: int) -> list[int]:
        """Copies into each step on copies, and those delivered at the end."""
        out = delivered(quantity, self.job.overs_share)
        return [*into_copy_steps(self.steps, out), out]

    def pieces(self, part: int, quantity: int) -> int:
        """Pieces of a part that have to be made."""
        return self.copies(quantity)[0] * self.job.parts[part].per_copy

    def assembly(self, quantity: int) -> dict[str, int]:
        """What is done to the copies, by kind of cost."""
        into = self.copies(quantity)
        found = [
            amount
            for step, units in zip(self.steps, into, strict=False)
            for amount in step_amounts(step, units, self.plant)
        ]
        return by_kind(found, self.plant.digits)

    def route(self, part: int, number: int, quantity: int) -> dict[str, int]:
        """One route of a part, by kind of cost."""
        routes = self.parts[part].routes
        pieces = pieces_from(routes, number, self.pieces(part, quantity))
        return by_kind(amounts(routes[number], self.job, self.plant, pieces), self.plant.digits)

    def route_value(self, part: int, number: int, quantity: int) -> Fraction:
        """One route of a part, marked up."""
        key = part, number, quantity
        if key not in self._values:
            costs = self.route(part, number, quantity)
            self._values[key] = value(costs, self.policy, rush=self.job.rush)
        return self._values[key]

    def takes(self, part: int, way: int) -> bool:
        """Whether the binder takes what comes off the press: folded copies only if it folds not."""
        numbers = [n for stretch in self.parts[part].ways[way].stretches for n in stretch]
        works = [self.parts[part].routes[number].work for number in numbers]
        folded = any(work.layout.delivery == "copy" for work in works)
        return not (self.folds and self.job.parts[part].bound_in and folded)

    def way_value(self, part: int, way: int, quantity: int) -> Amounted:
        """The least of a way: of each stretch of sections the cheapest route; never if barred."""
        if not self.takes(part, way):
            return math.inf
        return sum(
            min(self.route_value(part, number, quantity) for number in stretch)
            for stretch in self.parts[part].ways[way].stretches
        )

    def least(self, part: int, quantity: int) -> Amounted:
        """The least of a part over all its ways."""
        return min(
            self.way_value(part, way, quantity) for way in range(len(self.parts[part].ways))
        )

    def others(self, quantity: int) -> Amounted:
        """The job without its first part, all at its least."""
        found = value(self.assembly(quantity), self.policy, rush=self.job.rush)
        return found + sum(self.least(part, quantity) for part in range(1, len(self.parts)))

    def job_value(self, way: int, quantity: int) -> Amounted:
        """The job with one way of its first part, all else at its least."""
        return self.way_value(0, way, quantity) + self.others(quantity)


class Whole:
    """A whole job at any quantity on every binder that could bind it; the least of them counts."""

    def __init__(self, plan, job: Job, plant: Plant) -> None:
        makeups = plan.job_table.makeups
        folds = [bound.binder.folds_sheets for bound in plan.bound] or [False]
        self.makeups = [
            OnBinder(makeup, job, plant, folds=each)
            for makeup, each in zip(makeups, folds, strict=True)
        ]
        self.ways = range(len(makeups[0].parts[0].ways))
        self.policy = plant.price_policy
        self._values: dict[tuple[int, int], Amounted] = {}

    def job_value(self, way: int, quantity: int) -> Amounted:
        """The job with one way of its first part, on the binder that makes it the cheapest."""
        key = way, quantity
        if key not in self._values:
            self._values[key] = min(each.job_value(way, quantity) for each in self.makeups)
        return self._values[key]

    def job_price(self, way: int, quantity: int) -> int:
        """What that is asked for."""

        def value_at(other: int) -> Amounted:
            return self.job_value(way, other)

        return price(value_at(quantity), quantity, self.policy, value_at)

    def least_price(self, quantity: int) -> int:
        """The least price of the job in any way at all."""
        return min(self.job_price(way, quantity) for way in self.ways)

    def same_price_to(self, quantity: int) -> int:
        """The largest quantity at the same least price: doubled until dearer, then halved."""
        asked, low, high = self.least_price(quantity), quantity, 2 * quantity
        while self.least_price(high) == asked:
            low, high = high, 2 * high
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if self.least_price(middle) == asked else (low, middle)
        return low
