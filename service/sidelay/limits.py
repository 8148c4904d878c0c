"""The limits that most press models share, as findings: stock, image, quality, use.

A model lists its own parameters under the names of `LimitedPress` and asks `usual_findings`, and
`usual_abilities` for its row of the table of processes; what is particular to it, it adds itself.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Protocol, cast

from .halftone import Tones
from .job import QUALITIES, SPECIAL_INKS, Job, Part, Quality
from .stock import Stock
from .work import (
    ANOTHER_STOCK,
    NO_CHANGE,
    Abilities,
    Changed,
    Finding,
    RatedUnit,
    Severity,
)

LEAST_TONE_STEPS = 2  # paper and solid


class Limits(Protocol):
    """The parameters that `usual_findings` reads of a press."""

    @property
    def grades(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def min_caliper_um(self) -> float: ...  # noqa: D102
    @property
    def max_caliper_um(self) -> float: ...  # noqa: D102
    @property
    def min_grammage_gsm(self) -> float: ...  # noqa: D102
    @property
    def max_grammage_gsm(self) -> float: ...  # noqa: D102
    @property
    def max_ruling_lpi(self) -> float: ...  # noqa: D102
    @property
    def min_type_pt(self) -> float: ...  # noqa: D102
    @property
    def min_reverse_type_pt(self) -> float: ...  # noqa: D102
    @property
    def min_line_pt(self) -> float: ...  # noqa: D102
    @property
    def register_mm(self) -> float: ...  # noqa: D102
    @property
    def max_total_coverage_pct(self) -> float: ...  # noqa: D102
    @property
    def quality(self) -> str: ...  # noqa: D102


def usual_findings(press: Limits, part: Part, job: Job) -> list[Finding]:
    """Return what stands against a part on a press by the limits that most processes share."""
    return [
        *stock_findings(press, part.stock),
        *image_findings(press, part),
        *coverage_findings(press, part),
        *quality_findings(press, job),
    ]


def usual_abilities(
    press: Limits,
    *,
    inks_in_one_pass: int,
    two_sided: bool,
    special_inks: Collection[str],
    tones: Tones | None,
    rated_speed: float | None,
    rated_unit: RatedUnit = "{cycle}/h",
    finest_ruling_lpi: float | None = None,
) -> Abilities:
    """Return what `usual_findings` lets through, as abilities, with what a model adds.

    Read from the same parameters, so that a table of abilities and the findings always agree.
    special_inks: kinds of ink, in any order; process inks among them are passed over
    finest_ruling_lpi: where it is not the press's max_ruling_lpi
    The others as of Abilities.
    """
    return Abilities(
        inks_in_one_pass=inks_in_one_pass,
        two_sided=two_sided,
        special_inks=tuple(kind for kind in SPECIAL_INKS if kind in special_inks),
        grades=press.grades,
        caliper_um=(press.min_caliper_um, press.max_caliper_um),
        grammage_gsm=(press.min_grammage_gsm, press.max_grammage_gsm),
        finest_ruling_lpi=press.max_ruling_lpi if finest_ruling_lpi is None else finest_ruling_lpi,
        tones=tones,
        finest_quality=cast(Quality, press.quality),
        register_mm=press.register_mm,
        rated_speed=rated_speed,
        rated_unit=rated_unit,
    )


def stock_findings(press: Limits, stock: Stock) -> list[Finding]:
    """Grades, caliper and grammage that the press takes."""
    found = []
    if press.grades and stock.grade not in press.grades:
        wanted = ", ".join(press.grades)
        found.append(
            Finding(
                "limit",
                "grade_unsuitable",
                f"the press does not print on {stock.grade.replace('_', ' ')}",
                stock.grade,
                wanted,
                "",
                f"choose a stock of one of these grades: {wanted}",
                ANOTHER_STOCK,
            )
        )
    caliper = (press.min_caliper_um, press.max_caliper_um)
    grammage = (press.min_grammage_gsm, press.max_grammage_gsm)
    return [
        *found,
        *outside(
            "caliper_outside",
            "the press cannot carry stock of this thickness",
            stock.caliper_um,
            *caliper,
            "um",
        ),
        *outside(
            "grammage_outside",
            "the press is not set for stock of this weight",
            stock.grammage_gsm,
            *grammage,
            "g/m2",
        ),
    ]


def image_findings(press: Limits, part: Part) -> list[Finding]:
    """Ruling, type, line and register that the process holds."""
    least = "make it at least {:g} pt".format
    return [
        *above(
            "ruling_too_fine",
            "the halftone ruling is finer than the process holds on this press",
            part.ruling_lpi,
            press.max_ruling_lpi,
            "lpi",
            f"drop to {press.max_ruling_lpi:g} lpi",
            change={"ruling_lpi": press.max_ruling_lpi},
        ),
        *below(
            "type_too_small",
            "type this small fills in or breaks",
            part.min_type_pt,
            press.min_type_pt,
            "pt",
            least(press.min_type_pt),
            change={"min_type_pt": press.min_type_pt},
        ),
        *below(
            "reverse_type_too_small",
            "type this small, reversed out, fills in",
            part.min_reverse_type_pt,
            press.min_reverse_type_pt,
            "pt",
            least(press.min_reverse_type_pt),
            change={"min_reverse_type_pt": press.min_reverse_type_pt},
        ),
        *below(
            "line_too_fine",
            "a line this fine does not hold",
            part.min_line_pt,
            press.min_line_pt,
            "pt",
            least(press.min_line_pt),
            change={"min_line_pt": press.min_line_pt},
        ),
        *below(
            "register_too_tight",
            "colours do not fit each other as closely as this",
            part.register_mm if max(len(side.inks) for side in part.sides) > 1 else None,
            press.register_mm,
            "mm",
            f"allow {press.register_mm:g} mm between colours, or trap them",
            change={"register_mm": press.register_mm},
        ),
    ]


def coverage_findings(press: Limits, part: Part) -> list[Finding]:
    """Ink in the heaviest spot: a caution, since prepress can reduce it."""
    heaviest = max((side.total_coverage_pct for side in part.sides), default=0.0)
    return above(
        "total_coverage",
        "this much ink dries slowly, may set off, and may not hold",
        heaviest,
        press.max_total_coverage_pct,
        "%",
        f"reduce to {press.max_total_coverage_pct:g} % in separation",
        severity="caution",
    )


def quality_findings(press: Limits, job: Job) -> list[Finding]:
    """The class of work that the press is used for."""
    if QUALITIES.index(job.quality) <= QUALITIES.index(press.quality):
        return []
    return [
        Finding(
            "limit",
            "quality_above",
            "the press is not used for work of this class",
            job.quality,
            press.quality,
            "",
            f'ask for "{press.quality}" quality',
            {"quality": press.quality},
        )
    ]


def carrier_findings(part: Part) -> list[Finding]:
    """What no process with an image carrier can do: another image on every piece."""
    return above(
        "variable_data",
        "an image carrier prints the same image on every piece",
        part.variable_share,
        0,
        "share",
        "use a plateless process, or print the fixed image only",
        change={"variable_share": 0.0},
    )


def tone_findings(part: Part, steps: int) -> list[Finding]:
    """Tone steps that the process shows at the ruling asked for."""
    return above(
        "tone_steps_below",
        "at this ruling the process shows fewer tone steps",
        part.tone_steps,
        steps,
        "",
        f"ask for at most {steps} tone steps, or a coarser ruling",
        change={"tone_steps": steps} if steps >= LEAST_TONE_STEPS else NO_CHANGE,
    )


def heaviest_coverage_pct(part: Part) -> float:
    """Average total area coverage [%] of the side that has most ink: what dries on the run."""
    return max(side.average_coverage_pct for side in part.sides)


def outside(
    code: str, message: str, asked: float, low: float, high: float, unit: str
) -> list[Finding]:
    """Return a limit when a figure of the stock lies outside a window."""
    if low <= asked <= high:
        return []
    window = f"{low:g} to {high:g}"
    remedy = f"choose a stock of {window} {unit}"
    return [Finding("limit", code, message, asked, window, unit, remedy, ANOTHER_STOCK)]


def above(
    code: str,
    message: str,
    asked: float | None,
    most: float,
    unit: str,
    remedy: str,
    *,
    severity: Severity = "limit",
    change: Changed = NO_CHANGE,
) -> list[Finding]:
    """Return a finding when a figure is known and above the most that can be."""
    if asked is None or asked <= most:
        return []
    return [Finding(severity, code, message, asked, most, unit, remedy, change)]


def below(
    code: str,
    message: str,
    asked: float | None,
    least: float,
    unit: str,
    remedy: str,
    *,
    severity: Severity = "limit",
    change: Changed = NO_CHANGE,
) -> list[Finding]:
    """Return a finding when a figure is known and finer than the least that holds."""
    if asked is None or asked >= least:
        return []
    return [Finding(severity, code, message, asked, least, unit, remedy, change)]


def white_findings(part: Part) -> list[Finding]:
    """Process inks on a dark stock with no white among them. Common practice, no source."""
    kinds = {ink.kind for ink in part.inks}
    if part.stock.tone != "dark" or "process" not in kinds or "white" in kinds:
        return []
    return [
        Finding(
            "caution",
            "no_white_under",
            "process inks are transparent and lose their colour on a dark stock",
            "no white",
            "white",
            "",
            "print an opaque white under the colours",
        )
    ]
