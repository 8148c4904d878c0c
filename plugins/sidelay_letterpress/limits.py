"""What stands against a part on a letterpress press, and what to know of it."""

from __future__ import annotations

from sidelay.plugin import (
    Finding,
    Job,
    Part,
    Tones,
    above,
    below,
    carrier_findings,
    tone_findings,
    usual_findings,
)

from .press import LetterpressPress
from .relief import CM2_PER_M2


def findings(press: LetterpressPress, part: Part, job: Job) -> list[Finding]:
    """Return all that stands against a part, limits first."""
    return [
        *usual_findings(press, part, job),
        *carrier_findings(part),
        *tone_findings(part, tones(press).steps(part.ruling_lpi)),
        *ink_findings(press, part),
        *process_colour_findings(press, part),
        *solid_findings(press, part),
        *impression_findings(press, part),
        *detail_findings(press, part),
        *use_findings(job),
        *safety_findings(press),
    ]


def tones(press: LetterpressPress) -> Tones:
    """Tone steps of its blocks."""
    return Tones(press.block_dpi)


def ink_findings(press: LetterpressPress, part: Part) -> list[Finding]:
    """Kinds of ink, how many on a side, and what they look like in a thin film."""
    kinds = ", ".join(press.ink_kinds)
    found = [
        Finding(
            "limit",
            "ink_unavailable",
            f"{ink.name}: a letterpress film is too thin, or the press runs no {ink.kind} ink",
            ink.name,
            kinds,
            "",
            "use another ink, or print this one by screen",
        )
        for ink in part.inks
        if ink.kind not in press.ink_kinds
    ]
    most = max((len(side.inks) for side in part.sides), default=0)
    limit = press.units * press.max_passes_per_side
    found += above(
        "too_many_inks",
        "more inks on a side than can be brought to register pass after pass",
        most,
        limit,
        "inks",
        f"use at most {limit} inks a side",
    )
    if any(ink.kind == "metallic" for ink in part.inks):
        found.append(
            _caution(
                "metallic_dull",
                "metallic inks lose their lustre, most of all on soft uncoated stock",
                "choose foil stamping, or a smooth stock and a second hit",
            )
        )
    if part.stock.tone == "dark" and part.inks:
        found.append(
            _caution(
                "dark_stock",
                "letterpress inks are transparent: on dark stock they show as a tint of it",
                "print by screen, stamp in foil, or print on light stock",
            )
        )
    return found


def process_colour_findings(press: LetterpressPress, part: Part) -> list[Finding]:
    """Process inks over each other: one ink a pass and no close register."""
    sides = [sum(ink.kind == "process" for ink in side.inks) for side in part.sides]
    inks = max(sides, default=0)
    refused = above(
        "process_colour",
        "pictures in process colour do not hold register from pass to pass",
        inks,
        press.max_process_inks,
        "process inks",
        "use spot colours",
    )
    return refused or above(
        "process_inks_over_each_other",
        "process inks that overprint shift in hue from sheet to sheet",
        inks,
        1,
        "process inks",
        "use spot colours",
        severity="caution",
    )


def solid_findings(press: LetterpressPress, part: Part) -> list[Finding]:
    """Large solids: the strength of a platen, and fine type in the same form."""
    found = []
    coverage = max(side.covered(ink) for side in part.sides for ink in side.inks)
    if press.max_solid_cm2 is not None:
        found += above(
            "solid_too_large",
            "the press is not strong enough to print so much solid at once",
            coverage * part.printed_area_m2 * CM2_PER_M2,
            press.max_solid_cm2,
            "cm2",
            f"keep solids to {press.max_solid_cm2:g} cm2 a piece, or use a cylinder press",
        )
    fine = part.min_type_pt is not None and part.min_type_pt < press.fine_type_pt
    if fine and coverage >= press.large_solid_share:
        found.append(
            Finding(
                "caution",
                "solid_with_fine_type",
                "a solid wants more ink and pressure than fine type beside it, which fills in",
                part.min_type_pt,
                press.fine_type_pt,
                "pt",
                f"print solid and type in two runs, or set type at {press.fine_type_pt:g} pt or "
                "more",
            )
        )
    return found


