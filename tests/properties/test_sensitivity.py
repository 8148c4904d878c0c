"""What a comparison hangs on, against brute force on plants whose own figures are changed.

Nothing of the search is used here: no bands, no narrowing, no `what_if`. A figure of the plant is
changed, the job is planned anew, and every whole quantity is looked at, every way on its own.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import isclose, log

import numpy as np
import pytest
from changed_plants import changed_shop, in_tens, shared_by_none, without_stops
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from strategies import jobs, shops
from whole_strategies import shops_and_jobs

from shop import (
    NOW,
    demo,
    example,
    job,
    leaf,
    plain_bindery,
    plain_litho,
    plain_toner,
    plant,
    processes,
    stock,
)
from sidelay.compare import compare
from sidelay.crossovers import find_bands, find_crossovers, process_of
from sidelay.flips import flips
from sidelay.job import Side, least_coverage
from sidelay.job_table import columns
from sidelay.offers import PricedJob
from sidelay.plan import Planner
from sidelay.pricing import PricePolicy, prices
from sidelay.sensitivity import sensitivities
from sidelay.stock import ParentSheet
from sidelay.what_if import FACTORS, changed

slow = settings(
    deadline=None,
    suppress_health_check=[
        HealthCheck.too_slow,
        HealthCheck.data_too_large,
        HealthCheck.filter_too_much,
    ],
)
CHUNK = 4_000
# What is promised to be tried, said here anew.
CHANGES = (-0.2, -0.1, 0.1, 0.2)
STEPS_A_SIDE = 24
LESS_COVERAGE, MORE_COVERAGE = (0.9, 0.8, 0.5, 0.2), (1.1, 1.2, 1.5, 2.5)
# Margins that fall by quantity, gently and so far that much larger orders cost less.
MARGINS = (
    ((1, 0.4), (300, 0.25), (2_000, 0.3), (9_000, 0.1)),
    ((1, 0.3), (1_000, 0.05)),
    ((1, 0.8), (2_000, 0.05)),
)


def planned(wanted, shop):
    return Planner(processes()).plan_aside(wanted, shop).job_table


def steady(shop):
    """A shop of which every change is exact, as test_what_if.py shows."""
    return shared_by_none(in_tens(without_stops(shop)))


def covered(wanted, times):
    """The job with so many times the ink on each side, written out."""

    def side(one):
        return replace(
            one,
            coverage=min(one.coverage * times, 1.0),
            own_coverage=tuple((ink, min(share * times, 1.0)) for ink, share in one.own_coverage),
        )

    parts = []
    for part in wanted.parts:
        over = part.overprint and tuple(side(each) for each in part.overprint)
        parts.append(replace(part, front=side(part.front), back=side(part.back), overprint=over))
    return replace(wanted, parts=tuple(parts))


def replanning(wanted, shop):
    found = {}

    def replanned(times):
        if times not in found:
            found[times] = planned(covered(wanted, times), shop)
        return found[times]

    return replanned


def anew(wanted, shop, factor, by):
    """The table of a job on the changed plant; of coverage, of the changed job."""
    if factor == "coverage":
        return planned(covered(wanted, by), shop)
    there, other = changed_shop(shop, wanted, factor, by)
    return planned(other, there)


class Every:
    """The winner for one part at every quantity, looked at on its own.

    Cheapest by price, then by value, then the first; of parts behind the first by value alone, the
    price being that of the job. A plain sort.
    """

    def __init__(self, table, part):
        self.led = table.led_by(part)
        self.by_price = part == 0
        self.ways = self.led.first.ways

    def order(self, asked):
        found = self.led.at(asked)
        price = np.zeros(found.value.shape, dtype=np.int64)
        if self.by_price:
            at_steps = self.led.at(columns(self.led.policy.thresholds)).value
            price = prices(found.value, asked, self.led.policy, at_steps)
        number = np.broadcast_to(np.arange(len(price))[:, None], price.shape)
        return np.lexsort((number, found.deciding, price), axis=0)

    def winner(self, quantity):
        return self.ways[int(self.order(np.array([quantity]))[0, 0])]

    def processes(self, least, most, among=None):
        """The winning process at every quantity, of some processes alone where they are named."""
        keep = np.array([among is None or way.process in among for way in self.ways])
        names, found = np.array([way.process for way in self.ways]), []
        if not keep.any():
            return np.full(most - least + 1, "")
        for start in range(least, most + 1, CHUNK):
            order = self.order(np.arange(start, min(start + CHUNK, most + 1)))
            first = keep[order].argmax(axis=0)
            found.append(names[order[first, np.arange(order.shape[1])]])
        return np.concatenate(found)


def takes_over(winners, least, of, to):
    """First quantity where one wins right after the other; from where it wins to the end."""
    first = next(
        (n for n, (old, new) in enumerate(pairwise(winners), 1) if (old, new) == (of, to)), None
    )
    if first is None:
        return None, None
    settled = len(winners)
    while settled and winners[settled - 1] == to:
        settled -= 1
    return least + first, least + settled if settled < len(winners) else None


def check_shifts(wanted, shop, *, start, most, pick):
    """Every shift of every crossover that `pick` takes; returns how many were looked at."""
    table = planned(wanted, shop)
    if table is None:
        return 0
    crossovers = find_crossovers(find_bands(table, most, start))
    found = sensitivities(
        table, crossovers, replanning(wanted, shop), up_to=most, start=start
    )
    assert [each.crossover for each in found] == list(crossovers)
    seen = 0
    for sensitivity in found:
        crossover = sensitivity.crossover
        assert tuple(each.factor for each in sensitivity.leanings) == (*FACTORS, "coverage")
        for leaning in sensitivity.leanings:
            assert tuple(shift.change for shift in leaning.shifts) == CHANGES
            for shift in leaning.shifts:
                if pick(leaning.factor, shift.change):
                    check_shift(wanted, shop, crossover, leaning.factor, shift, start, most)
                    seen += 1
    return seen


def check_shift(wanted, shop, crossover, factor, shift, start, most):
    of, to = crossover.from_process, crossover.to_process
    other = anew(wanted, shop, factor, 1.0 + shift.change)
    if other is None:
        assert (shift.first_at, shift.settled_at, shift.wins_there) == (None, None, "")
        return
    every = Every(other, crossover.part)
    expected = takes_over(every.processes(start, most, (of, to)), start, of, to)
    assert (shift.first_at, shift.settled_at) == expected, (factor, shift, expected)
    assert shift.wins_there == every.winner(crossover.first_at).process


def all_of_them(factor, change):
    return True


@settings(slow, max_examples=12)
@given(shops(), jobs(), st.integers(1, 30), st.integers(50, 1_500))
def test_every_shift_of_random_leaves(shop, wanted, start, most):
    assume(check_shifts(wanted, steady(shop), start=start, most=most, pick=all_of_them))


@settings(slow, max_examples=12)
@given(shops(), jobs(), st.sampled_from([*FACTORS, "coverage"]), st.sampled_from(CHANGES))
def test_a_shift_of_random_leaves_to_20_000(shop, wanted, factor, change):
    def pick(*asked):
        return asked == (factor, change)

    assume(check_shifts(wanted, steady(shop), start=1, most=20_000, pick=pick))


@settings(slow, max_examples=12)
@given(shops(), jobs(), st.sampled_from(MARGINS), st.sampled_from(FACTORS))
def test_a_shift_where_margins_fall_by_quantity(shop, wanted, margins, factor):
    shop = replace(shop, price_policy=replace(shop.price_policy, margins_by_quantity=margins))

    def pick(name, _):
        return name == factor

    assume(check_shifts(wanted, steady(shop), start=1, most=12_000, pick=pick))


@settings(slow, max_examples=9)
@given(shops_and_jobs(), st.sampled_from([*FACTORS, "coverage"]), st.integers(100, 3_000))
def test_shifts_of_random_whole_jobs(made, factor, most):
    """Parts, binders, inserts, margins of any kind: one factor of each."""
    shop, wanted = steady(made[0]), made[1]
    assume(len(wanted.parts) > 1)

    def pick(name, _):
        return name == factor

    assume(check_shifts(wanted, shop, start=1, most=most, pick=pick))


@pytest.mark.parametrize(
    ("name", "most"), [("a6_flyer", 7_000), ("invitation", 3_000), ("shirts", 1_500)]
)
def test_shifts_of_examples_among_many_processes(name, most):
    """Where a third process wins in between, the two are still compared alone."""
    seen = check_shifts(
        example(name),
        steady(demo()),
        start=1,
        most=most,
        pick=lambda factor, change: change == (-0.2 if factor.startswith("c") else 0.2),
    )
    assert seen >= len(FACTORS)


def test_where_neither_of_the_two_is_left_another_wins():
    """A press model may refuse so much ink that a third process alone is left."""
    wanted = example("mono_letterhead")
    planner = Planner(processes())
    table = planner.plan_aside(wanted, demo()).job_table
    only = planner.plan_aside(wanted, demo(), only_processes=("letterpress",)).job_table
    crossovers = find_crossovers(find_bands(table, 20_000))
    assert crossovers
    assert all("letterpress" not in (c.from_process, c.to_process) for c in crossovers)
    for found in sensitivities(table, crossovers, lambda times: only, up_to=20_000):
        assert found.leanings[-1].elasticity is None
        assert {(s.first_at, s.settled_at, s.wins_there) for s in found.leanings[-1].shifts} == {
            (None, None, "letterpress")
        }


# Elasticity -----------------------------------------------------------------------------------


def elasticity(now, low, high):
    """ln(Q+ / Q-) / ln(f+ / f-) between the outermost of a tenth less, as it is, a tenth more.

    Where a crossover has settled under all of those that there are, its settling counts.
    """
    met = [(0.9, low), (1.0, now), (1.1, high)]
    met = [(times, at) for times, at in met if at[0] is not None]
    if len(met) < 2:
        return None
    settled = all(at[1] is not None for _, at in met)
    (f0, q0), (f1, q1) = met[0], met[-1]
    return log((q1[1] if settled else q1[0]) / (q0[1] if settled else q0[0])) / log(f1 / f0)


@settings(slow, max_examples=15)
@given(shops(), jobs(), st.integers(1, 40), st.integers(50, 4_000))
def test_elasticity_is_its_formula(shop, wanted, start, most):
    table = planned(wanted, shop)
    assume(table is not None)
    crossovers = find_crossovers(find_bands(table, most, start))
    assume(crossovers)
    for found in sensitivities(
        table, crossovers, replanning(wanted, shop), up_to=most, start=start
    ):
        of, to = found.crossover.from_process, found.crossover.to_process
        winners = Every(table, found.crossover.part).processes(start, most, (of, to))
        now = takes_over(winners, start, of, to)
        for leaning in found.leanings:
            at = {each.change: (each.first_at, each.settled_at) for each in leaning.shifts}
            expected = elasticity(now, at[-0.1], at[0.1])
            if expected is None:
                assert leaning.elasticity is None
            else:
                assert isclose(leaning.elasticity, expected, rel_tol=1e-12, abs_tol=1e-15)


# Two straight lines ---------------------------------------------------------------------------
# One piece to a sheet, no waste, no finishing: toner costs make-ready at its rate and clicks and
# hours by the sheet, litho costs make-ready and plates and hours by the sheet.

TONER_RATE, TONER_SPEED, TONER_READY_MIN, CLICK = 36.0, 1_200.0, 20.0, 0.20
LITHO_RATE, LITHO_SPEED, LITHO_READY_MIN, PLATE = 90.0, 9_000.0, 60.0, 150.0
PAPER = 0.07


def two_lines():
    """The shop of two straight lines, and its job."""
    litho = plain_litho(
        rated_sheets_per_hour=LITHO_SPEED,
        running_waste=[[1, 0.0]],
        make_ready_min_per_form=LITHO_READY_MIN,
        make_ready_sheets_per_form=0,
        light_after_dark_min=0,
        plate_price=PLATE,
        feed={"work_styles": ["one_side"]},
    )
    toner = plain_toner(
        per_hour=TONER_SPEED,
        running_waste=0.0,
        make_ready_min=TONER_READY_MIN,
        make_ready_sheets=0,
        click_mono_price=CLICK,
        feed={"work_styles": ["one_side"]},
    )
    paper = stock(sheets=(ParentSheet(320, 450, "long", PAPER, "test"),))
    rates = {"litho": LITHO_RATE, "toner": TONER_RATE, "cutting": 0.0, "folding": 0.0}
    shop = plant(
        litho,
        toner,
        bindery=plain_bindery(),
        rates=rates,
        stocks={"silk": paper},
        price_policy=PricePolicy(0.0, 0.0, 0.0, 0, 1),
        digits=3,
        currency="KWD",
    )
    side = Side(leaf().front.inks[3:], 0.2)
    part = leaf(287, 400, stock=paper, front=side, back=Side(), bleed_mm=0.0)
    return shop, job(part, quantities=(1_000,))


def fixed_and_unit(factor="", by=1.0):
    """Fixed cost and cost of a sheet of toner and of litho, one figure changed."""
    times = {factor: by}
    rate, ready = times.get("hourly_rates", 1.0), times.get("make_ready_time", 1.0)
    speed, paper = times.get("running_speed", 1.0), PAPER * times.get("stock_price", 1.0)
    return (
        (
            TONER_RATE * rate * TONER_READY_MIN * ready / 60,
            CLICK * times.get("click_charge", 1.0) + TONER_RATE * rate / (TONER_SPEED * speed),
        ),
        (
            LITHO_RATE * rate * LITHO_READY_MIN * ready / 60
            + PLATE * times.get("carrier_price", 1.0),
            LITHO_RATE * rate / (LITHO_SPEED * speed),
        ),
        paper,
    )


def exact_crossing(factor="", by=1.0):
    (f1, u1), (f2, u2), _ = fixed_and_unit(factor, by)
    return (f2 - f1) / (u1 - u2)


def slopes():
    """d ln Q / d ln of each figure, Q = (F2 - F1) / (u1 - u2): calculus on paper."""
    (f1, u1), (f2, u2), _ = fixed_and_unit()
    fixed, unit = f2 - f1, u1 - u2
    hours = u1 - CLICK - u2  # what of u1 - u2 goes by time
    return {
        "stock_price": 0.0,
        "click_charge": -CLICK / unit,
        "hourly_rates": (f2 - PLATE - f1) / fixed - hours / unit,
        "make_ready_time": (f2 - PLATE - f1) / fixed,
        "carrier_price": PLATE / fixed,
        "running_speed": hours / unit,
        "waste": 0.0,
    }


def test_the_two_lines_are_straight():
    """The model of this shop is the two lines above, or the next test means nothing."""
    shop, wanted = two_lines()
    table = planned(wanted, shop)
    asked = np.array([1, 10, 777, 20_000])
    cost = table.at(asked).value / 1000
    (f1, u1), (f2, u2), paper = fixed_and_unit()
    for way, found in zip(table.first.ways, cost, strict=True):
        fixed, unit = {"toner": (f1, u1), "sheetfed_litho": (f2, u2)}[way.process]
        assert found == pytest.approx(fixed + (unit + paper) * asked, abs=0.003)


def test_elasticity_of_two_straight_lines_is_that_of_the_calculus():
    shop, wanted = two_lines()
    table = planned(wanted, shop)
    crossovers = find_crossovers(find_bands(table, 100_000))
    (found,) = sensitivities(
        table, crossovers, replanning(wanted, shop), up_to=100_000
    )
    assert (found.crossover.from_process, found.crossover.to_process) == (
        "toner",
        "sheetfed_litho",
    )
    assert abs(found.crossover.first_at - exact_crossing()) < 1
    for leaning in found.leanings[:-1]:
        for shift in leaning.shifts:
            assert abs(shift.first_at - exact_crossing(leaning.factor, 1 + shift.change)) < 1
        # An arc over a tenth either way, on whole quantities: within 2 %.
        expected = slopes()[leaning.factor]
        assert leaning.elasticity == pytest.approx(expected, rel=0.02, abs=0.003), leaning.factor
    assert found.leanings[-1].elasticity == 0  # its ink is free


def test_flips_of_two_straight_lines_are_where_the_lines_cross():
    """At 1,000 toner wins; a figure flips it where the crossing comes down to 1,000."""
    shop, wanted = two_lines()
    table = planned(wanted, shop)
    (answer,) = flips(table, (1_000,), replanning(wanted, shop), 0.0)
    assert answer.process == "toner"
    found = {hinge.factor: (hinge.below, hinge.above) for hinge in answer.hinges}
    for factor, (below, above) in found.items():
        grid = np.geomspace(0.1, 10, 20_000)
        wins = np.array([exact_crossing(factor, by) < 1_000 for by in grid])
        under, over = grid[wins & (grid < 1)], grid[wins & (grid > 1)]
        for flip, expected in ((below, under[-1:]), (above, over[:1])):
            assert (flip is None) == (not expected.size), factor
            if flip is not None:
                assert flip.times == pytest.approx(expected[0], rel=1e-3), factor
    assert found["click_charge"][1] is not None
    assert found["carrier_price"][0] is not None


def test_a_press_that_never_wins_now_may_under_a_change():
    """A second litho press pays in plates what the first pays in make-ready, and a little more.

    As things are it is never the cheapest; with plates a fifth less it is, from the crossover on.
    """
    shop, wanted = two_lines()
    litho = next(each for each in shop.presses if each.process == "sheetfed_litho")
    second = replace(
        litho.press, id="second", make_ready_min_per_form=0.0, plate_price=PLATE + 95.0
    )
    presses = (*shop.presses, replace(litho, press=second))
    shop = replace(shop, presses=tuple(sorted(presses, key=lambda e: (e.process, e.press.id))))
    table = planned(wanted, shop)
    bands = find_bands(table, 100_000)
    assert {band.press for band in bands} == {"toner", "litho"}
    (found,) = sensitivities(
        table, find_crossovers(bands), replanning(wanted, shop), up_to=100_000
    )
    plates = next(each for each in found.leanings if each.factor == "carrier_price")
    (f1, u1), (_, u2), _ = fixed_and_unit()
    expected = (0.8 * (PLATE + 95.0) - f1) / (u1 - u2)
    assert expected < exact_crossing("carrier_price", 0.8) - 10
    assert abs(plates.shifts[0].first_at - expected) < 1
    assert abs(plates.shifts[-1].first_at - exact_crossing("carrier_price", 1.2)) < 1


# Flips ----------------------------------------------------------------------------------------


def grid(end):
    """The factors that are tried first, outwards: as many steps a side, evenly over the ratio."""
    steps = np.arange(1, STEPS_A_SIDE + 1) / STEPS_A_SIDE
    return np.round(end**steps, 4)


def cheapest_process(table, part, quantity, factor, by):
    """Who makes a part at one quantity under a change: the best offer of all, told by its parts."""
    under = replace(table, given=changed(factor, by)) if by != 1.0 else table
    offer = PricedJob(under, [quantity]).ranked_offers()[0][0]
    return under.makeups[offer.makeup].parts[part].ways[offer.parts[part].way].process


def check_flips(wanted, shop, quantities):
    table = planned(wanted, shop)
    assume(table is not None)
    told = [share for part in wanted.parts if (share := least_coverage(part))]
    most = 1 / min(told)
    replanned = replanning(wanted, shop)
    answers = flips(table, quantities, replanned, most)
    asked = [(quantity, part) for quantity in quantities for part in range(len(wanted.parts))]
    assert [(each.quantity, each.part) for each in answers] == asked
    seen = 0
    for answer in answers:
        now = Every(table, answer.part).winner(answer.quantity)
        assert (answer.process, answer.press) == (now.process, now.press)
        assert tuple(each.factor for each in answer.hinges) == (*FACTORS, "coverage")
        for hinge in answer.hinges[:-1]:
            for flip, end in ((hinge.below, 0.1), (hinge.above, 10.0)):
                seen += check_flip(wanted, shop, table, answer, hinge.factor, flip, end)
        check_coverage_flips(answer, replanned, most)
    return seen


def check_flip(wanted, shop, table, answer, factor, flip, end):
    """The nearest flip, to four decimals; no step of the grid before it changes anything."""
    least_or_most = flip.unchanged_to if flip else end
    between = [by for by in grid(end) if abs(log(by)) <= abs(log(least_or_most))]
    for by in between:
        process = cheapest_process(table, answer.part, answer.quantity, factor, by)
        assert process == answer.process, (factor, by, flip)
    if flip is None:
        return 0
    assert abs(flip.times - flip.unchanged_to) == pytest.approx(0.0001)
    assert abs(log(flip.times)) > abs(log(flip.unchanged_to))
    there = anew(wanted, shop, factor, flip.times)
    winner = Every(there, answer.part).winner(answer.quantity)
    assert (winner.process, winner.press) == (flip.process, flip.press)
    assert winner.process != answer.process
    before = anew(wanted, shop, factor, flip.unchanged_to)
    assert Every(before, answer.part).winner(answer.quantity).process == answer.process
    return 1


def check_coverage_flips(answer, replanned, most):
    """The first of its steps that changes the answer, each planned anew."""
    above = [*(times for times in MORE_COVERAGE if times < most), most] if most > 1 else []
    for flip, steps in ((answer.hinges[-1].below, LESS_COVERAGE), (answer.hinges[-1].above, above)):
        unchanged, expected = 1.0, None
        for times in steps:
            table = replanned(times)
            way = Every(table, answer.part).winner(answer.quantity) if table else None
            if way is None or way.process != answer.process:
                expected = (times, unchanged, *((way.process, way.press) if way else ("", "")))
                break
            unchanged = times
        found = flip and (flip.times, flip.unchanged_to, flip.process, flip.press)
        assert found == expected


def without_waste(shop):
    """A shop that spoils nothing by the count, so that any factor on waste is exact."""
    shop = steady(shop)
    presses = tuple(
        replace(each, press=replace(each.press, **NOTHING_SPOILED[each.process]))
        for each in shop.presses
    )
    return replace(
        shop,
        presses=presses,
        binders=tuple(replace(each, set_up_waste_copies=0) for each in shop.binders),
    )


NOTHING_SPOILED = {
    "sheetfed_litho": {"make_ready_sheets_per_form": 0, "make_ready_sheets_per_plate": 0},
    "toner": {"make_ready_sheets": 0},
    "web_litho": {
        "make_ready_copies": 0,
        "make_ready_copies_per_colour": 0,
        "make_ready_copies_per_web": 0,
    },
}


@settings(slow, max_examples=15)
@given(shops(), jobs(), st.lists(st.integers(1, 30_000), min_size=1, max_size=2, unique=True))
def test_flips_of_random_leaves(shop, wanted, quantities):
    check_flips(wanted, without_waste(shop), quantities)


@settings(slow, max_examples=10)
@given(shops(), jobs(), st.integers(1, 3_000), st.sampled_from(MARGINS))
def test_flips_where_margins_fall_by_quantity(shop, wanted, quantity, margins):
    policy = replace(shop.price_policy, margins_by_quantity=margins)
    check_flips(wanted, without_waste(replace(shop, price_policy=policy)), [quantity])


@settings(slow, max_examples=6)
@given(shops_and_jobs(), st.integers(1, 10_000))
def test_flips_of_random_whole_jobs(made, quantity):
    check_flips(made[1], without_waste(made[0]), [quantity])


@pytest.mark.parametrize("name", ["a6_flyer", "invitation", "concert_programme"])
def test_flips_of_examples(name):
    wanted = example(name)
    shop = without_stops(demo())
    table = planned(wanted, shop)
    answers = flips(table, wanted.quantities[:2], replanning(wanted, shop), 0.0)
    seen = 0
    for answer in answers:
        for hinge in answer.hinges:
            if hinge.factor == "waste":
                continue  # counts that no plant file would say; random shops above do it
            for flip, end in ((hinge.below, 0.1), (hinge.above, 10.0)):
                seen += check_flip(wanted, shop, table, answer, hinge.factor, flip, end)
    assert seen


def test_figures_are_those_of_the_presses():
    """What a flip says the figure is, against the plant and the answer with its sheets."""
    wanted, shop = example("a6_flyer"), demo()
    result = compare(wanted, shop, Planner(processes()), NOW, up_to=20_000, explain=["sensitivity"])
    presses = {each.press.id: each.press for each in shop.presses}
    seen = set()
    for answer in result.hanging.answers:
        for hinge in answer.hinges:
            for flip in (hinge.below, hinge.above):
                for figure in flip.figures if flip else ():
                    expected = figure_of(result, presses, hinge.factor, answer.quantity, figure)
                    assert figure.value == pytest.approx(expected), (hinge.factor, figure)
                    seen.add(hinge.factor)
    assert {"stock_price", "hourly_rates", "make_ready_time", "running_speed"} <= seen
    assert "carrier_price" in seen or "click_charge" in seen


def figure_of(result, presses, factor, quantity, figure):
    press_ = presses[figure.press]
    offers = result.choices[result.job.quantities.index(quantity)]
    (offer,) = (
        each
        for each in offers
        if result.plan.job_table.first.ways[each.parts[0].way].press == figure.press
    )
    (number,) = offer.parts[0].routes
    route = result.plan.job_table.first.routes[number]
    costs, column = result.costs.makeups[0].parts[0].costs, offer.column
    good, spoiled = costs.good[number, column], costs.running_waste[number, column]
    if factor == "hourly_rates":
        assert figure.unit == "{currency}/h"
        return result.plant.rate(press_.cost_centre)
    if factor == "stock_price":
        return route.work.layout.supply.price
    if factor == "make_ready_time":
        assert figure.unit == "min"
        return route.run.make_ready_min
    if factor == "running_speed":
        return route.run.cycles_per_hour
    if factor == "waste":
        return (spoiled + route.run.make_ready_cycles) / good
    if factor == "carrier_price":
        return press_.plate_price
    assert factor == "click_charge"
    return press_.click_colour_price


def test_coverage_flips_stop_where_every_ink_floods_its_side():
    wanted, shop = example("a6_flyer"), demo()
    table = planned(wanted, shop)
    asked = []

    def replanned(times):
        asked.append(times)
        return table

    flips(table, (1_000,), replanned, 2.0)
    assert asked == [*LESS_COVERAGE, 1.1, 1.2, 1.5, 2.0]
    asked.clear()
    flips(table, (1_000,), replanned, 1.0)
    assert asked == list(LESS_COVERAGE)
    (answer,) = flips(table, (1_000,), replanned, 0.0)
    assert [hinge.factor for hinge in answer.hinges] == list(FACTORS)


def test_process_of_a_band_is_what_every_way_says():
    """The brute force above and the bands tell the same story where nothing is changed."""
    wanted, shop = example("concert_programme"), demo()
    table = planned(wanted, shop)
    bands = find_bands(table, 3_000)
    for part in range(len(wanted.parts)):
        told = np.repeat(
            [process_of(band, part) for band in bands], [b.last - b.first + 1 for b in bands]
        )
        assert (Every(table, part).processes(1, 3_000) == told).all()
