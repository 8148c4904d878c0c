"""How a letterpress press starts, runs and is washed: minutes and speed."""

from __future__ import annotations

from dataclasses import replace

from sidelay.plugin import Changeover, Work, changeover

from .press import LetterpressPress
from .relief import life_impressions, prints_per_sheet, settings

MIN_PER_HOUR = 60.0
UM_PER_MM = 1000.0


def passes(press: LetterpressPress, work: Work) -> int:
    """How often each sheet goes through: one ink a pass, each side anew."""
    return sum(settings(press, form) * prints_per_sheet(form) for form in work.forms)


def make_ready_min(press: LetterpressPress, work: Work, change: Changeover) -> tuple[float, str]:
    """Minutes before the good sheets of all passes, and how they come about."""
    count = sum(settings(press, form) for form in work.forms)
    minutes = press.make_ready_min + (count - 1) * press.make_ready_min_per_further_pass
    told = (
        f"{press.make_ready_min:g} min, {count - 1} further setting(s) at "
        f"{press.make_ready_min_per_further_pass:g} min"
    )
    if not change.same_stock:
        minutes += press.feeder_set_up_min
        told += f", {press.feeder_set_up_min:g} min for another stock"
    if work.part.impression == "deep":
        minutes += count * press.deep_packing_min
        told += f", packing for a deep impression {count} x {press.deep_packing_min:g} min"
    return minutes, told


def wash_up_min(press: LetterpressPress, work: Work, change: Changeover) -> tuple[float, int]:
    """Minutes of washing, and how many washes: between passes, and for the jobs before or after.

    The inks of a job follow each other on the same rollers, so all but as many as there are units
    are washed out during the job itself, from light to dark.
    """
    per_colour = press.wash_min_per_colour
    ends = min(change.washed, press.units)
    # What the core counts for all inks holds for the few that the rollers carry at a time.
    at_ends = change.wash_min(per_colour, light_after_dark=press.light_after_dark_min)
    minutes = at_ends * ends / max(change.washed, 1)
    every_ink = changeover(replace(work, previous=None))
    between = max(0, every_ink.washed - press.units)
    minutes += every_ink.wash_min(per_colour) * between / max(every_ink.washed, 1)
    return minutes, ends + between


def net_speed(press: LetterpressPress, work: Work) -> tuple[float, str]:
    """Impressions an hour with stops for piles and worn blocks, and what led there."""
    net = press.rated_impressions_per_hour
    told = f"{net:,.0f} rated"
    for name, factor in _factors(press, work):
        net *= factor
        told += f" x {factor:g} ({name})"
    pile = max(1, int(press.pile_height_mm * UM_PER_MM / work.part.stock.caliper_um))
    life = life_impressions(press, deep=work.part.impression == "deep")
    stops_min = press.pile_change_min / pile + press.make_ready_min_per_further_pass / life
    net = MIN_PER_HOUR / (MIN_PER_HOUR / net + stops_min)
    return net, (
        f"{told}; {press.pile_change_min:g} min stop every {pile:,} sheets; worn blocks locked up "
        f"anew every {life:,.0f} impressions: {net:,.0f} impressions/h"
    )


def _factors(press: LetterpressPress, work: Work) -> list[tuple[str, float]]:
    part, caliper = work.part, work.part.stock.caliper_um
    factors = [("running", press.running_share)]
    if caliper < press.thin_below_um:
        factors.append((f"stock under {press.thin_below_um:g} um", press.thin_speed))
    if caliper > press.thick_above_um:
        factors.append((f"stock over {press.thick_above_um:g} um", press.thick_speed))
    if max(side.coverage for side in part.sides) >= press.large_solid_share:
        factors.append((f"solids from {press.large_solid_share:.0%}", press.large_solid_speed))
    if part.impression == "deep":
        factors.append(("deep impression", press.deep_speed))
    return factors
