"""What stands against a part on a web litho press."""

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

from .press import WebPress


def findings(press: WebPress, part: Part, job: Job) -> list[Finding]:
    """Return all that stands against a part, limits first."""
    return [
        *usual_findings(press, part, job),
        *carrier_findings(part),
        *tone_findings(part, tones(press).steps(part.ruling_lpi)),
        *ink_findings(press, part),
        *colour_type_findings(press, part),
        *_blister(press, part),
        *use_findings(job),
        *safety_findings(press),
    ]


def tones(press: WebPress) -> Tones:
    """Tone steps of its plates."""
    return Tones(press.plate_dpi)


def ink_findings(press: WebPress, part: Part) -> list[Finding]:
    """Inks for which there is a unit; a web goes through once."""
    kinds = ", ".join(press.ink_kinds)
    found = [
        Finding(
            "limit",
            "ink_unavailable",
            f"{ink.name}: the press runs no {ink.kind} ink",
            ink.name,
            kinds,
            "",
            "use a press that runs it, or leave it for a second operation",
        )
        for ink in part.inks
        if ink.kind not in press.ink_kinds
    ]
    most = max((len(side.inks) for side in part.sides), default=0)
    return [
        *found,
        *above(
            "too_many_inks",
            "a web takes no more inks on a side in its one pass",
            most,
            press.inks_per_side,
            "inks",
            f"use at most {press.inks_per_side} inks a side",
        ),
    ]


def colour_type_findings(press: WebPress, part: Part) -> list[Finding]:
    """Small type on sides of several inks: a caution, since it may be set in one of them."""
    if max((len(side.inks) for side in part.sides), default=0) < 2:
        return []
    plain, reverse = press.min_colour_type_pt, press.min_reverse_colour_type_pt
    return [
        *below(
            "colour_type_small",
            "type this small shows misregister when it prints in several inks",
            part.min_type_pt,
            plain,
            "pt",
            f"set it in one ink, or make it at least {plain:g} pt",
            severity="caution",
        ),
        *below(
            "colour_reverse_type_small",
            "type this small fills in when it is reversed out of several inks",
            part.min_reverse_type_pt,
            reverse,
            "pt",
            f"reverse it out of one ink, or make it at least {reverse:g} pt",
            severity="caution",
        ),
    ]


def _blister(press: WebPress, part: Part) -> list[Finding]:
    """Moisture that boils under a tight coating in the oven."""
    if press.drying != "heatset" or not part.stock.coated:
        return []
    most = press.blister_above_gsm
    return above(
        "blister",
        "coated stock this heavy may blister in the oven where it is moist",
        part.stock.grammage_gsm,
        most,
        "g/m2",
        f"keep reels dry and the web cooler, or choose a coated stock up to {most:g} g/m2",
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
                "ordinary web inks are not for direct contact with food; set-off and migration "
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
                "process inks fade and rub outdoors, and light papers take up rain",
                "outdoor",
                remedy="ask for lightfast inks and a laminate, or a process with outdoor inks",
            )
        )
    if "delicate" in job.uses:
        found.append(
            Finding(
                "limit",
                "contact_pressure",
                "the web is nipped between blankets and pulled through rollers",
                "delicate",
                remedy="use a process that does not touch the piece",
            )
        )
    return found


def safety_findings(press: WebPress) -> list[Finding]:
    """Hazards of the press at hand."""
    found = [
        _safety(
            "safety_nips",
            "webbing up leads paper through nips that draw hands in",
            "inch with guards closed, lock out before reaching in, wear hearing protection; "
            "follow the local machine safety code",
        )
    ]
    if press.drying == "heatset":
        found.append(
            _safety(
                "safety_oven",
                "the oven holds hot solvent vapour, which burns and can explode",
                "purge before lighting, keep airflow and temperature interlocks proven, have "
                "oven and oxidiser serviced by licensed people; follow local fire and air rules",
            )
        )
    if press.drying == "uv":
        found.append(
            _safety(
                "safety_uv",
                "UV lamps harm eyes and skin, some make ozone, and uncured ink sensitises skin",
                "keep lamp shields closed, extract the air, wear gloves; follow the maker's data "
                "sheets and local workplace limits",
            )
        )
    return found


def _safety(code: str, message: str, remedy: str) -> Finding:
    return Finding("caution", code, message, remedy=remedy)
