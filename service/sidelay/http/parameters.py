"""Query parameters: those that are known here, each given once, and whole numbers in them."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from werkzeug.datastructures import MultiDict

from .faults import Fault

Query = MultiDict[str, str]


def faulty_names(query: Query, known: Collection[str]) -> Iterator[Fault]:
    """Yield a fault for each parameter that is not known, or given more than once."""
    for name, values in query.lists():
        if name not in known:
            yield Fault((), "unknown_parameter", f"There is {', '.join(known)}.", name)
        elif len(values) > 1:
            told = f"Given {len(values)} times; give it once."
            yield Fault((), "parameter_twice", told, name)


def is_whole(text: str) -> bool:
    """Whether a text is a whole number, written in digits alone."""
    return text.isascii() and text.isdigit()
