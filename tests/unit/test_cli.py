"""The command line without a service: arguments, files, exit codes, and what is printed."""

from __future__ import annotations

import gc
import json
import os
import socket
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from sidelay import cli, heartbeat, serving
from sidelay.client import ProblemError, Retries, Unreachable
from sidelay.config import PACKAGED_PLANTS
from sidelay.http.shown import PARAMETERS

WORDS = [word for parameter in PARAMETERS.values() for word in parameter.words]


class FakeClient:
    """Stands in for the client: `answer` is returned, or raised when it is an exception."""

    answer: Any = None
    asked: tuple[Any, ...] = ()

    key = ""

    def __init__(self, url: str, timeout_s: float, key: str, *, retries: Retries) -> None:
        assert retries.most == 0
        FakeClient.asked, FakeClient.key = (url, timeout_s), key

    def __enter__(self) -> FakeClient:
        return self

    def __exit__(self, *_: object) -> None:
        pass

    def compare(self, body: bytes) -> Any:
        FakeClient.asked += ("compare", body)
        if isinstance(FakeClient.answer, BaseException):
            raise FakeClient.answer
        return FakeClient.answer

    def estimate(self, body: bytes) -> Any:
        return self.compare(body)

    def chart(self, body: bytes, **parameters: str) -> Any:
        FakeClient.asked += (parameters,)
        return self.compare(body)

    csv = chart


@pytest.fixture(autouse=True)
def _fake(monkeypatch) -> None:
    monkeypatch.setattr(cli, "Client", FakeClient)
    FakeClient.answer, FakeClient.asked = None, ()


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "job.json"
    path.write_bytes(b'{"job": 1, "job": 2}')
    return str(path)


EMPTY = {
    "title": "",
    "plant": {"id": "demo", "name": "Works", "currency": "EUR"},
    "quantities": [{"quantity": 5, "choices": []}],
    "binding": None,
    "findings": [],
    "bands": [],
    "crossovers": [],
    "excluded": [],
    "unavailable": [],
    "cautions": [],
}


def test_the_file_is_sent_as_it_is(file, capsys):
    FakeClient.answer = EMPTY
    assert cli.main(["compare", file, "--url", "http://there:1", "--timeout", "7"]) == 0
    assert FakeClient.asked == ("http://there:1", 7, "compare", b'{"job": 1, "job": 2}')
    assert "No press of this plant can print this job." in capsys.readouterr().out


def test_a_trace_is_asked_for_whatever_the_file_says(tmp_path, capsys):
    path = tmp_path / "job.json"
    path.write_text('{"job": {"title": "Gr\u00f6\u00dfe"}, "detail": "price"}', encoding="utf-8")
    FakeClient.answer = EMPTY | {"estimates": []}
    assert cli.main(["estimate", str(path), "--trace"]) == 0
    asked = json.loads(FakeClient.asked[-1])
    assert asked == {"job": {"title": "Gr\u00f6\u00dfe"}, "detail": "trace"}
    assert "There is no offer to follow" in capsys.readouterr().out


AS_OF, DUE = "2026-11-24T09:00:00Z", "2026-12-01T12:00:00+00:00"
FLYER = {"job": {"title": "flyer", "due_at": "2026-11-30T12:00:00Z"}, "overtime": False}


@pytest.mark.parametrize("command", ["estimate", "compare"])
@pytest.mark.parametrize(
    ("options", "members", "of_job"),
    [
        (["--as-of", AS_OF], {"as_of": AS_OF}, {}),
        (["--due", DUE], {}, {"due_at": DUE}),
        (["--overtime"], {"overtime": True}, {}),
        (
            ["--as-of=", "--due=soon", "--overtime"],
            {"as_of": "", "overtime": True},
            {"due_at": "soon"},
        ),
    ],
)
def test_options_about_time_are_members_whatever_the_file_says(
    tmp_path, command, options, members, of_job
):
    path = tmp_path / "job.json"
    path.write_text(json.dumps(FLYER))
    FakeClient.answer = EMPTY | {"estimates": []}
    assert cli.main([command, str(path), *options]) == 0
    job = FLYER["job"] | of_job
    assert json.loads(FakeClient.asked[-1]) == FLYER | members | {"job": job}


def test_a_trace_may_be_asked_for_at_a_time(tmp_path):
    path = tmp_path / "job.json"
    path.write_text('{"job": {}}')
    FakeClient.answer = EMPTY | {"estimates": []}
    assert cli.main(["estimate", str(path), "--trace", "--as-of", AS_OF, "--due", DUE]) == 0
    asked = json.loads(FakeClient.asked[-1])
    assert asked == {"job": {"due_at": DUE}, "detail": "trace", "as_of": AS_OF}


def test_pictures_and_tables_are_of_that_time_too(tmp_path):
    path = tmp_path / "job.json"
    path.write_text('{"job": {}}')
    FakeClient.answer = b"a,b\r\n"
    assert cli.main(["compare", str(path), "--csv", "choices", "--due", DUE]) == 0
    assert json.loads(FakeClient.asked[-1]) == {"job": {"due_at": DUE}}


