"""How a screen press starts, runs and is cleared: passes, minutes, speed, drying."""

from __future__ import annotations

from dataclasses import dataclass

from sidelay.plugin import Changeover, Form, Work

from .mesh import flashes, heads, needs_under_base
from .press import ScreenPress

S_PER_HOUR = 3600.0
MIN_PER_HOUR = 60.0


@dataclass(frozen=True, slots=True)
class Setting:
    """One form as it goes through the press.

    passes: times that a piece or sheet goes through for it
    screens, flashes: of the whole form
    pulls: of all its screens for one piece or sheet
    """

    passes: int
    screens: int
    flashes: int
    pulls: int


def settings(press: ScreenPress, work: Work) -> tuple[Setting, ...] | None:
    """How each form goes through; None where a side needs more heads than a carousel has."""
    found = []
    for form in work.forms:
        needed = heads(press, work.part, form.inks)
        if press.carousel and needed > press.stations:
            return None
        found.append(_setting(press, work, form, needed))
    return tuple(found)


def _setting(press: ScreenPress, work: Work, form: Form, needed: int) -> Setting:
    screens = len(form.inks) + needs_under_base(press, work.part, form.inks)
    passes = 1 if press.carousel else -(-needed // press.stations)
    both = 2 if form.prints == "both" else 1
    return Setting(
        passes=passes * both,
        screens=screens,
        flashes=flashes(press, work.part, form.inks),
        pulls=screens * both,
    )


def make_ready_min(
    press: ScreenPress, found: tuple[Setting, ...], change: Changeover
) -> tuple[float, str]:
    """Minutes before the first good piece, and how they come about."""
    screens = sum(each.screens for each in found)
    minutes = screens * press.make_ready_min_per_screen
    told = f"{screens} screen(s) at {press.make_ready_min_per_screen:g} min"
    if change.same_stock:
        return minutes, told
    return (
        minutes + press.stock_set_up_min,
        f"{told}, {press.stock_set_up_min:g} min for another stock",
    )


def wash_up_min(
    press: ScreenPress, found: tuple[Setting, ...], change: Changeover
) -> tuple[float, str]:
    """Minutes to take the screens down and to wash what touched an ink that will not be used."""
    screens = sum(each.screens for each in found)
    down = screens * press.tear_down_min_per_screen
    wash = change.wash_min(press.ink_wash_min, light_after_dark=press.light_after_dark_min)
    return down + wash, (
        f"{screens} screen(s) down at {press.tear_down_min_per_screen:g} min, "
        f"{wash:g} min of washing: {change.because}"
    )


def net_speed(press: ScreenPress, work: Work, found: tuple[Setting, ...]) -> tuple[float, str]:
    """Pieces or sheets an hour in one pass, the mean of all passes, and what led there."""
    derated, told = _derated(press, work)
    hours, words = 0.0, []
    for each in found:
        limits = [("press", derated), *_held(press, each)]
        name, pace = min(limits, key=lambda limit: limit[1])
        renewing = each.pulls * press.make_ready_min_per_screen / press.stencil_life_pulls
        hours += each.passes / pace + renewing / MIN_PER_HOUR
        words.append(f"{pace:,.0f} by {name}")
    net = sum(each.passes for each in found) / hours
    life = f"a stencil hung anew every {press.stencil_life_pulls:,.0f} pulls"
    return net, f"{told}; {', '.join(words)}; {life}: {net:,.0f}/h a pass"


def _derated(press: ScreenPress, work: Work) -> tuple[float, str]:
    """Rated speed less what stock and size cost."""
    caliper, area = work.part.stock.caliper_um, work.layout.area_m2
    factors = [("running", press.running_share)]
    if caliper < press.thin_below_um:
        factors.append((f"stock under {press.thin_below_um:g} um", press.thin_speed))
    if caliper > press.thick_above_um:
        factors.append((f"stock over {press.thick_above_um:g} um", press.thick_speed))
    if area > press.large_above_m2:
        factors.append((f"sheets over {press.large_above_m2:g} m2", press.large_speed))
    net = press.rated_per_hour
    for _, factor in factors:
        net *= factor
    factors_told = " x ".join(f"{factor:g} ({name})" for name, factor in factors)
    return net, f"{press.rated_per_hour:,.0f} rated x {factors_told} = {net:,.0f}"


def _held(press: ScreenPress, each: Setting) -> list[tuple[str, float]]:
    """What else may hold a pass back [1/h]: hands, flash, dryer."""
    held = []
    if press.machine == "manual_carousel":
        # One after the other: nothing prints while the printer loads or waits for the flash.
        by_hand = press.load_s + each.screens * press.stroke_s + each.flashes * press.flash_s
        held.append(("hand", _per_hour(by_hand)))
    elif each.flashes:
        # All heads work at once, so that the carousel turns no faster than its slowest head.
        held.append(("flash", _per_hour(press.flash_s)))
    if in_dryer(press):
        held.append(("dryer", press.dryer_places * _per_hour(press.dryer_s)))
    return held


def _per_hour(seconds: float) -> float:
    return S_PER_HOUR / seconds if seconds else float("inf")


def in_dryer(press: ScreenPress) -> bool:
    """Whether pieces go through a tunnel or jet dryer: not under UV lamps, not on racks."""
    return press.ink in ("plastisol", "water") or (press.ink == "solvent" and not press.rack_h)


def drying(press: ScreenPress) -> tuple[float, str]:
    """Hours before the next operation, and why."""
    if press.ink == "uv":
        return 0.0, "cured at once under the lamps"
    if in_dryer(press):
        return 0.0, f"{press.dryer_s:g} s through the dryer"
    return press.rack_h, f"solvent ink, {press.rack_h:g} h on racks after each pass"
