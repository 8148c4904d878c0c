"""What must hold of every works order and of all purchases, whatever the job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest

Offer = dict[str, Any]
WAITING = {"queue", "drying", "approval", "carriers", "dies", "stock", "dispatch", "delivery"}
# Hours are told to 1/10,000 and 1/1,000, and the clock counts begun seconds.
HOURS_APART = 1.5e-3


def check_works(offer: Offer, digits: int = 2) -> None:
    check_lines(offer)
    check_purchases(offer, digits)
    check_schedule(offer)
    check_waits(offer)
    check_chain(offer)


def lines_of(offer: Offer) -> dict[str, Any]:
    """Every cost line of an offer by its id."""
    lines = [line for each in (*offer["parts"], *offer["operations"]) for line in each["lines"]]
    found = {line["id"]: line for line in lines}
    assert len(found) == len(lines), "an id stands twice"
    return found


def check_lines(offer: Offer) -> None:
    """Every cost line is in a works order or in purchases, once; together they are the cost."""
    lines = lines_of(offer)
    hours = [line for op in offer["works_order"] for line in op["lines"]]
    bought = [line for each in offer["purchases"] for line in each["lines"]]
    assert Counter([*hours, *bought]) == Counter(lines.keys())
    cost = sum(Decimal(each["cost"]) for each in offer["purchases"])
    assert cost == sum(Decimal(lines[line]["cost"]) for line in bought)
    cost += sum(Decimal(lines[line]["cost"]) for line in hours)
    if offer["overtime"]:
        cost += Decimal(offer["overtime"]["cost"])
    assert cost == Decimal(offer["cost"]["total"])


def check_purchases(offer: Offer, digits: int) -> None:
    """A purchase costs what is paid for at its price, and is for something that is done."""
    ids = {op["id"] for op in offer["works_order"]}
    assert len({each["id"] for each in offer["purchases"]}) == len(offer["purchases"])
    for each in offer["purchases"]:
        paid_for = each["packs"]["paid_for"] if each["packs"] else each["amount"]
        assert paid_for >= each["amount"] - 1e-6
        # Each of its lines is rounded by itself; amounts are told to a millionth of a unit.
        told, money = paid_for * each["unit_price"], float(each["cost"])
        apart = 0.5 * 10.0**-digits * len(each["lines"]) + 1e-6 * each["unit_price"]
        assert money == pytest.approx(told, abs=apart + 1e-9, rel=1e-9), each
        # A proof that takes nobody's time is bought for no operation.
        assert each["for_operation"] in ids or "/proof-" in each["id"], each
        if each["packs"] and each["packs"]["packs"]:
            packed = each["packs"]["pack"] * each["packs"]["packs"]
            assert packed <= each["packs"]["paid_for"] + 1e-6


def check_schedule(offer: Offer) -> None:
    """Operations are those of the schedule, in its order; what is not on it takes no time."""
    done = {op["id"]: op for op in offer["works_order"]}
    assert len(done) == len(offer["works_order"])
    if not offer["schedule"]:
        return  # beyond the horizon
    work = {op["id"]: op for op in offer["schedule"] if op["operation"] not in WAITING}
    assert [op for op in done if op in work] == list(work)
    for name, op in work.items():
        assert done[name]["operation"] == op["operation"]
        if op["unit"] == "h":
            hours = done[name]["set_up_h"] + done[name]["run_h"]
            assert hours == pytest.approx(op["duration"], abs=HOURS_APART)
            assert done[name]["machine"] == op["machine"]
        else:
            assert done[name]["bought_out"]
            assert done[name]["lead_days"] == op["duration"]
    for name, op in done.items():
        assert name in work or op["set_up_h"] + op["run_h"] < HOURS_APART, op


def check_waits(offer: Offer) -> None:
    """Nothing is done before what it waits for."""
    met: set[str] = set()
    for op in offer["works_order"]:
        assert set(op["after"]) <= met, op
        met.add(op["id"])


def check_chain(offer: Offer) -> int:
    """What comes out of one operation goes into the next. Returns how many hand on to another."""
    linked = 0
    counted = {op["id"]: op for op in offer["works_order"] if op["unit"]}
    per_copy = {part["part"]: part["per_copy"] for part in offer["parts"]}
    for op in counted.values():
        assert op["into"] >= op["out"]
        if op["spoiled"]:
            assert op["into"] - op["out"] == sum(op["spoiled"].values())
    for op, before in _links(counted):
        linked += 1
        handed, wanted, unit = before["handed_on"], op["into"], op["unit"]
        if unit == "copy" and handed["unit"] != "copy":
            wanted, unit = wanted * per_copy[before["part"]], "piece"
        # Sections alike are each as many as the copies that they are gathered into.
        own, alike = (each["section"] or {"times": 1} for each in (op, before))
        left_over = handed["amount"] / (alike["times"] // own["times"]) - wanted
        # What is left over is less than one sheet, or one parent, holds.
        most = handed["amount"] / before["out"] * own["times"]
        assert 0 <= left_over < max(most, 1), (before, op)
        # Shells are pieces of the press that prints them, sheets of the one that overprints.
        assert handed["unit"] == unit or (handed["unit"], unit) == ("piece", "sheet")
    return linked


def _links(counted: dict[str, Any]) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    """Yield operations whose amounts are counted, each with one that hands on to it."""
    for op in counted.values():
        for before in op["after"]:
            if before in counted:
                yield op, counted[before]
