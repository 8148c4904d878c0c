"""What stands against a part on a gravure press, and what to know of it."""

from __future__ import annotations

from sidelay.plugin import (
    ANOTHER_STOCK,
    Finding,
    Job,
    Part,
    Tones,
    above,
    below,
    carrier_findings,
    tone_findings,
    usual_findings,
    white_findings,
)

from .press import GravurePress

# Surfaces that take no ink unless they are treated, and surfaces that miss cells.
CLOSED_GRADES = ("film", "foil", "vinyl")
ROUGH_GRADES = ("uncoated", "newsprint", "board")


def findings(press: GravurePress, part: Part, job: Job) -> list[Finding]:
    """Everything that stands against a part."""
    return [
        *usual_findings(press, part, job),
        *carrier_findings(part),
        *tone_findings(part, tones(press).steps(part.ruling_lpi)),
        *unit_findings(press, part),
        *surface_findings(press, part),
        *edge_findings(press, part),
        *carrier_cautions(press, part),
        *use_findings(job),
        *emission_findings(press),
        *safety_findings(press),
    ]


def tones(press: GravurePress) -> Tones:
    """Levels of depth that its cells are engraved in, whatever the screen."""
    return Tones(levels=press.tone_levels)


def unit_findings(press: GravurePress, part: Part) -> list[Finding]:
    """Inks of each side against its units."""
    return above(
        "too_many_inks",
        "more inks on a side than the press has units",
        max((len(side.inks) for side in part.sides), default=0),
        press.units,
        "inks",
        f"use at most {press.units} inks a side, white and varnish among them",
    )


def surface_findings(press: GravurePress, part: Part) -> list[Finding]:
    """Film that ink does not wet, rough stock that misses cells, stock that shines through."""
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
    if stock.grade in ROUGH_GRADES and not press.electrostatic_assist:
        found.append(
            Finding(
                "caution",
                "rough_stock",
                "cells that a rough stock does not touch stay full: dots are missed in light tones",
                stock.grade,
                "a smooth surface",
                "",
                "choose a coated or calendered stock, or a press with electrostatic assist",
            )
        )
    return found + white_findings(part)


def edge_findings(press: GravurePress, part: Part) -> list[Finding]:
    """All that prints is cut into cells, type as well."""
    if part.min_type_pt is not None and part.min_type_pt < press.min_type_pt:
        return []  # refused already
    return below(
        "serrated_type",
        "type is screened like all else, and the cells show at the edges of small letters",
        part.min_type_pt,
        press.serrated_below_pt,
        "pt",
        f"set it at {press.serrated_below_pt:g} pt or more, in one dark colour",
        severity="caution",
    )


def carrier_cautions(press: GravurePress, part: Part) -> list[Finding]:
    """Kept cylinders bring the wear of their earlier runs with them."""
    if not any(kept.partition(":")[0] == press.id for kept in part.kept_carriers):
        return []
    return [
        Finding(
            "caution",
            "kept_cylinders",
            "the chrome of kept cylinders is priced as new; earlier runs have worn it",
            remedy="measure the chrome before the run, and have it renewed where it is thin",
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
                "a rubber roller presses the web hard on the cylinder in every unit",
                "delicate",
                "",
                "",
                "print without contact",
            )
        )
    if "food_contact" in job.uses:
        found.append(
            Finding(
                "caution",
                "food_contact",
                "retained solvent and ink can migrate, and set off in the reel",
                "food_contact",
                "",
                "",
                "use inks made for food packaging on the side away from the food, measure retained "
                "solvent, and have it assessed under the food law that applies",
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


def emission_findings(press: GravurePress) -> list[Finding]:
    """Solvent that leaves, against what the rule for publication gravure allows."""
    if press.ink == "water":
        return []
    return above(
        "voc_emitted",
        "more of the solvent leaves than the share this press is held to",
        round(1 - press.solvent_controlled_share, 4),
        press.max_voc_share,
        "share",
        f"recover or burn at least {1 - press.max_voc_share:.0%} of it; the local air permit "
        "decides",
        severity="caution",
    )


def safety_findings(press: GravurePress) -> list[Finding]:
    """What can hurt someone at this press."""
    found = [
        Finding(
            "caution",
            "safety_nips",
            "running nips draw in, doctor blades cut, cylinders are heavy",
            remedy="keep guards shut, lift with the trolley, thread and clean at inching speed or "
            "locked out, as the local machine safety code asks",
        ),
        Finding(
            "caution",
            "safety_oven",
            "ovens are hot, and a stopped web in them can catch fire",
            remedy="let them cool before reaching in; burners and exhaust to be set and serviced "
            "by licensed people under local codes",
        ),
    ]
    if press.ink != "water":
        found.append(
            Finding(
                "caution",
                "safety_solvent_vapour",
                f"{press.ink} vapour explodes and harms when breathed; the web charges up",
                remedy="rated equipment, earthing and discharge bars, vapour watched in ovens and "
                "pits, extraction to recovery or burner; local fire, air and workplace limits "
                "decide",
            )
        )
    return found
