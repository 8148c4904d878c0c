"""Which values of a product's options go with those chosen, and what the others are settled on.

A value is legal where some full choice holds it together with the other options chosen. That is
found by trying: options one after the other, the default first, back where a rule is broken. A
number is tried where its legality may change: at its ends and on both sides of each bound that a
rule has for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import prod

from .products import Choice, ChoiceOption, Choices, NumberOption, Option, Product, Rule


class Contradiction(ValueError):  # noqa: N818  (an answer to the caller, not a fault)
    """Choices that do not go together.

    rules: those that the choices break by themselves; none where only what is left to choose
        would break one
    """

    def __init__(self, rules: Sequence[Rule]) -> None:
        super().__init__("choices that do not go together")
        self.rules = tuple(rules)


@dataclass(frozen=True, slots=True)
class Legal:
    """Which values of one option go with the others chosen.

    values: ids, in the order of the option; least, most: of a number's, None where there is none
    because: by id of a value that is not legal, the rule that stands against it; "" for a number's
        bounds; None where no single rule does
    """

    values: tuple[str, ...] = ()
    least: int | None = None
    most: int | None = None
    because: dict[str, Rule | None] | None = None


def settle(product: Product, chosen: Choices) -> dict[str, Choice]:
    """Return a full choice: what is chosen, else the default, else what comes first that is legal.

    Options are settled in their order; of numbers, the nearest to the default. Raises
    Contradiction.
    """
    found = _solve(product, dict(chosen))
    if found is None:
        raise Contradiction(_broken(product, chosen))
    return {option.id: found[option.id] for option in product.options}


def legal(product: Product, option: Option, chosen: Choices) -> Legal:
    """Return which values of an option go with the other options chosen."""
    others = {name: value for name, value in chosen.items() if name != option.id}

    def holds(value: Choice) -> bool:
        return _solve(product, others | {option.id: value}) is not None

    if isinstance(option, ChoiceOption):
        good = tuple(value.id for value in option.values if holds(value.id))
        bad = [value.id for value in option.values if value.id not in good]
        return Legal(
            good, because={name: _first_broken(product, others, option, name) for name in bad}
        )
    good_numbers = sorted(number for number in _numbers_tried(product, option) if holds(number))
    if not good_numbers:
        return Legal(because={"": _first_broken(product, others, option, option.least)})
    least, most = good_numbers[0], good_numbers[-1]
    outside = [least - option.step] * (least > option.least)
    outside += [most + option.step] * (most < option.most)
    because = {"": _first_broken(product, others, option, outside[0])} if outside else {}
    return Legal(least=least, most=most, because=because)


def complete_choices(
    product: Product, domains: dict[str, Sequence[Choice]]
) -> Iterator[dict[str, Choice]]:
    """Yield every legal full choice out of some values of each option, the last option fastest."""
    order = [option.id for option in product.options]

    def go_on(place: int, taken: dict[str, Choice]) -> Iterator[dict[str, Choice]]:
        if place == len(order):
            yield dict(taken)
            return
        for value in domains[order[place]]:
            taken[order[place]] = value
            if not _broken(product, taken):
                yield from go_on(place + 1, taken)
        taken.pop(order[place], None)

    return go_on(0, {})


def _solve(product: Product, taken: dict[str, Choice]) -> dict[str, Choice] | None:
    """Return the first full choice that holds what is taken; None where there is none."""
    if _broken(product, taken):
        return None
    free = next((option for option in product.options if option.id not in taken), None)
    if free is None:
        return taken
    for value in _tried(product, free) if _ruled(product, free) else _tried(product, free)[:1]:
        found = _solve(product, taken | {free.id: value})
        if found is not None:
            return found
    return None


def _ruled(product: Product, option: Option) -> bool:
    return any(option.id in rule.options for rule in product.rules)


def tries(product: Product) -> int:
    """Return how many full choices have to be tried at most to settle one."""
    ruled = [option for option in product.options if _ruled(product, option)]
    return prod(len(_tried(product, option)) for option in ruled)


def _tried(product: Product, option: Option) -> list[Choice]:
    """Values of an option worth trying, the default first."""
    if isinstance(option, ChoiceOption):
        ids = [value.id for value in option.values]
        return sorted(ids, key=lambda each: each != option.default)
    return list(_numbers_tried(product, option))


def _numbers_tried(product: Product, option: NumberOption) -> list[int]:
    """Numbers on either side of each bound, and the ends; the nearest to the default first."""
    default = option.least if option.default is None else option.default
    tried = {option.least, option.most, default}
    for rule in product.rules:
        for condition in (*rule.when, *rule.needs):
            if condition.option != option.id:
                continue
            for bound in (condition.at_least, condition.at_most):
                if bound is not None:
                    above = option.at_or_above(bound)
                    tried |= {above - option.step, above, above + option.step}
    within = [number for number in tried if option.takes(number)]
    return sorted(within, key=lambda number: (abs(number - default), number))


def _broken(product: Product, taken: Choices) -> list[Rule]:
    """Rules that are broken whatever else is chosen."""
    return [rule for rule in product.rules if _breaks(product, rule, taken)]


def _breaks(product: Product, rule: Rule, taken: Choices) -> bool:
    for condition in rule.when:
        chosen = taken.get(condition.option)
        if chosen is None or not condition.meets(product.option(condition.option), chosen):
            return False
    return any(
        chosen is not None and not condition.meets(product.option(condition.option), chosen)
        for condition in rule.needs
        for chosen in (taken.get(condition.option),)
    )


def _first_broken(
    product: Product, others: Choices, option: Option, value: Choice
) -> Rule | None:
    """Return the rule that a value breaks together with the others chosen, if one does alone."""
    broken = _broken(product, {**others, option.id: value})
    return broken[0] if broken else None


