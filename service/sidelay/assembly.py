"""From parts to finished copies: inserting, binding, and what is done to copies until they go.

Waste chains backwards here too: copies delivered, copies into the last step, ..., copies that the
parts have to be made for. What a copy costs beyond its parts does not depend on how they are made,
so that parts and assembly can each be had at their least and added.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .curve import Array
from .line_table import Bill, LineTable
from .lines import step_lines
from .machines import Step
from .plant import Plant
from .spoilage import begun, units_in
from .what_if import AS_IT_IS, WhatIf

BINDING, PACKING = "binding", "packing"


@dataclass(frozen=True)
class AssemblyCosts:
    """What copies cost beyond their parts.

    copies: into each step, the last step first, and at the end those that the parts are made for
        [step + 1, quantity]
    """

    bill: Bill
    copies: Array


class Assembly:
    """The steps on copies compiled. Immutable once built.

    steps: in the order of production; stages: what each belongs to
    lines: of all steps; step_of_line: number of the step of each
    overs_share: copies to deliver beyond those ordered, as a share of them
    """

    def __init__(
        self, steps: Sequence[Step], stages: Sequence[str], overs_share: float, plant: Plant
    ) -> None:
        self.steps, self.overs_share = tuple(steps), overs_share
        by_step = [
            list(step_lines(0, step, copy_meter(place), plant, stage=stage))
            for place, (step, stage) in enumerate(zip(self.steps, stages, strict=True))
        ]
        self.lines = tuple(line for lines in by_step for line in lines)
        self.step_of_line = tuple(n for n, lines in enumerate(by_step) for _ in lines)
        self._meter = {"job": 0} | {
            copy_meter(place): place + 1 for place in range(len(self.steps))
        }
        self._table = LineTable(self.lines, self._meter, 1, plant.digits)

    def delivered(self, quantities: NDArray[np.int64]) -> Array:
        """Copies delivered for so many ordered: with the overs asked for."""
        return begun(quantities.astype(np.float64) * (1.0 + self.overs_share))

    def needed(
        self, quantities: NDArray[np.int64], given: WhatIf = AS_IT_IS
    ) -> NDArray[np.int64]:
        """Copies that the parts have to be made for."""
        needed: NDArray[np.int64] = self._chained(quantities, given)[-1].astype(np.int64)
        return needed

    def at(self, quantities: NDArray[np.int64], given: WhatIf = AS_IT_IS) -> AssemblyCosts:
        """Cost the steps at every quantity."""
        copies = self._chained(quantities, given)
        meters = np.ones((len(self._meter), 1, len(quantities)))
        for place in range(len(self.steps)):
            meters[place + 1, 0] = copies[len(self.steps) - place]
        return AssemblyCosts(self._table.at(meters, given), copies)

    def into(self, found: AssemblyCosts) -> dict[str, Array]:
        """Return what each meter of its lines counts [1, quantity], by its name."""
        copies, count = found.copies, len(self.steps)
        job = {"job": np.ones((1, copies.shape[1]))}
        return job | {copy_meter(n): copies[count - n : count - n + 1] for n in range(count)}

    def _chained(self, quantities: NDArray[np.int64], given: WhatIf) -> Array:
        found, waste = [self.delivered(quantities)], np.asarray(given.waste)
        for step in reversed(self.steps):
            set_up = begun(step.set_up_waste * waste)
            found.append(units_in(found[-1], step.running_waste * waste, set_up))
        return np.array(found)


def copy_meter(place: int) -> str:
    """Name the meter that counts the copies into the place-th step."""
    return f"copy into step {place}"
