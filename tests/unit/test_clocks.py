from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from sidelay.clocks import DAY_S, BeyondHorizon, Elapsed, Worked, WorkingDays
from sidelay.working_time import Shift, Stoppage, periods

HOUR = 3600
ZONE = "Europe/Dublin"
WEEKDAYS = frozenset(range(5))
DAY_SHIFT = Shift(WEEKDAYS, 8 * 60, 16 * 60)
FIRST, LAST = date(2026, 11, 23), date(2027, 4, 30)  # a Monday, a Friday
CLOSED = {date(2026, 12, 25), date(2026, 12, 28), date(2027, 1, 1)}


def at(text):
    return int(datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(ZONE)).timestamp())


def shown(instant):
    return f"{datetime.fromtimestamp(instant, ZoneInfo(ZONE)):%Y-%m-%d %H:%M}"


def worked(*shifts, stoppages=()):
    return Worked(periods(shifts, ZONE, CLOSED, stoppages, FIRST, LAST))


def working_days(*shifts):
    days = [FIRST + timedelta(days=ahead) for ahead in range((LAST - FIRST).days + 1)]
    return WorkingDays(tuple(periods(shifts, ZONE, CLOSED, (), day, day) for day in days))


@pytest.mark.parametrize(
    ("start", "hours", "end"),
    [
        ("2026-11-27 12:00", 4, "2026-11-27 16:00"),  # ends with the shift
        ("2026-11-27 12:00", 4.5, "2026-11-30 08:30"),  # goes on after the weekend
        ("2026-11-27 16:00", 1, "2026-11-30 09:00"),
        ("2026-11-28 09:00", 17, "2026-12-02 09:00"),
        ("2026-12-24 10:00", 8, "2026-12-29 10:00"),  # Christmas
        ("2026-11-20 00:00", 8, "2026-11-23 16:00"),  # before the first shift
        ("2026-11-28 09:00", 0, "2026-11-28 09:00"),  # nothing to do takes no time
    ],
)
def test_work_goes_on_from_shift_to_shift(start, hours, end):
    assert shown(worked(DAY_SHIFT).after(at(start), int(hours * HOUR))) == end


@pytest.mark.parametrize(
    ("end", "hours", "start"),
    [
        ("2026-11-30 09:00", 1, "2026-11-30 08:00"),
        ("2026-11-30 09:00", 1.5, "2026-11-27 15:30"),
        ("2026-11-30 08:00", 8, "2026-11-27 08:00"),
        ("2026-11-29 12:00", 0.5, "2026-11-27 15:30"),
        # Friday 16:00 would do, but so does Monday 8:00, and it is later.
        ("2026-12-01 08:00", 8, "2026-11-30 08:00"),
        ("2026-11-29 12:00", 0, "2026-11-29 12:00"),
    ],
)
def test_the_latest_start_of_work(end, hours, start):
    assert shown(worked(DAY_SHIFT).before(at(end), int(hours * HOUR))) == start


def test_work_begins_with_the_next_shift():
    clock = worked(DAY_SHIFT)
    assert shown(clock.begin(at("2026-11-27 09:30"))) == "2026-11-27 09:30"
    assert shown(clock.begin(at("2026-11-27 16:00"))) == "2026-11-30 08:00"
    assert shown(clock.begin(at("2026-01-01 00:00"))) == "2026-11-23 08:00"


def test_hours_worked_between_two_instants():
    clock = worked(DAY_SHIFT)
    assert clock.between(at("2026-11-27 12:00"), at("2026-11-30 09:00")) == 5 * HOUR
    assert clock.between(at("2026-11-28 00:00"), at("2026-11-29 00:00")) == 0
    assert clock.between(at("2026-11-30 09:00"), at("2026-11-27 12:00")) == 0


def test_a_night_shift_works_the_hours_that_pass_when_clocks_change():
    night = Shift(frozenset(range(7)), 22 * 60, 6 * 60)
    clock = worked(night)
    # On 28 March 2027 clocks go from 1:00 to 2:00: the eighth hour is the first of the next night.
    assert shown(clock.after(at("2027-03-27 22:00"), 7 * HOUR)) == "2027-03-28 06:00"
    assert shown(clock.after(at("2027-03-27 22:00"), 8 * HOUR)) == "2027-03-28 23:00"


