"""POST /batch: each line is answered as its request alone would be, whatever the others are."""

from __future__ import annotations

import json
import logging
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import given, settings
from hypothesis import strategies as st
from werkzeug.test import EnvironBuilder, run_wsgi_app

from access_files import CLIENTS, OFFICE_KEY, SHOP_KEY, Clock, client, kept_app
from shop import EXAMPLES, clock
from sidelay import heartbeat
from sidelay.config import Settings
from sidelay.http import answering, batch_lines
from sidelay.http.app import create_app
from sidelay.http.callers import KEY_FIELD

NDJSON = "application/x-ndjson"
HOUR = 1_795_510_800
GOOD = json.loads((EXAMPLES / "letter_two_sided.json").read_bytes())
FAULTY = {"job": {"title": "x", "quantities": [0], "parts": []}, "plant": "demo"}


def send(client: FlaskClient, body: bytes, path: str = "/batch", **headers: str) -> Any:
    return client.post(path, data=body, content_type=NDJSON, headers=headers)


def ask(client: FlaskClient, body: bytes, path: str = "/batch", **headers: str) -> list[Any]:
    """The answers to a batch, its last line checked and left out."""
    response = send(client, body, path, **headers)
    assert (response.status_code, response.content_type) == (200, NDJSON), response.text
    assert response.data.endswith(b"}\n")
    *answers, done = [json.loads(line) for line in response.data.splitlines()]
    statuses = [each["status"] for each in answers]
    assert done == {
        "done": True,
        "lines": len(answers),
        "answered": sum(status < 300 for status in statuses),
        "refused": sum(400 <= status < 500 for status in statuses),
        "failed": sum(status >= 500 for status in statuses),
    }
    return answers


def line(request: Any = GOOD, **members: Any) -> bytes:
    return json.dumps({"request": request, **members}).encode()


def batch(*lines: bytes) -> bytes:
    return b"".join(each + b"\n" for each in lines)


def told(answers: list[Any]) -> list[tuple[int, str, int]]:
    return [(each["line"], each["id"], each["status"]) for each in answers]


def errors(answer: Any) -> list[tuple[str, str]]:
    return [(each["pointer"], each["code"]) for each in answer["problem"]["errors"]]


# ---------------------------------------------------------------- what is answered


def test_each_ask_is_answered_as_its_own_path_would(client: FlaskClient) -> None:
    body = batch(
        line(id="a"), line(id="b", ask="compare"), line(id="c", ask="validate"), line(FAULTY)
    )
    answers = ask(client, body)
    assert told(answers) == [(1, "a", 200), (2, "b", 200), (3, "c", 200), (4, "4", 422)]
    for path, answer in zip(("/estimate", "/compare", "/validate"), answers[:3], strict=True):
        assert answer["answer"] == client.post(path, json=GOOD).get_json()
        assert answer.keys() == {"line", "id", "status", "answer"}
    alone = client.post("/estimate", json=FAULTY, headers={"X-Request-Id": "one"}).get_json()
    assert answers[3]["problem"] | {"request_id": "one"} == alone
    assert ("#/job/quantities/0", "out_of_range") in errors(answers[3])


def test_the_answers_of_a_line_are_those_published(
    client: FlaskClient, conforms: Callable[[str, Any], None]
) -> None:
    response = send(client, batch(line(), line(GOOD, ask="compare"), line(FAULTY), b"{"))
    *answers, done = [json.loads(each) for each in response.data.splitlines()]
    for answer in answers:
        conforms("BatchAnswer", answer)
    conforms("BatchDone", done)
    conforms("Estimate", answers[0]["answer"])
    conforms("Problem", answers[3]["problem"])


WORDS = ("estimate", "compare", "validate")
SMALL = [
    json.loads((EXAMPLES / f"{name}.json").read_bytes()) | {"up_to": 5000}
    for name in ("letter_two_sided", "business_cards", "a6_flyer")
]
REQUESTS = st.one_of(
    st.sampled_from([*SMALL, FAULTY, {}, {"job": 1}, {"plant": "nowhere"}]),
    st.builds(
        lambda body, name, value: body | {name: value},
        st.sampled_from(SMALL),
        st.sampled_from(["detail", "plant", "up_to", "colour", "as_of", "presses"]),
        st.one_of(st.none(), st.text(max_size=3), st.integers(-1, 10), st.just("lines")),
    ),
)


