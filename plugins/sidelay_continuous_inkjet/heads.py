"""The arithmetic of jets: how fast a line may run, how much of a piece they reach, ink they lay.

A jet breaks into so many drops a second; each is steered to a place on the piece or caught and used
again. A coder throws all dots of a stroke from one jet, so that taller type runs more slowly. On
addressing heads and arrays each dot across the travel has a jet of its own.

The print of a single piece stands upright on the line: its height is the stroke, its width runs
along the travel.
"""

from __future__ import annotations

from math import ceil

from sidelay.plugin import (
    Part,
    PieceFeed,
    SheetFeed,
    Stock,
    WebFeed,
    Work,
    heaviest_coverage_pct,
)

from .press import CijPress

MM_PER_INCH = 25.4
# Drops that the one jet of a coder breaks into [kHz], from .. to.
# Source: industrial coder manual, print speed appendix.
CODER_DROP_KHZ = (64.0, 96.0)
# Grades that drink ink; all others dry more slowly. Common practice, no source.
POROUS = frozenset(("uncoated", "newsprint", "board", "cotton", "corrugated", "garment"))
# Surfaces that no ink sinks into, whatever was done to them. Common practice, no source.
SEALED = frozenset(("film", "foil", "vinyl", "rigid", "glass", "metal"))


def stroke_limit_m_per_s(drop_khz: float, drops_per_stroke: float, pitch_mm: float) -> float:
    """Fastest travel [m/s] at which one jet can still throw every stroke.

    drop_khz: drops a second in thousands; pitch_mm: from one stroke to the next
    v = f / drops x pitch: 64 kHz, 7 drops, 0.5 mm give 4.57 m/s. Source: definition; frequency and
    its dependence on the dots of a stroke: industrial coder manual, print speed appendix.
    """
    # kHz x mm is m/s.
    return drop_khz / drops_per_stroke * pitch_mm


def laydown_ml_per_m2(resolution_dpi: float, drop_pl: float) -> float:
    """Ink [ml/m2] of a solid in which every place for a dot takes one drop.

    resolution_dpi: dots an inch, both ways; drop_pl: picolitres. Source: definition: 600 dots an
    inch of 5 pl lay 2.79 ml/m2.
    """
    dots_per_m2 = (resolution_dpi / MM_PER_INCH * 1000) ** 2
    return dots_per_m2 * drop_pl * 1e-9


def pitch_mm(press: CijPress) -> float:
    """From one stroke of dots to the next [mm]."""
    return MM_PER_INCH / press.resolution_dpi


def print_height_mm(press: CijPress, part: Part) -> float:
    """Height [mm] of what one head prints: the print itself on a piece, else the head's strip."""
    if isinstance(press.feed, PieceFeed):
        return min(part.flat_height_mm, press.head_height_mm)
    return press.head_height_mm


def dots_in_stroke(press: CijPress, part: Part) -> int:
    """Dots that one jet throws in a stroke: as many as the height asks for, up to its most.

    Beyond its most a coder spreads the same dots over more height. An array's jet throws one.
    """
    if press.heads != "coder":
        return 1
    wanted = round(print_height_mm(press, part) / pitch_mm(press))
    return max(1, min(press.dots_high, wanted))


