"""What a request says about time: date-times, the clock, the due date, queues and overtime.

The hours at which Irish clocks change: Standard Time (Amendment) Act 1971 and Directive 2000/84/EC,
at 01:00 UTC on the last Sundays of March and October. Samoa left out 30 December 2011: its
International Date Line Act 2011. Lord Howe Island puts its clocks forward by half an hour at 2:00
on the first Sunday of October: the IANA time zone database. All of them from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from marshmallow import ValidationError

from shop import CLOCK, clock, demo
from sidelay.config import Settings
from sidelay.http.app import create_app
from sidelay.http.asked import Asked, read_asked
from sidelay.http.faults import Fault, InvalidRequest
from sidelay.http.schemas.fields import Moment, Told
from sidelay.http.service import Service
from sidelay.machine_ids import machine_ids
from sidelay.plant_time import Queue
from sidelay.timing import Timing

DUE = "2026-12-01T12:00:00+00:00"
Read = Callable[..., Asked]


def at(*figures: int, ahead_h: float = 0) -> int:
    """Seconds since 1970 of a time on clocks so many hours ahead of UTC."""
    zone = timezone(timedelta(hours=ahead_h))
    return int(datetime(*figures, tzinfo=zone).timestamp())  # type: ignore[misc,arg-type]


@pytest.fixture
def in_zone(app: Flask) -> Callable[[str], Service]:
    """The service, its demo plant moved to a zone."""

    def move(zone: str) -> Service:
        service: Service = app.extensions["sidelay"]
        moved = replace(demo(), time=replace(demo().time, zone=zone))
        return replace(service, plants={"demo": moved})

    return move


@pytest.fixture
def asked(in_zone: Callable[[str], Service], flyer: dict[str, Any]) -> Read:
    """Read the flyer with further members, of its job too, on the demo plant in a zone."""

    def read(zone: str = "Europe/Dublin", job: Any = (), **members: Any) -> Asked:
        flyer["job"] |= dict(job)
        return read_asked(flyer | members, in_zone(zone))

    return read


def faults_of(asked: Read, **members: Any) -> list[Fault]:
    with pytest.raises(InvalidRequest) as raised:
        asked(**members)
    return raised.value.faults


def fault_of(asked: Read, **members: Any) -> tuple[str, str, str]:
    (fault,) = faults_of(asked, **members)
    return fault.pointer, fault.code, fault.detail


# ---------------------------------------------------------------- date-times


def loaded(text: Any, **options: Any) -> Any:
    return Moment(**options).deserialize(text)


def told(text: Any, **options: Any) -> Told:
    with pytest.raises(ValidationError) as raised:
        loaded(text, **options)
    (fault,) = raised.value.messages
    assert isinstance(fault, Told)
    return fault


WALLS = st.datetimes(datetime(2000, 1, 1), datetime(2199, 12, 31, 23, 59, 59, 999_999))
OFFSETS = st.none() | st.integers(-1439, 1439).map(lambda ahead: timezone(timedelta(minutes=ahead)))
SPECS = st.sampled_from(["minutes", "seconds", "milliseconds", "microseconds"])


@given(WALLS, OFFSETS, SPECS)
def test_a_date_time_means_what_python_reads(
    wall: datetime, zone: timezone | None, spec: str
) -> None:
    text = wall.replace(tzinfo=zone).isoformat(timespec=spec)
    meant = datetime.fromisoformat(text)
    whole = meant.replace(microsecond=0)
    assert loaded(text) == (whole if zone is None else whole.timestamp())


@given(WALLS)
def test_z_is_utc(wall: datetime) -> None:
    text = wall.isoformat(timespec="seconds")
    assert loaded(f"{text}Z") == loaded(f"{text}+00:00") == loaded(f"{text}-00:00")


# RFC 3339, section 5.8: its examples, but for those of leap seconds and the year 1937.
@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("2085-04-12T23:20:50.52Z", "2085-04-12T23:20:50Z"),
        ("2096-12-19T16:39:57-08:00", "2096-12-20T00:39:57Z"),
    ],
)
def test_examples_of_rfc_3339(text: str, same: str) -> None:
    assert loaded(text) == loaded(same)


@pytest.mark.parametrize("fraction", [".0", ".4", ".999", ".999999999999", ".5000000"])
def test_fractions_are_dropped(fraction: str) -> None:
    assert loaded(f"2026-12-01T12:00:59{fraction}Z") == at(2026, 12, 1, 12, 0, 59)


def test_seconds_may_be_left_out() -> None:
    assert loaded("2026-12-01T12:00+01:00") == at(2026, 12, 1, 11)


NO_DATE_TIMES = [
    "",
    "now",
    "tomorrow",
    "2026-12-01",
    "12:00:00Z",
    "20261201",
    "20261201T120000Z",
    "2026-12-01 12:00:00Z",
    "2026-12-01t12:00:00Z",
    "2026-12-01T12:00:00z",
    "2026-12-01_12:00:00Z",
    "2026-W49-2T12:00:00Z",
    "2026-W49-2",
    "2026-335T12:00:00Z",
    "2026-12-01T12Z",
    "2026-12-01T1200Z",
    "2026-12-01T12:00:00,5Z",
    "2026-12-01T12:00:00.Z",
    "2026-12-01T12:00.5Z",
    "2026-12-01T12:00:00+0100",
    "2026-12-01T12:00:00+01",
    "2026-12-01T12:00:00+1:00",
    "2026-12-01T12:00:00+01:00:00",
    "2026-12-01T12:00:00+24:00",
    "2026-12-01T12:00:00+01:60",
    "2026-12-01T12:00:00\N{MINUS SIGN}01:00",
    "2026-12-01T12:00:00 +01:00",
    "2026-12-01T12:00:00 UTC",
    "2026-12-01T12:00:00Z[Europe/Dublin]",
    " 2026-12-01T12:00:00Z",
    "2026-12-01T12:00:00Z ",
    "2026-12-01T12:00:00Z\n",
    "2026-12-01T24:00:00Z",
    "2026-12-01T12:60:00Z",
    "2026-12-01T12:00:61Z",
    "2026-12-1T12:00:00Z",
    "26-12-01T12:00:00Z",
    "+2026-12-01T12:00:00Z",
    "12026-12-01T12:00:00Z",
    "01/12/2026 12:00",
    "\N{ARABIC-INDIC DIGIT TWO}026-12-01T12:00:00Z",
    "2026-12-01T12:00:00Z2026-12-01T12:00:00Z",
]


@pytest.mark.parametrize("text", NO_DATE_TIMES)
def test_what_is_no_date_time(text: str) -> None:
    assert told(text) == Told(
        "not_a_date_time", "Expected a date-time, as in 2026-12-01T12:00:00+00:00."
    )


@pytest.mark.parametrize("value", [1_795_510_800, 2026.5, True, [], {}, ["2026-12-01T12:00:00Z"]])
def test_only_a_string_is_a_date_time(value: Any) -> None:
    assert told(value).code == "not_a_date_time"


@pytest.mark.parametrize(
    "day", ["2026-02-29", "2026-13-01", "2026-00-10", "2026-11-31", "2026-01-00", "0000-01-01"]
)
def test_days_that_there_are_not(day: str) -> None:
    assert told(f"{day}T12:00:00Z") == Told("not_a_date_time", f"There is no day {day}.")


def test_the_29th_of_a_leap_year() -> None:
    assert loaded("2028-02-29T00:00:00Z") == at(2028, 2, 29)
    assert told("2100-02-29T00:00:00Z").code == "not_a_date_time"


# The leap second of RFC 3339, section 5.8, at two offsets.
@pytest.mark.parametrize("text", ["1990-12-31T23:59:60Z", "1990-12-31T15:59:60-08:00"])
def test_leap_seconds_are_refused(text: str) -> None:
    assert told(text) == Told(
        "not_a_date_time", "Leap seconds are not taken: tell the second before or after."
    )


def test_years() -> None:
    assert loaded("2199-12-31T23:59:59-23:59") == at(2200, 1, 1, 23, 58, 59)
    assert told("1999-12-31T23:59:59Z") == Told(
        "out_of_range", "Expected a year from 2000 to 2199."
    )
    assert told("2200-01-01T00:00:00Z").code == "out_of_range"
    assert told("2100-01-01T00:00:00", years=(2000, 2099)).detail.endswith("2000 to 2099.")


# ---------------------------------------------------------------- what lands in a Timing


def test_nothing_told(asked: Read) -> None:
    made = asked()
    assert made.timing == Timing(CLOCK)
    assert not made.clock_given
    assert not made.job.drying_aid


def test_all_told(asked: Read) -> None:
    made = asked(
        job={"due_at": DUE, "approval_days": 2.5, "dispatch": "deliver", "drying_aid": True},
        as_of="2026-11-23T08:30:00.75+01:00",
        overtime=True,
        queue=[
            {"machine": "guillotine", "busy_until": "2026-11-24T09:00:00-05:00"},
            {"machine": "toner_colour_a3", "hours_ahead": 3},
            {"machine": "prepress", "utilisation": 0.85},
        ],
    )
    assert made.timing == Timing(
        as_of=at(2026, 11, 23, 7, 30),
        due_at=at(2026, 12, 1, 12),
        approval_days=2.5,
        delivered=True,
        overtime=True,
        queues={
            "guillotine": Queue(busy_until=at(2026, 11, 24, 14)),
            "toner_colour_a3": Queue(hours_ahead=3.0),
            "prepress": Queue(utilisation=0.85),
        },
    )
    assert made.clock_given
    assert made.job.drying_aid


def test_null_is_as_good_as_nothing(asked: Read) -> None:
    made = asked(
        job=dict.fromkeys(("due_at", "approval_days", "dispatch", "drying_aid")),
        **dict.fromkeys(("as_of", "overtime", "queue")),
    )
    assert made.timing == Timing(CLOCK)
    assert not made.clock_given
    one = {"machine": "guillotine", "busy_until": None, "hours_ahead": 0, "utilisation": None}
    assert asked(queue=[one]).timing.queues == {"guillotine": Queue(hours_ahead=0.0)}


def test_the_clock_of_the_service_is_whole_seconds(
    in_zone: Callable[[str], Service], flyer: dict[str, Any]
) -> None:
    service = replace(in_zone("UTC"), clock=lambda: CLOCK + 0.999)
    assert read_asked(flyer, service).timing.as_of == CLOCK


def test_a_request_with_its_clock_needs_no_other(
    in_zone: Callable[[str], Service], flyer: dict[str, Any]
) -> None:
    def broken() -> float:
        raise AssertionError("asked what time it is")

    flyer["as_of"] = "2026-11-24T09:00:00Z"
    assert read_asked(flyer, replace(in_zone("UTC"), clock=broken)).timing == Timing(CLOCK)


def test_the_app_passes_its_clock_on() -> None:
    """CLOCK is the Tuesday that it says it is."""
    service: Service = create_app(Settings(), clock=clock).extensions["sidelay"]
    assert service.clock() == at(2026, 11, 24, 9)
    assert datetime.fromtimestamp(service.clock(), UTC).strftime("%A") == "Tuesday"


def test_the_fingerprint_is_of_the_job_alone(asked: Read) -> None:
    plain = asked().fingerprint
    assert asked(as_of="2026-11-20T09:00:00Z", overtime=True).fingerprint == plain
    assert asked(job={"due_at": DUE}).fingerprint != plain


@pytest.mark.parametrize(
    ("job", "members"),
    [
        pytest.param({"due_at": "2026-11-24T09:00:01Z"}, {}, id="due in a second"),
        pytest.param({"due_at": "2199-12-31T00:00:00Z"}, {}, id="due beyond the horizon"),
        pytest.param({"approval_days": 0}, {}, id="approved at once"),
        pytest.param({"approval_days": 60}, {}, id="approved in 60 days"),
        pytest.param({"dispatch": "collect"}, {}, id="collected"),
        pytest.param({}, {"as_of": "2000-01-01T00:00:00Z"}, id="the first year"),
        pytest.param({}, {"as_of": "2099-12-31T23:59:59Z"}, id="the last year"),
        pytest.param({}, {"queue": []}, id="no queue"),
        pytest.param(
            {"due_at": DUE},
            {"queue": [{"machine": "guillotine", "busy_until": "2026-12-24T12:00:00Z"}]},
            id="busy beyond the due date",
        ),
        pytest.param(
            {},
            {"queue": [{"machine": "guillotine", "busy_until": "2026-11-01T12:00:00Z"}]},
            id="free long since",
        ),
        pytest.param(
            {},
            {"queue": [{"machine": "guillotine", "busy_until": "2100-01-01T12:00:00Z"}]},
            id="busy beyond the horizon",
        ),
        pytest.param(
            {}, {"queue": [{"machine": "guillotine", "hours_ahead": 10_000}]}, id="much ahead"
        ),
        pytest.param({}, {"queue": [{"machine": "guillotine", "utilisation": 0}]}, id="idle"),
        pytest.param({}, {"queue": [{"machine": "guillotine", "utilisation": 0.99}]}, id="busy"),
    ],
)
def test_what_is_legal(
    flyer: dict[str, Any], faults: Callable[[Any], Any], job: Any, members: Any
) -> None:
    flyer["job"] |= job
    assert faults(flyer | members) == {}


def test_every_machine_of_the_plant_may_have_a_queue(asked: Read) -> None:
    known = machine_ids(demo())
    queue = [{"machine": name, "hours_ahead": 1} for name in known]
    assert tuple(asked(queue=queue).timing.queues) == known


# ---------------------------------------------------------------- no offset


@pytest.mark.parametrize(
    ("member", "pointer"),
    [
        ({"job": {"due_at": "2026-12-01T12:00:00"}}, "#/job/due_at"),
        ({"as_of": "2026-12-01T12:00:00"}, "#/as_of"),
        (
            {"queue": [{"machine": "guillotine", "busy_until": "2026-12-01T12:00:00"}]},
            "#/queue/0/busy_until",
        ),
    ],
)
def test_a_date_time_without_its_offset(asked: Read, member: Any, pointer: str) -> None:
    assert fault_of(asked, **member) == (
        pointer,
        "no_offset",
        "Expected an offset: in Europe/Dublin this is 2026-12-01T12:00:00+00:00.",
    )


@pytest.mark.parametrize(
    ("zone", "wall", "detail"),
    [
        ("Europe/Dublin", "2027-07-01T12:00", "in Europe/Dublin this is 2027-07-01T12:00:00+01:00"),
        ("UTC", "2026-12-01T12:00:07.9", "in UTC this is 2026-12-01T12:00:07+00:00"),
        ("Asia/Kolkata", "2026-12-01T12:00", "in Asia/Kolkata this is 2026-12-01T12:00:00+05:30"),
        (
            "Europe/Dublin",
            "2026-10-25T01:30:00",
            "2026-10-25T01:30:00 occurs twice in Europe/Dublin, as 2026-10-25T01:30:00+01:00 and "
            "2026-10-25T01:30:00+00:00; say which",
        ),
        (
            "Europe/Dublin",
            "2027-03-28T01:30:00",
            "2027-03-28T01:30:00 does not occur in Europe/Dublin: clocks go from 01:00 to 02:00. "
            "Say what is meant",
        ),
        (
            "Australia/Lord_Howe",
            "2027-10-03T02:10:00",
            "2027-10-03T02:10:00 does not occur in Australia/Lord_Howe: clocks go from 02:00 to "
            "02:30. Say what is meant",
        ),
        (
            "Pacific/Apia",
            "2011-12-30T12:00:00",
            "2011-12-30T12:00:00 does not occur in Pacific/Apia: clocks go from 2011-12-30T00:00 "
            "to 2011-12-31T00:00. Say what is meant",
        ),
    ],
)
def test_what_a_wall_time_is_at_the_plant(
    asked: Read, zone: str, wall: str, detail: str
) -> None:
    found = fault_of(asked, zone=zone, job={"due_at": wall})
    assert found == ("#/job/due_at", "no_offset", f"Expected an offset: {detail}.")


@pytest.mark.parametrize(
    ("wall", "occurs"),
    [
        ("2027-03-28T00:59:59", True),
        ("2027-03-28T01:00:00", False),
        ("2027-03-28T01:59:59", False),
        ("2027-03-28T02:00:00", True),
    ],
)
def test_the_ends_of_a_gap(asked: Read, wall: str, occurs: bool) -> None:
    *_, detail = fault_of(asked, job={"due_at": wall})
    assert ("does not occur" not in detail) == occurs
    assert ("clocks go from 01:00 to 02:00" in detail) != occurs


def test_an_unknown_plant_hides_no_missing_offset(asked: Read) -> None:
    found = faults_of(asked, plant="none", job={"due_at": "2026-12-01T12:00"})
    assert [(fault.pointer, fault.code) for fault in found] == [
        ("#/job/due_at", "no_offset"),
        ("#/plant", "unknown_plant"),
    ]
    assert found[0].detail == (
        "Expected an offset: Z, or hours and minutes, as in 2026-12-01T12:00:00+01:00."
    )


# ---------------------------------------------------------------- due, out of range, queues


@pytest.mark.parametrize("due", ["2026-11-24T09:00:00Z", "2026-11-24T10:00:00.9+01:00"])
def test_due_at_the_clock_of_the_service(asked: Read, due: str) -> None:
    assert fault_of(asked, job={"due_at": due}) == (
        "#/job/due_at",
        "due_past",
        "Expected a moment after 2026-11-24T09:00:00+00:00, the clock of the request; "
        "2026-11-24T09:00:00+00:00 is not.",
    )


def test_due_before_the_clock_of_the_request_in_the_zone_of_the_plant(asked: Read) -> None:
    members = {"as_of": "2027-07-01T12:00:00Z", "job": {"due_at": "2027-07-01T12:59:59+02:00"}}
    assert fault_of(asked, **members) == (
        "#/job/due_at",
        "due_past",
        "Expected a moment after 2027-07-01T13:00:00+01:00, the clock of the request; "
        "2027-07-01T11:59:59+01:00 is not.",
    )


@pytest.mark.parametrize("as_of", ["soon", "2026-11-24T09:00:00", "1999-01-01T00:00:00Z"])
def test_a_clock_with_a_fault_makes_no_due_date_past(asked: Read, as_of: str) -> None:
    pointer, code, _ = fault_of(asked, as_of=as_of, job={"due_at": "2001-01-01T00:00:00Z"})
    assert pointer == "#/as_of"
    assert code != "due_past"


def test_an_unknown_plant_hides_no_due_date_that_is_past(asked: Read) -> None:
    found = faults_of(asked, plant="none", job={"due_at": "2026-11-20T12:00:00Z"})
    assert [fault.code for fault in found] == ["due_past", "unknown_plant"]


def test_a_year_of_the_clock_that_is_out_of_range(asked: Read) -> None:
    assert fault_of(asked, as_of="2100-01-01T00:00:00Z") == (
        "#/as_of",
        "out_of_range",
        "Expected a year from 2000 to 2099.",
    )


@pytest.mark.parametrize(
    ("queue", "pointer", "code", "detail"),
    [
        (
            {"hours_ahead": 10_001},
            "/hours_ahead",
            "out_of_range",
            "Expected 0 to 10,000.",
        ),
        ({"hours_ahead": -1}, "/hours_ahead", "out_of_range", "Expected 0 to 10,000."),
        ({"utilisation": 1}, "/utilisation", "out_of_range", "Expected 0 to 0.99."),
        ({"utilisation": "1"}, "/utilisation", "not_a_number", "Expected a finite number."),
        ({}, "", "required", "Expected one of busy_until, hours_ahead, utilisation."),
        ({"hours_ahead": None}, "", "required", None),
        (
            {"hours_ahead": 1, "utilisation": 0.5},
            "",
            "conflicting_members",
            "Give one of hours_ahead, utilisation.",
        ),
        (
            {"hours_ahead": 1, "utilisation": 0.5, "busy_until": DUE},
            "",
            "conflicting_members",
            "Give one of busy_until, hours_ahead, utilisation.",
        ),
        ({"since": DUE, "hours_ahead": 1}, "/since", "unknown_member", None),
    ],
)
def test_faults_of_a_queue(
    asked: Read, queue: dict[str, Any], pointer: str, code: str, detail: str | None
) -> None:
    found = fault_of(asked, queue=[{"machine": "guillotine"} | queue])
    assert found[:2] == (f"#/queue/0{pointer}", code)
    assert detail in (None, found[2])


def test_a_machine_that_there_is_not(asked: Read) -> None:
    pointer, code, detail = fault_of(asked, queue=[{"machine": "guillotin", "hours_ahead": 1}])
    assert (pointer, code) == ("#/queue/0/machine", "unknown_machine")
    assert "there is guillotine" in detail


def test_what_is_bought_out_has_no_queue(asked: Read) -> None:
    bought = [machine.id for machine in demo().operations if machine.bought_out]
    bought += [binder.id for binder in demo().binders if binder.bought_out]
    assert bought
    found = faults_of(asked, queue=[{"machine": name, "hours_ahead": 1} for name in bought])
    assert {fault.code for fault in found} == {"unknown_machine"}
    assert len(found) == len(bought)


def test_a_machine_that_stands_twice(asked: Read) -> None:
    queue = [{"machine": "guillotine", "hours_ahead": hours} for hours in (1, 2)]
    assert fault_of(asked, queue=queue) == (
        "#/queue/1/machine",
        "same_machine_twice",
        "This machine stands before: it has one queue.",
    )


def test_at_most_200_queues(asked: Read) -> None:
    queue = [{"machine": f"m{number}", "hours_ahead": 1} for number in range(201)]
    found = faults_of(asked, queue=queue)
    assert (found[0].pointer, found[0].code) == ("#/queue", "too_many")
    assert len(found) == 201


def test_an_item_with_a_fault_leaves_the_others_their_places(asked: Read) -> None:
    queue = [5, None, {"machine": "none", "hours_ahead": 1}, {"machine": 3, "utilisation": 0.5}]
    assert [(f.pointer, f.code) for f in faults_of(asked, queue=queue)] == [
        ("#/queue/0", "not_an_object"),
        ("#/queue/1", "not_an_object"),
        ("#/queue/2/machine", "unknown_machine"),
        ("#/queue/3/machine", "not_a_string"),
    ]


def test_all_faults_of_time_at_once(
    client: FlaskClient, flyer: dict[str, Any], conforms: Callable[[str, Any], None]
) -> None:
    flyer["job"] |= {"due_at": "1 Dec", "approval_days": -1, "dispatch": 1, "drying_aid": "yes"}
    flyer |= {"as_of": 0, "overtime": 1, "queue": [{"machine": "none", "busy_until": "later"}]}
    problem = client.post("/estimate", json=flyer).get_json()
    conforms("Problem", problem)
    assert {error["pointer"]: error["code"] for error in problem["errors"]} == {
        "#/as_of": "not_a_date_time",
        "#/job/approval_days": "out_of_range",
        "#/job/dispatch": "not_a_string",
        "#/job/drying_aid": "not_a_boolean",
        "#/job/due_at": "not_a_date_time",
        "#/overtime": "not_a_boolean",
        "#/queue/0/busy_until": "not_a_date_time",
        "#/queue/0/machine": "unknown_machine",
    }


def test_date_times_and_queues_are_published(document: dict[str, Any]) -> None:
    schemas = document["components"]["schemas"]
    moments = [
        schemas["Request"]["properties"]["as_of"],
        schemas["Job"]["properties"]["due_at"],
        schemas["QueueAhead"]["properties"]["busy_until"],
    ]
    assert [(each["type"], each["format"]) for each in moments] == [("string", "date-time")] * 3
    assert schemas["Request"]["properties"]["queue"]["maxItems"] == 200
    assert schemas["QueueAhead"]["oneOf"] == [
        {"required": [way]} for way in ("busy_until", "hours_ahead", "utilisation")
    ]