@settings(max_examples=25)
@given(st.lists(st.tuples(st.sampled_from(WORDS), REQUESTS), max_size=5), st.sampled_from("\n\r"))
def test_a_batch_is_answered_as_its_lines_one_by_one(
    app: Flask, asked: list[tuple[str, Any]], end: str
) -> None:
    client, name = app.test_client(), {"X-Request-Id": "the-same"}
    between = b"\n" if end == "\n" else b"\r\n\r\n"
    body = between.join(line(request, ask=word) for word, request in asked)
    answers = ask(client, body, **name)
    assert len(answers) == len(asked)
    for answer, (word, request) in zip(answers, asked, strict=True):
        alone = client.post(f"/{word}", json=request, headers=name)
        assert answer["status"] == alone.status_code
        member = "answer" if alone.status_code == 200 else "problem"
        assert answer[member] == alone.get_json()


# ---------------------------------------------------------------- bad input


def test_line_ends_blank_lines_and_no_last_newline(client: FlaskClient) -> None:
    body = b"\n\r\n" + line(id="a") + b"\r\n  \t \n" + line() + b"\n\n" + line(id="c")
    assert told(ask(client, body)) == [(3, "a", 200), (5, "5", 200), (7, "c", 200)]


@pytest.mark.parametrize("body", [b"", b"\n", b"\r\n \n"])
def test_a_batch_of_nothing_is_done(client: FlaskClient, body: bytes) -> None:
    assert ask(client, body) == []


@pytest.mark.parametrize(
    ("bad", "said"),
    [
        (b'{"id": "x", "request": {', "at column 25."),
        (b"\xef\xbb\xbf" + line(id="x"), "The line starts with a byte order mark"),
        (b'{"id": "x\xff"}', "The line is not UTF-8: byte 10 "),
        (line(id="x").replace(b'"id"', b'"request": 1, "id"'), "'request' stands twice"),
        (b"[1]", "Expected one JSON object"),
        (b"null", "Expected one JSON object"),
        (b'{"id": NaN}', "NaN is not JSON"),
        (b'{"id": "\\ud800"}', "half a surrogate pair"),
        (b'{"request": ' + b"[" * 33 + b"]" * 33 + b"}", "deeper than 33"),
        (b'{"request": ' + b"[" * 90_000, "deeper than 33"),
        ("{}".encode("utf-16"), "UTF-16"),
    ],
)
def test_a_line_that_is_not_json_costs_itself_alone(
    client: FlaskClient, bad: bytes, said: str
) -> None:
    answers = ask(client, batch(line(id="a"), bad.replace(b"\n", b""), line(id="c")))
    assert told(answers) == [(1, "a", 200), (2, "2", 400), (3, "c", 200)]
    assert answers[1]["problem"]["type"] == "/problems/not_json"
    assert said in answers[1]["problem"]["detail"]


def test_a_request_may_nest_as_deep_as_in_a_body_of_its_own(client: FlaskClient) -> None:
    deep = json.loads("[" * 31 + "]" * 31)
    [answer] = ask(client, line({"job": deep}))
    alone = client.post("/estimate", json={"job": deep})
    assert answer["status"] == alone.status_code == 422
    assert client.post("/estimate", json={"job": [deep]}).status_code == 400
    assert ask(client, line({"job": [deep]}))[0]["status"] == 400


@pytest.mark.parametrize(
    ("bad", "known_as", "expected"),
    [
        ({"id": "x", "ask": "price"}, "x", [("#/ask", "unknown_value")]),
        ({"id": "x", "ask": 7}, "x", [("#/ask", "not_a_string")]),
        ({"id": ""}, "2", [("#/id", "wrong_length")]),
        ({"id": "x" * 201}, "2", [("#/id", "wrong_length")]),
        ({"id": 7}, "2", [("#/id", "not_a_string")]),
        ({"id": "x", "colour": 1}, "x", [("#/colour", "unknown_member")]),
        ({"id": "x", "request": None}, "x", [("#/request", "required")]),
        ({"id": "x", "request": [GOOD]}, "x", [("#/request", "not_an_object")]),
        ({"id": "a"}, "a", [("#/id", "same_id_twice")]),
        ({"id": "a", "request": {}}, "a", [("#/id", "same_id_twice"), ("#/job", "required")]),
    ],
)
def test_a_line_with_a_fault_costs_itself_alone(
    client: FlaskClient, bad: dict[str, Any], known_as: str, expected: list[tuple[str, str]]
) -> None:
    wrong = json.dumps({"request": GOOD} | bad).encode()
    answers = ask(client, batch(line(id="a"), wrong, line(id="c" * 200)))
    assert told(answers) == [(1, "a", 200), (2, known_as, 422), (3, "c" * 200, 200)]
    assert errors(answers[1]) == expected
    assert all(each["detail"] for each in answers[1]["problem"]["errors"])


