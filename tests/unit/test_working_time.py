import time as machine_time
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import pytest

from sidelay.working_time import Shift, Stoppage, periods, wall_instants

EVERY_DAY, WEEKDAYS = frozenset(range(7)), frozenset(range(5))
DAY_SHIFT = Shift(WEEKDAYS, 8 * 60, 16 * 60)
NIGHT = Shift(EVERY_DAY, 22 * 60, 6 * 60)
HOUR = 3600


def at(text, zone="UTC"):
    return int(datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone)).timestamp())


def shown(spans, zone="UTC"):
    """Periods as the wall clock of the zone shows them."""
    return [
        tuple(f"{datetime.fromtimestamp(instant, ZoneInfo(zone)):%m-%d %H:%M}" for instant in span)
        for span in spans
    ]


def hours(spans):
    return [(end - start) / HOUR for start, end in spans]


def worked(shifts, first, last=None, *, zone="UTC", closed=(), stoppages=()):
    first_day = date.fromisoformat(first)
    return periods(
        shifts,
        zone,
        {date.fromisoformat(day) for day in closed},
        stoppages,
        first_day,
        date.fromisoformat(last) if last else first_day,
    )


def test_shifts_of_a_week_stand_on_their_days():
    week = worked([DAY_SHIFT], "2026-11-27", "2026-12-01")  # a Friday to a Tuesday
    assert shown(week) == [
        ("11-27 08:00", "11-27 16:00"),
        ("11-30 08:00", "11-30 16:00"),
        ("12-01 08:00", "12-01 16:00"),
    ]


def test_wall_times_are_those_of_the_zone():
    assert worked([DAY_SHIFT], "2026-07-01", zone="America/New_York") == (
        (at("2026-07-01 12:00"), at("2026-07-01 20:00")),
    )
    assert worked([DAY_SHIFT], "2026-07-01", zone="Asia/Kolkata") == (
        (at("2026-07-01 02:30"), at("2026-07-01 10:30")),
    )


def test_the_result_does_not_depend_on_the_zone_of_the_machine(monkeypatch):
    here = worked([DAY_SHIFT, NIGHT], "2026-03-27", "2026-03-30", zone="Europe/Dublin")
    with monkeypatch.context() as elsewhere:
        elsewhere.setenv("TZ", "Pacific/Auckland")
        machine_time.tzset()
        there = worked([DAY_SHIFT, NIGHT], "2026-03-27", "2026-03-30", zone="Europe/Dublin")
    machine_time.tzset()
    assert there == here


def test_a_shift_that_ends_before_it_begins_ends_on_the_next_day():
    friday_night = Shift(frozenset({4}), 22 * 60, 6 * 60)
    assert shown(worked([friday_night], "2026-11-27", "2026-11-29")) == [
        ("11-27 22:00", "11-28 06:00")
    ]


@pytest.mark.parametrize(
    ("from_min", "to_min", "ends"),
    [
        (16 * 60, 24 * 60, "12-01 00:00"),
        (16 * 60, 0, "12-01 00:00"),
        (0, 24 * 60, "12-01 00:00"),
        (8 * 60, 8 * 60, "12-01 08:00"),
    ],
)
def test_where_a_shift_ends(from_min, to_min, ends):
    ((_, end),) = shown(worked([Shift(WEEKDAYS, from_min, to_min)], "2026-11-30"))
    assert end == ends


def test_three_shifts_are_one_period_from_monday_to_saturday():
    three = [
        Shift(WEEKDAYS, 6 * 60, 14 * 60),
        Shift(WEEKDAYS, 14 * 60, 22 * 60),
        Shift(WEEKDAYS, 22 * 60, 6 * 60),
    ]
    assert shown(worked(three, "2026-11-23", "2026-11-29")) == [("11-23 06:00", "11-28 06:00")]


def test_shifts_that_overlap_are_counted_once():
    early, late = Shift(WEEKDAYS, 6 * 60, 14 * 60), Shift(WEEKDAYS, 13 * 60, 21 * 60)
    inside = Shift(WEEKDAYS, 7 * 60, 8 * 60)
    assert shown(worked([late, early, inside], "2026-11-30")) == [("11-30 06:00", "11-30 21:00")]


