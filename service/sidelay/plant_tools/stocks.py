"""`sidelay plant stocks`: a merchant's list put into a plant file, whole or not at all."""

from __future__ import annotations

import argparse
import hashlib
import os
import shutil
import sys
import tempfile
import tomllib
from collections.abc import Sequence
from pathlib import Path

from ..plant_file import plant_of
from ..processes import Processes
from ..toml_file import PlantFileError, read_toml
from .csv_cells import BadTable, Table, decoded, read_table
from .stock_list import Reject, missing_columns, read_items
from .stock_mapping import StockMapping, read_mapping
from .stock_merge import Merged, merge
from .toml_edit import NotWritten, with_stocks

DONE, REFUSED, UNREADABLE = 0, 1, 2
MOST_MOVES = 10


class NoList(Exception):  # noqa: N818  (told to whoever gave the files)
    """A file that cannot be used; the message names it and says why."""


def run(options: argparse.Namespace) -> int:
    """Write the new plant file and return the exit status.

    0 written, 1 not written because of rejects, 2 a file that cannot be used.
    """
    try:
        if options.out.exists() and not options.force:
            raise NoList(f"{options.out} is there already; --force writes over it.")
        processes = Processes.discover()
        text, currency = _plant_text(options.plant, processes)
        mapping = read_mapping(options.mapping)
        if mapping.currency != currency:
            raise NoList(
                f"The list is in {mapping.currency}, the plant in {currency}: nothing is converted."
            )
        items, rejects = read_items(_table(options.list, mapping), mapping)
        merged = merge(
            items,
            tomllib.loads(text).get("stocks", []),
            most_move=mapping.most_move,
            keep_price_breaks=mapping.keep_price_breaks,
        )
        rejects = sorted([*rejects, *(r for each in merged for r in each.rejects)], key=_by_row)
        written = not rejects or options.skip_rejects
        if written:
            new = with_stocks(text, [m.stock for m in merged if m.stock and m.is_changed])
            _check_plant(new, options.out.name, processes)
            _write(options.out, new, options.plant, force=options.force)
    except OSError as fault:
        return _fail(f"{fault.filename} cannot be read or written: {fault.strerror}.")
    except NotWritten as fault:
        return _fail(f"{options.plant}: {fault}.")
    except (NoList, PlantFileError) as fault:
        return _fail(str(fault))
    print("\n".join(_summary(merged, rejects, tomllib.loads(text).get("stocks", []))))
    if not written:
        print(f"Nothing is written to {options.out}: see --skip-rejects.", file=sys.stderr)
        return REFUSED
    print(f"Written to {options.out}.")
    return DONE


def _fail(message: str) -> int:
    print(message, file=sys.stderr)
    return UNREADABLE


def _plant_text(file: Path, processes: Processes) -> tuple[str, str]:
    """Return the text of a plant file without a fault, and its currency."""
    data, revision = read_toml(file)
    plant = plant_of(data, revision, file.name, processes)
    return file.read_bytes().decode(), plant.currency


def _table(file: Path, mapping: StockMapping) -> Table:
    written = mapping.written
    try:
        text = decoded(file.read_bytes(), written.encoding)
        table = read_table(text, written.delimiter, written.quote, written.header_row)
    except BadTable as fault:
        raise NoList(f"{file}: {fault}") from None
    missing = missing_columns(table, mapping)
    if missing:
        there = ", ".join(table.heads) or f"{table.rows[0].count if table.rows else 0} of them"
        told = f"it has no column {', '.join(missing)}; there is {there}"
        raise NoList(f"{file}: {told}. Does the delimiter {written.delimiter!r} hold?")
    return table


def _check_plant(text: str, file: str, processes: Processes) -> None:
    """See that a text is a plant file. Raises PlantFileError."""
    revision = hashlib.sha256(text.encode()).hexdigest()[:12]
    plant_of(tomllib.loads(text), revision, file, processes)


def _write(file: Path, text: str, like: Path, *, force: bool) -> None:
    """Write a file beside its place and put it there whole. like: has the rights it is to have"""
    with tempfile.NamedTemporaryFile(
        "w", encoding="utf-8", newline="", dir=file.parent, prefix=f".{file.name}.", delete=False
    ) as beside:
        try:
            beside.write(text)
            beside.flush()
            os.fsync(beside.fileno())
            if file.exists() and not force:
                raise NoList(f"{file} is there already; --force writes over it.")
            shutil.copymode(like, beside.name)
            Path(beside.name).replace(file)
        except BaseException:
            Path(beside.name).unlink(missing_ok=True)
            raise


# ---------------------------------------------------------------- what is told


def _by_row(reject: Reject) -> tuple[int, str]:
    return reject.row, reject.column


def _summary(
    merged: Sequence[Merged], rejects: Sequence[Reject], stocks: Sequence[object]
) -> list[str]:
    taken = [each for each in merged if each.stock]
    added = sum(each.is_new for each in taken)
    updated = sum(each.is_changed and not each.is_new for each in taken)
    unchanged = len(taken) - added - updated
    beside = len(stocks) - sum(not each.is_new for each in merged)
    lines = [_reject(each) for each in rejects]
    lines.append(
        f"Stocks: {updated} updated, {added} added, {unchanged} unchanged, "
        f"{beside} of the plant not in the list. Rows rejected: {len({r.row for r in rejects})}."
    )
    moves = sorted(
        (move for each in taken for move in each.moves), key=lambda move: (-move.times, move.stock)
    )
    if moves:
        lines.append(f"Prices moved: {len(moves)}. The biggest moves:")
    return [*lines, *(f"  {move.stock}, {move.what}: {move}" for move in moves[:MOST_MOVES])]


def _reject(reject: Reject) -> str:
    where = f"Row {reject.row}" + (f", column {reject.column}" if reject.column else "")
    return ": ".join([where, *([repr(reject.value)] if reject.value else []), reject.reason])
