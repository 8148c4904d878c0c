"""What can hurt someone at this very press, with the usual precaution.

Every remedy defers to local codes and licensed practice.
"""

from __future__ import annotations

from sidelay.plugin import Finding, Part

from .press import InkjetPress

LOCAL = "follow the makers' data sheets, local codes and licensed practice"


# Whether it is there, code, what it does, the usual precaution.
Hazard = tuple[bool, str, str, str]


def hazard_findings(press: InkjetPress, part: Part) -> list[Finding]:
    """Cautions for the hazards that the press has."""
    return [
        Finding("caution", code, message, remedy=f"{precaution}; {LOCAL}")
        for is_there, code, message, precaution in (
            *_of_the_ink(press, part),
            *_of_the_machine(press),
        )
        if is_there
    ]


def _of_the_ink(press: InkjetPress, part: Part) -> tuple[Hazard, ...]:
    return (
        (
            press.ink == "uv",
            "safety_uv",
            "UV light harms eyes and skin, and uncured UV ink sensitises the skin",
            "keep lamp shields closed, wear nitrile gloves, clear spills at once",
        ),
        (
            press.ink in ("solvent", "latex"),
            "safety_fumes",
            f"{press.ink} ink gives off vapour as it dries"
            + (", which can burn" if press.ink == "solvent" else ""),
            "ventilate or extract, keep sources of ignition away from solvents and store them in "
            "closed cans",
        ),
        (
            press.pretreats(part.stock),
            "safety_mist",
            "pre-treatment spray is an acidic mist that irritates eyes and lungs",
            "spray in a closed cabinet with extraction, wear goggles and gloves",
        ),
    )


def _of_the_machine(press: InkjetPress) -> tuple[Hazard, ...]:
    return (
        (
            press.lamps == "mercury" or press.corona_treater,
            "safety_ozone",
            "mercury lamps and corona treaters make ozone",
            "run the extraction whenever they are on and have workplace limits checked",
        ),
        (
            press.ink == "latex" or (press.aqueous and press.single_pass) or press.takes_pieces,
            "safety_heat",
            "dryers, curing zones and heat presses burn the skin and can scorch what jams in them",
            "let them cool before clearing a jam, keep guards and interlocks in place",
        ),
        (
            not press.single_pass,
            "safety_carriage",
            "the moving carriage can crush fingers and strike a raised edge of the stock",
            "keep hands and tools out of its way, hold stock flat, never defeat a light curtain "
            "or an interlock",
        ),
        (
            press.single_pass and press.takes_reels,
            "safety_nips",
            "running web and nip rollers draw in hands and loose clothing",
            "keep guards shut, web up at crawl speed, lock out before reaching in",
        ),
    )
