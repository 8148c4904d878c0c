"""Halftone arithmetic: coverage and tone steps."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

MOST_STEPS = 256  # eight bits, what prepress delivers


def total_coverage_pct(coverages: Iterable[float]) -> float:
    """Total area coverage [%] of inks that each cover a share 0..1: they add up.

    Source: "total area coverage" of ISO 12647-2; 44 + 38 + 38 + 100 % = 220 % (WAN-IFRA 2014).
    """
    return 100.0 * sum(coverages)


def tone_steps(addressability_dpi: float, ruling_lpi: float, grey_levels: int = 1) -> int:
    """Tone steps that a halftone cell can show, paper white included, capped at 256.

    grey_levels: levels that a single spot can take beside blank
    (addressability / ruling)^2 x grey levels + 1; common practice, no source. A ruling of 0 means
    that nothing is halftone: as many steps as any process shows.
    """
    if ruling_lpi == 0:
        return MOST_STEPS
    cells = (addressability_dpi / ruling_lpi) ** 2
    return min(MOST_STEPS, int(cells * grey_levels) + 1)


@dataclass(frozen=True, slots=True)
class Tones:
    """How many tone steps a press shows at any ruling.

    dpi: spots an inch that it writes; 0 only with `levels`
    grey_levels: levels that a single spot can take beside blank
    held_share: share 0..1 of the steps that hold on the stock, lightest and darkest left out
    levels: steps whatever the ruling, where no halftone cell makes them: cells of varying depth,
        type that prints or does not
    """

    dpi: float = 0.0
    grey_levels: int = 1
    held_share: float = 1.0
    levels: int | None = None

    def steps(self, ruling_lpi: float) -> int:
        """Tone steps at a ruling [lines/in]: int(held share x steps of a cell)."""
        if self.levels is not None:
            return self.levels
        return int(self.held_share * tone_steps(self.dpi, ruling_lpi, self.grey_levels))
