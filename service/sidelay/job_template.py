"""From a product and a full choice to the job that a request for its price holds.

Values are put where JSON Pointers (RFC 6901) lead: a member is replaced or added, an item is
replaced, and "-" appends, as that RFC has it for the item after the last.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from .products import Choices, NumberOption, Product

APPEND = "-"


class NoSuchPlace(ValueError):  # noqa: N818  (a fault of a catalogue, named as such)
    """A pointer that leads nowhere in a job; the message tells it and where it ends."""


def job_of(product: Product, choices: Choices, quantities: Sequence[int]) -> dict[str, Any]:
    """Return the `job` of a request, with what is chosen put into the product's.

    choices: of every option. Raises NoSuchPlace.
    """
    job: dict[str, Any] = _copied(product.job)
    job["quantities"] = list(quantities)
    for pointer, value in _put(product, choices):
        put(job, pointer, value)
    return job


def _copied(plain: Any) -> Any:
    """Return a copy of plain data, free to be changed."""
    if isinstance(plain, Mapping):
        return {name: _copied(inner) for name, inner in plain.items()}
    return [_copied(inner) for inner in plain] if isinstance(plain, list) else plain


def _put(product: Product, choices: Choices) -> Iterator[tuple[str, Any]]:
    """Yield what the choices put where, in the order of the options."""
    for option in product.options:
        chosen = choices[option.id]
        if isinstance(option, NumberOption):
            yield from ((pointer, chosen) for pointer in option.put)
        else:
            for pointer, value in option.value(chosen).put.items():
                yield pointer, _copied(value)


def put(document: Any, pointer: str, value: Any) -> None:
    """Put a value where a pointer leads. Raises NoSuchPlace."""
    *steps, last = steps_of(pointer)
    at = document
    for step in steps:
        at = _inside(at, step, pointer)
    if isinstance(at, dict):
        at[last] = value
    elif isinstance(at, list) and last == APPEND:
        at.append(value)
    elif isinstance(at, list):
        at[_index(at, last, pointer)] = value
    else:
        raise NoSuchPlace(f"{pointer}: {last!r} would stand inside a plain value")


def steps_of(pointer: str) -> list[str]:
    """Return the names and indices that a pointer goes through. Raises NoSuchPlace."""
    if not pointer.startswith("/"):
        raise NoSuchPlace(f"{pointer!r}: a JSON Pointer begins with /")
    return [step.replace("~1", "/").replace("~0", "~") for step in pointer[1:].split("/")]


def _inside(at: Any, step: str, pointer: str) -> Any:
    if isinstance(at, Mapping) and step in at:
        return at[step]
    if isinstance(at, list):
        return at[_index(at, step, pointer)]
    raise NoSuchPlace(f"{pointer}: there is no {step!r}")


def _index(at: list[Any], step: str, pointer: str) -> int:
    if not (step.isascii() and step.isdigit()) or int(step) >= len(at):
        raise NoSuchPlace(f"{pointer}: there is no item {step!r} of {len(at)}")
    return int(step)
