"""What the query of /compare asks to be shown: which chart, of what, and which table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from werkzeug.datastructures import MultiDict

from .faults import Fault, InvalidRequest
from .media_types import CSV, SVG
from .parameters import faulty_names, is_whole


@dataclass(frozen=True, slots=True)
class Parameter:
    """A query parameter. words: those it can be, the default first; none for a whole number."""

    about: str
    words: tuple[str, ...] = ()


PARAMETERS: Mapping[str, Parameter] = MappingProxyType(
    {
        "chart": Parameter(
            f"Which chart to draw, with Accept {SVG}: of one piece or of all pieces over quantity, "
            "a line a process; or where the money goes at one quantity, a bar a press.",
            ("unit_cost", "total_cost", "money"),
        ),
        "measure": Parameter(
            "What the chart shows: what the job costs the plant, whose crossovers are those of "
            "cost_bands, or what the customer pays, whose crossovers are those of bands; without "
            "the scope cost, always the latter.",
            ("cost", "price"),
        ),
        "quantity": Parameter(
            "The quantity of the chart money: one of those that the job asks for, by default the "
            "one in the middle of its list."
        ),
        "table": Parameter(
            f"Which table to write, with Accept {CSV}: a row for each press at each quantity; a "
            "row for each press at rising quantities; who wins from where to where; what each "
            "process is; price against readiness; who wins of those that hold the due date.",
            ("choices", "curves", "bands", "characteristics", "trade_off", "due_bands"),
        ),
    }
)


@dataclass(frozen=True, slots=True)
class Shown:
    """How to show a comparison. quantity: index of the asked one that the chart of money is of."""

    chart: str
    measure: str
    table: str
    quantity: int


def check_query(query: MultiDict[str, str]) -> list[Fault]:
    """Return the faults of a query, all but whether the quantity is one of those asked."""
    found = list(faulty_names(query, PARAMETERS))
    at_fault = {fault.parameter for fault in found}
    for name, text in query.items():
        if name in at_fault:
            continue
        words = PARAMETERS[name].words
        if words and text not in words:
            found.append(Fault((), "unknown_value", f"Expected one of {', '.join(words)}.", name))
        elif not words and not is_whole(text):
            found.append(Fault((), "not_an_integer", "Expected a whole number.", name))
    return found


def read_shown(
    query: MultiDict[str, str], quantities: Sequence[int], *, costs: bool = True
) -> Shown:
    """Return what a checked query asks. Raises InvalidRequest.

    quantities: those of the job, of which the query may name one
    costs: whether the caller sees costs; one that does not is shown prices
    """
    place = len(quantities) // 2
    if "quantity" in query:
        # Compared as text: a number of any length is read, and none is converted.
        asked = query["quantity"].lstrip("0")
        written = [str(quantity) for quantity in quantities]
        if asked not in written:
            detail = f"The job asks for {', '.join(written)}."
            raise InvalidRequest([Fault((), "unknown_value", detail, "quantity")])
        place = written.index(asked)
    chart, measure, table = (
        query.get(name, PARAMETERS[name].words[0]) for name in ("chart", "measure", "table")
    )
    return Shown(chart, measure if costs else "price", table, place)
