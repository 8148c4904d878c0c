"""Reads a plant file (TOML). Every fault is told with file, line, table, key, reason and fix."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from .buying import Terms
from .machines import Bindery, Deboss, Folder, Guillotine, Slitter, TableCutter
from .money import minor_digits
from .operation_schema import finishing_machine
from .paper import KG_PER_PRICE_UNIT, caliper_um, price_per_sheet
from .paper_rolls import roll_length_from_diameter_m
from .paper_sizes import named_size
from .plant import CostCentre, InstalledPress, Plant, Prepress, ProofRate
from .plant_references import check_references
from .plant_schema import PlantSchema
from .plant_time import PlantTime
from .pricing import PricePolicy
from .processes import Processes
from .rates import build_rate
from .stock import Blank, ParentSheet, Reel, Stock
from .stock_schema import SQUARE_METRE, sold_by
from .toml_file import FileFaults, loaded, read_located
from .toml_fixes import near


def read_plant(path: Path, processes: Processes) -> Plant:
    """Return the plant of a file. Raises PlantFileError with every fault, OSError if unreadable."""
    data, revision, faults = read_located(path)
    return _plant(data, revision, processes, faults)


def plant_of(data: dict[str, Any], revision: str, file: str, processes: Processes) -> Plant:
    """Return the plant that a file holds. Raises PlantFileError with every fault.

    data: what the file holds; revision, file: what it and its faults are told by
    """
    return _plant(data, revision, processes, FileFaults(file))


def _plant(
    data: dict[str, Any], revision: str, processes: Processes, faults: FileFaults
) -> Plant:
    plain = loaded(PlantSchema(), data, "", faults)
    presses = tuple(_presses(data.get("presses"), processes, faults))
    check_references(data, faults)
    faults.stop()
    return _built(plain, presses, revision)


def _presses(
    tables: object, processes: Processes, faults: FileFaults
) -> Iterator[InstalledPress]:
    """Yield the presses that are sound; what is no table is a fault of the plant's schema."""
    for number, table in enumerate(tables if isinstance(tables, list) else ()):
        if not isinstance(table, dict):
            continue
        process = table.get("process", "")
        name = f"presses[{number}]"
        if not isinstance(process, str) or process not in processes.about:
            known = ", ".join(processes.about)
            told = "".join(f"; left out: {fault.why}" for fault in processes.faults)
            faults.add(
                name,
                "process",
                f"no installed plug-in models {process!r}; there is {known}{told}",
                near(process, processes.about) or "Name one of them, or install its plug-in.",
            )
            continue
        rest = {key: value for key, value in table.items() if key != "process"}
        press = loaded(processes.press_schema(process), rest, name, faults)
        if press:
            yield InstalledPress(process, press)  # type: ignore[arg-type]


def _built(plain: dict[str, Any], presses: tuple[InstalledPress, ...], revision: str) -> Plant:
    about, currency = plain["plant"], plain["plant"]["currency"]
    digits = minor_digits(currency)
    return Plant(
        id=about["id"],
        name=about["name"],
        revision=revision,
        currency=currency,
        digits=digits,
        stock_tolerance=about["stock_tolerance"],
        cost_centres={centre["id"]: _cost_centre(centre) for centre in plain["cost_centres"]},
        stocks={stock["id"]: _stock(stock) for stock in plain["stocks"]},
        bindery=_bindery(plain["finishing"]),
        proofs={kind: ProofRate(**proof) for kind, proof in plain["proofs"].items()},
        price_policy=_policy(plain["price_policy"], digits),
        prepress=Prepress(**plain["prepress"]) if plain["prepress"] else None,
        presses=tuple(sorted(presses, key=lambda each: (each.process, each.press.id))),
        operations=tuple(map(finishing_machine, plain["operations"])),
        binders=tuple(plain["binders"]),
        time=plain["time"] or PlantTime(),
        group_policies={
            group["id"]: _policy(group["price_policy"], digits)
            for group in plain["customer_groups"]
        },
    )


def _cost_centre(table: dict[str, Any]) -> CostCentre:
    about = table["id"], table["name"]
    if "basis" not in table:
        crew = table.get("crew") or None
        return CostCentre(*about, table["rate_per_hour"], table["source"], crew=crew)
    build = build_rate(table["basis"])
    crew = table["basis"].crew or None
    return CostCentre(*about, build.rate_per_hour, table["source"], build, crew)


