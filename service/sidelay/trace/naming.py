"""Names of figures, units of what is counted, and money with its decimals."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from ..figures import Amount, Figure, Given
from ..pricing import KINDS

COPY, PIECE, SHEET, SHARE = "{copy}", "{piece}", "{sheet}", "1"
# Each unit of a step as an answer writes it.
COUNTED = {"parent": SHEET, "sheet": SHEET, "piece": PIECE, "copy": COPY}


@dataclass(frozen=True, slots=True)
class Currency:
    """A currency: its ISO 4217 code and its decimals."""

    code: str
    digits: int

    def money(self, minor: int) -> Amount:
        """Minor units with their decimals."""
        return Amount(minor, self.digits)

    def major(self, minor: float) -> float:
        """Minor units that are not rounded, in whole units of the currency."""
        return float(minor) / 10.0**self.digits


def identifier(text: str) -> str:
    """Return a name that a formula can hold."""
    return re.sub(r"[^a-z0-9]+", "_", text.lower()).strip("_") or "step"


def apart(names: Iterable[str]) -> list[str]:
    """Return names in their order, those that come again with a number behind them."""
    seen: dict[str, int] = {}
    told = []
    for name in names:
        seen[name] = seen.get(name, 0) + 1
        told.append(name if seen[name] == 1 else f"{name}_{seen[name]}")
    return told


def cost_sums(
    lines: Iterable[tuple[str, Given]], by_kind: Iterable[int], currency: Currency, of: str
) -> list[Figure]:
    """Add up cost lines by kind: one figure for each kind that there is.

    lines: kind and figure of each; by_kind: what they come to in the order of KINDS [minor units]
    """
    given = list(lines)
    found = []
    for kind, minor in zip(KINDS, by_kind, strict=True):
        inputs = tuple(line for of_kind, line in given if of_kind == kind)
        if inputs:
            found.append(
                Figure(
                    name=f"{kind}_cost",
                    value=currency.money(minor),
                    unit=currency.code,
                    formula=" + ".join(line.name for line in inputs),
                    inputs=inputs,
                    because=f"all cost lines of {of} that are {kind}",
                )
            )
    return found
