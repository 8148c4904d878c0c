"""From a job and a plant to the routes that can make it, and the reasons why others cannot.

Quantities play no part here, so that one plan serves every quantity of a job.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Collection
from dataclasses import dataclass, replace

from . import finishing
from .costing import CostTable, Route
from .imposition.refusals import no_layout, unfit_findings
from .imposition.works import lies_on, works
from .job import Job, Part
from .lines import route_lines
from .plant import InstalledPress, Plant
from .processes import PressUnavailable, Processes
from .work import Finding, Process

# A plan of a job on the demo plant takes about 0.4 MB.
PLANS_KEPT = 128


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
    """Something to know about making the job on a press that can make it."""

    process: str
    press: str
    finding: Finding


@dataclass(frozen=True)
class Plan:
    """Every route worth costing, compiled; who was left out and why.

    table: routes in the fixed order of process, press and layout; None when there is none
    processes: those that have a route, in the order of ids
    """

    table: CostTable | None
    excluded: tuple[Excluded, ...]
    unavailable: tuple[Unavailable, ...]
    cautions: tuple[Caution, ...]
    processes: tuple[Process, ...]


class Planner:
    """Plans jobs on the plug-ins at hand, and keeps the plans asked for last."""

    def __init__(self, processes: Processes) -> None:
        self.processes = processes
        self._kept: OrderedDict[tuple[object, ...], Plan] = OrderedDict()

    def plan(
        self,
        job: Job,
        plant: Plant,
        *,
        only_processes: Collection[str] = (),
        only_presses: Collection[str] = (),
    ) -> Plan:
        """Return the plan of a job; empty filters let every press of the plant compete."""
        chosen = tuple(
            installed
            for installed in plant.presses
            if (not only_processes or installed.process in only_processes)
            and (not only_presses or installed.press.id in only_presses)
        )
        names = tuple(installed.press.id for installed in chosen)
        key = (plant, names, replace(job, quantities=(), title=""))
        plan = self._kept.get(key)
        if plan is None:
            plan = _plan(job, plant, self.processes, chosen)
            self._keep(key, plan)
        return plan

    def _keep(self, key: tuple[object, ...], plan: Plan) -> None:
        if plan.unavailable:
            return  # a plug-in that failed once may answer next time
        self._kept[key] = plan
        if len(self._kept) > PLANS_KEPT:
            self._kept.popitem(last=False)


def _plan(job: Job, plant: Plant, processes: Processes, chosen: tuple[InstalledPress, ...]) -> Plan:
    part = job.parts[0]
    routes: list[Route] = []
    excluded, unavailable, cautions = [], [], []
    for installed in chosen:
        process, press = installed.process, installed.press
        try:
            found, press_routes = _on_press(installed, part, job, plant, processes)
        except PressUnavailable as fault:
            unavailable.append(Unavailable(process, press.id, fault.reference))
            continue
        if press_routes:
            routes += press_routes
            cautions += [Caution(process, press.id, finding) for finding in found]
        else:
            limits = tuple(finding for finding in found if finding.severity == "limit")
            excluded.append(Excluded(process, press.id, part.name, limits))
    able = sorted({route.process for route in routes})
    return Plan(
        _compiled(routes, job, plant),
        tuple(excluded),
        tuple(unavailable),
        tuple(cautions),
        tuple(processes.about[process] for process in able),
    )


def _on_press(
    installed: InstalledPress, part: Part, job: Job, plant: Plant, processes: Processes
) -> tuple[list[Finding], list[Route]]:
    """Return the findings on one press, and its routes: none when a finding is a limit."""
    process, press = installed.process, installed.press
    impresses = processes.about[process].impresses
    unfit = unfit_findings(part, press.feed)
    if unfit:
        return unfit, []  # another kind of press: what else stands against it is of no use
    found = finishing.findings(part, press.feed, impresses, plant.bindery)
    found += processes.constraints(process, press, part, job)
    own = processes.layouts(process, press, part)
    if own is None and not lies_on(part, press.feed):
        found.append(no_layout(part, press.feed))
    if any(finding.severity == "limit" for finding in found):
        return found, []
    laid = tuple(
        work
        for work in works(part, press.feed, own, job.previous_on(press.id))
        if finishing.can_cut(part, work.layout, press.feed, plant.bindery)
    )
    routes = [
        Route(
            process,
            press,
            work,
            run,
            charges,
            finishing.steps(part, work.layout, press.feed, impresses, plant.bindery),
        )
        for work, run, charges in processes.runs(process, press, laid)
    ]
    if not routes:
        found.append(_NO_WAY_TO_RUN)
    elif _keeps_unfit_carriers(part, routes):
        found.append(_unfit_carriers(part))
    return found, routes


_NO_WAY_TO_RUN = Finding(
    "limit",
    "no_way_to_run",
    "the press can run none of the layouts, or nobody can cut them",
    remedy="choose another press, fewer inks a side, or a sheet that is not cut",
)


def _unfit_carriers(part: Part) -> Finding:
    return Finding(
        "caution",
        "kept_carriers_unfit",
        "the carriers kept from the last run fit none of the layouts: new ones are priced",
        ", ".join(part.kept_carriers),
        None,
        "",
        "name the carriers_id that the last answer gave, for the same size and inks",
    )


def _keeps_unfit_carriers(part: Part, routes: list[Route]) -> bool:
    """Whether carriers of this press are kept, but none that any layout could use."""
    press = routes[0].press.id
    named = any(kept.partition(":")[0] == press for kept in part.kept_carriers)
    return named and not any(route.keeps_carriers for route in routes)


def _compiled(routes: list[Route], job: Job, plant: Plant) -> CostTable | None:
    if not routes:
        return None
    lines = [
        line
        for number, route in enumerate(routes)
        for line in route_lines(number, route, job, plant)
    ]
    return CostTable(routes, lines, plant.digits)
