"""From facts to SVG. Importing this imports Matplotlib, so it is imported at the first picture."""

from __future__ import annotations

import gc
import threading

from .curves import draw_curves
from .facts import CurveFacts, Facts, MoneyFacts
from .money import draw_money
from .nothing import draw_nothing
from .page import Page, to_svg
from .words import heading, in_words

# Matplotlib keeps fonts and settings for the whole process, and promises nothing to threads.
_one_at_a_time = threading.Lock()


def draw(facts: Facts) -> bytes:
    """Return a picture as SVG in UTF-8, the same bytes for the same facts."""
    with _one_at_a_time:
        drawn = to_svg(lay_out(facts), facts.head.key, heading(facts.head), in_words(facts))
        # A figure holds itself. While young it is found in 5 to 15 ms, and a worker that looks
        # through what it keeps only now and then would hold dozens of them.
        gc.collect(0)
    return drawn


def lay_out(facts: Facts) -> Page:
    """Return the page of a picture."""
    if isinstance(facts, CurveFacts):
        return draw_curves(facts)
    if isinstance(facts, MoneyFacts):
        return draw_money(facts)
    return draw_nothing(facts)
