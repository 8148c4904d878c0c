"""Clocks against models that walk every second, and shifts against a clock watched every minute."""

from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from functools import cache
from itertools import accumulate, pairwise
from zoneinfo import ZoneInfo

from hypothesis import example, given, settings
from hypothesis import strategies as st

from sidelay.clocks import DAY_S, BeyondHorizon, Elapsed, Worked, WorkingDays
from sidelay.working_time import Shift, Stoppage, periods, wall_instants

END = 60  # the models look at the seconds from 0 to here
BEYOND = "beyond the horizon"
seconds = st.integers(0, END)
amounts = st.integers(0, END)
day_amounts = st.one_of(
    st.integers(0, 4 * DAY_S), st.integers(0, 16).map(lambda quarters: quarters * DAY_S // 4)
)


@st.composite
def spans(draw):
    """Periods within the model's time, touching ones too."""
    bounds = sorted(draw(st.lists(seconds, unique=True, max_size=12)))
    apart = tuple(zip(bounds[::2], bounds[1::2], strict=False))
    return draw(st.sampled_from([apart, tuple(pairwise(bounds))]))


@st.composite
def days(draw):
    """Periods dealt to days one after another, some of them with no work."""
    rest = list(draw(spans()))
    dealt = []
    while rest:
        number = draw(st.integers(0, 3))
        dealt.append(tuple(rest[:number]))
        rest = rest[number:]
    return tuple(dealt)


def told(ask, *given_to_it):
    try:
        return ask(*given_to_it)
    except BeyondHorizon:
        return BEYOND


class Walked:
    """Work counted second by second: `done[t]` is how much is done by second t."""

    def __init__(self, worked):
        busy = {second for start, end in worked for second in range(start, end)}
        self.done = list(accumulate((s in busy for s in range(END)), initial=0))
        self.busy = busy

    def after(self, start, amount):
        if amount == 0:
            return start
        wanted = self.done[start] + amount
        return next((t for t in range(start, END + 1) if self.done[t] == wanted), BEYOND)

    def begin(self, start):
        return next((t for t in range(start, END) if t in self.busy), BEYOND)

    def before(self, end, amount):
        in_time = [s for s in range(end + 1) if self._is_by(s, amount, end)]
        return max(in_time, default=BEYOND)

    def between(self, start, end):
        return self.done[end] - self.done[start] if end > start else 0

    def _is_by(self, start, amount, end):
        reached = self.after(start, amount)
        return reached != BEYOND and reached <= end


@given(spans(), seconds, amounts, seconds)
@settings(max_examples=300)
def test_worked_time_is_that_of_a_walk_over_every_second(worked, instant, amount, other):
    clock, walk = Worked(worked), Walked(worked)
    assert told(clock.after, instant, amount) == walk.after(instant, amount)
    assert told(clock.begin, instant) == walk.begin(instant)
    assert told(clock.before, instant, amount) == walk.before(instant, amount)
    assert clock.between(instant, other) == walk.between(instant, other)


class Dealt:
    """Days done by each second, as fractions, and the earliest and latest seconds for them."""

    def __init__(self, dealt):
        shares = {}
        for day in dealt:
            work = sum(end - start for start, end in day)
            shares |= {s: Fraction(1, work) for start, end in day for s in range(start, end)}
        self.done = list(accumulate((shares.get(s, Fraction(0)) for s in range(END)), initial=0))

    def after(self, start, amount):
        if amount == 0:
            return start
        wanted = self.done[start] + Fraction(amount, DAY_S)
        return next((t for t in range(END + 1) if self.done[t] >= wanted), BEYOND)

    def before(self, end, amount):
        if amount == 0:
            return end
        left = self.done[end] - Fraction(amount, DAY_S)
        return max((t for t in range(END + 1) if self.done[t] <= left), default=BEYOND)

    def between(self, start, end):
        return int((self.done[end] - self.done[start]) * DAY_S) if end > start else 0


@given(days(), seconds, day_amounts, seconds)
@settings(max_examples=300)
def test_working_days_are_those_of_a_walk_over_every_second(dealt, instant, amount, other):
    clock, walk = WorkingDays(dealt), Dealt(dealt)
    assert told(clock.after, instant, amount) == walk.after(instant, amount)
    assert told(clock.before, instant, amount) == walk.before(instant, amount)
    assert clock.between(instant, other) == walk.between(instant, other)
    assert clock.begin(instant) == instant


@st.composite
def clocks(draw):
    return draw(
        st.one_of(
            st.builds(Elapsed, seconds),
            st.builds(Worked, spans()),
            st.builds(WorkingDays, days()),
        )
    )


def as_late(answer):
    return float("inf") if answer == BEYOND else answer


@given(clocks(), seconds, seconds, st.one_of(amounts, day_amounts), st.one_of(amounts, day_amounts))
@settings(max_examples=300)
def test_later_starts_and_larger_amounts_never_end_earlier(clock, start, later, amount, larger):
    start, later = sorted((start, later))
    amount, larger = sorted((amount, larger))
    end = as_late(told(clock.after, start, amount))
    assert end >= start
    assert end <= as_late(told(clock.after, later, amount))
    assert end <= as_late(told(clock.after, start, larger))
    assert as_late(told(clock.begin, start)) <= as_late(told(clock.begin, later))
    assert clock.between(start, later) >= 0


@given(clocks(), seconds, st.one_of(amounts, day_amounts))
@settings(max_examples=300)
def test_there_and_back_again(clock, instant, amount):
    end = told(clock.after, instant, amount)
    if end != BEYOND:
        assert clock.before(end, amount) >= instant
        assert clock.between(instant, end) >= amount
    start = told(clock.before, instant, amount)
    reached = BEYOND if start == BEYOND else told(clock.after, start, amount)
    if reached != BEYOND:
        assert reached <= instant
        assert as_late(told(clock.after, start + 1, amount)) > instant


# One Sunday each on which clocks change; noon of the day before it is where the watch begins.
CHANGES = {
    "Europe/Dublin": ("2026-03-29", "2026-10-25"),
    "America/New_York": ("2026-03-08", "2026-11-01"),
    "Australia/Lord_Howe": ("2026-10-04", "2026-04-05"),
    "Africa/Cairo": ("2026-04-24", "2026-10-30"),  # at midnight
    "Asia/Tokyo": ("2026-12-31", "2028-02-29"),  # none; the ends of a year and of a leap February
}
NIGHTS = [(zone, night) for zone, nights in CHANGES.items() for night in nights]
MINUTES_WATCHED = 5 * 24 * 60


@cache
def watched(zone, night):
    """What the wall clock shows at each minute from two days before a night on."""
    start = datetime.fromisoformat(night).replace(tzinfo=UTC) - timedelta(days=2)
    first = int(start.timestamp())
    shown = [
        datetime.fromtimestamp(first + 60 * minute, ZoneInfo(zone)).replace(tzinfo=None)
        for minute in range(MINUTES_WATCHED)
    ]
    return first, shown


def first_at(zone, night, wall):
    """The first minute at which the wall clock is at or past a time."""
    first, shown = watched(zone, night)
    assert shown[0] < wall
    return first + 60 * next(minute for minute, each in enumerate(shown) if each >= wall)


shifts = st.builds(
    Shift,
    st.sets(st.integers(0, 6), min_size=1).map(frozenset),
    st.integers(0, 1439),
    st.integers(0, 1440),
)


@given(
    st.sampled_from(NIGHTS),
    st.lists(shifts, max_size=3),
    st.sets(st.integers(0, 1)),
    st.lists(st.tuples(st.integers(0, 4000), st.integers(0, 900)), max_size=3),
)
@example(NIGHTS[0], [Shift(frozenset(range(7)), 90, 200)], set(), [])
@example(NIGHTS[1], [Shift(frozenset(range(7)), 1320, 90)], set(), [])
@settings(max_examples=60)
def test_shifts_are_worked_by_the_clock_on_the_wall(place, worked, closed, stopped):
    zone, night = place
    two_days = [date.fromisoformat(night) + timedelta(days=ahead) for ahead in (-1, 0)]
    begun = watched(zone, night)[0]
    stoppages = [
        Stoppage(begun + 60 * start, begun + 60 * (start + lasts), "") for start, lasts in stopped
    ]
    shut = [two_days[each] for each in closed]
    got = periods(worked, zone, shut, stoppages, two_days[0], two_days[1])

    busy = set()
    for day in two_days:
        for shift in worked:
            if day.weekday() not in shift.days or day in shut:
                continue
            midnight = datetime(day.year, day.month, day.day)
            ends = shift.to_min + (1440 if shift.to_min <= shift.from_min else 0)
            start, end = (
                first_at(zone, night, midnight + timedelta(minutes=at))
                for at in (shift.from_min, ends)
            )
            busy.update(range(start, end, 60))
    for stoppage in stoppages:
        busy.difference_update(range(stoppage.start, stoppage.end, 60))

    assert {minute for start, end in got for minute in range(start, end, 60)} == busy
    assert all(start < end for start, end in got)
    assert all(end < start for (_, end), (start, _) in pairwise(got))


@given(st.sampled_from(NIGHTS), st.integers(0, 2 * 24 * 60))
@example(NIGHTS[0], 2 * 24 * 60 - 1)
@settings(max_examples=60)
def test_wall_instants_are_when_the_clock_on_the_wall_shows_it(place, minute):
    zone, night = place
    first, shown = watched(zone, night)
    wall = datetime.fromisoformat(night) - timedelta(days=1) + timedelta(minutes=minute)
    seen = tuple(first + 60 * at for at, each in enumerate(shown) if each == wall)
    assert wall_instants(zone, wall) == seen
