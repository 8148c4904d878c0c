"""What a shop sells by choice: products with options, and which choices go together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

# A text in each language of a catalogue, by BCP 47 tag.
Labels = Mapping[str, str]
# What is chosen of an option: the id of a value, or a number.
Choice = str | int
Choices = Mapping[str, Choice]


@dataclass(frozen=True)
class Value:
    """One value of an option.

    put: what it sets in the job, by JSON Pointer (RFC 6901); "-" at the end of one appends
    facts: figures that conditions may ask, by name
    """

    id: str
    name: Labels
    put: Mapping[str, Any]
    facts: Mapping[str, float]


@dataclass(frozen=True)
class ChoiceOption:
    """An option of named values. default: id of one, None where one has to be chosen."""

    id: str
    name: Labels
    values: tuple[Value, ...]
    default: str | None

    def value(self, value_id: Choice) -> Value:
        """Return a value by its id. Raises KeyError."""
        for value in self.values:
            if value.id == value_id:
                return value
        raise KeyError(value_id)


@dataclass(frozen=True)
class NumberOption:
    """An option of whole numbers: from least to most, a step apart.

    put: pointers to what in the job takes the number
    """

    id: str
    name: Labels
    unit: str
    least: int
    most: int
    step: int
    default: int | None
    put: tuple[str, ...]

    def takes(self, number: int) -> bool:
        """Say whether a number is one of the option's."""
        return self.least <= number <= self.most and (number - self.least) % self.step == 0

    def at_or_above(self, bound: float) -> int:
        """Return the least number of the grid that is not below a bound; it may be above most."""
        return self.least + -int((self.least - bound) // self.step) * self.step


Option = ChoiceOption | NumberOption


@dataclass(frozen=True)
class Condition:
    """Something that one option may or may not be.

    one_of: ids of values; or else
    fact: figure of the value, "" for the number itself; at_least, at_most: its bounds. A value
        that has no such figure does not meet them
    """

    option: str
    one_of: tuple[str, ...] = ()
    fact: str = ""
    at_least: float | None = None
    at_most: float | None = None

    def meets(self, option: Option, chosen: Choice) -> bool:
        """Say whether what is chosen of the option meets the condition."""
        if self.one_of:
            return chosen in self.one_of
        figure: Choice | float | None = chosen
        if isinstance(option, ChoiceOption):
            figure = option.value(chosen).facts.get(self.fact)
        if not isinstance(figure, int | float):
            return False
        return (self.at_least is None or figure >= self.at_least) and (
            self.at_most is None or figure <= self.at_most
        )


@dataclass(frozen=True)
class Rule:
    """Where every condition of `when` is met, every one of `needs` has to be."""

    when: tuple[Condition, ...]
    needs: tuple[Condition, ...]
    because: Labels

    @property
    def options(self) -> tuple[str, ...]:
        """The options that it is about, each once."""
        return tuple(dict.fromkeys(each.option for each in (*self.when, *self.needs)))


@dataclass(frozen=True)
class Product:
    """Something to be bought by choosing.

    plant: id of the plant that makes it
    ladder: quantities that are priced unless another is asked, rising
    between: whether any whole quantity from the first to the last of them may be asked
    job: the `job` of a request for a price, without quantities, that choices are put into
    processes: who may compete to print it, all where empty
    """

    id: str
    plant: str
    name: Labels
    about: Labels
    options: tuple[Option, ...]
    rules: tuple[Rule, ...]
    ladder: tuple[int, ...]
    between: bool
    job: Mapping[str, Any]
    processes: tuple[str, ...] = ()

    def option(self, option_id: str) -> Option:
        """Return an option by its id. Raises KeyError."""
        for option in self.options:
            if option.id == option_id:
                return option
        raise KeyError(option_id)


@dataclass(frozen=True)
class Catalogue:
    """The products of one plant, and how their prices may be kept.

    revision: changes whenever the file does
    languages: BCP 47 tags, the default first
    public: whether shared caches may keep what everyone is told alike
    max_age_s: how long a price may be kept before it is asked again
    clock_step_min: dates are reckoned from the last full step of the clock
    quote_valid_h: how long a quoted price holds
    """

    revision: str
    languages: tuple[str, ...]
    public: bool
    max_age_s: int
    clock_step_min: int
    quote_valid_h: int
    products: tuple[Product, ...]
