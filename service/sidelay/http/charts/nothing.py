"""The picture of a job that no press can make: words alone."""

from __future__ import annotations

from .curves import titles_of
from .facts import NothingFacts
from .lettering import fitted
from .page import EDGE_PT, LEADING, TEXT_PT, WIDE_PT, Page
from .words import heading, nothing_lines, subtitle

MOST_LINES = 30


def draw_nothing(facts: NothingFacts) -> Page:
    """Return the page."""
    titles = titles_of(heading(facts.head), subtitle(facts))
    told = nothing_lines(facts)
    lines = [
        line
        for sentence in told[:MOST_LINES]
        for line in fitted(sentence, WIDE_PT - 2 * EDGE_PT, TEXT_PT, lines=3)
    ]
    if len(told) > MOST_LINES:
        lines.append("The text of this picture tells the rest.")
    page = Page(titles.high + len(lines) * TEXT_PT * LEADING + 2 * EDGE_PT)
    titles.write(page)
    y = page.high_pt - titles.high - EDGE_PT
    for line in lines:
        page.text(EDGE_PT, y, line)
        y -= TEXT_PT * LEADING
    return page
