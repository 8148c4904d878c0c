"""The limits that most models share: each met, each missed, each with a remedy that clears it."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from shop import CMYK, job, leaf, stock, with_inks
from sidelay.job import Side
from sidelay.limits import carrier_findings, tone_findings, usual_findings

PRESS = SimpleNamespace(
    grades=("coated", "uncoated"),
    min_caliper_um=50,
    max_caliper_um=400,
    min_grammage_gsm=60,
    max_grammage_gsm=350,
    max_ruling_lpi=150,
    min_type_pt=5,
    min_reverse_type_pt=7,
    min_line_pt=0.25,
    register_mm=0.2,
    max_total_coverage_pct=280,
    quality="commercial",
)
FINE = leaf(
    min_type_pt=5, min_reverse_type_pt=7, min_line_pt=0.25, register_mm=0.2, ruling_lpi=150
)


def test_what_lies_on_the_limits_passes():
    part = replace(FINE, front=Side(CMYK, 0.2, 280.0))
    assert usual_findings(PRESS, part, job(part)) == []


def test_what_is_not_told_is_not_checked():
    assert usual_findings(PRESS, leaf(), job()) == []


@pytest.mark.parametrize(
    ("change", "code", "cleared"),
    [
        ({"stock": stock(grade="film")}, "grade_unsuitable", {"stock": stock()}),
        ({"stock": stock(caliper_um=401)}, "caliper_outside", {"stock": stock(caliper_um=400)}),
        ({"stock": stock(caliper_um=49)}, "caliper_outside", {"stock": stock(caliper_um=50)}),
        ({"stock": stock(grammage_gsm=351)}, "grammage_outside", {"stock": stock()}),
        ({"ruling_lpi": 151}, "ruling_too_fine", {"ruling_lpi": 150}),
        ({"min_type_pt": 4.9}, "type_too_small", {"min_type_pt": 5}),
        ({"min_reverse_type_pt": 6.9}, "reverse_type_too_small", {"min_reverse_type_pt": 7}),
        ({"min_line_pt": 0.2}, "line_too_fine", {"min_line_pt": 0.25}),
        ({"register_mm": 0.19}, "register_too_tight", {"register_mm": 0.2}),
        ({"front": Side(CMYK, 0.2, 281)}, "total_coverage", {"front": Side(CMYK, 0.2, 280)}),
        ({"front": Side(CMYK, 0.71)}, "total_coverage", {"front": Side(CMYK, 0.7)}),
    ],
)
def test_each_limit_is_met_and_its_remedy_clears_it(change, code, cleared):
    part = replace(leaf(), **change)
    (found,) = usual_findings(PRESS, part, job(part))
    assert found.code == code
    assert found.severity == ("caution" if code == "total_coverage" else "limit")
    assert found.remedy
    assert found.message
    mended = replace(part, **cleared)
    assert usual_findings(PRESS, mended, job(mended)) == []


def test_a_class_of_work_above_the_press():
    (found,) = usual_findings(PRESS, leaf(), job(quality="fine"))
    assert (found.code, found.asked, found.limit) == ("quality_above", "fine", "commercial")


def test_a_carrier_prints_the_same_image_on_every_piece():
    assert carrier_findings(with_inks(leaf(), CMYK)) == []
    (found,) = carrier_findings(leaf(variable_share=0.01))
    assert found.code == "variable_data"


def test_tone_steps_wanted_and_shown():
    assert tone_findings(leaf(), 10) == []
    assert tone_findings(leaf(tone_steps=100), 100) == []
    (found,) = tone_findings(leaf(tone_steps=101), 100)
    assert (found.code, found.asked, found.limit) == ("tone_steps_below", 101, 100)
