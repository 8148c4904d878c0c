"""Drop-on-demand inkjet: no image carrier, no contact; fixed heads or heads on a carriage.

Fixed heads print a sheet, web or label reel in a single pass, no faster than their nozzles fire
(v = f / dpi) and than the dryer dries. A carriage crosses a roll, a board or a garment as often as
the quality wants, so its pace is an area an hour. Ink follows from drop volume, pixels and
coverage.
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
)

from .abilities import told_abilities
from .charges import charges
from .limits import findings
from .press import InkjetPress
from .schema import InkjetPressSchema
from .timing import run

MEMORY = "from memory"


@hookimpl
def process() -> Process:
    """Facts of drop-on-demand inkjet."""
    return Process(
        id="dod_inkjet",
        name="Drop-on-demand inkjet",
        image_carrier="none: every drop is placed anew; heads last years",
        contact="none: drops fly from the head to the stock",
        ink="liquid: aqueous, UV-curing, latex or solvent; process inks, white, varnish, few spots",
        drying="aqueous dried and absorbed on the press, UV at once, latex cured at 60 to 120 C",
        tone_depth="one drop size, or 4 to 8 levels; tones mostly by fine screening",
        make_ready="2 to 15 min: purge, nozzle check; 1 to 5 sheets or 5 to 50 m",
        wash_up="none: heads keep their inks; 10 to 100 ml purged at each start",
        proof="the first print on the press",
        skill="trained operator, often one for several presses",
        turnaround="hours to 3 days",
        variable_data=True,
        usual_run_length=(1, 5_000),
        standard_token="Inkjet",  # noqa: S106  a word of the standard, not a secret
        cautions=(
            "UV lamps harm eyes and skin and uncured ink sensitises: shields, gloves, extraction.",
            "Mercury lamps and corona treaters make ozone; solvent and latex inks give off vapour "
            "as they dry: ventilate, follow local air and fire rules.",
            "Carriages, webs and dryers move or are hot: keep guards and interlocks, lock out "
            "before reaching in, follow the local machine safety code.",
            "Near food, inks can migrate: low-migration ink and an assessment under the food law "
            "that applies.",
        ),
        quality=(0.85, 1.0),
        quality_basis="0.85 to 1.0 of litho as the trade speaks of it, from memory: treated paper "
        "and fine drops at the top, plain paper and draft passes at the bottom",
        crew=(1, 1),
        substrates="papers of 40 to 350 g/m2, best treated for inkjet; labels, film, vinyl, rigid "
        "boards to 50 mm, corrugated, textiles and garments by kind of ink",
        largest_format="sheets to B2 and beyond, webs to about 1,060 mm, rolls and flatbeds to "
        "3 m and more",
        speed="webs 75 to 300 m/min, B2 sheets 3,000 to 11,000 an hour, flatbeds 20 to 200 m2/h, "
        "garments 57 to 180 s each",
        colours="4 to 8 inks, white, varnish",
        sources={
            "tone_depth": "an inkjet printer maker's note on grey levels",
            "speed": "200 m/min and 3,000 pages a minute: 'Will inkjet kill offset?', Sprinter "
            "(2010s); garments: Determining costs of DTG, Graphics Pro; others from memory",
        },
        source=MEMORY,
    )


@hookimpl
def press_schema() -> type[PressSchema]:
    """Describe a press."""
    return InkjetPressSchema


@hookimpl
def constraints(press: InkjetPress, part: Part, job: Job) -> list[Finding]:
    """What stands against a part on this press."""
    return findings(press, part, job)


@hookimpl
def speed(press: InkjetPress, work: Work) -> Run | None:
    """Net cycles an hour from jetting, drying and rated speed, or from area and passes."""
    return run(press, work)


@hookimpl
def abilities(press: InkjetPress) -> Abilities:
    """What this press can do, whatever the job."""
    return told_abilities(press)


@hookimpl
def cost(press: InkjetPress, work: Work) -> list[Charge]:
    """Ink by drops or clicks, purge, primer or pre-treatment, dryer."""
    return charges(press, work)
