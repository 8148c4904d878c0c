"""What stands against a part on an inkjet press."""

from __future__ import annotations

from sidelay.plugin import (
    ANOTHER_STOCK,
    Finding,
    Ink,
    Job,
    Part,
    Tones,
    above,
    heaviest_coverage_pct,
    tone_findings,
    usual_findings,
)

from .hazards import hazard_findings
from .inks import can_simulate, holds, needs_base
from .press import CLEAR_FINISHES, InkjetPress

FILMS = ("film", "foil")


def findings(press: InkjetPress, part: Part, job: Job) -> list[Finding]:
    """Everything that stands against a part, or that is good to know."""
    return [
        *usual_findings(press, part, job),
        *tone_findings(part, tones(press).steps(part.ruling_lpi)),
        *ink_findings(press, part),
        *white_findings(press, part),
        *surface_findings(press, part),
        *use_findings(press, job),
        *hazard_findings(press, part),
    ]


def tones(press: InkjetPress) -> Tones:
    """Tone steps of its heads, whose drops vary, by the coarser way."""
    return Tones(min(press.dpi_across, press.dpi_along), press.grey_levels)


def ink_findings(press: InkjetPress, part: Part) -> list[Finding]:
    """What inks without a row of heads meet: a simulation to know of, or a limit."""
    missing = [ink for ink in part.inks if not holds(press, ink)]
    simulated = [ink for ink in missing if ink.may_simulate and can_simulate(press, ink)]
    refused = [ink for ink in missing if ink not in simulated]
    held = ", ".join(press.channels)
    found = []
    if simulated:
        found.append(
            Finding(
                "caution",
                "ink_simulated",
                f"{_names(simulated)}: built from process inks, will look different",
                _names(simulated),
                held,
                "",
                "approve a print first, or use a press that runs the ink itself",
            )
        )
    if refused:
        allowable = all(can_simulate(press, ink) for ink in refused)
        found.append(
            Finding(
                "limit",
                "ink_unavailable",
                f"no row of heads holds {_names(refused)}",
                _names(refused),
                held,
                "",
                f'allow it to be simulated ("may_simulate": true on {_names(refused)})'
                if allowable
                else "use a press that runs these inks itself, or leave them out",
                {"may_simulate": [ink.name for ink in refused]} if allowable else {},
            )
        )
    return found


def white_findings(press: InkjetPress, part: Part) -> list[Finding]:
    """White under the colours: must be on dark stock, is advised on clear film."""
    if "white" not in press.channels and any(needs_base(side, part.stock) for side in part.sides):
        return [
            Finding(
                "limit",
                "no_white_on_dark",
                "colours vanish on dark stock without white under them, and the press has none",
                part.stock.tone,
                "light",
                "",
                "choose a light stock, or a press with white ink",
                ANOTHER_STOCK,
            )
        ]
    clear = part.stock.finish in CLEAR_FINISHES
    bare = any(all(ink.kind != "white" for ink in side.inks) for side in part.sides)
    if clear and bare:
        return [
            Finding(
                "caution",
                "no_white_on_clear",
                "on clear film colours look transparent without white behind them",
                part.stock.finish,
                "white",
                "",
                "add a white ink to that side, unless the glassy look is wanted",
            )
        ]
    return []


def surface_findings(press: InkjetPress, part: Part) -> list[Finding]:
    """Whether the surface takes the ink: treated paper, primer, corona, pre-treatment."""
    stock, coverage = part.stock, heaviest_coverage_pct(part)
    if not press.aqueous:
        return _film_findings(press, part)
    found = []
    if press.single_pass:
        found += above(
            "coverage_heavy",
            "coverage this heavy dries slowly on an aqueous press, cockles thin paper and takes "
            "much ink",
            coverage,
            press.heavy_coverage_pct,
            "%",
            f"keep average coverage of a side to {press.heavy_coverage_pct:g} %, or accept the "
            "slower run",
            severity="caution",
        )
    if press.pretreats(stock):
        return [*found, _pretreated(press)]
    if stock.treated or press.takes_pieces:
        return found
    if press.primes(stock, coverage):
        return [*found, _primed(press, stock.grade)]
    if stock.coated:
        return [*found, _stands_on_coating(stock.grade)]
    return [
        *found,
        *above(
            "coverage_untreated",
            "aqueous ink this heavy strikes through and feathers on untreated paper",
            coverage,
            press.untreated_coverage_pct,
            "%",
            f"choose an inkjet-treated stock, or keep coverage to {press.untreated_coverage_pct:g}"
            " %",
            severity="caution",
        ),
    ]


def _pretreated(press: InkjetPress) -> Finding:
    return Finding(
        "caution",
        "pretreated",
        "a dark garment is sprayed and pressed dry before white ink goes on it; the spray may leave"
        " a mark",
        "untreated",
        press.pretreat_gsm,
        "g/m2",
        "approve a printed and washed sample, or buy garments treated for printing",
    )


def _primed(press: InkjetPress, grade: str) -> Finding:
    return Finding(
        "caution",
        "primed",
        "untreated stock gets a primer on the press before aqueous ink, which is priced",
        grade,
        press.primer_gsm,
        "g/m2",
        "choose an inkjet-treated stock to save the primer",
    )


def _stands_on_coating(grade: str) -> Finding:
    return Finding(
        "limit",
        "coating_untreated",
        "aqueous ink stands on this coating and smears, and the press has no priming unit",
        grade,
        "treated",
        "",
        "choose an inkjet-treated stock, or a press that primes",
        ANOTHER_STOCK,
    )


def _film_findings(press: InkjetPress, part: Part) -> list[Finding]:
    if part.stock.grade not in FILMS or part.stock.treated or press.corona_treater:
        return []
    return [
        Finding(
            "caution",
            "adhesion",
            "ink may not hold on film that is not corona-treated or primed",
            "untreated",
            "treated",
            "",
            "choose a treated film, or test adhesion with tape before the run",
        )
    ]


def use_findings(press: InkjetPress, job: Job) -> list[Finding]:
    """What the piece is for: out of doors, next to food."""
    found = []
    if "outdoor" in job.uses and press.aqueous:
        found.append(
            Finding(
                "limit",
                "outdoor",
                "aqueous ink runs and fades out of doors",
                press.ink,
                "uv, latex, solvent",
                "",
                "use a press with UV, latex or solvent ink",
            )
        )
    if "food_contact" in job.uses:
        found.append(
            Finding(
                "caution",
                "food_contact",
                f"what is left of {_called(press.ink)} ink can migrate into food, by set-off or "
                "through the stock",
                "food_contact",
                "",
                "",
                "use low-migration ink with a functional barrier, never print the side that "
                "touches food, and have it assessed under the food law that applies",
            )
        )
    return found


def _called(ink: str) -> str:
    return "UV" if ink == "uv" else ink


def _names(inks: list[Ink]) -> str:
    return ", ".join(ink.name for ink in inks)
