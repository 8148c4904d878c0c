"""How an inkjet press runs a work: net speed, make-ready, waste, drying.

Under fixed heads the slowest of three sets the pace: the rated speed, the jetting (pixels along the
web) and the dryer. Under a carriage it is the area, the passes that the ruling asks for, and hands.
"""

from __future__ import annotations

from math import ceil

from sidelay.plugin import Reel, Run, Work, changeover, heaviest_coverage_pct

from .heads import jetting_m_per_min, pages_per_min, scanning_m2_per_hour
from .inks import lays_white
from .press import InkjetPress, Steps

# A cycle that takes longer than an hour is no work for the press.
LEAST_CYCLES_PER_HOUR = 1.0


def run(press: InkjetPress, work: Work) -> Run | None:
    """Time a work; None where a cycle would take more than an hour."""
    passes = 1 if work.layout.style in ("one_side", "perfecting") else 2
    per_hour, speed_because = net_speed(press, work)
    if per_hour < LEAST_CYCLES_PER_HOUR:
        return None
    same_stock = changeover(work, press.channels).same_stock
    stock_min = 0.0 if same_stock else press.stock_change_min
    spoiled, spoiled_because = _make_ready_cycles(press, work)
    drying_h, drying_because = _drying(press, work)
    return Run(
        passes=passes,
        make_ready_min=passes * press.make_ready_min + stock_min,
        make_ready_cycles=passes * spoiled,
        cycles_per_hour=per_hour,
        running_waste=passes * press.running_waste,
        drying_h=drying_h,
        because={
            "passes": f"loaded {passes} time(s), {work.layout.style.replace('_', ' ')}",
            "make_ready_min": f"{press.make_ready_min:g} min for file, purge and first print, "
            f"{passes} time(s); {stock_min:g} min for the stock"
            + (", which stays" if same_stock else ""),
            "make_ready_cycles": f"{spoiled_because}, {passes} time(s)",
            "cycles_per_hour": speed_because,
            "running_waste": f"{press.running_waste:g} in each of {passes} pass(es): "
            "blocked nozzles, jams, checks",
            "wash_up_min": "none: heads keep their inks, and purging belongs to the make-ready",
            "drying_h": drying_because,
        },
        rated_per_hour=rated_per_hour(press, work),
    )


def rated_per_hour(press: InkjetPress, work: Work) -> float:
    """Cycles an hour if nothing slowed it: rated sheets or web, or a carriage in draft."""
    if not press.single_pass:
        fewest = fewest_head_passes(press)
        return scanning_m2_per_hour(press.one_pass_m2_per_hour, fewest) / work.layout.area_m2
    if press.takes_sheets:
        return press.rated_sheets_per_hour
    return press.rated_m_per_min * 60 / work.layout.length_m


def fewest_head_passes(press: InkjetPress) -> float:
    """Passes of the carriage over each spot in draft."""
    return min(passes for _, passes in press.passes_by_ruling)


def net_speed(press: InkjetPress, work: Work) -> tuple[float, str]:
    """Cycles an hour of one pass, stops for piles and reels taken off, and what led there."""
    pace, because = _fixed_heads(press, work) if press.single_pass else _carriage(press, work)
    pace *= press.running_share
    because += f"; x {press.running_share:g} (running)"
    stop_min, cycles, stop = _stop(press, work)
    if stop_min:
        pace = 1 / (1 / pace + stop_min / 60 / cycles)
        because += f"; {stop_min:g} min every {cycles:,.0f} cycles for {stop}"
    return pace, f"{because}: {pace:,.1f} an hour"