def test_a_null_counts_as_absent(client: FlaskClient) -> None:
    assert told(ask(client, line(id=None, ask=None))) == [(1, "1", 200)]


def test_a_number_that_is_a_lines_id_already_is_not_another_ones(client: FlaskClient) -> None:
    answers = ask(client, batch(line(id="2"), line()))
    assert told(answers) == [(1, "2", 200), (2, "2", 422)]


def test_a_line_is_as_long_as_a_body_may_be_and_no_longer() -> None:
    client = create_app(Settings(max_body_bytes=60), clock=clock).test_client()
    most = b'{"request": {}, "id": "a"' + b" " * 34 + b"}"
    assert len(most) == 60
    body = b"\r\n".join([most, most + b" ", most[:-1] + b" " * 200_000 + b"}", b'{"id": "d"}'])
    answers = ask(client, body)
    assert told(answers) == [(1, "a", 422), (2, "2", 413), (3, "3", 413), (4, "d", 422)]
    assert "at most 60 bytes" in answers[1]["problem"]["detail"]
    assert told(ask(client, most + b" ")) == [(1, "1", 413)]


# ---------------------------------------------------------------- the batch as a whole


def type_of(response: Any) -> str:
    assert response.content_type == "application/problem+json", response.text
    return str(response.get_json()["type"]).removeprefix("/problems/")


@pytest.mark.parametrize("kind", ["application/json", "text/plain", NDJSON + "; charset=latin-1"])
def test_another_media_type_is_415_and_told_which(client: FlaskClient, kind: str) -> None:
    response = client.post("/batch", data=line(), content_type=kind)
    assert (response.status_code, type_of(response)) == (415, "unsupported_media_type")
    assert response.headers["Accept"] == NDJSON
    assert NDJSON in response.get_json()["detail"]


@pytest.mark.parametrize(
    ("accept", "status"), [("application/json", 406), ("*/*", 200), ("application/*", 200)]
)
def test_what_is_accepted(client: FlaskClient, accept: str, status: int) -> None:
    assert send(client, line(), Accept=accept).status_code == status


def test_other_parameters_are_refused(client: FlaskClient) -> None:
    for query, code in (("from=a", "unknown_parameter"), ("after=a&after=a", "parameter_twice")):
        response = send(client, line(id="a"), f"/batch?{query}")
        [error] = response.get_json()["errors"]
        assert (response.status_code, error["code"]) == (422, code)


@pytest.mark.parametrize("declared", [True, False])
def test_a_batch_is_read_up_to_its_own_limit(declared: bool) -> None:
    app = create_app(Settings(max_batch_bytes=30), clock=clock)

    def status(body: bytes) -> int:
        given: dict[str, Any] = {"method": "POST", "data": body, "content_type": NDJSON}
        environ = EnvironBuilder("/batch", **given).get_environ()
        if not declared:
            del environ["CONTENT_LENGTH"]
            environ["wsgi.input_terminated"] = True
        chunks, line, _ = run_wsgi_app(app, environ, buffered=True)
        b"".join(chunks)
        return int(line.split()[0])

    assert [status(b"{}" + b" " * n) for n in (0, 28, 29, 500_000)] == [200, 200, 413, 413]


