"""What a shop has: presses, stocks, cost centres, finishing machines and its price policy."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from .binders import Binder
from .job import Proof
from .machines import Bindery
from .operations import FinishingMachine
from .plant_time import PlantTime
from .pricing import PricePolicy
from .rates import RateBuild
from .stock import Stock
from .work import Press


@dataclass(frozen=True, slots=True)
class CostCentre:
    """A place where hours are spent.

    rate_per_hour: all-inclusive, in the plant's currency; where it was built, not rounded
    build: what the rate is made of, None where it is given outright
    crew: people at it, None where the plant file does not say
    """

    id: str
    name: str
    rate_per_hour: float
    source: str
    build: RateBuild | None = None
    crew: float | None = None


@dataclass(frozen=True, slots=True)
class ProofRate:
    """What one kind of proof costs: bought material, and minutes at a cost centre.

    cost_centre: "" for the press itself (a press proof ties the press up)
    """

    material: float
    minutes: float
    cost_centre: str
    source: str


@dataclass(frozen=True, slots=True)
class Prepress:
    """What it takes before carriers are made or a plateless press is fed.

    artwork_min_per_part: to check what the customer sent
    imposition_min_per_form: to lay pages out and send one form
    data_set_up_min, data_min_per_1000: to read and map the data of variable pieces
    """

    cost_centre: str
    artwork_min_per_part: float
    imposition_min_per_form: float
    data_set_up_min: float
    data_min_per_1000: float
    source: str


@dataclass(frozen=True, slots=True)
class InstalledPress:
    """A press of the plant, and the process whose plug-in models it."""

    process: str
    press: Press


@dataclass(frozen=True, eq=False)
class Plant:
    """One shop, read from one plant file; compared and hashed by identity.

    revision: changes whenever the file does
    digits: decimals of the currency
    stock_tolerance: how far a stock's grammage may lie from the one asked, as a share
    presses: in the order of process and press id
    prepress: None where it is not charged for
    operations: machines for all other finishing, the one to use first first
    binders: in the order of the plant file, which is the order of preference
    time: when it works, and what it waits for
    group_policies: price policies of customer groups by id, instead of price_policy
    """

    id: str
    name: str
    revision: str
    currency: str
    digits: int
    stock_tolerance: float
    cost_centres: Mapping[str, CostCentre]
    stocks: Mapping[str, Stock]
    bindery: Bindery
    proofs: Mapping[Proof, ProofRate]
    price_policy: PricePolicy
    presses: tuple[InstalledPress, ...]
    prepress: Prepress | None = None
    operations: tuple[FinishingMachine, ...] = ()
    binders: tuple[Binder, ...] = ()
    time: PlantTime = field(default_factory=PlantTime)
    group_policies: Mapping[str, PricePolicy] = field(default_factory=dict)

    def for_group(self, group: str) -> Plant:
        """Return the plant as a customer group is priced; itself for "" and for one without."""
        policy = self.group_policies.get(group)
        return replace(self, price_policy=policy) if policy else self

    def rate(self, cost_centre: str) -> float:
        """Money an hour at a cost centre."""
        return self.cost_centres[cost_centre].rate_per_hour


class NoSuchStock(LookupError):  # noqa: N818  (an answer to the caller, not a fault)
    """No stock of the plant is near what was asked; the message lists those that come close."""


def find_stock(plant: Plant, grade: str, finish: str | None, grammage_gsm: float) -> Stock:
    """Return the plant's stock of a grade and finish nearest in grammage.

    Equally near ones are taken in the order of price for what they are first bought in, then id.
    Raises NoSuchStock when none lies within the plant's tolerance.
    """
    alike = [
        stock
        for stock in plant.stocks.values()
        if stock.grade == grade and finish in (None, stock.finish)
    ]
    near = [
        stock
        for stock in alike
        if abs(stock.grammage_gsm - grammage_gsm) <= plant.stock_tolerance * grammage_gsm
    ]
    if not near:
        raise NoSuchStock(_what_there_is(plant, grade, finish, alike))
    return min(near, key=lambda stock: _nearness(stock, grammage_gsm))


def _nearness(stock: Stock, grammage_gsm: float) -> tuple[float, float, str]:
    distance = abs(stock.grammage_gsm - grammage_gsm)
    return distance, stock.price, stock.id


def _what_there_is(plant: Plant, grade: str, finish: str | None, alike: list[Stock]) -> str:
    if alike:
        weights = ", ".join(f"{w:g}" for w in sorted({stock.grammage_gsm for stock in alike}))
        return f"no such grammage; {grade} {finish or ''} comes in {weights} g/m2".replace(
            "  ", " "
        )
    kinds = sorted({f"{stock.grade} {stock.finish}" for stock in plant.stocks.values()})
    return f"no such grade and finish; there is {', '.join(kinds)}"