def test_maintenance_interrupts_work():
    service = Stoppage(at("2026-11-30 09:00"), at("2026-11-30 12:00"), "service")
    clock = worked(DAY_SHIFT, stoppages=[service])
    assert shown(clock.after(at("2026-11-30 08:00"), 1 * HOUR)) == "2026-11-30 09:00"
    assert shown(clock.after(at("2026-11-30 08:00"), 2 * HOUR)) == "2026-11-30 13:00"
    assert shown(clock.begin(at("2026-11-30 10:00"))) == "2026-11-30 12:00"


def test_work_that_does_not_end_in_time_is_beyond_the_horizon():
    clock = worked(DAY_SHIFT)
    last = at("2027-04-30 16:00")
    assert clock.after(last - HOUR, HOUR) == last
    for beyond in (
        lambda: clock.after(last - HOUR, HOUR + 1),
        lambda: clock.after(last, 1),
        lambda: clock.begin(last),
        lambda: clock.before(at("2026-11-23 09:00"), HOUR + 1),
    ):
        with pytest.raises(BeyondHorizon):
            beyond()
    assert clock.after(last + DAY_S, 0) == last + DAY_S


@pytest.mark.parametrize("clock", [Worked(()), WorkingDays(()), WorkingDays(((), ()))])
def test_where_nobody_works_nothing_is_ever_done(clock):
    assert clock.after(5, 0) == clock.before(5, 0) == 5
    assert clock.between(5, 500) == 0
    with pytest.raises(BeyondHorizon):
        clock.after(5, 1)
    with pytest.raises(BeyondHorizon):
        clock.before(5, 1)


def test_where_nobody_works_no_work_begins():
    with pytest.raises(BeyondHorizon):
        Worked(()).begin(0)


def test_elapsed_time_passes_day_and_night():
    clock = Elapsed(horizon=at("2026-12-31 00:00"))
    friday = at("2026-11-27 16:00")
    assert shown(clock.after(friday, 24 * HOUR)) == "2026-11-28 16:00"
    assert clock.before(friday, 24 * HOUR) == friday - 24 * HOUR
    assert clock.begin(friday) == friday
    assert clock.between(friday, friday + 5) == 5
    assert clock.between(friday + 5, friday) == 0


def test_elapsed_time_ends_at_the_horizon():
    clock = Elapsed(horizon=100)
    assert clock.after(60, 40) == 100
    for start, amount in ((60, 41), (101, 0)):
        with pytest.raises(BeyondHorizon):
            clock.after(start, amount)
    with pytest.raises(BeyondHorizon):
        clock.begin(101)


@pytest.mark.parametrize(
    ("start", "days", "end"),
    [
        ("2026-11-23 08:00", 1, "2026-11-23 16:00"),  # ordered at opening: there at closing
        ("2026-11-23 06:00", 1, "2026-11-23 16:00"),
        ("2026-11-23 16:45", 1, "2026-11-24 16:00"),  # after closing counts from the next day
        ("2026-11-23 16:00", 1, "2026-11-24 16:00"),
        ("2026-11-24 09:00", 1, "2026-11-25 09:00"),
        ("2026-11-27 12:00", 0.5, "2026-11-27 16:00"),
        ("2026-11-27 14:00", 0.5, "2026-11-30 10:00"),
        ("2026-11-28 11:00", 2, "2026-12-01 16:00"),
        ("2026-12-24 12:00", 1.5, "2026-12-29 16:00"),  # Christmas
        ("2026-11-28 11:00", 0, "2026-11-28 11:00"),
    ],
)
def test_working_days_count_the_days_on_which_there_is_work(start, days, end):
    assert shown(working_days(DAY_SHIFT).after(at(start), int(days * DAY_S))) == end


