"""A merchant's list as items: what each row offers, by which stock and size; and its rejects."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from .csv_cells import BadCell, Column, Table, TableRow, number_of, text_of
from .stock_mapping import NUMBERS, StockMapping

KINDS = ("sheets", "reels", "blanks")
SIZED_BY = {
    "sheets": ("size", "width_mm", "height_mm", "grain"),
    "reels": ("width_mm", "length_m", "diameter_mm", "core_mm"),
    "blanks": ("label", "width_mm", "height_mm"),
}
STOCK_KEYS = (
    "name", "grade", "finish", "grammage_gsm", "caliper_um", "bulk_cm3_per_g", "tone", "treated",
    "lead_days", "source",
)  # fmt: skip
SOLD_KEYS = ("price", "price_unit", "pack", "least_order", "price_breaks")
TRUE_FALSE = {"true": True, "false": False}


@dataclass(frozen=True, slots=True)
class Reject:
    """A row that is not taken: the column and value at fault, "" where it is none, and why."""

    row: int
    column: str
    value: str
    reason: str


@dataclass(frozen=True, slots=True)
class ListItem:
    """What a merchant offers: one size of one stock, or all of its sizes.

    rows: that tell of it; kind: one of KINDS
    about: keys of the stock; size: keys of the sheet, reel or blank, none for all sizes
    sold: price, price_unit, pack, least_order, price_breaks, as a plant file has them
    """

    rows: tuple[int, ...]
    stock: str
    kind: str
    about: Mapping[str, Any]
    size: Mapping[str, Any]
    sold: Mapping[str, Any]


class _RejectError(Exception):
    def __init__(self, column: Column | None, value: str, reason: str) -> None:
        super().__init__(reason)
        self.column, self.value, self.reason = column, value, reason


def missing_columns(table: Table, mapping: StockMapping) -> list[str]:
    """Return the columns that a mapping names and a list does not have."""
    count = len(table.heads) or max((row.count for row in table.rows), default=0)
    return [
        str(column)
        for column in sorted(mapping.used, key=str)
        if (column > count if isinstance(column, int) else column not in table.heads)
    ]


def read_items(table: Table, mapping: StockMapping) -> tuple[list[ListItem], list[Reject]]:
    """Return what a list offers, and every row that cannot be taken.

    A row at fault takes the others of the same item with it: no price is loaded in part.
    """
    rejects: list[Reject] = []
    by_key: dict[tuple[Any, ...], list[ListItem]] = {}
    spoiled: dict[str, int] = {}
    for row in table.rows:
        try:
            item = _Row(row, mapping, len(table.heads)).item()
        except _RejectError as fault:
            column = "" if fault.column is None else str(fault.column)
            rejects.append(Reject(row.number, column, fault.value, fault.reason))
            if name := _id_or_none(row, mapping):
                spoiled.setdefault(name, row.number)
        else:
            key = item.stock, item.kind, tuple(sorted(item.size.items()))
            by_key.setdefault(key, []).append(item)
    items = []
    for same in by_key.values():
        first = spoiled.get(same[0].stock)
        if first is not None and "from" in mapping.columns:
            rejects += _all_of(same, f"row {first} of the same stock is rejected")
            continue
        try:
            items.append(_one(same, mapping))
        except _RejectError as fault:
            rejects += _all_of(same, fault.reason, fault.value)
    return items, sorted(rejects, key=lambda reject: (reject.row, reject.column))


def _all_of(items: Iterable[ListItem], reason: str, value: str = "") -> Iterator[Reject]:
    return (Reject(row, "", value, reason) for item in items for row in item.rows)


def _id_or_none(row: TableRow, mapping: StockMapping) -> str | None:
    try:
        return _Row(row, mapping, 0).stock_id()
    except _RejectError:
        return None


def _one(same: list[ListItem], mapping: StockMapping) -> ListItem:
    """Return the item that rows of one stock and size tell: one, or one a tier."""
    first, rows = same[0], tuple(row for item in same for row in item.rows)
    if "from" not in mapping.columns:
        if len(same) > 1:
            told = ", ".join(map(str, rows))
            raise _RejectError(None, first.stock, f"the same stock and size in rows {told}")
        return first
    starts = [(item.sold["from"], item.sold["price"]) for item in same]
    if len({start for start, _ in starts}) < len(starts):
        raise _RejectError(None, first.stock, "two rows of this stock and size have one from")
    (base, price), *breaks = sorted(starts)
    if base > 1:
        raise _RejectError(None, f"{base:g}", "no row of this stock and size has a price from 1")
    rest = {key: value for key, value in first.sold.items() if key != "from"}
    for item in same[1:]:
        for key, value in item.sold.items():
            if key not in ("from", "price") and value != rest.get(key):
                raise _RejectError(None, str(value), f"rows of this stock and size differ in {key}")
    sold = rest | {"price": price, "price_breaks": [list(tier) for tier in breaks]}
    return replace(first, rows=rows, sold=sold)


class _Row:
    """Reads one row of a list. heads: how many columns its header has, 0 without one"""

    def __init__(self, row: TableRow, mapping: StockMapping, heads: int) -> None:
        self._row, self._mapping, self._heads = row, mapping, heads
        self._written = mapping.written

    def item(self) -> ListItem:
        """Return what the row offers. Raises _RejectError."""
        stock = self.stock_id()
        self._check_currency()
        kind = self._text("kind") or "sheets"
        if kind not in KINDS:
            self._reject("kind", f"expected one of {', '.join(KINDS)}")
        return ListItem(
            (self._row.number,), stock, kind, self._about(), self._size(kind), self._sold()
        )

    def stock_id(self) -> str:
        """Return the id of the stock: as words tell it, or made of what stands there."""
        cell = self._cell("id")
        if not cell:
            self._reject("id", "expected an id")
        told = self._mapping.words.get("id", {}).get(cell.casefold())
        made = self._mapping.id_prefix + re.sub(r"[^a-z0-9]+", "_", cell.lower()).strip("_")
        found = told or made
        if not re.fullmatch(r"[a-z][a-z0-9_]{0,62}", found):
            self._reject("id", f"{found!r} is no id: a letter first; say id_prefix, or words.id")
        return found

    def _check_currency(self) -> None:
        found = self._text("currency")
        if found and found.upper() != self._mapping.currency:
            self._reject("currency", f"expected {self._mapping.currency}")

    def _about(self) -> dict[str, Any]:
        about: dict[str, Any] = {}
        for key in STOCK_KEYS:
            column = "caliper" if key == "caliper_um" else key
            value = self._number(column) if column in NUMBERS else self._text(column)
            if value not in (None, ""):
                about[key] = value
        if "caliper_um" in about:
            about["caliper_um"] = round(about["caliper_um"] * self._mapping.caliper_um, 3)
        if "treated" in about:
            if about["treated"] not in TRUE_FALSE:
                self._reject("treated", "expected true or false")
            about["treated"] = TRUE_FALSE[about["treated"]]
        return {key: _tidy(value) for key, value in about.items()}

    def _size(self, kind: str) -> dict[str, Any]:
        size: dict[str, Any] = {}
        for key in SIZED_BY[kind]:
            column = key.removesuffix("_mm") if key in ("width_mm", "height_mm") else key
            value = self._number(column) if column in NUMBERS else self._text(column)
            if value not in (None, ""):
                scale = self._mapping.size_mm if column in ("width", "height") else 1.0
                size[key] = _tidy(round(value * scale, 4) if isinstance(value, float) else value)
        if "size" in size:
            size["size"] = size["size"].lower()
            size.pop("width_mm", None)
            size.pop("height_mm", None)
        elif kind != "reels" and ("width_mm" in size) != ("height_mm" in size):
            self._reject("height" if "width_mm" in size else "width", "expected both sides")
        return size if set(size) - {"grain", "core_mm"} else {}

    def _sold(self) -> dict[str, Any]:
        price = self._number("price")
        if price is None:
            self._reject("price", "expected a price")
        sold: dict[str, Any] = {"price": price}
        if unit := self._text("price_unit"):
            sold["price_unit"] = unit
        for key in ("pack", "least_order"):
            value = self._number(key)
            if value is not None:
                sold[key] = value
        lots = 1.0
        if self._mapping.in_packs:
            lots = sold.get("pack") or 0.0
            if not lots:
                self._reject("pack", "expected a pack: this list counts in packs")
            if "least_order" in sold:
                sold["least_order"] *= lots
        if "from" in self._mapping.columns:
            sold["from"] = (self._number("from") or 0.0) * lots
        elif self._mapping.tiers:
            sold["price_breaks"] = self._breaks(lots)
        return {key: _tidy(value) for key, value in sold.items()}

    def _breaks(self, lots: float) -> list[list[Any]]:
        """Return the price breaks of the columns of tiers; those without a price are not there."""
        breaks: list[list[Any]] = []
        for start, column in self._mapping.tiers:
            price = self._number_in(column)
            if price is None:
                continue
            at = self._number_in(start) if isinstance(start, str) else float(start)
            if at is None:
                raise _RejectError(str(start), "", f"expected from how many on {column} holds")
            breaks.append([_tidy(at * lots), _tidy(price)])
        if any(after[0] <= before[0] for before, after in pairwise(breaks)):
            column = self._mapping.tiers[0][1]
            raise _RejectError(column, str(breaks), "tiers must rise in what they hold from")
        return breaks

    # ------------------------------------------------------------ cells

    def _cell(self, key: str) -> str:
        """Return the text that stands for a key: its cell, or the default."""
        if self._row.cells is None:
            told = f"expected {self._heads} columns, not {self._row.count}"
            raise _RejectError(None, "", told)
        column = self._mapping.columns.get(key)
        found = "" if column is None else self._row.cells[column]
        return found or self._mapping.defaults.get(key, "")

    def _text(self, key: str) -> str:
        """Return a text as it is called here."""
        try:
            cell = text_of(self._cell(key))
        except BadCell as fault:
            self._reject(key, str(fault))
        return self._mapping.words.get(key, {}).get(cell.casefold(), cell)

    def _number(self, key: str) -> float | None:
        column, cell = self._mapping.columns.get(key), self._cell(key)
        if column is None or not self._in_row(column):
            # A default is written in the mapping, as TOML writes numbers.
            return self._read(key, cell, ".", "") if cell else None
        return self._number_in(column)

    def _number_in(self, column: Column) -> float | None:
        cell = self._in_row(column)
        marks = self._written.decimal_mark, self._written.thousands_mark
        return self._read(column, cell, *marks) if cell else None

    def _in_row(self, column: Column) -> str:
        assert self._row.cells is not None  # noqa: S101  the id was read before
        return self._row.cells[column]

    def _read(self, column: Column, cell: str, decimal_mark: str, thousands_mark: str) -> float:
        try:
            return number_of(cell.replace("\u00a0", ""), decimal_mark, thousands_mark)
        except BadCell as fault:
            raise _RejectError(column, cell, str(fault)) from None

    def _reject(self, key: str, reason: str) -> Any:
        cell = self._cell(key)
        raise _RejectError(self._mapping.columns.get(key, key), cell, reason)


def _tidy(value: Any) -> Any:
    """Return a whole number without its point, as people write it in a plant file."""
    return int(value) if isinstance(value, float) and value.is_integer() else value
