"""What is legal and what is settled, against trying every full choice there is."""

from __future__ import annotations

from itertools import product as every

from hypothesis import given, settings
from hypothesis import strategies as st

from sidelay.choosing import Contradiction, complete_choices, legal, settle
from sidelay.products import ChoiceOption, Condition, NumberOption, Product, Rule, Value

NAME = {"en": "x"}


@st.composite
def products(draw):
    """Products of two to five options, some of them numbers, with up to four rules."""
    options = []
    for number in range(draw(st.integers(2, 5))):
        name = f"o{number}"
        if draw(st.booleans()):
            least, step = draw(st.integers(0, 3)), draw(st.integers(1, 3))
            most = least + step * draw(st.integers(0, 6))
            grid = range(least, most + 1, step)
            default = draw(st.none() | st.sampled_from(grid))
            options.append(NumberOption(name, NAME, "", least, most, step, default, ("/n",)))
        else:
            values = tuple(
                Value(f"v{n}", NAME, {}, draw(st.just({}) | st.builds(dict, f=st.integers(0, 9))))
                for n in range(draw(st.integers(1, 4)))
            )
            default = draw(st.none() | st.sampled_from([value.id for value in values]))
            options.append(ChoiceOption(name, NAME, values, default))
    rules = tuple(
        Rule(
            tuple(draw(st.lists(conditions(options), min_size=1, max_size=2))),
            tuple(draw(st.lists(conditions(options), min_size=1, max_size=2))),
            NAME,
        )
        for _ in range(draw(st.integers(0, 4)))
    )
    return Product("p", "demo", NAME, NAME, tuple(options), rules, (1,), True, {})


@st.composite
def conditions(draw, options):
    option = draw(st.sampled_from(options))
    bounds = draw(
        st.sampled_from([{"at_least"}, {"at_most"}, {"at_least", "at_most"}])
    )
    bound = {name: draw(st.floats(0, 20).map(lambda x: round(x, 1))) for name in sorted(bounds)}
    if isinstance(option, NumberOption):
        return Condition(option.id, **bound)
    if draw(st.booleans()):
        ids = [value.id for value in option.values]
        chosen = draw(st.lists(st.sampled_from(ids), min_size=1, unique=True))
        return Condition(option.id, one_of=tuple(chosen))
    return Condition(option.id, fact="f", **bound)


def values_of(option):
    if isinstance(option, NumberOption):
        return list(range(option.least, option.most + 1, option.step))
    return [value.id for value in option.values]


def keeps(rule, product, choice):
    """The rule said again, without any of the code under test."""

    def meets(condition):
        option = next(each for each in product.options if each.id == condition.option)
        chosen = choice[condition.option]
        if condition.one_of:
            return chosen in condition.one_of
        if isinstance(option, NumberOption):
            figure = chosen
        else:
            figure = next(value for value in option.values if value.id == chosen).facts.get("f")
        low = float("-inf") if condition.at_least is None else condition.at_least
        high = float("inf") if condition.at_most is None else condition.at_most
        return figure is not None and low <= figure <= high

    return not all(map(meets, rule.when)) or all(map(meets, rule.needs))


def all_legal(product):
    names = [option.id for option in product.options]
    full = (dict(zip(names, each, strict=True)) for each in every(*map(values_of, product.options)))
    return [each for each in full if all(keeps(rule, product, each) for rule in product.rules)]


@st.composite
def asked(draw):
    product = draw(products())
    chosen = {
        option.id: draw(st.sampled_from(values_of(option)))
        for option in product.options
        if draw(st.booleans())
    }
    return product, chosen


def extends(choice, chosen):
    return all(choice[name] == value for name, value in chosen.items())


@settings(max_examples=300)
@given(asked())
def test_a_choice_is_settled_wherever_there_is_one(made):
    product, chosen = made
    there_are = [choice for choice in all_legal(product) if extends(choice, chosen)]
    try:
        found = settle(product, chosen)
    except Contradiction as fault:
        assert there_are == []
        for rule in fault.rules:
            assert all(not keeps(rule, product, c) for c in full_choices(product, chosen))
    else:
        assert found in there_are
        assert list(found) == [option.id for option in product.options]


def full_choices(product, chosen):
    names = [option.id for option in product.options]
    full = (dict(zip(names, each, strict=True)) for each in every(*map(values_of, product.options)))
    return [choice for choice in full if extends(choice, chosen)]


@settings(max_examples=300)
@given(asked())
def test_defaults_stand_where_they_are_legal_together(made):
    product, chosen = made
    wanted = {
        option.id: chosen.get(option.id, option.default) for option in product.options
    }
    if None not in wanted.values() and wanted in all_legal(product):
        assert settle(product, chosen) == wanted


@settings(max_examples=300)
@given(asked())
def test_legal_values_are_those_of_some_full_choice(made):
    product, chosen = made
    whole = all_legal(product)
    for option in product.options:
        others = {name: value for name, value in chosen.items() if name != option.id}
        good = {choice[option.id] for choice in whole if extends(choice, others)}
        found = legal(product, option, chosen)
        if isinstance(option, NumberOption):
            assert (found.least, found.most) == (min(good, default=None), max(good, default=None))
        else:
            assert set(found.values) == good
            assert set(found.because or {}) == set(values_of(option)) - good


@settings(max_examples=200)
@given(products())
def test_a_list_has_every_legal_choice_once(product):
    domains = {option.id: values_of(option) for option in product.options}
    assert list(complete_choices(product, domains)) == all_legal(product)
