"""The demo plant: nine processes, every figure with its source, ten jobs that each find a press."""

from __future__ import annotations

import tomllib

import numpy as np
import pytest
from marshmallow import missing
from scalar import total

from shop import DEMO_FILE, NOW, demo, example, processes
from sidelay.compare import Comparison, compare
from sidelay.fields import ExactInteger, Number
from sidelay.plan import Planner

# Ten jobs, each natural to a different corner of the trade.
CORNERS = (
    "business_cards",
    "invitation",
    "brochure",
    "weekly_newspaper",
    "magazine_section",
    "bottle_labels",
    "pouches",
    "shirts",
    "posters",
    "addressed_mailing",
)
PROCESSES = {
    "letterpress",
    "screen",
    "flexo",
    "gravure",
    "sheetfed_litho",
    "web_litho",
    "toner",
    "dod_inkjet",
    "continuous_inkjet",
}
TABLES = tomllib.loads(DEMO_FILE.read_text())["presses"]
# Members of a press that are no figures.
WORDS = {"process", "id", "name", "cost_centre", "feed", "sources"}


def compared(name: str, up_to: int = 1_000_000) -> Comparison:
    return compare(example(name), demo(), Planner(processes()), NOW, up_to=up_to)


def test_there_are_nine_processes_each_with_a_press() -> None:
    assert set(processes().about) == PROCESSES
    assert {each.process for each in demo().presses} == PROCESSES
    assert len(demo().presses) >= 16


@pytest.mark.parametrize("table", TABLES, ids=[table["id"] for table in TABLES])
def test_every_figure_of_a_press_has_a_source(table) -> None:
    figures = {name for name, value in table.items() if name not in WORDS and not _is_words(value)}
    sources = table["sources"]
    assert not [name for name in figures if not sources.get(name, "").strip()]
    assert sources.get("feed", "").strip()


def _is_words(value) -> bool:
    if isinstance(value, list):
        return all(isinstance(each, str) for each in value)
    return isinstance(value, str | bool)


@pytest.mark.parametrize("process", sorted(PROCESSES))
def test_every_default_has_a_source_and_every_figure_a_unit(process) -> None:
    for name, field in processes().press_schema(process).fields.items():
        if isinstance(field, Number | ExactInteger):
            assert "x-unit" in field.metadata, name
            has_default = not field.required and field.load_default is not missing
            assert not has_default or "x-source" in field.metadata, name


@pytest.mark.parametrize("process", sorted(PROCESSES))
def test_every_process_is_described_with_cautions_and_sources(process) -> None:
    about = processes().about[process]
    assert about.cautions
    assert about.source
    low, high = about.quality
    assert 0 < low <= high <= 1.2
    assert about.quality_basis
    assert 0 < about.crew[0] <= about.crew[1]
    assert about.usual_run_length[0] < about.usual_run_length[1]


@pytest.mark.parametrize("name", CORNERS)
def test_a_job_prices_on_two_processes_and_every_other_press_says_why_not(name) -> None:
    found = compared(name, up_to=1000)
    routes = found.plan.table.routes
    assert len({route.process for route in routes}) >= 2
    assert found.plan.unavailable == ()
    able = {route.press.id for route in routes}
    refused = {each.press: each for each in found.plan.excluded}
    assert able | set(refused) == {each.press.id for each in demo().presses}
    assert not able & set(refused)
    for each in refused.values():
        assert each.findings
        assert all(f.severity == "limit" and f.message and f.remedy for f in each.findings)


def test_no_process_wins_every_job() -> None:
    # Common practice, no source: every process has its corner.
    winners = {band.process for name in CORNERS for band in compared(name).bands}
    assert len(winners) >= 6


@pytest.mark.parametrize("name", CORNERS)
def test_the_arrays_agree_with_plain_arithmetic_to_the_cent(name) -> None:
    job, plan = example(name), compared(name, up_to=1).plan
    quantities = np.array([1, 7, 499, 5_000, 123_456], dtype=np.int64)
    costs = plan.table.at(quantities)
    for number, route in enumerate(plan.table.routes):
        for column, quantity in enumerate(quantities.tolist()):
            expected = total(route, job, demo(), quantity)
            assert costs.total[number, column] == expected, (route.press.id, quantity)


@pytest.mark.parametrize("name", CORNERS)
def test_no_cost_falls_as_the_quantity_rises(name) -> None:
    table = compared(name, up_to=1).plan.table
    quantities = np.unique(np.geomspace(1, 3_000_000, 400).astype(np.int64))
    near = np.arange(990, 1_110, dtype=np.int64)
    for asked in (quantities, near):
        assert (np.diff(table.at(asked).total, axis=1) >= 0).all()
