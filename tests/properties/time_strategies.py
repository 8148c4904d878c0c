"""Random calendars, queues and due dates for random shops."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import strategies as st
from whole_strategies import shops_and_jobs

from shop import CLOCK
from sidelay.machine_ids import machine_ids
from sidelay.plant_time import (
    Dispatch,
    DryingAid,
    DryingShares,
    MachineTime,
    PlantTime,
    Queue,
)
from sidelay.timing import Timing
from sidelay.working_time import Shift, Stoppage

HOUR_S, DAY_S = 3600, 86_400
ZONES = ["UTC", "Europe/Dublin", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu"]
shares = st.integers(0, 8).map(lambda n: n / 4)


@st.composite
def shifts(draw, least=1):
    """One or two shifts a day, across midnight at times; never overlapping."""
    days = draw(st.frozensets(st.integers(0, 6), min_size=least, max_size=6))
    start, hours = draw(st.integers(0, 22)) * 60, draw(st.integers(2, 16))
    end = (start + hours * 60 - 1) % 1440 + 1
    if hours < 6 or draw(st.booleans()):
        return (Shift(days, start, end),)
    middle = (start + 180) % 1440
    return (Shift(days, start, middle or 1440), Shift(days, (middle + 60) % 1440, end))


@st.composite
def queues(draw):
    """What stands before a machine."""
    kind = draw(st.sampled_from(["none", "busy", "ahead", "utilisation"]))
    return {
        "none": Queue(),
        "busy": Queue(busy_until=CLOCK + draw(st.integers(-24, 60)) * HOUR_S),
        "ahead": Queue(hours_ahead=draw(st.integers(0, 40)) / 4),
        "utilisation": Queue(utilisation=draw(st.integers(0, 9)) / 10),
    }[kind]


@st.composite
def plant_times(draw, machines):
    """A calendar; some machines have their own."""
    own = {}
    for machine in draw(st.lists(st.sampled_from(machines), max_size=3, unique=True)):
        start = CLOCK + draw(st.integers(0, 100)) * HOUR_S
        stop = Stoppage(start, start + draw(st.integers(1, 30)) * HOUR_S, "maintenance")
        own[machine] = MachineTime(
            shifts=draw(st.none() | shifts()),
            maintenance=(stop,) if draw(st.booleans()) else (),
            queue=draw(queues()),
            mean_job_h=draw(st.integers(1, 8)) / 4,
        )
    first = date(2026, 11, 24)
    closed = draw(st.sets(st.integers(0, 12), max_size=3))
    return PlantTime(
        zone=draw(st.sampled_from(ZONES)),
        shifts=draw(shifts()),
        overtime=(),
        closed_days={first + timedelta(days=day): "closed" for day in closed},
        horizon_days=draw(st.sampled_from([20, 90, 400])),
        machines=own,
        approval_days={
            kind: draw(st.integers(0, 6)) / 4 for kind in ("soft", "contract", "press")
        },
        drying=DryingShares(*(draw(shares) for _ in range(5))),
        drying_aid=draw(st.none() | st.just(DryingAid(0.25, 3.0))),
        dispatch=Dispatch(
            cut_off_min=draw(st.integers(0, 1439)),
            days=draw(st.frozensets(st.integers(0, 6), min_size=1)),
            delivery_days=draw(st.integers(0, 3)),
            delivered_by_min=draw(st.integers(0, 1439)),
        ),
    )


@st.composite
def timings(draw, machines, least_h=1, most_h=24 * 20):
    """A request's side of time, with a due date."""
    named = draw(st.lists(st.sampled_from(machines), max_size=2, unique=True))
    return Timing(
        CLOCK + draw(st.integers(0, 7 * 24 * 60)) * 60,
        due_at=CLOCK + draw(st.integers(least_h * 60, most_h * 60)) * 60,
        approval_days=draw(st.none() | st.integers(0, 8).map(lambda n: n / 4)),
        delivered=draw(st.booleans()),
        queues={machine: draw(queues()) for machine in named},
    )


@st.composite
def dated_shops_and_jobs(draw, policy=None):
    """A shop with a calendar, a whole job for it, and when it is wanted."""
    shop, job = draw(shops_and_jobs(policy))
    machines = machine_ids(shop)
    timed = replace(shop, time=draw(plant_times(machines)))
    return timed, replace(job, drying_aid=draw(st.booleans())), draw(timings(machines))
