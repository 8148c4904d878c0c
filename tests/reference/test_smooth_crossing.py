"""Where two smooth cost curves cross, found by scipy's root finder, against `first_at`.

The costs of a press whose speed and waste change with run length, and of a press with a click, are
written out here as plain functions of the quantity, all rounding left out: sheets are no whole
numbers, nothing is begun. A plant begins up to two sheets more on either press (good sheets, and
those spoiled on the run), so that its crossing may lie as many pieces away as that money is worth
there, by the slope of the curves: some four sheets, half a per cent of the run.

Source of the method: R. P. Brent, Algorithms for Minimization without Derivatives (1973), chapter
4, as scipy.optimize.brentq has it.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import log

import pytest
from scipy.optimize import brentq

from shop import job, leaf, plain_bindery, plain_litho, plain_toner, plant, processes, stock
from sidelay.costing import CostTable
from sidelay.crossovers import find_bands, find_crossovers
from sidelay.curve import Curve
from sidelay.job import Ink, Side
from sidelay.plan import Planner
from sidelay.pricing import PricePolicy
from sidelay.sensitivity import sensitivities
from sidelay.stock import ParentSheet
from sidelay.ways import PartTable

UP = 4  # A5 on a sheet of SRA3
SHEET = (320.0, 450.0)
PAPER, CLICK, PLATE = 0.05, 0.06, 11.0
TONER_RATE, LITHO_RATE = 30.0, 95.0
TONER_PER_HOUR, TONER_READY_MIN, TONER_READY_SHEETS, TONER_WASTE = 1_800.0, 4.0, 5, 0.01
LITHO_READY_MIN, LITHO_READY_SHEETS = 22.0, 120
WASTE = ((200.0, 0.08), (2_000.0, 0.05), (30_000.0, 0.03))
# Sheets an hour by run length: a long run gathers speed.
SPEED = ((200.0, 3_000.0), (3_000.0, 6_500.0), (40_000.0, 11_000.0))


def interpolated(points, sheets):
    """Straight between points over ln(sheets), flat outside."""
    x = log(sheets)
    if x <= log(points[0][0]):
        return points[0][1]
    for (x0, y0), (x1, y1) in pairwise(points):
        if x <= log(x1):
            return y0 + (y1 - y0) * (x - log(x0)) / (log(x1) - log(x0))
    return points[-1][1]


def toner(quantity, times):
    """Money for so many pieces by toner, no sheet begun."""
    good = quantity / UP
    run = good * (1 + TONER_WASTE * times.get("waste", 1.0))
    sheets = run + TONER_READY_SHEETS * times.get("waste", 1.0)
    hours = run / (TONER_PER_HOUR * times.get("running_speed", 1.0))
    ready = TONER_READY_MIN * times.get("make_ready_time", 1.0) / 60
    return (
        sheets * (PAPER * times.get("stock_price", 1.0) + CLICK * times.get("click_charge", 1.0))
        + TONER_RATE * times.get("hourly_rates", 1.0) * (ready + hours)
    )


def litho(quantity, times):
    """The same by litho, one form of one ink."""
    good = quantity / UP
    run = good * (1 + interpolated(WASTE, good) * times.get("waste", 1.0))
    sheets = run + LITHO_READY_SHEETS * times.get("waste", 1.0)
    hours = run / (interpolated(SPEED, run) * times.get("running_speed", 1.0))
    ready = LITHO_READY_MIN * times.get("make_ready_time", 1.0) / 60
    return (
        sheets * PAPER * times.get("stock_price", 1.0)
        + PLATE * times.get("carrier_price", 1.0)
        + LITHO_RATE * times.get("hourly_rates", 1.0) * (ready + hours)
    )


def crossing(**times):
    """Where litho takes over, and how many pieces two begun sheets of each are worth there."""

    def apart(quantity):
        return toner(quantity, times) - litho(quantity, times)

    found = brentq(apart, 400, 60_000, xtol=1e-9)
    slope = (apart(found + 50) - apart(found - 50)) / 100
    sheet = PAPER * times.get("stock_price", 1.0)
    begun = 2 * (sheet + CLICK * times.get("click_charge", 1.0) + 0.02)
    return found, max(UP, begun / slope)


@pytest.fixture(scope="module")
def table():
    """The job compiled, the running speed of the litho press a curve over run length."""
    presses = [
        plain_litho(
            rated_sheets_per_hour=12_000,
            running_waste=[list(point) for point in WASTE],
            make_ready_min_per_form=LITHO_READY_MIN,
            make_ready_sheets_per_form=LITHO_READY_SHEETS,
            plate_price=PLATE,
            feed={"work_styles": ["one_side"], "max_width_mm": 330, "max_length_mm": 460},
        ),
        plain_toner(
            per_hour=TONER_PER_HOUR,
            running_waste=TONER_WASTE,
            make_ready_min=TONER_READY_MIN,
            make_ready_sheets=TONER_READY_SHEETS,
            click_mono_price=CLICK,
            feed={"work_styles": ["one_side"], "max_width_mm": 330, "max_length_mm": 460},
        ),
    ]
    paper = stock(sheets=(ParentSheet(*SHEET, "long", PAPER, "test"),))
    shop = plant(
        *presses,
        bindery=plain_bindery(),
        rates={"litho": LITHO_RATE, "toner": TONER_RATE, "cutting": 0.0, "folding": 0.0},
        stocks={"silk": paper},
        price_policy=PricePolicy(0.0, 0.0, 0.0, 0, 1),
        digits=3,
        currency="KWD",
    )
    black = Side((Ink("black"),), 0.1)
    part = leaf(148, 210, stock=paper, front=black, back=Side(), bleed_mm=0.0)
    found = Planner(processes()).plan_aside(job(part), shop).job_table
    first = found.first
    routes = [
        replace(route, run=replace(route.run, cycles_per_hour=Curve(SPEED)))
        if route.process == "sheetfed_litho"
        else route
        for route in first.routes
    ]
    curved = PartTable(CostTable(routes, first.table.lines, 3), first.ways)
    return found.with_first([curved])


def test_the_crossing_is_where_brent_finds_it(table):
    (found,) = find_crossovers(find_bands(table, 60_000))
    assert (found.from_process, found.to_process) == ("toner", "sheetfed_litho")
    expected, step = crossing()
    assert step < 5 * UP
    assert abs(found.first_at - expected) <= step


def test_shifted_crossings_are_where_brent_finds_them(table):
    crossovers = find_crossovers(find_bands(table, 60_000))
    (found,) = sensitivities(table, crossovers, lambda times: table, up_to=60_000)
    moved = set()
    for leaning in found.leanings[:-1]:
        for shift in leaning.shifts:
            expected, step = crossing(**{leaning.factor: 1 + shift.change})
            assert abs(shift.first_at - expected) <= step, (leaning.factor, shift, expected)
            if abs(expected - crossing()[0]) > 2 * step:
                moved.add(leaning.factor)
    # Paper is bought for both, and only what is spoiled is not alike; all else moves it far.
    assert moved >= {
        "click_charge",
        "hourly_rates",
        "make_ready_time",
        "carrier_price",
        "running_speed",
        "waste",
    }
