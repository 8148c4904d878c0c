"""What tables of a plant file say of each other: cost centres named, ids told once, machines timed.

Looked at as the file has it, before any table is built, so that a fault of one table hides no fault
of another.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from .machine_ids import FOLDER, GUILLOTINE, PREPRESS, SLITTER, TABLE_CUTTER
from .toml_file import FileFaults
from .toml_fixes import near

Data = Mapping[str, Any]
LISTS = ("customer_groups", "cost_centres", "stocks", "operations", "binders", "presses")
FINISHING = (GUILLOTINE, FOLDER, SLITTER, TABLE_CUTTER)
CENTRE = "cost_centre"


def check_references(data: Data, faults: FileFaults) -> None:
    """Add the faults of what tables say of each other; what is no table is left to the schemas."""
    _check_centres(data, faults)
    for name in LISTS:
        _check_twice(name, data, faults)
    _check_machines(data, faults)


def _tables(data: Data, name: str) -> list[tuple[int, Data]]:
    """Return the tables of a list, each with its number, as far as they are tables."""
    listed = data.get(name)
    if not isinstance(listed, list):
        return []
    return [(number, each) for number, each in enumerate(listed) if isinstance(each, dict)]


def _table(data: Data, name: str) -> Data:
    found = data.get(name)
    return found if isinstance(found, dict) else {}


def _ids(data: Data, name: str) -> list[tuple[int, str]]:
    return [
        (number, each["id"])
        for number, each in _tables(data, name)
        if isinstance(each.get("id"), str)
    ]


# ---------------------------------------------------------------- cost centres


def _check_centres(data: Data, faults: FileFaults) -> None:
    centres = sorted({name for _, name in _ids(data, "cost_centres")})
    if not centres:
        return
    for table, centre in named_centres(data):
        if centre not in centres:
            faults.add(
                table,
                CENTRE,
                f"no cost centre {centre!r}; there is {', '.join(centres)}",
                near(centre, centres) or "Name one of them, or add a [[cost_centres]] of this id.",
            )


def named_centres(data: Data) -> Iterator[tuple[str, str]]:
    """Yield each table that names a cost centre, and the name."""
    named = [
        (f"{group}.{name}", machine)
        for group in ("finishing", "proofs")
        for name, machine in _table(data, group).items()
    ]
    named.append((PREPRESS, data.get(PREPRESS)))
    for group in ("operations", "binders", "presses"):
        for number, each in _tables(data, group):
            own = each.get("id")
            named.append((f"{group} ({own})" if _word(own) else f"{group}[{number}]", each))
    for table, each in named:
        centre = each.get(CENTRE) if isinstance(each, dict) else None
        # Without one a proof ties up the press, and an operation or a binder is bought out.
        if isinstance(centre, str) and (centre or table.startswith("presses")):
            yield table, centre


def _word(name: object) -> bool:
    return isinstance(name, str) and name.isidentifier()


# ---------------------------------------------------------------- ids


def _check_twice(name: str, data: Data, faults: FileFaults) -> None:
    ids = _ids(data, name)
    known = [each for _, each in ids]
    for twice in sorted({each for each in known if known.count(each) > 1}):
        last = max(number for number, each in ids if each == twice)
        faults.add(
            name,
            "id",
            f"{twice!r} stands there twice; ids must differ",
            "Give one of them another id.",
            at=(name, last, "id"),
        )


def _check_machines(data: Data, faults: FileFaults) -> None:
    """See that no two machines share an id, and that those with times of their own are there."""
    met: dict[str, str] = {}
    for table, name, at in _machines(data):
        first = met.setdefault(name, table)
        if first != table:
            told = f"{name!r} is an id in [{first}] already; ids must differ"
            faults.add(table, "id", told, "Give it another id.", at=at)
    for number, name in _ids(_table(data, "time"), "machines"):
        if met and name not in met:
            faults.add(
                f"time.machines[{number}]",
                "id",
                f"no machine {name!r}; there is {', '.join(met)}",
                near(name, met) or "Name a machine that jobs queue at.",
            )


def _machines(data: Data) -> Iterator[tuple[str, str, tuple[str | int, ...]]]:
    """Yield what `machine_ids` has, as the file tells it: its table, its id, where that stands."""
    if isinstance(data.get(PREPRESS), dict):
        yield PREPRESS, PREPRESS, (PREPRESS,)
    for number, name in _ids(data, "presses"):
        yield "presses", name, ("presses", number, "id")
    for name in FINISHING:
        if isinstance(_table(data, "finishing").get(name), dict):
            yield f"finishing.{name}", name, ("finishing", name)
    for table, bought in (("operations", "bought_out"), ("binders", "")):
        listed = dict(_tables(data, table))
        for number, name in _ids(data, table):
            each = listed[number]
            if each.get(bought) is not True if bought else each.get(CENTRE):
                yield table, name, (table, number, "id")
