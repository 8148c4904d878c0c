"""What stands against a part on a screen press, and what to know of it."""

from __future__ import annotations

from math import floor

from sidelay.plugin import (
    ANOTHER_STOCK,
    Finding,
    Job,
    Part,
    Tones,
    above,
    carrier_findings,
    tone_findings,
    usual_findings,
)

from .mesh import heads, is_picture, least_mesh_per_cm, most_ruling_lpi, needs_under_base
from .press import ScreenPress

# Surfaces that take no ink unless they are treated.
CLOSED_GRADES = ("film", "foil")

MM_PER_PT = 25.4 / 72


def findings(press: ScreenPress, part: Part, job: Job) -> list[Finding]:
    """Return all that stands against a part, limits first."""
    return [
        *usual_findings(press, part, job),
        *carrier_findings(part),
        *tone_findings(part, tones(press).steps(part.ruling_lpi)),
        *ink_findings(press, part),
        *head_findings(press, part),
        *mesh_findings(press, part),
        *stock_cautions(press, part),
        *design_findings(press, part),
        *use_findings(press, job),
        *safety_findings(press),
    ]


def tones(press: ScreenPress) -> Tones:
    """Tone steps that a stencil holds: those of its film between lightest and darkest tint.

    The share of tints that hold x steps; common practice, no source.
    """
    return Tones(press.film_dpi, held_share=(press.max_tint_pct - press.min_tint_pct) / 100)


def ink_findings(press: ScreenPress, part: Part) -> list[Finding]:
    """Kinds of ink that the press runs."""
    kinds = ", ".join(press.ink_kinds)
    return [
        Finding(
            "limit",
            "ink_unavailable",
            f"{ink.name}: the press runs no {ink.kind} ink",
            ink.name,
            kinds,
            "",
            f"use one of these: {kinds}",
        )
        for ink in part.inks
        if ink.kind not in press.ink_kinds
    ]


def head_findings(press: ScreenPress, part: Part) -> list[Finding]:
    """Heads or passes that the sides need, with under-base, flash and cool-down."""
    found = []
    needed, inks = max(
        ((heads(press, part, side.inks), len(side.inks)) for side in part.sides), default=(0, 0)
    )
    most = press.stations * (1 if press.carousel else press.max_passes_per_side)
    extra = needed - inks
    with_extra = f" with {extra} for white under-base, flash and cool-down" if extra else ""
    fewer = most - extra
    found += above(
        "too_many_inks",
        f"a side takes {needed} head(s){with_extra}, more than the press has"
        if press.carousel
        else f"a side takes {needed} screens{with_extra}, more than hold register",
        needed,
        most,
        "heads" if press.carousel else "screens",
        f"use at most {fewer} inks a side"
        if fewer >= 1
        else "print on light stock, or use a press with more heads",
        change=ANOTHER_STOCK if part.stock.tone == "dark" and inks <= most else {},
    )
    if any(needs_under_base(press, part, side.inks) for side in part.sides):
        found.append(
            Finding(
                "caution",
                "white_under_base",
                "light inks on dark stock want a white under them: one more screen a side",
                part.stock.tone,
                "light",
                "",
                "choose light stock, or accept the screen; draw the white in by the trap, so that "
                "it does not show at the edges",
            )
        )
    return found


def mesh_findings(press: ScreenPress, part: Part) -> list[Finding]:
    """Pictures that want a finer mesh than there is in stock."""
    if not is_picture(part):
        return []
    finest, ruling = press.finest_mesh_per_cm, most_ruling_lpi(press)
    return above(
        "mesh_too_coarse",
        f"a halftone of {part.ruling_lpi:g} lpi wants a finer mesh than there is in stock",
        least_mesh_per_cm(press, part.ruling_lpi),
        finest,
        "threads/cm",
        f"drop to {ruling:g} lpi",
        # To a hundredth, and not above what the mesh holds.
        change={"ruling_lpi": floor(ruling * 100) / 100},
    )


