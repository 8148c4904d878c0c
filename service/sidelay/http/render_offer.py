"""One offer as plain data: its price, its cost, its sheets, and the part behind it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from typing import Any

from ..costing import Costs, CostTable, Line, Route
from ..estimate import Offer
from ..money import decimal_text, share_text
from ..plan import Plan
from ..plant import Plant
from ..stock import Reel

# Decimals a price for one piece has beyond the currency's.
PIECE_DIGITS = 4
LINE_DETAILS = ("lines", "trace")

# Row in the table, id (the stage and a number within it), and the line itself.
NamedLine = tuple[int, str, Line]


class OfferWriter:
    """Writes the offers of one plan on one plant.

    detail: "price", "lines" (cost lines too) or "trace" (and how each comes about)
    """

    def __init__(self, plan: Plan, costs: Costs | None, plant: Plant, detail: str) -> None:
        self._plan, self._given_costs = plan, costs
        self._currency, self._digits, self._detail = plant.currency, plant.digits, detail
        self._named: dict[int, list[NamedLine]] = {}

    @property
    def _table(self) -> CostTable:
        assert self._plan.table is not None  # noqa: S101  an offer comes from a table
        return self._plan.table

    @property
    def _costs(self) -> Costs:
        assert self._given_costs is not None  # noqa: S101  and has its costs
        return self._given_costs

    def route(self, offer: Offer) -> Route:
        """Return the route that an offer prices."""
        return self._table.routes[offer.route]

    def head(self, offer: Offer) -> dict[str, Any]:
        """Return the members that an offer has wherever it stands: process to cost."""
        route = self.route(offer)
        where = {"process": route.process, "press": route.press.id}
        return {
            **where,
            "route": [{"part": route.work.part.name, **where}],
            "price": self.price(offer),
            "cost": self.cost(offer),
        }

    def price(self, offer: Offer) -> dict[str, str]:
        """Return the price net of tax, for all and for parts of it."""
        return {
            "net": self._money(offer.price),
            "per_piece": self.per_piece(offer.price, offer.quantity),
            "per_1000": share_text(offer.price * 1000, offer.quantity, self._digits, 0),
            "run_on_per_1000": self._money(offer.run_on_price),
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

    def per_piece(self, minor: int, quantity: int) -> str:
        """Return money for one piece out of money for all, with more decimals."""
        return share_text(minor, quantity, self._digits, PIECE_DIGITS)

    def sheets(self, offer: Offer) -> dict[str, Any]:
        """Return cycles of the press, good and spoiled, and what stock is bought for them."""
        layout = self.route(offer).work.layout
        good = int(self._costs.good[offer.route, offer.column])
        waste = int(self._costs.running_waste[offer.route, offer.column])
        make_ready = int(self.route(offer).run.make_ready_cycles)
        total = good + make_ready + waste
        on_web = isinstance(layout.supply, Reel)
        return {
            "good": good,
            "make_ready": make_ready,
            "running_waste": waste,
            "total": total,
            "parents": int(self._costs.parents[offer.route, offer.column])
            if layout.sheet
            else None,
            "web_m": round(total * layout.length_m * layout.webs, 1) if on_web else None,
        }

    def hours(self, offer: Offer) -> float:
        """Return press hours, make-ready and wash-up included."""
        return round(float(self._costs.press_hours[offer.route, offer.column]), 3)

    def good_per_hour(self, offer: Offer) -> float:
        """Return good press sheets for each press hour, make-ready and wash-up included."""
        at = offer.route, offer.column
        return round(float(self._costs.good[at] / self._costs.press_hours[at]), 1)

    def part(self, offer: Offer) -> dict[str, Any]:
        """Return the part of an offer: stock, layout, sheets, run, and its lines where asked."""
        route = self.route(offer)
        written: dict[str, Any] = {
            "part": route.work.part.name,
            "process": route.process,
            "press": route.press.id,
            "stock": _stock(route),
            "layout": {**_layout(route), "beat": self._beat(offer)},
            "sheets": self.sheets(offer),
            "mass_kg": round(route.work.part.mass_kg * offer.quantity, 3),
            "hours": self.hours(offer),
            "run": self._run(offer, route),
        }
        if self._detail in LINE_DETAILS:
            written["lines"] = [self._line(*named, offer) for named in self._lines(offer.route)]
        return written

    def _beat(self, offer: Offer) -> dict[str, Any] | None:
        """Return the layout that this one beat on its press, None when there was no other."""
        if offer.beaten is None:
            return None
        second, dearer_by = offer.beaten
        layout = self._table.routes[second].work.layout
        return {
            "work_style": layout.style,
            "up": layout.up,
            "because": layout.because,
            "dearer_by": self._money(dearer_by),
        }

    def _run(self, offer: Offer, route: Route) -> dict[str, Any]:
        run, at = route.run, (offer.route, offer.column)
        cycles = float(self._costs.good[at] + self._costs.running_waste[at])
        return {
            "passes": int(run.passes),
            "make_ready_min": round(float(run.make_ready_min), 3),
            "cycles_per_hour": round(cycles * run.passes / float(self._costs.run_hours[at]), 1),
            "wash_up_min": round(float(run.wash_up_min), 3),
            "drying_h": round(float(run.drying_h), 3),
            "carrier_lead_days": self._lead_days(offer),
            "because": dict(run.because),
        }

    def _lead_days(self, offer: Offer) -> float:
        """Return working days until the image carriers are there; none for those that are kept."""
        waits = (
            float(line.lead_days)
            for row, _, line in self._lines(offer.route)
            if line.stage == "carrier" and self._costs.counts[row, offer.column]
        )
        return max(waits, default=0.0)

    def _lines(self, route: int) -> list[NamedLine]:
        if route not in self._named:
            self._named[route] = list(_name_lines(self._table, route))
        return self._named[route]

    def _line(self, row: int, name: str, line: Line, offer: Offer) -> dict[str, Any]:
        written: dict[str, Any] = {
            "id": name,
            "stage": line.stage,
            "label": line.label,
            "cost": self._money(int(self._costs.lines[row, offer.column])),
            "because": line.because,
            "source": line.source,
        }
        if line.lead_days and self._costs.counts[row, offer.column]:
            written["lead_days"] = float(line.lead_days)
        if self._detail == "trace":
            written |= {
                "unit_cost": float(line.unit_cost),
                "amount": float(line.amount),
                "per": line.per,
                "count": float(self._costs.counts[row, offer.column]),
            }
        return written

    def _money(self, minor: int) -> str:
        return decimal_text(minor, self._digits)


def _name_lines(table: CostTable, route: int) -> Iterator[NamedLine]:
    """Yield the lines of a route; the table keeps lines in the order of routes."""
    counted: dict[str, int] = {}
    row = bisect_left(table.lines, route, key=lambda line: line.route)
    while row < len(table.lines) and (line := table.lines[row]).route == route:
        number = counted[line.stage] = counted.get(line.stage, 0) + 1
        yield row, f"{line.stage}-{number:02d}", line
        row += 1


def _stock(route: Route) -> dict[str, Any]:
    stock = route.work.part.stock
    return {
        "id": stock.id,
        "name": stock.name,
        "grammage_gsm": stock.grammage_gsm,
        "caliper_um": round(stock.caliper_um, 1),
    }


def _layout(route: Route) -> dict[str, Any]:
    layout = route.work.layout
    parent = layout.sheet
    return {
        "feed": route.press.feed.kind,
        "supply": layout.supply.name,
        "delivery": layout.delivery,
        "press_sheet_mm": [round(layout.width_mm, 3), round(layout.length_mm, 3)],
        "parent_sheet_mm": [round(parent.width_mm, 3), round(parent.height_mm, 3)]
        if parent
        else None,
        "press_sheets_per_parent": layout.out if parent else None,
        "across": layout.across,
        "around": layout.around,
        "webs": layout.webs,
        "cycles_per_piece": layout.cycles_per_piece,
        "work_style": layout.style,
        "up": layout.up,
        "forms": route.forms,
        "carriers": route.carriers,
        "carriers_id": route.carriers_id,
        "because": layout.because,
    }