def lines_in_stroke(press: CijPress, part: Part) -> int:
    """Lines of characters that a coder's jet writes one above the other."""
    return max(1, dots_in_stroke(press, part) // press.dots_per_line)


def band_mm(press: CijPress) -> float:
    """Height [mm] of the strip that the heads for one ink print, side by side."""
    return press.heads_fitted * press.head_height_mm


def band_share(press: CijPress, across_mm: float) -> float:
    """Share of a piece, so wide across the travel, that passes under the heads."""
    return min(1.0, band_mm(press) / across_mm)


def wanted_share(press: CijPress, part: Part) -> float:
    """Least share of the piece that a print needs: what varies, and room for all of its ink.

    A full strip of type and bar codes is inked to `band_coverage`; a heavier image can only be a
    wider one. What does not vary is no address, and may stand anywhere on the piece.
    """
    if press.heads == "addressing" and part.variable_share == 0:
        return 1.0
    inked = max(side.covered(ink) for side in part.sides for ink in side.inks)
    inked /= press.band_coverage
    return min(1.0, max(part.variable_share, inked))


def reaches(press: CijPress, part: Part, across_mm: float) -> bool:
    """Whether the heads reach what is to print, with the piece so wide across the travel."""
    return round(wanted_share(press, part), 4) <= round(band_share(press, across_mm), 4)


def fed_mm(press: CijPress, work: Work) -> tuple[float, float] | None:
    """Width across the travel that the heads must span, and length of travel [mm], of one cycle.

    A piece that is fed singly goes in as it is laid out, or turned where only so the heads reach
    what is to print. None where they do not reach it at all.
    """
    part, layout = work.part, work.layout
    if isinstance(press.feed, PieceFeed):
        return part.flat_height_mm, part.flat_width_mm
    if isinstance(press.feed, WebFeed):
        ways = [(layout.width_mm - 2 * press.feed.side_mm, layout.length_mm)]
    elif layout.up > 1 or not isinstance(press.feed, SheetFeed):
        ways = [(layout.width_mm, layout.length_mm)]
    else:
        short, long = sorted((part.flat_width_mm, part.flat_height_mm))
        wide = layout.width_mm >= layout.length_mm
        ways = [(long if wide else short, layout.length_mm)]
        if press.feed.takes(layout.length_mm, layout.width_mm):
            ways.append((short if wide else long, layout.width_mm))
    return next((way for way in ways if reaches(press, part, way[0])), None)


def heads_for_one_ink(press: CijPress, work: Work) -> int:
    """Heads that print one ink on one side of a work that they reach."""
    fed = fed_mm(press, work)
    across = fed[0] if fed else band_mm(press)
    if press.heads != "array" and not isinstance(press.feed, PieceFeed):
        across *= wanted_share(press, work.part)
    return min(press.heads_fitted, max(1, ceil(round(across / press.head_height_mm, 6))))


def passes(work: Work) -> int:
    """How often each piece goes past the heads."""
    return 1 if work.layout.style in ("one_side", "perfecting") else 2


def heads_at_work(press: CijPress, work: Work) -> int:
    """Heads that run at one time: for all inks of both sides, or of the side that has more."""
    inks = [len(form.inks) for form in work.forms]
    return heads_for_one_ink(press, work) * (sum(inks) if passes(work) == 1 else max(inks))


def drying_s(press: CijPress, part: Part) -> float:
    """Seconds until the print can be touched: by surface, in proportion above a usual coverage."""
    dry = press.drying_porous_s if drinks_ink(part.stock) else press.drying_closed_s
    return dry * max(1.0, heaviest_coverage_pct(part) / press.dried_coverage_pct)


def drinks_ink(stock: Stock) -> bool:
    """Whether ink sinks into a stock: bare fibres, or a coating made for inkjet."""
    return stock.grade in POROUS or (stock.treated and stock.grade not in SEALED)


def line_limits_m_per_min(press: CijPress, part: Part) -> dict[str, float]:
    """Return what may hold back the travel under the heads, by name [m/min]; the least counts."""
    drops = dots_in_stroke(press, part) * press.drops_per_dot
    return {
        "rated": press.max_m_per_min,
        "drops": 60 * stroke_limit_m_per_s(press.drop_khz, drops, pitch_mm(press)),
        "drying": 60 * press.dryer_m / drying_s(press, part),
    }


def cycle_mm(press: CijPress, travel_mm: float) -> float:
    """Length of line [mm] that one cycle takes: piece and gap, or a cut-off of the web."""
    if isinstance(press.feed, WebFeed):
        return travel_mm
    with_gap = travel_mm + press.gap_mm
    return max(press.piece_pitch_mm, with_gap) if isinstance(press.feed, PieceFeed) else with_gap


def ink_l_per_cycle(press: CijPress, work: Work, *, pigmented: bool) -> float:
    """Ink [l] on one cycle, of the dyes or of the pigmented inks."""
    inks = [
        ink
        for form in work.forms
        for ink in form.inks
        if (ink.kind in press.pigmented_kinds) == pigmented
    ]
    if press.heads == "coder":
        lines = heads_for_one_ink(press, work) * lines_in_stroke(press, work.part)
        return len(inks) * lines * press.line_ul * 1e-6
    solid_m2 = sum(work.inked_area_m2(ink) for ink in dict.fromkeys(inks))
    return solid_m2 * laydown_ml_per_m2(press.resolution_dpi, press.drop_pl) / 1000
