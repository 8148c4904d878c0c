"""What stands against a part on a sheetfed litho press."""

from __future__ import annotations

from sidelay.plugin import QUALITIES, Finding, Job, Part, Stock, total_coverage_pct

from .press import LithoPress


def stock_findings(press: LithoPress, stock: Stock) -> list[Finding]:
    """Thickness and weight that feeder and grippers take."""
    found = []
    if not press.min_caliper_um <= stock.caliper_um <= press.max_caliper_um:
        found.append(
            Finding(
                "limit",
                "caliper_outside",
                "the grippers cannot hold a sheet of this thickness",
                stock.caliper_um,
                _window(press.min_caliper_um, press.max_caliper_um),
                "um",
                f"choose a stock of {_window(press.min_caliper_um, press.max_caliper_um)} um",
            )
        )
    if not press.min_grammage_gsm <= stock.grammage_gsm <= press.max_grammage_gsm:
        found.append(
            Finding(
                "limit",
                "grammage_outside",
                "the feeder is not set for stock of this weight",
                stock.grammage_gsm,
                _window(press.min_grammage_gsm, press.max_grammage_gsm),
                "g/m2",
                f"choose {_window(press.min_grammage_gsm, press.max_grammage_gsm)} g/m2",
            )
        )
    return found


def ink_findings(press: LithoPress, part: Part) -> list[Finding]:
    """Inks that the units can print, and in how many passes."""
    found = [
        Finding(
            "limit",
            "ink_unavailable",
            f"{ink.name}: litho ink is too thin to print white",
            ink.name,
            "process, spot, metallic, fluorescent",
            "",
            "print white on a press with a white station, or by screen",
        )
        for ink in part.inks
        if ink.kind == "white"
    ]
    inks, most = max(len(side.inks) for side in part.sides), press.units * press.max_passes_per_side
    if inks > most:
        found.append(
            Finding(
                "limit",
                "too_many_inks",
                "more inks on a side than the press can bring to register",
                inks,
                most,
                "inks",
                f"use at most {most} inks a side",
            )
        )
    elif inks > press.units:
        found.append(
            Finding(
                "caution",
                "several_passes",
                "a side needs more than one pass; register may wander",
                inks,
                press.units,
                "inks",
                f"use at most {press.units} inks a side",
            )
        )
    return found


def image_findings(press: LithoPress, part: Part, job: Job) -> list[Finding]:
    """What a plate can hold, and the class of work."""
    found = []
    if part.variable_share > 0:
        found.append(
            Finding(
                "limit",
                "variable_data",
                "a plate prints the same image on every sheet",
                part.variable_share,
                0,
                "share",
                "use a plateless process, or print the fixed image only",
            )
        )
    if part.ruling_lpi > press.max_ruling_lpi:
        found.append(
            Finding(
                "limit",
                "ruling_too_fine",
                "the halftone ruling is finer than the plates hold",
                part.ruling_lpi,
                press.max_ruling_lpi,
                "lpi",
                f"drop to {press.max_ruling_lpi:g} lpi",
            )
        )
    if QUALITIES.index(job.quality) > QUALITIES.index(press.quality):
        found.append(
            Finding(
                "limit",
                "quality_above",
                "the press is not used for work of this class",
                job.quality,
                press.quality,
                "",
                f'ask for "{press.quality}" quality',
            )
        )
    return found


def cautions(press: LithoPress, part: Part, job: Job) -> list[Finding]:
    """What can be printed, but needs care: drying, and contact with food."""
    found = []
    coverage = heaviest_coverage_pct(part)
    if coverage > press.max_total_coverage_pct:
        found.append(
            Finding(
                "caution",
                "total_coverage",
                "this much ink dries slowly and may set off",
                coverage,
                press.max_total_coverage_pct,
                "%",
                "reduce coverage, or allow more drying time",
            )
        )
    if "food_contact" in job.uses:
        found.append(
            Finding(
                "caution",
                "food_contact",
                "ordinary litho inks are not for direct contact with food; set-off "
                "and migration must be ruled out under the food law that applies",
                "food_contact",
                "",
                "",
                "use low-migration inks with a functional barrier, and have it assessed",
            )
        )
    return found


def heaviest_coverage_pct(part: Part) -> float:
    """Total area coverage of the side that has most ink [%]."""
    return max(total_coverage_pct([side.coverage] * len(side.inks)) for side in part.sides)


def _window(low: float, high: float) -> str:
    return f"{low:g} to {high:g}"
