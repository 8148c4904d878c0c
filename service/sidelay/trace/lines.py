"""Each cost line worked out from what it counts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, Protocol

from ..buying import Terms
from ..curve import Array
from ..figures import Figure, Given
from ..line_table import Line, paid_unit
from ..money import Cents
from .naming import PIECE, SHARE, SHEET, Currency

# What an amount for each thing counted is measured in, where it is no mere number.
AMOUNTS = ("hour", "kilogram", "m2", "form", "carrier", "side", "page")
LIVES = ("form", "carrier")
HOURS = ("run_hour", "press_hour")
Behaviour = Literal["fixed", "variable", "both"]
JOB = Given("job", 1.0, "{job}")


class LineCosts(Protocol):
    """Lines at all quantities: money, counts, and what a unit costs where that changes."""

    @property
    def lines(self) -> Cents:
        """Money [line, quantity]."""

    @property
    def counts(self) -> Array:
        """What each line counts [line, quantity]."""

    @property
    def paid(self) -> Mapping[int, Array]:
        """What a unit costs at each quantity, by line."""


def line_figures(
    row: int,
    name: str,
    line: Line,
    found: LineCosts,
    column: int,
    counted: Mapping[str, Given],
    currency: Currency,
    of: str = "",
) -> list[Figure]:
    """Return the figure of a line at one quantity; what is bought on terms comes before it.

    row: of the line in its table; counted: the figure of each meter, as the line's route has it
    """
    of_meter = JOB if line.meter == "job" else counted[line.meter]
    minor = int(found.lines[row, column])
    if line.terms is not None:
        bought = _bought(name, line, of_meter, float(found.counts[row, column]), of)
        price = float(found.paid[row][column])
        factors = ["unit_cost", bought.name]
        inputs = [Given("unit_cost", price, f"{currency.code}/{bought.unit}"), bought.given]
        before = [bought]
    else:
        factors, inputs = _factors(line, of_meter, currency)
        before = []
    cost = Figure(
        name,
        currency.money(minor),
        currency.code,
        f"round({' x '.join(factors)}, {currency.digits})",
        tuple(inputs),
        f"{line.label}: {line.because}",
        line.source,
        of,
    )
    return [*before, cost]


def _factors(line: Line, of_meter: Given, currency: Currency) -> tuple[list[str], list[Given]]:
    """Return the factors of a line that is charged by what it counts, and their inputs."""
    unit = paid_unit(line)
    factors, inputs = ["unit_cost"], [Given("unit_cost", line.unit_cost, f"{currency.code}/{unit}")]
    if line.amount != 1.0:
        # What is charged by what it counts, an hour of press hours too, has no unit of its own.
        own = line.per in AMOUNTS and line.meter not in HOURS
        factors.append("amount")
        inputs.append(Given("amount", line.amount, unit if own else SHARE))
    count, of_count = _count(line, of_meter)
    return factors + count, inputs + of_count


def _count(line: Line, of_meter: Given) -> tuple[list[str], list[Given]]:
    """Return the count as a factor, none where it is one, and its inputs."""
    in_lots = line.divisor != 1.0 or line.least > 0
    if line.meter == "job" and line.divisor == 1.0 and line.least <= 1 and not line.held:
        return [], []
    count, inputs = of_meter.name, [of_meter]
    if line.scale != 1.0:
        count = f"({count} x passes)"
        inputs.append(Given("passes", line.scale, SHARE))
    if in_lots:
        life = line.per in LIVES
        lot = Given("life" if life else "lot", line.divisor, of_meter.unit)
        if line.divisor != 1.0:
            count = f"{count} / {lot.name}"
            inputs.append(lot)
        count = f"ceil({count})"
        if line.least > 0:
            count = f"max({count}, least)"
            inputs.append(Given("least", line.least, "{set}" if life else "{lot}"))
        if line.held:
            count = f"({count} - kept)"
            inputs.append(Given("kept", line.held, "{set}"))
    return [count], inputs


def _bought(name: str, line: Line, of_meter: Given, units: float, of: str) -> Figure:
    """Return what is bought of a supply: whole packs, a least order, up to a cheaper price."""
    assert line.terms is not None  # noqa: S101  asked only where there are any
    terms, need, inputs = line.terms, of_meter.name, [of_meter]
    unit = {"m2": "m2", "piece": PIECE}.get(line.per, SHEET)
    if line.amount != 1.0:
        need = f"{need} x amount"
        inputs.append(Given("amount", line.amount, unit if line.per == "m2" else SHARE))
    if terms.least:
        need = f"max({need}, least_order)"
        inputs.append(Given("least_order", terms.least, unit))
    if terms.lot > 1:
        need = f"ceil({need} / pack) x pack"
        inputs.append(Given("pack", terms.lot, unit))
    start = _more_for_less(terms, of_meter.number * line.amount, units)
    if start:
        need = f"max({need}, price_holds_from)"
        inputs.append(Given("price_holds_from", start, unit))
    because = "the cheapest purchase that covers what is needed, as the merchant sells it"
    return Figure(f"{name}_bought", units, unit, need, tuple(inputs), because, line.source, of)


def _more_for_less(terms: Terms, need: float, units: float) -> float:
    """Return from how many units the price holds that more is bought for; 0 where no more is."""
    least = terms.packed(max(need, terms.least))
    starts = (terms.packed(start) for start, _ in terms.tiers)
    return next((start for start in starts if units == start > least), 0.0)


def behaviour(line: Line, minor_at_nought: int) -> Behaviour:
    """Say whether a line is there whatever the quantity, rises with it from nothing, or both.

    minor_at_nought: what it comes to at no copies
    """
    if line.meter == "job":
        return "fixed"
    return "both" if minor_at_nought else "variable"
