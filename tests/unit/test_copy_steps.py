"""Which binders compete for the copies of a job."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shop import job, leaf, plant
from sidelay.binders import Binder
from sidelay.copy_steps import bound_of
from sidelay.job import Binding

FIRST = Binder("first", "First", "perfect_bind", grind_off_mm=3.0, spine_allowance_mm=0.3)
BOOK = (
    leaf(148, 210, kind="section", name="text", pages=160),
    leaf(148, 210, kind="cover", name="cover", pages=4),
)


@pytest.mark.parametrize(
    ("other", "parts", "names"),
    [
        ({}, BOOK, ["first", "second"]),
        ({"grind_off_mm": 2.0}, BOOK, ["first"]),
        ({"spine_allowance_mm": 1.0}, BOOK, ["first"]),
        ({"spine_allowance_mm": 1.0}, BOOK[:1], ["first", "second"]),
        ({"max_pages": 100}, BOOK, ["first"]),
        ({"method": "thread_sewn"}, BOOK, ["first"]),
    ],
)
def test_binders_compete_that_pages_and_cover_are_laid_out_for(other, parts, names):
    second = replace(FIRST, id="second", **other)
    shop = plant(binders=(FIRST, second))
    bound = bound_of(replace(job(), parts=parts, binding=Binding("perfect_bind")), shop)
    assert [each.binder.id for each in bound] == names
