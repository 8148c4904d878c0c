"""`sidelay batch` against a scripted client: what is sent when, what is waited for, how it ends."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from sidelay import batch_command, cli
from sidelay.client import ProblemError, Unreachable

OK = 200
NOTHING_ANSWERS = Unreachable("No service answers at http://127.0.0.1:8000, or no longer.")

# What the service does with one batch: gets ids, yields a status each, or raises.
Turn = Callable[[list[str]], Iterator[int]]


class Scripted:
    """Stands in for the client: takes its turns one after the other, the last one for ever."""

    turns: list[Turn]
    sent: list[list[str]]
    given: tuple[Any, ...]

    def __init__(self, *given: Any) -> None:
        Scripted.given = given

    def __enter__(self) -> Scripted:
        return self

    def __exit__(self, *_: object) -> None:
        pass

    def batch(self, lines: list[bytes], *, timeout_s: float) -> Iterator[dict[str, Any]]:
        ids = [json.loads(line).get("id", "") for line in lines]
        self.sent.append(ids)
        turn = self.turns.pop(0) if len(self.turns) > 1 else self.turns[0]
        for number, status in enumerate(turn(ids), 1):
            told = {"line": number, "id": "?", "status": status}
            if status == 429:
                yield told | {"retry_after_s": 42, "problem": {"detail": "too often"}}
            elif status == OK:
                yield told | {"answer": {"of": ids[number - 1]}}
            else:
                fault = {"pointer": "#/job", "code": "required", "detail": "This must be given."}
                yield told | {"problem": {"detail": "1 fault found.", "errors": [fault]}}


def all_well(ids: list[str]) -> Iterator[int]:
    return iter([OK] * len(ids))


def statuses(*told: int) -> Turn:
    return lambda ids: iter(told)


def breaking(after: int, fault: Exception = NOTHING_ANSWERS) -> Turn:
    def turn(ids: list[str]) -> Iterator[int]:
        yield from [OK] * after
        raise fault

    return turn


@pytest.fixture
def waits(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The seconds that were waited."""
    found: list[float] = []
    monkeypatch.setattr(batch_command, "Client", Scripted)
    monkeypatch.setattr(batch_command._Run.__init__, "__defaults__", (found.append,))
    Scripted.turns, Scripted.sent = [all_well], []
    return found


@pytest.fixture
def out(tmp_path: Path) -> Path:
    return tmp_path / "answers.ndjson"


@pytest.fixture
def send(tmp_path: Path, out: Path, waits: list[float]) -> Callable[..., int]:
    """Return a function that runs the command on lines of some ids, and returns its status."""

    def run(names: str, *options: str) -> int:
        file = tmp_path / "jobs.ndjson"
        file.write_text("".join(json.dumps({"id": name, "request": {}}) + "\n" for name in names))
        return cli.main(["batch", str(file), "--out", str(out), *options])

    return run


def told(out: Path) -> str:
    """The answers in the file: ids, those that are no answer with their status."""
    answers = [json.loads(line) for line in out.read_bytes().splitlines()]
    return " ".join(
        each["id"] + ("" if each["status"] == OK else str(each["status"])) for each in answers
    )


def test_all_is_answered(send, out, capsys) -> None:
    assert send("abc") == 0
    assert told(out) == "a b c"
    assert [json.loads(line)["line"] for line in out.read_bytes().splitlines()] == [1, 2, 3]
    assert capsys.readouterr().out == "3 lines: 3 answered, 0 refused, 0 failed.\n"


def test_what_is_refused_is_told_and_sent_again_the_next_time(send, out, capsys) -> None:
    Scripted.turns = [statuses(OK, 422, 500), all_well]
    assert send("abc") == 1
    assert told(out) == "a b422 c500"
    shown = capsys.readouterr().out.splitlines()
    assert shown[0] == "3 lines: 1 answered, 1 refused, 1 failed."
    assert shown[4].split(maxsplit=3) == ["2", "b", "422", "#/job: This must be given."]
    assert send("abc") == 0
    assert Scripted.sent == [["a", "b", "c"], ["b", "c"]]
    assert told(out) == "a b c"
    assert send("abc") == 0
    assert len(Scripted.sent) == 2, "nothing is left to send"


