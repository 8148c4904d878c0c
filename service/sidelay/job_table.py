"""A whole job compiled: its parts, each with its ways, and the assembly of copies from them.

Parts do not know of each other: each is made for as many copies as the assembly needs, the cheapest
way. The price depends on the sum alone, and never falls as it rises, so the least of each part is
the least of all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .assembly import Assembly, AssemblyCosts
from .curve import Array
from .pricing import PricePolicy, values
from .ways import PartCosts, PartTable


@dataclass(frozen=True)
class JobCosts:
    """What a job costs at all quantities.

    parts: each part's costs; assembly: what the copies cost beyond them
    others: least value of all that is not the first part [quantity]
    value: of the job for each way of its first part, the rest at its least [way, quantity]
    """

    parts: tuple[PartCosts, ...]
    assembly: AssemblyCosts
    others: Array
    value: Array


@dataclass(frozen=True)
class JobTable:
    """The parts of a job, compiled, and how they come together.

    per_copy: how many of each part a copy has
    """

    parts: tuple[PartTable, ...]
    per_copy: tuple[int, ...]
    assembly: Assembly
    policy: PricePolicy
    rush: bool

    def at(self, quantities: NDArray[np.int64]) -> JobCosts:
        """Cost the job for every way of its first part, the other parts at their least."""
        copies = self.assembly.needed(quantities)
        parts = tuple(
            part.at(copies * each, self.policy, rush=self.rush)
            for part, each in zip(self.parts, self.per_copy, strict=True)
        )
        assembly = self.assembly.at(quantities)
        others = values(assembly.bill.by_kind, self.policy, rush=self.rush)[0]
        for part in parts[1:]:
            others = others + part.value.min(axis=0)
        return JobCosts(parts, assembly, others, parts[0].value + others)

    def only(self, part: int) -> JobTable:
        """Return the job with one of its parts alone."""
        return JobTable(
            (self.parts[part],), (self.per_copy[part],), self.assembly, self.policy, self.rush
        )

    def with_first(self, part: PartTable) -> JobTable:
        """Return the same job with fewer ways of its first part."""
        return JobTable(
            (part, *self.parts[1:]), self.per_copy, self.assembly, self.policy, self.rush
        )


def cheapest_ways(found: JobCosts) -> list[NDArray[np.intp]]:
    """Return the cheapest way of each part at each quantity; of level ones the first."""
    return [part.value.argmin(axis=0) for part in found.parts]


def columns(quantities: Sequence[int]) -> NDArray[np.int64]:
    """Return quantities as the vector that tables take."""
    return np.array(quantities, dtype=np.int64)
