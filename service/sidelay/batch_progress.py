"""How far `sidelay batch` has come: a bar on a terminal, else a line now and then."""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable
from typing import TextIO

# How often a bar is drawn anew, and a line written where there is no terminal [s].
DRAWN_EVERY_S, TOLD_EVERY_S = 0.1, 10.0
BAR_LETTERS = 30
HOUR_S, MINUTE_S = 3600, 60


class Progress:
    """Tells on a stream how many lines of a batch are done.

    total: of all lines; kept: of those that were done before
    moments: returns seconds that only rise
    """

    def __init__(
        self,
        stream: TextIO,
        total: int,
        kept: int = 0,
        moments: Callable[[], float] = time.monotonic,
    ) -> None:
        self._stream, self._total, self._kept = stream, total, kept
        self._moments = moments
        self._draws = stream.isatty()
        self._began_s = moments()
        self._told_s = self._began_s if not self._draws else float("-inf")
        self._done, self._failed = kept, 0
        self._is_drawn = False

    def add(self, *, failed: bool) -> None:
        """Note one line more that is done, and tell it if it is time to."""
        self._done += 1
        self._failed += failed
        every_s = DRAWN_EVERY_S if self._draws else TOLD_EVERY_S
        if self._moments() - self._told_s >= every_s:
            self._tell()

    def note(self, text: str) -> None:
        """Tell something beside it, on a line of its own."""
        self._clear()
        print(text, file=self._stream, flush=True)

    def end(self) -> None:
        """Tell how it stands at the end, and leave the line."""
        if self._draws:
            self._tell()
            print(file=self._stream, flush=True)
            self._is_drawn = False

    def text(self) -> str:
        """Return how it stands: count, share, rate, how long it still takes, failures."""
        spent_s = self._moments() - self._began_s
        rate = (self._done - self._kept) / spent_s if spent_s > 0 else 0.0
        told = [f"{self._done:,}/{self._total:,}", f"{self._share:.0%}", f"{rate:,.1f}/s"]
        if rate and self._done < self._total:
            told.append(f"ETA {_clock((self._total - self._done) / rate)}")
        return "  ".join([*told, f"{self._failed:,} failed"])

    @property
    def _share(self) -> float:
        return self._done / self._total if self._total else 1.0

    def _tell(self) -> None:
        self._told_s = self._moments()
        if not self._draws:
            print(self.text(), file=self._stream, flush=True)
            return
        full = round(self._share * BAR_LETTERS)
        line = f"[{'#' * full}{'-' * (BAR_LETTERS - full)}]  {self.text()}"
        width = shutil.get_terminal_size().columns - 1
        self._clear()
        print(line[:width], end="", file=self._stream, flush=True)
        self._is_drawn = True

    def _clear(self) -> None:
        """Wipe the bar: back to the start of the line, and erase it (ECMA-48: EL)."""
        if self._is_drawn:
            print("\r\x1b[K", end="", file=self._stream)
            self._is_drawn = False


def _clock(seconds: float) -> str:
    """Return a time as h:mm:ss, or m:ss below an hour."""
    whole = round(seconds)
    hours, minutes, rest = whole // HOUR_S, whole % HOUR_S // MINUTE_S, whole % MINUTE_S
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"
