"""A job as it might be changed, asked about again: one part on one press, the others as before."""

from __future__ import annotations

from dataclasses import replace

from .asked_once import AskedOnce, Models
from .binders import Bound
from .copy_steps import bound_of
from .job import Job, Part
from .job_table import JobTable
from .plan import (
    Chosen,
    PartPlan,
    Ways,
    compile_ways,
    on_copies,
    part_without_barred,
    plan_by,
    plan_part,
)
from .plant import InstalledPress, Plant
from .processes import PressUnavailable, Processes
from .ways import PartTable
from .work import Finding


class Trials:
    """Plans a job as it might be changed, one part on one press, and keeps no plan of it.

    Parts that a change leaves as they are, are planned once for all trials.
    """

    def __init__(self, plant: Plant, processes: Processes, chosen: Chosen) -> None:
        """chosen: the presses that make the other parts."""
        self._plant, self._chosen = plant, chosen
        # A change of one part makes another book, for which all other parts are planned again.
        self._processes: Models = AskedOnce(processes)
        self._parts: dict[tuple[object, ...], PartPlan] = {}
        self._tables: dict[tuple[int, ...], PartTable] = {}

    def against(self, job: Job, number: int, press: InstalledPress) -> tuple[Finding, ...]:
        """Return the limits that keep a press from making a part of a job; none where it can.

        Raises PressUnavailable when the press model fails.
        """
        bound: tuple[Bound | None, ...] = bound_of(job, self._plant) or (None,)
        limits = _limits_of(self._on(job, number, press, bound[0]), press)
        if limits:  # who can print a part is the same whoever binds it
            return limits
        plans = [self._on(job, number, press, one) for one in bound]
        return _limits_of(part_without_barred(plans, bound)[0], press)

    def on_copies(self, job: Job) -> tuple[Finding, ...]:
        """Return the limits on binding and finishing the copies of a job."""
        _, found = on_copies(job, self._plant, bound_of(job, self._plant))
        return tuple(finding for finding in found if finding.severity == "limit")

    def table(self, job: Job, number: int, press: InstalledPress) -> JobTable | None:
        """Return a job compiled with a part on one press; None where it cannot be made so.

        The part may have ways of other presses too, where those print shells for this one.
        """

        def of_part(other: int, bound: Bound | None) -> PartPlan:
            return self._on(job, other, press if other == number else None, bound)

        return plan_by(job, self._plant, self._processes, of_part, self._compiled).job_table

    def _on(
        self, job: Job, number: int, press: InstalledPress | None, bound: Bound | None
    ) -> PartPlan:
        part = job.parts[number]
        chosen = self._chosen if press is None else self._with_shells(press, part)
        shape = replace(job, parts=(), quantities=(), title="")
        key = part, shape, press and press.press.id, bound
        if key not in self._parts:
            self._parts[key] = plan_part(part, job, self._plant, self._processes, chosen, bound)
        return self._parts[key]

    def _with_shells(self, press: InstalledPress, part: Part) -> Chosen:
        about = self._processes.about
        if part.overprint is None or not about[press.process].variable_data:
            return (press,)
        shells = tuple(p for p in self._chosen if not about[p.process].variable_data)
        return (*shells, press)

    def _compiled(self, ways: Ways, job: Job, plant: Plant) -> PartTable:
        # A draft belongs to one part of one job, and lives as long as its plan is kept here.
        key = tuple(id(draft) for _, draft in ways)
        if key not in self._tables:
            self._tables[key] = compile_ways(ways, job, plant)
        return self._tables[key]


def _limits_of(plan: PartPlan, press: InstalledPress) -> tuple[Finding, ...]:
    """Return what keeps a press out of a plan. Raises PressUnavailable where it failed."""
    for failed in plan.unavailable:
        if failed.press == press.press.id:
            raise PressUnavailable(failed.reference)
    return next((e.findings for e in plan.excluded if e.press == press.press.id), ())
