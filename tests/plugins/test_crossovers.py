"""Where processes cross on the demo plant, against what surveys and the trade say.

Surveyed figures scatter by two to ten times (reference cases xo-*): a crossover must exist, go the
right way, and lie within ten times either way of the published figure. What names no case is common
practice, no source.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from shop import CMYK, NOW, demo, job, leaf, processes, with_inks
from sidelay.compare import compare
from sidelay.http.folding import flat_section
from sidelay.job import Ink, Side
from sidelay.plan import Planner

CASES = {
    case["id"]: case["expected"]
    for case in json.loads(
        (Path(__file__).parents[1] / "reference" / "cases" / "process.json").read_text()
    )
}
WIDE = 10


def crossing(part, first, second, *, up_to=1_000_000, **wishes):
    """Quantity at which the second process takes over from the first, and where that settles."""
    found = compare(
        job(part, **wishes),
        demo(),
        Planner(processes()), NOW,
        up_to=up_to,
        only_processes=(first, second),
    )
    (swap,) = found.crossovers
    assert (swap.from_process, swap.to_process) == (first, second)
    assert found.bands[0].process == first
    assert found.bands[-1].process == second
    return swap.first_at, swap.settled_at


def section(pages, stock, width=210, height=297, **figures):
    flat = flat_section((width, height), {"kind": "section"}, pages, 3.0)
    return leaf(
        width,
        height,
        kind="section",
        flat_width_mm=flat.width_mm,
        flat_height_mm=flat.height_mm,
        pages=pages,
        folds=flat.folds,
        stock=demo().stocks[stock],
        **figures,
    )


def shirt(inks, stock="tee_white"):
    part = leaf(280, 320, kind="piece", bleed_mm=0.0, stock=demo().stocks[stock], ruling_lpi=55)
    return replace(part, front=Side(inks, 0.2), back=Side())


def spots(count):
    return tuple(Ink(f"spot {number}", "spot", may_simulate=True) for number in range(count))


def label(inks=CMYK, **figures):
    part = leaf(70, 100, kind="label", bleed_mm=1.0, gutter_mm=1.0, ruling_lpi=133, **figures)
    return with_inks(replace(part, stock=demo().stocks["label_white_pp"]), inks, coverage=0.3)


def test_sheets_below_heatset_above():
    # Mallardi 2004: 18,000 impressions on a quick press; a UK primer of about 2000: over 100,000.
    first, _ = crossing(section(16, "gloss_90"), "sheetfed_litho", "web_litho")
    quick = CASES["xo-sheet-web-2004"]["crossover_impressions"]
    slow = CASES["xo-sheet-web-old"]["crossover_copies"]
    assert quick["low"] / WIDE <= first <= slow["high"] * WIDE


def test_gravure_takes_over_from_heatset_in_the_longest_runs():
    # Graber 2009: a million is the popular rule and called too high; 300,000 preferred.
    part = section(16, "lwc_60", 210, 280)
    first, settled = crossing(part, "web_litho", "gravure", up_to=20_000_000)
    rule = CASES["xo-gravure-offset"]
    assert rule["preferred_from_copies"]["value"] / WIDE <= first
    assert settled <= rule["old_rule_copies"]["value"] * WIDE


def test_garments_by_inkjet_one_by_one_and_by_screen_in_dozens():
    # A garment printer's blog: inkjet under 50, screen from 24 to 50, one colour wins at 100.
    rule = CASES["xo-dtg-screen"]
    one, _ = crossing(shirt(spots(1)), "dod_inkjet", "screen", quality="office")
    three, _ = crossing(shirt(spots(3)), "dod_inkjet", "screen", quality="office")
    assert one <= rule["screen_wins_from_1colour"]["value"]
    assert 1 < one < three <= rule["dtg_best_below"]["value"] * WIDE


def test_labels_by_inkjet_in_short_runs_and_by_flexo_in_long_ones():
    # 390 to 800 m one across in one survey, 5,000 m says a supplier of presses: processes.md 11.
    first, _ = crossing(label(), "dod_inkjet", "flexo")
    metres_one_across = first * 0.103
    assert 390 / WIDE <= metres_one_across <= 5_000 * WIDE


def test_newspapers_by_inkjet_in_hundreds_and_by_coldset_in_thousands():
    part = section(24, "newsprint_45", 289, 380)
    part = replace(part, bleed_mm=0.0, ruling_lpi=100)
    first, _ = crossing(part, "dod_inkjet", "web_litho", quality="draft")
    assert 200 <= first <= 20_000


def test_posters_by_inkjet_in_tens_and_by_litho_in_hundreds():
    part = leaf(594, 841, stock=demo().stocks["poster_150"], ruling_lpi=100)
    part = with_inks(part, CMYK, coverage=0.45)
    first, _ = crossing(part, "dod_inkjet", "sheetfed_litho")
    assert 10 <= first <= 500


def test_letterpress_below_litho_above_and_later_where_the_print_is_to_be_felt():
    # Litho from 250 to 1,000, from memory.
    flat = leaf(127, 178, stock=demo().stocks["cotton_300"], ruling_lpi=0, bleed_mm=0.0)
    flat = with_inks(flat, (Ink("black"), Ink("copper", "metallic")), coverage=0.06)
    found = [
        compare(
            job(part),
            demo(),
            Planner(processes()), NOW,
            up_to=100_000,
            only_processes=("letterpress", "sheetfed_litho"),
        ).crossovers[0]
        for part in (flat, replace(flat, impression="deep"))
    ]
    assert {(c.from_process, c.to_process) for c in found} == {("letterpress", "sheetfed_litho")}
    assert 250 / WIDE <= found[0].first_at < found[1].first_at <= 1_000 * WIDE


def test_flexo_plates_cost_about_a_third_of_gravure_cylinders():
    # Packaging World, 1990s: origination 4 against 12 (case xo-flexo-gravure-origination).
    part = leaf(160, 380, kind="web", bleed_mm=0.0, ruling_lpi=133)
    part = with_inks(replace(part, stock=demo().stocks["pouch_film"]), CMYK, coverage=0.3)
    table = Planner(processes()).plan(job(part), demo()).table
    origination = dict.fromkeys(range(len(table.routes)), 0.0)
    for line in table.lines:
        if line.stage == "carrier":
            origination[line.route] += line.unit_cost * line.amount
    least = {
        process: min(
            cost for n, cost in origination.items() if table.routes[n].process == process
        )
        for process in ("flexo", "gravure")
    }
    published = CASES["xo-flexo-gravure-origination"]["ratio"]["value"]
    assert least["flexo"] / least["gravure"] == pytest.approx(published, rel=0.5)
