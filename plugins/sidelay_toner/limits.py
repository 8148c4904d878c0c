"""What stands against a part on a cut-sheet toner press."""

from __future__ import annotations

from sidelay.plugin import (
    ANOTHER_STOCK,
    PROCESS_INKS,
    Finding,
    Ink,
    Job,
    Part,
    Tones,
    below,
    tone_findings,
    usual_findings,
)

from .press import TonerPress


def findings(press: TonerPress, part: Part, job: Job) -> list[Finding]:
    """Return all that stands against a part."""
    return [
        *usual_findings(press, part, job),
        *tone_findings(part, tones(press).steps(part.ruling_lpi)),
        *heat_findings(press, part),
        *ink_findings(press, part),
        *front_back_findings(press, part),
        *use_findings(job),
        *safety_findings(),
    ]


def tones(press: TonerPress) -> Tones:
    """Tone steps of its engine, whose spots vary."""
    return Tones(press.addressability_dpi, press.grey_levels)


def heat_findings(press: TonerPress, part: Part) -> list[Finding]:
    """Stock that the fuser would spoil."""
    if part.stock.grade not in press.heat_sensitive_grades:
        return []
    return [
        Finding(
            "limit",
            "heat_sensitive",
            "the fuser's heat shrinks or melts it, and it may wrap round the fuser",
            part.stock.grade,
            "stock that stands the fuser",
            remedy="choose paper, or a film that its maker offers for toner, under a grade of its "
            "own",
            change=ANOTHER_STOCK,
        )
    ]


def ink_findings(press: TonerPress, part: Part) -> list[Finding]:
    """What inks without a station of their own meet: a simulation to know of, or a limit."""
    missing = [ink for ink in part.inks if ink.name not in press.stations]
    simulated = [ink for ink in missing if ink.may_simulate and _can_simulate(press, ink)]
    refused = [ink for ink in missing if ink not in simulated]
    found = []
    if simulated:
        names = _names(simulated)
        found.append(
            Finding(
                "caution",
                "ink_simulated",
                f"{names}: built from process toners, will look different",
                names,
                ", ".join(press.stations),
                "",
                "approve a copy first, or use a press that runs the ink itself",
            )
        )
    if refused:
        names = _names(refused)
        found.append(
            Finding(
                "limit",
                "ink_unavailable",
                f"no station holds {names}",
                names,
                ", ".join(press.stations),
                "",
                _ink_remedy(press, refused),
                {"may_simulate": [ink.name for ink in refused]}
                if all(_can_simulate(press, ink) for ink in refused)
                else {},
            )
        )
    return found


def _can_simulate(press: TonerPress, ink: Ink) -> bool:
    """Whether process toners can stand in: for a spot colour, not for its lustre or its glow."""
    return ink.kind == "spot" and set(PROCESS_INKS) <= set(press.stations)


def _ink_remedy(press: TonerPress, refused: list[Ink]) -> str:
    if all(_can_simulate(press, ink) for ink in refused):
        return f'allow it to be simulated ("may_simulate": true on {_names(refused)})'
    return "use a press that runs these inks itself"


def _names(inks: list[Ink]) -> str:
    return ", ".join(ink.name for ink in inks)


def front_back_findings(press: TonerPress, part: Part) -> list[Finding]:
    """How closely the back lies behind the front; a sheet is turned and squares up anew."""
    if len(part.sides) < 2:
        return []
    return below(
        "front_back_register",
        "the back does not fit the front as closely as the colours are to fit",
        part.register_mm,
        press.front_back_register_mm,
        "mm",
        f"allow {press.front_back_register_mm:g} mm between front and back where they must meet",
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
                "toner is not usual for direct contact with food; the food law "
                "that applies decides",
                "food_contact",
                remedy="keep a functional barrier between print and food, and have it assessed",
            )
        )
    if "outdoor" in job.uses:
        found.append(
            Finding(
                "caution",
                "outdoor",
                "toner lies on the surface: it scratches, and colours fade outdoors",
                "outdoor",
                remedy="laminate it, or use a process with outdoor inks",
            )
        )
    if "delicate" in job.uses:
        found.append(
            Finding(
                "limit",
                "contact_pressure",
                "the fuser presses the piece between hot rollers",
                "delicate",
                remedy="use a process that does not touch the piece",
            )
        )
    return found


def safety_findings() -> list[Finding]:
    """Hazards that every toner press has."""
    return [
        Finding(
            "caution",
            "safety_ozone",
            "charging makes ozone, and toner is a fine dust",
            remedy="ventilate, change filters in time, use a toner vacuum; follow the maker's data "
            "sheets and local workplace limits",
        )
    ]
