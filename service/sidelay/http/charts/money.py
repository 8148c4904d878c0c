"""The chart of where the money goes: a stacked bar a press, a pattern a stage."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from .curves import titles_of
from .facts import MARK_UP, Bar, MoneyFacts
from .lettering import fitted, width_pt
from .page import DIRECT, EDGE_PT, INK, RULE, SMALL_PT, TEXT_PT, WIDE_PT, Page
from .places import linear_ticks, plain
from .words import heading, money, stage_name, subtitle

ROW_PT, BAR_PT, NAME_PT, AXIS_PT, KEY_ROW_PT = 30.0, 17.0, 235.0, 46.0, 17.0
# A bar beyond so many times the cheapest would press all others flat: it is told in words.
MOST_TIMES = 4
MOST_ROWS = 24
# Told apart without colour, as far apart as neighbours in production need. Hatches of lines alone:
# one of dots takes two hundred times their bytes.
PATTERNS: dict[str, tuple[str, str]] = {
    "prepress": ("white", "xxxx"),
    "proof": ("white", "++"),
    "carrier": ("#555555", ""),
    "die": ("#b8b8b8", "xxxx"),
    "stock": ("#dcdcdc", ""),
    "make_ready": ("white", "////"),
    "run": ("#949494", ""),
    "ink": ("#1c1c1c", ""),
    "click": ("white", "|||||"),
    "wash_up": ("#dcdcdc", "xx"),
    "finishing": ("white", "\\\\\\\\"),
    "binding": ("#c4c4c4", "-----"),
    "packing": ("white", "+++++"),
    MARK_UP: ("white", ""),
}
# Stages that a plug-in names itself.
OTHERS = (("#c4c4c4", "////"), ("#c4c4c4", "||"), ("#c4c4c4", "++"))


def draw_money(facts: MoneyFacts) -> Page:
    """Return the page."""
    titles = titles_of(heading(facts.head), subtitle(facts))
    bars, left_out = facts.bars[:MOST_ROWS], len(facts.bars) - MOST_ROWS
    stages = _stages(bars)
    key = _key_rows(stages)
    below = EDGE_PT + len(key) * KEY_ROW_PT + AXIS_PT
    note = f"{left_out} more presses, all dearer: the text of this picture tells them."
    below += KEY_ROW_PT if left_out > 0 else 0.0
    frame = _frame(facts, bars, below)
    page = Page(frame.top + titles.high)
    titles.write(page)
    _draw_axis(page, facts, frame)
    patterns = _patterns(stages)
    for number, bar in enumerate(bars):
        middle = frame.top - (number + 0.5) * ROW_PT
        _name(page, bar, frame, middle)
        if bar.total <= frame.most:
            _draw_bar(page, facts, bar, frame, middle, patterns)
        else:
            _tell_bar(page, facts, bar, frame, middle)
    if left_out > 0:
        page.text(EDGE_PT, EDGE_PT + len(key) * KEY_ROW_PT, note, SMALL_PT)
    _draw_key(page, key, patterns)
    return page


@dataclass(frozen=True, slots=True)
class Rows:
    """Where the rows of bars stand [pt], and the money that they run to [minor units]."""

    left: float
    right: float
    bottom: float
    top: float
    most: int

    def across(self, minor: float) -> float:
        """Where an amount ends [pt]."""
        return self.left + (self.right - self.left) * minor / (self.most or 1)


def _frame(facts: MoneyFacts, bars: Sequence[Bar], below: float) -> Rows:
    """Leave room for the names at the left and for the totals at the right."""
    most = _most(bars)
    names = [width_pt(line, size) for bar in bars for line, size in _names(bar)]
    drawn = [money(facts.head, bar.total) for bar in bars if bar.total <= most]
    left = EDGE_PT + max(names) + 8
    right = WIDE_PT - EDGE_PT - max(width_pt(words, TEXT_PT) for words in drawn) - 10
    return Rows(left, right, below, below + len(bars) * ROW_PT, most)


def _most(bars: Sequence[Bar]) -> int:
    """Return the largest total that is drawn to scale."""
    ceiling = MOST_TIMES * bars[0].total
    return max(bar.total for bar in bars if bar.total <= ceiling)


def _stages(bars: Sequence[Bar]) -> list[str]:
    """Return the stages of all bars, in the order of production."""
    seen = {stage: None for bar in bars for stage in bar.stages}
    known = [stage for stage in PATTERNS if stage in seen]
    return [*known, *(stage for stage in seen if stage not in PATTERNS)]


def _patterns(stages: Sequence[str]) -> dict[str, tuple[str, str]]:
    """Return grey and hatch of each stage."""
    others = [stage for stage in stages if stage not in PATTERNS]
    return PATTERNS | {stage: OTHERS[n % len(OTHERS)] for n, stage in enumerate(others)}


def _names(bar: Bar) -> list[tuple[str, float]]:
    """Return the lines at the left of a row, press and process, each with its size [pt]."""
    lines = ((bar.press, TEXT_PT), (bar.process, SMALL_PT))
    return [(fitted(words, NAME_PT, size)[0], size) for words, size in lines]


def _name(page: Page, bar: Bar, frame: Rows, middle: float) -> None:
    for (words, size), rise in zip(_names(bar), (2, -SMALL_PT - 1), strict=True):
        page.text(frame.left - 8, middle + rise, words, size, across="right", label=DIRECT)


def _draw_bar(
    page: Page,
    facts: MoneyFacts,
    bar: Bar,
    frame: Rows,
    middle: float,
    patterns: dict[str, tuple[str, str]],
) -> None:
    paid, x = 0, frame.left
    for stage, minor in bar.stages.items():
        grey, hatch = patterns[stage]
        paid += minor
        page.box(x, middle - BAR_PT / 2, frame.across(paid) - x, BAR_PT, grey=grey, hatch=hatch)
        x = frame.across(paid)
    _write_total(page, money(facts.head, bar.total), x, middle)


def _tell_bar(page: Page, facts: MoneyFacts, bar: Bar, frame: Rows, middle: float) -> None:
    least = facts.bars[0].total
    times = f", {bar.total / least:,.1f} times the cheapest" if least else ""
    words = f"{money(facts.head, bar.total)}{times}: too long to draw"
    _write_total(page, words, frame.left, middle)


def _write_total(page: Page, words: str, x: float, middle: float) -> None:
    line = fitted(words, WIDE_PT - EDGE_PT - x - 6, TEXT_PT)[0]
    page.text(x + 6, middle, line, up="center_baseline", label=DIRECT, on_white=True)


def _draw_axis(page: Page, facts: MoneyFacts, frame: Rows) -> None:
    """Draw the scale of money."""
    unit = 10**facts.head.digits
    ticks = linear_ticks(0.0, frame.most / unit) if frame.most else [0.0]
    widest = max(width_pt(plain(tick), SMALL_PT) for tick in ticks) + 10
    room = (frame.across(ticks[-1] * unit) - frame.left) / max(len(ticks) - 1, 1)
    for tick in ticks[:: math.ceil(widest / room) if room else 1]:
        x = frame.across(tick * unit)
        colour = RULE if tick else INK
        page.line((x, x), (frame.bottom, frame.top), colour=colour, behind=True)
        page.text(x, frame.bottom - 14, plain(tick), SMALL_PT, across="center")
    words = f"{facts.head.measure} of {facts.quantity:,} pieces [{facts.head.currency}]"
    page.text((frame.left + frame.right) / 2, frame.bottom - 30, words, across="center")


def _key_rows(stages: Sequence[str]) -> list[list[tuple[float, str]]]:
    """Return the rows of the key, each entry with its place from the left [pt]."""
    rows: list[list[tuple[float, str]]] = [[]]
    x = EDGE_PT
    for stage in stages:
        wide = 24 + width_pt(stage_name(stage), SMALL_PT) + 16
        if x + wide > WIDE_PT - EDGE_PT and rows[-1]:
            rows.append([])
            x = EDGE_PT
        rows[-1].append((x, stage))
        x += wide
    return rows


def _draw_key(
    page: Page, rows: Sequence[Sequence[tuple[float, str]]], patterns: dict[str, tuple[str, str]]
) -> None:
    for number, row in enumerate(rows):
        y = EDGE_PT + (len(rows) - 1 - number) * KEY_ROW_PT
        for x, stage in row:
            grey, hatch = patterns[stage]
            page.box(x, y - 2, 19, 11, grey=grey, hatch=hatch)
            page.text(x + 24, y, stage_name(stage), SMALL_PT, label=DIRECT)
