"""How long a decision takes: bands of every example, and what each explanation adds."""

from __future__ import annotations

import pytest

from shop import EXAMPLES, demo, example, processes
from sidelay.compare import EXPLAINED, compare
from sidelay.crossovers import find_bands
from sidelay.plan import Planner, lean_table

MILLION = 1_000_000
NAMES = sorted(file.stem for file in EXAMPLES.glob("*.json"))


@pytest.mark.benchmark(group="exact bands to 1,000,000, what cannot win left out before")
def test_bands_of_every_example(benchmark):
    """One round finds the bands of all examples, books and newspapers too."""
    planner = Planner(processes())
    tables = [
        lean_table(plan.job_table)
        for plan in (planner.plan(example(name), demo()) for name in NAMES)
        if plan.job_table
    ]
    found = benchmark(lambda: [find_bands(table, MILLION) for table in tables])
    assert all(bands[-1].last == MILLION for bands in found)


@pytest.mark.benchmark(group="explained, the plan kept")
@pytest.mark.parametrize("word", ["nothing", *EXPLAINED])
@pytest.mark.parametrize("name", ["a6_flyer", "concert_programme", "paperback_novel"])
def test_explained(benchmark, name, word):
    planner, job = Planner(processes()), example(name)
    explain = () if word == "nothing" else (word,)
    found = benchmark(compare, job, demo(), planner, up_to=MILLION, explain=explain)
    told = dict(zip(EXPLAINED, (found.cost_bands, found.hanging, found.remedies), strict=True))
    assert {each for each, what in told.items() if what is not None} == set(explain)
