"""Traces of what no example shows: shells, kept carriers, a speed that changes with the run."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from flask.testing import FlaskClient

from formulas import worked_out
from shop import CMYK, job, leaf, plant, press, processes
from sidelay.costing import CostTable
from sidelay.curve import Curve
from sidelay.figures import Figure
from sidelay.http.render_trace import write_figures
from sidelay.job import Side
from sidelay.plan import Planner
from sidelay.trace.route import route_counts
from trace_checks import check_figure, check_offer, figure_of

COLOUR = {"inks": ["cyan", "magenta", "yellow", "black"], "coverage": 0.4}
BLACK = {"inks": ["black"], "coverage": 0.04}


def estimates(client: FlaskClient, body: dict[str, Any]) -> list[dict[str, Any]]:
    response = client.post("/estimate", json=body | {"detail": "trace"})
    assert response.status_code == 200, response.text
    return response.get_json()["estimates"]


def test_shells_are_followed_from_the_overprint_to_the_press_that_prints_them(
    client: FlaskClient,
) -> None:
    card = {"size": "a5", "stock": {"id": "silk_250"}, "front": COLOUR, "back": BLACK}
    card["overprint"] = {"back": BLACK}
    body = {"job": {"quantities": [500, 50_000], "parts": [card]}}
    one_go, shells = estimates(client, body)
    assert [step["press"] for step in shells["route"]] == ["litho_b1_five", "toner_colour_a3"]
    for offer in (one_go, shells):
        check_offer(offer)
    trace = shells["parts"][0]["trace"]
    needed = figure_of(trace, "shells_needed")
    wanted = [f for f in trace if f["name"] == "pieces_wanted"]
    assert [f["of"] for f in wanted] == ["toner_colour_a3", "litho_b1_five"]
    assert wanted[1]["value"] == needed > 50_000
    assert wanted[1]["formula"] == "shells_needed"


def test_what_is_kept_from_the_last_run_is_not_paid_for_again(client: FlaskClient) -> None:
    part = {"size": "a6", "stock": {"id": "silk_130"}, "front": COLOUR, "back": BLACK}
    body: dict[str, Any] = {"job": {"quantities": [20_000_000], "parts": [part]}}
    body |= {"presses": ["litho_b1_five"]}
    (new,) = estimates(client, body)
    part["kept_carriers"] = [new["parts"][0]["layout"]["carriers_id"]]
    (again,) = estimates(client, body)
    for offer in (new, again):
        check_offer(offer)
    kept = [f for f in again["parts"][0]["trace"] if " - kept)" in f["formula"]]
    assert kept
    for figure in kept:
        paid = {f["name"]: f for f in new["parts"][0]["trace"]}[figure["name"]]
        assert float(figure["value"]) < float(paid["value"])


@pytest.mark.parametrize("good", [1, 900, 5_000, 40_000])
def test_a_speed_that_changes_with_the_run_is_worked_out_between_its_points(good: int) -> None:
    speed = Curve(((1_000, 4_000), (10_000, 9_000)))
    shop, part = plant(press("sheetfed_litho")), leaf(front=Side(CMYK, 0.2), back=Side())
    plan = Planner(processes()).plan(job(part), shop)
    table = plan.table
    assert table is not None
    routes = [
        replace(route, run=replace(route.run, cycles_per_hour=speed)) for route in table.routes
    ]
    changed = CostTable(routes, table.lines, table.digits)
    costs = changed.at(np.array([good]))
    wanted = Figure("pieces_wanted", float(good), "{piece}", str(good), ())
    counts = route_counts(0, routes[0], costs, 0, wanted, "")
    figures = write_figures(counts.figures)
    for figure in figures:
        if figure["name"] != "pieces_wanted":
            check_figure(figure)
    length, told = figure_of(figures, "run_length"), figure_of(figures, "cycles_per_hour")
    share = (math.log(max(length, 1)) - math.log(1_000)) / math.log(10)
    assert told == pytest.approx(4_000 + 5_000 * min(max(share, 0), 1))
    assert worked_out("ln(2) x (1 + 1)", {}) == pytest.approx(2 * math.log(2))
