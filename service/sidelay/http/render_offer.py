"""One offer as plain data: its price, its cost, its parts, and what is done to the copies."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..job import Job
from ..job_table import JobCosts, JobTable
from ..machines import Step
from ..money import PIECE_DIGITS, decimal_text, share_text
from ..named_lines import lines_of_copies
from ..offers import Columns, Offer, shape_of
from ..plan import Plan
from ..plant import Plant
from ..pricing import cash_price
from ..trace.offer import Tracer
from ..ways import Made
from .render_lines import LineWriter
from .render_part import PartWriter, write_step
from .render_trace import write_figures

LINE_DETAILS = ("lines", "trace")


def ratio(price: int, best: int) -> float | None:
    """Return how many times the best price this is; None where only the best is nothing."""
    if price == best:
        return 1.0
    return round(price / best, 4) if best else None


class OfferWriter:
    """Writes the offers of one plan on one plant.

    detail: "price", "lines" (cost lines too) or "trace" (and how every figure comes about)
    """

    def __init__(
        self, plan: Plan, costs: JobCosts | None, job: Job, plant: Plant, detail: str
    ) -> None:
        self._plan, self._given_costs, self._job = plan, costs, job
        self._policy, self._currency, self._digits = (
            plant.price_policy,
            plant.currency,
            plant.digits,
        )
        nought = Columns(len(job.quantities), len(self._policy.thresholds)).nought
        self._lines = None
        if detail in LINE_DETAILS:
            self._lines = LineWriter(plant.digits, detail, nought)
        self._tracer = None
        if detail == "trace" and plan.job_table is not None and costs is not None:
            self._tracer = Tracer(plan.job_table, costs, job, plant)
        self._part_writers: dict[tuple[int, int], PartWriter] = {}

    @property
    def _table(self) -> JobTable:
        assert self._plan.job_table is not None  # noqa: S101  an offer comes from a table
        return self._plan.job_table

    @property
    def _costs(self) -> JobCosts:
        assert self._given_costs is not None  # noqa: S101  and has its costs
        return self._given_costs

    def part_writer(self, number: int, makeup: int) -> PartWriter:
        """Return the writer of one part of the job, as one binder takes it."""
        key = number, makeup
        if key not in self._part_writers:
            costs = self._costs.makeups[makeup]
            self._part_writers[key] = PartWriter(
                self._job.parts[number],
                self._table.makeups[makeup].parts[number],
                costs.parts[number],
                costs.assembly.copies[0] * self._table.per_copy[number],
                self._digits,
                self._lines,
            )
        return self._part_writers[key]

    def first_writer(self, offer: Offer) -> PartWriter:
        """Return the writer of the first part of an offer."""
        return self.part_writer(0, offer.makeup)

    def head(self, offer: Offer) -> dict[str, Any]:
        """Return the members that an offer has wherever it stands: process to cost."""
        where = [
            self.part_writer(number, offer.makeup).where(made)
            for number, made in enumerate(offer.parts)
        ]
        route = [
            {"part": part.name, **press}
            for part, presses in zip(self._job.parts, where, strict=True)
            for press in presses
        ]
        price, cost = self.price(offer), self.cost(offer)
        curve = self.curve(offer)
        return {**where[0][-1], "route": route, "price": price, "cost": cost, "curve": curve}

    def net(self, offer: Offer) -> str:
        """Return the price net of tax, for all."""
        return self._money(offer.price)

    def price(self, offer: Offer) -> dict[str, Any]:
        """Return the price net of tax, for all and for parts of it."""
        cash = cash_price(offer.price, self._policy) if self._policy.cash_step else None
        return {
            "net": self._money(offer.price),
            "per_piece": self.per_piece(offer.price, offer.quantity),
            "per_1000": share_text(offer.price * 1000, offer.quantity, self._digits, 0),
            "run_on_per_1000": self._money(offer.run_on_price),
            "same_price_to": offer.same_price_to,
            "cash": None if cash is None else self._money(cash),
            "currency": self._currency,
        }

    def cost(self, offer: Offer) -> dict[str, str]:
        """Return the cost, and what of it is there before the first copy."""
        return {
            "total": self._money(offer.cost),
            "fixed": self._money(offer.fixed_cost),
            "variable": self._money(offer.cost - offer.fixed_cost),
            "currency": self._currency,
        }

    def curve(self, offer: Offer) -> dict[str, Any]:
        """Return the two lines that the cost of one copy nears, at few copies and at many."""
        shape = shape_of(offer, self._digits)
        return {
            "fixed": decimal_text(*shape.fixed),
            "long_run_unit_cost": decimal_text(*shape.long_run_unit_cost),
            "balanced_at": shape.balanced_at,
            "currency": self._currency,
        }

    def price_trace(self, offer: Offer) -> dict[str, Any]:
        """Return how the price comes about, in a trace; no member elsewhere."""
        if self._tracer is None:
            return {}
        return {"price_trace": write_figures(self._tracer.price(offer))}

    def per_piece(self, minor: int, quantity: int) -> str:
        """Return money for one piece out of money for all, with more decimals."""
        return share_text(minor, quantity, self._digits, PIECE_DIGITS)

    def parts(self, offer: Offer) -> list[dict[str, Any]]:
        """Return every part of an offer, in the order of the job."""
        beaten: list[tuple[Made, int] | None] = [offer.beaten, *(None for _ in offer.parts[1:])]
        written = [
            self.part_writer(number, offer.makeup).part(made, offer.column, beaten[number])
            for number, made in enumerate(offer.parts)
        ]
        if self._tracer is not None:
            for number, part in enumerate(written):
                part["trace"] = write_figures(self._tracer.part(offer, number))
        return written

    def steps(self, offer: Offer) -> Iterator[Step]:
        """Yield every step of finishing and binding of an offer, in the order of production."""
        for number, made in enumerate(offer.parts):
            for route in self.part_writer(number, offer.makeup).routes(made):
                yield from (*route.steps, *route.gathering)
        yield from self._table.makeups[offer.makeup].assembly.steps

    def operations(self, offer: Offer) -> list[dict[str, Any]]:
        """Return what is done to the copies, in the order of production."""
        assembly = self._table.makeups[offer.makeup].assembly
        found, column = self._costs.makeups[offer.makeup].assembly, offer.column
        written, named = [], lines_of_copies(assembly)
        for place, step in enumerate(assembly.steps):
            into = int(found.copies[len(assembly.steps) - place, column])
            out = int(found.copies[len(assembly.steps) - place - 1, column])
            one = write_step(step, into, out)
            if self._lines is not None:
                of_step = [each for each in named if assembly.step_of_line[each.row] == place]
                one["lines"] = self._lines.write(of_step, found.bill, column)
            if self._tracer is not None:
                one["trace"] = write_figures(self._tracer.operation(offer, place))
            written.append(one)
        return written

    def _money(self, minor: int) -> str:
        return decimal_text(minor, self._digits)
