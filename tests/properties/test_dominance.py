"""Layouts are left out only where they could not have won: against every layout costed."""

from __future__ import annotations

import numpy as np
import pytest

from shop import CMYK, demo, job, leaf, processes, with_inks
from sidelay.imposition import reels, sheets, webs
from sidelay.plan import Planner

QUANTITIES = np.array([1, 100, 1_000, 10_000, 100_000, 1_000_000])
# Metres of make-ready waste are rounded up to whole cut-offs or repeats, so that of two layouts the
# longer one may spoil a part of a cycle less: less than this share of the cost.
ONE_CYCLE = 0.005
CACHES = (sheets._sheet_layouts, webs._sections, webs._leaves, reels._layouts)
STOCKS = {
    "leaf": ("silk_150", "gloss_90", "poster_150"),
    "section": ("gloss_90", "newsprint_45", "lwc_60"),
    "label": ("label_white_pp",),
    "web": ("pouch_film", "foil_laminate"),
}


def cheapest(part):
    """Least cost of each press at the quantities."""
    table = Planner(processes()).plan(job(part, quality="draft"), demo()).table
    if table is None:
        return {}
    totals, found = table.at(QUANTITIES).total, {}
    for number, route in enumerate(table.routes):
        before = found.get(route.press.id, totals[number])
        found[route.press.id] = np.minimum(before, totals[number])
    return {press: figures.tolist() for press, figures in found.items()}


def clear():
    for cache in CACHES:
        cache.cache_clear()


@pytest.mark.parametrize(
    ("kind", "stock"), [(kind, stock) for kind, stocks in STOCKS.items() for stock in stocks]
)
@pytest.mark.parametrize("size", [(50, 70), (105, 148), (148, 210), (210, 280)])
def test_the_layouts_kept_hold_the_cheapest(kind, stock, size, monkeypatch):
    part = leaf(
        *size,
        kind=kind,
        pages=8 if kind == "section" else 2,
        flat_width_mm=2 * size[0] if kind == "section" else size[0],
        flat_height_mm=2 * size[1] + 6 if kind == "section" else size[1],
        folds=2 if kind == "section" else 0,
        bleed_mm=3.0 if kind in ("leaf", "section") else 0.0,
        gutter_mm=3.0 if kind == "label" else 0.0,
        ruling_lpi=85.0,
        stock=demo().stocks[stock],
    )
    part = with_inks(part, CMYK[:2], CMYK[:2] if kind in ("leaf", "section") else ())
    kept = cheapest(part)
    for module in (sheets, webs, reels):
        monkeypatch.setattr(module, "unbeaten", lambda burdens, groups=None: range(len(burdens)))
    for module in (webs, reels):
        monkeypatch.setattr(module, "MOST_LAYOUTS", 10_000)
    clear()
    try:
        every = cheapest(part)
    finally:
        clear()
    assert kept.keys() == every.keys()
    for press, costs in every.items():
        assert kept[press] == pytest.approx(costs, rel=ONE_CYCLE), press
