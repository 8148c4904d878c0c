"""What a press is asked about a part: what stands against it, its works, the routes of those."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from . import finishing
from .asked_once import Models
from .binders import Bound
from .costing import Route
from .imposition.refusals import no_layout
from .imposition.works import lies_on, works
from .job import Job, Part
from .machines import Step
from .plant import InstalledPress, Plant
from .work import Finding, Layout, Work


@dataclass(frozen=True)
class Draft:
    """One way to make a part on a press: for each stretch of it every route that could be taken.

    shell: process and press that print shells before, None where there are none
    barred: whether the binder does not take what comes off the press so
    """

    stretches: tuple[tuple[Route, ...], ...]
    because: str = ""
    shell: tuple[str, str] | None = None
    barred: bool = False


@dataclass(frozen=True)
class Asked:
    """A press, the part wanted of it, and all that it is asked with."""

    installed: InstalledPress
    part: Part
    job: Job
    plant: Plant
    processes: Models
    bound: Bound | None

    @property
    def plateless(self) -> bool:
        """Whether every sheet can differ, so that a copy is printed sheet after sheet."""
        return self.processes.about[self.installed.process].variable_data

    @property
    def impresses(self) -> bool:
        """Whether the process presses the image into the stock."""
        return self.processes.about[self.installed.process].impresses

    def gathering(self, sections: int, before: int = 0) -> tuple[Step, ...]:
        """Return the step that gathers sections of the part, where it costs anything.

        before: sections of the same part, of another size, that are on the stations already
        """
        if self.bound is None:
            return ()
        each = self.part.per_copy
        step = self.bound.binder.gather_step(
            sections, self.bound.book, per_copy=each, before=before * each
        )
        return (step,) if step else ()

    def collating(self, leaves: int) -> tuple[Step, ...]:
        """Return the step that puts loose leaves of the part in order, where there is any."""
        if self.bound is None or not self.bound.collates(self.part):
            return ()
        each = self.part.per_copy
        step = self.bound.binder.collate_step(leaves, self.bound.book, per_copy=each)
        return (step,) if step else ()

    def of(self, part: Part) -> Asked:
        """Return the same asked for another part."""
        return replace(self, part=part)

    def findings(self) -> list[Finding]:
        """Return what stands against the part: finishing, the press model, the layout."""
        press = self.installed.press
        found = finishing.findings(self.part, press.feed, self.impresses, self.plant)
        found += self.processes.constraints(self.installed.process, press, self.part, self.job)
        if self.own_layouts() is None and not lies_on(self.part, press.feed):
            found.append(no_layout(self.part, press.feed))
        return found

    def own_layouts(self) -> tuple[Layout, ...] | None:
        """Return the layouts of the press model, None where it leaves them to the core."""
        return self.processes.layouts(self.installed.process, self.installed.press, self.part)

    def works(self) -> tuple[list[Work], list[Finding]]:
        """Return the works whose sheets the plant can finish; if none, what stands against them."""
        press = self.installed.press
        able: list[Work] = []
        against: list[Finding] = []
        for work in works(
            self.part, press.feed, self.own_layouts(), self.job.previous_on(press.id)
        ):
            found = finishing.unfinishable(self.part, work.layout, press.feed, self.plant)
            if found:
                against = against or found
            else:
                able.append(work)
        return able, [] if able else against

    @property
    def in_flat_sheets(self) -> bool:
        """Whether the binder takes flat sheets of four pages and folds them itself."""
        return self.bound is not None and self.bound.binder.folds_sheets

    def routes(
        self, found: Sequence[Work], cut_as: Part, inner_cuts: int = 0, **members: object
    ) -> list[Route]:
        """Return the routes of some works.

        cut_as: the piece that is cut and folded; inner_cuts: further cuts that part it
        members: further ones of the routes
        """
        process, press = self.installed.process, self.installed.press
        return [
            Route(
                process,
                press,
                work,
                run,
                charges,
                finishing.steps(
                    cut_as, work.layout, press.feed, self.impresses, self.plant, inner_cuts
                ),
                **members,  # type: ignore[arg-type]
            )
            for work, run, charges in self.processes.runs(process, press, tuple(found))
        ]
