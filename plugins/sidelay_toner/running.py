"""How a toner press runs: steps by sheet length and grammage, duplex, toner on the sheet."""

from __future__ import annotations

from sidelay.plugin import PROCESS_INKS, Ink, Side, Work, ink_mass_kg

from .press import Steps, TonerPress

MIN_PER_HOUR = 60


def at(table: Steps, value: float) -> float | None:
    """Return the entry of the first step that reaches the value, None beyond the last."""
    return next((figure for up_to, figure in table if value <= up_to), None)


def clicks(press: TonerPress, work: Work) -> float | None:
    """Clicks that one side of the sheet counts; None for a sheet longer than the contract has."""
    return at(press.clicks_by_length, work.layout.length_mm)


def extra_inks(press: TonerPress, side: Side) -> tuple[Ink, ...]:
    """Inks of a side that a station beside the process toners prints."""
    return tuple(ink for ink in side.inks if ink.name in press.extra_stations)


def interleaved(press: TonerPress, length_mm: float) -> float:
    """Sheets that the duplex path holds at a time; 1 beyond the last step."""
    return at(press.interleaved_by_length, length_mm) or 1


def duplex_share(press: TonerPress, length_mm: float) -> float:
    """Sheets an hour printed on both sides, over those printed on one.

    Half, since each sheet passes twice, and less where the engine waits for a sheet that turns.
    """
    if not press.turns_the_sheet:
        return 1.0
    return 0.5 * (at(press.duplex_speed_by_interleaved, interleaved(press, length_mm)) or 1.0)


def net_speed(press: TonerPress, work: Work) -> tuple[float, float, str] | None:
    """Sheets an hour, rated and net, and why.

    None for a sheet too long or too heavy for the engine's tables.
    """
    length, grammage = work.layout.length_mm, work.part.stock.grammage_gsm
    sides = at(press.sides_per_minute_by_length, length)
    fusing = at(press.speed_by_grammage, grammage)
    if sides is None or fusing is None:
        return None
    told = f"{sides:g} sides/min at {length:g} mm x {fusing:g} ({grammage:g} g/m2)"
    factor = fusing
    if any(extra_inks(press, side) for side in work.sides):
        factor *= press.extra_station_speed
        told += f" x {press.extra_station_speed:g} (station beside the process toners)"
    told += f" x {press.running_share:g} (running)"
    if len(work.sides) == 2:
        turning = duplex_share(press, length)
        factor *= turning
        if press.turns_the_sheet:
            sheets = interleaved(press, length)
            told += f" x {turning:g} (turns the sheet, {sheets:g} interleaved)"
    rated = sides * MIN_PER_HOUR
    per_hour = rated * factor * press.running_share
    return rated, per_hour, f"{told} = {per_hour:,.0f} sheets/h"


def toner_kg(press: TonerPress, work: Work, *, extra: bool) -> float:
    """Toner that one sheet consumes [kg], what is lost included.

    extra: whether of the stations beside the process toners, or of the process toners, which also
        build the inks that they simulate, once for each process toner there is
    Every toner of a side uses at least `least_coverage` of it.
    """
    area_m2 = work.part.printed_area_m2 * work.layout.pieces_per_cycle
    covered = 0.0
    for side in work.sides:
        covered += max(side.coverage, press.least_coverage) * len(_toners(press, side, extra=extra))
    return ink_mass_kg(area_m2 * covered, 1.0, press.toner_gsm) / (1 - press.toner_lost_share)


def _toners(press: TonerPress, side: Side, *, extra: bool) -> set[str]:
    """Toners that a side takes; a simulated ink takes all process toners."""
    own = {ink.name for ink in extra_inks(press, side)}
    if extra:
        return own
    wanted = {ink.name for ink in side.inks} - own
    process = wanted & set(PROCESS_INKS)
    return process if wanted == process else set(PROCESS_INKS)
