"""An operation that will go says so: in its answers as RFC 9745 and RFC 8594 have it, and in the
document. Nothing is deprecated today, so here some operations are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from email.utils import parsedate_to_datetime
from typing import Any

import pytest
from flask import Flask
from openapi_spec_validator import validate as validate_document

from access_files import ORIGIN, kept_app
from shop import clock, processes
from sidelay.config import Settings
from sidelay.http import openapi, retiring
from sidelay.http.app import create_app
from sidelay.http.cors import EXPOSED_FIELDS
from sidelay.http.deprecation import Deprecation, response_fields
from sidelay.http.operations import OPERATIONS, Operation

# The example of RFC 9745, section 2.1: Friday, June 30, 2023 at 23:59:59 UTC.
SINCE = datetime(2023, 6, 30, 23, 59, 59, tzinfo=UTC)
RFC_9745_FIELD = "@1688169599"
# The example of RFC 8594, section 3.
SUNSET = datetime(2018, 12, 31, 23, 59, 59, tzinfo=UTC)
RFC_8594_FIELD = "Mon, 31 Dec 2018 23:59:59 GMT"
DOCS = "https://shop.example/changes#plants"
GOING = Deprecation(SINCE, DOCS, SINCE + timedelta(days=400), "/v2/plants/{plant_id}")


def changed(path: str, told: Deprecation | None) -> Sequence[Operation]:
    """All operations, one of them deprecated."""
    return [replace(each, deprecated=told) if each.path == path else each for each in OPERATIONS]


@pytest.fixture(scope="module")
def going(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    """The service, with the plant's page going."""
    text = f'open = ["price"]\norigins = ["{ORIGIN}"]\n'
    app = kept_app(tmp_path_factory.mktemp("going"), text)
    retiring.tell_deprecations(app, changed("/plants/{plant_id}", GOING))
    return app


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [
        ("GET", "/plants/demo", 200),
        ("HEAD", "/plants/demo", 200),
        ("GET", "/plants/none%20such", 404),
    ],
)
def test_every_answer_of_it_says_so(going: Flask, method: str, path: str, status: int) -> None:
    answer = going.test_client().open(path, method=method)
    assert answer.status_code == status
    assert answer.headers["Deprecation"] == RFC_9745_FIELD
    assert parsedate_to_datetime(answer.headers["Sunset"]) == GOING.sunset
    plant = path.rpartition("/")[2]
    assert answer.headers.getlist("Link") == [
        f'<{DOCS}>; rel="deprecation", <{DOCS}>; rel="sunset", '
        f'</v2/plants/{plant}>; rel="successor-version"'
    ]


@pytest.mark.parametrize(
    ("method", "path"),
    [("GET", "/plants"), ("GET", "/no"), ("POST", "/plants/demo"), ("OPTIONS", "/plants/demo")],
)
def test_no_other_answer_does(going: Flask, method: str, path: str) -> None:
    fields = going.test_client().open(path, method=method).headers
    assert {"Deprecation", "Sunset", "Link"}.isdisjoint(fields.keys())


def test_pages_of_other_origins_may_read_it(going: Flask) -> None:
    fields = going.test_client().get("/plants/demo", headers={"Origin": ORIGIN}).headers
    exposed = fields["Access-Control-Expose-Headers"].split(", ")
    assert fields["Deprecation"]
    assert {"Deprecation", "Sunset", "Link"} <= set(exposed) == set(EXPOSED_FIELDS.split(", "))


def test_links_of_the_answer_itself_stay() -> None:
    app = create_app(Settings(), clock=clock)
    own = '</next>; rel="next"'

    def add(response: Any) -> Any:
        response.headers["Link"] = own
        return response

    retiring.tell_deprecations(app, changed("/plants", Deprecation(SINCE, DOCS)))
    app.after_request(add)  # runs before the other: the last one is the first
    fields = app.test_client().get("/plants").headers
    assert fields.getlist("Link") == [own, f'<{DOCS}>; rel="deprecation"']
    assert "Sunset" not in fields


def test_the_document_tells_it() -> None:
    told = openapi.document(processes(), operations=changed("/plants/{plant_id}", GOING))
    validate_document(told)
    marked = {
        path: set(item["get"]["responses"]["200"]["headers"])
        for path, item in told["paths"].items()
        if "get" in item and item["get"].get("deprecated")
    }
    assert marked.keys() == {"/plants/{plant_id}"}
    assert {"Deprecation", "Sunset", "Link"} <= marked["/plants/{plant_id}"]
    plain = told["paths"]["/plants"]["get"]
    assert "deprecated" not in plain
    assert "Deprecation" not in plain["responses"]["200"]["headers"]


def test_fields_are_written_as_the_standards_write_them() -> None:
    assert response_fields(Deprecation(SINCE, DOCS), {})["Deprecation"] == RFC_9745_FIELD
    long_gone = Deprecation(SUNSET - timedelta(days=1), DOCS, SUNSET)
    assert response_fields(long_gone, {})["Sunset"] == RFC_8594_FIELD
    berlin = timezone(timedelta(hours=1))
    elsewhere = Deprecation(SINCE.astimezone(berlin), DOCS, GOING.sunset)
    assert response_fields(elsewhere, {})["Deprecation"] == RFC_9745_FIELD


def test_ids_in_the_path_of_the_successor_are_written_as_in_a_url() -> None:
    link = response_fields(GOING, {"plant_id": 'a/b>; rel="x'})["Link"]
    assert '</v2/plants/a%2Fb%3E%3B%20rel%3D%22x>; rel="successor-version"' in link


def test_nothing_goes_before_it_is_deprecated() -> None:
    """RFC 9745, section 4: the sunset must not be earlier than the deprecation."""
    assert Deprecation(SINCE, DOCS, SINCE).sunset == SINCE
    with pytest.raises(ValueError, match="before it is deprecated"):
        Deprecation(SINCE, DOCS, SINCE - timedelta(seconds=1))


@pytest.mark.parametrize("moments", [(datetime(2026, 1, 1), None), (SINCE, datetime(2027, 1, 1))])
def test_moments_have_their_offset(moments: tuple[datetime, datetime | None]) -> None:
    since, sunset = moments
    with pytest.raises(ValueError, match="offset"):
        Deprecation(since, DOCS, sunset)


def test_a_successor_has_no_name_that_the_path_has_not() -> None:
    with pytest.raises(ValueError, match="has not all the names"):
        changed("/plants", GOING)
