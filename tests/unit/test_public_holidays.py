"""Public holidays against what governments and others published of them (published_holidays.json).

Each entry there names its source and whether it was READ or is FROM MEMORY. Where `weekends` is
false the source lists the days off of people who work from Monday to Friday: of a holiday on a
Saturday or Sunday only the weekday on which it is observed. The library lists both, so that a
plant that works on Saturdays is closed on Saturday 26 December 2026 and on Monday 28 December.
"""

import json
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest

from sidelay.public_holidays import Holidays, NoSuchCountry

PUBLISHED = json.loads((Path(__file__).parent / "published_holidays.json").read_text("utf-8"))
SUNDAY = 6


def named(entry):
    return f"{entry['country']}-{entry['subdivision']}-{entry['year']}"


@pytest.mark.parametrize("entry", PUBLISHED, ids=named)
def test_holidays_are_those_that_were_published(entry):
    got = Holidays(entry["country"], entry["subdivision"]).of_year(entry["year"])
    listed = {day.isoformat() for day in got if entry["weekends"] or day.weekday() < 5}
    assert listed == {*entry["dates"], *entry.get("proclaimed_since", [])}, entry["source"]


def test_each_published_list_has_a_source():
    assert all(entry["source"] and entry["provenance"] for entry in PUBLISHED)
    assert len({named(entry) for entry in PUBLISHED}) == len(PUBLISHED)


def nth(year, month, weekday, number):
    """The first such weekday of a month, or a later one; -1 for the last."""
    if number < 0:
        after = date(year + month // 12, month % 12 + 1, 1)
        return after - timedelta(days=(after.weekday() - weekday - 1) % 7 + 1)
    first = date(year, month, 1)
    return first + timedelta(days=(weekday - first.weekday()) % 7 + 7 * (number - 1))


def easter(year):
    """Easter Sunday by the rule of an anonymous correspondent, Nature, 20 April 1876 (from memory).

    Meeus, Astronomical Algorithms, gives it too.
    """
    a, (b, c) = year % 19, divmod(year, 100)
    d, e = divmod(b, 4)
    f = (b + 8) // 25
    g = (b - f + 1) // 3
    h = (19 * a + b - d - g + 15) % 30
    i, k = divmod(c, 4)
    m = (32 + 2 * e + 2 * i - h - k) % 7
    n = (a + 11 * h + 22 * m) // 451
    month, day = divmod(h + m - 7 * n + 114, 31)
    return date(year, month, day + 1)


@pytest.mark.parametrize("year", range(2023, 2051))
def test_ireland_has_the_days_of_its_statute(year):
    # Organisation of Working Time Act 1997, second schedule (read at olir.it), and the order for
    # St Brigid's Day: the first Monday of February, or the 1st where that is a Friday (read at
    # stbrigidscathedral.com). Nobody gets the Monday after a holiday on a Sunday.
    first_of_february = date(year, 2, 1)
    statute = {
        date(year, 1, 1),
        first_of_february if first_of_february.weekday() == 4 else nth(year, 2, 0, 1),
        date(year, 3, 17),
        easter(year) + timedelta(days=1),
        *(nth(year, month, 0, 1) for month in (5, 6, 8)),
        nth(year, 10, 0, -1),
        date(year, 12, 25),
        date(year, 12, 26),
    }
    assert set(Holidays("IE").of_year(year)) == statute


@pytest.mark.parametrize("year", range(2022, 2051))
def test_the_united_states_have_the_days_of_their_statute(year):
    # 5 U.S.C. 6103 (from memory): for people who work from Monday to Friday a holiday on a
    # Saturday is the Friday before, one on a Sunday the Monday after.
    fixed = [(year, 1, 1), (year + 1, 1, 1), (year, 6, 19), (year, 7, 4), (year, 11, 11)]
    observed = {off_work(date(*day)) for day in [*fixed, (year, 12, 25)]}
    moving = {
        nth(year, 1, 0, 3),
        nth(year, 2, 0, 3),
        nth(year, 5, 0, -1),
        nth(year, 9, 0, 1),
        nth(year, 10, 0, 2),
        nth(year, 11, 3, 4),
    }
    listed = {day for day in Holidays("US").of_year(year) if day.weekday() < 5}
    assert listed == {day for day in observed | moving if day.year == year}


def off_work(day):
    return day + timedelta(days={5: -1, SUNDAY: 1}.get(day.weekday(), 0))


def test_holidays_have_english_names_in_the_order_of_the_year():
    of_year = Holidays("DE", "NI").of_year(2026)
    assert of_year[date(2026, 10, 31)] == "Reformation Day"
    assert list(of_year) == sorted(of_year)
    # English of its own rather than that of the United States.
    assert Holidays("AU", "VIC").of_year(2026)[date(2026, 3, 9)] == "Labour Day"
    assert Holidays("NZ").of_year(2026)[date(2026, 10, 26)] == "Labour Day"
    assert Holidays("GB", "ENG").of_year(2026)[date(2026, 12, 28)] == "Boxing Day (observed)"


def test_names_do_not_depend_on_the_language_of_the_machine(monkeypatch):
    monkeypatch.setenv("LANGUAGE", "th")
    # A year that no other test asks for: what was looked up is kept.
    assert Holidays("DE").of_year(1999)[date(1999, 10, 3)] == "German Unity Day"


def test_holidays_of_a_year_cannot_be_changed():
    with pytest.raises(TypeError):
        Holidays("IE").of_year(2026)[date(2026, 7, 1)] = "Summer outing"


def test_a_year_without_rules_has_no_holidays():
    assert not Holidays("IE").of_year(1700)


@pytest.mark.parametrize("country", ["XX", "", "ie", "UK", "IRL", "Ireland"])
def test_a_country_that_is_not_known_is_told_with_those_that_are(country):
    with pytest.raises(NoSuchCountry, match=r"only of AD, .*\bGB\b.*\bIE\b.* ZW$"):
        Holidays(country)


def test_a_subdivision_that_is_not_known_is_told_with_those_that_are():
    with pytest.raises(NoSuchCountry, match="GB has no subdivision 'England' here, only ENG, NIR"):
        Holidays("GB", "England")
    with pytest.raises(NoSuchCountry, match="IE has no subdivision 'D' here, nor any other"):
        Holidays("IE", "D")


def test_the_library_is_not_loaded_before_it_is_asked():
    told = subprocess.run(
        [sys.executable, "-c", "import sys, sidelay.plant_time; print('holidays' in sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert told.stdout.strip() == "False"
