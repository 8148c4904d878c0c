"""Sheetfed lithography: one plate an ink and form, a make-ready for each form, oxidation drying.

A form prints in as many passes as its inks need units. Work-and-turn and work-and-tumble print
both sides from one form, sheetwise from two; a perfector with its reversing drum set prints both
sides in one pass when the inks of each side fit the units before and behind the drum.
"""

from __future__ import annotations

from functools import lru_cache
from math import ceil

from sidelay.plugin import (
    Charge,
    Curve,
    Finding,
    Ink,
    Job,
    Part,
    PressSchema,
    Process,
    Run,
    Work,
    hookimpl,
    ink_mass_kg,
)

from .limits import (
    cautions,
    heaviest_coverage_pct,
    image_findings,
    ink_findings,
    stock_findings,
)
from .press import LithoPress, LithoPressSchema

SPECIAL_KINDS = ("spot", "metallic", "fluorescent")


@hookimpl
def process() -> Process:
    """Facts of sheetfed lithography."""
    return Process(
        id="sheetfed_litho",
        name="Sheetfed lithography",
        image_carrier="aluminium plate, one for each ink of each form",
        contact="pressure nip between blanket and impression cylinder",
        ink="paste ink, oil based; process, spot, metallic and fluorescent",
        drying="absorption and oxidation, hours to days; at once with UV or LED lamps",
        tone_depth="prints or does not; tones by halftone",
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
    )


@hookimpl
def press_schema() -> type[PressSchema]:
    """Describe a press."""
    return LithoPressSchema


@hookimpl
def constraints(press: LithoPress, part: Part, job: Job) -> list[Finding]:
    """What stands against a part on this press."""
    return [
        *stock_findings(press, part.stock),
        *ink_findings(press, part),
        *image_findings(press, part, job),
        *cautions(press, part, job),
    ]


@hookimpl
def speed(press: LithoPress, work: Work) -> Run | None:
    """Passes, make-ready and washes from the forms; net speed from stock, style and coverage."""
    perfecting = work.layout.style == "perfecting"
    if perfecting and not _fits_drum(press, work):
        return None
    settings = 1 if perfecting else sum(ceil(len(form.inks) / press.units) for form in work.forms)
    passes = settings * (2 if work.forms[0].prints == "both" else 1)
    plates, set_ups = work.carriers, max(settings, len(work.forms))
    per_hour, speed_because = _net_speed(press, work)
    washed = _washed_units(press, work)
    coated = work.part.stock.coated
    return Run(
        passes=passes,
        make_ready_min=set_ups * press.make_ready_min_per_form
        + plates * press.make_ready_min_per_plate,
        make_ready_cycles=set_ups * press.make_ready_sheets_per_form
        + plates * press.make_ready_sheets_per_plate,
        cycles_per_hour=per_hour,
        running_waste=_waste(press.running_waste, passes),
        wash_up_min=press.blanket_wash_min + washed * press.unit_wash_min,
        drying_h=press.drying_coated_h if coated else press.drying_uncoated_h,
        because={
            "passes": f"{plates} plates on {press.units} units, {work.layout.style}",
            "make_ready_min": f"{set_ups} form setting(s) at {press.make_ready_min_per_form:g} min"
            f" and {plates} plates at {press.make_ready_min_per_plate:g} min",
            "make_ready_cycles": f"{press.make_ready_sheets_per_form} sheets a form setting and "
            f"{press.make_ready_sheets_per_plate} a plate",
            "cycles_per_hour": speed_because,
            "running_waste": f"falls with run length, counted for {passes} pass(es)",
            "wash_up_min": f"blankets once, and {washed} unit(s) for another ink",
            "drying_h": "oxidation, coated stock" if coated else "oxidation, uncoated stock",
        },
    )


@hookimpl
def cost(press: LithoPress, work: Work) -> list[Charge]:
    """Plates, ink and wash."""
    # Work-and-turn carriers print every sheet twice, so they last half as many sheets.
    prints_per_sheet = 2 if work.forms[0].prints == "both" else 1
    charges = [
        Charge(
            "carrier",
            "plates",
            press.plate_price,
            "carrier",
            amount=work.carriers,
            life=press.plate_life_impressions / prints_per_sheet,
            because=f"one plate for each ink of {len(work.forms)} form(s); new ones after "
            f"{press.plate_life_impressions:,.0f} impressions",
            source=press.source("plate_price"),
        ),
        *_ink_charges(press, work),
    ]
    units = min(press.units, work.carriers)
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
    return charges


@lru_cache(maxsize=256)
def _waste(points: tuple[tuple[float, float], ...], passes: int) -> Curve:
    """Waste over run length for all passes; kept, since every layout of a press asks for it."""
    return Curve(points).times(passes)


def _fits_drum(press: LithoPress, work: Work) -> bool:
    """Whether one side's inks fit the units before the reversing drum and the other's behind it."""
    before = press.perfecting_after_unit
    if before == 0:
        return False
    behind = press.units - before
    one, other = (len(form.inks) for form in work.forms)
    return (one <= before and other <= behind) or (other <= before and one <= behind)


def _net_speed(press: LithoPress, work: Work) -> tuple[float, str]:
    """Sheets an hour in one pass, and the factors that led there."""
    grammage, part = work.part.stock.grammage_gsm, work.part
    heaviest = heaviest_coverage_pct(part)
    factors = [("running", press.running_share)]
    if grammage < press.thin_below_gsm:
        factors.append((f"stock under {press.thin_below_gsm:g} g/m2", press.thin_speed))
    if grammage > press.thick_above_gsm:
        factors.append((f"stock over {press.thick_above_gsm:g} g/m2", press.thick_speed))
    if work.layout.style == "perfecting":
        factors.append(("perfecting", press.perfecting_speed))
    if heaviest > press.heavy_coverage_pct:
        factors.append(
            (f"coverage over {press.heavy_coverage_pct:g} %", press.heavy_coverage_speed)
        )
    net = press.rated_sheets_per_hour
    for _, factor in factors:
        net *= factor
    told = " x ".join(f"{factor:g} ({name})" for name, factor in factors)
    return net, f"{press.rated_sheets_per_hour:,.0f} rated x {told} = {net:,.0f} sheets/h a pass"


def _washed_units(press: LithoPress, work: Work) -> int:
    """Units that hold an ink which does not stay in the press for the next job."""
    inks: dict[Ink, None] = {}
    for form in work.forms:
        inks |= dict.fromkeys(form.inks)
    return sum(ink.name not in press.standing_inks for ink in inks)


def _ink_charges(press: LithoPress, work: Work) -> list[Charge]:
    charges = []
    coated = work.part.stock.coated
    film_gsm = press.film_coated_gsm if coated else press.film_uncoated_gsm
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
                price,
                "kilogram",
                amount=ink_mass_kg(inked_m2, 1.0, film_gsm),
                because=f"{inked_m2:.3f} m2 of solid a sheet at {film_gsm:g} g/m2, "
                f"{'coated' if coated else 'uncoated'}",
                source=press.source(field),
            )
        )
        if kinds == SPECIAL_KINDS and press.special_ink_left_kg:
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