def stock_cautions(press: ScreenPress, part: Part) -> list[Finding]:
    """Surfaces that ink does not hold on, or that bleed through it."""
    stock, found = part.stock, []
    if stock.grade in CLOSED_GRADES and not stock.treated:
        found.append(
            Finding(
                "limit",
                "stock_untreated",
                "ink does not wet or hold on untreated film and foil",
                "untreated",
                "treated",
                "",
                "choose a corona-treated stock",
                ANOTHER_STOCK,
            )
        )
    if press.ink == "plastisol" and stock.finish == "polyester":
        found.append(
            _caution(
                "dye_migration",
                "at curing heat the dye of polyester rises into the ink and tints it",
                "use a low-cure ink over a blocking base, or cotton",
            )
        )
    return found


def design_findings(press: ScreenPress, part: Part) -> list[Finding]:
    """What the artwork should allow for: overlaps, and tints that vanish or close."""
    found = []
    # An overlap covers no more misfit than it is wide.
    trap_pt = max(press.trap_pt, press.register_mm / MM_PER_PT)
    if max((len(side.inks) for side in part.sides), default=0) > 1:
        found.append(
            Finding(
                "caution",
                "trap",
                "fabric stretches: colours that touch gape unless they overlap"
                if part.kind == "piece"
                else "stock moves from pass to pass: colours that touch gape unless they overlap",
                None,
                round(trap_pt, 2),
                "pt",
                f"trap colours by {trap_pt:.2g} pt",
            )
        )
    if is_picture(part):
        low, high = press.min_tint_pct, press.max_tint_pct
        found.append(
            Finding(
                "caution",
                "tint_range",
                f"tints under {low:g} % are lost in the mesh, over {high:g} % fill in",
                None,
                f"{low:g} to {high:g}",
                "%",
                f"keep tints within {low:g} to {high:g} %",
            )
        )
    return found


def use_findings(press: ScreenPress, job: Job) -> list[Finding]:
    """What the piece is for."""
    found = []
    if "delicate" in job.uses:
        found.append(
            Finding(
                "caution",
                "contact_pressure",
                "the squeegee presses the mesh onto the piece, lightly but over all of it",
                "delicate",
                remedy="support it in a jig and run a trial, or use a process without contact",
            )
        )
    if "food_contact" in job.uses:
        found.append(
            Finding(
                "caution",
                "food_contact",
                "the thick film holds much that can migrate; ordinary screen inks are not for "
                "contact with food",
                "food_contact",
                remedy="print the side away from the food with low-migration ink, and have it "
                "assessed under the food law that applies",
            )
        )
    if "outdoor" in job.uses and press.ink == "water":
        found.append(
            Finding(
                "caution",
                "outdoor",
                "water-based ink on sheets does not stand rain",
                "outdoor",
                remedy="use a press with UV or solvent ink",
            )
        )
    return found


def safety_findings(press: ScreenPress) -> list[Finding]:
    """Hazards of the press at hand."""
    found = []
    if press.machine != "manual_carousel":
        found.append(
            _caution(
                "safety_moving_parts",
                "pallets, frames and squeegee carriages start of themselves and crush",
                "keep guards, mats and light barriers working, lock out for set-up; follow the "
                "local machine safety code",
            )
        )
    if press.ink == "uv":
        found.append(
            _caution(
                "safety_uv",
                "UV lamps harm eyes and skin, some make ozone, and uncured ink sensitises skin",
                "keep lamp shields closed, extract the air, wear gloves; follow the data sheets "
                "and local workplace limits",
            )
        )
    else:
        found.append(
            _caution(
                "safety_oven",
                "dryers and flash units burn skin, scorch stock left in them, and give off fumes",
                "extract the air, never leave pieces under a flash; have gas and electrics "
                "serviced by licensed people under local codes",
            )
            if press.ink != "solvent" or not press.rack_h
            else _caution(
                "safety_rack_vapour",
                "prints on racks give off nearly all their solvent into the room",
                "ventilate the racks and keep ignition away; follow local air and fire rules",
            )
        )
    if press.ink == "solvent":
        found.append(
            _caution(
                "safety_solvent",
                "solvent vapour burns and explodes, and harms when breathed",
                "extract at press and dryer, earth the machine, keep solvents in closed cans; "
                "rated equipment and permits as local fire and air codes ask",
            )
        )
    return found


def _caution(code: str, message: str, remedy: str) -> Finding:
    return Finding("caution", code, message, remedy=remedy)
