"""Letterpress: type, blocks or dies that stand in relief, one ink a pass, sheet by sheet.

A form is set up once for each ink and unit, and its rollers are washed between the inks of one job
as between jobs. A platen presses its whole form at once, so its strength limits the solid; a
cylinder presses a line. A deep impression takes a metal die, harder packing and soft thick stock.
"""

from __future__ import annotations

from sidelay.plugin import (
    Abilities,
    Charge,
    Finding,
    Ink,
    Job,
    Part,
    PressSchema,
    Process,
    Run,
    Work,
    changeover,
    hookimpl,
    ink_mass_kg,
)

from .abilities import told_abilities
from .limits import findings
from .press import (
    LARGEST_CYLINDER_IN,
    LARGEST_PLATEN_IN,
    MOST_IMPRESSIONS_PER_HOUR,
    PRESS_TYPES,
    LetterpressPress,
    LetterpressPressSchema,
)
from .relief import carrier_charge, settings, solid_cm2
from .running import make_ready_min, net_speed, passes, wash_up_min

ML_PER_L = 1000.0
SPECIAL_KINDS = ("metallic", "fluorescent", "varnish")


@hookimpl
def process() -> Process:
    """Facts of letterpress."""
    platen, cylinder = LARGEST_PLATEN_IN, LARGEST_CYLINDER_IN
    return Process(
        id="letterpress",
        name="Letterpress",
        image_carrier="raised type, photopolymer block on a base or metal die, one an ink",
        contact="full pressure of the relief on the stock; felt in it where that is wanted",
        ink="paste ink, oil based: mostly black and mixed spot colours",
        drying="absorption and oxidation, 12 to 48 h",
        tone_depth="prints or does not; coarse halftones, to 120 lines an inch on smooth paper",
        make_ready="lock up, pack and register each colour: 30 to 90 min the first, 20 to 60 each "
        "further; 20 to 50 sheets a colour",
        wash_up="rollers and disc for each ink, 15 to 30 min, longer for a light ink after a dark",
        proof="proof on screen; on fine work the customer passes the first sheet at the press",
        skill="one skilled printer a press",
        turnaround="5 to 15 working days, blocks 1 to 3 of them",
        variable_data=False,
        usual_run_length=(50, 5_000),
        standard_token="Letterpress",  # noqa: S106  a word of the standard, not a secret
        cautions=(
            "A platen closes on hands, a cylinder press draws them in: throw-off and guards in "
            "order, lock out for make-ready. Follow the local machine safety code.",
            "Roller washes give off vapour that can burn: ventilate, keep towels in closed cans, "
            "follow local fire and air rules.",
            "Lead type: no food at the bench, wash hands, no dry sweeping; melting it is for "
            "licensed practice under local workplace rules.",
        ),
        quality=(0.6, 1.0),
        quality_basis="halftones well below sheetfed litho, line work in soft paper beyond it to "
        "the touch: opinion of the trade, from memory",
        crew=(1, 1),
        substrates="60 to 600 g/m2 and more, uncoated and board; soft cotton best",
        largest_format=f"platen to {platen[0]} x {platen[1]} in, cylinder to {cylinder[0]} x "
        f"{cylinder[1]} in",
        speed="hand-fed 500 to 1,000 an hour, automatic 1,000 to 3,000 net, at most "
        f"{MOST_IMPRESSIONS_PER_HOUR:,}",
        colours="one a pass: 2/2 is four passes; spot colours, no process colour in practice; "
        "numbering boxes, no variable images",
        impresses=True,
        sources={
            "largest_format": PRESS_TYPES,
            "speed": f"at most: {PRESS_TYPES}; the rest from memory",
            "tone_depth": "letterpress studios' artwork guides (four read)",
            "wash_up": "light after dark: Russian inter-sector time norms for printing; the rest "
            "from memory",
        },
        source="from memory",
    )


@hookimpl
def press_schema() -> type[PressSchema]:
    """Describe a press."""
    return LetterpressPressSchema


@hookimpl
def constraints(press: LetterpressPress, part: Part, job: Job) -> list[Finding]:
    """What stands against a part on this press."""
    return findings(press, part, job)


