"""Ink by cell volume and transfer, solvent, what of it leaves, and the heat that dries it."""

from __future__ import annotations

from sidelay.plugin import Charge, Ink, Part, Work, ink_mass_kg, wet_film_gsm

from .cylinders import cell_volume_cm3_per_m2, screen_lines_per_cm
from .press import GravurePress

WH_PER_KWH = 1000
# What the price list tells apart: label, kinds of ink, parameter of the price.
PRICES = (
    ("process ink", ("process",), "process_ink_price_per_kg"),
    ("special ink", ("spot", "metallic", "fluorescent"), "special_ink_price_per_kg"),
    ("white ink", ("white",), "white_ink_price_per_kg"),
    ("varnish", ("varnish",), "varnish_price_per_kg"),
)


def printed_gsm(press: GravurePress, part: Part, ink: Ink) -> float:
    """Ink ready to print that a solid takes [g/m2]: cell volume x transfer x density."""
    screen = screen_lines_per_cm(press, part, ink)
    volume = cell_volume_cm3_per_m2(screen, press.cell_wall_um, press.stylus_angle_deg)
    return volume * press.transfer_share * press.ink_density_g_per_cm3


def bought_share(press: GravurePress) -> float:
    """Ink as bought in a kilogram of ink ready to print; the rest thins it."""
    bought = max(press.solids_share, press.supplied_solids_share)
    return wet_film_gsm(press.solids_share, bought)


def ink_charges(press: GravurePress, work: Work) -> list[Charge]:
    """Ink of each price, with what is left in the units, and the solvent."""
    charges = []
    for label, kinds, parameter in PRICES:
        inks = [ink for ink in work.part.inks if ink.kind in kinds]
        if inks:
            charges += _one_price(press, work, inks, label, parameter)
    return [*charges, *_solvent(press, work)]


def energy_charge(press: GravurePress, work: Work) -> Charge:
    """Return the charge of hot air and exhaust, by area of web."""
    area = work.layout.area_m2
    return Charge(
        "run",
        "drying energy",
        press.energy_price_per_kwh,
        "impression",
        amount=area * press.drying_energy_wh_per_m2 / WH_PER_KWH,
        because=f"{press.drying_energy_wh_per_m2:g} Wh/m2 on {area:.3f} m2 a cycle",
        source=press.source("drying_energy_wh_per_m2"),
    )


def max_voc_emitted_kg(voc_plus_water_used_kg: float, share: float) -> float:
    """Most solvent that may leave [kg] of all solvent and water used [kg].

    share: 0.16 for publication gravure. Source: 40 CFR 60.432 (Subpart QQ, 2008 edition).
    """
    return voc_plus_water_used_kg * share


def printed_kg(press: GravurePress, work: Work, inks: list[Ink]) -> float:
    """Ink ready to print [kg] that one cycle takes of some inks."""
    return sum(
        ink_mass_kg(work.inked_area_m2(ink), 1.0, film)
        for ink in inks
        if (film := printed_gsm(press, work.part, ink)) > 0
    )


def _one_price(
    press: GravurePress, work: Work, inks: list[Ink], label: str, parameter: str
) -> list[Charge]:
    price, area = getattr(press, parameter), sum(work.inked_area_m2(ink) for ink in inks)
    wet = printed_kg(press, work, inks)
    charges = [
        Charge(
            "ink",
            label,
            price,
            "kilogram",
            amount=wet * bought_share(press),
            because=f"{area:.3f} m2 of solid a cycle, {1000 * wet / area if area else 0:.1f} g/m2 "
            f"wet from the cells, {bought_share(press):.0%} of it ink as bought",
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
                because=f"{press.ink_left_kg:g} kg left in each of {len(emptied)} unit(s)",
                source=press.source("ink_left_kg"),
            )
        )
    return charges


def _solvent(press: GravurePress, work: Work) -> list[Charge]:
    """What thins the ink, and what is lost from the pans and made up."""
    wet = printed_kg(press, work, list(work.part.inks))
    used = wet * (1 - bought_share(press) + press.solvent_make_up_share)
    kg = used * (1 - press.solvent_recovered_share)
    if kg <= 0:
        return []
    return [
        Charge(
            "ink",
            "water and additives" if press.ink == "water" else f"{press.ink} solvent",
            press.solvent_price_per_kg,
            "kilogram",
            amount=kg,
            because=f"thinned from {press.supplied_solids_share:.0%} solids to "
            f"{press.solids_share:.0%}, and {press.solvent_make_up_share:.0%} of the ink made up; "
            f"{press.solvent_recovered_share:.0%} of it recovered",
            source=press.source("solvent_price_per_kg"),
        )
    ]
