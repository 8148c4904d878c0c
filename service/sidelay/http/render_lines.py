"""Cost lines as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..buying import buy
from ..line_table import Line
from ..money import decimal_text
from ..named_lines import NamedLine
from ..trace.lines import LineCosts, behaviour

# What terms count, by what a line counts.
SOLD_IN = {"parent sheet": "sheets", "m2": "m2", "piece": "pieces"}


def _bought(line: Line, count: float) -> str:
    """Say what was bought: packs, a price break, a least order."""
    assert line.terms is not None  # noqa: S101  asked only where there are any
    return f"bought: {buy(count, line.terms, SOLD_IN[line.per]).words}"


class LineWriter:
    """Writes lines.

    detail: "lines", or "trace" with how each comes about; nought: the column of no copies
    """

    def __init__(self, digits: int, detail: str, nought: int) -> None:
        self._digits, self._trace, self._nought = digits, detail == "trace", nought

    def write(
        self, named: Sequence[NamedLine], found: LineCosts, column: int
    ) -> list[dict[str, Any]]:
        """Return lines at one quantity."""
        return [self._line(each.row, each.id, each.line, found, column) for each in named]

    def _line(
        self, row: int, name: str, line: Line, found: LineCosts, column: int
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
            bought, at_nought = row in found.paid, int(found.lines[row, self._nought])
            written |= {
                "unit_cost": float(found.paid[row][column] if bought else line.unit_cost),
                "amount": 1.0 if bought else float(line.amount),
                "per": line.per,
                "count": count,
                "behaviour": behaviour(line, at_nought),
                "at_no_copies": decimal_text(at_nought, self._digits),
            }
        return written
