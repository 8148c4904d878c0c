"""A figure that tells how it comes about: its formula, what goes into it, its unit and its source.

Formulas are written in names of their inputs, numbers, + - x / and parentheses, and

- ceil(a): whole units, begun ones counted; less than a millionth of one is noise, not a unit
- max(a, ...), min(a, ...): the most, the least of them
- round(a, digits): to so many decimals, half up; what lies a millionth of the last digit below a
  tie is the tie
- ln(a): the natural logarithm
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple


class Amount(NamedTuple):
    """An amount of money: a whole number of its last digit, and how many decimals it has."""

    minor: int
    digits: int


Value = float | Amount


class Given(NamedTuple):
    """What goes into a formula. unit: UCUM style, a currency's code for money."""

    name: str
    value: Value
    unit: str

    @property
    def number(self) -> float:
        """Its value where it is no money. Raises TypeError where it is."""
        if isinstance(self.value, Amount):
            raise TypeError(f"{self.name} is money")
        return self.value

    @property
    def minor(self) -> int:
        """Its value where it is money [units of its last digit]. Raises TypeError where not."""
        if not isinstance(self.value, Amount):
            raise TypeError(f"{self.name} is no money")
        return self.value.minor


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure, worked out from its inputs by its formula.

    name: snake_case; an input of a later formula with this name is this figure
    of: which run of a part it belongs to, where there are several; "" elsewhere
    because, source: why it is what it is, and where its inputs come from
    """

    name: str
    value: Value
    unit: str
    formula: str
    inputs: tuple[Given, ...]
    because: str = ""
    source: str = ""
    of: str = ""

    @property
    def given(self) -> Given:
        """The figure as an input of another."""
        return Given(self.name, self.value, self.unit)
