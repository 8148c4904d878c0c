"""Halftone arithmetic: coverage and tone steps."""

from __future__ import annotations

from collections.abc import Iterable

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
