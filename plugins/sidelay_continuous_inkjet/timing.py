"""How a continuous inkjet press runs a work: net speed, make-ready, flushing."""

from __future__ import annotations

from math import ceil

from sidelay.plugin import PieceFeed, Reel, Run, WebFeed, Work, changeover

from .heads import cycle_mm, drying_s, fed_mm, heads_at_work, line_limits_m_per_min, passes
from .press import CijPress


def run(press: CijPress, work: Work) -> Run | None:
    """Time a work; None where the heads do not reach its print, or it would hardly move.

    Past addressing heads pieces go singly: never several up.
    """
    fed = fed_mm(press, work)
    if fed is None or (press.heads == "addressing" and work.layout.up != 1):
        return None
    per_hour, speed_because = net_speed(press, work, fed[1])
    if per_hour < 1:
        return None
    times = passes(work)
    change = changeover(work, press.standing_inks)
    heads = times * heads_at_work(press, work)
    set_up = 0.0 if change.same_stock else times * press.set_up_min
    data = press.data_min if work.part.variable_share > 0 else 0.0
    wash = change.wash_min(press.ink_change_min, light_after_dark=press.light_after_dark_min)
    spoiled, spoiled_because = _make_ready_cycles(press, work, times)
    drying = drying_s(press, work.part)
    return Run(
        passes=times,
        make_ready_min=press.start_min + set_up + heads * press.head_min + data,
        make_ready_cycles=spoiled,
        cycles_per_hour=per_hour,
        running_waste=press.running_waste * times,
        wash_up_min=press.stop_min + wash,
        drying_h=drying / 3600,
        because={
            "passes": "single pieces are loaded again for the back"
            if times == 2
            else "every head prints in the one pass",
            "make_ready_min": f"{press.start_min:g} min to start the jets, {set_up:g} to set line "
            f"and feed, {heads} head setting(s) at {press.head_min:g}, {data:g} for variable data",
            "make_ready_cycles": spoiled_because,
            "cycles_per_hour": speed_because,
            "running_waste": f"{press.running_waste:g} of the good ones in each of {times} "
            "pass(es): misfeeds",
            "wash_up_min": f"{press.stop_min:g} min to flush and stop, {wash:g} to change inks: "
            f"{change.because}",
            "drying_h": f"{drying:g} s after the heads",
        },
        rated_per_hour=rated_per_hour(press, fed[1]),
    )


def rated_per_hour(press: CijPress, travel_mm: float) -> float:
    """Cycles an hour of one pass if nothing slowed the line: its speed, and what it delivers.

    travel_mm: length of one cycle the way it is fed
    """
    by_line = press.max_m_per_min * 60_000 / cycle_mm(press, travel_mm)
    if isinstance(press.feed, WebFeed):
        return by_line
    return min(by_line, press.rated_pieces_per_hour)


def net_speed(press: CijPress, work: Work, travel_mm: float) -> tuple[float, str]:
    """Cycles an hour in one pass, and what held it back.

    travel_mm: length of one cycle the way it is fed
    """
    limits = line_limits_m_per_min(press, work.part)
    held, m_per_min = min(limits.items(), key=lambda each: each[1])
    length = cycle_mm(press, travel_mm)
    rate = m_per_min * 60_000 / length
    told = f"{m_per_min:.1f} m/min (held by {_HELD[held]}) at {length:g} mm"
    if not isinstance(press.feed, WebFeed) and rate > press.rated_pieces_per_hour:
        rate = press.rated_pieces_per_hour
        told = f"{rate:,.0f} an hour, the most the line delivers ({told} would be faster)"
    for name, share in _factors(press, work):
        rate *= share
        told += f" x {share:g} ({name})"
    stop_h, reels = _reel_change(press, work)
    if stop_h:
        rate = 1 / (1 / rate + stop_h)
        told += f", {reels}"
    return rate, f"{told} = {rate:,.0f} an hour"


_HELD = {
    "rated": "line or transport",
    "drops": "drops a stroke of the jet",
    "drying": "drying before the print is touched",
}


def _factors(press: CijPress, work: Work) -> list[tuple[str, float]]:
    factors = [("running", press.running_share)]
    if isinstance(press.feed, PieceFeed):
        return factors  # bottles and cartons come on the line's own belt
    stock = work.part.stock
    if stock.grammage_gsm < press.thin_below_gsm:
        factors.append((f"under {press.thin_below_gsm:g} g/m2", press.thin_speed))
    if stock.caliper_um > press.thick_above_um:
        factors.append((f"over {press.thick_above_um:g} um", press.thick_speed))
    return factors


def _reel_change(press: CijPress, work: Work) -> tuple[float, str]:
    """Hours of standstill for reels that fall on one cycle, and the reason."""
    reel = work.layout.supply
    if press.splices or not isinstance(reel, Reel):
        return 0.0, ""
    cycles = reel.length_m / work.layout.length_m
    hours = press.reel_change_min / 60 / cycles
    return hours, f"{press.reel_change_min:g} min for a new reel every {reel.length_m:,.0f} m"


def _make_ready_cycles(press: CijPress, work: Work, times: int) -> tuple[int, str]:
    if isinstance(press.feed, WebFeed):
        length = work.layout.length_m
        return ceil(press.make_ready_m / length), (
            f"{press.make_ready_m:g} m of web at {length:g} m a cut-off"
        )
    pieces = press.make_ready_pieces
    return pieces * times, f"{pieces} pieces to place the print, in each of {times} pass(es)"
