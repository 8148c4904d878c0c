"""How long the core takes: no HTTP, no JSON, the demo plant with every press competing."""

from __future__ import annotations

from dataclasses import replace
from itertools import cycle

import pytest

from shop import CMYK, NOW, demo, leaf, processes
from sidelay import imposition
from sidelay.compare import compare
from sidelay.estimate import estimate
from sidelay.job import Job, Side
from sidelay.plan import Planner

SIX = (100, 500, 1000, 2500, 5000, 20_000)
MANY = tuple(range(100, 20_100, 100))
MILLION = 1_000_000
LETTER_MM = (215.9, 279.4)


def letter(quantities: tuple[int, ...], width_mm: float = LETTER_MM[0]) -> Job:
    """A letter-size sheet, four colours both sides, on coated stock."""
    side = Side(CMYK, 0.2)
    part = leaf(width_mm, LETTER_MM[1], stock=demo().stocks["silk_150"], front=side, back=side)
    return Job("letter", quantities, (part,))


@pytest.fixture
def planner() -> Planner:
    return Planner(processes())


@pytest.fixture
def other_letters() -> cycle[Job]:
    """Letters that differ by hundredths of a millimetre: more than any cache here keeps."""
    return cycle(letter(SIX, LETTER_MM[0] - step / 100) for step in range(20_000))


@pytest.mark.benchmark(group="estimate, the plan kept")
@pytest.mark.parametrize("quantities", [(1000,), SIX, MANY], ids=["1", "6", "200"])
def test_estimate(benchmark, planner, quantities):
    result = benchmark(estimate, letter(quantities), demo(), planner)
    assert [offer.quantity for offer in result.offers] == list(quantities)


@pytest.mark.benchmark(group="every time another job")
def test_estimate_another_job(benchmark, planner, other_letters):
    result = benchmark(lambda: estimate(next(other_letters), demo(), planner, NOW))
    assert len(result.offers) == len(SIX)


@pytest.mark.benchmark(group="every time another job")
def test_compare_another_job(benchmark, planner, other_letters):
    result = benchmark(lambda: compare(next(other_letters), demo(), planner, NOW, up_to=MILLION))
    assert result.bands[-1].last == MILLION


@pytest.mark.benchmark(group="compare, the plan kept")
@pytest.mark.parametrize("up_to", [1000, MILLION, 100 * MILLION])
def test_exact_bands(benchmark, planner, up_to):
    result = benchmark(compare, letter(SIX), demo(), planner, up_to=up_to)
    assert result.bands[-1].last == up_to


@pytest.mark.benchmark(group="compare, the plan kept")
def test_exact_bands_and_curves(benchmark, planner):
    result = benchmark(compare, letter(SIX), demo(), planner, up_to=MILLION, with_curves=True)
    assert result.curves


@pytest.mark.benchmark(group="compare, the plan kept")
def test_exact_bands_of_a_single_colour(benchmark, planner):
    job = letter(SIX)
    part = replace(job.parts[0], front=Side(CMYK[3:], 0.05), back=Side())
    result = benchmark(compare, replace(job, parts=(part,)), demo(), planner, up_to=MILLION)
    assert result.bands[-1].last == MILLION


@pytest.mark.benchmark(group="imposition")
def test_most_up_not_kept(benchmark):
    """Business cards on a large sheet, the search done anew each time."""

    def search() -> int:
        imposition._most_up.cache_clear()
        return imposition.most_up(1000, 700, 90, 55).up

    assert benchmark(search) >= imposition.grid_up(1000, 700, 90, 55)