def impression_findings(press: LetterpressPress, part: Part) -> list[Finding]:
    """An impression to be felt: it wants soft, thick stock, and shows on the other side."""
    if part.impression != "deep":
        return []
    caliper, two_sided = part.stock.caliper_um, press.min_deep_two_sided_caliper_um
    found = below(
        "stock_too_thin_for_impression",
        "a deep impression cuts through stock this thin",
        caliper,
        press.min_deep_caliper_um,
        "um",
        f'choose soft cotton of {press.min_deep_caliper_um:g} um or more, or impression "flat"',
        change={"impression": "flat"},
    )
    if len(part.sides) == 2:
        found += below(
            "impression_on_both_sides",
            "each side's impression shows through and flattens the other's",
            caliper,
            two_sided,
            "um",
            f"print one side, or choose a stock of {two_sided:g} um or mount two sheets",
            severity="caution",
        )
    elif caliper < two_sided:
        found.append(
            Finding(
                "caution",
                "impression_shows_through",
                "a deep impression can be felt and seen on the back",
                caliper,
                two_sided,
                "um",
                f"choose a stock of {two_sided:g} um, or accept a bruised back",
            )
        )
    if part.stock.grade not in press.soft_grades:
        soft = ", ".join(press.soft_grades)
        found.append(
            Finding(
                "caution",
                "stock_hard_for_impression",
                "hard or coated stock springs back, and cracks where it is pressed deep",
                part.stock.grade,
                soft,
                "",
                f"choose one of these: {soft}",
            )
        )
    return found


def detail_findings(press: LetterpressPress, part: Part) -> list[Finding]:
    """Dots that stand alone, and pictures on rough stock."""
    found = below(
        "dots_too_fine",
        "lines may hold at this size, but dots that stand alone break off the block",
        part.min_line_pt,
        press.min_dot_pt,
        "pt",
        f"make full stops, leaders and stipple at least {press.min_dot_pt:g} pt",
        severity="caution",
    )
    if part.stock.grade in press.soft_grades:
        found += above(
            "ruling_fine_for_stock",
            "soft, rough stock does not show a halftone this fine",
            part.ruling_lpi,
            press.max_ruling_soft_lpi,
            "lpi",
            f"drop to {press.max_ruling_soft_lpi:g} lpi, or choose a smooth stock",
            severity="caution",
        )
    return found


def use_findings(job: Job) -> list[Finding]:
    """What the piece is for."""
    found = []
    if "delicate" in job.uses:
        found.append(
            Finding(
                "limit",
                "contact_pressure",
                "raised type presses into the piece with its full force",
                "delicate",
                remedy="use a process that does not touch the piece",
            )
        )
    if "food_contact" in job.uses:
        found.append(
            Finding(
                "caution",
                "food_contact",
                "letterpress oil inks are not for direct contact with food; set-off and migration "
                "must be ruled out under the food law that applies",
                "food_contact",
                remedy="use low-migration inks with a functional barrier, and have it assessed",
            )
        )
    if "outdoor" in job.uses:
        found.append(
            Finding(
                "caution",
                "outdoor",
                "oil inks on soft paper fade and take up rain",
                "outdoor",
                remedy="ask for lightfast inks and keep it dry, or use screen on a durable stock",
            )
        )
    return found


def safety_findings(press: LetterpressPress) -> list[Finding]:
    """Hazards of the press at hand."""
    by_motion = {
        "hand_platen": (
            "safety_platen",
            "the platen closes on the hand that feeds it",
            "feed only with throw-off and guard in working order, never reach after a sheet, lock "
            "out for make-ready; follow the local machine safety code",
        ),
        "platen": (
            "safety_platen",
            "the platen and the gripper arms close with force",
            "run with guards shut, lock out before reaching in for make-ready or washing; follow "
            "the local machine safety code",
        ),
        "cylinder": (
            "safety_nips",
            "cylinder, bed and rollers draw in and crush",
            "run with guards shut, lock out before reaching in for make-ready or washing; follow "
            "the local machine safety code",
        ),
    }
    return [
        _caution(*by_motion[press.motion]),
        _caution(
            "safety_solvent",
            "roller washes give off vapour that can burn",
            "use washes of low vapour pressure, ventilate, keep towels in closed cans; follow "
            "local fire and air rules",
        ),
    ]


def _caution(code: str, message: str, remedy: str) -> Finding:
    return Finding("caution", code, message, remedy=remedy)