@hookimpl
def speed(press: LetterpressPress, work: Work) -> Run | None:
    """One ink a pass; a make-ready for each; None where a form is more than the press can press."""
    most = press.max_solid_cm2
    if most is not None and max(solid_cm2(work, form) for form in work.forms) > most:
        return None
    change = changeover(work, press.standing_inks)
    count, set_ups = passes(press, work), sum(settings(press, form) for form in work.forms)
    ready, ready_told = make_ready_min(press, work, change)
    per_hour, speed_told = net_speed(press, work)
    wash, washes = wash_up_min(press, work, change)
    return Run(
        passes=count,
        make_ready_min=ready,
        make_ready_cycles=set_ups * press.make_ready_sheets_per_pass,
        cycles_per_hour=per_hour,
        running_waste=press.running_waste * count,
        wash_up_min=wash,
        drying_h=press.drying_h,
        because={
            "passes": f"{work.carriers} ink(s) on {press.units} unit(s), {work.layout.style}",
            "make_ready_min": ready_told,
            "make_ready_cycles": f"{set_ups} setting(s) at {press.make_ready_sheets_per_pass} "
            "sheets",
            "cycles_per_hour": speed_told,
            "running_waste": f"{press.running_waste:.1%} a pass, {count} pass(es)",
            "wash_up_min": f"{washes} wash(es) at {press.wash_min_per_colour:g} min, between the "
            f"inks of the job and at its end; {change.because}",
            "drying_h": "oil ink, by absorption and oxidation",
        },
        rated_per_hour=press.rated_impressions_per_hour,
    )


@hookimpl
def abilities(press: LetterpressPress) -> Abilities:
    """What this press can do, whatever the job."""
    return told_abilities(press)


@hookimpl
def cost(press: LetterpressPress, work: Work) -> list[Charge]:
    """Blocks or dies, ink, and solvent for the washes."""
    _, washes = wash_up_min(press, work, changeover(work, press.standing_inks))
    charges = [carrier_charge(press, work), *_ink_charges(press, work)]
    if washes and press.wash_ml_per_colour:
        charges.append(
            Charge(
                "wash_up",
                "wash",
                press.wash_ml_per_colour / ML_PER_L * press.solvent_price_per_l,
                "job",
                amount=washes,
                because=f"{washes} wash(es) with {press.wash_ml_per_colour:g} ml",
                source=press.source("wash_ml_per_colour"),
            )
        )
    return charges


def _ink_charges(press: LetterpressPress, work: Work) -> list[Charge]:
    coated = work.part.stock.coated
    film = press.film_coated_gsm if coated else press.film_uncoated_gsm
    plain = [ink for ink in work.part.inks if ink.kind not in SPECIAL_KINDS]
    special = [ink for ink in work.part.inks if ink.kind in SPECIAL_KINDS]
    return [
        *_one_price(press, work, plain, film, "ink", "ink_price_per_kg"),
        *_one_price(press, work, special, film, "special ink", "special_ink_price_per_kg"),
    ]


def _one_price(
    press: LetterpressPress, work: Work, inks: list[Ink], film: float, label: str, field: str
) -> list[Charge]:
    """Ink on the sheets, and what is washed off the rollers."""
    if not inks:
        return []
    price: float = getattr(press, field)
    inked_m2 = sum(work.inked_area_m2(ink) for ink in inks)
    charges = [
        Charge(
            "ink",
            label,
            price,
            "kilogram",
            amount=ink_mass_kg(inked_m2, 1.0, film),
            because=f"{inked_m2:.4f} m2 of solid a sheet at {film:g} g/m2",
            source=press.source(field),
        )
    ]
    if press.ink_left_kg:
        charges.append(
            Charge(
                "ink",
                f"{label} left over",
                price,
                "job",
                amount=len(inks) * press.ink_left_kg,
                because=f"{press.ink_left_kg:g} kg washed off after each of {len(inks)} ink(s)",
                source=press.source("ink_left_kg"),
            )
        )
    return charges