def test_a_closed_day_drops_what_begins_on_it_and_the_night_before_runs_to_its_end():
    # Christmas Eve 2026 is a Thursday.
    spans = worked([DAY_SHIFT, NIGHT], "2026-12-24", "2026-12-26", closed=["2026-12-25"])
    assert shown(spans) == [
        ("12-24 08:00", "12-24 16:00"),
        ("12-24 22:00", "12-25 06:00"),
        ("12-26 22:00", "12-27 06:00"),
    ]


def test_stoppages_are_cut_out():
    def stopped(*spans):
        stoppages = [
            Stoppage(at(f"2026-11-30 {start}"), at(f"2026-11-30 {end}"), "wash-up")
            for start, end in spans
        ]
        return shown(worked([DAY_SHIFT], "2026-11-30", stoppages=stoppages))

    whole = ("11-30 08:00", "11-30 16:00")
    assert stopped(("10:00", "11:00")) == [
        ("11-30 08:00", "11-30 10:00"),
        ("11-30 11:00", "11-30 16:00"),
    ]
    assert stopped(("07:00", "09:00")) == [("11-30 09:00", "11-30 16:00")]
    assert stopped(("15:00", "17:00")) == [("11-30 08:00", "11-30 15:00")]
    assert stopped(("12:00", "16:00"), ("08:00", "12:00")) == []
    assert stopped(("06:00", "08:00"), ("16:00", "18:00")) == [whole]
    assert stopped(("12:00", "12:00"), ("13:00", "12:30")) == [whole]
    assert stopped(("12:00", "14:00"), ("09:00", "10:00"), ("13:00", "13:30")) == [
        ("11-30 08:00", "11-30 09:00"),
        ("11-30 10:00", "11-30 12:00"),
        ("11-30 14:00", "11-30 16:00"),
    ]


def test_a_stoppage_over_days_cuts_the_shifts_that_it_covers():
    repair = Stoppage(at("2026-11-30 12:00"), at("2026-12-02 12:00"), "new rollers")
    spans = worked([DAY_SHIFT], "2026-11-30", "2026-12-03", stoppages=[repair])
    assert shown(spans) == [
        ("11-30 08:00", "11-30 12:00"),
        ("12-02 12:00", "12-02 16:00"),
        ("12-03 08:00", "12-03 16:00"),
    ]


# GOV.UK, When do the clocks change?, as in github.com/alphagov/frontend,
# lib/data/when-do-the-clocks-change.json at commit 148ab864: forward at 1:00 on the first of these
# dates, back at 2:00 on the second. That version of it prints the second of 2024 as 27/10/2023,
# which is a Friday, a slip for the Sunday of that date in 2024: the text above the dates says
# the last Sunday in October.
CLOCKS_CHANGE = [
    ("2020-03-29", "2020-10-25"),
    ("2021-03-28", "2021-10-31"),
    ("2022-03-27", "2022-10-30"),
    ("2023-03-26", "2023-10-29"),
    ("2024-03-31", "2024-10-27"),
    ("2025-03-30", "2025-10-26"),
]


@pytest.mark.parametrize(("forward", "back"), CLOCKS_CHANGE)
def test_the_night_on_which_clocks_change_is_7_or_9_hours(forward, back):
    for night, lasts in ((forward, 7), (back, 9)):
        before = date.fromisoformat(night) - timedelta(days=1)
        spans = worked([NIGHT], str(before - timedelta(days=1)), night, zone="Europe/London")
        assert hours(spans) == [8, lasts, 8]


@pytest.mark.parametrize(
    ("zone", "night", "lasts"),
    [
        # Second Sunday of March, first of November: Energy Policy Act of 2005, from memory.
        ("America/New_York", "2026-03-07", 7),
        ("America/New_York", "2026-10-31", 9),
        # Lord Howe Island moves its clocks by half an hour, from memory.
        ("Australia/Lord_Howe", "2026-10-03", 7.5),
        ("Australia/Lord_Howe", "2026-04-04", 8.5),
        # The summer half of the year is the standard time of Ireland, and winter is set back.
        ("Europe/Dublin", "2026-03-28", 7),
        ("Europe/Dublin", "2026-10-24", 9),
        ("Asia/Tokyo", "2026-03-28", 8),
        ("UTC", "2026-10-24", 8),
    ],
)
def test_nights_in_other_zones(zone, night, lasts):
    assert hours(worked([NIGHT], night, zone=zone)) == [lasts]


