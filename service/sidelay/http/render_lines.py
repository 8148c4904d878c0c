"""Cost lines as plain data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Protocol

from ..buying import buy
from ..curve import Array
from ..line_table import Line
from ..money import Cents, decimal_text


class Counted(Protocol):
    """What lines come to: money, counts, and what a unit costs where that changes."""

    @property
    def lines(self) -> Cents:
        """Money [line, quantity]."""

    @property
    def counts(self) -> Array:
        """What each line counts [line, quantity]."""

    @property
    def paid(self) -> Mapping[int, Array]:
        """What a unit costs at each quantity, by line."""


# What terms count, by what a line counts.
SOLD_IN = {"parent sheet": "sheets", "m2": "m2", "piece": "pieces"}


def _bought(line: Line, count: float) -> str:
    """Say what was bought: packs, a price break, a least order."""
    assert line.terms is not None  # noqa: S101  asked only where there are any
    return f"bought: {buy(count, line.terms, SOLD_IN[line.per]).words}"


class LineWriter:
    """Writes lines. detail: "lines", or "trace" with how each comes about."""

    def __init__(self, digits: int, detail: str) -> None:
        self._digits, self._trace = digits, detail == "trace"

    def write(
        self, named: Sequence[tuple[int, Line]], found: Counted, column: int
    ) -> list[dict[str, Any]]:
        """Return lines at one quantity, each with the number of its row in the table.

        They are named by their stage and a number within it, in the order given.
        """
        counted: dict[str, int] = {}
        written = []
        for row, line in named:
            number = counted[line.stage] = counted.get(line.stage, 0) + 1
            written.append(self._line(row, f"{line.stage}-{number:02d}", line, found, column))
        return written

    def _line(
        self, row: int, name: str, line: Line, found: Counted, column: int
    ) -> dict[str, Any]:
        count = float(found.counts[row, column])
        written: dict[str, Any] = {
            "id": name,
            "stage": line.stage,
            "label": line.label,
            "cost": decimal_text(int(found.lines[row, column]), self._digits),
            "because": f"{line.because}; {_bought(line, count)}" if line.terms else line.because,
            "source": line.source,
        }
        if line.lead_days and count:
            written["lead_days"] = float(line.lead_days)
        if self._trace:
            bought = row in found.paid
            written |= {
                "unit_cost": float(found.paid[row][column] if bought else line.unit_cost),
                "amount": 1.0 if bought else float(line.amount),
                "per": line.per,
                "count": count,
            }
        return written
