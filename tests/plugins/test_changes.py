"""Every limit of every bundled process that names a change is really cleared by that change.

Asked of the models alone, of jobs that trip as many limits as a job can.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop import BLACK, CMYK, demo, job, leaf, processes
from sidelay.changes import STOCK, changed, keyed
from sidelay.job import Ink, Job, Side
from sidelay.plant import InstalledPress
from sidelay.stock import Stock
from sidelay.work import Finding

REFLEX = Ink("reflex blue", "spot")
FACES = (
    Side(CMYK, 0.3),
    Side(BLACK, 0.05),
    Side((*CMYK, REFLEX), 0.2),
    Side((REFLEX,), 0.4),
    Side((BLACK[0],), 0.002),
    Side(tuple(Ink(f"spot {number}", "spot") for number in range(6)), 0.1),
    Side((), 0.0),
)
# Every code with a change that the models name, by process; what is told here has been tripped.
USUAL = {
    "caliper_outside",
    "grade_unsuitable",
    "grammage_outside",
    "line_too_fine",
    "quality_above",
    "register_too_tight",
    "reverse_type_too_small",
    "ruling_too_fine",
    "type_too_small",
}
PLATES = USUAL | {"variable_data"}
CODES = {
    "continuous_inkjet": USUAL
    | {"band_too_narrow", "dye_on_dark", "ink_will_not_dry", "tone_steps_below"},
    "dod_inkjet": USUAL
    | {"coating_untreated", "ink_unavailable", "no_white_on_dark", "tone_steps_below"},
    "flexo": PLATES | {"stock_untreated", "tone_steps_below"},
    "gravure": PLATES | {"stock_untreated", "tone_steps_below"},
    "letterpress": PLATES | {"stock_too_thin_for_impression", "tone_steps_below"},
    "screen": PLATES
    | {"mesh_too_coarse", "stock_untreated", "tone_steps_below", "too_many_inks"},
    "sheetfed_litho": PLATES | {"ink_will_not_dry", "tone_steps_below"},
    "toner": USUAL | {"heat_sensitive", "ink_unavailable", "tone_steps_below"},
    "web_litho": PLATES | {"tone_steps_below"},
}

presses = st.sampled_from(demo().presses)
stocks = st.sampled_from(list(demo().stocks.values()))
points = st.one_of(st.none(), st.floats(0.05, 40))


def limits(press: InstalledPress, wanted: Job) -> list[Finding]:
    (part,) = wanted.parts
    found = processes().constraints(press.process, press.press, part, wanted)
    return [finding for finding in found if finding.severity == "limit"]


def stand_ins(press: InstalledPress) -> tuple[Stock, ...]:
    """Stocks made for a press: of each grade that it takes, in the midst of its windows."""
    figures = press.press
    middle = {
        "caliper_um": (figures.min_caliper_um + figures.max_caliper_um) / 2,
        "grammage_gsm": (figures.min_grammage_gsm + figures.max_grammage_gsm) / 2,
        "finish": "plain",
        "tone": "light",
        "treated": True,
    }
    grades = figures.grades or ("uncoated",)
    return tuple(replace(demo().stocks["silk_130"], grade=grade, **middle) for grade in grades)


def check(press: InstalledPress, wanted: Job, known: frozenset[str] = frozenset()) -> set[str]:
    """Check each change that is named against a job; return the codes that named one.

    known: codes that need not be checked again
    """
    named = set()
    for finding in limits(press, wanted):
        made = dict(keyed(finding.change))
        if not made or finding.code in known:
            continue
        named.add(finding.code)
        tries = [made]
        if (STOCK, "") in made:
            tries = [made | {(STOCK, ""): stock} for stock in stand_ins(press)]
        cleared = [
            finding.code not in {each.code for each in limits(press, changed(wanted, 0, tried))}
            for tried in tries
        ]
        assert any(cleared), (press.press.id, finding)
    return named


@given(
    presses,
    stocks,
    st.sampled_from(FACES),
    st.sampled_from(FACES),
    st.floats(1, 400),
    points,
    points,
    points,
    st.one_of(st.none(), st.floats(0.01, 20)),
    st.one_of(st.none(), st.integers(2, 1024)),
    st.floats(0, 1),
    st.sampled_from(["flat", "deep"]),
    st.sampled_from(["draft", "office", "commercial", "fine"]),
)
def test_a_change_clears_the_limit_that_names_it(
    press,
    stock,
    front,
    back,
    ruling_lpi,
    min_type_pt,
    min_reverse_type_pt,
    min_line_pt,
    register_mm,
    tone_steps,
    variable_share,
    impression,
    quality,
):
    part = leaf(
        105,
        148,
        stock=stock,
        front=front if front.inks or back.inks else FACES[0],
        back=back,
        ruling_lpi=ruling_lpi,
        min_type_pt=min_type_pt,
        min_reverse_type_pt=min_reverse_type_pt,
        min_line_pt=min_line_pt,
        register_mm=register_mm,
        tone_steps=tone_steps,
        variable_share=variable_share,
        impression=impression,
    )
    check(press, job(part, quality=quality))


def hardest() -> list[Job]:
    """Jobs that between them trip every limit that names a change."""
    fine = {
        "min_type_pt": 0.1,
        "min_reverse_type_pt": 0.1,
        "min_line_pt": 0.05,
        "register_mm": 0.01,
        "tone_steps": 1024,
        "variable_share": 0.9,
        "impression": "deep",
    }
    wild = [
        *demo().stocks.values(),
        *(
            replace(demo().stocks[name], treated=False, caliper_um=caliper_um, grammage_gsm=1)
            for name in ("silk_130", "pouch_film")
            for caliper_um in (5.0, 50_000.0)
        ),
    ]
    return [
        job(
            leaf(width_mm, 420, stock=stock, front=front, back=Side(), ruling_lpi=lpi, **fine),
            quality="fine",
        )
        for stock in wild
        for front in FACES[:-1]
        for width_mm, lpi in ((105, 30.0), (297, 400.0))
    ]


def _without_treater(installed: InstalledPress) -> list[dict[str, bool]]:
    """Return the press as it is, and without a corona treater where it could have one."""
    bare = [{"corona_treater": False}] if hasattr(installed.press, "corona_treater") else []
    return [{}, *bare]


@pytest.mark.parametrize("process", CODES)
def test_every_limit_that_names_a_change_has_been_put_to_it(process):
    of_process = [
        InstalledPress(process, replace(each.press, quality=quality, **untreated))
        for each in demo().presses
        if each.process == process
        for quality in (each.press.quality, "draft")  # the best presses refuse no class of work
        for untreated in _without_treater(each)
    ]
    named: set[str] = set()
    for press in of_process:
        of_press: set[str] = set()
        for wanted in hardest():
            of_press |= check(press, wanted, frozenset(of_press))
        named |= of_press
    assert named == CODES[process]