def _fixed_heads(press: InkjetPress, work: Work) -> tuple[float, str]:
    """Cycles an hour under single-pass heads: the least of rated, jetting and drying."""
    metres_per_cycle = work.layout.length_m
    jetting = jetting_m_per_min(press.jetting_khz, press.dpi_along, press.drops_per_pixel)
    rated = rated_per_hour(press, work)
    coverage = heaviest_coverage_pct(work.part)
    dried = at(press.drying_speed_by_coverage, coverage) if press.aqueous else 1.0
    limits = {
        "rated": rated,
        "jetting": jetting * 60 / metres_per_cycle,
        f"drying at {coverage:.0f} % coverage": rated * dried,
    }
    grammage = work.part.stock.grammage_gsm
    weight = at(press.speed_by_grammage, grammage)
    # Only a press that turns the sheet loses speed over its back; a web has heads for both sides.
    turned = press.takes_sheets and work.layout.style == "perfecting"
    second = press.second_side_speed if turned else 1.0
    pace = min(limits.values()) * weight * second
    told = ", ".join(f"{name} {figure:,.0f}" for name, figure in limits.items())
    because = (
        f"least of {told} cycles/h ({press.jetting_khz:g} kHz at {press.dpi_along:g} dpi is "
        f"{jetting:.1f} m/min) x {weight:g} ({grammage:g} g/m2)"
    )
    if turned:
        because += f" x {second:g} (both sides)"
    if press.takes_reels:
        m_per_min = pace * metres_per_cycle / 60
        page_mm = work.layout.length_mm / work.layout.around
        pages = pages_per_min(m_per_min, page_mm, work.layout.across, len(work.sides))
        because += f" = {m_per_min:.1f} m/min, {pages:,.0f} pages or pieces/min, sides counted"
    return pace, because


def _carriage(press: InkjetPress, work: Work) -> tuple[float, str]:
    """Cycles an hour under a scanning carriage: area, passes for the ruling, loading by hand."""
    ruling, area_m2 = work.part.ruling_lpi, work.layout.area_m2
    head_passes = at(press.passes_by_ruling, ruling)
    white = press.white_speed if lays_white(work) else 1.0
    m2_per_hour = scanning_m2_per_hour(press.one_pass_m2_per_hour, head_passes) * white
    seconds = area_m2 / m2_per_hour * 3600 + press.load_s
    because = (
        f"{press.one_pass_m2_per_hour:g} m2/h / {head_passes:g} head passes ({ruling:g} lpi)"
        f"{f' x {white:g} (white)' if white < 1 else ''} = {m2_per_hour:.3g} m2/h on "
        f"{area_m2:.3g} m2, {press.load_s:g} s to load: {seconds:.1f} s"
    )
    return 3600 / seconds, because


def _stop(press: InkjetPress, work: Work) -> tuple[float, float, str]:
    """Minutes of a stop, cycles between two of them, and what it is for; nought where none is."""
    layout, supply = work.layout, work.layout.supply
    if isinstance(supply, Reel) and press.takes_reels:
        return press.reel_change_min, supply.length_m / layout.length_m, "a reel"
    if press.takes_sheets and press.pile_mm:
        sheets = press.pile_mm * 1000 / work.part.stock.caliper_um
        return press.pile_change_min, sheets, "a pile"
    return 0.0, 1.0, ""


def _make_ready_cycles(press: InkjetPress, work: Work) -> tuple[int, str]:
    if press.takes_reels:
        cycles = ceil(press.make_ready_m / work.layout.length_m)
        return cycles, f"{press.make_ready_m:g} m of web until colour and place are right"
    return press.make_ready_cycles, f"{press.make_ready_cycles} until colour and place are right"


def _drying(press: InkjetPress, work: Work) -> tuple[float, str]:
    stock = work.part.stock
    # A garment is cured in a heat press as part of its making, whatever its surface.
    wet = press.aqueous and not press.takes_pieces and not stock.treated
    if wet and not press.primes(stock, heaviest_coverage_pct(work.part)):
        return press.drying_untreated_h, "aqueous ink on stock neither treated nor primed"
    return press.drying_h, f"{press.ink} ink on a surface that takes it"


def at(table: Steps, value: float) -> float:
    """Return the entry of the first step that reaches the value, beyond the last the last one."""
    return next((figure for up_to, figure in table if value <= up_to), table[-1][1])
