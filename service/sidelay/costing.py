"""The arithmetic: routes compiled to one table of lines, evaluated over all quantities at once.

Every line of every route is a coefficient times a meter (sheets, hours, lifts, ...), so one array
expression prices all routes at all quantities. A table is [line x quantity]; each line is rounded
once, half up, to minor units, and totals are sums of rounded lines.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from .curve import Array, Curve
from .job import Part
from .line_table import Line, LineTable, column
from .machines import Step, Unit
from .money import Cents
from .spoilage import begun, units_in
from .what_if import AS_IT_IS, WhatIf
from .work import Charge, Press, Run, Work

# What lines count, beside the units that go into each finishing step (`step_meter`).
METERS = ("job", "piece", "cycle", "parent", "run_hour", "press_hour")
AFTER_PRESS: tuple[Unit, ...] = ("piece", "sheet")  # last first: waste chains backwards


@dataclass(frozen=True)
class Route:
    """One work on a press, and the steps to the finished piece.

    of: the part it makes, whole or so many sections of it
    times: how often it is made, each time from carriers of its own: sections alike
    leading: whether it bears what a part pays for once: proofs, charges a job, the wash-up
    gathering: steps on the copies that its sections are gathered into, their times counted in
    feeds: number of the route whose stock this one prints, None where it makes the part itself
    on_shells: whether it prints what another press has printed before
    """

    process: str
    press: Press
    work: Work
    run: Run
    charges: tuple[Charge, ...]
    steps: tuple[Step, ...]
    of: Part
    times: int = 1
    leading: bool = True
    gathering: tuple[Step, ...] = ()
    feeds: int | None = None
    on_shells: bool = False

    @property
    def carriers(self) -> int:
        """Image carriers in the first set: plates, blocks, screens; none on a plateless press."""
        making = (c for c in self.charges if c.per == "carrier" and c.stage == "carrier")
        return int(sum(charge.amount for charge in making)) * self.times

    @property
    def make_ready_min(self) -> float:
        """Minutes of make-ready that fall to each of its sections."""
        return self.run.make_ready_of(self.times) / self.times

    @property
    def wash_up_min(self) -> float:
        """Minutes of the one wash-up that fall to each of its sections."""
        return self.run.wash_up_min / self.times if self.leading else 0.0

    @property
    def carriers_id(self) -> str:
        """What a later job names to say that these image carriers and dies are kept."""
        pages = f":{self.work.part.pages}pp" if self.of.bound_in else ""
        return f"{self.press.id}:{self.work.layout.image}{pages}"

    @property
    def keeps_carriers(self) -> bool:
        """Whether the job says that they are."""
        return bool(self.of.kept_carriers) and self.carriers_id in self.of.kept_carriers

    @property
    def forms(self) -> int:
        """Forms that carriers are made for; none on a plateless press."""
        return len(self.work.forms) * self.times if self.carriers else 0


@dataclass(frozen=True)
class Costs:
    """Costs of all routes at all quantities; money in minor units.

    lines [line, quantity]; by_kind [route, kind, quantity]; total [route, quantity]
    counts [line, quantity]: what each line counts
    paid: by line, what a unit of it costs at each quantity, where that is not always the same
    good, running_waste: cycles of the press (sheets, cut-offs, repeats, pieces); parents: parent
        sheets, where the stock comes in sheets; run_hours, press_hours: without and with make-ready
        and wash-up [route, quantity]; all of one section, of those that are made alike
    into: by meter, what is counted [route, quantity]: what goes into each step
    """

    lines: Cents
    counts: Array
    paid: Mapping[int, Array]
    by_kind: Cents
    total: Cents
    good: Array
    running_waste: Array
    run_hours: Array
    press_hours: Array
    parents: Array
    into: Mapping[str, Array]


class CostTable:
    """Routes compiled for evaluation. Immutable once built."""

    def __init__(self, routes: Sequence[Route], lines: Sequence[Line], digits: int) -> None:
        self.routes, self.digits = tuple(routes), digits
        self.lines = tuple(lines)
        self._compile_runs()
        self._compile_steps()
        starts = np.searchsorted([line.route for line in self.lines], range(len(routes) + 1))
        self._first_line: list[int] = starts.tolist()
        self._lines = LineTable(self.lines, self._meter, len(self.routes), digits)

    def _compile_runs(self) -> None:
        runs = [route.run for route in self.routes]
        self._make_ready = column([run.make_ready_cycles for run in runs])
        self._make_ready_hours = column([route.make_ready_min / 60 for route in self.routes])
        self._wash_up_hours = column([route.wash_up_min / 60 for route in self.routes])
        self._passes = column([run.passes for run in runs])
        self._up = column([route.work.layout.up for route in self.routes])
        self._gathered = column([route.work.layout.cycles_per_piece for route in self.routes])
        self._out = column([route.work.layout.out for route in self.routes])
        feeding = [n for n, route in enumerate(self.routes) if route.feeds is not None]
        self._feeding = np.array(feeding, dtype=np.intp)
        self._fed = np.array([self.routes[n].feeds for n in feeding], dtype=np.intp)
        self._waste = _Figures([run.running_waste for run in runs])
        self._speed = _Figures([run.cycles_per_hour for run in runs])

    def _compile_steps(self) -> None:
        """Give each step after the press a meter, and its waste for each route (0 for none)."""
        self._meter = {name: row for row, name in enumerate(METERS)}
        self._chain: dict[Unit, list[tuple[int, Array, Array]]] = {}
        for unit in AFTER_PRESS:
            steps = [steps_on(route, unit) for route in self.routes]
            most = max(map(len, steps), default=0)
            self._chain[unit] = [self._slot(unit, place, steps) for place in reversed(range(most))]

    def _slot(self, unit: Unit, place: int, steps: list[list[Step]]) -> tuple[int, Array, Array]:
        row = self._meter.setdefault(step_meter(unit, place), len(self._meter))
        here = [of_route[place] if place < len(of_route) else None for of_route in steps]
        set_up = column([step.set_up_waste if step else 0 for step in here])
        return row, set_up, column([step.running_waste if step else 0.0 for step in here])

    def subset(self, keep: Sequence[int]) -> CostTable:
        """Return the table of some routes alone, renumbered in the order given.

        What a route feeds must be kept with it.
        """
        number = {route: i for i, route in enumerate(keep)}
        lines = [
            Line(i, *line[1:]) for i, route in enumerate(keep) for line in self.lines_of(route)
        ]
        routes = [self.routes[route] for route in keep]
        renumbered = [
            route if route.feeds is None else replace(route, feeds=number[route.feeds])
            for route in routes
        ]
        return CostTable(renumbered, lines, self.digits)

    def lines_of(self, route: int) -> tuple[Line, ...]:
        """Return the lines of one route; the table keeps them in the order of routes."""
        return self.lines[self._first_line[route] : self._first_line[route + 1]]

    def first_line(self, route: int) -> int:
        """Return the row of the first line of a route."""
        return self._first_line[route]

    def arithmetic(self, route: int) -> tuple[object, ...]:
        """Return all that decides what a route costs: equal where they always cost the same."""
        own = self.routes[route]
        run, layout = own.run, own.work.layout
        return (
            (run.passes, run.make_ready_cycles, run.make_ready_min, run.wash_up_min, run.once_min),
            (run.running_waste, run.cycles_per_hour, layout.up, layout.out),
            (layout.cycles_per_piece, own.times, own.leading, own.feeds),
            tuple((step.unit, step.set_up_waste, step.running_waste) for step in own.steps),
            tuple(_counting(line) for line in self.lines_of(route)),
        )

    def at(self, quantities: NDArray[np.int64], given: WhatIf = AS_IT_IS) -> Costs:
        """Cost every route at every quantity, a vector of whole numbers; 0 gives the fixed cost."""
        meters, good, waste = self._meters(quantities.astype(np.float64), given)
        bill = self._lines.at(meters, given)
        return Costs(
            lines=bill.lines,
            counts=bill.counts,
            paid=bill.paid,
            by_kind=bill.by_kind,
            total=bill.by_kind.sum(axis=1),
            good=good,
            running_waste=waste,
            parents=meters[self._meter["parent"]],
            run_hours=meters[self._meter["run_hour"]],
            press_hours=meters[self._meter["press_hour"]],
            into={name: meters[row] for name, row in self._meter.items()},
        )

    def _meters(self, pieces: Array, given: WhatIf) -> tuple[Array, Array, Array]:
        """Every meter of every route [meter, route, quantity]; good cycles and running waste too.

        A route that feeds another prints what that one buys, so it is counted after it.
        """
        counted = self._counted(np.broadcast_to(pieces, (len(self.routes), len(pieces))), given)
        if not self._feeding.size:
            return counted
        wanted = np.tile(pieces, (len(self.routes), 1))
        wanted[self._feeding] = counted[0][self._meter["parent"], self._fed]
        return self._counted(wanted, given)

    def _counted(self, pieces: Array, given: WhatIf) -> tuple[Array, Array, Array]:
        """Every meter for the pieces that each route has to deliver [route, quantity].

        Waste chains backwards: pieces delivered, pieces into the last step, ..., press sheets that
        must come off the press sound, press sheets run, parents bought.
        """
        row = self._meter
        meters = np.empty((len(row), *pieces.shape))
        meters[row["job"]] = 1.0
        meters[row["piece"]] = pieces
        pieces_needed = self._chained(meters, meters[row["piece"]], "piece", given)
        cycles_needed = begun(pieces_needed * self._gathered / self._up)
        good = self._chained(meters, cycles_needed, "sheet", given)
        waste = begun(good * (self._waste.at(good) * given.waste))
        cycles = good + waste + begun(self._make_ready * given.waste)
        meters[row["cycle"]] = cycles
        meters[row["parent"]] = begun(cycles / self._out)
        speed = self._speed.at(good + waste) * given.running_speed
        run_hours = (good + waste) * self._passes / speed
        meters[row["run_hour"]] = run_hours
        ready_hours = self._make_ready_hours * given.make_ready_time
        meters[row["press_hour"]] = run_hours + (ready_hours + self._wash_up_hours)
        return meters, good, waste

    def _chained(self, meters: Array, out: Array, unit: Unit, given: WhatIf) -> Array:
        """Walk a unit's steps backwards, noting what goes into each; return the first's need."""
        for row, set_up, share in self._chain[unit]:
            out = units_in(out, share * given.waste, begun(set_up * given.waste))
            meters[row] = out
        return out


def tails_of(routes: Sequence[Route]) -> list[str]:
    """Return what is put behind the names of all that is done for each route of a part.

    "" where there is but one; else "-1", "-2", ... in the order in which they are printed, shells
    first: what is printed on them has to wait for them.
    """
    if len(routes) == 1:
        return [""]
    order = sorted(range(len(routes)), key=lambda number: routes[number].feeds is None)
    return [f"-{order.index(number) + 1}" for number in range(len(routes))]


def net_per_hour(table: CostTable, costs: Costs, route: int, column: int) -> float:
    """Net speed of one pass of a route at the length of its run [cycles/h]; 0 where none run."""
    hours = float(costs.run_hours[route, column])
    cycles = float(costs.good[route, column] + costs.running_waste[route, column])
    return cycles * table.routes[route].run.passes / hours if hours else 0.0


def carrier_lead_days(table: CostTable, costs: Costs, route: int, column: int) -> float:
    """Working days until the image carriers of a route are there; none for those that are kept."""
    first = table.first_line(route)
    waits = (
        float(line.lead_days)
        for row, line in enumerate(table.lines_of(route), first)
        if line.stage == "carrier" and costs.counts[row, column]
    )
    return max(waits, default=0.0)


def _counting(line: Line) -> tuple[object, ...]:
    """What decides the figures of a line, its words left out."""
    money = line.unit_cost * line.amount
    return line.kind, line.meter, money, line.scale, line.divisor, line.least, line.held, line.terms


def steps_on(route: Route, unit: Unit) -> list[Step]:
    """Return the steps of a route that work on one unit, in the order of production."""
    return [step for step in route.steps if step.unit == unit]


def step_meter(unit: Unit, place: int) -> str:
    """Name the meter that counts what goes into the place-th step on a unit."""
    return f"{unit} into step {place}"


class _Figures:
    """One figure a route, a number or a Curve, evaluated over [route, quantity]."""

    def __init__(self, figures: Sequence[float | Curve]) -> None:
        self._constant = column([0.0 if isinstance(f, Curve) else f for f in figures])
        rows: dict[Curve, list[int]] = {}
        for i, f in enumerate(figures):
            if isinstance(f, Curve):
                rows.setdefault(f, []).append(i)
        self._curves = [(curve, np.array(where, dtype=np.intp)) for curve, where in rows.items()]

    def at(self, cycles: Array) -> Array:
        """Value for each route and run length [route, quantity]."""
        if not self._curves:
            return self._constant
        values = np.broadcast_to(self._constant, cycles.shape).copy()
        for curve, rows in self._curves:
            values[rows] = curve(cycles[rows])
        return values


