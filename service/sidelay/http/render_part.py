"""One part of an offer as plain data: presses, layouts, sheets, sections, steps, lines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..costing import Route, carrier_lead_days, net_per_hour
from ..curve import Array
from ..job import Part
from ..machines import Step
from ..money import decimal_text
from ..named_lines import lines_of_part
from ..spoilage import begun
from ..step_counts import run_min_of, step_counts
from ..stock import Reel
from ..ways import Made, PartCosts, PartTable
from .render_lines import LineWriter


class PartWriter:
    """Writes one part of the offers of a plan.

    delivered: pieces of it in the copies delivered [quantity]
    """

    def __init__(
        self,
        part: Part,
        table: PartTable,
        found: PartCosts,
        delivered: Array,
        digits: int,
        lines: LineWriter | None,
    ) -> None:
        self._part, self._table, self._costs = part, table, found.costs
        self._delivered, self._digits, self._lines = delivered, digits, lines

    def route(self, made: Made) -> Route:
        """Return the leading route of a part as it is made."""
        return self._table.routes[made.routes[0]]

    def routes(self, made: Made) -> list[Route]:
        """Return every route of a part as it is made."""
        return [self._table.routes[number] for number in made.routes]

    def where(self, made: Made) -> list[dict[str, str]]:
        """Return process and press: of the shell first, where there is one."""
        presses = self._table.ways[made.way].presses
        return [{"process": process, "press": press} for process, press in presses]

    def part(self, made: Made, column: int, beaten: tuple[Made, int] | None) -> dict[str, Any]:
        """Return the part of an offer: stock, layout, sheets, run, and its lines where asked."""
        route, part = self.route(made), self._part
        written: dict[str, Any] = {
            "part": part.name,
            "process": route.process,
            "press": route.press.id,
            "per_copy": part.per_copy,
            "stock": _stock(route),
            "split": self._table.ways[made.way].because,
            "layout": {**_layout(route), "beat": self._beat(beaten)},
            "sheets": self.sheets(made, column),
            "mass_kg": round(part.mass_kg * float(self._delivered[column]), 3),
            "hours": self.hours(made, column),
            "run": self._run(made.routes[0], column),
            "sections": [self._section(number, column) for number in made.routes]
            if len(made.routes) > 1 or part.bound_in
            else [],
            "operations": [
                step for number in made.routes for step in self._steps(number, column)
            ],
        }
        if self._lines is not None:
            named = lines_of_part(self._table, made, part.name)
            written["lines"] = self._lines.write(named, self._costs, column)
        return written

    def sheets(self, made: Made, column: int) -> dict[str, Any]:
        """Return cycles of the press of all sections, and what stock is bought for them.

        Of shells that are overprinted, those of the press that prints the shells.
        """
        shells = [n for n in made.routes if self._table.routes[n].feeds is not None]
        return _added([self._sheets(number, column) for number in shells or made.routes])

    def hours(self, made: Made, column: int) -> float:
        """Return press hours, make-ready and wash-up included."""
        return round(sum(self._hours(number, column) for number in made.routes), 3)

    def _hours(self, number: int, column: int) -> float:
        """Hours of so many sections alike; washed up but once, with the leading ones."""
        return float(self._costs.press_hours[number, column]) * self._table.routes[number].times

    def _sheets(self, number: int, column: int) -> dict[str, Any]:
        route, costs = self._table.routes[number], self._costs
        layout, times = route.work.layout, route.times
        good, waste = costs.good[number, column], costs.running_waste[number, column]
        pieces = self._delivered[column]
        if route.feeds is not None:
            pieces = costs.into["piece"][number, column]
        net = float(begun(pieces * layout.cycles_per_piece / layout.up))
        total = float(good + waste + route.run.make_ready_cycles)
        web_m = total * layout.length_m * layout.webs * times
        return {
            "net": int(net) * times,
            "finishing_waste": int(good - net) * times,
            "good": int(good) * times,
            "make_ready": int(route.run.make_ready_cycles) * times,
            "running_waste": int(waste) * times,
            "total": int(total) * times,
            "parents": int(costs.parents[number, column]) * times if layout.sheet else None,
            "web_m": round(web_m, 1) if isinstance(layout.supply, Reel) else None,
        }

    def _section(self, number: int, column: int) -> dict[str, Any]:
        """Sections of one size, or one of the presses that a piece goes through."""
        route = self._table.routes[number]
        return {
            "process": route.process,
            "press": route.press.id,
            "pages": route.work.part.pages,
            "times": route.times,
            "layout": {**_layout(route), "beat": None},
            "sheets": self._sheets(number, column),
            "hours": round(self._hours(number, column), 3),
            "run": self._run(number, column),
        }

    def _beat(self, beaten: tuple[Made, int] | None) -> dict[str, Any] | None:
        """Return the layout that this one beat on its press, None when there was no other."""
        if beaten is None:
            return None
        made, dearer_by = beaten
        layout = self.route(made).work.layout
        split = self._table.ways[made.way].because
        return {
            "work_style": layout.style,
            "up": layout.up,
            "because": f"{split}: {layout.because}" if split else layout.because,
            "dearer_by": decimal_text(dearer_by, self._digits),
        }

    def _run(self, number: int, column: int) -> dict[str, Any]:
        table, costs = self._table.table, self._costs
        run = self._table.routes[number].run
        return {
            "passes": int(run.passes),
            "make_ready_min": round(float(run.make_ready_min), 3),
            "once_min": round(float(run.once_min), 3),
            "cycles_per_hour": round(net_per_hour(table, costs, number, column), 1),
            "wash_up_min": round(float(run.wash_up_min), 3),
            "drying_h": round(float(run.drying_h), 3),
            "carrier_lead_days": carrier_lead_days(table, costs, number, column),
            "because": dict(run.because),
        }

    def _steps(self, number: int, column: int) -> list[dict[str, Any]]:
        route = self._table.routes[number]
        copies = int(self._costs.into["piece"][number, column])
        return [
            write_step(each.step, each.into, each.out, route.times)
            for each in step_counts(route, number, self._costs, column)
        ] + [write_step(step, copies, copies) for step in route.gathering]


def write_step(step: Step, into: int, out: int, times: int = 1) -> dict[str, Any]:
    """Return a step with what goes into it and what comes out.

    times: how often so many go in: sections alike, which share no lift
    """
    lots = int(begun(into / step.per)) * times
    return {
        "operation": step.name,
        "machine": step.machine,
        "bought_out": step.kind == "outwork",
        "unit": step.unit,
        "into": into * times,
        "out": out * times,
        "per": step.per,
        "lots": lots,
        "set_up_min": round(step.set_up_min, 3),
        "run_min": round(run_min_of(step, lots), 3),
        "crew": step.crew,
        "lead_days": step.lead_days,
        "because": step.because,
    }


def _added(sheets: Sequence[dict[str, Any]]) -> dict[str, Any]:
    """Sum the sheets of several sections, member by member."""
    return {
        name: None
        if all(each[name] is None for each in sheets)
        else round(sum(each[name] or 0 for each in sheets), 1)
        for name in sheets[0]
    }


def _stock(route: Route) -> dict[str, Any]:
    stock = route.of.stock
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
