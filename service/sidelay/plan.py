"""From a job and a plant to the ways that can make it, and the reasons why others cannot.

Quantities play no part here, so that one plan serves every quantity of a job.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from weakref import WeakKeyDictionary

import numpy as np

from .asked_once import AskedOnce, Models
from .asking import Draft
from .assembly import BINDING, Assembly
from .bands import first_quantities
from .binders import Bound
from .copy_steps import StagedStep, bound_of, copy_steps
from .costing import CostTable, Route
from .imposition.refusals import sections_folded
from .job import Job, Part
from .job_table import JobTable, Makeup
from .lines import route_lines
from .plant import InstalledPress, Plant
from .press_ways import ways_on
from .processes import PressUnavailable, Processes, watching
from .shells import in_one_go, shell_ways
from .ways import PartTable, Way
from .work import Abilities, Finding, Process

# A plan of one part on the demo plant has some 900 lines and takes about 0.4 MB; one of a bound
# book ten times as much. So many lines are kept in all, in so many plans at most.
PLANS_KEPT = 128
LINES_KEPT = 120_000
# Bands are found up to here at most.
MOST_COMPARED = 1_000_000_000
Chosen = tuple[InstalledPress, ...]
Ways = Sequence[tuple[InstalledPress, Draft]]


@dataclass(frozen=True)
class Excluded:
    """A press that cannot make a part, and the findings that say why."""

    process: str
    press: str
    part: str
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class Unavailable:
    """A press whose plug-in failed; the reference finds the fault in the log."""

    process: str
    press: str
    reference: str


@dataclass(frozen=True)
class Caution:
    """Something to know about making a part on a press that can make it."""

    process: str
    press: str
    part: str
    finding: Finding


@dataclass(frozen=True)
class Plan:
    """Every way worth costing, compiled; who was left out and why.

    job_table: the parts of the job, each with its ways in the fixed order of process and press;
        None where a part has none, or where the copies cannot be finished as asked
    lean: the same without what is never the cheapest, of a job that was asked before
    bound: how copies can be bound, a binder each; none where nothing is bound
    findings: on binding and finishing copies, whatever the press
    processes: those that can make a part, in the order of ids
    """

    job_table: JobTable | None
    bound: tuple[Bound, ...]
    findings: tuple[Finding, ...]
    excluded: tuple[Excluded, ...]
    unavailable: tuple[Unavailable, ...]
    cautions: tuple[Caution, ...]
    processes: tuple[Process, ...]
    lean: JobTable | None = None

    @property
    def table(self) -> CostTable | None:
        """The routes of the first part."""
        return self.job_table.first.table if self.job_table else None

    @property
    def lines(self) -> int:
        """Lines of all its tables: what it takes to keep."""
        makeups = self.job_table.makeups if self.job_table else ()
        return sum(len(part.table.lines) for makeup in makeups for part in makeup.parts)


def chosen_of(
    plant: Plant, only_processes: Collection[str] = (), only_presses: Collection[str] = ()
) -> Chosen:
    """Return the presses that compete; empty filters let every press of the plant."""
    return tuple(
        installed
        for installed in plant.presses
        if (not only_processes or installed.process in only_processes)
        and (not only_presses or installed.press.id in only_presses)
    )


class Planner:
    """Plans jobs on the plug-ins at hand, and keeps the plans asked for last."""

    def __init__(
        self, processes: Processes, looked: Callable[[bool], None] = lambda _: None
    ) -> None:
        """looked: is called after each look for a plan with whether it was kept."""
        self.processes, self._looked = processes, looked
        self._kept: OrderedDict[tuple[object, ...], Plan] = OrderedDict()
        self._lines = 0
        self._abilities: WeakKeyDictionary[Plant, Mapping[str, Abilities | None]] = (
            WeakKeyDictionary()
        )

    def plan(
        self,
        job: Job,
        plant: Plant,
        *,
        only_processes: Collection[str] = (),
        only_presses: Collection[str] = (),
    ) -> Plan:
        """Return the plan of a job; empty filters let every press of the plant compete."""
        chosen = chosen_of(plant, only_processes, only_presses)
        names = tuple(installed.press.id for installed in chosen)
        key = (plant, names, replace(job, quantities=(), title=""))
        plan = self._kept.get(key)
        self._looked(plan is not None)
        if plan is None:
            with watching():
                plan = _plan(job, plant, self.processes, chosen)
            self._keep(key, plan)
            return plan
        self._kept.move_to_end(key)
        if plan.job_table and plan.lean is None:
            # Asked again, it will be asked again: what it takes to narrow it pays from now on.
            plan = self._kept[key] = replace(plan, lean=lean_table(plan.job_table))
        return plan

    def plan_aside(
        self,
        job: Job,
        plant: Plant,
        *,
        only_processes: Collection[str] = (),
        only_presses: Collection[str] = (),
    ) -> Plan:
        """Return the plan of a job that nobody asked for itself; it is not kept."""
        with watching():
            chosen = chosen_of(plant, only_processes, only_presses)
            return _plan(job, plant, self.processes, chosen)

    def abilities(self, plant: Plant) -> Mapping[str, Abilities | None]:
        """What each press of a plant can do, by its id; None where its model fails or is silent.

        A failure is logged, and costs the press nothing but these figures.
        """
        if plant in self._abilities:
            return self._abilities[plant]
        told: dict[str, Abilities | None] = {}
        failed = False
        with watching():
            for each in plant.presses:
                try:
                    told[each.press.id] = self.processes.abilities(each.process, each.press)
                except PressUnavailable:
                    told[each.press.id], failed = None, True
        if not failed:
            self._abilities[plant] = told  # a plug-in that failed once may answer next time
        return told

    def _keep(self, key: tuple[object, ...], plan: Plan) -> None:
        if plan.unavailable:
            return  # a plug-in that failed once may answer next time
        self._kept[key] = plan
        self._lines += plan.lines
        while len(self._kept) > PLANS_KEPT or (self._lines > LINES_KEPT and len(self._kept) > 1):
            _, oldest = self._kept.popitem(last=False)
            self._lines -= oldest.lines


@dataclass(frozen=True)
class PartPlan:
    """One part on every press: its ways by press, and who was left out."""

    part: Part
    ways: tuple[tuple[InstalledPress, Draft], ...]
    excluded: tuple[Excluded, ...]
    unavailable: tuple[Unavailable, ...]
    cautions: tuple[Caution, ...]


def _plan(job: Job, plant: Plant, processes: Processes, chosen: Chosen) -> Plan:
    # Where nothing is bound no work comes up twice, and to remember would only cost time.
    models = AskedOnce(processes) if job.binding else processes

    def of_part(number: int, bound: Bound | None) -> PartPlan:
        return plan_part(job.parts[number], job, plant, models, chosen, bound)

    return plan_by(job, plant, models, of_part, compile_ways)


def plan_by(
    job: Job,
    plant: Plant,
    processes: Models,
    of_part: Callable[[int, Bound | None], PartPlan],
    compiled: Callable[[Ways, Job, Plant], PartTable],
) -> Plan:
    """Return a plan of parts that are planned by their number and a binder, and then compiled."""
    bound = bound_of(job, plant)
    steps, found = on_copies(job, plant, bound)
    planned = [
        [of_part(number, one) for number in range(len(job.parts))] for one in bound or (None,)
    ]
    # Who can make a part is the same whoever binds it, unless a plug-in failed in between: then
    # only binders with the ways of the first compete.
    alike = [n for n, parts in enumerate(planned) if _names(parts) == _names(planned[0])]
    binders = [bound[n] for n in alike] if bound else [None]
    by_binder = _without_barred([planned[n] for n in alike], binders)
    parts = by_binder[0]
    able = sorted({installed.process for each in parts for installed, _ in each.ways})
    table = None
    if not any(finding.severity == "limit" for finding in found) and all(e.ways for e in parts):
        makeups = [
            _makeup(parts_of_binder, one, steps, job, plant, compiled)
            for parts_of_binder, one in zip(by_binder, binders, strict=True)
        ]
        per_copy = tuple(part.per_copy for part in job.parts)
        table = JobTable(tuple(makeups), per_copy, plant.price_policy, job.rush)
    return Plan(
        table,
        bound,
        tuple(found),
        tuple(each for part in parts for each in part.excluded),
        tuple(dict.fromkeys(each for part in parts for each in part.unavailable)),
        tuple(each for part in parts for each in part.cautions),
        tuple(processes.about[process] for process in able),
    )


def on_copies(
    job: Job, plant: Plant, bound: Sequence[Bound]
) -> tuple[Sequence[StagedStep], list[Finding]]:
    """Return what is done to copies beside binding, and what stands against both."""
    steps, found = copy_steps(job, plant)
    return steps, [*(each for one in bound[:1] for each in one.findings), *found]


def lean_table(table: JobTable) -> JobTable:
    """Return a job without what never has the least value of its part, at any quantity."""
    looked_at = np.concatenate([first_quantities(MOST_COMPARED), table.policy.thresholds])
    return table.narrowed(table.at(np.unique(looked_at.astype(np.int64))))


def _without_barred(
    by_binder: list[list[PartPlan]], bound: Sequence[Bound | None]
) -> list[list[PartPlan]]:
    """Leave out the ways that no binder takes what they deliver of, and say so."""
    columns = [
        part_without_barred([parts[n] for parts in by_binder], bound)
        for n in range(len(by_binder[0]))
    ]
    return [list(parts) for parts in zip(*columns, strict=True)]


def part_without_barred(
    plans: list[PartPlan], bound: Sequence[Bound | None]
) -> list[PartPlan]:
    """The same for one part, as each binder has it."""
    first = bound[0]
    if first is None:
        return plans
    ways = list(zip(*(plan.ways for plan in plans), strict=True))
    kept = [way for way in ways if not all(draft.barred for _, draft in way)]
    lost = {way[0][0].press.id: way[0][0] for way in ways if way not in kept}
    for installed in lost.values():
        if not any(way[0][0].press.id == installed.press.id for way in kept):
            finding = sections_folded(plans[0].part, first.binder.name)
            out = Excluded(installed.process, installed.press.id, plans[0].part.name, (finding,))
            plans = [replace(plan, excluded=(*plan.excluded, out)) for plan in plans]
    return [
        replace(plan, ways=tuple(way[number] for way in kept)) for number, plan in enumerate(plans)
    ]


def _names(parts: Sequence[PartPlan]) -> list[list[tuple[str, str]]]:
    """Presses and split of every way of every part."""
    return [
        [(each.press.id, f"{draft.shell} {draft.because}") for each, draft in part.ways]
        for part in parts
    ]


def _makeup(
    parts: Sequence[PartPlan],
    bound: Bound | None,
    steps: Sequence[StagedStep],
    job: Job,
    plant: Plant,
    compiled: Callable[[Ways, Job, Plant], PartTable],
) -> Makeup:
    """Compile the parts as one binder takes them, and what is done to the copies."""
    binding = [(bound.binder.bind_step(bound.book), BINDING)] if bound else []
    staged = [*binding, *steps]
    assembly = Assembly(
        [step for step, _ in staged], [stage for _, stage in staged], job.overs_share, plant
    )
    return Makeup(tuple(compiled(each.ways, job, plant) for each in parts), assembly)


def plan_part(
    part: Part,
    job: Job,
    plant: Plant,
    processes: Models,
    chosen: Chosen,
    bound: Bound | None,
) -> PartPlan:
    """Return the ways of one part on some presses, as one binder takes them."""
    whole = in_one_go(part)
    ways: list[tuple[InstalledPress, Draft]] = []
    excluded, unavailable, cautions = [], [], []
    for installed in chosen:
        process, press = installed.process, installed.press
        try:
            found, drafts = ways_on(installed, whole, job, plant, processes, bound)
        except PressUnavailable as fault:
            unavailable.append(Unavailable(process, press.id, fault.reference))
            continue
        if drafts:
            ways += [(installed, draft) for draft in drafts]
            cautions += [Caution(process, press.id, part.name, finding) for finding in found]
        else:
            limits = tuple(finding for finding in found if finding.severity == "limit")
            excluded.append(Excluded(process, press.id, part.name, limits))
    shells, failed = shell_ways(part, chosen, job, plant, processes, bound)
    excluded = [each for each in excluded if each.press not in {p.press.id for p, _ in shells}]
    unavailable += [Unavailable(process, press, reference) for process, press, reference in failed]
    ways = sorted([*ways, *shells], key=_fixed_order)
    return PartPlan(part, tuple(ways), tuple(excluded), tuple(unavailable), tuple(cautions))


def _fixed_order(way: tuple[InstalledPress, Draft]) -> tuple[str, str, tuple[str, str]]:
    """By process and press, those through the same presses beside each other."""
    installed, draft = way
    return installed.process, installed.press.id, draft.shell or ("", "")


def compile_ways(ways: Ways, job: Job, plant: Plant) -> PartTable:
    """Number the routes of all ways, and compile them to one table."""
    routes: list[Route] = []
    numbered = []
    for installed, draft in ways:
        stretches = []
        for stretch in draft.stretches:
            stretches.append(tuple(range(len(routes), len(routes) + len(stretch))))
            fed = stretches[0][0]
            routes += [
                route if route.feeds is None else replace(route, feeds=fed) for route in stretch
            ]
        numbered.append(
            Way(
                installed.process,
                installed.press.id,
                tuple(stretches),
                draft.because,
                draft.shell,
                draft.barred,
            )
        )
    lines = [
        line
        for number, route in enumerate(routes)
        for line in route_lines(number, route, job, plant)
    ]
    return PartTable(CostTable(routes, lines, plant.digits), numbered)
