"""What stands against a part on a flexo press, and what to know of it."""

from __future__ import annotations

from sidelay.plugin import (
    ANOTHER_STOCK,
    Finding,
    Job,
    Part,
    above,
    below,
    carrier_findings,
    tone_findings,
    usual_findings,
    white_findings,
)

from .plates import tones
from .press import FlexoPress

# Surfaces that take no ink unless they are treated.
CLOSED_GRADES = ("film", "foil", "vinyl")
LEAST_INKS_OF_A_PICTURE = 3


def findings(press: FlexoPress, part: Part, job: Job) -> list[Finding]:
    """Everything that stands against a part."""
    return [
        *usual_findings(press, part, job),
        *carrier_findings(part),
        *tone_findings(part, tones(press).steps(part.ruling_lpi)),
        *unit_findings(press, part),
        *surface_findings(press, part),
        *design_findings(press, part),
        *carrier_cautions(press, part),
        *use_findings(job),
        *safety_findings(press),
    ]


def unit_findings(press: FlexoPress, part: Part) -> list[Finding]:
    """Inks against decks; both sides share them where both print in one pass."""
    sides = [len(side.inks) for side in part.sides]
    inks = sum(sides) if getattr(press.feed, "both_sides", False) else max(sides, default=0)
    return above(
        "too_many_inks",
        "more inks than the press has decks",
        inks,
        press.units,
        "inks",
        f"use at most {press.units} inks, white and varnish among them",
    )


def surface_findings(press: FlexoPress, part: Part) -> list[Finding]:
    """Film that ink does not wet, and surfaces that shine through process ink."""
    stock, found = part.stock, []
    if stock.grade in CLOSED_GRADES and not (stock.treated or press.corona_treater):
        found.append(
            Finding(
                "limit",
                "stock_untreated",
                "ink does not wet or hold on untreated film and foil",
                "untreated",
                "treated",
                "",
                "choose a corona-treated stock, or a press with a treater",
                ANOTHER_STOCK,
            )
        )
    return found + white_findings(part)


def design_findings(press: FlexoPress, part: Part) -> list[Finding]:
    """What the artwork should allow for: the seam, small type in many inks, light tints."""
    found = [] if press.seamless else _seam(press, part)
    if part.min_type_pt is not None:
        found += above(
            "colours_in_type",
            "small type built from so many inks shows every fault of register",
            max((len(side.inks) for side in part.sides), default=0),
            press.max_colours_in_type,
            "inks",
            f"build small type from at most {press.max_colours_in_type} of them",
            severity="caution",
        )
    pictures = [
        side
        for side in part.sides
        if sum(ink.kind == "process" for ink in side.inks) >= LEAST_INKS_OF_A_PICTURE
    ]
    if pictures and press.min_tint_pct:
        found.append(
            Finding(
                "caution",
                "light_tints",
                f"tints under {press.min_tint_pct:g} % do not hold: a fade to nothing ends in an "
                "edge",
                None,
                press.min_tint_pct,
                "%",
                f"keep the lightest tint at {press.min_tint_pct:g} %, or end fades out of sight",
            )
        )
    return found


def _seam(press: FlexoPress, part: Part) -> list[Finding]:
    return below(
        "plate_gap",
        "each repeat has a seam where the ends of the plate meet, and the design runs over it",
        part.gutter_mm,
        press.plate_gap_mm,
        "mm",
        f"leave {press.plate_gap_mm:g} mm between pieces, or order seamless sleeves",
        severity="caution",
    )


def carrier_cautions(press: FlexoPress, part: Part) -> list[Finding]:
    """Kept plates age by handling, whatever they have printed."""
    if not any(kept.partition(":")[0] == press.id for kept in part.kept_carriers):
        return []
    return [
        Finding(
            "caution",
            "kept_plates",
            f"stored plates are good for about {press.plate_runs} runs; then they swell and crack",
            None,
            press.plate_runs,
            "runs",
            "look at them before they are mounted, and order new ones past that count",
        )
    ]


def use_findings(job: Job) -> list[Finding]:
    """What the piece is for."""
    found = []
    if "delicate" in job.uses:
        found.append(
            Finding(
                "caution",
                "delicate",
                "the web goes through a nip at every deck; the plate only kisses, but it touches",
                "delicate",
                "",
                "",
                "print without contact, or run a trial at the lightest impression",
            )
        )
    if "food_contact" in job.uses:
        found.append(
            Finding(
                "caution",
                "food_contact",
                "uncured ink and retained solvent can migrate, and set off in the reel",
                "food_contact",
                "",
                "",
                "use low-migration inks on the side away from the food, test what is retained, "
                "and have it assessed under the food law that applies",
            )
        )
    if "outdoor" in job.uses:
        found.append(
            Finding(
                "caution",
                "outdoor",
                "the usual inks fade and scuff out of doors",
                "outdoor",
                "",
                "",
                "order lightfast inks under a varnish or an overlaminate",
            )
        )
    return found


def safety_findings(press: FlexoPress) -> list[Finding]:
    """What can hurt someone at this press."""
    found = [
        Finding(
            "caution",
            "safety_nips",
            "running nips, gears and rotary knives draw in and cut",
            remedy="keep guards shut, thread and clean at inching speed or locked out, as the "
            "local machine safety code asks",
        )
    ]
    if press.ink == "uv":
        found.append(
            Finding(
                "caution",
                "safety_uv",
                "UV lamps burn skin and eyes and mercury lamps make ozone; wet UV ink sensitises",
                remedy="keep shields shut and ozone extracted, wear gloves and glasses, follow the "
                "data sheets and local workplace limits",
            )
        )
    if press.ink == "solvent":
        found.append(
            Finding(
                "caution",
                "safety_solvent_vapour",
                "solvent vapour burns and explodes, and harms when breathed",
                remedy="earth the web path, ventilate, watch the vapour in dryers, burn or recover "
                "the exhaust; rated equipment and permits as local fire and air codes ask",
            )
        )
    if press.ink != "uv":
        found.append(
            Finding(
                "caution",
                "safety_oven",
                "dryers are hot, and a stopped web in them can catch fire",
                remedy="let them cool before reaching in; gas and exhaust to be set and serviced "
                "by licensed people under local codes",
            )
        )
    return found