@pytest.mark.parametrize("body", [{"job": 5}, {"job": [DUE]}, {}])
def test_a_due_date_for_what_is_no_job_is_left_out(tmp_path, body):
    path = tmp_path / "job.json"
    path.write_text(json.dumps(body))
    FakeClient.answer = EMPTY | {"estimates": []}
    assert cli.main(["estimate", str(path), "--due", DUE, "--overtime"]) == 0
    assert json.loads(FakeClient.asked[-1]) == body | {"overtime": True}


@pytest.mark.parametrize("body", [b'{"job": 1, "job": 2}', b"[1]", b"\xff", b"{", b"[" * 99_999])
def test_what_is_no_plain_request_is_sent_as_it_is_with_a_trace_too(tmp_path, body):
    path = tmp_path / "job.json"
    path.write_bytes(body)
    FakeClient.answer = EMPTY | {"estimates": []}
    assert cli.main(["estimate", str(path), "--trace"]) == 0
    assert FakeClient.asked[-1] == body
    assert cli.main(["estimate", str(path), "--due", DUE, "--as-of", AS_OF]) == 0
    assert FakeClient.asked[-1] == body


def test_json_prints_the_answer_and_nothing_else(file, capsys):
    FakeClient.answer = EMPTY | {"title": "Größe"}
    assert cli.main(["compare", file, "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == FakeClient.answer


@pytest.mark.parametrize(
    ("options", "parameters"),
    [
        (["--chart", "money"], {"chart": "money"}),
        (
            ["--chart", "money", "--measure", "price", "--quantity", "500"],
            {"chart": "money", "measure": "price", "quantity": "500"},
        ),
        (["--csv", "curves"], {"table": "curves"}),
    ],
)
def test_pictures_and_tables_are_written_as_they_came(file, capfdbinary, options, parameters):
    FakeClient.answer = b"a,b\r\n\xc3\xa9,1\r\n"
    assert cli.main(["compare", file, *options]) == 0
    assert capfdbinary.readouterr().out == b"a,b\r\n\xc3\xa9,1\r\n"
    assert FakeClient.asked[2] == parameters


def test_a_refused_picture_is_told_like_any_request(file, capsys):
    fault = {"pointer": "#", "parameter": "chart", "detail": "Expected one of money."}
    FakeClient.answer = ProblemError(422, "Cannot be met", "1 fault found.", [fault])
    assert cli.main(["compare", file, "--chart", "pie"]) == 1
    told = "Cannot be met. 1 fault found.\n?chart: Expected one of money.\n"
    assert capsys.readouterr() == ("", told)


def test_a_refused_request_is_one_line_a_fault(file, capsys):
    faults = [{"pointer": "#/job", "detail": "Missing."}, {"pointer": "#/x", "detail": "Unknown."}]
    FakeClient.answer = ProblemError(422, "Cannot be met", "2 faults found.", faults)
    assert cli.main(["estimate", file]) == 1
    assert capsys.readouterr() == (
        "",
        "Cannot be met. 2 faults found.\n#/job: Missing.\n#/x: Unknown.\n",
    )


def test_no_service_is_status_3(file, capsys):
    FakeClient.answer = Unreachable("No service answers at http://x.")
    assert cli.main(["compare", file]) == 3
    assert capsys.readouterr() == ("", "No service answers at http://x.\n")


@pytest.mark.parametrize("answer", [{"hello": 1}, {"quantities": 3}, EMPTY | {"plant": None}])
def test_an_answer_of_another_shape_is_told_without_a_traceback(file, capsys, answer):
    FakeClient.answer = answer
    assert cli.main(["compare", file]) == 3
    out, err = capsys.readouterr()
    assert out == ""
    assert err == "This release cannot read the answer; see it with --json.\n"


@pytest.mark.parametrize("name", ["missing.json", ".", "a\0b"])
def test_a_file_that_cannot_be_read_is_one_line(tmp_path, monkeypatch, capsys, name):
    monkeypatch.chdir(tmp_path)
    assert cli.main(["compare", name]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert "cannot be" in err
    assert FakeClient.asked == ()


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["print"],
        ["compare"],
        ["compare", "a", "b"],
        ["compare", "a", "--timeout", "0"],
        ["compare", "a", "--timeout", "99999999999999"],
        ["serve", "--port", "0"],
        ["serve", "--port", "65536"],
        ["serve", "--port", "8e3"],
        ["serve", "--port", "٣"],
        ["serve", "--workers", "-1"],
        ["serve", "--bind", "0.0.0.0"],
        ["serve", "x"],
        ["compare", "a", "--chart", "money", "--csv", "bands"],
        ["compare", "a", "--chart", "money", "--json"],
        ["compare", "a", "--measure", "price"],
        ["compare", "a", "--csv", "bands", "--quantity", "5"],
        ["compare", "a", "--chart"],
        ["estimate", "a", "--chart", "money"],
        ["estimate", "a", "--due"],
        ["compare", "a", "--as-of"],
        ["compare", "a", "--overtime", "yes"],
    ],
)
def test_wrong_usage_is_status_2(arguments, capsys):
    with pytest.raises(SystemExit) as stopped:
        cli.main(arguments)
    assert stopped.value.code == 2
    assert capsys.readouterr().err.startswith("usage: sidelay")


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        (["--help"], ["serve", "estimate", "compare", "--version"]),
        (["serve", "--help"], ["--port", "--workers", "8000"]),
        (["compare", "--help"], ["FILE", "--json", "--url", "--timeout", "--chart", "--csv"]),
        (["compare", "--help"], WORDS),
        (["compare", "--help"], ["--due", "--as-of", "--overtime"]),
        (["estimate", "--help"], ["--due", "--as-of", "--overtime"]),
    ],
)
def test_help_names_every_option(arguments, named, capsys):
    with pytest.raises(SystemExit) as stopped:
        cli.main(arguments)
    assert stopped.value.code == 0
    out = capsys.readouterr().out
    assert [name for name in named if name not in out] == []


