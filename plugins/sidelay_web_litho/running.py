"""How a web litho press starts, runs and is cleaned: minutes, spoiled cut-offs, speed."""

from __future__ import annotations

from math import ceil

from sidelay.plugin import Changeover, Reel, Work, heaviest_coverage_pct

from .press import WebPress

MIN_PER_HOUR = 60.0


def web_m_per_s(cutoffs_per_hour: float, cutoff_mm: float) -> float:
    """Speed of the web [m/s]: cut-offs an hour x cut-off."""
    return cutoffs_per_hour * cutoff_mm / 1000 / 3600


def further_colours(work: Work) -> int:
    """Inks on the web that has most, both sides together, beyond one for each printed side.

    The webs of a copy start together and are brought to colour together, so the web with most
    inks decides how long the start takes, not the sum.
    """
    sides = len(work.sides)
    webs = [work.forms[i : i + sides] for i in range(0, len(work.forms), sides)]
    return max(sum(len(form.inks) - 1 for form in web) for web in webs)


def plates(press: WebPress, work: Work) -> int:
    """Plates of the whole set: one cylinder for each ink of each form, filled with plates."""
    return work.carriers * press.plates_per_cylinder


def make_ready_min(press: WebPress, work: Work, change: Changeover) -> tuple[float, str]:
    """Minutes before the first good copy, and how they come about."""
    count = plates(press, work)
    minutes = press.make_ready_min + count * press.make_ready_min_per_plate
    told = [f"{press.make_ready_min:g} min", f"{count} plates"]
    if work.layout.delivery == "copy":
        minutes += press.fold_set_up_min
        told.append(f"{press.fold_set_up_min:g} min for the folder")
    if not change.same_stock:
        minutes += press.reel_width_change_min
        told.append(f"{press.reel_width_change_min:g} min for other reels")
    return minutes, f"{' + '.join(told)} at {press.make_ready_min_per_plate:g} min a plate"


def once_min(press: WebPress, work: Work, change: Changeover) -> float:
    """Minutes of the make-ready that a further section of the same size does not take again."""
    folder = press.fold_set_up_min if work.layout.delivery == "copy" else 0.0
    return folder + (0.0 if change.same_stock else press.reel_width_change_min)


def make_ready_cutoffs(press: WebPress, work: Work) -> int:
    """Cut-offs spoiled at a start, whatever the run: F of waste = F + r x run."""
    colours, webs = further_colours(work), work.layout.webs - 1
    return ceil(
        press.make_ready_copies
        + colours * press.make_ready_copies_per_colour
        + webs * press.make_ready_copies_per_web
    )


def running_waste(press: WebPress, work: Work) -> float:
    """Share of the good cut-offs spoiled on the run: r of waste = F + r x run."""
    return press.running_waste + further_colours(work) * press.running_waste_per_colour


def rated_per_hour(press: WebPress, work: Work) -> float:
    """Cut-offs an hour if nothing slowed it: as rated, held by the fastest that its web runs."""
    by_web = press.max_web_m_per_min * MIN_PER_HOUR / work.layout.length_m
    return min(press.rated_cutoffs_per_hour, by_web)


def net_speed(press: WebPress, work: Work) -> tuple[float, str]:
    """Cut-offs an hour with reel changes, and the factors that led there."""
    layout, grammage = work.layout, work.part.stock.grammage_gsm
    factors = [("running", press.running_share)]
    if grammage < press.thin_below_gsm:
        factors.append((f"stock under {press.thin_below_gsm:g} g/m2", press.thin_speed))
    if grammage > press.heavy_above_gsm:
        factors.append((f"{grammage:g} g/m2", press.heavy_above_gsm / grammage))
    if heaviest_coverage_pct(work.part) > press.heavy_coverage_pct:
        factors.append(
            (f"coverage over {press.heavy_coverage_pct:g} %", press.heavy_coverage_speed)
        )
    net = rated_per_hour(press, work)
    told = f"{net:,.0f} ({'rated' if net == press.rated_cutoffs_per_hour else 'fastest web'})"
    for name, factor in factors:
        net *= factor
        told += f" x {factor:.3g} ({name})"
    stop_min, stops = _reel_stops(press, work)
    net = MIN_PER_HOUR / (MIN_PER_HOUR / net + stop_min)
    pace = web_m_per_s(net, layout.length_mm)
    return net, f"{told}{stops} = {net:,.0f} cut-offs/h, {pace:.1f} m/s of web"


def _reel_stops(press: WebPress, work: Work) -> tuple[float, str]:
    """Minutes of reel changes for each cut-off; a splicer changes reels at speed."""
    supply = work.layout.supply
    if press.splicer or not isinstance(supply, Reel):
        return 0.0, ""
    cutoffs = supply.length_m / work.layout.length_m
    minutes = press.reel_change_min * work.layout.webs
    return minutes / cutoffs, f", less {minutes:g} min for reels every {cutoffs:,.0f} cut-offs"


def wash_up_min(press: WebPress, work: Work, change: Changeover) -> tuple[float, str]:
    """Minutes of cleaning: blankets, and units that change ink, at most all units together."""
    # Each ink stands in a unit for every printed side of every web.
    a_unit, lighter = press.unit_wash_min, press.light_after_dark_min
    units = len(work.forms) * change.wash_min(a_unit, light_after_dark=lighter)
    minutes = min(units, press.all_units_wash_min)
    told = f"blankets {press.blanket_wash_min:g} min, units {minutes:g} min"
    return press.blanket_wash_min + minutes, f"{told}: {change.because}"
