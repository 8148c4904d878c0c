"""Plates, sleeves and dies: their area, their stretch, what they cost, what tones they hold."""

from __future__ import annotations

from sidelay.plugin import Charge, Layout, Tones, Work, plate_elongation

from .press import FlexoPress

CM2_PER_MM2 = 0.01


def carrier_charge(press: FlexoPress, work: Work) -> Charge:
    """Return the charge of plates or sleeves: each as wide as the print, as long as the repeat."""
    area, sleeve = face_cm2(press, work.layout), press.seamless
    price = area * press.plate_price_per_cm2 * (press.sleeve_price_times if sleeve else 1.0)
    dearer = f" x {press.sleeve_price_times:g} for a sleeve" if sleeve else ""
    return Charge(
        "carrier",
        "sleeves" if sleeve else "plates",
        price,
        "carrier",
        amount=work.carriers,
        kind="outwork",
        life=press.plate_life_repeats,
        because=f"one an ink, {area:,.0f} cm2 at {press.plate_price_per_cm2:g} a cm2{dearer}; new "
        f"ones after {press.plate_life_repeats:,.0f} repeats; {round_the_cylinder(press, work)}",
        source=press.source("sleeve_price_times" if sleeve else "plate_price_per_cm2"),
        lead_days=press.sleeve_lead_days if sleeve else press.plate_lead_days,
    )


def mounting_charge(press: FlexoPress, work: Work) -> Charge | None:
    """Return the charge of mounting plates on a bench; kept plates are mounted again, sleeves not.

    It comes again with each new set of plates.
    """
    if press.seamless or not press.mounting_price_per_plate:
        return None
    return Charge(
        "make_ready",
        "plate mounting",
        press.mounting_price_per_plate,
        "carrier",
        amount=work.carriers,
        life=press.plate_life_repeats,
        because=f"{work.carriers} plate(s) mounted with tape, and again with each new set",
        source=press.source("mounting_price_per_plate"),
    )


def die_charge(press: FlexoPress, work: Work) -> Charge | None:
    """Return the charge of a flexible die for labels cut in line; a new one when it is blunt."""
    if not (cuts_labels(press, work) and press.die_price_per_cm2):
        return None
    area = face_cm2(press, work.layout)
    return Charge(
        "die",
        "flexible die",
        area * press.die_price_per_cm2,
        "form",
        kind="outwork",
        life=press.die_life_repeats,
        because=f"{area:,.0f} cm2, the repeat by the width of the labels, at "
        f"{press.die_price_per_cm2:g} a cm2; a new one after {press.die_life_repeats:,.0f} repeats",
        source=press.source("die_price_per_cm2"),
        lead_days=press.die_lead_days,
    )


def cuts_labels(press: FlexoPress, work: Work) -> bool:
    """Whether labels are cut and stripped on the press in the same run."""
    return work.part.kind == "label" and bool(getattr(press.feed, "dies_in_line", False))


def face_cm2(press: FlexoPress, layout: Layout) -> float:
    """Area of one plate, sleeve or die [cm2]: the repeat by the width that prints."""
    side_mm = float(getattr(press.feed, "side_mm", 0.0))
    return layout.length_mm * printed_width_mm(layout, side_mm) * CM2_PER_MM2


def printed_width_mm(layout: Layout, side_mm: float) -> float:
    """Width [mm] from the first piece across to the last; all that prints without a pattern."""
    if layout.pattern is None:
        return layout.width_mm - 2 * side_mm
    return layout.pattern.printed_width()


def round_the_cylinder(press: FlexoPress, work: Work) -> str:
    """Say what the way round the cylinder does to the image: a seam, and the stretch of a plate."""
    if press.seamless:
        return "no seam, and no stretch: engraved in the round"
    repeat = work.layout.length_mm
    stretch = plate_elongation(repeat, press.plate_thickness_mm, press.plate_base_mm)
    return (
        f"a seam of {press.plate_gap_mm:g} mm each repeat, and {stretch:.2%} of stretch on "
        f"{repeat:g} mm, so that the image is made as much shorter on the flat plate"
    )


def tones(press: FlexoPress) -> Tones:
    """Tone steps that a plate holds: those of its imaging, without the tints too light to print.

    (1 - lightest tint) x steps; common practice, no source.
    """
    return Tones(press.plate_dpi, held_share=1 - press.min_tint_pct / 100)
