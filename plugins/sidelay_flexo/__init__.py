"""Flexography: relief plates or sleeves inked by an anilox roll, reel to reel.

A cycle is one repeat of the printing cylinder. Every ink takes a plate as long as the repeat and as
wide as the print, a deck and an anilox roll chosen for its kind. The ink is what the anilox cells
hold and pass on. A plate leaves a seam on the repeat and stretches round its cylinder; a sleeve
that is engraved in the round does neither, at about twice the price and some weeks' wait. A die is
charged once for the form (per "form", not "carrier": it is no image carrier) and again whenever it
is blunt.
"""

from __future__ import annotations

from math import ceil

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
    changeover,
    hookimpl,
)

from .abilities import told_abilities
from .inking import energy_charge, ink_charges
from .limits import findings
from .plates import carrier_charge, die_charge, mounting_charge
from .press import FlexoPress
from .running import make_ready_m, make_ready_min, net_speed, running_waste
from .schema import FlexoPressSchema

MIN_PER_HOUR = 60.0


@hookimpl
def process() -> Process:
    """Facts of flexography."""
    return Process(
        id="flexo",
        name="Flexography",
        image_carrier="photopolymer relief plate or seamless sleeve, one an ink",
        contact="light pressure, the plate should only kiss the stock",
        ink="thin liquid ink: UV, solvent or water based; opaque white, metallic, varnish",
        drying="UV lamps or hot air between decks, dry at rewind; laminates cure 24 to 48 h",
        tone_depth="prints or does not; tones by halftone, none lighter than about 3 %",
        make_ready="mount plates, hang cylinders or sleeves and anilox rolls, set pressure and "
        "register: narrow 30 to 60 min and 100 to 300 m a job, wide 10 to 20 min and 50 to 150 m "
        "a deck",
        wash_up="anilox and chamber of each deck that changes ink, 5 to 20 min",
        proof="contract proof made to the press's profile; a press proof needs the plates",
        skill="skilled operator, one helper on wide presses",
        turnaround="5 to 15 days, plates 1 to 3 of them",
        variable_data=False,
        usual_run_length=(5_000, 5_000_000),
        standard_token="Flexography",  # noqa: S106  a word of the standard, not a secret
        cautions=(
            "Running nips, gears and rotary knives: keep guards shut, lock out before cleaning. "
            "Follow the local machine safety code.",
            "Solvent inks: vapour burns and explodes. Ventilate, earth, control the exhaust; local "
            "fire and air codes and licensed practice decide.",
            "UV inks and lamps: shield the light, extract ozone, gloves and glasses; uncured ink "
            "sensitises.",
            "Food packaging: migration and set-off must be ruled out under the food law that "
            "applies.",
        ),
        quality=(0.8, 0.95),
        quality_basis="just below litho in fine tints and type; the trade's opinion, from memory",
        crew=(1, 3),
        substrates="10 um film to 600 um board, foil, paper, labels, corrugated, envelopes",
        largest_format="webs to about 2 m wide, repeats to about 1.2 m, from memory",
        speed="narrow 60 to 150 m/min net, central impression on film 250 to 450 m/min net",
        colours="1 to 12 decks, white and varnish among them; at most 3 colours in small type",
        sources={
            "colours": "type: Flexography: Principles and Practices vol. 1 (FTA, 1999); decks: "
            "from memory",
            "tone_depth": "3 % on labels, read; source not recorded",
        },
        source="from memory",
    )


@hookimpl
def press_schema() -> type[PressSchema]:
    """Describe a press."""
    return FlexoPressSchema


@hookimpl
def constraints(press: FlexoPress, part: Part, job: Job) -> list[Finding]:
    """What stands against a part on this press."""
    return findings(press, part, job)


@hookimpl
def speed(press: FlexoPress, work: Work) -> Run | None:
    """Make-ready by deck, speed by stock, coverage, register and die, waste in metres."""
    if work.carriers > press.units:
        return None
    change = changeover(work, press.standing_inks)
    ready, ready_told = make_ready_min(press, work, change)
    per_hour, speed_told = net_speed(press, work)
    waste, waste_told = running_waste(press, work)
    metres = make_ready_m(press, work)
    return Run(
        passes=1,
        make_ready_min=ready,
        make_ready_cycles=ceil(metres / work.layout.length_m),
        cycles_per_hour=per_hour,
        running_waste=waste,
        wash_up_min=change.wash_min(
            press.wash_min_per_deck, light_after_dark=press.light_after_dark_min
        ),
        drying_h=press.drying_h,
        because={
            "passes": f"{work.carriers} ink(s) on {press.units} decks, reel to reel in one pass",
            "make_ready_min": ready_told,
            "make_ready_cycles": f"{press.make_ready_m_per_job:g} m and "
            f"{press.make_ready_m_per_plate:g} m a plate: {metres:g} m of web",
            "cycles_per_hour": speed_told,
            "running_waste": waste_told,
            "wash_up_min": f"{change.because}; {press.wash_min_per_deck:g} min a deck",
            "drying_h": "dried between decks",
        },
        rated_per_hour=press.rated_m_per_min * MIN_PER_HOUR / work.layout.length_m,
    )


@hookimpl
def abilities(press: FlexoPress) -> Abilities:
    """What this press can do, whatever the job."""
    return told_abilities(press)


@hookimpl
def cost(press: FlexoPress, work: Work) -> list[Charge]:
    """Plates, mounting, die, ink, solvent, energy and wash."""
    charges = [
        carrier_charge(press, work),
        mounting_charge(press, work),
        die_charge(press, work),
        *ink_charges(press, work),
        energy_charge(press, work),
        _wash_charge(press, work),
    ]
    return [charge for charge in charges if charge]


def _wash_charge(press: FlexoPress, work: Work) -> Charge | None:
    washed = changeover(work, press.standing_inks).washed
    if not (washed and press.wash_price_per_deck):
        return None
    return Charge(
        "wash_up",
        "wash",
        press.wash_price_per_deck,
        "job",
        amount=washed,
        because=f"{washed} deck(s)",
        source=press.source("wash_price_per_deck"),
    )
