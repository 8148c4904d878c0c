"""What a screen job costs beside screens: ink by deposit, squeegees, power, cleaner."""

from __future__ import annotations

from sidelay.plugin import Charge, Ink, Work, ink_mass_kg

from .mesh import UNDER_BASE, deposit_um, mesh_per_cm, under_base_m2
from .press import ScreenPress

SPECIAL_KINDS = ("metallic", "fluorescent", "varnish")


def film_gsm(press: ScreenPress, mesh: float) -> float:
    """Wet ink of a solid [g/m2] by a mesh [threads/cm]: um of film are ml/m2, times density."""
    return deposit_um(press, mesh) * press.ink_density_g_per_cm3


def ink_charges(press: ScreenPress, work: Work) -> list[Charge]:
    """Ink of each price on the pieces, and what stays in the screens."""
    inks = tuple(dict.fromkeys(ink for form in work.forms for ink in form.inks))
    plain = [ink for ink in inks if ink.kind not in SPECIAL_KINDS]
    special = [ink for ink in inks if ink.kind in SPECIAL_KINDS]
    return [
        *_one_price(press, work, plain, "ink", "ink_price_per_kg"),
        *_one_price(press, work, special, "special ink", "special_ink_price_per_kg"),
    ]


def _one_price(
    press: ScreenPress, work: Work, inks: list[Ink], label: str, field: str
) -> list[Charge]:
    if not inks:
        return []
    price: float = getattr(press, field)
    mass, told = 0.0, []
    for ink in inks:
        area = under_base_m2(press, work) if ink == UNDER_BASE else work.inked_area_m2(ink)
        mesh = mesh_per_cm(press, work.part, ink)
        mass += ink_mass_kg(area, 1.0, film_gsm(press, mesh))
        told.append(
            f"{ink.name} {area:.4f} m2, mesh {mesh:g}/cm, {deposit_um(press, mesh):.1f} um wet"
        )
    charges = [
        Charge(
            "ink",
            label,
            price,
            "kilogram",
            amount=mass,
            because=f"{'; '.join(told)}; {press.ink_density_g_per_cm3:g} g/cm3",
            source=press.source(field),
        )
    ]
    screens = sum(ink in inks for form in work.forms for ink in form.inks)
    if press.ink_left_kg:
        charges.append(
            Charge(
                "ink",
                f"{label} left over",
                price,
                "job",
                amount=screens * press.ink_left_kg,
                because=f"{press.ink_left_kg:g} kg left in each of {screens} screen(s)",
                source=press.source("ink_left_kg"),
            )
        )
    return charges


def squeegee_charge(press: ScreenPress, work: Work) -> Charge:
    """Return the charge of blades: each pull of each screen takes its share of one."""
    pulls = sum(len(form.inks) * (2 if form.prints == "both" else 1) for form in work.forms)
    return Charge(
        "run",
        "squeegee blades",
        press.squeegee_price / press.squeegee_life_impressions,
        "cycle",
        amount=pulls,
        because=f"{pulls} pull(s) a piece, a blade for {press.squeegee_life_impressions:,.0f}",
        source=press.source("squeegee_life_impressions"),
    )


def power_charge(press: ScreenPress) -> Charge:
    """Return the charge of dryer, flash units or lamps while the press is manned."""
    return Charge(
        "run",
        "lamps" if press.ink == "uv" else "dryer",
        press.power_price_per_kwh,
        "hour",
        amount=press.dryer_kw,
        because=f"{press.dryer_kw:g} kW",
        source=press.source("dryer_kw"),
    )


def wash_charge(press: ScreenPress, work: Work) -> Charge:
    """Return the charge of cleaner for screens and squeegees."""
    return Charge(
        "wash_up",
        "cleaner",
        press.wash_price_per_screen,
        "job",
        amount=work.carriers,
        because=f"{work.carriers} screen(s)",
        source=press.source("wash_price_per_screen"),
    )
