"""What stands against a part on a continuous inkjet press."""

from __future__ import annotations

from dataclasses import replace

from sidelay.plugin import (
    ANOTHER_STOCK,
    Finding,
    Ink,
    Job,
    Part,
    PieceFeed,
    Stock,
    Tones,
    above,
    below,
    tone_findings,
)

from .heads import SEALED, band_mm, band_share, wanted_share
from .press import CijPress

# Plastics that ketones soften. Common practice, no source.
SOFTENED = frozenset(("vinyl", "rigid"))
OPAQUE_KINDS = ("white", "metallic", "fluorescent")


def ink_findings(press: CijPress, part: Part) -> list[Finding]:
    """Which inks can be had, and how many at once."""
    refused = [ink for ink in part.inks if not can_be_had(press, ink)]
    most = max(len(side.inks) for side in part.sides)
    found = above(
        "too_many_inks",
        "more inks on a side than the press has rows of heads",
        most,
        press.colours,
        "inks",
        f"use at most {press.colours} ink(s) a side",
    )
    if refused:
        called = ", ".join(ink.name for ink in refused)
        found.append(
            Finding(
                "limit",
                "ink_unavailable",
                f"no jet here throws {called}: the ink must be thin and conduct, mostly a dye",
                called,
                ", ".join(dict.fromkeys(("black", "spot", *press.standing_inks))),
                "",
                "print it in black or one spot dye, or use a press that runs these inks",
            )
        )
    return found


def can_be_had(press: CijPress, ink: Ink) -> bool:
    """Whether a jet throws an ink: black, a spot dye, what it is kept on, or its pigments."""
    if ink.kind in OPAQUE_KINDS:
        return ink.kind in press.pigmented_kinds
    if ink.kind == "process":
        return ink.name == "black" or ink.name in press.standing_inks
    return ink.kind == "spot"


def surface_findings(press: CijPress, stock: Stock, inks: tuple[Ink, ...]) -> list[Finding]:
    """What the ink does on the surface: it may not show, not dry, or bite."""
    found = []
    dyes = ", ".join(ink.name for ink in inks if ink.kind not in press.pigmented_kinds)
    if stock.tone == "dark" and dyes:
        found.append(
            Finding(
                "limit",
                "dye_on_dark",
                f"{dyes}: a transparent dye does not show on a dark surface",
                dyes,
                ", ".join(press.pigmented_kinds),
                "",
                "print on a light stock, or use a press that runs a pigmented ink",
                ANOTHER_STOCK,
            )
        )
    if press.fluid == "aqueous" and stock.grade in SEALED:
        found.append(
            Finding(
                "limit",
                "ink_will_not_dry",
                "water-based ink beads and smears on a surface that drinks none of it",
                stock.grade,
                "paper and board",
                "",
                "choose a paper or board, or use a press that runs a solvent ink",
                ANOTHER_STOCK,
            )
        )
    if press.fluid == "ketone" and stock.grade in SOFTENED:
        found.append(
            Finding(
                "caution",
                "ink_softens_plastic",
                "ketone ink can soften or craze this plastic",
                stock.grade,
                remedy="try it on a sample first, or use an alcohol-based ink",
            )
        )
    return found


def reach_findings(press: CijPress, part: Part) -> list[Finding]:
    """Whether the heads reach all that is to print."""
    band = band_mm(press)
    if isinstance(press.feed, PieceFeed):
        height = part.flat_height_mm
        return [
            *above(
                "print_too_high",
                "the print is higher than the heads reach",
                height,
                band,
                "mm",
                f"keep the print within {band:g} mm of height",
            ),
            *below(
                "print_too_low",
                "no legible line of dots is as low as this",
                height,
                press.min_height_mm,
                "mm",
                f"make the print at least {press.min_height_mm:g} mm high",
            ),
        ]
    # The better way round: fed so where the feed takes it, else left out when it is timed.
    across = min(part.flat_width_mm, part.flat_height_mm)
    share = round(band_share(press, across), 4)
    # What varies can be made less of; the ink that all of it takes cannot.
    varies = wanted_share(press, replace(part, variable_share=share)) <= share
    return above(
        "band_too_narrow",
        f"the heads reach a strip of {band:g} mm, and the print needs more of the piece",
        round(wanted_share(press, part), 4),
        share,
        "share",
        f"print on at most {share:.1%} of the piece, inked to {press.band_coverage:.0%} of that",
        change={"variable_share": share} if part.variable_share and varies else {},
    )


def tone_limits(press: CijPress, part: Part) -> list[Finding]:
    """Tone steps that it shows at the ruling asked for."""
    return tone_findings(part, tones(press).steps(part.ruling_lpi))


def tones(press: CijPress) -> Tones:
    """Tone steps: a coder prints type only; a jet for each dot gives cells of one-bit dots."""
    return Tones(levels=2) if press.heads == "coder" else Tones(press.resolution_dpi)


def use_findings(press: CijPress, part: Part, job: Job) -> list[Finding]:
    """What the piece is for: food, weather."""
    found = []
    if "food_contact" in job.uses:
        found.append(_food(press))
    dyes = ", ".join(ink.name for ink in part.inks if ink.kind not in press.pigmented_kinds)
    if "outdoor" in job.uses and dyes:
        found.append(
            Finding(
                "caution",
                "fades_outdoors",
                f"{dyes}: dye inks fade in daylight and run in rain",
                dyes,
                remedy="ask for a pigmented ink, or keep it for codes that are read at once",
            )
        )
    return found


def _food(press: CijPress) -> Finding:
    if press.food_grade_ink:
        return Finding(
            "caution",
            "food_contact",
            "the ink set is made for contact with food; whether this use of it is allowed, the "
            "food law that applies decides",
            "food_contact",
            remedy="have the ink maker's declaration, and the use assessed",
        )
    return Finding(
        "limit",
        "food_contact",
        "the ink in this press is not made for contact with food",
        "food_contact",
        "food-grade ink set",
        "",
        "use a press that is kept on a food-grade ink set, or keep the print off the food side",
    )


def safety_findings(press: CijPress) -> list[Finding]:
    """What can hurt someone at this press."""
    found = [
        Finding(
            "caution",
            "safety_high_voltage",
            "the plates that steer the drops stand at some thousand volts",
            remedy="stop the jets before opening a head; only trained people inside; follow the "
            "maker's manual and the local electrical code",
        )
    ]
    if press.fluid != "aqueous":
        found.append(
            Finding(
                "caution",
                "safety_solvent_vapour",
                f"ink and make-up are thinned with {press.fluid}: the vapour burns, harms when "
                "breathed, and a spark of static can light it",
                press.fluid,
                remedy="extract at the head, earth heads and line, gloves and eye protection, no "
                "flame; store and discard by the local fire, air and workplace rules",
            )
        )
    moving = {
        "piece": "the line keeps moving past the heads",
        "sheet": "feeder and belts draw in fingers, hair and sleeves",
        "web": "web nips and reels draw in hands",
    }[press.feed.kind]
    found.append(
        Finding(
            "caution",
            "safety_moving_parts",
            moving,
            remedy="keep guards shut, stop and lock out before reaching in; follow the local "
            "machine safety code",
        )
    )
    return found
