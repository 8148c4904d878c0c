"""How far a batch has come, as a terminal and as a log show it."""

from __future__ import annotations

import io

import pytest

from sidelay.batch_progress import Progress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


class Moments:
    def __init__(self) -> None:
        self.now_s = 100.0

    def __call__(self) -> float:
        return self.now_s


def test_a_log_gets_a_line_now_and_then() -> None:
    moments, stream = Moments(), io.StringIO()
    progress = Progress(stream, 1000, 500, moments)
    for number in range(100):
        moments.now_s += 0.25
        progress.add(failed=number % 50 == 49)
    progress.end()
    assert stream.getvalue().splitlines() == [
        "540/1,000  54%  4.0/s  ETA 1:55  0 failed",
        "580/1,000  58%  4.0/s  ETA 1:45  1 failed",
    ]


def test_a_terminal_gets_a_bar_in_place(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    moments, stream = Moments(), Terminal()
    progress = Progress(stream, 4, 0, moments)
    for _ in range(4):
        moments.now_s += 1
        progress.add(failed=False)
    progress.end()
    shown = stream.getvalue()
    bars = shown.replace("\n", "").split("\r\x1b[K")
    assert bars[0].startswith("[########----------------------]  1/4  25%  1.0/s  ETA 0:03")
    assert bars[-1] == "[##############################]  4/4  100%  1.0/s  0 failed"[:59]
    assert all(len(bar) <= 59 for bar in bars)
    assert shown.endswith("\n")


def test_a_bar_is_not_drawn_for_every_line() -> None:
    moments, stream = Moments(), Terminal()
    progress = Progress(stream, 10_000, 0, moments)
    for _ in range(10_000):
        moments.now_s += 0.001
        progress.add(failed=False)
    assert 90 <= stream.getvalue().count("[") - stream.getvalue().count("\x1b[") <= 101


def test_a_note_takes_the_place_of_the_bar() -> None:
    moments, stream = Moments(), Terminal()
    progress = Progress(stream, 2, 0, moments)
    moments.now_s += 1
    progress.add(failed=True)
    progress.note("The service is busy.")
    assert stream.getvalue().endswith("1 failed\r\x1b[KThe service is busy.\n")


@pytest.mark.parametrize(("left", "told"), [(59, "0:59"), (60, "1:00"), (3_600, "1:00:00")])
def test_times_are_told_as_clocks_do(left: int, told: str) -> None:
    moments = Moments()
    progress = Progress(io.StringIO(), left + 1, 0, moments)
    moments.now_s += 1
    progress.add(failed=False)
    assert progress.text() == f"1/{left + 1:,}  {1 / (left + 1):.0%}  1.0/s  ETA {told}  0 failed"


def test_nothing_to_do_is_all_done() -> None:
    assert Progress(io.StringIO(), 0, 0, Moments()).text() == "0/0  100%  0.0/s  0 failed"
