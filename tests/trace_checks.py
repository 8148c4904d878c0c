"""What must hold of every trace: figures are what their formulas say, and end where offers do."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from typing import Any

from formulas import names, worked_out

Figure = dict[str, Any]
Offer = dict[str, Any]


def traces(offer: Offer) -> list[list[Figure]]:
    held = [*offer["parts"], *offer["operations"]]
    return [*(each["trace"] for each in held), offer["price_trace"]]


def check_figure(figure: Figure) -> None:
    """Work one figure out: counts and money exactly, what is not rounded to its last bits."""
    inputs = {each["name"]: float(each["value"]) for each in figure["inputs"]}
    assert len(inputs) == len(figure["inputs"]), figure
    assert names(figure["formula"]) == set(inputs), figure
    found, told = worked_out(figure["formula"], inputs), figure["value"]
    if isinstance(told, str):
        # Money: the very same last digit, and no half of one lost in a sum.
        digits = -int(Decimal(told).as_tuple().exponent)
        assert round(found, digits) == float(told), figure
        assert math.isclose(found, float(told), rel_tol=1e-11, abs_tol=1e-6), figure
    elif figure["unit"].startswith("{"):
        assert isinstance(told, int), figure
        assert found == told, figure
    else:
        assert math.isclose(found, told, rel_tol=1e-12), figure


def check_chain(trace: list[Figure]) -> None:
    """See that inputs which are figures before them are these, and that names are told apart."""
    before: dict[tuple[str, str], Any] = {}
    by_name: dict[str, list[Any]] = {}
    for figure in trace:
        for each in figure["inputs"]:
            own = before.get((figure["of"], each["name"]))
            elsewhere = by_name.get(each["name"], [])
            if own is not None:
                assert each["value"] == own, figure
            elif len(elsewhere) == 1:
                assert each["value"] == elsewhere[0], figure
            assert each["unit"]
            assert each["name"] != "x"
        key = figure["of"], figure["name"]
        assert key not in before, key
        before[key] = figure["value"]
        by_name.setdefault(figure["name"], []).append(figure["value"])


def figure_of(trace: list[Figure], name: str) -> Any:
    (found,) = [figure["value"] for figure in trace if figure["name"] == name]
    return found


def of_line(line: str) -> str:
    """Return what the figure of a line is called. line: its id"""
    return re.sub("[^a-z0-9]", "_", line.rpartition("/")[2])


def check_offer(offer: Offer) -> None:
    for trace in traces(offer):
        for figure in trace:
            check_figure(figure)
            assert figure["unit"]
            assert figure["because"]
        check_chain(trace)
    check_told(offer)
    check_sums(offer)


def check_told(offer: Offer) -> None:
    """The trace ends where the offer stands: sheets, hours, copies, cost and price."""
    for part in offer["parts"]:
        last = part["sections"] or [part | {"times": 1}]
        for name, member in (("sheets_run", "total"), ("good_sheets", "good")):
            runs = [f["value"] for f in part["trace"] if f["name"] == name]
            assert len(runs) == len(last)
            for run, each in zip(runs, last, strict=True):
                assert run * each["times"] == each["sheets"][member]
        hours = [f["value"] for f in part["trace"] if f["name"] == "press_hours"]
        told = sum(h * each["times"] for h, each in zip(hours, last, strict=True))
        assert math.isclose(told, part["hours"], abs_tol=0.0005001)
        alike: dict[str, set[float]] = {"sheet": set(), "piece": set(), "parent": set()}
        for figure in part["trace"]:
            unit = figure["name"].partition("s_into_")[0]
            if unit in alike:
                alike[unit] |= {figure["value"] * each["times"] for each in last}
        for step in part["operations"]:
            # Gathering, like the knife that cuts parents, spoils nothing and so counts no waste.
            assert step["into"] == step["out"] or step["into"] in alike[step["unit"]], step
    for step in offer["operations"]:
        into = [f["value"] for f in step["trace"] if f["name"].startswith("copies_into_")]
        assert into[-1] == step["into"]
    end = offer["price_trace"]
    assert figure_of(end, "price") == offer["price"]["net"]
    assert figure_of(end, "per_piece") == offer["price"]["per_piece"]
    assert figure_of(end, "run_on_per_1000") == offer["price"]["run_on_per_1000"]
    assert figure_of(end, "cost") == offer["cost"]["total"]
    assert figure_of(end, "variable_cost") == offer["cost"]["variable"]
    assert figure_of(end, "long_run_unit_cost") == offer["curve"]["long_run_unit_cost"]


def check_sums(offer: Offer) -> None:
    """Lines are figures of the same money, and the price starts from the sums of them."""
    for each in [*offer["parts"], *offer["operations"]]:
        for line in each["lines"]:
            assert figure_of(each["trace"], of_line(line["id"])) == line["cost"]
    sums = {
        f"{figure['name'].removesuffix('_cost')}_of_{what}_{number}": figure["value"]
        for what, held in (("part", offer["parts"]), ("operation", offer["operations"]))
        for number, each in enumerate(held, 1)
        for figure in each["trace"]
        if figure["name"] in ("material_cost", "time_cost", "outwork_cost")
    }
    taken = {
        given["name"]: given["value"]
        for figure in offer["price_trace"]
        for given in figure["inputs"]
        if "_of_part_" in given["name"] or "_of_operation_" in given["name"]
    }
    assert taken == sums
    everything = sum(Decimal(value) for value in sums.values())
    assert everything == Decimal(offer["cost"]["total"])
