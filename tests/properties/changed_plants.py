"""Plants whose own figures are changed, to be planned anew: what `what_if.py` is held against.

Nothing here knows of stages, lines or tables: only which figures of a press, a machine, a stock or
a cost centre a factor is said to act on.

A rate that a press model counts into its image carriers (the screen room's labour, the engraver's
hour) belongs to `carrier_price`: "and making them". It is no cost centre of the plant.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from sidelay.job import Job
from sidelay.plant import InstalledPress, Plant
from sidelay.stock import Reel, Stock

LONG = 1e15  # of a life, that nothing wears out

CARRIER_PRICES = {
    "sheetfed_litho": ("plate_price", "coating_plate_price"),
    "web_litho": ("plate_price",),
    "flexo": ("plate_price_per_cm2",),
    "gravure": (
        "base_price_per_m2",
        "copper_price_per_m2",
        "handling_price_per_cylinder",
        "engraving_rate_per_hour",
        "chrome_price_per_m2",
    ),
    "letterpress": (
        "block_price_per_cm2",
        "block_min_price",
        "die_price_per_cm2",
        "die_min_price",
    ),
    "screen": ("screen_price", "stencil_price", "screen_labour_rate_per_hour"),
}
CLICK_CHARGES = {
    "toner": ("click_mono_price", "click_colour_price", "click_extra_price"),
    "dod_inkjet": ("click_price",),
}
MAKE_READY_MINUTES = {
    "sheetfed_litho": ("make_ready_min_per_form", "make_ready_min_per_plate", "stock_set_up_min"),
    "web_litho": (
        "make_ready_min",
        "make_ready_min_per_plate",
        "fold_set_up_min",
        "reel_width_change_min",
    ),
    "flexo": ("stock_change_min", "make_ready_min_per_plate", "mounting_min_per_plate"),
    "gravure": ("stock_change_min", "make_ready_min_per_cylinder"),
    "letterpress": (
        "make_ready_min",
        "make_ready_min_per_further_pass",
        "feeder_set_up_min",
        "deep_packing_min",
    ),
    "screen": ("make_ready_min_per_screen", "stock_set_up_min"),
    "toner": ("make_ready_min", "stock_change_min"),
    "dod_inkjet": ("make_ready_min", "stock_change_min"),
    "continuous_inkjet": ("start_min", "set_up_min", "head_min", "data_min"),
}
SPEEDS = {
    "sheetfed_litho": ("rated_sheets_per_hour",),
    "web_litho": ("rated_cutoffs_per_hour", "max_web_m_per_min"),
    "flexo": ("rated_m_per_min", "die_m_per_min"),
    "gravure": ("rated_m_per_min",),
    "letterpress": ("rated_impressions_per_hour",),
    "screen": ("rated_per_hour",),
    "toner": ("sides_per_minute_by_length",),
    "dod_inkjet": (
        "jetting_khz",
        "rated_m_per_min",
        "rated_sheets_per_hour",
        "one_pass_m2_per_hour",
    ),
    "continuous_inkjet": ("max_m_per_min", "rated_pieces_per_hour", "drop_khz"),
}
# Seconds that hold a press back: as much shorter as it runs faster.
HOLDS = {
    "screen": ("load_s", "stroke_s", "flash_s", "dryer_s"),
    "dod_inkjet": ("load_s",),
    "continuous_inkjet": ("drying_porous_s", "drying_closed_s"),
}
RUNNING_WASTES = {
    "sheetfed_litho": ("running_waste",),
    "web_litho": ("running_waste", "running_waste_per_colour"),
    "flexo": ("running_waste", "reel_change_m"),
    "gravure": ("running_waste", "reel_change_m"),
    "letterpress": ("running_waste",),
    "screen": ("running_waste",),
    "toner": ("running_waste",),
    "dod_inkjet": ("running_waste",),
    "continuous_inkjet": ("running_waste",),
}
SPOILED = {
    "sheetfed_litho": ("make_ready_sheets_per_form", "make_ready_sheets_per_plate"),
    "web_litho": (
        "make_ready_copies",
        "make_ready_copies_per_colour",
        "make_ready_copies_per_web",
    ),
    "letterpress": ("make_ready_sheets_per_pass",),
    "screen": ("make_ready_pieces_per_screen",),
    "toner": ("make_ready_sheets",),
    "dod_inkjet": ("make_ready_cycles",),
    "continuous_inkjet": ("make_ready_pieces",),
}
SPOILED_METRES = {
    "flexo": ("make_ready_m_per_job", "make_ready_m_per_plate"),
    "gravure": ("make_ready_m_per_job", "make_ready_m_per_cylinder"),
    "dod_inkjet": ("make_ready_m",),
    "continuous_inkjet": ("make_ready_m",),
}
# What is not in proportion: stops for piles and reels are no running, and worn carriers that are
# hung anew make the press slower by minutes that are called make-ready elsewhere.
NO_STOPS: dict[str, dict[str, Any]] = {
    "sheetfed_litho": {"non_stop_feeder": True},
    "web_litho": {"splicer": True},
    "flexo": {"splices": True, "plate_life_repeats": LONG, "die_life_repeats": LONG},
    "gravure": {"splices": True, "chrome_wear_um_per_100k": 1 / LONG},
    "letterpress": {
        "pile_change_min": 0.0,
        "photopolymer_life_impressions": LONG,
        "type_life_impressions": LONG,
        "electro_life_impressions": LONG,
        "die_life_impressions": LONG,
    },
    "screen": {"stencil_life_pulls": LONG},
    "toner": {},
    "dod_inkjet": {"pile_mm": 0.0, "reel_change_min": 0.0},
    "continuous_inkjet": {"splices": True},
}
Fields = Mapping[str, tuple[str, ...]]
Change = Callable[[Plant, float], Plant]


def without_stops(plant: Plant) -> Plant:
    """The plant with presses that stand still for nothing once they run."""
    return _with_presses(plant, lambda each: replace(each.press, **NO_STOPS[each.process]))


def in_tens(plant: Plant) -> Plant:
    """The plant with all that is spoiled at a start in whole tens, so that a tenth is whole."""
    return _spoiling(_presses_times(plant, SPOILED, 1.0, after=_ten), _ten)


def shared_by_none(plant: Plant) -> Plant:
    """The plant without the spoiled sheets and metres that are shared out before they are begun.

    Those of a cutter and a folder stand once for all sections alike, of which each bears its share
    in whole sheets; metres of web are shared out to repeats.
    """
    plant = _presses_times(plant, SPOILED_METRES, 0.0)
    return _spoiling(plant, lambda _: 0, binders=False)


def _spoiling(plant: Plant, count: Callable[[Any], Any], *, binders: bool = True) -> Plant:
    bindery = plant.bindery
    cutter, folder, slitter = bindery.guillotine, bindery.folder, bindery.slitter
    bindery = replace(
        bindery,
        guillotine=_times(cutter, ("set_up_waste_sheets",), 1.0, count),
        folder=_times(folder, ("set_up_waste_pieces_per_fold",), 1.0, count),
        slitter=slitter and _times(slitter, ("set_up_waste_m",), 1.0, count),
    )
    operations = tuple(_times(each, ("set_up_waste",), 1.0, count) for each in plant.operations)
    if binders:
        kept = tuple(_times(each, ("set_up_waste_copies",), 1.0, count) for each in plant.binders)
        plant = replace(plant, binders=kept)
    return replace(plant, bindery=bindery, operations=operations)


def dearer_stock(stock: Stock, by: float) -> Stock:
    """A stock at so many times its price, whatever it is sold in and on whatever terms."""
    return replace(
        stock,
        **{
            kind: tuple(_dearer(supply, by) for supply in getattr(stock, kind))
            for kind in ("sheets", "reels", "blanks")
        },
    )


def _dearer(supply: Any, by: float) -> Any:
    price = "price_per_m2" if isinstance(supply, Reel) else "price"
    terms = supply.terms
    if terms is not None:
        terms = replace(terms, tiers=tuple((start, money * by) for start, money in terms.tiers))
    return replace(supply, **{price: getattr(supply, price) * by}, terms=terms)


def _dearer_stocks(plant: Plant, by: float) -> Plant:
    return replace(
        plant, stocks={name: dearer_stock(stock, by) for name, stock in plant.stocks.items()}
    )


def _dearer_hours(plant: Plant, by: float) -> Plant:
    return replace(
        plant,
        cost_centres={
            name: replace(centre, rate_per_hour=centre.rate_per_hour * by)
            for name, centre in plant.cost_centres.items()
        },
    )


def _other_speed(plant: Plant, by: float) -> Plant:
    return _presses_times(_presses_times(plant, SPEEDS, by), HOLDS, 1 / by)


def _other_waste(plant: Plant, by: float) -> Plant:
    """Counts come out whole: `in_tens` first, and changes by tenths."""
    plant = _presses_times(plant, SPOILED, by, after=round)
    for fields in (RUNNING_WASTES, SPOILED_METRES):
        plant = _presses_times(plant, fields, by)
    bindery = plant.bindery
    cutter, folder = bindery.guillotine, bindery.folder
    return replace(
        plant,
        bindery=replace(
            bindery,
            guillotine=_wasting(cutter, "set_up_waste_sheets", by),
            folder=_wasting(folder, "set_up_waste_pieces_per_fold", by),
            slitter=bindery.slitter
            and _times(bindery.slitter, ("set_up_waste_m", "running_waste"), by),
            deboss=bindery.deboss and _times(bindery.deboss, ("running_waste",), by),
        ),
        operations=tuple(_wasting(each, "set_up_waste", by) for each in plant.operations),
        binders=tuple(_wasting(each, "set_up_waste_copies", by) for each in plant.binders),
    )


def _wasting(machine: Any, set_up: str, by: float) -> Any:
    return _times(_times(machine, (set_up,), by, round), ("running_waste",), by)


CHANGES: dict[str, Change] = {
    "stock_price": _dearer_stocks,
    "click_charge": lambda plant, by: _presses_times(plant, CLICK_CHARGES, by),
    "hourly_rates": _dearer_hours,
    "make_ready_time": lambda plant, by: _presses_times(plant, MAKE_READY_MINUTES, by),
    "carrier_price": lambda plant, by: _presses_times(plant, CARRIER_PRICES, by),
    "running_speed": _other_speed,
    "waste": _other_waste,
}


def changed_shop(plant: Plant, job: Job, factor: str, by: float) -> tuple[Plant, Job]:
    """A plant with its own figures changed, and the job on its stocks."""
    if factor == "stock_price":
        parts = tuple(replace(part, stock=dearer_stock(part.stock, by)) for part in job.parts)
        job = replace(job, parts=parts)
    return CHANGES[factor](plant, by), job


def _presses_times(
    plant: Plant, fields: Fields, by: float, after: Callable[[Any], Any] = lambda figure: figure
) -> Plant:
    return _with_presses(
        plant, lambda each: _times(each.press, fields.get(each.process, ()), by, after)
    )


def _with_presses(plant: Plant, press_of: Callable[[InstalledPress], Any]) -> Plant:
    presses = tuple(replace(each, press=press_of(each)) for each in plant.presses)
    return replace(plant, presses=presses)


def _times(
    held: Any,
    fields: tuple[str, ...],
    by: float,
    after: Callable[[Any], Any] = lambda figure: figure,
) -> Any:
    """Some fields of a press or a machine times a factor; of a table of steps, what it gives."""
    return replace(held, **{name: after(_figure_times(getattr(held, name), by)) for name in fields})


def _figure_times(figure: Any, by: float) -> Any:
    if isinstance(figure, tuple):
        return tuple((at, value * by) for at, value in figure)
    return figure * by


def _ten(figure: float) -> int:
    return -int(-figure // 10) * 10
