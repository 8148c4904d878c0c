"""Operations of an offer in the making: each with its clock, its amounts, and what it waits for."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

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


class OpList:
    """Collects the operations of a part, or those on copies (part None), each after what it needs.

    What takes no time at any quantity is no operation: what would wait for it waits for what it
    would have waited for.
    """

    def __init__(self, prefix: str, part: str | None) -> None:
        self.ops: list[Op] = []
        self._prefix, self._part = prefix, part
        self._phases: dict[str, int] = {}

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
    ) -> Ids:
        """Add work. where: machine, "" for the plant's own shifts, and cost centre."""
        return self._add(name, tail, "shift", amounts, after, phase, because, *where)

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
    ) -> Ids:
        """Add working days in which others work."""
        return self._add(
            name, tail, "working_days", amounts, after, phase, because, operation=operation
        )

    def step(
        self, times: StepTimes, after: Ids, ordered_after: Ids, phase: int, tail: str = ""
    ) -> Ids:
        """Add a step of finishing, and its tool. ordered_after: what that is ordered after."""
        step = times.step
        if step.kind == "outwork":
            because = f"out of the house for {step.lead_days:g} working day(s)"
            return self.lead(step.name, times.amounts, after, because, tail=tail, phase=phase)
        if times.tool is not None:
            because = f"its die is there {step.lead_days:g} working day(s) after it is ordered"
            die = f"{step.name}_die"
            ordered = self.lead(
                die, times.tool, ordered_after, because, tail=tail, operation="dies"
            )
            after = (*after, *ordered)
        return self.work(
            step.name, times.amounts, after, phase, step.because, times.where, tail=tail
        )

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
    ) -> Ids:
        waits = tuple(dict.fromkeys(after))
        if not any(amounts):
            return waits
        id_ = f"{self._prefix}/{name}{tail}"
        if id_ in self._phases:  # done twice: laminated on two machines, say
            again = sum(op.id == id_ or op.id.startswith(f"{id_}.") for op in self.ops) + 1
            id_ = f"{id_}.{again}"
        # Never before what it waits for, which other lists may hold.
        self._phases[id_] = phase = max([phase, *(self._phases.get(each, 0) for each in waits)])
        self.ops.append(
            Op(
                id_, operation or name, self._part, machine, clock, amounts, waits, phase,
                because, centre,
            )
        )
        return (id_,)