def test_a_share_of_a_day_is_the_share_of_the_work_done_on_it():
    # Monday to Thursday 8 hours with a break, Friday 4: half of Friday is 2 hours.
    clock = working_days(
        Shift(frozenset(range(4)), 8 * 60, 12 * 60),
        Shift(frozenset(range(4)), 13 * 60, 17 * 60),
        Shift(frozenset({4}), 8 * 60, 12 * 60),
    )
    assert shown(clock.after(at("2026-11-26 12:30"), DAY_S)) == "2026-11-27 10:00"
    assert shown(clock.after(at("2026-11-27 11:00"), DAY_S)) == "2026-11-30 15:00"
    assert shown(clock.after(at("2026-11-30 11:00"), DAY_S // 8)) == "2026-11-30 12:00"


def test_the_latest_start_of_working_days():
    clock = working_days(DAY_SHIFT)
    # On Monday before work no more is done than at Friday's closing, and Monday's opening is later.
    assert shown(clock.before(at("2026-12-01 16:00"), 2 * DAY_S)) == "2026-11-30 08:00"
    assert shown(clock.before(at("2026-12-01 10:00"), DAY_S)) == "2026-11-30 10:00"
    assert shown(clock.before(at("2026-11-29 10:00"), DAY_S // 2)) == "2026-11-27 12:00"


def test_working_days_between_two_instants():
    clock = working_days(DAY_SHIFT)
    assert clock.between(at("2026-11-27 12:00"), at("2026-12-01 12:00")) == 2 * DAY_S
    assert clock.between(at("2026-11-27 16:00"), at("2026-11-30 08:00")) == 0
    assert clock.between(at("2026-11-30 12:00"), at("2026-11-30 14:00")) == DAY_S // 4
    assert clock.between(at("2026-11-30 14:00"), at("2026-11-30 12:00")) == 0


def test_working_days_run_out_at_the_horizon():
    clock = working_days(DAY_SHIFT)
    opening, closing = at("2027-04-30 08:00"), at("2027-04-30 16:00")
    assert clock.after(opening, DAY_S) == closing
    assert clock.before(at("2026-11-24 12:00"), DAY_S + DAY_S // 2) == at("2026-11-23 08:00")
    for beyond in (
        lambda: clock.after(opening, DAY_S + 1),
        lambda: clock.after(closing + HOUR, 1),
        lambda: clock.before(at("2026-11-23 12:00"), DAY_S // 2 + 1),
    ):
        with pytest.raises(BeyondHorizon):
            beyond()
    assert clock.begin(closing + HOUR) == closing + HOUR


def test_night_shifts_belong_to_the_day_on_which_they_begin():
    night = Shift(WEEKDAYS, 22 * 60, 6 * 60)
    clock = working_days(night)
    assert shown(clock.after(at("2026-11-23 22:00"), DAY_S)) == "2026-11-24 06:00"
    assert shown(clock.after(at("2026-11-24 02:00"), DAY_S)) == "2026-11-25 02:00"
    assert shown(clock.after(at("2026-11-28 02:00"), DAY_S)) == "2026-12-01 02:00"


def test_work_of_two_days_at_once_counts_to_the_first():
    # A night until 6:00 and a day from 4:00: the day has 8 hours left of 10.
    clock = WorkingDays((((0, 6 * HOUR),), ((4 * HOUR, 14 * HOUR),)))
    assert clock.after(0, DAY_S) == 6 * HOUR
    assert clock.after(6 * HOUR, DAY_S // 2) == 10 * HOUR
    assert WorkingDays((((0, 100),), ((10, 90),), ((150, 200),))).after(0, 2 * DAY_S) == 200


# Whole working days against numpy.busday_offset and busday_count, on the days of the clock above.
HOLIDAYS = [np.datetime64(day) for day in CLOSED]
DAYS = [FIRST + timedelta(days=ahead) for ahead in range(0, 100, 3)]


@pytest.mark.parametrize("ahead", [1, 2, 5, 12, 40])
def test_whole_working_days_are_those_of_a_general_library(ahead):
    clock = working_days(DAY_SHIFT)
    for day in DAYS:
        nine = at(f"{day} 09:00")
        # Within work the share of the day stays; on a day off it counts from the next opening, and
        # so many days end at a closing: one day of the library fewer.
        if np.is_busday(day, holidays=HOLIDAYS):
            reached = np.busday_offset(day, ahead, holidays=HOLIDAYS)
            assert shown(clock.after(nine, ahead * DAY_S)) == f"{reached} 09:00"
            assert clock.before(at(f"{reached} 09:00"), ahead * DAY_S) == nine
        else:
            reached = np.busday_offset(day, ahead - 1, "forward", holidays=HOLIDAYS)
            assert shown(clock.after(nine, ahead * DAY_S)) == f"{reached} 16:00"


def test_days_between_are_those_of_a_general_library():
    clock = working_days(DAY_SHIFT)
    for start in DAYS:
        for end in DAYS:
            counted = np.busday_count(start, end, holidays=HOLIDAYS)
            got = clock.between(at(f"{start} 00:00"), at(f"{end} 00:00"))
            assert got == max(0, counted) * DAY_S
