"""Types of answers: products.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import Any, Literal, NotRequired, TypedDict

from .answers import PlantHead, Price
from .dates import Clock
from .quotes import QuoteToken


class ProductInShort(TypedDict):
    """A product."""

    id: str
    plant: str
    name: str
    about: str


class ProductsAnswer(TypedDict):
    """Every product that can be bought by choosing."""

    language: str
    languages: list[str]
    products: list[ProductInShort]


class OptionValue(TypedDict):
    """A value of an option."""

    id: str
    name: str
    legal: bool
    because: str | None


_ProductOption = TypedDict("_ProductOption", {"from": NotRequired[int]})


class ProductOption(_ProductOption):
    """An option: a choice of named values, or whole numbers from one to another."""

    id: str
    name: str
    kind: Literal["choice", "number"]
    default: str | int | None
    chosen: str | int | None
    settled: str | int | None
    values: NotRequired[list[OptionValue]]
    unit: NotRequired[str]
    to: NotRequired[int]
    step: NotRequired[int]
    legal_from: NotRequired[int | None]
    legal_to: NotRequired[int | None]
    because: NotRequired[str | None]


_Quantities = TypedDict("_Quantities", {"from": int})


class Quantities(_Quantities):
    """How many can be bought."""

    ladder: list[int]
    to: int
    between: bool


class ProductAnswer(TypedDict):
    """A product, and what goes with what is chosen."""

    id: str
    plant: PlantHead
    name: str
    about: str
    language: str
    languages: list[str]
    options: list[ProductOption]
    quantities: Quantities


class NextStep(TypedDict):
    """The next larger quantity of the ladder at which each costs less."""

    quantity: int
    net: str
    per_piece: str
    more: str


class ProductPrice(TypedDict):
    """The price at one quantity."""

    quantity: int
    price: Price
    ready_at: str | None
    next_step: NextStep | None
    quote: QuoteToken | None


class Refusal(TypedDict):
    """A reason why no press can make it."""

    message: str
    remedy: str


class ProductPricesAnswer(TypedDict):
    """The prices of a choice."""

    product: str
    name: str
    language: str
    plant: PlantHead
    options: dict[str, Any]
    job_fingerprint: str | None
    clock: Clock
    prices: list[ProductPrice]
    refusals: list[Refusal]


class PriceListAnswer(TypedDict):
    """Prices of every legal choice out of some, at every quantity."""

    product: str
    plant: PlantHead
    options: list[str]
    quantities: list[int]
    rows: list[dict[str, int | str | None]]
