"""What changed between two plant files: which key of which table, from what to what.

Both are plain data, as a TOML reader gives it. Tables of an array are matched by their id, or by
what tells a sheet, a reel or a blank from another, so that one put in between moves no other.
Changes can be made one by one on the old data; all of them together give the new data, in the
order of the new file where an array's order counts.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any

Data = Mapping[str, Any]
# What tells a table of an array from the others where it has no id.
_TOLD_BY = (
    "size", "width_mm", "height_mm", "length_m", "diameter_mm", "grain", "label", "basis", "name",
)  # fmt: skip
# Keys that are for a reader: no price comes from them.
WORDS = frozenset({"source", "name"})


class Absent(Enum):
    """Nothing stands there."""

    ABSENT = "absent"


ABSENT = Absent.ABSENT


@dataclass(frozen=True, slots=True)
class Item:
    """One table of an array.

    name: its id, what it is, as "sra3 long", or its place from 1
    by: which of them: "id", "what" or "place"
    """

    name: str
    by: str


Step = str | Item


@dataclass(frozen=True, slots=True)
class Change:
    """One key that changed, one table of an array that came or went, or the order of an array.

    path: keys and items that lead to it
    old, new: what stands there, ABSENT where nothing does; of an order the names of its items
    order: whether it is the order of an array
    after: of a table that came, the names of those before it in the new file, the nearest first
    """

    path: tuple[Step, ...]
    old: Any
    new: Any
    order: bool = False
    after: tuple[str, ...] = ()

    @property
    def table(self) -> str:
        """The table that it stands in: "stocks[silk_150].sheets[sra3 long]"; "" for the top."""
        whole = self._is_item and not self.order
        return _written(self.path if whole else self.path[:-1])

    @property
    def key(self) -> str:
        """The key in its table, "order" of an array, "" where a whole table came or went."""
        if self.order:
            return "order"
        return "" if self._is_item else str(self.path[-1])

    @property
    def record(self) -> str:
        """The table of the first array on the way, or the first key: "stocks[silk_150]"."""
        if self.order:
            return self.table
        first = next((n for n, step in enumerate(self.path) if isinstance(step, Item)), 0)
        return _written(self.path[: first + 1])

    @property
    def items(self) -> tuple[str, ...]:
        """The names of the tables of arrays on the way."""
        return tuple(step.name for step in self.path if isinstance(step, Item))

    @property
    def is_words(self) -> bool:
        """Whether only what a reader is told changed."""
        return not self._is_item and self.path[-1] in WORDS

    @property
    def _is_item(self) -> bool:
        return isinstance(self.path[-1], Item)


def _written(path: Iterable[Step]) -> str:
    text = ""
    for step in path:
        if isinstance(step, Item):
            text += f"[{step.name}]"
        else:
            text += f".{step}" if text else step
    return text


def changes(old: Data, new: Data) -> tuple[Change, ...]:
    """Return every change from one plant file to another, in the order of the new file."""
    return tuple(_of_tables(old, new, ()))


def _of_tables(old: Data, new: Data, path: tuple[Step, ...]) -> Iterator[Change]:
    for key in [*new, *(key for key in old if key not in new)]:
        before, after = old.get(key, ABSENT), new.get(key, ABSENT)
        here = (*path, key)
        if isinstance(before, Mapping) and isinstance(after, Mapping):
            yield from _of_tables(before, after, here)
        elif _are_tables(before) and _are_tables(after):
            yield from _of_arrays(before, after, here)
        elif not _same(before, after):
            yield Change(here, before, after)


def _of_arrays(
    old: Sequence[Data], new: Sequence[Data], path: tuple[Step, ...]
) -> Iterator[Change]:
    by = _told_apart_by(old, new)
    before = dict(zip(_names(old, by), old, strict=True))
    after = dict(zip(_names(new, by), new, strict=True))
    were, are = [n for n in before if n in after], [n for n in after if n in before]
    if were != are:
        yield Change((*path, Item("", by)), tuple(were), tuple(are), order=True)
    passed: list[str] = []
    for name, row in after.items():
        here = (*path, Item(name, by))
        if name in before:
            yield from _of_tables(before[name], row, here)
        else:
            yield Change(here, ABSENT, row, after=tuple(reversed(passed)))
        passed.append(name)
    # From the last one, so that the places of those before it stay theirs.
    for name in reversed(before):
        if name not in after:
            yield Change((*path, Item(name, by)), before[name], ABSENT)


def _are_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(e, Mapping) for e in value)


def _same(old: Any, new: Any) -> bool:
    """Whether two values are alike; true is not 1, while 48 is 48.0."""
    if isinstance(old, list) and isinstance(new, list):
        return len(old) == len(new) and all(map(_same, old, new))
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        return old.keys() == new.keys() and all(_same(old[key], new[key]) for key in old)
    return isinstance(old, bool) == isinstance(new, bool) and bool(old == new)


def _told_apart_by(*arrays: Sequence[Data]) -> str:
    """Return what tells the tables of each of some arrays apart."""
    for by in ("id", "what"):
        told = [_names(rows, by) for rows in arrays]
        if all(all(names) and len(set(names)) == len(names) for names in told):
            return by
    return "place"


def _names(rows: Sequence[Data], by: str) -> list[str]:
    if by == "place":
        return [str(place) for place in range(1, len(rows) + 1)]
    return [_id(row) if by == "id" else _what(row) for row in rows]


def _id(row: Data) -> str:
    found = row.get("id", "")
    return found if isinstance(found, str) else ""


def _what(row: Data) -> str:
    told = (row[key] for key in _TOLD_BY if key in row)
    return " ".join(f"{each:g}" if isinstance(each, float) else str(each) for each in told)


# ---------------------------------------------------------------- making changes


def changed(data: Data, made: Iterable[Change]) -> dict[str, Any]:
    """Return a plant file's data with some of its changes made; the data given stays as it is.

    Changes are made in the order of `changes`. Raises LookupError where the data is not that of
    the old file.
    """
    result = dict(data)
    for change in made:
        result = _table_with(result, change.path, change)
    return result


def _table_with(table: Data, path: tuple[Step, ...], change: Change) -> dict[str, Any]:
    """Return a table with a change made; only what it touches is copied."""
    key, rest, result = str(path[0]), path[1:], dict(table)
    if not rest and change.new is ABSENT:
        del result[key]
    elif not rest:
        result[key] = change.new
    elif isinstance(rest[0], Item):
        result[key] = _rows_with(table[key], rest[0], rest[1:], change)
    else:
        result[key] = _table_with(table[key], rest, change)
    return result


def _rows_with(
    rows: Sequence[Data], item: Item, rest: tuple[Step, ...], change: Change
) -> list[Data]:
    names = _names(rows, item.by)
    if change.order and not rest:
        return _in_order(rows, names, change.new)
    if not rest and change.old is ABSENT:
        place = next((names.index(each) + 1 for each in change.after if each in names), 0)
        return [*rows[:place], change.new, *rows[place:]]
    if item.name not in names:
        raise LookupError(f"no table {item.name!r} to change")
    place = names.index(item.name)
    kept = [_table_with(rows[place], rest, change)] if rest else []
    return [*rows[:place], *kept, *rows[place + 1 :]]


def _in_order(rows: Sequence[Data], names: Sequence[str], wanted: Sequence[str]) -> list[Data]:
    """Return tables with those named in the order wanted; the others stay where they are."""
    by_name = dict(zip(names, rows, strict=True))
    waiting = iter(wanted)
    return [by_name[next(waiting)] if name in wanted else by_name[name] for name in names]
