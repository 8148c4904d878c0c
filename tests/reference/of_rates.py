"""Adapters for hourly rates: a case's months, quarters and shares made into the basis of a year."""

from typing import Any

from reference.given import Inputs
from reference.register import Figures, answers
from sidelay.rates import (
    RateBasis,
    RateBuild,
    build_rate,
    capital_recovery_factor,
    capital_recovery_per_year,
)

MONTHS = 12
# What a case may call the items that a rate has, by the first word of the key.
PLACES = {
    "rent": "occupancy",
    "light": "occupancy",
    "lighting": "occupancy",
    "heat": "occupancy",
    "heating": "occupancy",
    "insurance": "occupancy",
    "standing": "occupancy",
    "foreman": "supervision",
    "supervision": "supervision",
    "supervisor": "supervision",
    "indirect": "supervision",
    "attendant": "supervision",
    "wages": "supervision",
    "labour": "supervision",
    "power": "power",
    "repairs": "repairs",
    "maintenance": "repairs",
    "oil": "supplies",
    "stores": "supplies",
    "supplies": "supplies",
    "consumable": "supplies",
    "sundry": "supplies",
}
TIMES_A_YEAR = {"m": 12.0, "month": 12.0, "q": 4.0, "quarter": 4.0, "y": 1.0, "year": 1.0}


@answers("budgeted all-inclusive hourly rate")
def budgeted_rate(inputs: Inputs) -> Figures:
    names = {
        "wage": "wage_per_hour",
        "fringe": "on_cost_share",
        "factory_overhead_rate": "factory_overhead_share",
        "admin_rate_on_factory_cost": "admin_share",
    }
    build = build_rate(RateBasis(**{names.get(key, key): value for key, value in inputs.items()}))
    return {
        "fixed": build.of_group("fixed"),
        "direct": build.of_group("direct"),
        "factory": build.per_year("factory_overhead"),
        "admin": build.per_year("administration"),
        "total": build.total_per_year,
        "chargeable_hours": build.chargeable_hours,
        "rate": build.rate_per_hour,
        "rate_at_100pct_productivity": build.rate_per_paid_hour,
    }


@answers("capital recovery")
def capital_recovery(inputs: Inputs) -> Figures:
    present = _first(inputs, "P", "principal", "investment", "cost")
    interest = _first(inputs, "i", "rate_per_month", "rate", "interest")
    periods = _first(inputs, "n", "life_years", "life", "years", "months")
    salvage = float(inputs.get("S", inputs.get("salvage", inputs.get("F", 0.0))))
    payment = capital_recovery_per_year(present, salvage, periods, interest)
    factor = capital_recovery_factor(interest, periods)
    return {
        "A": payment,
        "A_exact": payment,
        "pmt": payment,
        "factor": factor,
        "factor_4dp": round(factor, 4),
        "A_with_4dp_factor": present * round(factor, 4),  # as the source rounds on the way
        "total_interest": periods * payment - (present - salvage),
    }


@answers("machine hour rate")
def machine_hour_rate(inputs: Inputs) -> Figures:
    """Any money with a word of PLACES in front and a period behind is an item of the year."""
    hours, days = _hours_of_a_year(inputs)
    yearly = dict.fromkeys(PLACES.values(), 0.0)
    for key, value in inputs.items():
        if key == "per_8h_day":
            for name, amount in value.items():
                yearly[PLACES[name]] += amount * days
        elif (times := _times_a_year(key)) and (place := PLACES.get(key.split("_")[0])):
            yearly[place] += value * times * _part(inputs, key)
    bought = inputs.get("cost", 0.0) + inputs.get("freight", 0.0) + inputs.get("erection", 0.0)
    basis = _machine(inputs, bought, hours, yearly)
    if "repairs_pct_of_depreciation" in inputs:
        depreciation = build_rate(basis).per_year("depreciation")
        yearly["repairs"] += inputs["repairs_pct_of_depreciation"] * depreciation
        basis = _machine(inputs, bought, hours, yearly)
    return _told(build_rate(basis)) | {"days_per_year": days}