def test_how_many_lines_there_may_be(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(batch_lines, "MOST_LINES", 3)
    for body in (b"{}\n{}\n{}", b"{}\n{}\n{}\n"):
        assert len(ask(client, body)) == 3
    for body in (b"{}\n{}\n{}\n{}", b"{}\n\n\n\n{}"):
        response = send(client, body)
        assert (response.status_code, type_of(response)) == (413, "body_too_large")
        assert "at most 3 lines" in response.get_json()["detail"]


def test_a_long_batch_lies_in_a_file_and_is_the_same(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    body = batch(*(line(id=str(number)) for number in range(5)))
    at_once = ask(client, body)
    monkeypatch.setattr(batch_lines, "IN_MEMORY_BYTES", 10)
    monkeypatch.setattr(batch_lines, "PIECE_BYTES", 7)
    assert ask(client, body) == at_once


# ---------------------------------------------------------------- after


def test_after_leaves_out_what_is_answered(client: FlaskClient) -> None:
    lines = [line(id="a"), b"", b"broken", line(id="a"), line(id="b"), line()]
    whole = ask(client, batch(*lines), **{"X-Request-Id": "one"})
    assert [each["id"] for each in whole] == ["a", "3", "a", "b", "6"]
    for last, left in (("a", 1), ("3", 2), ("b", 4), ("6", 5)):
        rest = ask(client, batch(*lines), f"/batch?after={last}", **{"X-Request-Id": "one"})
        assert rest == whole[left:], "the id of a line left out is still taken"


def test_what_is_left_out_is_not_priced(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(answering, "estimate", None)
    assert ask(client, batch(line(id="a"), line(id="b")), "/batch?after=b") == []


@pytest.mark.parametrize("after", ["", "c", "3", "%22"])
def test_an_unknown_last_line_is_told(client: FlaskClient, after: str) -> None:
    response = send(client, batch(line(id="a"), line(id="b")), f"/batch?after={after}")
    assert response.status_code == 422
    [error] = response.get_json()["errors"]
    assert (error["parameter"], error["code"]) == ("after", "unknown_line")


# ---------------------------------------------------------------- faults of ours, and watchers


def test_a_fault_of_ours_costs_its_line_and_is_logged(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    working = answering.estimate

    def fail(job: Any, *rest: Any, **more: Any) -> Any:
        if job.title == "bad":
            raise RuntimeError("secret of /srv/rates")
        return working(job, *rest, **more)

    monkeypatch.setattr(answering, "estimate", fail)
    bad = GOOD | {"job": GOOD["job"] | {"title": "bad"}}
    with caplog.at_level(logging.ERROR):
        answers = ask(
            client, batch(line(), line(bad, id="b"), line()), **{"X-Request-Id": "lost-1"}
        )
    assert told(answers) == [(1, "1", 200), (2, "b", 500), (3, "3", 200)]
    assert answers[1]["problem"]["type"] == "/problems/internal"
    assert answers[1]["problem"]["request_id"] == "lost-1"
    assert "secret" not in json.dumps(answers)
    assert "request lost-1 failed at line 2" in caplog.text
    assert "secret" in caplog.text


@pytest.fixture
def beats(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many answers were made before each beat."""
    found: list[int] = []
    monkeypatch.setattr(heartbeat, "_watchers", [lambda: found.append(len(found))])
    return found


def test_answers_come_as_they_are_worked_out(app: Flask, beats: list[int]) -> None:
    given = EnvironBuilder("/batch", method="POST", data=batch(*[line()] * 4), content_type=NDJSON)
    chunks, _, _ = run_wsgi_app(app, given.get_environ())
    for number in range(1, 5):
        assert json.loads(next(iter(chunks)))["line"] == number
        assert len(beats) == number
    chunks.close()


def test_whoever_hangs_up_ends_the_work_and_frees_the_file(
    app: Flask, beats: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    taken: list[Any] = []
    take_in = batch_lines.take_in
    monkeypatch.setattr(
        "sidelay.http.batch_routes.take_in",
        lambda *given: taken.append(take_in(*given)) or taken[-1],
    )
    given = EnvironBuilder("/batch", method="POST", data=batch(*[line()] * 9), content_type=NDJSON)
    chunks, _, _ = run_wsgi_app(app, given.get_environ())
    next(iter(chunks))
    chunks.close()
    assert (len(beats), taken[0].closed) == (1, True)
    before = run_wsgi_app(app, given.get_environ())[0]
    before.close()
    assert taken[1].closed


# ---------------------------------------------------------------- who asks, and how often


def test_a_line_that_needs_a_scope_is_refused_alone(tmp_path: Path) -> None:
    client = kept_app(tmp_path).test_client()
    costly = GOOD | {"detail": "lines"}
    body = batch(line(), line(costly), line())
    answers = ask(client, body, **{KEY_FIELD: SHOP_KEY})
    assert [each["status"] for each in answers] == [200, 403, 200]
    assert answers[1]["problem"]["type"] == "/problems/scope_missing"
    assert "scope cost" in answers[1]["problem"]["detail"]
    assert "cost" not in answers[0]["answer"]["estimates"][0]
    answers = ask(client, body, **{KEY_FIELD: OFFICE_KEY})
    assert [each["status"] for each in answers] == [200, 200, 200]
    assert "cost" in answers[0]["answer"]["estimates"][0]


def limited(tmp_path: Path, requests: int, now: Clock) -> FlaskClient:
    text = f'open = ["price"]\n[limits]\nrequests = {requests}\nwindow_s = 60\n{CLIENTS}'
    return kept_app(tmp_path, text, clock=now).test_client()


def test_each_line_counts_as_a_request(tmp_path: Path) -> None:
    client = limited(tmp_path, 5, Clock(HOUR + 18.5))
    response = send(client, batch(line(), b"{", line(FAULTY)))
    assert response.headers["RateLimit"] == '"client";r=4;t=42', "as the first line found it"
    assert len(response.data.splitlines()) == 4
    assert client.get("/plants").headers["RateLimit"] == '"client";r=1;t=42'


def test_lines_beyond_the_quota_are_told_when_to_come_again(
    tmp_path: Path, conforms: Callable[[str, Any], None]
) -> None:
    client = limited(tmp_path, 2, Clock(HOUR + 18.5))
    answers = ask(client, batch(*(line(id=name) for name in "abcd")))
    assert told(answers) == [(1, "a", 200), (2, "b", 200), (3, "c", 429), (4, "d", 429)]
    for answer in answers[2:]:
        conforms("BatchAnswer", answer)
        assert answer["retry_after_s"] == 42
        assert answer["problem"]["violated-policies"] == ["client"]
    refused = send(client, batch(line()))
    assert (refused.status_code, refused.headers["Retry-After"]) == (429, "42")


def test_what_is_left_out_does_not_count(tmp_path: Path) -> None:
    client = limited(tmp_path, 2, Clock(HOUR))
    body = batch(*(line(id=name) for name in "abcd"))
    assert [each["status"] for each in ask(client, body, "/batch?after=b")] == [200, 200]


def test_a_window_that_ends_on_the_way_lets_lines_in_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    now = Clock(HOUR + 58.0)
    client = limited(tmp_path, 2, now)

    def tick() -> None:
        now.now += 0.5

    monkeypatch.setattr(heartbeat, "_watchers", [tick])
    answers = ask(client, batch(*[line(GOOD, ask="validate")] * 8))
    assert [each["status"] for each in answers] == [200, 200, 429, 200, 200, 429, 429, 429]


def test_refusals_in_a_row_ask_the_count_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    counted: list[str] = []

    class Counting:
        def count(self, who: str, window_s: int, window: int) -> int:
            counted.append(who)
            return len(counted)

    monkeypatch.setattr("sidelay.http.app.counts_of", lambda url: Counting())
    text = "open = []\n[limits]\nrequests = 2\n" + client("shop", "price", SHOP_KEY)
    asking = kept_app(tmp_path, text, clock=Clock(HOUR)).test_client()
    answers = ask(asking, batch(*[line()] * 50), **{KEY_FIELD: SHOP_KEY})
    assert [each["status"] for each in answers] == [200] * 2 + [429] * 48
    assert counted == ["client:shop"] * 3


def test_lines_are_counted_by_ask_and_status(client: FlaskClient) -> None:
    def counted() -> dict[str, float]:
        text = client.get("/metrics").text
        found = re.findall(r"^sidelay_batch_lines_total(\{.*\}) (.*)$", text, re.MULTILINE)
        return {labels: float(count) for labels, count in found}

    before = counted()
    ask(client, batch(line(), line(ask="compare"), line({}), line(ask="nothing"), b"{"))
    now = counted()
    added = {labels: now[labels] - before.get(labels, 0) for labels in now}
    assert {labels: count for labels, count in added.items() if count} == {
        '{ask="estimate",status="200"}': 1,
        '{ask="compare",status="200"}': 1,
        '{ask="estimate",status="422"}': 1,
        '{ask="none",status="422"}': 1,
        '{ask="none",status="400"}': 1,
    }
