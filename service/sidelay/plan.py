"""From a job and a plant to the routes that can make it, and the reasons why others cannot.

Quantities play no part here, so that one plan serves every quantity of a job.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Collection
from dataclasses import dataclass, replace

from . import finishing
from .costing import CostTable, Route
from .imposition import most_up
from .imposition.sheets import works
from .job import Job, Part
from .lines import route_lines
from .plant import InstalledPress, Plant
from .processes import PressUnavailable, Processes
from .work import Finding

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
    """

    table: CostTable | None
    excluded: tuple[Excluded, ...]
    unavailable: tuple[Unavailable, ...]
    cautions: tuple[Caution, ...]


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
    return Plan(_compiled(routes, job, plant), tuple(excluded), tuple(unavailable), tuple(cautions))


def _on_press(
    installed: InstalledPress, part: Part, job: Job, plant: Plant, processes: Processes
) -> tuple[list[Finding], list[Route]]:
    """Return the findings on one press, and its routes: none when a finding is a limit."""
    process, press = installed.process, installed.press
    found = finishing.findings(part, plant.bindery)
    found += processes.constraints(process, press, part, job)
    laid = works(part, press.feed, processes.layouts(process, press, part))
    if not laid:
        found.append(_no_layout(installed, part))
    if any(finding.severity == "limit" for finding in found):
        return found, []
    routes = [
        Route(process, press, work, run, charges, finishing.steps(part, work.layout, plant.bindery))
        for work, run, charges in processes.runs(process, press, laid)
    ]
    if not routes:
        found.append(
            Finding(
                "limit",
                "no_way_to_run",
                "the press can run none of the layouts",
                remedy="choose another press, or fewer inks a side",
            )
        )
    return found, routes


def _compiled(routes: list[Route], job: Job, plant: Plant) -> CostTable | None:
    if not routes:
        return None
    lines = [
        line
        for number, route in enumerate(routes)
        for line in route_lines(number, route, job, plant)
    ]
    return CostTable(routes, lines, plant.digits)


def _no_layout(installed: InstalledPress, part: Part) -> Finding:
    """Say why a part has no layout on this press, and what would give it one."""
    feed = installed.press.feed
    if len(part.sides) == 2 and not set(feed.work_styles) - {"one_side"}:
        return Finding(
            "limit",
            "one_side_only",
            "the press prints one side only",
            2,
            1,
            "sides",
            "leave the back blank, or use a press that prints both sides",
        )
    if works(replace(part, grain="any"), feed):
        return Finding(
            "limit",
            "grain_unmet",
            "with the grain as asked no sheet that this press takes holds the piece",
            part.grain,
            None,
            "",
            "let the grain run either way",
        )
    return _no_sheet(installed, part)


def _no_sheet(installed: InstalledPress, part: Part) -> Finding:
    """Say why no sheet of the stock holds one piece on this press, and what would."""
    feed = installed.press.feed
    printable = (
        feed.max_width_mm - 2 * feed.side_mm,
        feed.max_length_mm - feed.gripper_mm - feed.tail_mm - feed.colour_bar_mm,
    )
    limit = f"{printable[0]:g} x {printable[1]:g}"
    width, height = (side + 2 * part.bleed_mm for side in (part.flat_width_mm, part.flat_height_mm))
    if most_up(*printable, width, height).up:
        sheets = ", ".join(sheet.name for sheet in part.stock.sheets)
        return Finding(
            "limit",
            "no_sheet",
            f"no sheet of {part.stock.name} that this press takes holds the piece",
            sheets,
            limit,
            "mm",
            "choose a stock sold in a sheet that fits this press",
        )
    return Finding(
        "limit",
        "size_above",
        "the piece, bleed included, is larger than this press prints",
        f"{width:g} x {height:g}",
        limit,
        "mm",
        f"keep the flat piece with its bleed within {limit} mm",
    )
