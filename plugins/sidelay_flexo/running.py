"""How fast the web runs, what stops it, and what it takes to start."""

from __future__ import annotations

from sidelay.plugin import Changeover, Reel, Work, heaviest_coverage_pct

from .plates import cuts_labels
from .press import FlexoPress


def web_speed(press: FlexoPress, work: Work) -> tuple[float, str]:
    """Running speed [m/min], stops left out, and what led there."""
    factors = _factors(press, work)
    speed = press.rated_m_per_min
    for _, factor in factors:
        speed *= factor
    told = " x ".join(f"{factor:g} ({name})" for name, factor in factors)
    because = f"{press.rated_m_per_min:g} m/min rated x {told} = {speed:.0f} m/min"
    if cuts_labels(press, work) and speed > press.die_m_per_min:
        return press.die_m_per_min, f"{because}, held to {press.die_m_per_min:g} m/min by the die"
    return speed, because


def _factors(press: FlexoPress, work: Work) -> list[tuple[str, float]]:
    part, caliper = work.part, work.part.stock.caliper_um
    factors = [("running", press.running_share)]
    if heaviest_coverage_pct(part) > press.heavy_coverage_pct:
        named = f"{press.ink} ink over {press.heavy_coverage_pct:g} %"
        factors.append((named, press.heavy_coverage_speed))
    if caliper < press.thin_below_um:
        factors.append((f"stock under {press.thin_below_um:g} um", press.thin_speed))
    if caliper > press.thick_above_um:
        factors.append((f"stock over {press.thick_above_um:g} um", press.thick_speed))
    if part.register_mm is not None and part.register_mm <= press.tight_register_mm:
        named = f"register of {part.register_mm:g} mm"
        factors.append((named, press.tight_register_speed))
    return factors


def net_speed(press: FlexoPress, work: Work) -> tuple[float, str]:
    """Repeats an hour, stops for reels and for worn plates shared out, and what led there."""
    speed, because = web_speed(press, work)
    running_min = work.layout.length_m / speed
    reels_min, reels_told = _reel_stop_min(press, work)
    plates_min = work.carriers * _hanging_min(press) / press.plate_life_repeats
    per_hour = 60 / (running_min + reels_min + plates_min)
    return per_hour, (
        f"{because}; {reels_told}; new plates each {press.plate_life_repeats:,.0f} repeats; "
        f"repeat {work.layout.length_mm:g} mm: {per_hour:,.0f} repeats/h"
    )


def _hanging_min(press: FlexoPress) -> float:
    """Minutes the press stands for one plate or sleeve, mounting included where it waits for it."""
    return press.make_ready_min_per_plate + (
        0.0 if press.seamless else press.mounting_min_per_plate
    )


def _reel_stop_min(press: FlexoPress, work: Work) -> tuple[float, str]:
    """Minutes a repeat that the press stands for new reels."""
    supply = work.layout.supply
    if press.splices or not isinstance(supply, Reel):
        return 0.0, "no stop for new reels"
    stop = press.reel_change_min * work.layout.length_m / supply.length_m
    return stop, f"{press.reel_change_min:g} min stop each reel of {supply.length_m:,.0f} m"


def running_waste(press: FlexoPress, work: Work) -> tuple[float, str]:
    """Share of the good repeats that is spoiled: while running, and at each new reel."""
    supply, waste = work.layout.supply, press.running_waste
    if not isinstance(supply, Reel):
        return waste, f"{waste:.1%} while running"
    at_reels = press.reel_change_m / supply.length_m
    told = f"{waste:.1%} while running, {press.reel_change_m:g} m each reel of"
    return waste + at_reels, f"{told} {supply.length_m:,.0f} m"


def make_ready_min(press: FlexoPress, work: Work, change: Changeover) -> tuple[float, str]:
    """Minutes before the first good repeat; the same stock as last time need not be threaded."""
    stock = 0.0 if change.same_stock else press.stock_change_min
    minutes = stock + work.carriers * _hanging_min(press)
    told = "the stock stays" if change.same_stock else f"{stock:g} min for the stock"
    carrier = "sleeve(s)" if press.seamless else "plate(s)"
    hung = f"{work.carriers} {carrier} at {_hanging_min(press):g} min to hang and register"
    return minutes, f"{told}, {hung}"


def make_ready_m(press: FlexoPress, work: Work) -> float:
    """Web [m] spoiled before the first good repeat."""
    return press.make_ready_m_per_job + work.carriers * press.make_ready_m_per_plate