def _machine(inputs: Inputs, bought: float, hours: float, yearly: dict[str, float]) -> RateBasis:
    life = inputs["life_h"] / hours if "life_h" in inputs else inputs.get("life_years", 1)
    # Power for a period is given as money: one kWh an hour at the price that comes to it.
    kwh_price = inputs.get("kwh_price", 0.0) * inputs.get("kwh", 0.0) + yearly["power"] / hours
    return RateBasis(
        investment=bought,
        salvage=inputs.get("scrap", 0.0),
        life_years=life,
        floor_m2=1,
        occupancy_per_m2=yearly["occupancy"],
        supervision=yearly["supervision"],
        load_kw=1,
        kwh_price=kwh_price,
        repairs=yearly["repairs"],
        supplies=yearly["supplies"],
        chargeable_hours=hours,
    )


def _told(build: RateBuild) -> dict[str, Any]:
    items = {
        "depreciation": ("depreciation",),
        "repairs": ("repairs",),
        "power": ("power",),
        "standing": ("occupancy", "supervision"),
        "day_charges": ("power", "supplies", "supervision"),
    }
    figures: dict[str, Any] = {
        "rate": build.rate_per_hour,
        "total": build.total_per_year,
        "total_m": build.total_per_year / MONTHS,
        "total_y": build.total_per_year,
        "hours_per_year": build.chargeable_hours,
        "hours": build.chargeable_hours,
    }
    for name, parts in items.items():
        figures[f"{name}_h"] = build.per_hour(*parts)
        figures[f"{name}_m"] = build.per_year(*parts) / MONTHS
        figures[f"{name}_y"] = build.per_year(*parts)
    return figures


def _hours_of_a_year(inputs: Inputs) -> tuple[float, float]:
    """Hours and days of 8 hours in a year; days from what power costs in a year and in a day."""
    if "per_8h_day" in inputs and "annual_power" in inputs:
        days = inputs["annual_power"] / inputs["per_8h_day"]["power"]
        return 8 * days, days
    for key, times in (
        ("hours_m", MONTHS),
        ("hours_y", 1),
        ("hours_per_year", 1),
        ("annual_hours", 1),
        ("hours", 1),
    ):
        if key in inputs:
            return inputs[key] * times, inputs[key] * times / 8
    raise KeyError(f"no hours are given; inputs: {sorted(inputs)}")


def _times_a_year(key: str) -> float:
    return TIMES_A_YEAR.get(key.rsplit("_", 1)[-1], 0.0)


def _part(inputs: Inputs, key: str) -> float:
    """The machine's part of an amount: a share, points of a number of points, or one of several."""
    word = key.split("_")[0]
    shared_by = {"foreman": "shared_by", "supervisor": "shared_by", "supervision": "shared_by"}
    if f"{word}_share" in inputs:
        return float(inputs[f"{word}_share"])
    if f"{word}_points" in inputs:
        own, every = str(inputs[f"{word}_points"]).split("/")
        return float(own) / float(every)
    several = inputs.get(f"{word}_shared_by", inputs.get(shared_by.get(word, ""), 1))
    return 1 / float(several)


@answers("labour hour rate")
def labour_hour_rate(inputs: Inputs) -> Figures:
    """All labour of a shop as one centre, whose paid hours are those of everyone together."""
    paid = inputs["employees"] * inputs["paid_hours_per_year_each"]
    build = build_rate(
        RateBasis(
            investment=0,
            life_years=1,
            supervision=inputs["monthly_labour"] * MONTHS,
            paid_hours=paid,
            productivity=inputs.get("productivity", 1.0),
        )
    )
    return {
        "hours_per_month": build.chargeable_hours / MONTHS,
        "hours_per_year": build.chargeable_hours,
        "rate": build.rate_per_hour,
    }


def _first(inputs: Inputs, *names: str) -> float:
    for name in names:
        if name in inputs:
            return float(inputs[name])
    raise KeyError(f"none of {names} is given; inputs: {sorted(inputs)}")