def test_the_key_comes_from_the_environment(file, monkeypatch):
    FakeClient.answer = ProblemError(401, "A key is needed")
    for key in ("", "the key of this back office"):
        monkeypatch.setenv("SIDELAY_API_KEY", key)
        assert cli.main(["compare", file]) == 1
        assert FakeClient.key == key


def test_ctrl_c_ends_quietly(file, capsys):
    FakeClient.answer = KeyboardInterrupt()
    assert cli.main(["compare", file]) == 130
    assert capsys.readouterr() == ("", "")


def test_serve_becomes_gunicorn(monkeypatch):
    became = []
    monkeypatch.setattr(os, "execve", lambda *call: became.append(call))
    monkeypatch.setattr(serving, "check_port", lambda port: None)
    assert cli.main(["serve", "--port", "8123", "--workers", "3"]) == 0
    (path, arguments, environment) = became[0]
    assert path == sys.executable
    assert arguments[1:3] == ["-m", "gunicorn"]
    assert arguments[-5:] == ["--bind", "127.0.0.1:8123", "--workers", "3", "sidelay.http.wsgi:app"]
    folder = Path(environment.pop("PROMETHEUS_MULTIPROC_DIR"))
    assert environment == {**os.environ, "PYTHONSAFEPATH": "1"}
    assert list(folder.iterdir()) == []
    monkeypatch.setenv("PROMETHEUS_MULTIPROC_DIR", str(folder))
    serving.remove_counts(os.getpid() + 1)  # a worker that ends leaves it
    assert folder.exists()
    serving.remove_counts(os.getpid())
    assert not folder.exists()


def test_a_folder_of_counts_that_was_given_stays(monkeypatch, tmp_path):
    became = []
    monkeypatch.setattr(os, "execve", lambda *call: became.append(call))
    monkeypatch.setattr(serving, "check_port", lambda port: None)
    monkeypatch.setenv("PROMETHEUS_MULTIPROC_DIR", str(tmp_path))
    serving.serve(8123, 2)
    assert became[0][2]["PROMETHEUS_MULTIPROC_DIR"] == str(tmp_path)
    serving.remove_counts(os.getpid())
    assert tmp_path.exists()


def test_a_taken_port_is_one_line(capsys):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert cli.main(["serve", "--port", str(port)]) == 1
    told = f"Port {port} is taken on 127.0.0.1; choose another.\n"
    assert capsys.readouterr() == ("", told)


@pytest.mark.parametrize(("cores", "workers"), [(1, 2), (2, 2), (5, 5), (64, 8)])
def test_there_is_one_worker_a_core_within_limits(monkeypatch, cores, workers):
    monkeypatch.setattr(os, "sched_getaffinity", lambda pid: set(range(cores)), raising=False)
    assert serving.default_workers() == workers


def test_a_worker_looks_through_what_it_keeps_less_often_and_can_say_that_it_works(monkeypatch):
    before = gc.get_threshold()
    monkeypatch.setattr("sidelay.heartbeat._watchers", [])
    heartbeat.beat()  # nobody watches
    told = []
    try:
        serving.post_fork(None, SimpleNamespace(notify=lambda: told.append(1)))
        heartbeat.beat()
        heartbeat.beat()
        assert told == [1, 1]
        assert gc.get_threshold()[0] > 10 * before[0]
        assert gc.get_freeze_count() > 0
    finally:
        gc.set_threshold(*before)
        gc.unfreeze()


def test_whoever_only_asks_a_service_loads_none_of_the_pricing() -> None:
    code = "import sys, sidelay.cli; print([m for m in ('numpy', 'flask') if m in sys.modules])"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"


def test_plant_check_tells_faults_and_good_order(tmp_path: Path, capsys) -> None:
    assert cli.main(["plant", "check", str(PACKAGED_PLANTS)]) == 0
    assert "no fault" in capsys.readouterr().out
    broken = tmp_path / "broken.toml"
    broken.write_text("[plant\n")
    assert cli.main(["plant", "check", str(broken)]) == 1
    assert "broken.toml:1: not TOML" in capsys.readouterr().err
