"""Engraved cylinders: face, cells, engraving time, chrome, and what they cost.

A cylinder is a steel base, copper that is engraved, and chrome that wears. Chrome is renewed first,
for little; after a few layers the base is coppered and engraved again; the base itself lasts.
"""

from __future__ import annotations

from math import floor, radians, tan

from sidelay.plugin import Charge, Ink, Layout, Part, Work

from .press import GravurePress

CM_PER_INCH = 2.54
CM2_PER_M2 = 1e4
UM_PER_CM = 1e4
S_PER_HOUR = 3600
ROUNDING = 1e-9
COARSE_KINDS = ("white", "metallic", "varnish")


def face_m2(layout: Layout) -> float:
    """Face of one cylinder [m2]: width of the web x circumference, which is one cycle."""
    return layout.width_mm * layout.length_mm / 1e6


def screen_lines_per_cm(press: GravurePress, part: Part, ink: Ink) -> float:
    """Screen [lines/cm] that an ink's cylinder is engraved with: the part's, or a coarse one.

    Everything is screened, line work at the usual screen; none is coarser than the coarsest.
    """
    asked = part.ruling_lpi / CM_PER_INCH or press.usual_lines_per_cm
    asked = max(asked, press.least_lines_per_cm)
    return min(asked, press.coarse_lines_per_cm) if ink.kind in COARSE_KINDS else asked


def cells(face_m2: float, lines_per_cm: float) -> float:
    """Cells on a face engraved with a square screen: area x lines^2.

    Source: square screen, reference case gravure-engrave-time.
    """
    return face_m2 * CM2_PER_M2 * lines_per_cm**2


def engraving_h(cells: float, cells_per_s: float, heads: int = 1) -> float:
    """Hours to engrave cells at cells a second a head.

    Source: division, reference case gravure-engrave-time.
    """
    return cells / (cells_per_s * heads) / S_PER_HOUR


def cell_volume_cm3_per_m2(lines_per_cm: float, wall_um: float, stylus_angle_deg: float) -> float:
    """Volume [cm3/m2] of the cells of a solid: pyramids as wide as the pitch less the wall.

    depth = width / (2 tan(angle / 2)), volume = width^2 x depth / 3, one a pitch^2. Geometry.
    """
    pitch = UM_PER_CM / lines_per_cm
    width = max(pitch - wall_um, 0.0)
    depth = width / (2 * tan(radians(stylus_angle_deg) / 2))
    return (width / pitch) ** 2 * depth / 3


def chrome_life_impressions(start_um: float, reject_um: float, wear_um_per_100k: float) -> float:
    """Impressions until chrome has worn from its first thickness to the one where it is renewed.

    Source: reference case gravure-chrome-wear.
    """
    return max(start_um - reject_um, 0.0) / wear_um_per_100k * 100_000


def cycles_on_reel(reel_m: float, cycle_m: float) -> int:
    """Whole repeats on a reel. Source: division, reference case gravure-min-order."""
    return floor(reel_m / cycle_m + ROUNDING)


def press_chrome_life(press: GravurePress) -> float:
    """Impressions that a chrome layer of this press lasts; at least one."""
    life = chrome_life_impressions(
        press.chrome_um, press.chrome_reject_um, press.chrome_wear_um_per_100k
    )
    return max(life, 1.0)


def set_engraving_h(press: GravurePress, work: Work) -> float:
    """Hours to engrave all cylinders of a work, one after the other."""
    laser = press.engraver == "laser"
    rate = press.laser_cells_per_s if laser else press.stylus_cells_per_s
    face = face_m2(work.layout)
    return sum(
        engraving_h(
            cells(face, screen_lines_per_cm(press, work.part, ink)), rate, press.engraving_heads
        )
        for form in work.forms
        for ink in form.inks
    )


def carrier_charges(press: GravurePress, work: Work) -> list[Charge]:
    """Bases once, engraving for its life, chrome for its shorter life: three charges of one set.

    The core counts begun lives, one at least. So a run within the first chrome pays all three, a
    longer one pays chrome again, and after `chromings_per_engraving` layers engraving as well.
    Engraving alone is charged per "carrier", so that cylinders are counted once.
    """
    charges = [_engraving(press, work), _chrome(press, work)]
    return [_bases(press, work), *charges] if press.bases == "new" else charges


def _bases(press: GravurePress, work: Work) -> Charge:
    face = face_m2(work.layout)
    return Charge(
        "carrier",
        "cylinder bases",
        face * press.base_price_per_m2,
        "form",
        amount=work.carriers,
        kind="outwork",
        because=f"{work.carriers} new steel base(s) of {face:.3f} m2 face at "
        f"{press.base_price_per_m2:g} a m2; they last",
        source=press.source("base_price_per_m2"),
        lead_days=press.new_cylinder_lead_days,
    )


def _engraving(press: GravurePress, work: Work) -> Charge:
    face, hours = face_m2(work.layout), set_engraving_h(press, work)
    price = (
        press.handling_price_per_cylinder
        + face * press.copper_price_per_m2
        + hours / work.carriers * press.engraving_rate_per_hour
    )
    life = press_chrome_life(press) * press.chromings_per_engraving
    new = press.bases == "new"
    return Charge(
        "carrier",
        "cylinder engraving",
        price,
        "carrier",
        amount=work.carriers,
        kind="outwork",
        life=life,
        because=f"copper on {face:.3f} m2, {hours * 60:.0f} min of engraving for "
        f"{work.carriers} cylinder(s) on {press.engraving_heads} {press.engraver} head(s); again "
        f"after {press.chromings_per_engraving} layers of chrome, {life:,.0f} impressions",
        source=press.source("copper_price_per_m2"),
        lead_days=press.new_cylinder_lead_days if new else press.re_engraving_lead_days,
    )


def _chrome(press: GravurePress, work: Work) -> Charge:
    face, life = face_m2(work.layout), press_chrome_life(press)
    return Charge(
        "carrier",
        "cylinder chrome",
        face * press.chrome_price_per_m2,
        "form",
        amount=work.carriers,
        kind="outwork",
        life=life,
        because=f"{work.carriers} face(s) of {face:.3f} m2; renewed after {life:,.0f} impressions, "
        f"when {press.chrome_um:g} um are worn to {press.chrome_reject_um:g}",
        source=press.source("chrome_wear_um_per_100k"),
    )
