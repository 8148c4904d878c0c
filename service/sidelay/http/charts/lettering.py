"""Letters: one font, the same on every machine, and how wide words are before they are drawn."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import matplotlib as mpl
from matplotlib.font_manager import FontProperties, get_font
from matplotlib.textpath import text_to_path

# The font that Matplotlib brings along, whatever else is installed.
_FOLDER = Path(mpl.get_data_path()) / "fonts" / "ttf"
_FILES = {False: _FOLDER / "DejaVuSans.ttf", True: _FOLDER / "DejaVuSans-Bold.ttf"}
_LACKING = "□"
_ELLIPSIS = "…"
# Control characters, and what XML 1.0 does not let stand in a text.
_UNFIT = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


@cache
def font(size_pt: float, *, bold: bool = False) -> FontProperties:
    """Return the font in one size."""
    return FontProperties(fname=str(_FILES[bold]), size=size_pt)


def clean(text: str) -> str:
    """Return text in one line that may stand in XML, once it is escaped."""
    return " ".join(_UNFIT.sub(" ", text).split())


def drawable(text: str, *, bold: bool = False) -> str:
    """Return text in one line, a box for each letter that the font lacks."""
    letters = get_font(str(_FILES[bold])).get_charmap()
    return "".join(letter if ord(letter) in letters else _LACKING for letter in clean(text))


def width_pt(text: str, size_pt: float, *, bold: bool = False) -> float:
    """Return how wide a line is [pt]."""
    wide, _, _ = text_to_path.get_text_width_height_descent(text, font(size_pt, bold=bold), False)
    return float(wide)


def fitted(
    text: str, most_pt: float, size_pt: float, *, bold: bool = False, lines: int = 1
) -> list[str]:
    """Return text broken to at most so many lines of a width, the last cut where it must be."""
    left, broken = drawable(text, bold=bold), list[str]()
    for number in range(lines):
        if not left or width_pt(left, size_pt, bold=bold) <= most_pt:
            return [*broken, left]
        last = number == lines - 1
        many = _how_many(left, most_pt, size_pt, bold=bold, ending=_ELLIPSIS if last else "")
        if last:
            return [*broken, left[:many].rstrip() + _ELLIPSIS]
        at_space = left.rfind(" ", 1, many + 1)
        many = at_space if at_space > 0 else many
        broken.append(left[:many].rstrip())
        left = left[many:].lstrip()
    return broken


def _how_many(text: str, most_pt: float, size_pt: float, *, bold: bool, ending: str) -> int:
    """Return how many letters fit into a width, one at least."""
    low, high = 1, len(text)
    while low < high:
        many = (low + high + 1) // 2
        if width_pt(text[:many] + ending, size_pt, bold=bold) <= most_pt:
            low = many
        else:
            high = many - 1
    return low
