"""A page to draw on, measured in points from its lower left corner, and the SVG it becomes."""

from __future__ import annotations

import io
import re
from xml.sax.saxutils import escape

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle
from matplotlib.text import Text

from .lettering import clean, font

# What a matplotlibrc of the machine says does not count; letters are drawn as outlines, so that
# they are as wide on every screen as they were measured here; ids repeat.
mpl.rcdefaults()
mpl.rcParams.update(
    {
        "svg.fonttype": "path",
        "svg.hashsalt": "sidelay",
        "text.parse_math": False,
        "hatch.linewidth": 0.7,
    }
)

WIDE_PT = 720.0
EDGE_PT = 16.0
POINTS_PER_INCH = 72.0
TITLE_PT, TEXT_PT, SMALL_PT = 13.0, 9.5, 8.5
LEADING = 1.35

# Black, and one colour that is a dark grey where there is no colour.
INK, ACCENT = "#000000", "#9a3412"
PALE, RULE = "#d4d4d4", "#bdbdbd"
DIRECT = "direct label"


class Page:
    """A figure of so many points in height, and as wide as all pictures are."""

    def __init__(self, high_pt: float) -> None:
        self.high_pt = high_pt
        size = (WIDE_PT / POINTS_PER_INCH, high_pt / POINTS_PER_INCH)
        self.figure = Figure(figsize=size, dpi=POINTS_PER_INCH, facecolor="white")

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size_pt: float = TEXT_PT,
        *,
        bold: bool = False,
        across: str = "left",
        up: str = "baseline",
        colour: str = INK,
        turned: bool = False,
        label: str = "",
        on_white: bool = False,
    ) -> Text:
        """Write one line. x, y: where it stands [pt]; label: what it is, for who looks it up."""
        return self.figure.text(
            x / WIDE_PT,
            y / self.high_pt,
            words,
            fontproperties=font(size_pt, bold=bold),
            horizontalalignment=across,
            verticalalignment=up,
            color=colour,
            rotation=90 if turned else 0,
            label=label,
            zorder=6,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8} if on_white else None,
        )

    def line(
        self,
        xs: tuple[float, float],
        ys: tuple[float, float],
        *,
        width_pt: float = 0.7,
        colour: str = INK,
        behind: bool = False,
    ) -> None:
        """Draw a line between two points [pt]. behind: under boxes"""
        self.figure.add_artist(
            Line2D(
                [x / WIDE_PT for x in xs],
                [y / self.high_pt for y in ys],
                linewidth=width_pt,
                color=colour,
                solid_capstyle="butt",
                zorder=2 if behind else 4,
            )
        )

    def box(
        self, x: float, y: float, wide: float, high: float, *, grey: str = "white", hatch: str = ""
    ) -> None:
        """Draw a box [pt], filled and hatched."""
        self.figure.add_artist(
            Rectangle(
                (x / WIDE_PT, y / self.high_pt),
                wide / WIDE_PT,
                high / self.high_pt,
                transform=self.figure.transFigure,
                facecolor=grey,
                edgecolor=INK,
                hatch=hatch,
                linewidth=0.7,
                zorder=3,
            )
        )

    def axes(self, left: float, bottom: float, wide: float, high: float) -> Axes:
        """Return axes inside a box [pt]."""
        return self.figure.add_axes(
            (left / WIDE_PT, bottom / self.high_pt, wide / WIDE_PT, high / self.high_pt)
        )


def to_svg(page: Page, key: str, title: str, told: str) -> bytes:
    """Return a page as SVG: the same page always the same bytes.

    key: letters for the ids of title and description; told: the description
    """
    drawn = io.StringIO()
    nothing = dict.fromkeys(("Creator", "Date", "Format", "Type"))
    page.figure.savefig(drawn, format="svg", metadata=nothing)
    # From the root on: the prologue names a document type elsewhere, which nothing here needs.
    text = drawn.getvalue()
    root, rest = text[text.index("<svg") :].split(">", 1)
    named = f'{root} role="img" aria-labelledby="title-{key} desc-{key}">'
    alternative = (
        f'\n <title id="title-{key}">{escape(clean(title))}</title>'
        f'\n <desc id="desc-{key}">{escape(clean(told))}</desc>'
    )
    rest = re.sub(r"\s*<metadata>.*?</metadata>", "", rest, count=1, flags=re.DOTALL)
    whole = f'<?xml version="1.0" encoding="utf-8"?>\n{named}{alternative}{rest}'
    return whole.encode("utf-8")
