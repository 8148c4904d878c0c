"""Ink by anilox volume and transfer, solvent, and the energy that dries it."""

from __future__ import annotations

from sidelay.plugin import (
    Charge,
    Ink,
    Work,
    flexo_film_cm3_per_m2,
    ink_mass_kg,
    wet_film_gsm,
)

from .press import FlexoPress

WH_PER_KWH = 1000
# What the price list tells apart: label, kinds of ink, parameter of the price.
PRICES = (
    ("process ink", ("process",), "process_ink_price_per_kg"),
    ("special ink", ("spot", "metallic", "fluorescent"), "special_ink_price_per_kg"),
    ("white ink", ("white",), "white_ink_price_per_kg"),
    ("varnish", ("varnish",), "varnish_price_per_kg"),
)


def anilox_bcm(press: FlexoPress, ink: Ink) -> float:
    """Cell volume [BCM per in2] of the roll that an ink is run with."""
    if ink.kind == "process":
        return press.anilox_process_bcm
    return press.anilox_white_bcm if ink.kind == "white" else press.anilox_solid_bcm


def printed_gsm(press: FlexoPress, ink: Ink) -> float:
    """Ink ready to print that a solid takes [g/m2]: anilox volume x transfer x density."""
    volume = flexo_film_cm3_per_m2(anilox_bcm(press, ink), press.transfer_share)
    return volume * press.ink_density_g_per_cm3


def bought_gsm(press: FlexoPress, ink: Ink) -> float:
    """Ink as bought that a solid takes [g/m2]: what is printed, without what thins it."""
    dry = printed_gsm(press, ink) * press.solids_share
    return wet_film_gsm(dry, max(press.solids_share, press.supplied_solids_share))


def ink_charges(press: FlexoPress, work: Work) -> list[Charge]:
    """Ink of each price, with what is left in the chambers, and the solvent."""
    charges = []
    for label, kinds, parameter in PRICES:
        inks = [ink for ink in work.part.inks if ink.kind in kinds]
        if inks:
            charges += _one_price(press, work, inks, label, parameter)
    return [*charges, *_solvent(press, work)]


def energy_charge(press: FlexoPress, work: Work) -> Charge:
    """Return the charge of lamps or hot air, by area of web."""
    kwh = work.layout.area_m2 * press.drying_energy_wh_per_m2 / WH_PER_KWH
    return Charge(
        "run",
        "drying energy",
        press.energy_price_per_kwh,
        "impression",
        amount=kwh,
        because=f"{press.drying_energy_wh_per_m2:g} Wh/m2 on {work.layout.area_m2:.3f} m2 a repeat",
        source=press.source("drying_energy_wh_per_m2"),
    )


def _one_price(
    press: FlexoPress, work: Work, inks: list[Ink], label: str, parameter: str
) -> list[Charge]:
    price, area = getattr(press, parameter), sum(work.inked_area_m2(ink) for ink in inks)
    film = bought_gsm(press, inks[0])  # inks of one price are run with the same roll
    charges = [
        Charge(
            "ink",
            label,
            price,
            "kilogram",
            amount=ink_mass_kg(area, 1.0, film),
            because=f"{area:.4f} m2 of solid a repeat at {film:.2f} g/m2: anilox "
            f"{anilox_bcm(press, inks[0]):g} BCM, {press.transfer_share:.0%} transfer",
            source=press.source(parameter),
        )
    ]
    emptied = [ink for ink in inks if ink.name not in press.standing_inks]
    if emptied and press.ink_left_kg:
        charges.append(
            Charge(
                "ink",
                f"{label} left over",
                price,
                "job",
                amount=len(emptied) * press.ink_left_kg,
                because=f"{press.ink_left_kg:g} kg left in each of {len(emptied)} chamber(s)",
                source=press.source("ink_left_kg"),
            )
        )
    return charges


def _solvent(press: FlexoPress, work: Work) -> list[Charge]:
    """What thins the ink, and what is lost from the chambers and made up."""
    kg, films = 0.0, dict[float, tuple[float, float]]()
    for ink in work.part.inks:
        roll = anilox_bcm(press, ink)  # inks that are run with the same roll have the same film
        if roll not in films:
            films[roll] = printed_gsm(press, ink), bought_gsm(press, ink)
        printed, bought = films[roll]
        share = 1 - bought / printed + press.solvent_make_up_share
        kg += ink_mass_kg(work.inked_area_m2(ink), 1.0, printed) * share
    if kg <= 0:
        return []
    return [
        Charge(
            "ink",
            "water and additives" if press.ink == "water" else "solvent",
            press.solvent_price_per_kg,
            "kilogram",
            amount=kg,
            because=f"thinned from {press.supplied_solids_share:.0%} solids to "
            f"{press.solids_share:.0%}, and {press.solvent_make_up_share:.0%} of the ink made up",
            source=press.source("solvent_price_per_kg"),
        )
    ]
