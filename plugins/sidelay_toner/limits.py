"""What stands against a part on a cut-sheet toner press."""

from __future__ import annotations

from sidelay.plugin import PROCESS_INKS, QUALITIES, Finding, Ink, Job, Part, Stock

from .press import TonerPress


def stock_findings(press: TonerPress, stock: Stock) -> list[Finding]:
    """Thickness and weight that paper path and fuser take."""
    found = []
    if not press.min_caliper_um <= stock.caliper_um <= press.max_caliper_um:
        found.append(
            Finding(
                "limit",
                "caliper_outside",
                "the paper path does not take a sheet of this thickness",
                stock.caliper_um,
                f"{press.min_caliper_um:g} to {press.max_caliper_um:g}",
                "um",
                f"choose a stock between {press.min_caliper_um:g} and {press.max_caliper_um:g} um",
            )
        )
    if not press.min_grammage_gsm <= stock.grammage_gsm <= press.max_grammage_gsm:
        found.append(
            Finding(
                "limit",
                "grammage_outside",
                "the fuser does not take stock of this weight",
                stock.grammage_gsm,
                f"{press.min_grammage_gsm:g} to {press.max_grammage_gsm:g}",
                "g/m2",
                f"choose {press.min_grammage_gsm:g} to {press.max_grammage_gsm:g} g/m2",
            )
        )
    return found


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
            )
        )
    return found


def _can_simulate(press: TonerPress, ink: Ink) -> bool:
    """Whether process toners can stand in for an ink: not for white, nor for each other."""
    return ink.kind not in ("process", "white") and set(PROCESS_INKS) <= set(press.stations)


def _ink_remedy(press: TonerPress, refused: list[Ink]) -> str:
    if all(_can_simulate(press, ink) for ink in refused):
        return f'allow it to be simulated ("may_simulate": true on {_names(refused)})'
    return "use a press that runs these inks itself"


def _names(inks: list[Ink]) -> str:
    return ", ".join(ink.name for ink in inks)


def image_findings(press: TonerPress, part: Part, job: Job) -> list[Finding]:
    """What the engine resolves, and what the piece is for."""
    found = []
    if part.ruling_lpi > press.max_ruling_lpi:
        found.append(
            Finding(
                "limit",
                "ruling_too_fine",
                "the halftone ruling is finer than the engine resolves",
                part.ruling_lpi,
                press.max_ruling_lpi,
                "lpi",
                f"drop to {press.max_ruling_lpi:g} lpi",
            )
        )
    if QUALITIES.index(job.quality) > QUALITIES.index(press.quality):
        found.append(
            Finding(
                "limit",
                "quality_above",
                "the press is not used for work of this class",
                job.quality,
                press.quality,
                "",
                f'ask for "{press.quality}" quality',
            )
        )
    if "food_contact" in job.uses:
        found.append(
            Finding(
                "caution",
                "food_contact",
                "toner is not usual for direct contact with food; the food law "
                "that applies decides",
                "food_contact",
                "",
                "",
                "keep a functional barrier between print and food, and have it assessed",
            )
        )
    return found
