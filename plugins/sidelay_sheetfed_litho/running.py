"""How a sheetfed litho press runs: settings of its units, minutes, net speed, drying."""

from __future__ import annotations

from functools import lru_cache
from math import ceil

from sidelay.plugin import Changeover, Curve, Work, heaviest_coverage_pct

from .limits import unit_inks
from .press import LithoPress

MIN_PER_HOUR = 60.0
UM_PER_MM = 1000.0


def fits_drum(press: LithoPress, work: Work) -> bool:
    """Whether one side's inks fit the units before the reversing drum and the other's behind it."""
    before = press.perfecting_after_unit
    if before == 0:
        return False
    behind = press.units - before
    one, other = (unit_inks(press, form) for form in work.forms)
    return (one <= before and other <= behind) or (other <= before and one <= behind)


def settings(press: LithoPress, work: Work) -> int:
    """How often units are set up: once to perfect, else so often as each form's inks need."""
    if work.layout.style == "perfecting":
        return 1
    return sum(max(ceil(unit_inks(press, form) / press.units), 1) for form in work.forms)


def plates(press: LithoPress, work: Work) -> int:
    """Plates for all forms: one for each ink, and for a varnish that no coater takes."""
    return sum(unit_inks(press, form) for form in work.forms)


def coated_forms(press: LithoPress, work: Work) -> int:
    """Forms whose varnish the coater lays on."""
    return work.carriers - plates(press, work)


@lru_cache(maxsize=256)
def waste(points: tuple[tuple[float, float], ...], passes: int) -> Curve:
    """Waste over run length for all passes; kept, since every layout of a press asks for it."""
    return Curve(points).times(passes)


def make_ready_min(
    press: LithoPress, work: Work, set_ups: int, change: Changeover
) -> tuple[float, str]:
    """Minutes before the first good sheet, and how they come about."""
    count = plates(press, work)
    minutes = set_ups * press.make_ready_min_per_form + count * press.make_ready_min_per_plate
    told = (
        f"{set_ups} form setting(s) at {press.make_ready_min_per_form:g} min"
        f" and {count} plates at {press.make_ready_min_per_plate:g} min"
    )
    if change.same_stock:
        minutes = max(minutes - press.stock_set_up_min, 0.0)
        told += f", less {press.stock_set_up_min:g} min for a stock that stays"
    return minutes, told


def net_speed(press: LithoPress, work: Work) -> tuple[float, str]:
    """Sheets an hour in one pass with pile changes, and the factors that led there."""
    grammage, part = work.part.stock.grammage_gsm, work.part
    factors = [("running", press.running_share)]
    if grammage < press.thin_below_gsm:
        factors.append((f"stock under {press.thin_below_gsm:g} g/m2", press.thin_speed))
    if grammage > press.thick_above_gsm:
        factors.append((f"stock over {press.thick_above_gsm:g} g/m2", press.thick_speed))
    if work.layout.style == "perfecting":
        factors.append(("perfecting", press.perfecting_speed))
    if heaviest_coverage_pct(part) > press.heavy_coverage_pct:
        factors.append(
            (f"coverage over {press.heavy_coverage_pct:g} %", press.heavy_coverage_speed)
        )
    net = press.rated_sheets_per_hour
    for _, factor in factors:
        net *= factor
    told = " x ".join(f"{factor:g} ({name})" for name, factor in factors)
    piles = ""
    if not press.non_stop_feeder:
        sheets = press.pile_height_mm * UM_PER_MM / part.stock.caliper_um
        net = MIN_PER_HOUR / (MIN_PER_HOUR / net + press.pile_change_min / sheets)
        piles = f", less {press.pile_change_min:g} min for a pile every {sheets:,.0f} sheets"
    return net, (
        f"{press.rated_sheets_per_hour:,.0f} rated x {told}{piles} = {net:,.0f} sheets/h a pass"
    )


def wash_up_min(press: LithoPress, change: Changeover) -> tuple[float, str]:
    """Minutes of cleaning: blankets once, and units that change ink."""
    units = change.wash_min(press.unit_wash_min, light_after_dark=press.light_after_dark_min)
    told = f"blankets {press.blanket_wash_min:g} min, units {units:g} min"
    return press.blanket_wash_min + units, f"{told}: {change.because}"


def drying_h(press: LithoPress, work: Work) -> tuple[float, str]:
    """Hours before the next operation, and why."""
    stock = work.part.stock
    if press.drying == "uv":
        return 0.0, "cured under the lamps"
    coated_sides = coated_forms(press, work)
    if coated_sides and coated_sides == len(work.forms):
        if press.coater == "uv":
            return 0.0, "sealed by the coating, which lamps cure"
        return press.drying_coating_h, "sealed by the aqueous coating"
    hours = press.drying_coated_h if stock.coated else press.drying_uncoated_h
    told = f"oxidation, {'coated' if stock.coated else 'uncoated'} stock"
    heaviest = max(side.total_coverage_pct for side in work.sides)
    if heaviest > press.quick_drying_coverage_pct:
        hours *= press.slow_drying_times
        told += f", {press.slow_drying_times:g} times as long at {heaviest:g} % of ink"
    return hours, told
