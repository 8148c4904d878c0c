"""The chart of processes over quantity, for one piece or for all, on logarithmic axes.

From top to bottom: titles; who is the cheapest from where to where, as a strip; the quantities at
which one takes over from another; the lines, named at their right ends.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.ticker import FixedLocator, NullFormatter

from .facts import CurveFacts, ProcessLine, Won
from .lettering import fitted, width_pt
from .page import (
    ACCENT,
    DIRECT,
    EDGE_PT,
    INK,
    LEADING,
    PALE,
    RULE,
    SMALL_PT,
    TEXT_PT,
    TITLE_PT,
    WIDE_PT,
    Page,
)
from .places import fine_ticks, log_ticks, plain, spread
from .words import axis_words, heading, subtitle

PLOT_PT, STRIP_PT, BELOW_PT = 320.0, 15.0, 62.0
LABEL_STEP_PT, LABEL_GAP_PT, LEADER_PT = 14.0, 10.0, 24.0
NAME_PT = 170.0
# Told apart without colour: dashes [line widths], a mark, whether it is filled.
STYLES: tuple[tuple[tuple[float, ...], str, bool], ...] = (
    ((), "o", True),
    ((6, 2), "s", True),
    ((1.5, 1.5), "^", True),
    ((8, 2, 1.5, 2), "D", True),
    ((3, 1.5), "v", False),
    ((), "s", False),
    ((10, 2.5), "o", False),
    ((5, 1.5, 1.5, 1.5, 1.5, 1.5), "^", False),
    ((1.5, 3), "D", False),
)
# The same for the strip; hatches of lines alone, for one of dots takes many more bytes.
PATTERNS = (
    ("#dcdcdc", ""),
    ("white", "////"),
    ("#949494", ""),
    ("white", "xxxx"),
    ("white", "----"),
    ("white", "||||"),
    ("#dcdcdc", "----"),
    ("white", "\\\\\\\\"),
    ("white", "++++"),
)


@dataclass(frozen=True, slots=True)
class Frame:
    """Where the axes stand [pt], and what they run over."""

    left: float
    bottom: float
    wide: float
    high: float
    x: tuple[float, float]
    y: tuple[float, float]

    @property
    def right(self) -> float:
        """The right edge."""
        return self.left + self.wide

    @property
    def top(self) -> float:
        """The upper edge."""
        return self.bottom + self.high

    def across(self, quantity: float) -> float:
        """Where a quantity stands [pt]."""
        return self.left + _share(quantity, self.x) * self.wide

    def up(self, amount: float) -> float:
        """Where an amount stands [pt]."""
        return self.bottom + _share(amount, self.y) * self.high


def draw_curves(facts: CurveFacts) -> Page:
    """Return the page."""
    points = [_points(line, facts) for line in facts.lines]
    amounts = [amount for _, of_line in points for amount in of_line if not math.isnan(amount)]
    x, y = _bounds([facts.start, facts.up_to], 1.0), _bounds(amounts, 1.15)
    titles = _titles(facts)
    rows = _strip_rows(facts)
    ticks = log_ticks(*y)
    left = EDGE_PT + 22 + max((width_pt(plain(tick), SMALL_PT) for tick in ticks), default=0.0)
    left = max(left, EDGE_PT + width_pt("cheapest", SMALL_PT) + 8)
    names = [fitted(line.name, NAME_PT, TEXT_PT)[0] for line in facts.lines]
    right = EDGE_PT + LEADER_PT + max(width_pt(name, TEXT_PT) for name in names)
    high = max(PLOT_PT, LABEL_STEP_PT * len(names))
    above = titles.high + len(rows) * LABEL_STEP_PT + STRIP_PT + LABEL_STEP_PT + 8
    frame = Frame(left, BELOW_PT, WIDE_PT - left - right, high, x, y)
    page = Page(BELOW_PT + high + above)
    titles.write(page)
    axes = page.axes(frame.left, frame.bottom, frame.wide, frame.high)
    _set_axes(axes, frame, ticks)
    _draw_lines(axes, facts, points)
    _write_axes(page, frame, facts, ticks)
    _name_lines(page, frame, names, [(of_x[-1], of_y[-1]) for of_x, of_y in points])
    _draw_swaps(page, frame, facts)
    _draw_strip(page, frame, facts, rows)
    return page


@dataclass(frozen=True, slots=True)
class Titles:
    """The title of the job and what the picture shows, broken to lines."""

    title: list[str]
    about: list[str]

    @property
    def high(self) -> float:
        """What they take from the upper edge [pt]."""
        lines = len(self.title) * TITLE_PT + len(self.about) * TEXT_PT
        return EDGE_PT + lines * LEADING + 8

    def write(self, page: Page) -> None:
        """Write them at the top of a page."""
        y = page.high_pt - EDGE_PT
        for words in self.title:
            y -= TITLE_PT
            page.text(EDGE_PT, y, words, TITLE_PT, bold=True)
            y -= TITLE_PT * (LEADING - 1)
        for words in self.about:
            y -= TEXT_PT
            page.text(EDGE_PT, y, words)
            y -= TEXT_PT * (LEADING - 1)


def titles_of(title: str, about: str) -> Titles:
    """Return titles that fit the width of a page."""
    most = WIDE_PT - 2 * EDGE_PT
    return Titles(
        fitted(title, most, TITLE_PT, bold=True, lines=2),
        fitted(about, most, TEXT_PT, lines=2),
    )


def _titles(facts: CurveFacts) -> Titles:
    return titles_of(heading(facts.head), subtitle(facts))


def _points(line: ProcessLine, facts: CurveFacts) -> tuple[list[int], list[float]]:
    """Return quantities between the bounds and their amounts; nothing for what costs nothing."""
    quantities = [q for q in sorted(line.money) if facts.start <= q <= facts.up_to]
    unit = 10.0**facts.head.digits
    each = facts.head.chart == "unit_cost"
    amounts = [line.money[q] / unit / (q if each else 1) or math.nan for q in quantities]
    return quantities, amounts


def _bounds(values: Sequence[float], margin: float) -> tuple[float, float]:
    """Return the ends of a logarithmic axis, which is never empty."""
    low, high = min(values, default=1.0) / margin, max(values, default=1.0) * margin
    return (low, high) if low < high else (low / 1.5, high * 1.5)


def _share(value: float, bounds: tuple[float, float]) -> float:
    low, high = bounds
    return math.log(value / low) / math.log(high / low)


def _set_axes(axes: Axes, frame: Frame, ticks: Sequence[float]) -> None:
    axes.set_xscale("log")
    axes.set_yscale("log")
    axes.set_xlim(*frame.x)
    axes.set_ylim(*frame.y)
    for axis, named, bounds in (
        (axes.xaxis, log_ticks(*frame.x), frame.x),
        (axes.yaxis, list(ticks), frame.y),
    ):
        axis.set_major_locator(FixedLocator(named))
        axis.set_minor_locator(FixedLocator(fine_ticks(*bounds)))
        # Labels are written where there is room for them: _write_axes.
        axis.set_major_formatter(NullFormatter())
        axis.set_minor_formatter(NullFormatter())
    axes.grid(visible=True, which="major", color=RULE, linewidth=0.5)
    axes.set_axisbelow(True)


def _draw_lines(
    axes: Axes, facts: CurveFacts, points: Sequence[tuple[list[int], list[float]]]
) -> None:
    """Draw the least of all as a broad pale line, and each process on top of it."""
    quantities = points[0][0]
    columns = zip(*(of_line for _, of_line in points), strict=True)
    least = [
        min((amount for amount in column if not math.isnan(amount)), default=math.nan)
        for column in columns
    ]
    axes.plot(quantities, least, color=PALE, linewidth=8, solid_capstyle="round", zorder=1.5)
    for number, (line, (_, amounts)) in enumerate(zip(facts.lines, points, strict=True)):
        dashes, mark, filled = STYLES[line.style % len(STYLES)]
        every = max(len(quantities) // 8, 1)
        axes.plot(
            quantities,
            amounts,
            color=INK,
            linewidth=1.3,
            linestyle=(0, dashes) if dashes else "-",
            marker=mark,
            markersize=4.5,
            markerfacecolor=INK if filled else "white",
            markevery=((2 * number + 1) * every // (2 * len(facts.lines)), every),
            clip_on=False,
            zorder=3,
        )


def _write_axes(page: Page, frame: Frame, facts: CurveFacts, ticks: Sequence[float]) -> None:
    edge = -math.inf
    for tick in log_ticks(*frame.x):
        words, x = plain(tick), frame.across(tick)
        half = width_pt(words, SMALL_PT) / 2
        if x - half > edge and x + half < WIDE_PT - EDGE_PT:
            page.text(x, frame.bottom - 16, words, SMALL_PT, across="center")
            edge = x + half + 4
    for tick in ticks:
        words, y = plain(tick), frame.up(tick)
        page.text(frame.left - 5, y, words, SMALL_PT, across="right", up="center")
    middle = (frame.left + frame.right) / 2
    page.text(middle, frame.bottom - 32, "quantity [pieces]", across="center")
    words = axis_words(facts.head)
    page.text(
        EDGE_PT, (frame.bottom + frame.top) / 2, words, across="left", up="center", turned=True
    )
    for quantity in facts.asked:
        if facts.start <= quantity <= facts.up_to:
            x = frame.across(quantity)
            page.text(x, frame.bottom + 1, "▲", 8, across="center", colour=ACCENT)
    _write_key(page, frame.left)


def _write_key(page: Page, x: float) -> None:
    """Write what the marks mean, in one row from a place on [pt]."""
    y = EDGE_PT - 2
    key = ("the cheapest process", "another process takes over", "a quantity that the job asks for")
    for number, told in enumerate(key):
        if number == 0:
            page.line((x, x + 16), (y + 3, y + 3), width_pt=8, colour=PALE)
        elif number == 1:
            page.line((x + 12, x + 12), (y - 2, y + 9), colour=ACCENT)
        else:
            page.text(x + 12, y, "▲", 8, across="center", colour=ACCENT)
        page.text(x + 22, y, told, SMALL_PT, label=DIRECT)
        x += 38 + width_pt(told, SMALL_PT)


def _name_lines(
    page: Page, frame: Frame, names: Sequence[str], ends: Sequence[tuple[int, float]]
) -> None:
    """Write the name of each process beside the right end of its line."""
    known = [n for n, (_, amount) in enumerate(ends) if not math.isnan(amount)]
    order = sorted(known, key=lambda n: (ends[n][1], n))
    wanted = [frame.up(ends[n][1]) for n in order]
    placed = spread(wanted, [LABEL_STEP_PT] * len(order), frame.bottom, frame.top)
    for n, at, to in zip(order, wanted, placed, strict=True):
        end = frame.across(ends[n][0])
        page.line((end, frame.right + LEADER_PT - 4), (at, to), width_pt=0.6)
        page.text(frame.right + LEADER_PT - 1, to, names[n], up="center_baseline", label=DIRECT)


def _draw_swaps(page: Page, frame: Frame, facts: CurveFacts) -> None:
    """Draw a thin line where one process takes over from another, and write the quantity."""
    words = [f"{swap:,}" for swap in facts.swaps]
    wanted = [frame.across(swap) for swap in facts.swaps]
    sizes = [width_pt(each, SMALL_PT) + LABEL_GAP_PT for each in words]
    while sum(sizes) > frame.wide:  # the strip shows them still, and the text alternative tells
        words, wanted, sizes = words[:-1], wanted[:-1], sizes[:-1]
    for x in [frame.across(swap) for swap in facts.swaps]:
        page.line((x, x), (frame.bottom, frame.top + 3), colour=ACCENT)
    y = frame.top + 6
    placed = spread(wanted, sizes, frame.left, frame.right)
    for told, at, to in zip(words, wanted, placed, strict=True):
        page.line((at, to), (frame.top + 3, y), colour=ACCENT)
        page.text(to, y + 1, told, SMALL_PT, across="center", colour=ACCENT, label=DIRECT)


@dataclass(frozen=True, slots=True)
class StripRow:
    """Names in one row above the strip: of each process at the widest of its bands."""

    won: tuple[Won, ...]
    words: tuple[str, ...]


def _strip_rows(facts: CurveFacts) -> list[StripRow]:
    """Share the names out to as many rows as they need."""
    widest: dict[str, Won] = {}
    for each in facts.won:
        known = widest.get(each.name)
        if known is None or each.last / each.first > known.last / known.first:
            widest[each.name] = each
    won = sorted(widest.values(), key=lambda each: each.first)
    names = [fitted(each.name, NAME_PT, TEXT_PT)[0] for each in won]
    needed = sum(width_pt(name, TEXT_PT) + LABEL_GAP_PT for name in names)
    rows = max(math.ceil(needed / (WIDE_PT / 2)), 1)
    return [StripRow(tuple(won[n::rows]), tuple(names[n::rows])) for n in range(rows)]


def _draw_strip(page: Page, frame: Frame, facts: CurveFacts, rows: Sequence[StripRow]) -> None:
    bottom = frame.top + LABEL_STEP_PT + 6
    middle = bottom + STRIP_PT / 2
    page.text(frame.left - 5, middle, "cheapest", SMALL_PT, across="right", up="center")
    for each in facts.won:
        left, right = frame.across(each.first), frame.across(min(each.last + 1, facts.up_to))
        grey, hatch = PATTERNS[each.style % len(PATTERNS)]
        page.box(left, bottom, max(right - left, 0.5), STRIP_PT, grey=grey, hatch=hatch)
    top = bottom + STRIP_PT
    for number, row in enumerate(rows):
        y = top + 3 + number * LABEL_STEP_PT
        middles = [frame.across(math.sqrt(each.first * each.last)) for each in row.won]
        sizes = [width_pt(name, TEXT_PT) + LABEL_GAP_PT for name in row.words]
        placed = spread(middles, sizes, frame.left, frame.right)
        for name, at, to in zip(row.words, middles, placed, strict=True):
            page.line((at, at), (top, top + 3), width_pt=0.6)
            if number or abs(at - to) > width_pt(name, TEXT_PT) / 2:
                page.line((at, to), (top + 3, y), width_pt=0.6)
            over = number < len(rows) - 1  # leaders to the rows above may run behind it
            page.text(to, y + 1, name, across="center", label=DIRECT, on_white=over)
