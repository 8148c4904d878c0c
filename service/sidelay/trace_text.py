"""The trace of one price as text for a person: from the sheet up, a figure and its formula each.

Lines have at most 100 columns. Knows nothing but the JSON of the answers.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from .text import joined, plain_unit, sentence, wrapped
from .time_text import clock_lines, schedule_table

Answer = Mapping[str, Any]

NOTHING = "There is no offer to follow: see the answer without --trace for what stands against it."
# How far figures stand in, and what they are made of.
INDENT, DEEPER = "  ", "      "


def trace_text(answer: Answer) -> str:
    """Return how the best offer of the first quantity asked comes about."""
    if not answer["estimates"]:
        return NOTHING
    offer = answer["estimates"][0]
    title = answer["title"] or "Job without a title"
    head = f"{title}: {offer['quantity']:,} copies on {offer['press']}, {offer['process']}."
    parts = [(f"The part {part['part']}", part["trace"]) for part in offer["parts"]]
    steps = [(_step(step), step["trace"]) for step in offer["operations"]]
    blocks = [*parts, *steps, ("The price", offer["price_trace"])]
    return joined(
        [
            [*wrapped(sentence(head)), *clock_lines(answer)],
            schedule_table(answer, offer),
            *(list(_block(name, figures)) for name, figures in blocks),
        ]
    )


def _step(step: Answer) -> str:
    return f"Copies: {step['operation'].replace('_', ' ')}"


def _block(name: str, figures: Sequence[Answer]) -> Iterator[str]:
    yield from wrapped(name)
    of = ""
    for figure in figures:
        if figure["of"] and figure["of"] != of:
            yield from wrapped(f"- {figure['of']}", INDENT)
        of = figure["of"]
        yield from wrapped(f"{figure['name']} = {_told(figure)}", INDENT)
        yield from wrapped(f"= {figure['formula']}", DEEPER)
        inputs = ", ".join(f"{each['name']} {_told(each)}" for each in figure["inputs"])
        yield from wrapped(inputs, DEEPER)
        source = f" [{figure['source']}]" if figure["source"] else ""
        yield from wrapped(f"{figure['because']}{source}", DEEPER)


def _told(figure: Answer) -> str:
    """Return a value with its unit; six digits of what is not whole are enough to read."""
    value = figure["value"]
    text = f"{value:.6g}" if isinstance(value, float) else str(value)
    unit = plain_unit(str(figure["unit"]))
    return text if unit == "1" else f"{text} {unit}"
