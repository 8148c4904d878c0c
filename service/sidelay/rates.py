"""Hourly rates built from what a cost centre costs in a year; money in the plant's currency.

The trade's all-inclusive rate: what a year costs, whatever is printed (fixed), what it costs to
work (direct), a share of the factory's and of the office's expense, over the CHARGEABLE hours. No
profit is in it. Three decisions, made once and for all centres:

- Wages are paid on paid hours; power is drawn on chargeable hours only.
- Capital is either written off in a straight line or recovered with interest, never both: capital
  recovery pays the principal back already, and depreciation beside it would count that twice.
- Make-ready and wash-up are chargeable hours.

Case ids (BHR-01) refer to tests/reference/cases/rates.json, where each has its source.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import expm1, inf, log1p
from typing import Literal

from .figures import Given

Group = Literal["fixed", "direct", "overhead"]

# Units of what formulas take, by the names of RateBasis.
MONEY, MONEY_A_YEAR, SHARE_A_YEAR = "money", "money/a", "1/a"
UNITS = {
    "investment": MONEY,
    "salvage": MONEY,
    "life_years": "a",
    "interest": SHARE_A_YEAR,
    "floor_m2": "m2",
    "occupancy_per_m2": "money/m2/a",
    "insurance_rate": SHARE_A_YEAR,
    "crew": "{person}",
    "wage_per_hour": "money/h",
    "paid_hours": "h/a",
    "on_cost_share": "1",
    "supervision": MONEY_A_YEAR,
    "load_kw": "kW",
    "load_factor": "1",
    "kwh_price": "money/kW.h",
    "repairs": MONEY_A_YEAR,
    "supplies": MONEY_A_YEAR,
    "factory_overhead_share": "1",
    "admin_share": "1",
}

# 1 plus an interest below this is 1 in binary fractions, so it is none.
NO_INTEREST = 1e-15


@dataclass(frozen=True, slots=True)
class RateBasis:
    """What a cost centre costs in a year, and the hours that can be charged. Shares are 0..1.

    investment, salvage: bought for, and worth at the end of its life; life_years
    interest: None to write off in a straight line; else capital is recovered at it, a year
    floor_m2, occupancy_per_m2: rent, rates, heat and light by floor area, a year
    insurance_rate: insurance and property tax of a year, as a share of the investment
    crew, wage_per_hour, paid_hours: people at it, and the paid hours of a year of each
    on_cost_share: social charges and leave, on top of wages
    supervision, repairs, supplies: money a year
    load_kw, load_factor, kwh_price: connected load, share of it drawn on average, price of a kWh
    factory_overhead_share: on fixed and direct cost; admin_share: on factory cost, that included
    productivity: chargeable hours as a share of paid hours; or chargeable_hours outright, a year
    Raises ValueError for a figure below nought, no life, salvage above the investment, no
    chargeable hours, or both or neither of productivity and chargeable_hours.
    """

    investment: float
    life_years: float
    salvage: float = 0.0
    interest: float | None = None
    floor_m2: float = 0.0
    occupancy_per_m2: float = 0.0
    insurance_rate: float = 0.0
    crew: float = 0.0
    wage_per_hour: float = 0.0
    paid_hours: float = 0.0
    on_cost_share: float = 0.0
    supervision: float = 0.0
    load_kw: float = 0.0
    load_factor: float = 1.0
    kwh_price: float = 0.0
    repairs: float = 0.0
    supplies: float = 0.0
    factory_overhead_share: float = 0.0
    admin_share: float = 0.0
    productivity: float | None = None
    chargeable_hours: float | None = None

    def __post_init__(self) -> None:
        for name in self.__dataclass_fields__:
            value = getattr(self, name)
            if value is not None and not 0 <= value < inf:
                raise ValueError(f"{name} must be 0 or more, not {value!r}")
        _require_life(self.life_years)
        if self.salvage > self.investment:
            raise ValueError("salvage must not exceed the investment")
        if (self.productivity is None) == (self.chargeable_hours is None):
            raise ValueError("expected either productivity or chargeable_hours")
        if not self.hours > 0:
            raise ValueError("a rate needs chargeable hours; there are none")

    @property
    def hours(self) -> float:
        """Chargeable hours of a year."""
        if self.chargeable_hours is not None:
            return self.chargeable_hours
        return self.paid_hours * (self.productivity or 0.0)


@dataclass(frozen=True, slots=True)
class RateItem:
    """One item of a rate: money a year, and how it was computed, in words and as a formula.

    formula, inputs: as of a figures.Figure; money in the plant's currency has the unit "money"
    """

    name: str
    group: Group
    per_year: float
    because: str
    formula: str = ""
    inputs: tuple[Given, ...] = ()


@dataclass(frozen=True, slots=True)
class RateBuild:
    """A rate and what it is made of; items of nought are left out.

    chargeable_hours, paid_hours: of a year
    """

    items: tuple[RateItem, ...]
    chargeable_hours: float
    paid_hours: float

    @property
    def total_per_year(self) -> float:
        """Money a year, all items."""
        return sum(item.per_year for item in self.items)

    @property
    def rate_per_hour(self) -> float:
        """Money for a chargeable hour, not rounded."""
        return self.total_per_year / self.chargeable_hours

    @property
    def rate_per_paid_hour(self) -> float | None:
        """Money for a paid hour: the rate if every paid hour could be charged at no more cost.

        None where no hours are paid.
        """
        return self.total_per_year / self.paid_hours if self.paid_hours else None

    def per_year(self, *names: str) -> float:
        """Money a year of some items, 0 for those that are not there."""
        return sum(item.per_year for item in self.items if item.name in names)

    def per_hour(self, *names: str) -> float:
        """Money of some items for a chargeable hour."""
        return self.per_year(*names) / self.chargeable_hours

    def of_group(self, group: Group) -> float:
        """Money a year of the items of a group."""
        return sum(item.per_year for item in self.items if item.group == group)


def straight_line_per_year(investment: float, salvage: float, life_years: float) -> float:
    """Depreciation a year in equal parts. Raises ValueError without a life.

    A life in hours gives money an hour. Source: machine hour rate problems (MHR-03, MHR-04).
    """
    _require_life(life_years)
    return (investment - salvage) / life_years


def capital_recovery_factor(interest: float, periods: float) -> float:
    """A/P: the equal payment a period that pays back 1 with interest, i(1+i)^n / ((1+i)^n - 1).

    interest: a period, a share; at 0 it is 1 / periods. Raises ValueError without periods or for
    interest below 0. Source: engineering economy texts (CRF-01, CRF-02).
    """
    _require_life(periods)
    if not 0 <= interest < inf:
        raise ValueError(f"interest must be a share of 0 or more, not {interest!r}")
    if interest < NO_INTEREST:
        return 1 / periods
    # The same formula divided through by (1+i)^n: it neither overflows nor loses small interest.
    return interest / -expm1(-periods * log1p(interest))


def sinking_fund_factor(interest: float, periods: float) -> float:
    """A/F: the equal payment a period that grows to 1 with interest; A/P less the interest."""
    return capital_recovery_factor(interest, periods) - interest


def capital_recovery_per_year(
    investment: float, salvage: float, life_years: float, interest: float
) -> float:
    """Depreciation and interest in one equal yearly sum, P(A/P) - S(A/F).

    Any period serves, so long as life and interest are in the same. Raises ValueError as
    `capital_recovery_factor`. Source: engineering economy texts (BE-01, CRF-01, CRF-02).
    """
    recovered = investment * capital_recovery_factor(interest, life_years)
    return recovered - salvage * sinking_fund_factor(interest, life_years)


def build_rate(basis: RateBasis) -> RateBuild:
    """Build the all-inclusive rate of a cost centre and say what it is made of.

    Source: formulae of the master printers' and cost-finding handbooks, as BHR-01 pins them.
    """
    own = [*_fixed(basis), *_direct(basis)]
    before = sum(item.per_year for item in own)
    factory = basis.factory_overhead_share * before
    admin = basis.admin_share * (before + factory)
    own_cost = Given("fixed_and_direct_cost", before, MONEY_A_YEAR)
    factory_cost = Given("factory_cost", before + factory, MONEY_A_YEAR)
    items = [
        *own,
        RateItem(
            "factory_overhead",
            "overhead",
            factory,
            f"{_share(basis.factory_overhead_share)} of fixed and direct cost, {before:,.2f}",
            "factory_overhead_share x fixed_and_direct_cost",
            (_of(basis, "factory_overhead_share"), own_cost),
        ),
        RateItem(
            "administration",
            "overhead",
            admin,
            f"{_share(basis.admin_share)} of factory cost, {before + factory:,.2f}",
            "admin_share x factory_cost",
            (_of(basis, "admin_share"), factory_cost),
        ),
    ]
    return RateBuild(tuple(item for item in items if item.per_year), basis.hours, basis.paid_hours)


def _fixed(basis: RateBasis) -> list[RateItem]:
    """Items that are there whether the centre works or not."""
    floor, share = basis.floor_m2, basis.insurance_rate
    return [
        _capital(basis),
        RateItem(
            "occupancy",
            "fixed",
            floor * basis.occupancy_per_m2,
            f"{floor:g} m2 at {basis.occupancy_per_m2:,.2f} a year",
            "floor_m2 x occupancy_per_m2",
            _all(basis, "floor_m2", "occupancy_per_m2"),
        ),
        RateItem(
            "insurance",
            "fixed",
            share * basis.investment,
            f"{_share(share)} of {basis.investment:,.2f}",
            "insurance_rate x investment",
            _all(basis, "insurance_rate", "investment"),
        ),
    ]


def _capital(basis: RateBasis) -> RateItem:
    paid, left, life = basis.investment, basis.salvage, basis.life_years
    if basis.interest is None:
        because = f"{paid:,.2f} less {left:,.2f} left, over {life:g} years in a straight line"
        yearly = straight_line_per_year(paid, left, life)
        formula = "(investment - salvage) / life_years"
        inputs = _all(basis, "investment", "salvage", "life_years")
        return RateItem("depreciation", "fixed", yearly, because, formula, inputs)
    because = (
        f"{paid:,.2f}, of which {left:,.2f} is left, recovered over {life:g} years with "
        f"{_share(basis.interest)} interest; no depreciation beside it"
    )
    yearly = capital_recovery_per_year(paid, left, life, basis.interest)
    factor = capital_recovery_factor(basis.interest, life)
    return RateItem(
        "capital_recovery",
        "fixed",
        yearly,
        f"{because}; the factor is i(1+i)^n / ((1+i)^n - 1)",
        "investment x recovery_factor - salvage x (recovery_factor - interest)",
        (
            *_all(basis, "investment", "salvage", "interest"),
            Given("recovery_factor", factor, SHARE_A_YEAR),
        ),
    )


def _direct(basis: RateBasis) -> list[RateItem]:
    """Items of working: people on paid hours, power on chargeable hours."""
    wages = basis.crew * basis.wage_per_hour * basis.paid_hours * (1 + basis.on_cost_share)
    kwh = basis.load_kw * basis.load_factor * basis.hours
    return [
        RateItem(
            "wages",
            "direct",
            wages,
            f"crew of {basis.crew:g} at {basis.wage_per_hour:,.2f} an hour, "
            f"{basis.paid_hours:,g} paid hours, {_share(basis.on_cost_share)} on top",
            "crew x wage_per_hour x paid_hours x (1 + on_cost_share)",
            _all(basis, "crew", "wage_per_hour", "paid_hours", "on_cost_share"),
        ),
        _as_given(basis, "supervision"),
        RateItem(
            "power",
            "direct",
            kwh * basis.kwh_price,
            f"{basis.load_kw:g} kW, {_share(basis.load_factor)} of it drawn, over "
            f"{basis.hours:,g} chargeable hours at {basis.kwh_price:g} a kWh",
            "load_kw x load_factor x chargeable_hours x kwh_price",
            (
                *_all(basis, "load_kw", "load_factor", "kwh_price"),
                Given("chargeable_hours", basis.hours, "h/a"),
            ),
        ),
        _as_given(basis, "repairs"),
        _as_given(basis, "supplies"),
    ]


def _as_given(basis: RateBasis, name: str) -> RateItem:
    given = _of(basis, name)
    return RateItem(name, "direct", given.number, "as given for a year", name, (given,))


def _all(basis: RateBasis, *names: str) -> tuple[Given, ...]:
    return tuple(_of(basis, name) for name in names)


def _of(basis: RateBasis, name: str) -> Given:
    """One figure of a basis as an input of a formula."""
    return Given(name, float(getattr(basis, name)), UNITS[name])


def _share(share: float) -> str:
    return f"{100 * share:g} %"


def _require_life(life: float) -> None:
    if not 0 < life < inf:
        raise ValueError(f"a life must be more than 0, not {life!r}")
