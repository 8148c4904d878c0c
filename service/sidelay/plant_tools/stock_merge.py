"""Puts what a merchant offers into the stocks of a plant file: plain data in, plain data out.

A figure is written where it stands: with the sheet that has its own, or with the stock when all
that take it from there agree. What the list does not tell of keeps its figures, whatever happens
to those of its stock.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from marshmallow import ValidationError

from ..paper_sizes import UnknownSize, named_size
from ..stock_schema import PRICE_OF_ITS_OWN, StockSchema, sold_by
from .stock_list import KINDS, SOLD_KEYS, ListItem, Reject
from .stock_prices import PriceMove, price_move

Plain = dict[str, Any]
TERMS = ("pack", "least_order", "price_breaks")
# What must be the same paper: a list that says otherwise has another one under this id.
IDENTITY = ("grade", "finish", "grammage_gsm")
SAME_MM = 0.05


@dataclass(frozen=True, slots=True)
class Merged:
    """What comes of a stock.

    stock: as the plant file is to have it; None where it is not taken
    """

    id: str
    stock: Plain | None
    is_new: bool
    is_changed: bool
    moves: tuple[PriceMove, ...] = ()
    rejects: tuple[Reject, ...] = ()


class _NotTakenError(Exception):
    """A stock that is not taken, and why; item: the one at fault, None for all."""

    def __init__(self, reason: str, value: object = "", item: ListItem | None = None) -> None:
        super().__init__(reason)
        self.reason, self.value, self.item = reason, str(value), item


def merge(
    items: Iterable[ListItem],
    stocks: Sequence[Mapping[str, Any]],
    *,
    most_move: float,
    keep_price_breaks: bool = False,
) -> list[Merged]:
    """Return what comes of each stock of a list, in its order.

    stocks: those of the plant file; most_move: how many times dearer or cheaper a price may become
    keep_price_breaks: whether breaks stay where the list tells none with a new price
    """
    by_stock: dict[str, list[ListItem]] = {}
    for item in items:
        by_stock.setdefault(item.stock, []).append(item)
    known = {str(stock["id"]): stock for stock in stocks}
    found = []
    for name, offered in by_stock.items():
        old = known.get(name)
        try:
            if old is None:
                stock, moves = _new(name, offered), list[PriceMove]()
            else:
                stock, moves = _updated(old, offered, keep_price_breaks, most_move)
            _check(stock)
        except _NotTakenError as fault:
            at_fault = [fault.item] if fault.item else offered
            rows = {row for item in at_fault for row in item.rows}
            others = {row for item in offered for row in item.rows} - rows
            rejects = [Reject(row, "", fault.value, fault.reason) for row in sorted(rows)]
            told = f"the same stock as row {min(rows)}, which is rejected"
            rejects += [Reject(row, "", name, told) for row in sorted(others)]
            found.append(Merged(name, None, old is None, is_changed=False, rejects=tuple(rejects)))
        else:
            changed = old is None or stock != old
            found.append(Merged(name, stock, old is None, changed, tuple(moves)))
    return found


def _check(stock: Mapping[str, Any]) -> None:
    """Refuse a stock that is none for a plant."""
    try:
        StockSchema().load(stock)
    except ValidationError as fault:
        raise _NotTakenError("; ".join(_told(fault.messages, ""))) from None


def _told(messages: Any, where: str) -> list[str]:
    if isinstance(messages, Mapping):
        return [
            told
            for key, inner in messages.items()
            for told in _told(inner, where if key == "_schema" else f"{where}.{key}".strip("."))
        ]
    listed = messages if isinstance(messages, list) else [messages]
    return [f"{where}: {message}" for message in listed]


# ---------------------------------------------------------------- a stock that is new


def _new(name: str, offered: Sequence[ListItem]) -> Plain:
    stock: Plain = {"id": name, **_about(offered)}
    stock.setdefault("name", name)
    if "caliper_um" in stock:
        stock.pop("bulk_cm3_per_g", None)
    for item in offered:
        if not item.size:
            raise _NotTakenError("a new stock needs a size", "", item)
    supplies = [(item.kind, dict(item.size)) for item in offered]
    wanted = [dict(item.sold) for item in offered]
    for (kind, supply), sold in zip(supplies, wanted, strict=True):
        stock.setdefault(kind, []).append(supply)
        if kind == "blanks":
            sold.pop("price_unit", None)
    priced = [item.sold for item in offered if item.kind != "blanks"][:1]
    stock |= {key: each[key] for each in priced for key in PRICE_OF_ITS_OWN if key in each}
    if len({kind for kind, _ in supplies}) == 1:
        stock |= _shared(wanted)
    _write(stock, supplies, wanted)
    lists = {kind: stock.pop(kind) for kind in KINDS if kind in stock}
    return stock | lists


def _shared(wanted: Sequence[Mapping[str, Any]]) -> Plain:
    """Return the terms that all have alike."""
    first = wanted[0]
    return {
        key: copy.deepcopy(first[key])
        for key in TERMS
        if first.get(key) and all(_same(each.get(key), first[key], key) for each in wanted)
    }


def _about(offered: Sequence[ListItem]) -> Plain:
    """Return what rows say of their stock. Raises _NotTakenError where they differ."""
    about: Plain = {}
    for item in offered:
        for key, value in item.about.items():
            if about.setdefault(key, value) != value:
                raise _NotTakenError(f"rows of this stock differ in {key}", value, item)
    return about


# ---------------------------------------------------------------- a stock that the plant has


def _updated(
    old: Mapping[str, Any],
    offered: Sequence[ListItem],
    keep_price_breaks: bool,
    most_move: float,
) -> tuple[Plain, list[PriceMove]]:
    stock = copy.deepcopy(dict(old))
    about = _about(offered)
    for key in IDENTITY:
        if key in about and about[key] != old[key]:
            raise _NotTakenError(f"{key} is {old[key]} in the plant", about[key])
    if "lead_days" in about and about["lead_days"] != old.get("lead_days", 0):
        stock["lead_days"] = about["lead_days"]
    supplies = [(kind, supply) for kind in KINDS for supply in stock.get(kind, ())]
    wanted = [_sold(supply, stock) for _, supply in supplies]
    moves: list[PriceMove] = []
    added, taken = [], set()
    for item in offered:
        places = _places(item, supplies)
        if not places:
            added.append(item)
        for place in places:
            if place in taken:
                raise _NotTakenError("the same size of this stock twice", "", item)
            taken.add(place)
            told = _told_of(item, wanted[place], keep_price_breaks)
            had = wanted[place]
            moves += _checked_move(old, supplies[place], had, told, most_move, item)
            wanted[place] = wanted[place] | told
    for item in added:
        supplies.append((item.kind, dict(item.size)))
        wanted.append({"price_unit": stock.get("price_unit")} | dict(item.sold))
        stock.setdefault(item.kind, []).append(supplies[-1][1])
    _write(stock, supplies, wanted)
    return stock, moves


def _sold(supply: Mapping[str, Any], stock: Mapping[str, Any]) -> Plain:
    """Return what holds for a supply, its own figures or those of its stock."""
    own = {key: supply.get(key, stock.get(key)) for key in PRICE_OF_ITS_OWN}
    return own | {key: sold_by(supply, stock, key) for key in TERMS}


def _told_of(item: ListItem, had: Mapping[str, Any], keep_price_breaks: bool) -> Plain:
    """Return what a row tells of a supply."""
    told = {key: item.sold[key] for key in SOLD_KEYS if key in item.sold}
    if item.kind == "blanks":
        told.pop("price_unit", None)
    stale = had["price_breaks"] and "price_breaks" not in told
    if stale and not keep_price_breaks and told["price"] != had["price"]:
        reason = "the plant has price breaks here and the list has none: map tiers, or say "
        raise _NotTakenError(reason + "keep_price_breaks = true", told["price"], item)
    return told


def _checked_move(
    stock: Mapping[str, Any],
    of: tuple[str, Plain],
    had: Mapping[str, Any],
    told: Mapping[str, Any],
    most: float,
    item: ListItem,
) -> list[PriceMove]:
    """Return how a price moves; refuse one that moved too far to be believed.

    A mark of decimals that is misread, or another unit, moves a price so.
    """
    try:
        move = price_move(stock, *of, had, told)
    except ValueError as fault:
        raise _NotTakenError(str(fault), told.get("price_unit", ""), item) from None
    if move and move.times > most:
        where = f"{move.what}: {move}"
        reason = f"{where}: over {most:g} times off: see check.most_move"
        raise _NotTakenError(reason, f"{move.new:g}", item)
    return [move] if move else []


def _places(item: ListItem, supplies: Sequence[tuple[str, Plain]]) -> list[int]:
    """Return which supplies of a stock a row tells of; none for a size that is new.

    A row without a size is of all that are sold at the price of the stock.
    """
    of_kind = [place for place, (kind, _) in enumerate(supplies) if kind == item.kind]
    if not item.size:
        found = [place for place in of_kind if "price" not in supplies[place][1]]
        found = found or (of_kind if len(of_kind) == 1 else [])
        if not found:
            raise _NotTakenError("expected a size: each of this stock has a price of its own")
        return found
    found = [place for place in of_kind if _is_size(item, supplies[place][1])]
    if len(found) > 1:
        raise _NotTakenError(f"several {item.kind} of this stock are of this size", "", item)
    return found


def _is_size(item: ListItem, supply: Mapping[str, Any]) -> bool:
    """Whether a row is of this sheet, reel or blank; what it does not tell may be anything."""
    told = item.size
    if item.kind == "sheets":
        alike = _near(_sides(told, item), _sides(supply, item))
        return alike and told.get("grain", supply["grain"]) == supply["grain"]
    if item.kind == "blanks":
        return bool(told.get("label", supply["label"]) == supply["label"]) and all(
            _near([told.get(side, supply[side])], [supply[side]])
            for side in ("width_mm", "height_mm")
        )
    return all(
        key in supply and _near([told[key]], [supply[key]])
        for key in ("width_mm", "length_m", "diameter_mm")
        if key in told
    )


def _sides(size: Mapping[str, Any], item: ListItem) -> list[float]:
    try:
        sides = named_size(size["size"]) if "size" in size else (
            size["width_mm"], size["height_mm"],
        )  # fmt: skip
    except UnknownSize:
        raise _NotTakenError("no size has this name", size["size"], item) from None
    except KeyError:
        raise _NotTakenError("expected the sides of a sheet", "", item) from None
    return sorted(map(float, sides))


def _near(these: Sequence[float], those: Sequence[float]) -> bool:
    return all(abs(a - b) <= SAME_MM for a, b in zip(these, those, strict=True))


# ---------------------------------------------------------------- where figures are written


def _write(
    stock: Plain, supplies: Sequence[tuple[str, Plain]], wanted: Sequence[Mapping[str, Any]]
) -> None:
    """Write figures so that each supply comes to what is wanted of it: price first, then terms."""
    for key in (*PRICE_OF_ITS_OWN, *TERMS):
        of = [
            (supply, each.get(key))
            for (kind, supply), each in zip(supplies, wanted, strict=True)
            if not (kind == "blanks" and key == "price_unit")
        ]
        if all(_same(_effective(supply, stock, key), value, key) for supply, value in of):
            continue
        takers = [(supply, value) for supply, value in of if _takes(supply, key)]
        if key in stock and takers and all(_same(value, takers[0][1], key) for _, value in takers):
            _set(stock, key, takers[0][1], needed=False)
        for supply, value in of:
            if not _same(_effective(supply, stock, key), value, key):
                _set(supply, key, value, needed=key in stock)
    if not any(_takes(supply, "price_breaks") for _, supply in supplies):
        stock.pop("price_breaks", None)


def _takes(supply: Mapping[str, Any], key: str) -> bool:
    """Whether a supply has a figure from its stock."""
    own_price = key == "price_breaks" and any(name in supply for name in PRICE_OF_ITS_OWN)
    return key not in supply and not own_price


def _effective(supply: Mapping[str, Any], stock: Mapping[str, Any], key: str) -> Any:
    return _sold(supply, stock)[key]


def _same(one: Any, other: Any, key: str) -> bool:
    """Whether two figures mean the same: no pack, a pack of 0 and none told are all no pack."""
    if key in TERMS:
        return bool((one or 0) == (other or 0))
    return bool(one == other)


def _set(table: Plain, key: str, value: Any, *, needed: bool) -> None:
    """Set a figure of a table, or take it away where there is none. needed: to undo the stock's"""
    if value or key == "price" or (needed and key in TERMS):
        table[key] = copy.deepcopy(value or ([] if key == "price_breaks" else 0))
    else:
        table.pop(key, None)
