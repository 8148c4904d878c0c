"""What has to be done to make an offer: its operations, what each waits for, how long it takes.

    artwork check -> imposition -> proof -> approval -> carriers -+
    stock -> parents cut -----------------------------------------+-> make-ready -> run -> drying
    (the sheets are backed up once their first side is dry enough)
    drying -> cut, fold, laminate, ... -> of all runs of a part: gathered
    of all parts: inserted, bound, packed -> dispatched -> delivered

Of sections alike all are printed before the first is finished, and on copies work begins once the
last part is there. Presses are washed up after the run; nothing but their next run waits for that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .clocks import DAY_S
from .job_table import JobCosts, JobTable
from .named_lines import COPIES, prefix_of
from .op_list import (
    BACK_PHASE,
    COPY_PHASE,
    CUT_PHASE,
    DESK,
    DESK_PHASE,
    FINISH_PHASE,
    GATHER_PHASE,
    ONTO_SHELLS,
    RUN_PHASE,
    Ids,
    Op,
    OpList,
)
from .plant import Plant
from .route_times import (
    Amounts,
    RouteTimes,
    drying_share,
    fastest,
    seconds,
    step_times,
    times_of,
    typical_hours,
)


@dataclass(frozen=True, slots=True)
class Making:
    """The operations of one part, or those on copies, each after all that it waits for.

    ends: ids of those that must have ended before what comes next
    """

    ops: tuple[Op, ...]
    ends: Ids


NOTHING = Making((), ())


@dataclass(frozen=True, slots=True)
class Habits:
    """How the plant goes about a job.

    proof: kind of proof; proof_centre: where it is made, "" on the press itself
    approval_days: working days that the customer takes for it
    drying_left: what share of each drying time is left with a drying aid, 1 without
    """

    plant: Plant
    proof: str = "none"
    proof_centre: str = ""
    approval_days: float = 0.0
    drying_left: float = 1.0

    @classmethod
    def of(cls, plant: Plant, proof: str, approval_days: float | None, *, aid: bool) -> Habits:
        """Return the habits. approval_days: None as the plant has it; aid: whether it is used.

        At a press proof the customer stands by: nobody waits for the approval.
        """
        share = plant.time.drying_aid.drying_share if aid and plant.time.drying_aid else 1.0
        if proof == "none":
            return cls(plant, drying_left=share)
        centre = plant.proofs[proof].cost_centre  # type: ignore[index]
        days = plant.time.approval_days[proof] if approval_days is None else approval_days
        return cls(plant, proof, centre, days if centre else 0.0, share)


class Production:
    """Tells the operations of offers of one job, costed at some quantities.

    columns: how many quantities
    every_step: whether steps of finishing that take no time are among them, as on a works order;
        nothing waits for these on the clock
    """

    def __init__(
        self, table: JobTable, costs: JobCosts, habits: Habits, *, every_step: bool = False
    ) -> None:
        self._table, self._costs, self._habits = table, costs, habits
        self._every_step = every_step
        self.columns = int(costs.value.shape[1])
        self._times: dict[tuple[int, int, int], RouteTimes] = {}

    def part(self, makeup: int, number: int, routes: Sequence[int]) -> Making:
        """Return the operations of a part that is made by some routes of its table, all of them.

        None of it where there are no routes: then the part is left aside.
        """
        times = [self.times(makeup, number, route) for route in routes]
        if not times:
            return NOTHING
        return _PartOps(times, self._habits, self.columns, every_step=self._every_step).making()

    def part_at_best(self, makeup: int, number: int, way: int) -> Making:
        """Return operations of a part that no layout of a way does in less time, each for itself.

        Made up: it is never ready later than any of them.
        """
        stretches = self._table.makeups[makeup].parts[number].ways[way].stretches
        times = [
            fastest([self.times(makeup, number, route) for route in routes])
            for routes in stretches
        ]
        return _PartOps(times, self._habits, self.columns).making()

    def times(self, makeup: int, number: int, route: int) -> RouteTimes:
        """Return the times of one route of a part."""
        key = makeup, number, route
        if key not in self._times:
            table = self._table.makeups[makeup].parts[number].table
            costs = self._costs.makeups[makeup].parts[number].costs
            self._times[key] = times_of(table, route, costs)
        return self._times[key]

    def copies(self, makeup: int, after: Ids) -> Making:
        """Return the operations on copies, which wait for some others: the ends of all parts.

        What is ordered for them is ordered at the start.
        """
        assembly = self._table.makeups[makeup].assembly
        copies = self._costs.makeups[makeup].assembly.copies
        ops, ends = OpList(COPIES, None, every_step=self._every_step), after
        for place, step in enumerate(assembly.steps):
            into = copies[len(assembly.steps) - place]
            ends = ops.step(step_times(step, into), ends, (), COPY_PHASE)
        return Making(tuple(ops.ops), ends)

    def typical_hours(
        self, makeup: int, number: int, routes: Sequence[int]
    ) -> tuple[float, float]:
        """Hours of a part on the press and after it, for a typical quantity."""
        table = self._table.makeups[makeup].parts[number].table
        made = [typical_hours(table.routes[route]) for route in routes]
        return sum(on_press for on_press, _ in made), sum(after for _, after in made)


class _PartOps:
    """Puts the operations of one part together, in an order in which each can be placed."""

    def __init__(
        self,
        times: Sequence[RouteTimes],
        habits: Habits,
        columns: int,
        *,
        every_step: bool = False,
    ) -> None:
        # Shells first: what is printed on them has to wait for them.
        self._times = sorted(times, key=lambda each: each.route.feeds is None)
        self._habits, self._columns = habits, columns
        name = self._times[-1].route.of.name
        self._list = OpList(prefix_of(name), name, every_step=every_step)
        self._checked: Ids = ()

    def making(self) -> Making:
        """Return all of them."""
        ready, printed = self._desk(), Ids()
        for place, times in enumerate(self._times):
            tail = f"-{place + 1}" if len(self._times) > 1 else ""
            onto = printed if times.route.on_shells else ()
            ends = self._route(times, tail, (*ready, *onto))
            printed = ends if times.route.on_shells else (*printed, *ends)
        for times in self._times:
            self._list.route = times.route
            for step in times.gathering:
                printed = self._list.step(step, printed, self._checked, GATHER_PHASE)
        return Making(tuple(self._list.ops), printed)

    def _desk(self) -> Ids:
        """Everything up to the approval of the proof: what all runs of the part wait for."""
        of, habits = self._list, self._habits
        prepress = habits.plant.prepress
        desk = DESK, prepress.cost_centre if prepress else ""
        told = "what the customer sent is checked, data read"
        checked = _summed([each.checked for each in self._times])
        self._checked = of.work("artwork_check", checked, (), DESK_PHASE, told, desk)
        told = "pages are laid out and sent"
        laid = _summed([each.laid for each in self._times])
        ready = of.work("imposition", laid, self._checked, DESK_PHASE, told, desk)
        if not habits.proof_centre:
            return ready
        where = (DESK if desk[1] == habits.proof_centre else "", habits.proof_centre)
        proof = _summed([each.proof for each in self._times])
        shown = of.work("proof", proof, ready, DESK_PHASE, f"{habits.proof} proof", where)
        days = habits.approval_days
        told = f"the customer takes {days:g} working day(s)"
        return of.lead("approval", seconds(days, self._columns, DAY_S), shown, told)

    def _route(self, times: RouteTimes, tail: str, ready: Ids) -> Ids:
        """All that one route does; returns what to wait for after its last step."""
        of, phase = self._list, FINISH_PHASE + _later(times)
        of.route = times.route
        printed = self._on_press(times, tail, self._before_press(times, tail, ready))
        ends, dried = printed, 0.0
        for each in times.steps:
            dry, dried = self._dry_for(times, each.step.name, tail, printed, dried)
            ends = of.step(each, (*ends, *dry), self._checked, phase, tail)
        dry, _ = self._dry_for(times, "", tail, printed, dried)
        return (*ends, *dry)

    def _before_press(self, times: RouteTimes, tail: str, ready: Ids) -> Ids:
        """Carriers after approval; dies after the artwork check, stock at once; parents cut."""
        of = self._list
        told = "image carriers are made outside once the proof is approved"
        carriers = of.lead("carriers", times.carriers, ready, told, tail=tail)
        told = "dies of the press are ordered once the artwork is checked"
        dies = of.lead("dies", times.dies, self._checked, told, tail=tail)
        told = f"{times.route.of.stock.name} is ordered at once"
        stock = of.lead("stock", times.stock, (), told, tail=tail)
        for each in times.parents:
            stock = of.step(each, stock, self._checked, CUT_PHASE + _later(times), tail)
        return (*carriers, *dies, *stock)

    def _on_press(self, times: RouteTimes, tail: str, ready: Ids) -> Ids:
        """Make-ready, press proof, run and wash-up; the second side once the first is dry enough.

        Returns what the sheets wait for when they are printed.
        """
        of, habits, run = self._list, self._habits, times.route.run
        press = times.route.press.id, times.route.press.cost_centre
        phase, why = RUN_PHASE + _later(times), run.because.get
        told = why("make_ready_min", "")
        ends = of.work("make_ready", times.make_ready, ready, phase, told, press, tail=tail)
        if habits.proof != "none" and not habits.proof_centre:
            told = "press proof: the customer approves it at the press"
            ends = of.work("proof", times.proof, ends, phase, told, press, tail=tail)
        told = why("cycles_per_hour", "")
        ends = of.work("run", times.run, ends, phase, told, press, tail=tail)
        if any(times.backing_up):
            phase = BACK_PHASE + _later(times)
            share = habits.plant.time.drying.backing_up
            dry, because = self._drying(times, share)
            ends = of.drying("drying_between", dry, ends, f"{because}, before they are backed up",
                             tail)
            ends = of.work("backing_up", times.backing_up, ends, phase, told, press, tail=tail)
        told = why("wash_up_min", "")
        of.work("wash_up", times.wash_up, ends, phase, told, press, tail=tail)
        return ends

    def _dry_for(
        self, times: RouteTimes, step: str, tail: str, printed: Ids, dried: float
    ) -> tuple[Ids, float]:
        """What to wait for until sheets are dry enough for a step, and the share they are then.

        dried: the share that they have been waited for
        """
        share = drying_share(self._habits.plant.time.drying, step)
        if share <= dried or not times.drying_h:
            return (), dried
        name = f"drying_{step or 'through'}" if dried else "drying"
        dry, because = self._drying(times, share)
        return self._list.drying(name, dry, printed, because, tail), share

    def _drying(self, times: RouteTimes, share: float) -> tuple[Amounts, str]:
        """A share of the drying of a run, and why."""
        left = self._habits.drying_left
        told = times.route.run.because.get("drying_h", "")
        because = f"{share:g} of {times.drying_h:g} h" + (f", {told}" if told else "")
        if left != 1.0:
            because += f", {left:g} of it with a drying aid"
        return seconds(times.drying_h * share * left, self._columns), because


def _later(times: RouteTimes) -> int:
    return ONTO_SHELLS if times.route.on_shells else 0


def _summed(several: Sequence[Amounts]) -> Amounts:
    return [sum(column) for column in zip(*several, strict=True)]
