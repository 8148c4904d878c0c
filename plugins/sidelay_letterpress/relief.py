"""Blocks, type and dies: how high, how large, how long they last, what they cost."""

from __future__ import annotations

from typing import Literal

from sidelay.plugin import Charge, Form, Side, Work

from .press import LetterpressPress

MM_PER_IN = 25.4
CM2_PER_M2 = 10_000.0


def type_height_mm(inches: float) -> float:
    """Height of type [mm] from inches: 0.918 in is 23.32 mm (a letterpress printer's page)."""
    return inches * MM_PER_IN


def base_mm(press: LetterpressPress) -> float:
    """Thickness [mm] of the base that brings a block to the height of type."""
    return type_height_mm(press.type_height_in) - press.block_thickness_mm


def life_impressions(press: LetterpressPress, *, deep: bool) -> float:
    """Impressions until what a form is printed from is worn."""
    if deep:
        return press.die_life_impressions
    return {
        "photopolymer": press.photopolymer_life_impressions,
        "type": press.type_life_impressions,
        "electro": press.electro_life_impressions,
    }[press.carrier]


def settings(press: LetterpressPress, form: Form) -> int:
    """How often a form is set up: one for as many of its inks as the press has units."""
    return -(-len(form.inks) // press.units)


def prints_per_sheet(form: Form) -> Literal[1, 2]:
    """How often one sheet meets the form: twice where the form prints both of its sides."""
    return 2 if form.prints == "both" else 1


def solid_cm2(work: Work, form: Form) -> float:
    """Solid of the heaviest ink in one impression of a form [cm2], what the press must press."""
    part = work.part
    sides: dict[str, tuple[Side, ...]] = {
        "front": (part.front,),
        "back": (part.back,),
        "both": (part.front, part.back),
    }
    heaviest = max(
        sum(side.covered(ink) for side in sides[form.prints] if ink in side.inks)
        for ink in form.inks
    )
    # A form for both sides holds each side on half of its pieces.
    copies = work.layout.up / prints_per_sheet(form)
    return heaviest * part.printed_area_m2 * copies * CM2_PER_M2


def block_cm2(work: Work) -> float:
    """Area of one block or die [cm2]: the printed area of a piece for each piece on the sheet."""
    return work.part.printed_area_m2 * work.layout.up * CM2_PER_M2


def carrier_charge(press: LetterpressPress, work: Work) -> Charge:
    """Return the charge of blocks, or of the dearer dies for a deep impression."""
    deep = work.part.impression == "deep"
    area, life = block_cm2(work), life_impressions(press, deep=deep)
    field = "die_price_per_cm2" if deep else "block_price_per_cm2"
    per_cm2: float = getattr(press, field)
    least = press.die_min_price if deep else press.block_min_price
    lead = press.die_lead_days if deep else press.block_lead_days
    label = (
        "dies" if deep else {"type": "set type", "electro": "electros"}.get(press.carrier, "blocks")
    )
    return Charge(
        "carrier",
        label,
        max(least, area * per_cm2),
        "carrier",
        amount=work.carriers,
        kind="outwork" if lead else "material",
        # A form for both sides is worn by every sheet twice.
        life=life / prints_per_sheet(work.forms[0]),
        because=f"one for each ink of {len(work.forms)} form(s), {area:,.0f} cm2 at {per_cm2:g} a "
        f"cm2, at least {least:g}; new ones after {life:,.0f} impressions{_height(press, deep)}",
        source=press.source(field),
        lead_days=lead,
    )


def _height(press: LetterpressPress, deep: bool) -> str:
    if press.carrier == "type" and not deep:
        return ""
    height = type_height_mm(press.type_height_in)
    return f"; on a base of {base_mm(press):.2f} mm to the {height:.2f} mm of type"
