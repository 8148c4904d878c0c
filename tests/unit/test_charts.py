"""Pictures as they are laid out: no text is clipped, none lies on another, lines tell the truth."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from itertools import combinations

import pytest
from matplotlib.backends.backend_svg import RendererSVG
from matplotlib.text import Text

from shop import CLOCK, EXAMPLES, demo, example, processes
from sidelay.compare import compare, press_curves
from sidelay.http.asked import Asked
from sidelay.http.charts.draw import draw, lay_out
from sidelay.http.charts.facts import (
    Bar,
    CurveFacts,
    Head,
    MoneyFacts,
    NothingFacts,
    ProcessLine,
    Reason,
    Won,
    read_facts,
)
from sidelay.http.charts.lettering import drawable, fitted, width_pt
from sidelay.http.charts.page import WIDE_PT
from sidelay.http.shown import PARAMETERS, Shown
from sidelay.plan import Planner
from sidelay.timing import Timing

CHARTS = PARAMETERS["chart"].words
JOBS = [
    "a6_flyer",
    "bottle_codes",
    "bottle_labels",
    "carbonless_pads",
    "concert_programme",
    "numbered_vouchers",
    "oversize_poster",
    "paperback_novel",
    "rush_booklets",
    "weekly_newspaper",
]
MARK = "▲"


def facts_of(name, chart, measure="cost"):
    job = example(name)
    given = json.loads((EXAMPLES / f"{name}.json").read_bytes())
    up_to, start = given.get("up_to", 1_000_000), given.get("from", 1)
    timing = Timing(CLOCK)
    asked = Asked(
        job, demo(), "0" * 16, (), (), "price", up_to, False, start,
        timing=timing, clock_given=False,
    )
    found = compare(
        job, demo(), Planner(processes()), up_to=up_to, start=start, explain=("cost_bands",)
    )
    return found, read_facts(found, asked, Shown(chart, measure, "choices", 0))


def texts(page):
    """Every text that is drawn, with the box that it takes [pt]."""
    renderer = RendererSVG(WIDE_PT, page.high_pt, io.StringIO(), image_dpi=72)
    found = page.figure.findobj(lambda artist: isinstance(artist, Text) and artist.get_text())
    return [(text.get_text(), text.get_window_extent(renderer)) for text in found]


def assert_readable(page, *, apart=True):
    drawn = texts(page)
    assert drawn
    for words, box in drawn:
        inside = box.x0 >= 0 and box.y0 >= 0 and box.x1 <= WIDE_PT and box.y1 <= page.high_pt
        assert inside, (words, box)
    named = [(words, box) for words, box in drawn if words != MARK]
    for (one, a), (other, b) in combinations(named, 2):
        across = min(a.x1, b.x1) - max(a.x0, b.x0)
        up = min(a.y1, b.y1) - max(a.y0, b.y0)
        assert not apart or across <= 0.5 or up <= 0.5, (one, other)


@pytest.mark.parametrize("chart", CHARTS)
@pytest.mark.parametrize("name", JOBS)
def test_no_text_is_clipped_and_none_lies_on_another(name, chart):
    for measure in ("cost", "price"):
        assert_readable(lay_out(facts_of(name, chart, measure)[1]))


def head(**members):
    given = {
        "key": "k",
        "title": "W" * 200,
        "plant": "Works $x^2$ & <b> " + "m" * 200,
        "currency": "EUR",
        "digits": 2,
        "chart": "unit_cost",
        "measure": "cost",
    }
    return Head(**given | members)


def curves(names, quantities=(900, 1000, 1100), of=head):
    """Processes that cost nearly the same and win in turn."""
    first, last = quantities[0], quantities[-1]
    wide = max((last - first) // len(names), 1)
    won = tuple(
        Won(name, n, first + n * wide, first + (n + 1) * wide - 1 if n + 1 < len(names) else last)
        for n, name in enumerate(names)
    )
    lines = tuple(
        ProcessLine(name, n, {q: 10_000 + 3 * n + q for q in quantities})
        for n, name in enumerate(names)
    )
    swaps = tuple(each.first for each in won[1:])
    return CurveFacts(of(), first, last, tuple(quantities[:2]), lines, won, swaps)


@pytest.mark.parametrize(
    "facts",
    [
        curves([f"process {n}" for n in range(20)]),
        curves([f"process {n} with a name that goes on and on and on" for n in range(5)]),
        curves(["one"], (5,)),
        curves(["one", "other"], (1, 10**9)),
        curves(["free"], of=lambda: head(title="", digits=0, currency="JPY")),
        MoneyFacts(
            head(chart="money"),
            10**9,
            tuple(
                Bar("process " * 9, "M" * 3 * n, {"stock": 10**14 * (n + 1), "varnish": 10**13})
                for n in range(40)
            ),
        ),
        MoneyFacts(head(chart="money"), 1, (Bar("p", "a", {}), Bar("p", "b", {"run": 1}))),
        MoneyFacts(
            head(chart="money"),
            1,
            (Bar("p", "a", {f"stage {n} of a plug-in": 9 for n in range(40)}),),
        ),
        NothingFacts(
            head(), 9, (Reason("size above", 9, "press", "too large " * 99),) * 50, ("no " * 999,)
        ),
    ],
)
def test_crowds_and_long_names_are_readable(facts):
    assert_readable(lay_out(facts))
    assert draw(facts) == draw(facts)


def test_what_costs_nothing_has_no_place_on_a_logarithmic_axis():
    facts = curves(["free", "dear"])
    free = replace(facts.lines[0], money=dict.fromkeys(facts.lines[0].money, 0))
    page = lay_out(replace(facts, lines=(free, facts.lines[1])))
    assert_readable(page)
    assert [words for words, _ in texts(page)].count("dear") == 2
    assert [words for words, _ in texts(page)].count("free") == 1  # in the strip alone


def test_a_line_is_the_cheapest_press_of_its_process():
    result, facts = facts_of("a6_flyer", "unit_cost")
    table = result.plan.job_table.at_cost()
    for line in facts.lines:
        for quantity, least in list(line.money.items())[::9]:
            of_process = [
                curve.cost[curve.quantities.index(quantity)]
                for curve in press_curves(table, 1, 1_000_000, [quantity])
                if result.plant.presses and curve.process in _ids(result, line.name)
            ]
            assert least == min(of_process)


def _ids(result, name):
    return {row.process.id for row in result.characteristics if row.process.name == name}


@pytest.mark.parametrize("measure", ["cost", "price"])
@pytest.mark.parametrize("name", ["a6_flyer", "paperback_novel", "bottle_labels"])
def test_lines_cross_where_the_picture_says(name, measure):
    """The band's process is the lowest line at both of its ends."""
    _, facts = facts_of(name, "unit_cost", measure)
    assert len(facts.won) > 1
    assert facts.swaps == tuple(each.first for each in facts.won[1:])
    for each in facts.won:
        for quantity in (each.first, each.last):
            money = {line.name: line.money[quantity] for line in facts.lines}
            assert money[each.name] == min(money.values())


def test_the_price_of_a_bar_is_its_cost_and_what_is_put_on_it():
    _, cost = facts_of("a6_flyer", "money")
    result, price = facts_of("a6_flyer", "money", "price")
    assert sorted(bar.total for bar in cost.bars) == sorted(o.cost for o in result.choices[0])
    assert sorted(bar.total for bar in price.bars) == sorted(o.price for o in result.choices[0])


def test_text_is_cut_to_its_width():
    assert fitted("short", 100, 10) == ["short"]
    for text in ("W" * 300, "word " * 80, "a " + "W" * 90):
        lines = fitted(text, 120, 10, lines=2)
        assert len(lines) == 2
        assert lines[-1].endswith("…")
        assert all(width_pt(line, 10) <= 120 for line in lines)


def test_a_letter_that_the_font_lacks_is_a_box():
    assert drawable("a日b\x00c") == "a□b c"
