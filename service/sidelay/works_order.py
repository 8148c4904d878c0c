"""The works order of an offer: every operation that someone does, with its hours and its amounts.

    operations of the offer (production.py), in the order of its schedule
        -> hours and amounts, machine, cost centre, crew -> the cost lines that pay for each

Waiting is none of them: queues, drying, approval and deliveries stand in the schedule alone. Work
that is bought out stands here without hours; what is paid for it is a purchase (purchases.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from .costing import Route
from .job import Job
from .job_table import JobCosts, JobTable
from .line_table import Line, doing_step
from .named_lines import NamedLine, lines_of_copies, lines_of_part
from .offers import Offer
from .op_list import Op
from .plant import Plant
from .production import Habits, Making, Production
from .route_times import HOUR_S, first_side, is_backed_up
from .schedule import Schedule
from .step_counts import run_min_of
from .works_amounts import Amounts, copies_amounts, route_amounts

HOUR_DIGITS = 4
# What is told as setting up; other work at a desk or a press runs.
SETS_UP = ("make_ready", "wash_up")


@dataclass(frozen=True, slots=True)
class Section:
    """The sections that are made: pages of one, and how many are alike."""

    pages: int
    times: int


@dataclass(frozen=True, slots=True)
class Carriers:
    """Image carriers that go on a press. kept: whether they are those of the last run."""

    count: int
    carriers_id: str
    kept: bool


@dataclass(frozen=True, slots=True)
class WorksOperation:
    """One operation of a works order.

    id: that of the schedule; what takes no time is not on the clock, and stands here alone
    part: name of the part, None for what is done to copies
    section: the pages printed, folded, ...; None where there are none, or all go together
    machine: its id, "" for none and for work that is bought out; name: of who does it
    cost_centre: "" where the work is bought out
    crew: people at it; None where the plant file does not say
    set_up_h, run_h: hours at it; of a make-ready or a wash-up all are set-up
    amounts: what goes in and comes out; None at a desk
    passes: how often each sheet goes through the press, None elsewhere
    carriers: on the first operation at a press that has them
    lead_days: working days until bought-out work is back
    after: ids of operations of the works order that must have ended before
    lines: ids of the cost lines of its hours; each line stands in a works order once
    """

    id: str
    operation: str
    part: str | None
    section: Section | None
    machine: str
    name: str
    cost_centre: str
    bought_out: bool
    crew: float | None
    set_up_h: float
    run_h: float
    amounts: Amounts | None
    passes: int | None
    carriers: Carriers | None
    lead_days: float
    after: tuple[str, ...]
    lines: tuple[str, ...]
    because: str


@dataclass(frozen=True)
class WorksOrder:
    """The operations of an offer in the order of production.

    operation_of: what each cost line of the offer is for, by its id; None where for none of them
    """

    operations: tuple[WorksOperation, ...]
    operation_of: Mapping[str, str | None]


@dataclass(frozen=True, slots=True)
class _Done:
    """An operation and what it is done for: the number of its route, and what of the route."""

    op: Op
    route: int | None
    doing: str
    amounts: Amounts | None


class WorksOrders:
    """Writes up works orders of one job on one plant, costed at some quantities."""

    def __init__(self, table: JobTable, costs: JobCosts, job: Job, plant: Plant) -> None:
        # How long an approval takes is no matter here: nobody works at it.
        habits = Habits.of(plant, job.proof, None, aid=job.drying_aid)
        self._production = Production(table, costs, habits, every_step=True)
        self._table, self._costs, self._job, self._plant = table, costs, job, plant

    def of(self, offer: Offer, schedule: Schedule) -> WorksOrder:
        """Return the works order of an offer. schedule: its own, whose order is kept"""
        done: list[_Done] = []
        lines: list[NamedLine] = []
        operation_of: dict[str, str | None] = {}
        waits: dict[str, tuple[str, ...]] = {}
        ends: tuple[str, ...] = ()
        for number in range(len(offer.parts)):
            making = self._making(offer, number)
            ends += making.ends
            waits |= {op.id: op.after for op in making.ops}
            of_part, named = self._of_part(offer, number, making.ops)
            operation_of |= {each.id: _operation_of(each.line, of_part) for each in named}
            done, lines = done + of_part, lines + named
        making = self._production.copies(offer.makeup, ends)
        waits |= {op.id: op.after for op in making.ops}
        assembly = self._table.makeups[offer.makeup].assembly
        of_copies, named = self._of_copies(offer, making.ops), lines_of_copies(assembly)
        operation_of |= {
            each.id: of_copies[assembly.step_of_line[each.row]].op.id for each in named
        }
        time = [each.id for each in (*lines, *named) if each.line.kind == "time"]
        operations = [self._written(each, offer.column) for each in (*done, *of_copies)]
        chained = _chained(_paid(operations, time, operation_of), waits)
        return WorksOrder(tuple(_in_order(chained, schedule)), operation_of)

    def _making(self, offer: Offer, number: int) -> Making:
        return self._production.part(offer.makeup, number, offer.parts[number].routes)

    def _of_part(
        self, offer: Offer, number: int, ops: Sequence[Op]
    ) -> tuple[list[_Done], list[NamedLine]]:
        """What is done for a part, and the lines that it is paid for by."""
        table = self._table.makeups[offer.makeup].parts[number]
        costs = self._costs.makeups[offer.makeup].parts[number].costs
        made = offer.parts[number]
        amounts = {
            route: route_amounts(table.routes[route], route, costs, offer.column)
            for route in made.routes
        }
        done = []
        for op in _worked_at(ops, offer.column):
            route = next((n for n in made.routes if table.routes[n] is op.route), None)
            doing = op.operation if op.step is None else _doing_of(op)
            of_route = {} if route is None else amounts[route]
            done.append(_Done(op, route, doing, of_route.get(doing)))
        return done, lines_of_part(table, made, self._job.parts[number].name)

    def _of_copies(self, offer: Offer, ops: Sequence[Op]) -> list[_Done]:
        """What is done to copies, step by step."""
        steps = self._table.makeups[offer.makeup].assembly.steps
        copies = self._costs.makeups[offer.makeup].assembly.copies[:, offer.column]
        amounts = copies_amounts(steps, copies)
        worked = _worked_at(ops, offer.column)
        return [_Done(op, None, "", each) for op, each in zip(worked, amounts, strict=True)]

    def _written(self, done: _Done, column: int) -> WorksOperation:
        """Return an operation as it stands on a works order, but for what is around it."""
        op, step = done.op, done.op.step
        out = step is not None and step.kind == "outwork"
        set_up_h, run_h = _hours(done, column)
        route = op.route
        bound_of = None if route is None or _is_gathering(op) else _section(route)
        return WorksOperation(
            id=op.id,
            operation=op.operation,
            part=op.part,
            section=bound_of,
            machine=op.machine,
            name=self._name(op),
            cost_centre=op.centre,
            bought_out=out,
            crew=self._crew(op),
            set_up_h=round(set_up_h, HOUR_DIGITS),
            run_h=round(run_h, HOUR_DIGITS),
            amounts=done.amounts,
            passes=_passes(op),
            carriers=_carriers(route) if route and op.operation == _first(route) else None,
            lead_days=float(step.lead_days) if step is not None and out else 0.0,
            after=(),
            lines=(),
            because=_because(op),
        )

    def _name(self, op: Op) -> str:
        """Who does it: a machine by its name, one that has none by that of its cost centre."""
        plant, step = self._plant, op.step
        ids = (op.machine, step.machine if step else "")
        named = {each.press.id: each.press.name for each in plant.presses}
        named |= {each.id: each.name for each in plant.operations}
        named |= {each.id: each.name for each in plant.binders}
        for machine in ids:
            if machine in named:
                return named[machine]
        if op.centre in plant.cost_centres:
            return plant.cost_centres[op.centre].name
        return op.operation.replace("_", " ")

    def _crew(self, op: Op) -> float | None:
        """People at it: as the machine says, else as its cost centre does."""
        if op.step is not None and op.step.machine:
            return None if op.step.kind == "outwork" else float(op.step.crew)
        centre = self._plant.cost_centres.get(op.centre)
        return None if centre is None else centre.crew


def _worked_at(ops: Sequence[Op], column: int) -> list[Op]:
    """Return what someone does: work that takes time, and every step of finishing."""
    return [
        op for op in ops if op.step is not None or (op.clock == "shift" and op.amounts[column])
    ]


def _is_gathering(op: Op) -> bool:
    assert op.route is not None  # noqa: S101  asked of what is done for a route
    return any(step is op.step for step in op.route.gathering)


def _doing_of(op: Op) -> str:
    """Return what its lines call a step. The same step is never done twice for a route."""
    assert op.route is not None  # noqa: S101  steps of a part are done for a route
    kind = "gathering" if _is_gathering(op) else "steps"
    steps = op.route.gathering if kind == "gathering" else op.route.steps
    return doing_step(kind, next(n for n, step in enumerate(steps) if step is op.step))


def _hours(done: _Done, column: int) -> tuple[float, float]:
    """Hours of setting up and of running. Of a press and a desk as the schedule has them."""
    step, worked_h = done.op.step, done.op.amounts[column] / HOUR_S
    if step is None:
        return (worked_h, 0.0) if done.doing in SETS_UP else (0.0, worked_h)
    if step.kind == "outwork" or done.amounts is None:
        return 0.0, 0.0
    run_min = run_min_of(step, done.amounts.lots) if step.minutes else 0.0
    return step.set_up_min / 60, run_min / 60


def _section(route: Route) -> Section | None:
    """The pages that a route makes, None for what has none: leaves, labels, covers."""
    if route.of.kind != "section":
        return None
    return Section(route.work.part.pages, route.times)


def _first(route: Route) -> str:
    """What is done first at the press of a route."""
    return "make_ready" if route.run.make_ready_min else "run"


def _carriers(route: Route) -> Carriers | None:
    if not route.carriers:
        return None
    return Carriers(route.carriers, route.carriers_id, route.keeps_carriers)


def _passes(op: Op) -> int | None:
    """Passes of a run; where sheets are backed up later, those of the side it prints."""
    if op.route is None or op.operation not in ("run", "backing_up"):
        return None
    passes = int(op.route.run.passes)
    first = round(passes * first_side(op.route)) if is_backed_up(op.route) else passes
    return first if op.operation == "run" else passes - first


def _because(op: Op) -> str:
    if op.step is not None:
        return op.step.because
    if op.operation == "backing_up":
        told = "the second side; hours paid for with the run, whose waste is that of both sides"
        return f"{told}; {op.because}"
    return op.because


def _operation_of(line: Line, done: Sequence[_Done]) -> str | None:
    """Return what a line of a part is for: an operation of its route, or one for all routes."""
    of_route = [each for each in done if each.route == line.route]
    if line.doing == "stock":
        return of_route[0].op.id
    named = {each.doing: each.op.id for each in done if each.route is None}
    named |= {each.doing: each.op.id for each in of_route}
    if line.doing in ("make_ready", "wash_up"):  # without hours there is none of them
        return named.get(line.doing, named["run"])
    return named.get(line.doing)


def _paid(
    operations: Sequence[WorksOperation],
    time: Sequence[str],
    operation_of: Mapping[str, str | None],
) -> list[WorksOperation]:
    """Give each operation the lines of its hours. time: ids of all that are hours"""
    lines: dict[str | None, list[str]] = {}
    for line in time:
        lines.setdefault(operation_of[line], []).append(line)
    return [replace(each, lines=tuple(lines.get(each.id, ()))) for each in operations]


def _chained(
    operations: Sequence[WorksOperation], waits: Mapping[str, tuple[str, ...]]
) -> list[WorksOperation]:
    """Have each wait for operations alone: through what is no work, for what that waits for."""
    ids = {each.id for each in operations}

    def before(op: str) -> Iterator[str]:
        for each in waits[op]:
            if each in ids:
                yield each
            else:
                yield from before(each)

    return [replace(each, after=tuple(dict.fromkeys(before(each.id)))) for each in operations]


def _in_order(
    operations: Sequence[WorksOperation], schedule: Schedule
) -> list[WorksOperation]:
    """Put operations in the order of the schedule; one that is not on it comes after what it waits
    for. Beyond the horizon there is none: parts come one after the other.
    """
    on_clock = {op.id: place for place, op in enumerate(schedule.operations)}
    places: dict[str, int] = {}
    for each in operations:
        last = max((places[before] for before in each.after), default=-1)
        places[each.id] = on_clock.get(each.id, last)
    return sorted(operations, key=lambda each: places[each.id])
