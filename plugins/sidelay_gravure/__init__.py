"""Gravure: engraved cylinders that run in ink, wiped by a blade; one an ink and side.

A cycle is one turn of the cylinder: a repeat on a packaging press, a cut-off on a publication
press. The image goes round without a gap. A set of cylinders is dear and lasts long, so that what a
job costs hangs on its run and on whether its cylinders or their bases are kept.
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
from .cylinders import carrier_charges
from .inking import energy_charge, ink_charges
from .limits import findings
from .press import GravurePress
from .running import make_ready_m, make_ready_min, net_speed, running_waste
from .schema import GravurePressSchema

MIN_PER_HOUR = 60.0


@hookimpl
def process() -> Process:
    """Facts of gravure."""
    return Process(
        id="gravure",
        name="Gravure",
        image_carrier="steel cylinder, copper engraved with cells, chromed; one an ink and side",
        contact="hard nip of a rubber roller against the cylinder",
        ink="very thin liquid ink in toluene, esters or water; opaque white, metallic, varnish",
        drying="hot air after every unit, dry at rewind or in the folder",
        tone_depth="continuous: deep and wide cells give more ink than shallow ones",
        make_ready="hang cylinders, set blades and register: 10 to 20 min a colour with trolleys, "
        "30 to 60 without; 300 to 1,500 m a job",
        wash_up="pan, pump and roller of each unit that changes ink",
        proof="contract proof made to the press's profile, or a proof pulled from the cylinder",
        skill="skilled operators; engraving is a trade of its own",
        turnaround="3 to 6 weeks; new cylinders 5 to 10 days of them, 3 to 5 to engrave again",
        variable_data=False,
        usual_run_length=(50_000, 10_000_000),
        standard_token="Gravure",  # noqa: S106  a word of the standard, not a secret
        cautions=(
            "Toluene and ester vapour burns, explodes and harms: rated equipment, earthing, "
            "extraction to recovery or burner. Local fire, air and workplace codes decide.",
            "Ovens are hot and a stopped web in them can burn: burners are for licensed people.",
            "Running nips, doctor blades and heavy cylinders: guards shut, lift with gear, lock "
            "out before cleaning. Follow the local machine safety code.",
            "Chrome is plated from a hexavalent bath: work for a licensed plating shop.",
            "Food packaging: retained solvent and migration must be ruled out under the food law "
            "that applies.",
        ),
        quality=(0.95, 1.1),
        quality_basis="best in solids and tones, text slightly below litho; the trade's opinion, "
        "from memory",
        crew=(2, 6),
        substrates="12 um film to 400 g/m2 board, foil, coated and calendered papers; smooth",
        largest_format="webs of 0.4 to 4.3 m",
        speed="packaging 150 to 350 m/min net, publication 800 to 900 m/min",
        colours="packaging 6 to 12 units, publication 4 a side",
        sources={
            "turnaround": "3 to 6 weeks from memory; days of cylinders read, source not recorded",
        },
        source="from memory",
    )


@hookimpl
def press_schema() -> type[PressSchema]:
    """Describe a press."""
    return GravurePressSchema


@hookimpl
def constraints(press: GravurePress, part: Part, job: Job) -> list[Finding]:
    """What stands against a part on this press."""
    return findings(press, part, job)


@hookimpl
def speed(press: GravurePress, work: Work) -> Run | None:
    """Make-ready by cylinder, speed by solvent load, stretch and register, waste in metres."""
    if max(len(form.inks) for form in work.forms) > press.units:
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
            press.wash_min_per_unit, light_after_dark=press.light_after_dark_min
        ),
        drying_h=press.drying_h,
        because={
            "passes": f"{work.carriers} cylinder(s), {press.units} units, one pass, no gap",
            "make_ready_min": ready_told,
            "make_ready_cycles": f"{press.make_ready_m_per_job:g} m and "
            f"{press.make_ready_m_per_cylinder:g} m a cylinder: {metres:g} m of web",
            "cycles_per_hour": speed_told,
            "running_waste": waste_told,
            "wash_up_min": f"{change.because}; {press.wash_min_per_unit:g} min a unit",
            "drying_h": "dried after every unit",
        },
        rated_per_hour=press.rated_m_per_min * MIN_PER_HOUR / work.layout.length_m,
    )


@hookimpl
def abilities(press: GravurePress) -> Abilities:
    """What this press can do, whatever the job."""
    return told_abilities(press)


@hookimpl
def cost(press: GravurePress, work: Work) -> list[Charge]:
    """Cylinders, ink, solvent, heat and wash."""
    charges = [
        *carrier_charges(press, work),
        *ink_charges(press, work),
        energy_charge(press, work),
    ]
    washed = changeover(work, press.standing_inks).washed
    if washed and press.wash_price_per_unit:
        charges.append(
            Charge(
                "wash_up",
                "wash",
                press.wash_price_per_unit,
                "job",
                amount=washed,
                because=f"{washed} unit(s)",
                source=press.source("wash_price_per_unit"),
            )
        )
    return charges