def test_many_failures_are_told_in_part(send, out, capsys) -> None:
    Scripted.turns = [lambda ids: iter([422] * len(ids))]
    assert send("abcdefghijklmnopqrstuvwxyz") == 1
    shown = capsys.readouterr().out.splitlines()
    assert len(shown) == 1 + 1 + 2 + 20 + 1
    assert shown[-1] == f"and 6 more in {out}"


def test_lines_are_sent_some_at_a_time(send, monkeypatch) -> None:
    monkeypatch.setattr(batch_command, "MOST_LINES", 2)
    assert send("abcde") == 0
    assert Scripted.sent == [["a", "b"], ["c", "d"], ["e"]]


def test_lines_are_sent_some_bytes_at_a_time_and_one_at_least(send, monkeypatch) -> None:
    monkeypatch.setattr(batch_command, "MOST_BYTES", 60)  # one line has 27
    assert send("abcde") == 0
    assert Scripted.sent == [["a", "b"], ["c", "d"], ["e"]]
    monkeypatch.setattr(batch_command, "MOST_BYTES", 1)
    assert send("ABC") == 0
    assert Scripted.sent[3:] == [["A"], ["B"], ["C"]]


def test_a_service_that_takes_less_is_sent_less(send) -> None:
    Scripted.turns = [breaking(0, ProblemError(413, "The body is too large"))] * 2 + [all_well]
    assert send("abcde") == 0
    assert Scripted.sent[2:] == [["a"], ["b"], ["c"], ["d"], ["e"]]


def test_busy_is_waited_for_as_long_as_told(send, out, waits, capsys) -> None:
    Scripted.turns = [statuses(OK, 429, 429), statuses(OK, 429), statuses(503), all_well]
    assert send("abc", "--retry", "2") == 0
    assert Scripted.sent == [["a", "b", "c"], ["b", "c"], ["c"], ["c"]]
    assert waits == [42, 42, 1]
    assert told(out) == "a b c"
    assert "The service is busy: 2 lines are sent again in 42 s." in capsys.readouterr().err


def test_busy_too_often_in_a_row_is_the_answer(send, out, waits) -> None:
    Scripted.turns = [statuses(OK, 429), lambda ids: iter([429] * len(ids))]
    assert send("ab", "--retry", "3") == 1
    assert (waits, told(out)) == ([42, 42, 42], "a b429")
    waits.clear()
    assert send("ab", "--retry", "0") == 1
    assert waits == []


def test_nobody_waits_for_a_day(send, waits, monkeypatch) -> None:
    monkeypatch.setattr(batch_command, "LONGEST_WAIT_S", 41)
    Scripted.turns = [statuses(OK, 429)]
    assert send("ab") == 1
    assert waits == []


def test_a_batch_that_is_refused_as_a_whole_ends_it(send, out, capsys) -> None:
    Scripted.turns = [breaking(1, ProblemError(401, "A key is needed", "Send it."))]
    assert send("ab") == 1
    shown = capsys.readouterr()
    assert "A key is needed. Send it." in shown.err
    assert shown.out == "2 lines: 1 answered, 0 refused, 0 failed, 1 not asked.\n"
    assert told(out) == "a"


def test_a_batch_that_is_refused_for_a_while_is_waited_for(send, waits) -> None:
    Scripted.turns = [breaking(0, ProblemError(503, "Busy"))] * 2 + [all_well]
    assert send("ab") == 0
    assert waits == [1, 1]
    Scripted.turns = [breaking(0, ProblemError(429, "Too many"))]
    assert send("cd", "--retry", "1") == 1


def test_nothing_that_answers_is_told_at_once(send, out, waits, capsys) -> None:
    Scripted.turns = [breaking(0)]
    assert send("ab") == 3
    assert waits == []
    assert "or no longer. Line 1 (a) would be next." in capsys.readouterr().err
    assert told(out) == ""


