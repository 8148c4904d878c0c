"""Operations of an offer in the making: each with its clock, its amounts, and what it waits for."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from .costing import Route
from .machines import Step
from .route_times import Amounts, StepTimes
from .schedule import ClockName

DESK = "prepress"
# The order in which parts come to machines that they share: all desks first, then all first runs.
# What is printed onto shells comes after all that makes shells.
DESK_PHASE, CUT_PHASE, RUN_PHASE, BACK_PHASE, FINISH_PHASE = range(5)
ONTO_SHELLS = 5  # added to the phase
GATHER_PHASE, COPY_PHASE = 10, 11
Ids = tuple[str, ...]


class Op(NamedTuple):
    """One operation; `amounts` by column of the costs, `phase` as above.

    centre: the cost centre that is paid for the work, "" where none is
    route: what it is done for, None for what is done for the whole part or for copies
    step: the step of finishing that it is, None where it is none
    """

    id: str
    operation: str
    part: str | None
    machine: str
    clock: ClockName
    amounts: Amounts
    after: Ids
    phase: int
    because: str
    centre: str = ""
    route: Route | None = None
    step: Step | None = None


class OpList:
    """Collects the operations of a part, or those on copies (part None), each after what it needs.

    What takes no time at any quantity is no operation: what would wait for it waits for what it
    would have waited for.

    route: what the operations are done for that are added from now on
    every_step: whether steps of finishing that take no time are operations as well
    """

    def __init__(self, prefix: str, part: str | None, *, every_step: bool = False) -> None:
        self.ops: list[Op] = []
        self.route: Route | None = None
        self._prefix, self._part, self._every_step = prefix, part, every_step
        self._phases: dict[str, int] = {}
        self._times_named: dict[str, int] = {}

    def work(
        self,
        name: str,
        amounts: Amounts,
        after: Ids,
        phase: int,
        because: str,
        where: tuple[str, str],
        *,
        tail: str = "",
        step: Step | None = None,
    ) -> Ids:
        """Add work. where: machine, "" for the plant's own shifts, and cost centre."""
        done = amounts, after, phase, because
        return self._add(name, tail, "shift", *done, *where, step=step)

    def drying(self, name: str, amounts: Amounts, after: Ids, because: str, tail: str) -> Ids:
        """Add what goes on day and night."""
        return self._add(
            name, tail, "elapsed", amounts, after, DESK_PHASE, because, operation="drying"
        )

    def lead(
        self,
        name: str,
        amounts: Amounts,
        after: Ids,
        because: str,
        *,
        tail: str = "",
        operation: str = "",
        phase: int = DESK_PHASE,
        step: Step | None = None,
    ) -> Ids:
        """Add working days in which others work."""
        waited = amounts, after, phase, because
        return self._add(name, tail, "working_days", *waited, operation=operation, step=step)

    def step(
        self, times: StepTimes, after: Ids, ordered_after: Ids, phase: int, tail: str = ""
    ) -> Ids:
        """Add a step of finishing, and its tool. ordered_after: what that is ordered after."""
        step = times.step
        if step.kind == "outwork":
            because = f"out of the house for {step.lead_days:g} working day(s)"
            lead = times.amounts, after, because
            return self.lead(step.name, *lead, tail=tail, phase=phase, step=step)
        if times.tool is not None:
            because = f"its die is there {step.lead_days:g} working day(s) after it is ordered"
            die = f"{step.name}_die"
            ordered = self.lead(
                die, times.tool, ordered_after, because, tail=tail, operation="dies"
            )
            after = (*after, *ordered)
        done = times.amounts, after, phase, step.because, times.where
        return self.work(step.name, *done, tail=tail, step=step)

    def _add(
        self,
        name: str,
        tail: str,
        clock: ClockName,
        amounts: Amounts,
        after: Iterable[str],
        phase: int,
        because: str,
        machine: str = "",
        centre: str = "",
        operation: str = "",
        step: Step | None = None,
    ) -> Ids:
        waits = tuple(dict.fromkeys(after))
        idle = not any(amounts)
        if idle and step is None:
            return waits
        # Steps are counted whether they take time or not, so that their names are always the same.
        id_ = f"{self._prefix}/{name}{tail}"
        again = self._times_named[id_] = self._times_named.get(id_, 0) + 1
        if idle and not self._every_step:
            return waits
        if again > 1:  # done twice: laminated on two machines, say
            id_ = f"{id_}.{again}"
        # Never before what it waits for, which other lists may hold.
        self._phases[id_] = phase = max([phase, *(self._phases.get(each, 0) for each in waits)])
        self.ops.append(
            Op(
                id_, operation or name, self._part, machine, clock, amounts, waits, phase,
                because, centre, self.route, step,
            )
        )
        return (id_,)
