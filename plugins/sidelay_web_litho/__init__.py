"""Web lithography: coldset, heatset and UV. Plates fill cylinders, a web is cut off into copies.

A web goes through once, both sides at a time, and several webs run together into one copy. Waste
is a fixed number of copies at the start and a share of the run. Reels are spliced at speed or
stopped for; collecting gathers two unlike cut-offs of one turn of the cylinders.
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
from .emission import CAPTURED_BY_OVEN, voc_kg
from .limits import findings
from .press import WebPress, WebPressSchema
from .running import (
    make_ready_cutoffs,
    make_ready_min,
    net_speed,
    once_min,
    plates,
    rated_per_hour,
    running_waste,
    wash_up_min,
)


@hookimpl
def process() -> Process:
    """Facts of web lithography."""
    return Process(
        id="web_litho",
        name="Web lithography",
        image_carrier="aluminium plates that fill a cylinder for each ink of each side of each web",
        contact="pressure nip between two blankets, or blanket and steel",
        ink="paste ink: thin absorbing coldset, heatset with volatile oil, or UV",
        drying="coldset by absorption, never hard; heatset in an oven, then chilled; UV at once",
        tone_depth="prints or does not; tones by halftone, 85 to 175 lines an inch",
        make_ready="change plates, web up, bring to register, colour and fold: hundreds to "
        "thousands of copies",
        wash_up="blankets each job, a unit for each change of ink",
        proof="contract proof from the file; a press proof is not usual",
        skill="skilled crew with a lead printer",
        turnaround="newspapers in hours, heatset in 3 to 7 days, from memory",
        variable_data=False,
        usual_run_length=(2_000, 1_000_000),
        standard_token="Lithography",  # noqa: S106  a word of the standard, not a secret
        cautions=(
            "In-running nips and fast webs: guards shut, lock out before cleaning or webbing up. "
            "Follow the local machine safety code.",
            "Heatset ovens hold solvent vapour that can explode: interlocks, purge and oxidiser "
            "are for licensed people. Follow local fire and air rules.",
            "Washes and fount give off vapour, paper makes dust, folders make noise: ventilate, "
            "clean, protect hearing.",
            "UV lamps, where fitted, need shields, extraction and gloves.",
        ),
        quality=(0.7, 1.0),
        quality_basis="coldset on newsprint well below sheetfed litho, heatset near it but for "
        "waves and gloss: opinion of the trade, from memory",
        crew=(2, 10),
        substrates="newsprint and improved news coldset, 40 to 80 g/m2; coated and uncoated "
        "papers heatset, 36 to 170 g/m2",
        largest_format="web to about 2 m, cut-off 470 to 630 mm, or longer",
        speed="25,000 to 90,000 cut-offs an hour rated, 70 to 80 % of it net",
        colours="4 each side, a fifth on some presses",
        sources={
            "usual_run_length": "from memory; 18,000 impressions against sheetfed, Printing "
            "Impressions, Apr 2004",
            "speed": "from memory; 30,000 on older heatset presses, UK print primer, early 2000s",
            "tone_depth": "85 to 102 coldset, newspaper specifications; 133 to 175 from memory",
            "substrates": "from memory",
            "largest_format": "from memory",
            "crew": "from memory",
        },
    )


@hookimpl
def press_schema() -> type[PressSchema]:
    """Describe a press."""
    return WebPressSchema


@hookimpl
def constraints(press: WebPress, part: Part, job: Job) -> list[Finding]:
    """What stands against a part on this press."""
    return findings(press, part, job)


@hookimpl
def speed(press: WebPress, work: Work) -> Run | None:
    """One pass; make-ready from plates and folder; speed from stock, coverage and reel changes."""
    layout = work.layout
    if layout.cycles_per_piece > press.plates_around:
        return None  # unlike cut-offs follow each other only where the cylinder holds them all
    change = changeover(work, press.standing_inks)
    ready, ready_because = make_ready_min(press, work, change)
    per_hour, speed_because = net_speed(press, work)
    wash, wash_because = wash_up_min(press, work, change)
    spoiled, share = make_ready_cutoffs(press, work), running_waste(press, work)
    return Run(
        passes=1,
        make_ready_min=ready,
        make_ready_cycles=spoiled,
        cycles_per_hour=per_hour,
        running_waste=share,
        wash_up_min=wash,
        drying_h=press.drying_h,
        because={
            "passes": f"{layout.webs} web(s), all inks of a side in one pass",
            "make_ready_min": ready_because,
            "make_ready_cycles": f"{spoiled:,} cut-offs: {press.make_ready_copies:g} for one ink "
            f"a side, {press.make_ready_copies_per_colour:g} for each further ink, "
            f"{press.make_ready_copies_per_web:g} for each further web",
            "cycles_per_hour": speed_because,
            "running_waste": f"{share:.2%} of the run, whatever its length; reel ends apart",
            "wash_up_min": wash_because,
            "drying_h": _drying_because(press),
        },
        once_min=once_min(press, work, change),
        rated_per_hour=rated_per_hour(press, work),
    )


def _drying_because(press: WebPress) -> str:
    return {
        "coldset": "absorbed, never fully hard, folded at once",
        "heatset": "oven and chill rollers, finished at once",
        "uv": "cured under the lamps",
    }[press.drying]


@hookimpl
def abilities(press: WebPress) -> Abilities:
    """What this press can do, whatever the job."""
    return told_abilities(press)


@hookimpl
def cost(press: WebPress, work: Work) -> list[Charge]:
    """Plates, ink, fount, wash; gas and silicone of an oven, power of lamps."""
    count = plates(press, work)
    charges = [
        Charge(
            "carrier",
            "plates",
            press.plate_price,
            "carrier",
            amount=count,
            # Two plates round a cylinder print every second cut-off each.
            life=press.plate_life_impressions * press.plates_around,
            because=f"{work.carriers} cylinder(s) of {press.plates_per_cylinder} plate(s); new "
            f"ones after {press.plate_life_impressions:,.0f} impressions",
            source=press.source("plate_price"),
        ),
        *_ink_charges(press, work),
        _fount(press, work),
        Charge(
            "wash_up",
            "wash",
            press.wash_price_per_unit,
            "job",
            amount=work.carriers,
            because=f"{work.carriers} unit(s)",
            source=press.source("wash_price_per_unit"),
        ),
    ]
    if press.drying == "heatset":
        charges += [_gas(press, work), _silicone(press, work)]
    if press.drying == "uv":
        charges.append(_lamps(press))
    return charges


def _film_gsm(press: WebPress, work: Work) -> float:
    return press.film_coated_gsm if work.part.stock.coated else press.film_uncoated_gsm


def _ink_charges(press: WebPress, work: Work) -> list[Charge]:
    film, charges = _film_gsm(press, work), []
    for label, field, inks in _priced(work):
        price = getattr(press, field)
        inked_m2 = sum(work.inked_area_m2(ink) for ink in inks)
        charges.append(
            Charge(
                "ink",
                label,
                price,
                "kilogram",
                amount=ink_mass_kg(inked_m2, 1.0, film),
                because=f"{inked_m2:.3f} m2 of solid a cut-off at {film:g} g/m2",
                source=press.source(field),
            )
        )
        if field == "special_ink_price_per_kg" and press.special_ink_left_kg:
            charges.append(
                Charge(
                    "ink",
                    "special ink left over",
                    price,
                    "job",
                    amount=len(inks) * press.special_ink_left_kg,
                    because=f"{press.special_ink_left_kg:g} kg left in each of {len(inks)} duct(s)",
                    source=press.source("special_ink_left_kg"),
                )
            )
    return charges


def _priced(work: Work) -> list[tuple[str, str, list[Ink]]]:
    """Inks of the work by what they cost: label, price field, inks."""
    groups: dict[tuple[str, str], list[Ink]] = {}
    for ink in work.part.inks:
        if ink.kind != "process":
            key = "special ink", "special_ink_price_per_kg"
        elif ink.name == "black":
            key = "black ink", "black_ink_price_per_kg"
        else:
            key = "colour ink", "process_ink_price_per_kg"
        groups.setdefault(key, []).append(ink)
    return [(label, field, inks) for (label, field), inks in groups.items()]


def _fount(press: WebPress, work: Work) -> Charge:
    """Fount solution on every printed side."""
    area = work.layout.area_m2 * len(work.sides)
    return Charge(
        "ink",
        "fount solution",
        press.fount_price_per_l,
        "cycle",
        amount=area * press.fount_ml_per_m2 / 1000,
        because=f"{area:.3f} m2 a cut-off at {press.fount_ml_per_m2:g} ml/m2",
        source=press.source("fount_price_per_l"),
    )


def _gas(press: WebPress, work: Work) -> Charge:
    """Gas of the oven by the mass of paper, with the vapour that leaves the oxidiser."""
    paper_kg = work.layout.area_m2 * work.part.stock.grammage_gsm / 1000
    ink_kg = sum(
        ink_mass_kg(work.inked_area_m2(ink), 1.0, _film_gsm(press, work)) for ink in work.part.inks
    )
    vapour = voc_kg(
        1000 * ink_kg,
        press.ink_oil_share,
        press.oil_retained_share,
        captured_share=CAPTURED_BY_OVEN["ink_oil"],
        destroyed_share=press.oxidiser_destroys_share,
    )
    return Charge(
        "run",
        "oven gas",
        press.gas_price_per_kwh,
        "cycle",
        amount=paper_kg * press.gas_kwh_per_kg,
        because=f"{1000 * paper_kg:.0f} g of paper a cut-off at {press.gas_kwh_per_kg:g} kWh/kg; "
        f"ink gives off {vapour:.3f} kg of vapour each 1,000 behind the oxidiser",
        source=press.source("gas_price_per_kwh"),
    )


def _silicone(press: WebPress, work: Work) -> Charge:
    """Silicone emulsion that wets the dried web again, on both sides."""
    area = 2 * work.layout.area_m2
    return Charge(
        "run",
        "silicone",
        press.silicone_price_per_kg,
        "kilogram",
        amount=area * press.silicone_gsm / 1000,
        because=f"{area:.3f} m2 a cut-off at {press.silicone_gsm:g} g/m2",
        source=press.source("silicone_price_per_kg"),
    )


def _lamps(press: WebPress) -> Charge:
    """Power of the lamps while the press is manned."""
    return Charge(
        "run",
        "lamps",
        press.power_price_per_kwh,
        "hour",
        amount=press.lamp_kw,
        because=f"{press.lamp_kw:g} kW",
        source=press.source("lamp_kw"),
    )