def _policy(table: dict[str, Any], digits: int) -> PricePolicy:
    scale = 10.0**digits

    def minor(amount: float) -> int:
        return round(amount * scale)

    return PricePolicy(
        table["material_markup"],
        table["time_markup"],
        table["outwork_markup"],
        minor(table["minimum_charge"]),
        max(1, minor(table["round_up_to"])),
        margins_by_quantity=tuple(table["margins_by_quantity"]),
        margins_by_value=tuple((minor(start), share) for start, share in table["margins_by_value"]),
        rush_premium=table["rush_premium"],
        cash_step=minor(table["cash_step"]),
        overs_tolerance=table["overs_tolerance"],
    )


def _bindery(table: dict[str, Any]) -> Bindery:
    slitter, deboss, cutter = table["slitter"], table["deboss"], table["table_cutter"]
    return Bindery(
        Guillotine(**table["guillotine"]),
        Folder(**table["folder"]),
        Slitter(**slitter) if slitter else None,
        Deboss(**deboss | {"grades": tuple(deboss["grades"])}) if deboss else None,
        TableCutter(**cutter) if cutter else None,
    )


def _stock(table: dict[str, Any]) -> Stock:
    grammage = table["grammage_gsm"]
    thickness = table.get("caliper_um") or caliper_um(grammage, table["bulk_cm3_per_g"])
    return Stock(
        id=table["id"],
        name=table["name"],
        grade=table["grade"],
        finish=table["finish"],
        grammage_gsm=grammage,
        caliper_um=thickness,
        sheets=tuple(_sheet(sheet, table) for sheet in table["sheets"]),
        reels=tuple(_reel(reel, table, thickness) for reel in table["reels"]),
        blanks=tuple(_blank(blank, table) for blank in table["blanks"]),
        tone=table["tone"],
        treated=table["treated"],
        lead_days=table["lead_days"],
    )


def _sheet(sheet: dict[str, Any], stock: dict[str, Any]) -> ParentSheet:
    size = named_size(sheet["size"]) if "size" in sheet else (sheet["width_mm"], sheet["height_mm"])
    short, long = sorted(map(float, size))
    price, unit, source = _price(sheet, stock)

    def of_one(money: float) -> float:
        return price_per_sheet(money, unit, short, long, stock["grammage_gsm"])

    terms = _terms(sheet, stock, price, of_one)
    return ParentSheet(short, long, sheet["grain"], of_one(price), source, terms)


def _reel(reel: dict[str, Any], stock: dict[str, Any], thickness: float) -> Reel:
    price, unit, source = _price(reel, stock)
    kg_per_m2 = stock["grammage_gsm"] / 1000
    by_area = unit == SQUARE_METRE

    def of_one(money: float) -> float:
        return money if by_area else money * kg_per_m2 / KG_PER_PRICE_UNIT[unit]

    length = reel.get("length_m") or roll_length_from_diameter_m(
        reel["diameter_mm"], reel["core_mm"], thickness
    )
    # What is priced by weight is ordered by weight: kilograms in the file, square metres here.
    terms = _terms(reel, stock, price, of_one, 1 if by_area else 1 / kg_per_m2)
    return Reel(reel["width_mm"], round(length, 1), of_one(price), source, terms)


def _blank(blank: dict[str, Any], stock: dict[str, Any]) -> Blank:
    width, height, price = blank["width_mm"], blank["height_mm"], blank["price"]
    terms = _terms(blank, stock, price, lambda money: money)
    return Blank(blank["label"], width, height, price, stock["source"], terms)


def _terms(
    supply: dict[str, Any],
    stock: dict[str, Any],
    price: float,
    of_one: Callable[[float], float],
    units: float = 1.0,
) -> Terms | None:
    """Return how a sheet, reel or blank is sold, None for any number at its price.

    price: as the file has it; of_one: makes it the price of one unit; units: in one of what the
    file counts in
    """
    pack, least = sold_by(supply, stock, "pack"), sold_by(supply, stock, "least_order")
    breaks = sold_by(supply, stock, "price_breaks")
    if not (pack or least or breaks):
        return None
    tiers = ((0.0, price), *((start * units, money) for start, money in breaks or ()))
    return Terms(
        pack=(pack or 0.0) * units,
        least=(least or 0.0) * units,
        tiers=tuple((start, of_one(money)) for start, money in tiers),
        breaks_packs=sold_by(supply, stock, "breaks_packs") is not False,
    )


def _price(supply: dict[str, Any], stock: dict[str, Any]) -> tuple[float, str, str]:
    """Return price, unit and source of a sheet or a reel: its own, or those of the stock."""
    price, unit = supply.get("price", stock["price"]), supply.get("price_unit", stock["price_unit"])
    return price, unit, f"{stock['source']}; {price:g} a {unit.replace('_', ' ')}"
