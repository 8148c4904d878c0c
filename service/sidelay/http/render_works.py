"""Works orders and purchases as plain data."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from ..job import Job
from ..job_table import JobCosts
from ..money import decimal_text
from ..offers import Offer
from ..plan import Plan
from ..plant import Plant
from ..purchases import Purchase, purchases
from ..schedule import Schedule
from ..works_amounts import Amounts
from ..works_order import WorksOperation, WorksOrders

# Digits of what is bought: a millionth of a sheet, a milligram of ink.
AMOUNT_DIGITS = 6
RUN_DIGITS = 1


class WorksWriter:
    """Writes what it takes to make the offers of one plan, and to buy for them."""

    def __init__(self, plan: Plan, costs: JobCosts, job: Job, plant: Plant) -> None:
        assert plan.job_table is not None  # noqa: S101  what is costed has a table
        self._table, self._costs, self._digits = plan.job_table, costs, plant.digits
        self._orders = WorksOrders(plan.job_table, costs, job, plant)
        self._parts = [part.name for part in job.parts]

    def offer(self, offer: Offer, schedule: Schedule) -> dict[str, Any]:
        """Return the two members that an offer has of them."""
        order = self._orders.of(offer, schedule)
        bought = purchases(
            self._table, self._costs, offer, self._parts, order.operation_of
        )
        return {
            "works_order": [_operation(each) for each in order.operations],
            "purchases": [self._purchase(each) for each in bought],
        }

    def _purchase(self, bought: Purchase) -> dict[str, Any]:
        reel, packs = bought.reel, bought.packs
        return {
            "id": bought.id,
            "kind": bought.kind,
            "part": bought.part,
            "for_operation": bought.operation,
            "item": bought.item,
            "name": bought.name,
            "size_mm": list(bought.size_mm) if bought.size_mm else None,
            "grain": bought.grain,
            "reel": {
                "width_mm": reel.width_mm,
                "length_m": reel.length_m,
                "run_m": round(reel.run_m, RUN_DIGITS),
                "reels": reel.reels,
            }
            if reel
            else None,
            "amount": round(bought.amount, AMOUNT_DIGITS),
            "unit": bought.unit,
            "packs": {
                "pack": packs.pack,
                "packs": packs.packs,
                "least_order": packs.least_order and round(packs.least_order, AMOUNT_DIGITS),
                "paid_for": round(packs.paid_for, AMOUNT_DIGITS),
            }
            if packs
            else None,
            "unit_price": bought.unit_price,
            "cost": decimal_text(bought.cost, self._digits),
            "lead_days": bought.lead_days,
            "lines": list(bought.lines),
            "because": bought.because,
        }


def _operation(op: WorksOperation) -> dict[str, Any]:
    return {
        "id": op.id,
        "operation": op.operation,
        "part": op.part,
        "section": asdict(op.section) if op.section else None,
        "machine": op.machine or None,
        "name": op.name,
        "cost_centre": op.cost_centre or None,
        "bought_out": op.bought_out,
        "crew": op.crew,
        "set_up_h": op.set_up_h,
        "run_h": op.run_h,
        **_amounts(op.amounts),
        "passes": op.passes,
        "carriers": asdict(op.carriers) if op.carriers else None,
        "lead_days": op.lead_days,
        "after": list(op.after),
        "lines": list(op.lines),
        "because": op.because,
    }


def _amounts(amounts: Amounts | None) -> dict[str, Any]:
    """Return what goes in and comes out; null where there is nothing to count."""
    if amounts is None:
        names = ("unit", "into", "out", "per", "lots", "handed_on", "spoiled")
        return dict.fromkeys(names)
    return {
        "unit": amounts.unit,
        "into": amounts.into,
        "out": amounts.out,
        "per": amounts.per,
        "lots": amounts.lots,
        "handed_on": {"amount": amounts.handed_on, "unit": amounts.handed_unit},
        "spoiled": asdict(amounts.spoiled) if amounts.spoiled else None,
    }
