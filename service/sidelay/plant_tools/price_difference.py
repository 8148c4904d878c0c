"""Why one price differs from another: line by line, then step by step from cost to price.

Both are offers of an answer with detail "trace", as plain data, so that whoever keeps answers can
do the same. The differences told sum to that of the prices, to the last minor unit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

Offer = Mapping[str, Any]
NOUGHT = Decimal(0)
# Where lines of what is done to whole copies stand.
COPIES = "copies"
OVERTIME = "overtime"
KINDS = ("material", "time", "outwork")
MARKUPS = tuple(f"{kind} mark-up" for kind in KINDS)
STEPS = (*MARKUPS, "margin", "minimum charge", "rounding", "buying up")


@dataclass(frozen=True, slots=True)
class LineMove:
    """A cost line, or several of one name, on both sides [currency].

    old, new: None where it is not there
    """

    part: str
    stage: str
    label: str
    old: Decimal | None
    new: Decimal | None

    @property
    def difference(self) -> Decimal:
        """New less old."""
        return (self.new or NOUGHT) - (self.old or NOUGHT)


@dataclass(frozen=True, slots=True)
class StepMove:
    """What a step from cost to price adds on both sides [currency].

    name: one of STEPS; old_figure, new_figure: the share or money that it goes by, as text
    """

    name: str
    old: Decimal
    new: Decimal
    old_figure: str
    new_figure: str

    @property
    def difference(self) -> Decimal:
        """New less old."""
        return self.new - self.old


@dataclass(frozen=True, slots=True)
class PriceDifference:
    """The difference of two prices and its parts, those that are nothing left out [currency]."""

    old: Decimal
    new: Decimal
    lines: tuple[LineMove, ...]
    steps: tuple[StepMove, ...]

    @property
    def difference(self) -> Decimal:
        """New less old; the sum of all lines and steps."""
        return self.new - self.old


def price_difference(old: Offer, new: Offer) -> PriceDifference:
    """Return why two offers differ in price. Raises LookupError for one without a trace."""
    steps = (
        StepMove(before.name, before.adds, after.adds, before.figure, after.figure)
        for before, after in zip(_steps(old), _steps(new), strict=True)
    )
    return PriceDifference(
        Decimal(old["price"]["net"]),
        Decimal(new["price"]["net"]),
        tuple(_moved_lines(_lines(old), _lines(new))),
        tuple(step for step in steps if step.difference),
    )


# ---------------------------------------------------------------- lines

_Where = tuple[str, str, str]


def _lines(offer: Offer) -> dict[_Where, Decimal]:
    """Sum the cost lines of an offer by part, stage and label, in their order."""
    summed: dict[_Where, Decimal] = {}
    for where, cost in _every_line(offer):
        summed[where] = summed.get(where, NOUGHT) + cost
    return summed


def _every_line(offer: Offer) -> Iterator[tuple[_Where, Decimal]]:
    groups = [(part["part"], part["lines"]) for part in offer["parts"]]
    groups += [(COPIES, step["lines"]) for step in offer["operations"]]
    for name, lines in groups:
        for line in lines:
            yield (name, line["stage"], line["label"]), Decimal(line["cost"])
    if offer["overtime"]:
        yield (COPIES, OVERTIME, "overtime premium"), Decimal(offer["overtime"]["cost"])


def _moved_lines(
    old: Mapping[_Where, Decimal], new: Mapping[_Where, Decimal]
) -> Iterator[LineMove]:
    for where in [*old, *(where for where in new if where not in old)]:
        before, after = old.get(where), new.get(where)
        if before != after and (before or after):
            yield LineMove(*where, before, after)


# ---------------------------------------------------------------- from cost to price


@dataclass(frozen=True, slots=True)
class _Step:
    name: str
    adds: Decimal
    figure: str


def _steps(offer: Offer) -> list[_Step]:
    """Return what each step adds to the cost of an offer; with the cost they sum to its price.

    Each is rounded to the minor unit by itself, so that what did not move stays as it is. What that
    leaves over stands with the plant's own rounding.
    """
    trace = {figure["name"]: figure for figure in offer["price_trace"]}
    price, cost = Decimal(offer["price"]["net"]), Decimal(offer["cost"]["total"])
    stages = [trace[name] for name in ("value", "with_margin", "rounded_up")]
    given = {each["name"]: each["value"] for stage in stages for each in stage["inputs"]}
    value, with_margin, own = (_exact(stage["value"]) for stage in stages)
    minimum = _exact(given["minimum_charge"])
    adds = [_markup(kind, given) for kind in KINDS]
    adds += [with_margin - value, max(minimum - with_margin, NOUGHT)]
    adds = [amount.quantize(price) for amount in adds]
    adds += [own - cost - sum(adds), price - own]
    rush = f", rush {_share(given['rush_premium'])}" if "rush_premium" in given else ""
    shares = (_share(given.get(f"{kind}_markup")) for kind in KINDS)
    figures = [
        *(share + rush if share and number else share for number, share in enumerate(shares)),
        _share(given["margin"]),
        given["minimum_charge"],
        given["round_up_to"],
        "",
    ]
    return [_Step(*each) for each in zip(STEPS, adds, figures, strict=True)]


def _markup(kind: str, given: Mapping[str, Any]) -> Decimal:
    """Return what the mark-up of a kind of cost adds, the premium of rush work included."""
    cost, markup = _exact(given.get(f"{kind}_cost", 0)), _exact(given.get(f"{kind}_markup", 0))
    hurry = NOUGHT if kind == "material" else _exact(given.get("rush_premium", 0))
    return cost * ((1 + markup) * (1 + hurry) - 1)


def _exact(value: str | float) -> Decimal:
    """Return a figure of a trace as it is written."""
    return Decimal(str(value))


def _share(value: float | None) -> str:
    return "" if value is None else f"{(_exact(value) * 100).normalize():f}%"

