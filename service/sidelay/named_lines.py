"""The cost lines of an offer by name, so that whatever refers to one finds it again.

A name has the stage of the line and its label in it. What else an offer pays for, and how much of
it, changes none: the same line of the same route has the same name at every quantity.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from .assembly import Assembly
from .costing import tails_of
from .line_table import Line
from .ways import Made, PartTable

COPIES = "copies"


@dataclass(frozen=True, slots=True)
class NamedLine:
    """A line, its row in the table that it is costed in, and its name.

    prefix: what it belongs to: a part, or the copies
    name: unique among the lines of that
    """

    row: int
    line: Line
    prefix: str
    name: str

    @property
    def id(self) -> str:
        """Its name in the offer: text/stock-coated_silk_130_g_m2, copies/packing-carton."""
        return f"{self.prefix}/{self.name}"


def prefix_of(part: str) -> str:
    """Return what stands before the names of all that is done for a part; it may be `COPIES`."""
    return f"part {part}" if part == COPIES else part


def lines_of_part(table: PartTable, made: Made, part: str) -> list[NamedLine]:
    """Return the lines of a part as it is made, route after route. part: its name"""
    routes = [table.routes[number] for number in made.routes]
    tails = dict(zip(made.routes, tails_of(routes), strict=True))
    rows = [
        row
        for number in made.routes
        for row in enumerate(table.table.lines_of(number), table.table.first_line(number))
    ]
    return _named(rows, prefix_of(part), tails)


def lines_of_copies(assembly: Assembly) -> list[NamedLine]:
    """Return the lines of all that is done to copies, by their rows."""
    return _named(enumerate(assembly.lines), COPIES, {})


def _named(
    rows: Iterable[tuple[int, Line]], prefix: str, tails: Mapping[int, str]
) -> list[NamedLine]:
    """Name lines. tails: by route, what is put behind the names of its lines.

    Where the same is paid for twice the second has ".2" behind it, as operations have.
    """
    counted: dict[str, int] = {}
    found = []
    for row, line in rows:
        name = f"{line.stage}-{slug(line.label) or 'line'}{tails.get(line.route, '')}"
        number = counted[name] = counted.get(name, 0) + 1
        found.append(NamedLine(row, line, prefix, name if number == 1 else f"{name}.{number}"))
    return found


def slug(text: str) -> str:
    """Return the letters and figures of a text, in lower case, with "_" between words."""
    return re.sub(r"[^a-z0-9]+", "_", text.lower()).strip("_")
