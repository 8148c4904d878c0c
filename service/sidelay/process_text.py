"""What a job makes of each process, as a table of text. Knows nothing but the JSON of answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from .text import Row, table

HEADS = ("Process", "Press", "Carriers", "Ready min", "Rated/h", "Net/h", "Dry in h", "Cheapest")
# Figures are never cut to fit the page, so that the bands stand among them.
TEXT_COLUMNS = (0, 1)

Answer = Mapping[str, Any]


def processes_table(rows: Sequence[Answer], parts: Sequence[str] = ()) -> list[str]:
    """Return a row for each process that can make the job, at the quantity in the middle.

    Of a job of several parts it is the first that is told of.

    The press it would take, its image carriers, minutes of make-ready, cycles of one pass an hour
    as rated and as it runs, hours from the start of make-ready until the work can be touched, and
    the quantities at which the process is the cheapest: where they are several, how many.
    """
    able = [row for row in rows if row["for_this_job"]]
    if not able:
        return []
    quantity = able[0]["for_this_job"]["quantity"]
    what = f" for the {parts[0]}" if len(parts) > 1 else ""
    rows_told = table(HEADS, list(map(_row, able)), TEXT_COLUMNS)
    return [f"The processes{what} at {quantity:,}", *rows_told]


def _row(row: Answer) -> Row:
    made = row["for_this_job"]
    rated = made["rated_per_hour"]
    return (
        row["process"],
        made["press"],
        f"{made['carriers']:,}",
        f"{made['make_ready_min']:,.0f}",
        "-" if rated is None else f"{rated:,.0f}",
        f"{made['net_per_hour']:,.0f}",
        f"{made['dry_after_h']:,.1f}",
        _bands(row["wins"]),
    )


def _bands(wins: Sequence[Answer]) -> str:
    if not wins:
        return "-"
    if len(wins) > 1:
        return f"{len(wins)} bands"
    return f"{wins[0]['from']:,} to {wins[0]['to']:,}"
