"""The press models, each asked about the same work once in a plan.

Sections of one size come up in many splits of a part, and with every binder.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from .job import Job, Part
from .work import Charge, Finding, Layout, Press, Process, Run, Work

Running = tuple[Work, Run, tuple[Charge, ...]]


class Models(Protocol):
    """What a plan asks of press models; see `processes.Processes`."""

    @property
    def about(self) -> Mapping[str, Process]:
        """Every process by id."""

    def constraints(self, process_id: str, press: Press, part: Part, job: Job) -> list[Finding]:
        """What stands against a part on a press."""

    def layouts(self, process_id: str, press: Press, part: Part) -> tuple[Layout, ...] | None:
        """The model's own layouts, None where it leaves that to the core."""

    def runs(self, process_id: str, press: Press, works: Sequence[Work]) -> list[Running]:
        """How each work runs and costs; those that the press cannot run are left out."""


class AskedOnce:
    """Models that remember how a work runs: the same question has the same answer."""

    def __init__(self, models: Models) -> None:
        self._models = models
        self.about = models.about
        self.constraints, self.layouts = models.constraints, models.layouts
        self._told: dict[tuple[str, Work], Running | None] = {}

    def runs(self, process_id: str, press: Press, works: Sequence[Work]) -> list[Running]:
        """Return how each work runs and costs, as `Models.runs` does."""
        fresh = [work for work in works if (press.id, work) not in self._told]
        if fresh:
            found = self._models.runs(process_id, press, fresh)
            self._told |= dict.fromkeys(((press.id, work) for work in fresh), None)
            self._told |= {(press.id, running[0]): running for running in found}
        told = (self._told[press.id, work] for work in works)
        return [running for running in told if running is not None]