def test_a_time_that_clocks_jump_over_is_when_they_jump():
    gap = at("2026-03-29 01:00")  # 1:00 to 2:00 in Dublin
    assert worked([Shift(EVERY_DAY, 90, 4 * 60)], "2026-03-29", zone="Europe/Dublin") == (
        (gap, gap + 2 * HOUR),
    )
    assert worked([Shift(EVERY_DAY, 0, 90)], "2026-03-29", zone="Europe/Dublin") == (
        (gap - HOUR, gap),
    )
    assert worked([Shift(EVERY_DAY, 70, 110)], "2026-03-29", zone="Europe/Dublin") == ()


def test_a_time_that_clocks_show_twice_is_the_first_of_both():
    # 2:00 becomes 1:00 at 1:00 UTC; 1:30 is shown at 0:30 and at 1:30 UTC.
    zone, day = "Europe/Dublin", "2026-10-25"
    until = worked([Shift(EVERY_DAY, 0, 90)], day, zone=zone)
    since = worked([Shift(EVERY_DAY, 90, 6 * 60)], day, zone=zone)
    assert hours(until) == [1.5]
    assert hours(since) == [5.5]
    assert until[0][1] == since[0][0]


def test_clocks_that_never_show_a_day_have_no_work_on_it():
    # Samoa went from the 29th to the 31st of December 2011 to change sides of the date line.
    shift = Shift(EVERY_DAY, 8 * 60, 16 * 60)
    spans = worked([shift], "2011-12-29", "2011-12-31", zone="Pacific/Apia")
    assert hours(spans) == [8, 8]
    assert spans[1][0] - spans[0][0] == 24 * HOUR


def test_years_end_and_a_leap_day_is_a_day():
    assert shown(worked([NIGHT], "2026-12-31")) == [("12-31 22:00", "01-01 06:00")]
    leap = worked([DAY_SHIFT], "2028-02-28", "2028-03-01")  # a Monday to a Wednesday
    assert shown(leap)[1] == ("02-29 08:00", "02-29 16:00")


def test_no_days_and_no_shifts_are_no_work():
    assert worked([DAY_SHIFT], "2026-12-01", "2026-11-30") == ()
    assert worked([], "2026-11-30", "2026-12-31") == ()


def test_a_zone_that_is_not_known_is_refused():
    with pytest.raises(ZoneInfoNotFoundError, match="Atlantis"):
        worked([DAY_SHIFT], "2026-11-30", zone="Europe/Atlantis")
    with pytest.raises(ZoneInfoNotFoundError, match="Atlantis"):
        wall_instants("Europe/Atlantis", datetime(2026, 11, 30))


def test_wall_instants_are_none_in_a_gap_and_two_where_clocks_show_a_time_twice():
    def instants(wall, zone="Europe/Dublin"):
        found = wall_instants(zone, datetime.fromisoformat(wall))
        return [f"{datetime.fromtimestamp(instant, UTC):%H:%M:%S}" for instant in found]

    assert instants("2026-03-29 00:59:59") == ["00:59:59"]
    assert instants("2026-03-29 01:00:00") == []
    assert instants("2026-03-29 01:59:59") == []
    assert instants("2026-03-29 02:00:00") == ["01:00:00"]
    assert instants("2026-10-25 00:59:59") == ["23:59:59"]
    assert instants("2026-10-25 01:00:00") == ["00:00:00", "01:00:00"]
    assert instants("2026-10-25 01:59:59") == ["00:59:59", "01:59:59"]
    assert instants("2026-10-25 02:00:00") == ["02:00:00"]
    assert instants("2026-04-05 01:45", "Australia/Lord_Howe") == ["14:45:00", "15:15:00"]
    assert instants("1969-12-31 23:00", "UTC") == ["23:00:00"]
