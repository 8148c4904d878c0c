"""What stands against a part on a sheetfed litho press."""

from __future__ import annotations

from sidelay.plugin import (
    ANOTHER_STOCK,
    Finding,
    Form,
    InkKind,
    Job,
    Part,
    Side,
    Tones,
    above,
    carrier_findings,
    heaviest_coverage_pct,
    tone_findings,
    usual_findings,
)

from .press import LithoPress

# A litho film is too thin for opaque white.
INK_KINDS: tuple[InkKind, ...] = ("process", "spot", "metallic", "fluorescent", "varnish")


def findings(press: LithoPress, part: Part, job: Job) -> list[Finding]:
    """Return all that stands against a part."""
    return [
        *usual_findings(press, part, job),
        *carrier_findings(part),
        *tone_findings(part, tones(press).steps(part.ruling_lpi)),
        *ink_findings(press, part),
        *drying_findings(press, part),
        *use_findings(job),
        *safety_findings(press),
    ]


def tones(press: LithoPress) -> Tones:
    """Tone steps of its plates."""
    return Tones(press.plate_dpi)


def unit_inks(press: LithoPress, printed: Form | Side) -> int:
    """Inks that need a printing unit: a coater takes one varnish, any other counts as an ink."""
    varnished = any(ink.kind == "varnish" for ink in printed.inks)
    return len(printed.inks) - (varnished and press.coater != "none")


def ink_findings(press: LithoPress, part: Part) -> list[Finding]:
    """Inks that the units can print, and in how many passes."""
    found = [
        Finding(
            "limit",
            "ink_unavailable",
            f"{ink.name}: litho ink is too thin to print white",
            ink.name,
            ", ".join(INK_KINDS),
            "",
            "print white on a press with a white station, or by screen",
        )
        for ink in part.inks
        if ink.kind not in INK_KINDS
    ]
    inks = max((unit_inks(press, side) for side in part.sides), default=0)
    most = press.units * press.max_passes_per_side
    if inks > most:
        return [
            *found,
            *above(
                "too_many_inks",
                "more inks on a side than the press can bring to register",
                inks,
                most,
                "inks",
                f"use at most {most} inks a side",
            ),
        ]
    return [
        *found,
        *above(
            "several_passes",
            "a side needs more than one pass; register may wander",
            inks,
            press.units,
            "inks",
            f"use at most {press.units} inks a side",
            severity="caution",
        ),
    ]


def drying_findings(press: LithoPress, part: Part) -> list[Finding]:
    """Stock that no ink sinks into, and coverage that dries slowly."""
    stock, nonabsorbent = part.stock, part.stock.grade in press.nonabsorbent_grades
    if press.drying == "uv":
        if not nonabsorbent or stock.treated:
            return []
        return [
            Finding(
                "caution",
                "surface_untreated",
                "ink may not hold on a surface that was not treated",
                stock.grade,
                "treated",
                remedy="choose a treated stock, or test adhesion first",
            )
        ]
    if nonabsorbent:
        return [
            Finding(
                "limit",
                "ink_will_not_dry",
                "oil ink does not dry where it cannot sink in",
                stock.grade,
                "paper and board",
                remedy="choose paper or board, or a press that cures its ink under lamps",
                change=ANOTHER_STOCK,
            )
        ]
    quick = press.quick_drying_coverage_pct
    return above(
        "slow_drying",
        "this much ink keeps the sheets waiting before they can be worked on",
        max(heaviest_coverage_pct(part), *(side.total_coverage_pct for side in part.sides)),
        quick,
        "%",
        f"reduce to {quick:g} % in separation, or allow more drying time",
        severity="caution",
    )


def use_findings(job: Job) -> list[Finding]:
    """What the piece is for."""
    found = []
    if "food_contact" in job.uses:
        found.append(
            Finding(
                "caution",
                "food_contact",
                "ordinary litho inks are not for direct contact with food; set-off "
                "and migration must be ruled out under the food law that applies",
                "food_contact",
                remedy="use low-migration inks with a functional barrier, and have it assessed",
            )
        )
    if "outdoor" in job.uses:
        found.append(
            Finding(
                "caution",
                "outdoor",
                "ordinary process inks, magenta and yellow first, fade outdoors",
                "outdoor",
                remedy="ask for lightfast inks and a laminate, or a process with outdoor inks",
            )
        )
    if "delicate" in job.uses:
        found.append(
            Finding(
                "limit",
                "contact_pressure",
                "grippers and the nip of blanket and impression cylinder press on the piece",
                "delicate",
                remedy="use a process that does not touch the piece",
            )
        )
    return found


def safety_findings(press: LithoPress) -> list[Finding]:
    """Hazards of the press at hand that an ordinary litho press has not."""
    if "uv" not in (press.drying, press.coater):
        return []
    return [
        Finding(
            "caution",
            "safety_uv",
            "UV lamps harm eyes and skin, some make ozone, and uncured ink sensitises skin",
            remedy="keep lamp shields closed, extract the air, wear gloves; follow the maker's "
            "data sheets and local workplace limits",
        )
    ]
