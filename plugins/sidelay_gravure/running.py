"""How fast the web runs, what stops it, and what it takes to start."""

from __future__ import annotations

from sidelay.plugin import Changeover, Reel, Work, heaviest_coverage_pct

from .cylinders import cycles_on_reel, press_chrome_life
from .press import GravurePress


def web_speed(press: GravurePress, work: Work) -> tuple[float, str]:
    """Running speed [m/min], stops left out, and what led there."""
    factors = _factors(press, work)
    speed = press.rated_m_per_min
    for _, factor in factors:
        speed *= factor
    told = " x ".join(f"{factor:g} ({name})" for name, factor in factors)
    return speed, f"{press.rated_m_per_min:g} m/min rated x {told} = {speed:.0f} m/min"


def _factors(press: GravurePress, work: Work) -> list[tuple[str, float]]:
    part, caliper = work.part, work.part.stock.caliper_um
    factors = [("running", press.running_share)]
    if heaviest_coverage_pct(part) > press.heavy_coverage_pct:
        named = f"solvent load over {press.heavy_coverage_pct:g} %"
        factors.append((named, press.heavy_coverage_speed))
    if caliper < press.thin_below_um:
        factors.append((f"stretch under {press.thin_below_um:g} um", press.thin_speed))
    if caliper > press.thick_above_um:
        factors.append((f"stock over {press.thick_above_um:g} um", press.thick_speed))
    if part.register_mm is not None and part.register_mm <= press.tight_register_mm:
        factors.append((f"register of {part.register_mm:g} mm", press.tight_register_speed))
    return factors


def net_speed(press: GravurePress, work: Work) -> tuple[float, str]:
    """Cycles an hour, stops for reels and for worn cylinders shared out, and what led there."""
    speed, because = web_speed(press, work)
    running_min = work.layout.length_m / speed
    reels_min, reels_told = _reel_stop_min(press, work)
    life = press_chrome_life(press)
    cylinders_min = work.carriers * press.make_ready_min_per_cylinder / life
    per_hour = 60 / (running_min + reels_min + cylinders_min)
    return per_hour, (
        f"{because}; {reels_told}; cylinders hung anew each {life:,.0f} impressions for chrome; "
        f"circumference {work.layout.length_mm:g} mm: {per_hour:,.0f} cycles/h"
    )


def _reel_stop_min(press: GravurePress, work: Work) -> tuple[float, str]:
    """Minutes a cycle that the press stands for new reels."""
    supply = work.layout.supply
    if press.splices or not isinstance(supply, Reel):
        return 0.0, "no stop for new reels"
    held = max(cycles_on_reel(supply.length_m, work.layout.length_m), 1)
    return press.reel_change_min / held, (
        f"{press.reel_change_min:g} min stop each reel of {held:,} cycles"
    )


def running_waste(press: GravurePress, work: Work) -> tuple[float, str]:
    """Share of the good cycles that is spoiled: while running, and at each new reel."""
    supply, waste = work.layout.supply, press.running_waste
    if not isinstance(supply, Reel):
        return waste, f"{waste:.1%} while running"
    told = f"{waste:.1%} while running, {press.reel_change_m:g} m each reel of"
    return waste + press.reel_change_m / supply.length_m, f"{told} {supply.length_m:,.0f} m"


def make_ready_min(press: GravurePress, work: Work, change: Changeover) -> tuple[float, str]:
    """Minutes before the first good cycle; kept cylinders are hung too, the same stock stays."""
    stock = 0.0 if change.same_stock else press.stock_change_min
    minutes = stock + work.carriers * press.make_ready_min_per_cylinder
    told = "the stock stays" if change.same_stock else f"{stock:g} min for the stock"
    return minutes, (
        f"{told}, {work.carriers} cylinder(s) at {press.make_ready_min_per_cylinder:g} min to hang "
        "and register"
    )


def make_ready_m(press: GravurePress, work: Work) -> float:
    """Web [m] spoiled before the first good cycle."""
    return press.make_ready_m_per_job + work.carriers * press.make_ready_m_per_cylinder
