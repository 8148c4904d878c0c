"""A whole job compiled: its parts, each with its ways, and the assembly of copies from them.

Parts do not know of each other: each is made for as many copies as the assembly needs, the cheapest
way. The price depends on the sum alone, and never falls as it rises, so the least of each part is
the least of all. Where more than one binder could bind the copies, there is one makeup for each,
with the same ways in the same order, and the cheapest makeup counts at each quantity.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from .assembly import Assembly, AssemblyCosts
from .curve import Array
from .pricing import AT_COST, PricePolicy, values
from .ways import PartCosts, PartTable
from .what_if import AS_IT_IS, WhatIf


@dataclass(frozen=True)
class Makeup:
    """Parts and their assembly on one binder."""

    parts: tuple[PartTable, ...]
    assembly: Assembly


@dataclass(frozen=True)
class MakeupCosts:
    """What a makeup costs at all quantities.

    parts: each part's costs; assembly: what the copies cost beyond them
    others: least value of all that is not the first part [quantity]
    value: of the job for each way of its first part, the rest at its least [way, quantity]
    """

    parts: tuple[PartCosts, ...]
    assembly: AssemblyCosts
    others: Array
    value: Array


@dataclass(frozen=True)
class JobCosts:
    """What a job costs at all quantities: by makeup, and the least value [way, quantity]."""

    makeups: tuple[MakeupCosts, ...]
    value: Array

    @property
    def deciding(self) -> Array:
        """What decides between ways of the first part where prices are level [way, quantity].

        On one binder that is the value of the part alone. What stands beside it is the same for
        all its ways, and would only hide by how little they differ.
        """
        return self.makeups[0].parts[0].value if len(self.makeups) == 1 else self.value

    def makeup(self, way: int, column: int) -> int:
        """Return the number of the makeup that is the cheapest for a way at one quantity."""
        values_of_way = [float(each.value[way, column]) for each in self.makeups]
        return values_of_way.index(min(values_of_way))


@dataclass(frozen=True)
class JobTable:
    """The makeups of a job.

    per_copy: how many of each part a copy has
    given: under which changes of the plant's figures it is costed
    """

    makeups: tuple[Makeup, ...]
    per_copy: tuple[int, ...]
    policy: PricePolicy
    rush: bool
    given: WhatIf = AS_IT_IS

    @property
    def first(self) -> PartTable:
        """The first part, as any makeup has it: presses and ways are the same in all."""
        return self.makeups[0].parts[0]

    def at(self, quantities: NDArray[np.int64]) -> JobCosts:
        """Cost the job for every way of its first part, all else at its least."""
        found = tuple(self._makeup_at(makeup, quantities) for makeup in self.makeups)
        value = found[0].value
        for other in found[1:]:
            value = np.minimum(value, other.value)
        return JobCosts(found, value)

    def _makeup_at(self, makeup: Makeup, quantities: NDArray[np.int64]) -> MakeupCosts:
        copies = makeup.assembly.needed(quantities, self.given)
        parts = tuple(
            part.at(copies * each, self.policy, rush=self.rush, given=self.given)
            for part, each in zip(makeup.parts, self.per_copy, strict=True)
        )
        assembly = makeup.assembly.at(quantities, self.given)
        others = values(assembly.bill.by_kind, self.policy, rush=self.rush)[0]
        for part in parts[1:]:
            others = others + part.value.min(axis=0)
        return MakeupCosts(parts, assembly, others, parts[0].value + others)

    def narrowed(self, *found: JobCosts) -> JobTable:
        """Return the same job without ways that never have the least value of their part.

        found: its costs at rising quantities, the first and the last that will be asked included;
            several of them where it will be asked under several changes of the plant's figures
        """
        # Makeups keep the same ways, so that the ways of one stand beside those of another.
        by_makeup = list(zip(*(each.makeups for each in found), strict=True))
        kept = [
            sorted(
                {way for costs in by_makeup for each in costs for way in _hopeful(each.parts[part])}
            )
            for part in range(len(self.per_copy))
        ]
        return replace(
            self,
            makeups=tuple(
                replace(
                    makeup,
                    parts=tuple(
                        part.subset(keep, *(each.parts[n].route_value for each in costs))
                        for n, (part, keep) in enumerate(zip(makeup.parts, kept, strict=True))
                    ),
                )
                for makeup, costs in zip(self.makeups, by_makeup, strict=True)
            ),
        )

    def at_cost(self) -> JobTable:
        """Return the same job priced at what it costs the plant: the cheapest to make wins."""
        return replace(self, policy=AT_COST, rush=False)

    def led_by(self, part: int) -> JobTable:
        """Return the same job with another of its parts first."""
        order = [part, *(n for n in range(len(self.per_copy)) if n != part)]
        return replace(
            self,
            makeups=tuple(
                replace(makeup, parts=tuple(makeup.parts[n] for n in order))
                for makeup in self.makeups
            ),
            per_copy=tuple(self.per_copy[n] for n in order),
        )

    def deciding_on(self, part: int) -> JobTable:
        """Return what decides by value who makes a part: the same job with that part first.

        On one binder it is the part alone: what stands beside it is the same for all its ways
        (JobCosts.deciding), and need not be costed.
        """
        led = self.led_by(part)
        if len(led.makeups) > 1:
            return led
        alone = replace(led.makeups[0], parts=led.makeups[0].parts[:1])
        return replace(led, makeups=(alone,), per_copy=led.per_copy[:1])

    def with_first(self, parts: Sequence[PartTable]) -> JobTable:
        """Return the same job with fewer ways of its first part, one table for each makeup."""
        return replace(
            self,
            makeups=tuple(
                replace(makeup, parts=(part, *makeup.parts[1:]))
                for makeup, part in zip(self.makeups, parts, strict=True)
            ),
        )


def _hopeful(part: PartCosts) -> list[int]:
    """Return the ways that may have the least value of a part somewhere, costed at rising pieces.

    Between two neighbours a way cannot where it is dearer at the first than another at the second.
    """
    least = part.value.min(axis=0)
    dear = (part.value[:, :-1] > least[1:]).all(axis=1) & (part.value > least).all(axis=1)
    kept: list[int] = np.flatnonzero(~dear).tolist()
    return kept


def columns(quantities: Sequence[int]) -> NDArray[np.int64]:
    """Return quantities as the vector that tables take."""
    return np.array(quantities, dtype=np.int64)
