"""From the cost lines to the price: by kind, marked up, margin, minimum, rounding, buying up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..curve import Array
from ..figures import Figure, Given
from ..money import PIECE_DIGITS
from ..offers import FAR, RUN_ON, Columns, Offer, shape_of
from ..pricing import KINDS, Margins, PricePolicy, cash_price, margin_at, margin_falls
from .naming import COPY, SHARE, Currency

# What a price policy says is the owner's; who may see it is not decided here.
POLICY = "price policy of the plant"
PREMIUM = " x (1 + rush_premium)"


@dataclass(frozen=True, slots=True)
class Priced:
    """What a price is worked out from.

    sums: what each part and each step on copies costs by kind, a figure each, by kind
    value: the marked-up value of the whole job at each column of its costs [minor units]
    """

    offer: Offer
    sums: tuple[tuple[str, Given], ...]
    value: Array
    columns: Columns
    policy: PricePolicy
    rush: bool
    currency: Currency


def price_figures(priced: Priced) -> list[Figure]:
    """Return the figures of a price, in the order that a class follows, and the shape of cost."""
    return [*_cost(priced), *_value(priced), *_price(priced), *_per_piece(priced), *_shape(priced)]


def _money(
    priced: Priced,
    name: str,
    minor: int,
    formula: str,
    inputs: Sequence[Given],
    because: str,
    source: str = "",
) -> Figure:
    currency = priced.currency
    amount = currency.money(minor)
    return Figure(name, amount, currency.code, formula, tuple(inputs), because, source)


def _cost(priced: Priced) -> Iterator[Figure]:
    """Cost by kind, and all of it."""
    kinds = []
    for kind in KINDS:
        inputs = [given for of_kind, given in priced.sums if of_kind == kind]
        if inputs:
            minor = sum(given.minor for given in inputs)
            formula = " + ".join(given.name for given in inputs)
            told = f"{kind} of all parts and of what is done to the copies"
            figure = _money(priced, f"{kind}_cost", minor, formula, inputs, told)
            kinds.append(figure.given)
            yield figure
    told = "what it costs the plant: the sum of all lines"
    formula = " + ".join(given.name for given in kinds)
    yield _money(priced, "cost", priced.offer.cost, formula, kinds, told)


def _value(priced: Priced) -> Iterator[Figure]:
    """Each kind of cost with its mark-up; time and outwork with the premium of rush work too."""
    policy, terms, inputs = priced.policy, [], []
    markups = (policy.material_markup, policy.time_markup, policy.outwork_markup)
    present = {kind for kind, _ in priced.sums}
    for kind, markup in zip(KINDS, markups, strict=True):
        if kind in present:
            hurry = PREMIUM if priced.rush and kind != "material" else ""
            terms.append(f"{kind}_cost x (1 + {kind}_markup){hurry}")
            minor = sum(given.minor for of, given in priced.sums if of == kind)
            inputs.append(
                Given(f"{kind}_cost", priced.currency.money(minor), priced.currency.code)
            )
            inputs.append(Given(f"{kind}_markup", markup, SHARE))
    if any(PREMIUM in term for term in terms):
        inputs.append(Given("rush_premium", policy.rush_premium, SHARE))
    value = priced.currency.major(priced.value[priced.offer.column])
    told = "cost with the mark-up of each kind, not rounded"
    yield Figure(
        "value", value, priced.currency.code, " + ".join(terms), tuple(inputs), told, POLICY
    )


def _price(priced: Priced) -> Iterator[Figure]:
    """Margin, minimum charge, rounding up; then what a larger order would cost, if that is less."""
    policy, offer, currency = priced.policy, priced.offer, priced.currency
    own = float(priced.value[offer.column])
    margins = policy.margins_by_value or policy.margins_by_quantity
    at = own if policy.margins_by_value else float(offer.quantity)
    margin = margin_at(margins, at)
    with_margin = own / (1 - margin)
    value = Given("value", currency.major(own), currency.code)
    marked = Figure(
        "with_margin",
        currency.major(with_margin),
        currency.code,
        "value / (1 - margin)",
        (value, Given("margin", margin, SHARE)),
        _margin_told(policy, margins, currency),
        POLICY,
    )
    yield marked
    least, step = _minimum(priced)
    minor = policy.finished(own, margin)
    told = "the minimum charge, then rounded up"
    formula = "ceil(max(with_margin, minimum_charge) / round_up_to) x round_up_to"
    inputs = [marked.given, least, step]
    rounded = _money(priced, "rounded_up", minor, formula, inputs, told, POLICY)
    yield rounded
    larger = list(_larger(priced))
    yield from larger
    formula = f"min({', '.join(f.name for f in (rounded, *larger))})" if larger else rounded.name
    told = "net of tax; never more than a larger order costs"
    inputs = [rounded.given, *(figure.given for figure in larger)]
    yield _money(priced, "price", offer.price, formula, inputs, told)


def _minimum(priced: Priced) -> tuple[Given, Given]:
    policy, currency = priced.policy, priced.currency
    return (
        Given("minimum_charge", currency.money(policy.minimum_charge), currency.code),
        Given("round_up_to", currency.money(policy.round_up_to), currency.code),
    )


def _margin_told(policy: PricePolicy, margins: Margins, currency: Currency) -> str:
    if not margins:
        return "no margin beside the mark-ups"
    if policy.margins_by_value:
        told = (f"{share:.1%} from {currency.major(start):,g}" for start, share in margins)
        return f"margin as a share of the price, by value: {', '.join(told)}"
    told = (f"{share:.1%} from {start:,}" for start, share in margins)
    return f"margin as a share of the price, by quantity: {', '.join(told)}"


def _larger(priced: Priced) -> Iterator[Figure]:
    """Yield what more would cost where a margin falls: nobody pays more for less."""
    policy, currency, offer = priced.policy, priced.currency, priced.offer
    falls = margin_falls(policy.margins_by_value or policy.margins_by_quantity)
    own = float(priced.value[offer.column])
    at_steps = priced.value[priced.columns.thresholds]
    for place, (start, margin) in enumerate(falls):
        by_value = bool(policy.margins_by_value)
        if (own if by_value else offer.quantity) >= start:
            continue
        value = float(start) if by_value else float(at_steps[place])
        minor, number = policy.finished(value, margin), f"{place + 1}"
        of = currency.code
        at = Given(f"value_at_step_{number}", currency.major(value), of)
        share = Given(f"margin_at_step_{number}", margin, SHARE)
        formula = (
            f"ceil(max({at.name} / (1 - {share.name}), minimum_charge) / round_up_to) x round_up_to"
        )
        what = f"value of {currency.major(start):,g}" if by_value else f"{start:,} copies"
        told = f"a {what}, where the margin falls"
        inputs = (at, share, *_minimum(priced))
        yield _money(priced, f"price_at_step_{number}", minor, formula, inputs, told, POLICY)


def _per_piece(priced: Priced) -> Iterator[Figure]:
    """Parts of the price, and a further 1,000."""
    offer, currency = priced.offer, priced.currency
    price = Given("price", currency.money(offer.price), currency.code)
    quantity = Given("quantity", float(offer.quantity), COPY)
    scale = 10**PIECE_DIGITS
    each = (2 * offer.price * scale + offer.quantity) // (2 * offer.quantity)
    digits = currency.digits + PIECE_DIGITS
    yield Figure(
        "per_piece",
        Currency(currency.code, digits).money(each),
        currency.code,
        f"round(price / quantity, {digits})",
        (price, quantity),
        "the price of one",
    )
    further = Given(
        "price_of_1000_more", currency.money(offer.price + offer.run_on_price), currency.code
    )
    told = f"{RUN_ON:,} more in the same run, the cheapest way that the press can"
    inputs = (further, price)
    formula = "price_of_1000_more - price"
    yield _money(priced, "run_on_per_1000", offer.run_on_price, formula, inputs, told)
    if priced.policy.cash_step:
        step = Given("cash_step", currency.money(priced.policy.cash_step), currency.code)
        cash = cash_price(offer.price, priced.policy)
        formula, told = "round(price / cash_step, 0) x cash_step", "what is paid in cash"
        yield _money(priced, "cash", cash, formula, (price, step), told, POLICY)


def _shape(priced: Priced) -> Iterator[Figure]:
    """The two lines that the cost of one nears: fixed / quantity, and the long-run unit cost."""
    offer, currency = priced.offer, priced.currency
    shape, code = shape_of(offer, currency.digits), currency.code
    cost = Given("cost", currency.money(offer.cost), code)
    fixed = Given("fixed_cost", shape.fixed, code)
    told = "what rises with the quantity; fixed_cost is there before the first copy"
    yield Figure(
        "variable_cost",
        currency.money(offer.cost - offer.fixed_cost),
        code,
        "cost - fixed_cost",
        (cost, fixed),
        told,
        "the same lines at no copies",
    )
    less, more = (
        Given(name, currency.money(minor), code)
        for name, minor in zip(("cost_far", "cost_farther"), offer.far_costs, strict=True)
    )
    unit = Figure(
        "long_run_unit_cost",
        shape.long_run_unit_cost,
        code,
        f"round((cost_farther - cost_far) / (copies_farther - copies_far), "
        f"{shape.long_run_unit_cost.digits})",
        (
            less,
            more,
            Given("copies_far", float(FAR[0]), COPY),
            Given("copies_farther", float(FAR[1]), COPY),
        ),
        "at many copies the cost of one nears this: a level line; made as here, however many, "
        "stock at its lowest price",
        "the same lines at these quantities",
    )
    yield unit
    if shape.balanced_at is not None:
        yield Figure(
            "balanced_at",
            float(shape.balanced_at),
            COPY,
            "round(fixed_cost / long_run_unit_cost, 0)",
            (fixed, unit.given),
            "below it the cost of one nears fixed_cost / quantity, which halves as the quantity "
            "doubles; above it the level line; here both are as large",
            "where the two lines cross",
        )
