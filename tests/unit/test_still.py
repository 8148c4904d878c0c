"""Files are read only when nobody is writing them."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from sidelay.http.still import PATIENCE_S, Clocks, Restless, read_when_still

WALL = 1_795_510_800.0


@dataclass
class Time:
    """Clocks that pass only when they are slept on; what is planned happens on the way."""

    passed_s: float = 0.0
    plan: list[tuple[float, Callable[[], None]]] = field(default_factory=list)

    def sleep(self, seconds: float) -> None:
        self.passed_s += seconds
        while self.plan and self.plan[0][0] <= self.passed_s:
            self.plan.pop(0)[1]()

    @property
    def clocks(self) -> Clocks:
        return Clocks(lambda: WALL + self.passed_s, lambda: self.passed_s, self.sleep)


@pytest.fixture
def at() -> Time:
    return Time()


def written(file: Path, text: str, age_s: float) -> None:
    """Write a file as if so long before the clocks began."""
    file.write_text(text)
    os.utime(file, (WALL - age_s, WALL - age_s))


def reading(file: Path, at: Time, still_s: float = 1.0) -> str:
    return read_when_still(lambda: [file], file.read_text, still_s, at.clocks)


def test_an_old_file_is_read_at_once(tmp_path: Path, at: Time) -> None:
    written(tmp_path / "a", "whole", 5)
    assert reading(tmp_path / "a", at) == "whole"
    assert at.passed_s == 0


def test_a_young_file_is_waited_for(tmp_path: Path, at: Time) -> None:
    written(tmp_path / "a", "whole", 0.25)
    assert reading(tmp_path / "a", at) == "whole"
    assert at.passed_s == pytest.approx(0.75, abs=0.06)


def test_a_file_that_grows_is_waited_for_until_it_does_no_more(tmp_path: Path, at: Time) -> None:
    file = tmp_path / "a"
    written(file, "1", 0)
    steps = ((0.5, "11"), (1.25, "111"), (2.0, "1111"))
    at.plan = [(s, lambda s=s, text=text: written(file, text, -s)) for s, text in steps]
    assert reading(file, at) == "1111"
    assert at.passed_s == pytest.approx(3.0, abs=0.06)


def test_one_that_never_rests_is_told_by_its_name(tmp_path: Path, at: Time) -> None:
    file = tmp_path / "a"
    written(file, "", 0)
    at.plan = [(n / 2, lambda n=n: written(file, "1" * n, -n / 2)) for n in range(1, 40)]
    with pytest.raises(Restless) as caught:
        reading(file, at)
    assert caught.value.files == (file,)
    assert at.passed_s == pytest.approx(PATIENCE_S, abs=0.1)


def test_what_changes_while_it_is_read_is_read_again(tmp_path: Path, at: Time) -> None:
    file, seen = tmp_path / "a", []
    written(file, "first", 60)

    def read() -> str:
        seen.append(file.read_text())
        if len(seen) == 1:
            written(file, "second", 30)
        return seen[-1]

    assert read_when_still(lambda: [file], read, 1.0, at.clocks) == "second"
    assert seen == ["first", "second"]


def test_a_fault_of_a_file_that_changed_meanwhile_is_none(tmp_path: Path, at: Time) -> None:
    file = tmp_path / "a"
    written(file, "half", 60)

    def read() -> str:
        if file.read_text() == "half":
            written(file, "whole", 30)
            raise ValueError("half a file")
        return file.read_text()

    assert read_when_still(lambda: [file], read, 1.0, at.clocks) == "whole"


def test_a_fault_of_a_file_that_is_still_is_told(tmp_path: Path, at: Time) -> None:
    written(tmp_path / "a", "half", 60)
    with pytest.raises(ValueError, match="invalid literal"):
        read_when_still(
            lambda: [tmp_path / "a"], lambda: int((tmp_path / "a").read_text()), 1.0, at.clocks
        )


def test_a_file_from_the_future_is_seen_to_be_still(tmp_path: Path, at: Time) -> None:
    written(tmp_path / "a", "whole", -3600)
    assert reading(tmp_path / "a", at) == "whole"
    assert at.passed_s == pytest.approx(1.0, abs=0.06)


def test_a_folder_is_still_when_nothing_was_put_into_it(tmp_path: Path, at: Time) -> None:
    written(tmp_path / "a", "old", 60)
    os.utime(tmp_path, (WALL - 0.5, WALL - 0.5))
    files = lambda: [tmp_path, *tmp_path.glob("*")]  # noqa: E731
    assert read_when_still(files, (tmp_path / "a").read_text, 1.0, at.clocks) == "old"
    assert at.passed_s == pytest.approx(0.5, abs=0.06)


def test_a_file_that_is_not_there_is_left_to_whoever_reads_it(tmp_path: Path, at: Time) -> None:
    with pytest.raises(FileNotFoundError):
        reading(tmp_path / "none", at)
    assert at.passed_s == 0


def test_real_clocks(tmp_path: Path) -> None:
    file = tmp_path / "a"
    file.write_text("whole")
    begun = time.monotonic()
    assert read_when_still(lambda: [file], file.read_text, 0.2) == "whole"
    assert time.monotonic() - begun >= 0.1
