"""`sidelay plant new`: writes a plant file to start from, out of the packaged pieces of one."""

from __future__ import annotations

import argparse
import re
import sys
import tomllib
from collections.abc import Collection, Sequence
from pathlib import Path

from ..catalogue_file import SUFFIX
from ..money import UnknownCurrency, minor_digits
from ..processes import Processes
from ..toml_fixes import expected, near

DONE, REFUSED, USAGE = 0, 1, 2
PIECES = Path(__file__).with_name("starter")
ID = re.compile(r"[a-z][a-z0-9_]{0,62}\Z")


class CannotStart(ValueError):  # noqa: N818  (an answer to whoever asks, not a fault)
    """A plant file that cannot be written as asked; the message says what would do."""


def run(options: argparse.Namespace) -> int:
    """Write the file, say what to do next, and return the exit status; nothing is overwritten."""
    wanted = [name.strip() for name in options.processes.split(",") if name.strip()]
    try:
        text = starter(options.id, options.currency, wanted, Processes.discover())
        _write(options.file, text)
    except CannotStart as fault:
        print(fault, file=sys.stderr)
        return REFUSED
    except OSError as fault:
        print(f"{options.file} cannot be written: {fault.strerror}.", file=sys.stderr)
        return USAGE
    print(f"{options.file} is written: read it from the top, and put your own figures in.")
    print(f"Then: sidelay plant check {options.file}")
    return DONE


def starter(
    plant_id: str, currency: str, wanted: Sequence[str], processes: Processes
) -> str:
    """Return a plant file with one press of each process. Raises CannotStart."""
    if not ID.match(plant_id):
        raise CannotStart(f"{plant_id!r} cannot be an id: expected a-z, 0-9 and _, a letter first")
    try:
        minor_digits(currency)
    except UnknownCurrency as fault:
        raise CannotStart(f"--currency: {fault}") from None
    if not wanted:
        raise CannotStart("--with: expected a process at least")
    needs = tomllib.loads(_piece("parts"))
    for process in wanted:
        _check_process(process, needs, processes)
    chosen = dict.fromkeys(wanted)
    beside = dict.fromkeys(name for process in chosen for name in needs[process])
    text = "\n".join(map(_piece, ("shop", *beside, *chosen)))
    return text.replace("@ID@", plant_id).replace("@CURRENCY@", currency)


def _piece(name: str) -> str:
    return (PIECES / f"{name}.toml").read_text(encoding="utf-8")


def _check_process(process: str, needs: Collection[str], processes: Processes) -> None:
    if process not in processes.about:
        guess = near(process, processes.about)
        known = ", ".join(processes.about)
        raise CannotStart(f"no installed plug-in models {process!r}; there is {known}. {guess}")
    if process in needs:
        return
    schema = processes.press_schema(process)
    missing = "\n".join(
        f"  {field.data_key or name}: {expected(field)}. {field.metadata.get('description', '')}"
        for name, field in schema.fields.items()
        if field.required
    )
    raise CannotStart(
        f"There is no press of {process!r} to start from: its plug-in is another's. Write the file "
        f"with other processes, and add a [[presses]] table with process = \"{process}\" and\n"
        f"{missing}"
    )


def _write(file: Path, text: str) -> None:
    if file.suffix != ".toml" or file.name.endswith(SUFFIX):
        raise CannotStart(f"{file.name}: expected the name of a plant file, NAME.toml")
    try:
        with file.open("x", encoding="utf-8") as written:
            written.write(text)
    except FileExistsError:
        raise CannotStart(f"{file} is there already; nothing is written.") from None
