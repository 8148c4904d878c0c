"""What a comparison hangs on, as text for a person: only what moves anything is told."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import log
from typing import Any

from .text import plain_unit, sentence, titled, wrapped

Answer = Mapping[str, Any]

# A crossover that moves less than this many per cent for one per cent does not hang on a figure.
LEAST_ELASTICITY = 0.01
# Figures this large are told without a fraction.
WHOLE_FROM = 1_000
# A share, as UCUM has it.
SHARE = "1"


def hangs_on_lines(answer: Answer) -> list[str]:
    """Return what each crossover leans on, the most first, then what would change each answer."""
    found = answer.get("hangs_on")
    if not found:
        return []
    several = len({each["part"] for each in found["answers"]}) > 1
    leaning = [_leaning(each, several) for each in found["crossovers"]]
    flips = [line for each in found["answers"] for line in _flips(each, several)]
    title = "What would change the answer, all else as it is"
    return [
        *titled("What the crossovers hang on: % that one moves for 1 % of a figure", leaning),
        *([""] if leaning and flips else []),
        *titled(title, [wrapped(line, "  ") for line in flips]),
    ]


def _leaning(crossover: Answer, several: bool) -> list[str]:
    leaning = sorted(
        (
            (each["elasticity"], each["factor"])
            for each in crossover["factors"]
            if each["elasticity"] is not None and abs(each["elasticity"]) >= LEAST_ELASTICITY
        ),
        key=lambda pair: -abs(pair[0]),
    )
    of = f"{crossover['part']}, " if several else ""
    first, pair = crossover["first_at"], (crossover["from_process"], crossover["to_process"])
    told = ", ".join(f"{_words(factor)} {elasticity:+.2f}" for elasticity, factor in leaning)
    where = f"{of}{pair[0]} to {pair[1]} at {first:,}"
    return wrapped(f"{where}: {told or 'nothing that was tried'}.", "  ")


def _flips(found: Answer, several: bool) -> Iterator[str]:
    of = f"{found['part']}, " if several else ""
    flips = [
        (hinge["factor"], flip)
        for hinge in found["factors"]
        for flip in (hinge["below"], hinge["above"])
        if flip is not None
    ]
    # What needs the least change comes first.
    told = [_flip(*each) for each in sorted(flips, key=lambda each: abs(log(each[1]["times"])))]
    where = f"{of}{found['quantity']:,}: {found['process']}"
    if not told:
        told_none = f"{where}, whatever single figure is changed between a tenth and ten times"
        yield sentence(told_none)
        return
    yield sentence(f"{where}; {'; '.join(told)}")


def _flip(factor: str, flip: Answer) -> str:
    winner = flip["process"] or "no process"
    figures = [
        f"{each['press']} {_amounts(each['now'], each['then'], each['unit'])}"
        for each in flip["figures"]
    ]
    amounts = f" ({', '.join(figures)})" if figures else ""
    return f"{winner} at {flip['times']:.4g} times the {_words(factor)}{amounts}"


def _amounts(now: float, then: float, unit: str) -> str:
    """Return two figures and their unit; shares in per cent."""
    if unit == SHARE:
        return f"{_figure(100 * now)} to {_figure(100 * then)} %"
    return f"{_figure(now)} to {_figure(then)} {plain_unit(unit)}"


def _figure(value: float) -> str:
    return f"{value:,.0f}" if value >= WHOLE_FROM else f"{value:.4g}"


def _words(factor: str) -> str:
    return factor.replace("make_ready", "make-ready").replace("_", " ")
