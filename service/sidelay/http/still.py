"""Reads files only when nobody is writing them.

Half a TOML file can be a whole one, so that a file that is still being written is seen by its size
and its time alone. A file is still when it has not changed for a moment; where one changes while
it is read, all are read again.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

# How long files are waited for [s]: the workers serve on, but a stop has to wait as well.
PATIENCE_S = 10.0
_STEP_S = 0.05

T = TypeVar("T")
# Size, time of the last change [ns], and which file it is; None where there is none.
State = tuple[int, int, int] | None
Files = Callable[[], Iterable[Path]]


class Restless(Exception):  # noqa: N818  (a state of files, named as such)
    """Files that went on changing for longer than they are waited for."""

    def __init__(self, files: Iterable[Path]) -> None:
        self.files = tuple(sorted(files))
        super().__init__(", ".join(file.name for file in self.files))


@dataclass(frozen=True, slots=True)
class Clocks:
    """What time it is, how long it has been and how to wait [s]; replaced in tests."""

    wall: Callable[[], float] = time.time
    steady: Callable[[], float] = time.monotonic
    sleep: Callable[[float], None] = time.sleep


class _Watch:
    """Remembers since when each file has been as it is."""

    def __init__(self, still_s: float, clocks: Clocks) -> None:
        self._still_s, self._clocks = still_s, clocks
        self._since: dict[Path, tuple[State, float]] = {}

    def restless(self, states: Mapping[Path, State]) -> list[Path]:
        """Return the files that changed less than a moment ago."""
        return [file for file, state in states.items() if not self._is_still(file, state)]

    def _is_still(self, file: Path, state: State) -> bool:
        """Whether it says so itself, or has been seen so: its time may lie ahead of our clock."""
        if state is None:
            return True
        now = self._clocks.steady()
        before, since = self._since.get(file, (state, now))
        if before != state:
            since = now
        self._since[file] = state, since
        age_s = self._clocks.wall() - state[1] / 1e9
        return max(now - since, age_s) >= self._still_s


def read_when_still(
    files: Files, read: Callable[[], T], still_s: float, clocks: Clocks | None = None
) -> T:
    """Return what a function reads out of files, once they are still.

    files: returns the files as they are by now; a folder among them is still when no file in it
        was made, renamed or removed
    still_s: for how long none may have changed [s]
    Raises Restless, and whatever `read` raises of files that are still.
    """
    at = clocks or Clocks()
    give_up, watch = at.steady() + PATIENCE_S, _Watch(still_s, at)
    while True:
        before = _states(files())
        restless = watch.restless(before)
        if not restless:
            outcome = _outcome(read)
            after = _states(files())
            if after == before:
                return outcome()
            changed = before.keys() | after.keys()
            restless = [file for file in changed if before.get(file) != after.get(file)]
        if at.steady() >= give_up:
            raise Restless(restless)
        at.sleep(_STEP_S)


def _outcome(read: Callable[[], T]) -> Callable[[], T]:
    """Return what gives the result of a function, or raises what it raised."""
    try:
        result = read()
    except Exception as caught:  # noqa: BLE001  (raised again, unless the files changed)
        fault = caught

        def fail() -> T:
            raise fault

        return fail
    return lambda: result


def _states(files: Iterable[Path]) -> dict[Path, State]:
    return {file: _state(file) for file in files}


def _state(file: Path) -> State:
    try:
        found = file.stat()
    except OSError:
        return None
    return found.st_size, found.st_mtime_ns, found.st_ino
