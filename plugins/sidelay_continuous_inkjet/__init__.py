"""Continuous inkjet: a jet that never stops, its drops steered to the piece or caught again.

Coders mark bottles and cartons on the line, addressing heads a strip of each piece, arrays the
whole width of a web. There is no image carrier: every piece may differ.
"""

from __future__ import annotations

from sidelay.plugin import (
    Abilities,
    Charge,
    Finding,
    Job,
    Part,
    PressSchema,
    Process,
    Run,
    Work,
    hookimpl,
    usual_findings,
)

from .abilities import told_abilities
from .charges import charges
from .heads import CODER_DROP_KHZ
from .limits import (
    ink_findings,
    reach_findings,
    safety_findings,
    surface_findings,
    tone_limits,
    use_findings,
)
from .press import CijPress, CijPressSchema
from .timing import run


@hookimpl
def process() -> Process:
    """Facts of continuous inkjet printing."""
    slow, fast = CODER_DROP_KHZ
    return Process(
        id="continuous_inkjet",
        name="Continuous inkjet",
        image_carrier="none: every piece is written anew",
        contact="none: drops cross a gap of 1 to 15 mm",
        ink="thin conductive dye ink, mostly black; pigmented opaque inks on some coders",
        drying="solvent ink in 1 to 2 seconds, arrays with dryers",
        tone_depth="a dot prints or does not; coders print type and codes only",
        make_ready="start and flush the jets, 5 to 15 min; hardly any waste",
        wash_up="flush at the end; long where the ink changes",
        proof="the first piece",
        skill="line operator, trained for solvents and data",
        turnaround="at once, in line with the packing, mailing or printing line",
        variable_data=True,
        usual_run_length=(100, 10_000_000),
        standard_token="Inkjet",  # noqa: S106  a word of the standard, not a secret
        cautions=(
            "Solvent inks and make-up give off vapour that burns and harms: extract, earth, keep "
            "flames and sparks away, follow local fire, air and workplace rules.",
            "The deflection plates stand at high voltage: stop the jets before opening a head.",
            "Lines, belts and webs keep moving: guards shut, lock out before reaching in.",
            "Ink sets for food contact are special ones; the food law that applies decides.",
        ),
        quality=(0.3, 0.8),
        quality_basis="arrays 0.6 to 0.8 of litho, coders mark only and stand below; trade "
        "opinion, from memory",
        crew=(0.5, 2),
        substrates="any surface that does not repel the ink, flat or curved: paper, board, film, "
        "foil, glass, metal, envelopes",
        largest_format="a strip 2 to 20 mm high on any piece; arrays over webs of about 520 mm",
        speed=f"a coder's jet throws {slow:g} to {fast:g} thousand drops a second, some metres of "
        "line a second; arrays to 300 m/min",
        colours="mostly one: black, or a spot dye; arrays a few",
        sources={
            "speed": "industrial coder manual, print speed appendix; inkjet trends page of a "
            "printer maker (2002)",
            "quality": "from memory",
            "drying": "from memory",
            "make_ready": "from memory",
            "contact": "from memory",
            "largest_format": "from memory",
        },
    )


@hookimpl
def press_schema() -> type[PressSchema]:
    """Describe a press."""
    return CijPressSchema


@hookimpl
def constraints(press: CijPress, part: Part, job: Job) -> list[Finding]:
    """What stands against a part on this press. Nothing touches the piece: delicate ones are fine.

    Variable data is what the process is for, and is never a limit.
    """
    return [
        *usual_findings(press, part, job),
        *ink_findings(press, part),
        *surface_findings(press, part.stock, part.inks),
        *reach_findings(press, part),
        *tone_limits(press, part),
        *use_findings(press, part, job),
        *safety_findings(press),
    ]


@hookimpl
def speed(press: CijPress, work: Work) -> Run | None:
    """Net speed from drops, drying and the line; minutes to start, to set the heads, to flush."""
    return run(press, work)


@hookimpl
def abilities(press: CijPress) -> Abilities:
    """What this press can do, whatever the job."""
    return told_abilities(press)


@hookimpl
def cost(press: CijPress, work: Work) -> list[Charge]:
    """Ink, make-up and cleaning fluid."""
    return charges(press, work)
