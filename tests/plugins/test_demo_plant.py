"""The demo plant: nine processes, every figure with its source, ten jobs that each find a press."""

from __future__ import annotations

import tomllib
from datetime import date, timedelta

import numpy as np
import pytest
from marshmallow import missing
from scalar import total

from shop import DEMO_FILE, NOW, demo, example, processes
from sidelay.compare import Comparison, compare
from sidelay.fields import ExactInteger, Number
from sidelay.machine_ids import machine_ids
from sidelay.plan import Planner
from sidelay.working_time import Periods, periods

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


def worked(machine: str, first: date, last: date, *, overtime: bool = False) -> Periods:
    """When a machine of the plant works."""
    time = demo().time
    own = time.machines.get(machine)
    shifts = time.shifts if own is None or own.shifts is None else own.shifts
    if overtime:
        shifts += time.overtime if own is None or own.overtime is None else own.overtime
    assert time.holidays is not None
    years = range(first.year, last.year + 1)
    closed = {day for year in years for day in time.holidays.of_year(year)} | set(time.closed_days)
    stopped = () if own is None else own.maintenance
    return periods(shifts, time.zone, closed, stopped, first, last)


def hours(of: Periods) -> float:
    return sum(end - start for start, end in of) / 3600


@pytest.mark.parametrize("machine", machine_ids(demo()))
def test_every_machine_works_in_every_month_and_more_in_overtime(machine) -> None:
    for month in range(1, 13):
        first = date(2027, month, 1)
        last = (first + timedelta(days=32)).replace(day=1) - timedelta(days=1)
        usual = hours(worked(machine, first, last))
        assert usual > 80
        assert hours(worked(machine, first, last, overtime=True)) > usual


def test_a_common_week_has_five_days_of_eight_hours_and_two_shifts_on_presses_of_size() -> None:
    monday, sunday = date(2027, 2, 8), date(2027, 2, 14)
    assert hours(worked("folder", monday, sunday)) == 5 * 8
    assert hours(worked("folder", monday, sunday, overtime=True)) == 40 + 5 * 3.5 + 5
    assert hours(worked("litho_b1_five", monday, sunday)) == 80


def test_nobody_works_over_christmas_nor_on_a_press_in_its_service() -> None:
    for year in (2026, 2027):
        assert not worked("folder", date(year, 12, 24), date(year, 12, 31), overtime=True)
    service = date(2027, 3, 15), date(2027, 3, 17)
    assert not worked("litho_b1_five", *service, overtime=True)
    assert worked("litho_b3_two", *service)


def test_queues_of_the_plant_are_hours_or_days_but_not_weeks() -> None:
    # Common practice, no source: a house that lets jobs wait for weeks is not asked again. The wait
    # is that of a single machine at random: utilisation / (1 - utilisation) x the mean job.
    of = demo().time.machines
    busy = {name: each for name, each in of.items() if each.queue.utilisation is not None}
    assert len(busy) > 15
    for name, each in busy.items():
        share = each.queue.utilisation
        assert 0.6 <= share <= 0.85, name
        assert share / (1 - share) * each.variation * each.mean_job_h <= 80, name
    assert {name for name, each in of.items() if each.queue.hours_ahead} == {
        "screen_flatbed",
        "carousel_automatic",
    }
    assert all(each.source for each in of.values())


def test_most_stocks_are_on_the_shelf_and_none_takes_longer_than_a_week() -> None:
    days = [stock.lead_days for stock in demo().stocks.values()]
    assert sum(not each for each in days) > len(days) / 2
    assert {0, 1, 2, 3, 5} == set(days)
