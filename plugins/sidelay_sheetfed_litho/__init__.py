"""Sheetfed lithography: one plate an ink and form, a make-ready for each form, oxidation or UV.

A form prints in as many passes as its inks need units. Work-and-turn and work-and-tumble print
both sides from one form, sheetwise from two; a perfector with its reversing drum set prints both
sides in one pass when the inks of each side fit the units before and behind the drum. A varnish
counts as an ink, unless a coater behind the units takes it.
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
    ink_mass_kg,
)

from .abilities import told_abilities
from .limits import findings
from .press import LithoPress, LithoPressSchema
from .running import (
    coated_forms,
    drying_h,
    fits_drum,
    make_ready_min,
    net_speed,
    plates,
    settings,
    wash_up_min,
    waste,
)

SPECIAL_KINDS = ("spot", "metallic", "fluorescent")


@hookimpl
def process() -> Process:
    """Facts of sheetfed lithography."""
    return Process(
        id="sheetfed_litho",
        name="Sheetfed lithography",
        image_carrier="aluminium plate, one for each ink of each form",
        contact="pressure nip between blanket and impression cylinder",
        ink="paste ink, oil based or UV; process, spot, metallic, fluorescent and varnish",
        drying="absorption and oxidation, hours to days; at once with UV or LED lamps",
        tone_depth="prints or does not; tones by halftone, 3 to 97 % at 150 to 200 lines an inch",
        make_ready="hang plates, bring to register and colour: 100 to 300 sheets a form",
        wash_up="a blanket wash a job, a roller wash for each change of ink",
        proof="contract proof from the file, or a press proof after a full make-ready",
        skill="skilled operator, one helper on large presses",
        turnaround="2 to 7 days, from memory",
        variable_data=False,
        usual_run_length=(500, 50_000),
        standard_token="Lithography",  # noqa: S106  a word of the standard, not a secret
        cautions=(
            "Running nips and moving piles: keep guards shut; lock out before cleaning. "
            "Follow the local machine safety code.",
            "Blanket and roller washes and fountain additives give off vapour that can burn: "
            "ventilate, keep towels in closed cans, follow local air and fire rules.",
            "UV-curing inks and lamps, where fitted, need shielding, gloves and extraction.",
        ),
        quality=(1.0, 1.0),
        quality_basis="the yardstick: other processes are told against it",
        crew=(1, 2),
        substrates="paper and board, 40 to 450 g/m2; film and foil with UV ink",
        largest_format="360 x 520 to 1,210 x 1,630 mm",
        speed="8,000 to 21,000 sheets an hour rated, about 70 % of it running",
        colours="1 to 12 units, and a coater on some presses",
        sources={
            "tone_depth": "3 to 97 %: printing condition of ISO 12647-2, read at second hand",
            "drying": "24 to 48 h: US stationery printer, Jul 2016; UV from memory",
            "make_ready": "best 250 in 2006: Hagen, insights4print, 2016; today from memory",
            "speed": "ratings from memory; 10,820 an hour running: Dickeson, Printing "
            "Impressions, Jun 2000",
            "usual_run_length": "from memory",
            "substrates": "from memory",
            "largest_format": "from memory",
            "colours": "from memory",
            "crew": "from memory",
        },
    )


@hookimpl
def press_schema() -> type[PressSchema]:
    """Describe a press."""
    return LithoPressSchema


@hookimpl
def constraints(press: LithoPress, part: Part, job: Job) -> list[Finding]:
    """What stands against a part on this press."""
    return findings(press, part, job)


@hookimpl
def speed(press: LithoPress, work: Work) -> Run | None:
    """Passes, make-ready and washes from the forms; net speed from stock, style and coverage."""
    if work.layout.style == "perfecting" and not fits_drum(press, work):
        return None
    times = settings(press, work)
    passes = times * (2 if work.forms[0].prints == "both" else 1)
    count, set_ups = plates(press, work), max(times, len(work.forms))
    change = changeover(work, press.standing_inks)
    ready, ready_because = make_ready_min(press, work, set_ups, change)
    per_hour, speed_because = net_speed(press, work)
    wash, wash_because = wash_up_min(press, change)
    hours, drying_because = drying_h(press, work)
    return Run(
        passes=passes,
        make_ready_min=ready,
        make_ready_cycles=set_ups * press.make_ready_sheets_per_form
        + count * press.make_ready_sheets_per_plate,
        cycles_per_hour=per_hour,
        running_waste=waste(press.running_waste, passes),
        wash_up_min=wash,
        drying_h=hours,
        because={
            "passes": f"{count} plates on {press.units} units, {work.layout.style}",
            "make_ready_min": ready_because,
            "make_ready_cycles": f"{press.make_ready_sheets_per_form} sheets a form setting and "
            f"{press.make_ready_sheets_per_plate} a plate",
            "cycles_per_hour": speed_because,
            "running_waste": f"falls with run length, counted for {passes} pass(es)",
            "wash_up_min": wash_because,
            "drying_h": drying_because,
        },
        rated_per_hour=press.rated_sheets_per_hour,
    )


@hookimpl
def abilities(press: LithoPress) -> Abilities:
    """What this press can do, whatever the job."""
    return told_abilities(press)


@hookimpl
def cost(press: LithoPress, work: Work) -> list[Charge]:
    """Plates, ink, varnish, fount and wash; power of lamps."""
    charges = [
        _plate_charge(press, work),
        *_ink_charges(press, work),
        *_varnish_charges(press, work),
        _fount(press, work),
    ]
    units = min(press.units, plates(press, work))
    if press.wash_price_per_unit:
        charges.append(
            Charge(
                "wash_up",
                "wash",
                press.wash_price_per_unit,
                "job",
                amount=units,
                because=f"{units} unit(s)",
                source=press.source("wash_price_per_unit"),
            )
        )
    lamps_for_coating = press.coater == "uv" and coated_forms(press, work)
    if press.drying == "uv" or lamps_for_coating:
        charges.append(
            Charge(
                "run",
                "lamps",
                press.power_price_per_kwh,
                "hour",
                amount=press.lamp_kw,
                because=f"{press.lamp_kw:g} kW",
                source=press.source("lamp_kw"),
            )
        )
    return charges


def _plate_charge(press: LithoPress, work: Work) -> Charge:
    """Plates of all forms, renewed as they wear."""
    # Work-and-turn carriers print every sheet twice, so they last half as many sheets.
    prints_per_sheet = 2 if work.forms[0].prints == "both" else 1
    worn_by_uv = press.uv_plate_life_share if press.drying == "uv" else 1.0
    life = press.plate_life_impressions * worn_by_uv
    return Charge(
        "carrier",
        "plates",
        press.plate_price,
        "carrier",
        amount=plates(press, work),
        life=max(life / prints_per_sheet, 1.0),
        because=f"one plate for each ink of {len(work.forms)} form(s); new ones after "
        f"{life:,.0f} impressions",
        source=press.source("plate_price"),
    )


def _ink_charges(press: LithoPress, work: Work) -> list[Charge]:
    charges = []
    coated = work.part.stock.coated
    film_gsm = press.film_coated_gsm if coated else press.film_uncoated_gsm
    dearer = press.uv_ink_price_times if press.drying == "uv" else 1.0
    for label, kinds, price, field in (
        ("process ink", ("process",), press.process_ink_price_per_kg, "process_ink_price_per_kg"),
        ("special ink", SPECIAL_KINDS, press.special_ink_price_per_kg, "special_ink_price_per_kg"),
    ):
        inks = [ink for ink in work.part.inks if ink.kind in kinds]
        if not inks:
            continue
        inked_m2 = sum(work.inked_area_m2(ink) for ink in inks)
        charges.append(
            Charge(
                "ink",
                label,
                price * dearer,
                "kilogram",
                amount=ink_mass_kg(inked_m2, 1.0, film_gsm),
                because=f"{inked_m2:.3f} m2 of solid a sheet at {film_gsm:g} g/m2, "
                f"{'coated' if coated else 'uncoated'}"
                + (f", UV ink at {dearer:g} times the price" if dearer != 1 else ""),
                source=press.source(field),
            )
        )
        if kinds == SPECIAL_KINDS and press.special_ink_left_kg:
            charges.append(
                Charge(
                    "ink",
                    "special ink left over",
                    price * dearer,
                    "job",
                    amount=len(inks) * press.special_ink_left_kg,
                    because=f"{press.special_ink_left_kg:g} kg left in each of {len(inks)} duct(s)",
                    source=press.source("special_ink_left_kg"),
                )
            )
    return charges


def _varnish_charges(press: LithoPress, work: Work) -> list[Charge]:
    """Varnish as ink from a unit, or as a thicker coating from the coater with its own plate."""
    inks = [ink for ink in work.part.inks if ink.kind == "varnish"]
    if not inks:
        return []
    coated = coated_forms(press, work)
    film_gsm = press.film_coated_gsm
    if coated:
        film_gsm = press.uv_film_gsm if press.coater == "uv" else press.aqueous_film_gsm
    area = sum(work.inked_area_m2(ink) for ink in inks)
    charges = [
        Charge(
            "ink",
            "varnish",
            press.varnish_price_per_kg,
            "kilogram",
            amount=ink_mass_kg(area, 1.0, film_gsm),
            because=f"{area:.3f} m2 a sheet at {film_gsm:g} g/m2",
            source=press.source("varnish_price_per_kg"),
        )
    ]
    if coated:
        charges.append(
            Charge(
                "carrier",
                "coating plates",
                press.coating_plate_price,
                "carrier",
                amount=coated,
                life=press.plate_life_impressions,
                because=f"one for each of {coated} coated form(s)",
                source=press.source("coating_plate_price"),
            )
        )
    return charges


def _fount(press: LithoPress, work: Work) -> Charge:
    """Fount solution on every printed side."""
    area = work.layout.area_m2 * len(work.sides)
    return Charge(
        "ink",
        "fount solution",
        press.fount_price_per_l,
        "cycle",
        amount=area * press.fount_ml_per_m2 / 1000,
        because=f"{area:.3f} m2 a sheet at {press.fount_ml_per_m2:g} ml/m2",
        source=press.source("fount_price_per_l"),
    )
