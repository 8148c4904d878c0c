"""Screen printing: a stencil on a mesh for each ink, on garments by carousel or on sheets flat.

A carousel prints all inks of a side in one pass, flash and cool-down among its heads; each side is
loaded anew. A flatbed or cylinder press prints as many inks a pass as it has stations, mostly one.
The mesh follows the ruling, the ink follows the mesh. Light inks on dark stock get a white
under-base of their own, whether the job names it or not.
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
    changeover,
    hookimpl,
)

from .abilities import told_abilities
from .charges import ink_charges, power_charge, squeegee_charge, wash_charge
from .limits import findings
from .mesh import carrier_charge, with_under_base
from .press import ScreenPress
from .running import drying, make_ready_min, net_speed, settings, wash_up_min
from .schema import DISC, GLOSSARIES, MOST_PER_HOUR, SHOPS, ScreenPressSchema


@hookimpl
def process() -> Process:
    """Facts of screen printing."""
    return Process(
        id="screen",
        name="Screen printing",
        image_carrier="stencil on a mesh in a frame, one an ink; frames are used again",
        contact="a squeegee presses the mesh onto the piece, lightly",
        ink="thick, opaque: plastisol, water, solvent or UV based; white, metallic, varnish",
        drying="UV at once; plastisol about 160 C for 60 to 90 s; solvent 20 to 60 min on racks "
        "or through a jet dryer",
        tone_depth="prints or does not; coarse halftones, tints of 15 to 85 %",
        make_ready="screens made, then 9 to 10 min for each on garments, 15 to 30 on sheets",
        wash_up="each screen down and its squeegee washed, 3 to 5 min",
        proof="picture on screen; a printed sample costs all screens",
        skill="semi-skilled printers, a skilled screen room",
        turnaround="3 to 10 days",
        variable_data=False,
        usual_run_length=(12, 5_000),
        standard_token="Screen",  # noqa: S106  a word of the standard, not a secret
        cautions=(
            "Moving pallets, frames and carriages crush: guards working, lock out for set-up. "
            "Follow the local machine safety code.",
            "Solvent inks and washes give off nearly all their vapour, which burns and harms: "
            "ventilate, no ignition, closed cans; local fire and air codes decide.",
            "Dryers and flash units are hot, and fume: extract; gas and electrics by licensed "
            "people under local codes.",
            "UV lamps and inks: shield the light, extract ozone, gloves and glasses.",
            "Emulsions and reclaiming chemicals harm eyes, and may not go down every drain: follow "
            "the data sheets and local water rules.",
        ),
        quality=(0.6, 1.0),
        quality_basis="solids stronger than sheetfed litho, halftones well below it: opinion of "
        "the trade, from memory",
        crew=(1, 3),
        substrates="garments, paper, board, film, foil, vinyl, rigid plastics, glass, wood, of "
        "any thickness",
        largest_format="flat to about 1.5 x 3 m",
        speed="manual garment 40 to 150 an hour, automatic 400 on average, flatbed 200 to 800, "
        f"cylinder to {MOST_PER_HOUR:,} claimed",
        colours="1 to 16 stations, flash and cool-down among them; opaque white, metallic, "
        "fluorescent and varnish strongest of all",
        sources={
            "speed": f"{SHOPS}; Graphics Pro, Aug 2022; cylinder: student design blog, 2010; "
            "flatbed from memory",
            "tone_depth": DISC,
            "colours": f"flash and cool-down: {GLOSSARIES}; the rest from memory",
            "make_ready": f"garments: {SHOPS}; sheets from memory",
        },
        source="from memory",
    )


@hookimpl
def press_schema() -> type[PressSchema]:
    """Describe a press."""
    return ScreenPressSchema


@hookimpl
def constraints(press: ScreenPress, part: Part, job: Job) -> list[Finding]:
    """What stands against a part on this press."""
    return findings(press, part, job)


@hookimpl
def speed(press: ScreenPress, work: Work) -> Run | None:
    """Screens and passes by form; speed by hand, heads, flash or dryer, whichever is slowest."""
    found = settings(press, work)
    if found is None:
        return None
    change = changeover(with_under_base(press, work), press.standing_inks)
    screens, passes = sum(each.screens for each in found), sum(each.passes for each in found)
    ready, ready_told = make_ready_min(press, found, change)
    per_hour, speed_told = net_speed(press, work, found)
    wash, wash_told = wash_up_min(press, found, change)
    dry_h, dry_told = drying(press)
    return Run(
        passes=passes,
        make_ready_min=ready,
        make_ready_cycles=screens * press.make_ready_pieces_per_screen,
        cycles_per_hour=per_hour,
        running_waste=press.running_waste * passes,
        wash_up_min=wash,
        drying_h=dry_h,
        because={
            "passes": f"{screens} screen(s) on {press.stations} station(s), {len(found)} form(s)",
            "make_ready_min": ready_told,
            "make_ready_cycles": f"{screens} screen(s) at {press.make_ready_pieces_per_screen}",
            "cycles_per_hour": speed_told,
            "running_waste": f"{press.running_waste:.1%} misprints a pass, {passes} pass(es)",
            "wash_up_min": wash_told,
            "drying_h": dry_told,
        },
        rated_per_hour=press.rated_per_hour,
    )


@hookimpl
def abilities(press: ScreenPress) -> Abilities:
    """What this press can do, whatever the job."""
    return told_abilities(press)


@hookimpl
def cost(press: ScreenPress, work: Work) -> list[Charge]:
    """Screens, ink, blades, power and cleaner, the white under-base among them."""
    full = with_under_base(press, work)
    return [
        carrier_charge(press, full),
        *ink_charges(press, full),
        squeegee_charge(press, full),
        power_charge(press),
        wash_charge(press, full),
    ]