@pytest.mark.parametrize("fault", [NOTHING_ANSWERS, ProblemError(502, "Bad Gateway")])
def test_a_connection_that_breaks_is_made_again(send, out, waits, fault) -> None:
    Scripted.turns = [breaking(2, fault), breaking(0, fault), breaking(1, fault), all_well]
    assert send("abcde") == 0
    assert Scripted.sent == [list("abcde"), list("cde"), list("cde"), list("de")]
    assert waits == [0.5, 1.0, 0.5]
    assert told(out) == "a b c d e"


def test_a_connection_that_breaks_again_and_again_ends_it(send, out, waits, capsys) -> None:
    Scripted.turns = [breaking(1), breaking(0)]
    assert send("ab") == 3
    assert waits == [0.5, 1.0, 2.0, 4.0, 8.0]
    assert told(out) == "a"
    assert "Line 2 (b) would be next." in capsys.readouterr().err


def test_what_answers_otherwise_is_not_believed(send, monkeypatch) -> None:
    monkeypatch.setattr(Scripted, "batch", lambda *_, **__: iter([{"line": 7, "status": 200}]))
    assert send("ab") == 3


def test_answers_that_are_missing_are_asked_for_again_and_not_for_ever(send, out, waits) -> None:
    Scripted.turns = [statuses(OK), statuses(OK), statuses()]
    assert send("abc") == 3
    assert Scripted.sent[:3] == [["a", "b", "c"], ["b", "c"], ["c"]]
    assert (len(waits), told(out)) == (6, "a b")


def test_an_id_that_stands_twice_is_refused_here(send, out) -> None:
    assert send("aba") == 1
    assert Scripted.sent == [["a", "b"]]
    assert told(out) == "a b a422"
    assert send("aba") == 1
    assert (len(Scripted.sent), told(out)) == (1, "a b a422")


def test_answers_to_lines_that_are_gone_are_kept_and_told(send, out, capsys) -> None:
    assert send("abc") == 0
    assert send("c") == 0
    assert told(out) == "c a b"
    shown = capsys.readouterr().out
    assert f"{out} also holds answers to lines that are no longer sent: 2." in shown


def test_refusals_of_lines_that_are_gone_are_not_kept(send, out, capsys) -> None:
    Scripted.turns = [statuses(422, OK), all_well]
    assert send("ab") == 1
    assert send("Ab") == 0
    assert told(out) == "A b"
    assert "no longer sent" not in capsys.readouterr().out


def test_answers_are_never_written_over_what_is_sent(send, tmp_path, capsys) -> None:
    file = tmp_path / "jobs.ndjson"
    assert send("ab") == 0
    before = file.read_bytes()
    assert cli.main(["batch", str(file), "--out", str(file)]) == 2
    assert "is what is sent" in capsys.readouterr().err
    assert file.read_bytes() == before


@pytest.mark.parametrize("name", ["none.ndjson", "a\0b"])
def test_a_file_that_cannot_be_read(name, out, waits, capsys) -> None:
    assert cli.main(["batch", name, "--out", str(out)]) == 2
    assert "cannot be" in capsys.readouterr().err
    assert not out.exists()


def test_an_empty_file_is_done(send, out) -> None:
    assert send("") == 0
    assert (Scripted.sent, out.read_bytes()) == ([], b"")


def test_the_key_and_the_options_reach_the_client(send, monkeypatch) -> None:
    monkeypatch.setenv(cli.KEY_VARIABLE, "k" * 40)
    assert send("a", "--url", "http://127.0.0.1:9", "--timeout", "7") == 0
    assert Scripted.given == ("http://127.0.0.1:9", 7, "k" * 40)


@pytest.mark.parametrize("options", [["--retry", "-1"], ["--timeout", "0"], ["--retry", "x"]])
def test_odd_options_are_usage(send, options) -> None:
    with pytest.raises(SystemExit) as ended:
        send("a", *options)
    assert ended.value.code == 2


def test_none_of_the_pricing_is_loaded() -> None:
    told = subprocess.run(
        [sys.executable, "-c", "import sys, sidelay.cli; print('numpy' in sys.modules)"],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    assert told.stdout == "False\n"
